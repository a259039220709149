//! How fast the ring turns for a subject that moves along the axis.

use super::law::RingLaw;
use crate::formula::{Record, formula};
use crate::optics::{Branch, Magnification};
use crate::units::{FocusDistance, Length, Reach};

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
    /// How fast the ring turns for a subject at a magnification.
    turn_rate(slope: deg, m: ratio, f: mm, v: mm_per_s) -> rate: deg_per_s
        = slope * m * m / (f * (1.0 - m * m)) * v;
    source "dD/dm = -f (1/m^2 - 1) from D = e + f (2 + m + 1/m); slope is the law's, in degrees for each unit of m"
}

/// Places looked at along a pull for the fastest turn.
const LOOKED_AT: i32 = 400;

/// So large a part of m to either side the law's slope is taken over.
const BESIDE: f64 = 1e-5;

impl RingLaw {
    /// The fastest the ring turns, in degrees a second, while a subject goes
    /// from one distance to another at a constant speed (a length each second);
    /// `None` where positions are no angles or an end is infinity.
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
    ) -> Option<f64> {
        let m = |distance: FocusDistance| {
            let lens = self.lens();
            let m = lens.magnification(distance, Branch::Far, &mut ());
            m.map(Magnification::value).ok().filter(|&m| m > 0.0)
        };
        let (low, high) = (m(from)?.min(m(to)?), m(from)?.max(m(to)?));
        let turn = |m: f64| Some(self.at_magnification(m, &mut ()).turn()?.to_deg());
        let slope = |m: f64| {
            // Within the pull: beyond it the law may be another.
            let (before, after) = (
                (m * (1.0 - BESIDE)).max(low),
                (m * (1.0 + BESIDE)).min(high),
            );
            (after > before).then(|| Some((turn(after)? - turn(before)?) / (after - before)))?
        };
        let (f, v) = (self.lens().focal_length().to_mm(), each_second.to_mm());
        let place = |look: i32| low + (high - low) * f64::from(look) / f64::from(LOOKED_AT);
        let rate = |look: i32| {
            let m = place(look);
            Some((look, turn_rate(slope(m)?, m, f, v, &mut ()).abs()))
        };
        let rates = (0..=LOOKED_AT).filter_map(rate);
        let (fastest, _) = rates.max_by(|a, b| a.1.total_cmp(&b.1))?;
        let m = place(fastest);
        Some(turn_rate(slope(m)?, m, f, v, rec).abs())
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
