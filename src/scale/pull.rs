//! How fast the ring turns for a subject that moves along the axis.

use super::law::RingLaw;
use crate::formula::{Record, formula};
use crate::optics::{Branch, Magnification};
use crate::units::{Angle, FocusDistance, Length, Reach};

formula! {
    /// The way a subject goes along the axis.
    way_along_axis(D_from: mm, D_to: mm) -> way: mm = sqrt((D_from - D_to) * (D_from - D_to));
    source "the distance between two places on the axis"
}

formula! {
    /// How long a way takes.
    time_of_way(way: mm, v: mm_per_s) -> time: s = way / v;
    source "constant speed along the axis"
}

formula! {
    /// How fast it must go for a time.
    speed_of_way(way: mm, time: s) -> v: mm_per_s = way / time;
    source "constant speed along the axis"
}

formula! {
    /// A magnification a hair below another.
    just_below(m: ratio) -> m_before: ratio = m * (1.0 - 0.00001);
    source "near enough that the law is straight, far enough that its digits count"
}

formula! {
    /// A magnification a hair above another.
    just_above(m: ratio) -> m_after: ratio = m * (1.0 + 0.00001);
    source "near enough that the law is straight, far enough that its digits count"
}

formula! {
    /// The law's slope about a magnification.
    law_slope(before: deg, after: deg, m_before: ratio, m_after: ratio) -> slope: deg
        = (after - before) / (m_after - m_before);
    source "the turn between two magnifications a hair apart, for each unit of m"
}

formula! {
    /// How fast the ring turns for a subject at a magnification.
    turn_rate(slope: deg, m: ratio, f: mm, v: mm_per_s) -> rate: deg_per_s
        = slope * m * m / (f * (1.0 - m * m)) * v;
    source "dD/dm = -f (1/m^2 - 1) from D = e + f (2 + m + 1/m); slope is the law's, in degrees for each unit of m"
}

/// Places looked at along a pull for the fastest turn.
const LOOKED_AT: i32 = 400;

/// The fastest turn of a ring on a pull.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FastestTurn {
    /// The turn in one second.
    pub turn: Angle,
    /// Where the subject then is.
    pub at: FocusDistance,
}

impl RingLaw {
    /// The fastest the ring turns while a subject goes from one distance to
    /// another at a constant speed (a length each second); `None` where
    /// positions are no angles or an end is infinity.
    ///
    /// Where the ring turns ever faster toward the camera, as a helicoid does,
    /// that is at the nearer end.
    #[must_use]
    pub fn fastest_turn(
        &self,
        from: FocusDistance,
        to: FocusDistance,
        each_second: Length,
        rec: &mut impl Record,
    ) -> Option<FastestTurn> {
        let lens = self.lens();
        let ends = [
            self.on_the_way(from, &mut ())?,
            self.on_the_way(to, &mut ())?,
        ];
        let (low, high) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
        let between = |look: i32| low + (high - low) * f64::from(look) / f64::from(LOOKED_AT);
        let inner = (1..LOOKED_AT).map(|look| {
            let m = Magnification::computed(between(look));
            lens.distance_at(m, &mut ())
        });
        let fastest = [from, to].into_iter().chain(inner).filter_map(|at| {
            let rate = self.turn_rate_at(at, (low, high), each_second, &mut ())?;
            Some((at, rate.abs()))
        });
        let (at, _) = fastest.max_by(|a, b| a.1.total_cmp(&b.1))?;
        let rate = self.turn_rate_at(at, (low, high), each_second, rec)?;
        Some(FastestTurn {
            turn: Angle::deg(rate.abs()),
            at,
        })
    }

    /// The magnification at a finite distance.
    fn on_the_way(&self, at: FocusDistance, rec: &mut impl Record) -> Option<f64> {
        let m = self.lens().magnification(at, Branch::Far, rec);
        m.map(Magnification::value).ok().filter(|&m| m > 0.0)
    }

    /// How fast the ring turns for a subject at a distance, in degrees a second.
    /// The law's slope is taken within the pull: beyond it the law may be
    /// another.
    fn turn_rate_at(
        &self,
        at: FocusDistance,
        (low, high): (f64, f64),
        each_second: Length,
        rec: &mut impl Record,
    ) -> Option<f64> {
        let m = self.on_the_way(at, rec)?;
        let before = if m > low {
            just_below(m, rec).max(low)
        } else {
            m
        };
        let after = if m < high {
            just_above(m, rec).min(high)
        } else {
            m
        };
        if after <= before {
            return None;
        }
        let mut turn = |m: f64| Some(self.at_magnification(m, rec).turn_with(rec)?.to_deg());
        let (from, to) = (turn(before)?, turn(after)?);
        let slope = law_slope(from, to, before, after, rec);
        let f = self.lens().focal_length().to_mm();
        Some(turn_rate(slope, m, f, each_second.to_mm(), rec))
    }
}

/// How long a subject takes from one distance to another at a speed; `None`
/// where an end is infinity.
#[must_use]
pub fn seconds_of(
    from: FocusDistance,
    to: FocusDistance,
    each_second: Length,
    rec: &mut impl Record,
) -> Option<f64> {
    let (Reach::At(from), Reach::At(to)) = (from.reach(), to.reach()) else {
        return None;
    };
    let way = way_along_axis(from.to_mm(), to.to_mm(), rec);
    Some(time_of_way(way, each_second.to_mm(), rec))
}

/// How fast a subject goes that takes so many seconds; `None` where an end is
/// infinity or both are one place.
#[must_use]
pub fn speed_for(
    from: FocusDistance,
    to: FocusDistance,
    seconds: f64,
    rec: &mut impl Record,
) -> Option<Length> {
    let (Reach::At(from), Reach::At(to)) = (from.reach(), to.reach()) else {
        return None;
    };
    let way = way_along_axis(from.to_mm(), to.to_mm(), rec);
    (way > 0.0).then(|| Length::mm(speed_of_way(way, seconds, rec)))
}
