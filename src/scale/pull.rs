//! How the ring turns for a subject that moves at constant speed along a path.

mod along_axis;
mod circling;
mod passing;
mod path;

pub use path::{PathEnd, PathFault, PathKind, Spot, SubjectPath};

use super::law::{OffScale, RingLaw};
use super::position::{Measure, RingPosition};
use crate::formula::{Record, formula};
use crate::numerics::{highest_between, root_between};
use crate::optics::{Branch, Magnification};
use crate::units::{FocusDistance, Length, Reach, Time};

formula! {
    /// How long a way takes.
    time_of_way(way: mm, v: mm_per_s) -> time: s = way / v;
    source "constant speed along the path"
}

formula! {
    /// How far it goes in a time.
    way_of_time(v: mm_per_s, time: s) -> way: mm = v * time;
    source "constant speed along the path"
}

formula! {
    /// How fast it must go for a time.
    speed_of_way(way: mm, time: s) -> v: mm_per_s = way / time;
    source "constant speed along the path"
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

/// The formulas whose values are in what positions are counted in.
macro_rules! rates_in {
    ($unit:ident, $rate:ident) => {
        use crate::formula::formula;

        formula! {
            /// The law's slope about a magnification.
            law_slope(before: $unit, after: $unit, m_before: ratio, m_after: ratio) -> slope: $unit
                = (after - before) / (m_after - m_before);
            source "the turn between two magnifications a hair apart, for each unit of m"
        }

        formula! {
            /// How fast the ring turns toward close focus for a subject at a magnification.
            turn_rate(slope: $unit, m: ratio, f: mm, approach: mm_per_s) -> rate: $rate
                = slope * m * m / (f * (1.0 - m * m)) * approach;
            source "dD/dm = -f (1/m^2 - 1) from D = e + f (2 + m + 1/m); slope is the law's for each unit of m, approach how fast D shrinks"
        }

        formula! {
            /// How late or early the ring may be where it turns fastest.
            room_in_time(edge: $unit, position: $unit, rate: $rate) -> late: s
                = sqrt((edge - position) * (edge - position)) / sqrt(rate * rate);
            source "the way of the ring that leaves the subject sharp, at the speed it turns with; elsewhere it turns more slowly"
        }
    };
}

mod in_deg {
    rates_in!(deg, deg_per_s);
}

mod in_mm {
    rates_in!(mm, mm_per_s);
}

/// Places looked at along each part of a pull for the fastest turn.
const LOOKED_AT: i32 = 400;

/// A pull for a subject that moves at constant speed along a path.
#[derive(Clone, Debug, PartialEq)]
pub struct SteadyPull {
    law: RingLaw,
    path: SubjectPath,
    each_second: Length,
    length: Length,
    /// The smallest and the largest magnification on the way.
    magnifications: (f64, f64),
}

/// Where on the way the ring's law ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Untold {
    /// Where the subject then is.
    pub spot: Spot,
    /// Why.
    pub why: OffScale,
}

impl SteadyPull {
    /// A pull along a path at a speed (a length each second); `None` where the path
    /// has no length or no end.
    #[must_use]
    pub fn new(law: &RingLaw, path: SubjectPath, each_second: Length) -> Option<Self> {
        let length = path.length(&mut ())?;
        let mut pull = Self {
            law: law.clone(),
            path,
            each_second,
            length,
            magnifications: (0.0, 0.0),
        };
        let ends = pull.turns().into_iter();
        let reached: Vec<f64> = ends
            .filter_map(|(_, focus)| pull.magnification(focus, &mut ()))
            .collect();
        // Where neither end is reached, `untold` says so.
        let low = reached.iter().copied().reduce(f64::min).unwrap_or(0.0);
        let high = reached.iter().copied().reduce(f64::max).unwrap_or(0.0);
        pull.magnifications = (low, high);
        (length.is_positive() && each_second.is_positive()).then_some(pull)
    }

    /// Its path.
    #[must_use]
    pub const fn path(&self) -> &SubjectPath {
        &self.path
    }

    /// How long the path is.
    #[must_use]
    pub const fn length(&self) -> Length {
        self.length
    }

    /// The ring's law.
    #[must_use]
    pub const fn law(&self) -> &RingLaw {
        &self.law
    }

    /// The subject when it has gone some way.
    pub fn spot(&self, way: Length, rec: &mut impl Record) -> Option<Spot> {
        self.path.spot(way, self.each_second, rec)
    }

    /// How long a way takes.
    pub fn time(&self, way: Length, rec: &mut impl Record) -> Time {
        time_of(way, self.each_second, rec)
    }

    /// The way gone after some time, at most the whole.
    pub fn way(&self, time: Time, rec: &mut impl Record) -> Length {
        let way = way_of_time(self.each_second.to_mm(), time.to_seconds(), rec);
        Length::mm(way).min(self.length)
    }

    /// The ring's position for a subject on its way, which was found to be on the
    /// scale before.
    pub fn position(&self, spot: &Spot, rec: &mut impl Record) -> Option<RingPosition> {
        let m = self.magnification(spot.focus, rec)?;
        let place = self.law.at_magnification(m, rec);
        Some(self.law.counted(place, rec))
    }

    /// How far the ring turns in one second, below zero toward infinity.
    ///
    /// The law's slope is taken within the pull: beyond it the law may be another.
    pub fn rate(&self, spot: &Spot, rec: &mut impl Record) -> Option<RingPosition> {
        let approach = spot.approach.to_mm();
        let m = self.magnification(spot.focus, rec)?;
        if approach == 0.0 {
            return Some(self.law.counted(self.law.place(0.0), &mut ()));
        }
        let (low, high) = self.magnifications;
        let below = if m > low { just_below(m, rec) } else { m };
        let above = if m < high { just_above(m, rec) } else { m };
        let (before, after) = (below.max(low), above.min(high));
        if after <= before {
            return None;
        }
        let mut place = |m: f64| {
            let place = self.law.at_magnification(m, rec);
            self.law.counted(place, rec)
        };
        let (from, to) = (place(before), place(after));
        let f = self.law.lens().focal_length().to_mm();
        let raw = match from.measure {
            Measure::Turn => {
                let slope = in_deg::law_slope(from.raw, to.raw, before, after, rec);
                in_deg::turn_rate(slope, m, f, approach, rec)
            }
            Measure::Arc => {
                let slope = in_mm::law_slope(from.raw, to.raw, before, after, rec);
                in_mm::turn_rate(slope, m, f, approach, rec)
            }
        };
        Some(RingPosition { raw, ..from })
    }

    /// How long the ring may be off where it turns at a rate and the subject stays
    /// sharp up to an edge.
    pub fn room_in_time(
        &self,
        (edge, position): (RingPosition, RingPosition),
        rate: RingPosition,
        rec: &mut impl Record,
    ) -> Option<Time> {
        let late = match rate.measure {
            Measure::Turn => in_deg::room_in_time(edge.raw, position.raw, rate.raw, rec),
            Measure::Arc => in_mm::room_in_time(edge.raw, position.raw, rate.raw, rec),
        };
        Time::try_seconds(late).ok()
    }

    /// The way gone where the ring turns fastest; `None` where it does not turn.
    ///
    /// Each part of the pull in which the focus goes one way is looked along, closest
    /// where the subject is near, and the best place refined.
    #[must_use]
    pub fn fastest(&self) -> Option<Length> {
        let speed = |way: f64| {
            let spot = self.spot(Length::mm(way), &mut ());
            let rate = spot.and_then(|spot| self.rate(&spot, &mut ()));
            rate.map_or(0.0, |rate| rate.raw.abs())
        };
        let turns = self.turns();
        let mut best: Option<(f64, f64)> = None;
        for pair in turns.windows(2) {
            let [(one, at_one), (other, at_other)] = [pair[0], pair[1]];
            let (near, far) = if at_one.is_nearer_than(at_other) {
                (one.to_mm(), other.to_mm())
            } else {
                (other.to_mm(), one.to_mm())
            };
            // By cubes, so that a pass beside the camera at the end of a long way is
            // not missed.
            let look = |number: i32| {
                let part = f64::from(number.clamp(0, LOOKED_AT)) / f64::from(LOOKED_AT);
                near + (far - near) * part * part * part
            };
            let looks = (0..=LOOKED_AT).map(|number| (number, speed(look(number))));
            let Some((number, seen)) = looks.max_by(|a, b| a.1.total_cmp(&b.1)) else {
                continue;
            };
            let found = highest_between(speed, look(number - 1), look(number + 1));
            let found = (found, speed(found));
            let found = if found.1 > seen {
                found
            } else {
                (look(number), seen)
            };
            // On the way there and back alike, the first of two tops that are one.
            if best.is_none_or(|best| found.1 > best.1 * (1.0 + 1e-9)) {
                best = Some(found);
            }
        }
        best.filter(|best| best.1 > 0.0)
            .map(|best| Length::mm(best.0))
    }

    /// Where on the way the ring's law ends, if it does.
    #[must_use]
    pub fn untold(&self) -> Option<Untold> {
        let turns = self.turns();
        let begin = turns.first()?.1;
        if let Err(why) = self.law.position(begin) {
            let spot = self.spot(Length::ZERO, &mut ())?;
            return Some(Untold { spot, why });
        }
        turns.windows(2).find_map(|pair| {
            let why = self.law.position(pair[1].1).err()?;
            let last = match why {
                OffScale::InsideCloseFocus(limit) | OffScale::OutsideMarks(limit) => limit,
            };
            let last = last.reach().finite()?.to_mm();
            let beyond = |way: f64| {
                let spot = self.spot(Length::mm(way), &mut ());
                let focus = spot.and_then(|spot| spot.focus.reach().finite());
                focus.map_or(f64::NAN, |focus| focus.to_mm() - last)
            };
            let (from, to) = (pair[0].0.to_mm(), pair[1].0.to_mm());
            let way = root_between(beyond, from, to).unwrap_or(to);
            let spot = self.spot(Length::mm(way), &mut ())?;
            Some(Untold { spot, why })
        })
    }

    /// Both ends and where the focus turns round between them, with the focus
    /// distances there: the taped ones themselves where the camera pans.
    #[must_use]
    pub fn turns(&self) -> Vec<(Length, FocusDistance)> {
        let (from, to) = self.path.ends();
        let pans = !self.path.frame_stands();
        let focus = |way: Length, taped: Option<FocusDistance>| {
            let computed = self.spot(way, &mut ()).map(|spot| spot.focus);
            taped.filter(|_| pans).or(computed).map(|at| (way, at))
        };
        let nearest = match self.path.kind() {
            PathKind::Axis => None,
            PathKind::Passing { closest, .. } => Some(closest),
            PathKind::Circling { centre, radius, .. } => Some(centre - radius),
        };
        let nearest = nearest.map(|nearest| FocusDistance::computed(Reach::At(nearest)));
        let middle = self.path.way_to_turn_round(&mut ());
        let middle = middle.and_then(|way| focus(way, nearest));
        [
            focus(Length::ZERO, Some(from)),
            middle,
            focus(self.length, Some(to)),
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    fn magnification(&self, at: FocusDistance, rec: &mut impl Record) -> Option<f64> {
        let m = self.law.lens().magnification(at, Branch::Far, rec);
        m.map(Magnification::value).ok().filter(|&m| m > 0.0)
    }
}

/// How long a subject takes for a way at a speed above zero.
pub fn time_of(way: Length, each_second: Length, rec: &mut impl Record) -> Time {
    Time::computed(time_of_way(way.to_mm(), each_second.to_mm(), rec))
}

/// How fast a subject goes that takes some time; `None` where it goes nowhere or
/// takes none.
pub fn speed_for(way: Length, time: Time, rec: &mut impl Record) -> Option<Length> {
    (way.is_positive() && time > Time::ZERO)
        .then(|| Length::mm(speed_of_way(way.to_mm(), time.to_seconds(), rec)))
}
