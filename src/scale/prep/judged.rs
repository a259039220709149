//! What a prep day is, and what is concluded from it.

use super::reading::BadReading;
use super::settle::Settling;
use super::verdict::{BodyVerdict, Displacement, LensVerdict};
use crate::gear::{Lens, LensId, Marks, PrepRow};
use crate::numerics::math::sqrt;
use crate::scale::NoLaw;
use crate::scale::fit::square;
use crate::units::{Angle, FocusDistance, Gain, Length, Ratio, Stop};

/// A lens with its readings on one camera.
#[derive(Clone, Debug)]
pub struct OnTest<'a> {
    /// The lens.
    pub lens: &'a Lens,
    /// Its marks, where there are any.
    pub marks: Option<&'a Marks>,
    /// Its rows of prep day on this camera, in the order of the file.
    pub rows: Vec<&'a PrepRow>,
    /// The image-plane error that is tolerated.
    pub tolerated: Length,
    /// Whether the steps that lead to its figures are wanted.
    pub with_steps: bool,
}

/// The readings of a set of lenses on one camera.
#[derive(Clone, Debug)]
pub struct PrepDay<'a> {
    /// The camera, where it has a name.
    pub camera: Option<&'a str>,
    /// How far the tape hook sits beside the axis.
    pub hook: Length,
    /// The lenses.
    pub lenses: Vec<OnTest<'a>>,
}

/// Why a prep day cannot be judged.
#[derive(Clone, Debug, PartialEq)]
pub enum PrepFault {
    /// A row is no reading.
    Reading(BadReading),
    /// The ring of a lens has no law.
    Law {
        /// The lens.
        lens: LensId,
        /// Why.
        why: NoLaw,
    },
}

/// Something to say of a lens beside its verdict.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Remark {
    /// Fewer settings than it takes to judge.
    TooFew,
    /// All at one distance: a scale cannot be judged in one place.
    OneDistance,
    /// Nobody measured how far the ring turns.
    TurnAssumed,
    /// Readings in degrees were held against marks found by eye.
    HeldAgainstEye,
    /// No reading at infinity: a scale that slipped on the ring and an
    /// image-plane error read alike.
    NoInfinity,
    /// Its own share stands apart from the rest of the set.
    StandsApart,
    /// One of several settings in a cell was left out.
    SettingLeftOut,
    /// A misreading was at another stop than the rest.
    SuspectAtOtherStop,
}

/// One reading, judged.
#[derive(Clone, Debug, PartialEq)]
pub struct PointJudged {
    /// The line of the file.
    pub line: usize,
    /// The stop.
    pub stop: Stop,
    /// As taped.
    pub taped: FocusDistance,
    /// On the engraved scale.
    pub reading: Option<FocusDistance>,
    /// As an angle.
    pub turn: Option<Angle>,
    /// By how much the ring stood farther toward close focus than it should.
    pub residual: Angle,
    /// The same over what it may be off.
    pub strangeness: Ratio,
    /// Whether it was set aside as a misreading.
    pub suspect: bool,
    /// How many settings are averaged in it.
    pub settings: usize,
    /// What one setting of the ring may be off.
    pub ring_sd: Angle,
    /// What the tape may be off.
    pub tape_sd: Length,
    /// What the reading may be off by both, its settings averaged.
    pub sd: Angle,
    /// What a millimetre of lens travel turns the ring there.
    pub gain: Option<Gain>,
    /// Where the lens stood from its infinity position, by its scale.
    pub travel: Length,
}

/// What a standard error is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ErrorParts {
    /// What the readings together may be off, were the tape's zero known.
    pub readings: Length,
    /// What comes of what the lens's figures and marks may be off.
    pub figures: Length,
    /// How much of a millimetre of the tape's zero is in it.
    pub zero_share: Ratio,
}

/// One lens, judged.
#[derive(Clone, Debug, PartialEq)]
pub struct LensJudged {
    /// As read on this camera, at its widest stop.
    pub as_read: Displacement,
    /// What its standard error is made of.
    pub parts: ErrorParts,
    /// Its own share.
    pub own: Option<Displacement>,
    /// What is said of it.
    pub verdict: LensVerdict,
    /// What would be said of its own share.
    pub own_verdict: Option<LensVerdict>,
    /// What is tolerated.
    pub tolerated: Length,
    /// Sum of squared residuals over their variances.
    pub chi_square: Ratio,
    /// Its degrees of freedom.
    pub degrees_of_freedom: usize,
    /// Every reading, in the order of the file.
    pub points: Vec<PointJudged>,
    /// Where focus moves with the stop: what each stop reads.
    pub by_stop: Vec<(Stop, Displacement)>,
    /// What would settle it, where it is undecided.
    pub settling: Option<Settling>,
    /// What else is to be said.
    pub remarks: Vec<Remark>,
}

/// The camera, judged.
#[derive(Clone, Debug, PartialEq)]
pub struct BodyJudged {
    /// What all lenses share; `None` where that cannot be told.
    pub found: Option<Displacement>,
    /// What is said of it.
    pub verdict: BodyVerdict,
    /// What is tolerated: the least of its lenses.
    pub tolerated: Length,
    /// How many lenses it is judged on.
    pub judged_on: usize,
    /// How many of them there could have been, had each a reading at 1 m or
    /// beyond and an even scale.
    pub lenses: usize,
}

/// A prep day, judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// How much farther than taped everything is, and how well that is known.
    pub tape_zero: Displacement,
    /// The camera.
    pub body: BodyJudged,
    /// The lenses, in their order.
    pub lenses: Vec<LensJudged>,
}

impl ErrorParts {
    /// Variance were the tape's zero known, in mm².
    pub(super) fn variance(&self) -> f64 {
        square(self.readings.to_mm()) + square(self.figures.to_mm())
    }
}

impl Judged {
    /// How much farther this camera's image plane is than another's, from
    /// lenses read on both: what a lens is off by itself cancels. Pairs are the
    /// places of one lens here and there; `None` with fewer than two, for no
    /// body is judged on one lens.
    #[must_use]
    pub fn farther_than(&self, other: &Self, pairs: &[(usize, usize)]) -> Option<Displacement> {
        if pairs.len() < 2 {
            return None;
        }
        let (mut total, mut error, mut here, mut there) = (0.0, 0.0, 0.0, 0.0);
        for &(mine, theirs) in pairs {
            let (mine, theirs) = (self.lenses.get(mine)?, other.lenses.get(theirs)?);
            let weight = 1.0 / (mine.parts.variance() + theirs.parts.variance());
            total += weight;
            error += weight * (mine.as_read.error - theirs.as_read.error).to_mm();
            here += weight * mine.parts.zero_share.value();
            there += weight * theirs.parts.zero_share.value();
        }
        let by_zero =
            |share: f64, day: &Self| square(share / total * day.tape_zero.standard_error.to_mm());
        let variance = 1.0 / total + by_zero(here, self) + by_zero(there, other);
        Some(Displacement {
            error: Length::mm(error / total),
            standard_error: Length::mm(sqrt(variance)),
        })
    }
}
