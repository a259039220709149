//! The reading that would settle what is undecided.

use super::limits::FEWEST_SETTINGS;
use super::own_scale::OwnScale;
use super::reading::{Taken, sd_of_reading};
use super::suspects::is_same;
use super::verdict::Displacement;
use crate::gear::Lens;
use crate::numerics::Normal;
use crate::numerics::math::sqrt;
use crate::optics::Branch;
use crate::scale::errors::{RING_SD, tape_sd};
use crate::scale::fit::{GroupFit, travel_per_tape};
use crate::units::{FocusDistance, Length, Stop, Unit};

/// What settles it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SettledBy {
    /// Readings at the chart.
    Reading,
    /// No reading at the chart does within reason; a collimator does.
    Collimator,
    /// What the lens's figures may be off hides it: its hiatus, or readings on
    /// the engraved scale instead of degrees.
    Figures,
}

impl SettledBy {
    /// Its name in the JSON contract.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Reading => "reading",
            Self::Collimator => "collimator",
            Self::Figures => "figures",
        }
    }
}

/// Why it is undecided.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Because {
    /// Fewer settings than it takes.
    TooFew,
    /// All at one distance: a scale is not judged in one place.
    OneDistance,
    /// Its error is too large for a verdict.
    TooWide,
}

impl Because {
    /// Its name in the JSON contract.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::TooFew => "too_few",
            Self::OneDistance => "one_distance",
            Self::TooWide => "too_wide",
        }
    }
}

/// What to read next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settling {
    /// Why it is undecided.
    pub because: Because,
    /// By what.
    pub by: SettledBy,
    /// The distance to tape, where a reading at the chart settles it.
    pub taped: Option<FocusDistance>,
    /// The stop to read at: the widest, where focus is sharpest.
    pub stop: Stop,
    /// How many readings.
    pub readings: usize,
}

/// More readings than these nobody takes.
const MOST_READINGS: usize = 9;

/// Distances one tapes in a prep room: in half feet, and in centimetres.
const FEET: [i64; 16] = [2, 3, 4, 5, 6, 7, 8, 10, 12, 16, 20, 24, 30, 40, 50, 60];
const METRES: [i64; 16] = [
    30, 40, 50, 60, 80, 100, 120, 150, 200, 250, 300, 400, 500, 600, 800, 900,
];
/// What one reading more should settle stands no farther than a room is long.
const ROOM: Length = Length::m(6.2);

/// Distances one tapes in a prep room, in the unit of a scale, near to far.
pub(super) fn places_in(engraved: Option<Unit>) -> impl Iterator<Item = FocusDistance> {
    let length = move |at: usize| match engraved {
        Some(Unit::Feet) => Length::from_inch_64ths(FEET[at] * 6 * 64),
        _ => Length::mm(METRES[at] as f64 * 10.0),
    };
    (0..FEET.len()).filter_map(move |at| FocusDistance::at(length(at)).ok())
}

/// A lens as far as it is judged.
#[derive(Clone, Copy)]
pub(super) struct SoFar<'a> {
    pub lens: &'a Lens,
    pub scale: &'a OwnScale<'a>,
    pub taken: &'a [Taken],
    pub group: &'a GroupFit,
    pub found: Displacement,
    pub zero_sd: f64,
    /// What figures and marks may be off, in mm.
    pub figures_sd: f64,
    pub tolerated: Length,
    /// Why it is undecided.
    pub because: Because,
}

impl SoFar<'_> {
    /// The fewest readings that settle it, and where.
    pub fn settling(&self) -> Settling {
        let settings: usize = self.taken.iter().map(|row| row.settings).sum();
        let least = FEWEST_SETTINGS.saturating_sub(settings).max(1);
        let wanted = self.wanted();
        let mut best: Option<(usize, FocusDistance)> = None;
        for taped in self.places() {
            let enough = |&count: &usize| self.after(taped, count).is_some_and(|sd| sd < wanted);
            let Some(count) = (least..=MOST_READINGS).find(enough) else {
                continue;
            };
            // Of places that do as well the nearest: far off, an eye sees less.
            if best.is_none_or(|(fewest, _)| count < fewest) {
                best = Some((count, taped));
            }
        }
        Settling {
            because: self.because,
            by: match best {
                _ if self.figures_sd >= wanted => SettledBy::Figures,
                Some(_) => SettledBy::Reading,
                None => SettledBy::Collimator,
            },
            taped: best.map(|(_, taped)| taped),
            stop: self.lens.widest(),
            readings: best.map_or(1, |(count, _)| count),
        }
    }

    /// The standard error at which the verdict falls, were the error as found.
    fn wanted(&self) -> f64 {
        let (off, tolerated) = (self.found.error.abs().to_mm(), self.tolerated.to_mm());
        ((tolerated - off) / 2.0).max(off / 2.0)
    }

    /// Where a chart may stand: at 1 m or more, within the lens's reach, and
    /// not again where all the others are.
    fn places(&self) -> impl Iterator<Item = FocusDistance> {
        let in_the_room = |taped: &FocusDistance| {
            let length = taped.reach().finite().unwrap_or(Length::ZERO);
            (Length::m(1.0)..=ROOM).contains(&length)
        };
        let again = |taped: FocusDistance| {
            self.because == Because::OneDistance
                && self.taken.iter().any(|row| is_same(row.taped, taped))
        };
        places_in(self.lens.engraved())
            .filter(in_the_room)
            .filter(|taped| !taped.is_nearer_than(self.lens.close_focus()))
            .filter(move |&taped| !again(taped))
    }

    /// The standard error after so many readings more at a distance.
    fn after(&self, taped: FocusDistance, count: usize) -> Option<f64> {
        let optics = self.scale.lens();
        let m = optics
            .magnification(taped, Branch::Far, &mut ())
            .ok()?
            .value();
        let slope = travel_per_tape(m, &mut ());
        let gain = self.scale.gain(optics.focal_length().to_mm() * m);
        let sd = sd_of_reading(
            RING_SD.to_deg(),
            gain,
            1.0,
            slope,
            tape_sd(taped).to_mm(),
            &mut (),
        );
        let mut normal = Normal::new(2);
        let share = self.group.zero_share.value();
        normal.add(&[1.0, -share], 0.0, self.group.own_sd.to_mm());
        normal.add(&[0.0, 1.0], 0.0, self.zero_sd);
        normal.add(&[1.0, slope], 0.0, sd / sqrt(count as f64));
        let of_readings = normal.solve()?.covariance(0, 0);
        Some(sqrt(of_readings + self.figures_sd * self.figures_sd))
    }
}
