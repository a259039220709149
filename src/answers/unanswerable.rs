//! Why a well-formed question has no answer on this lens.

use core::fmt;

use crate::optics::{BehindPupil, InsideOneToOne, MtfUnreachable, OutOfReach};
use crate::units::show::{Round, Step};
use crate::units::{FNumber, FocusDistance, Length, Ratio, Reach, Time, show};

/// No setting of this lens does what was asked.
#[non_exhaustive]
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Unanswerable {
    /// The conjugates do not exist.
    OutOfReach(OutOfReach),
    /// An object stands at or behind the entrance pupil.
    BehindPupil {
        /// The object, from the image plane.
        object: FocusDistance,
        /// Where the pupil is.
        pupil: BehindPupil,
    },
    /// There is no hyperfocal distance.
    InsideOneToOne(InsideOneToOne),
    /// Nearer than the lens goes.
    InsideCloseFocus {
        /// What was asked.
        asked: FocusDistance,
        /// The nearest the lens goes.
        close_focus: FocusDistance,
    },
    /// Beyond the marks that were measured.
    OutsideMarks {
        /// What was asked.
        asked: FocusDistance,
        /// The nearest that can be answered.
        nearest: FocusDistance,
    },
    /// On its way a moving subject comes where the ring does not follow.
    OnTheWay {
        /// When.
        time: Time,
        /// Where it then is, straight from the image-plane mark.
        taped: Length,
        /// The focus distance at which the ring ends.
        nearest: FocusDistance,
        /// What ends there.
        end: RingEnd,
    },
    /// A place on the ring beyond either end of what its law tells; arcs along
    /// the bare ring.
    OffRing {
        /// The place asked about.
        asked: Length,
        /// The end toward infinity.
        from: Length,
        /// The end toward close focus.
        to: Length,
    },
    /// The setting lies beyond infinity.
    BeyondInfinity,
    /// A mark that was asked about has no focus.
    AtMark {
        /// The mark.
        mark: FocusDistance,
        /// Why.
        reason: OutOfReach,
    },
    /// Even focused at infinity the lens holds from nearer than the near limit
    /// wanted.
    NearLimitTooFar {
        /// The near limit wanted.
        asked: FocusDistance,
        /// The farthest there is.
        farthest: FocusDistance,
    },
    /// Even at its farthest the lens holds nearer than the far limit wanted.
    FarLimitTooFar {
        /// The far limit wanted.
        asked: FocusDistance,
        /// The farthest there is.
        farthest: FocusDistance,
    },
    /// Even at its nearest the lens holds farther than the far limit wanted.
    FarLimitTooNear {
        /// The far limit wanted.
        asked: FocusDistance,
        /// The nearest there is.
        nearest: FocusDistance,
    },
    /// A width that only the ordinary range takes in was wanted larger than life.
    WiderThanLife {
        /// The width at 1:1.
        widest: Length,
    },
    /// Not even in focus is there the contrast that was wanted.
    MtfUnreachable(MtfUnreachable),
    /// No stop leaves both ends the contrast that was wanted.
    NoStopHolds {
        /// The contrast the best stop leaves them.
        best: Ratio,
        /// That stop.
        at: FNumber,
    },
    /// A chain of depth steps without a useful end.
    TooManySteps {
        /// How many we go.
        most: usize,
    },
}

/// What ends a ring's law.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RingEnd {
    /// The lens's close focus.
    CloseFocus,
    /// Its optics: no image is formed of anything nearer.
    Optics,
    /// The marks that were measured.
    Marks,
}

impl Unanswerable {
    /// The nearest figure that can be, in millimetres or as a plain number.
    #[must_use]
    pub fn nearest(&self) -> Option<f64> {
        match self {
            Self::AtMark { reason, .. } => Self::OutOfReach(*reason).nearest(),
            Self::OutOfReach(
                OutOfReach::Inside4f { nearest }
                | OutOfReach::InsideRows { nearest }
                | OutOfReach::BeyondFarthest { farthest: nearest },
            ) => Some(nearest.to_mm()),
            Self::OutOfReach(OutOfReach::MarkBeyondInfinity { farthest }) => {
                farthest.map(Length::to_mm)
            }
            Self::OutOfReach(OutOfReach::MacroAtInfinity)
            | Self::BeyondInfinity
            | Self::TooManySteps { .. } => None,
            Self::OffRing { asked, from, to } => Some(asked.max(*from).min(*to).to_mm()),
            Self::BehindPupil { pupil, .. } => Some(pupil.pupil_station.to_mm()),
            Self::InsideOneToOne(inside) => Some(inside.largest.value()),
            Self::MtfUnreachable(reason) => Some(reason.best.value()),
            Self::NoStopHolds { best, .. } => Some(best.value()),
            Self::WiderThanLife { widest } => Some(widest.to_mm()),
            Self::InsideCloseFocus {
                close_focus: nearest,
                ..
            }
            | Self::OutsideMarks { nearest, .. }
            | Self::OnTheWay { nearest, .. }
            | Self::NearLimitTooFar {
                farthest: nearest, ..
            }
            | Self::FarLimitTooFar {
                farthest: nearest, ..
            }
            | Self::FarLimitTooNear { nearest, .. } => nearest.reach().finite().map(Length::to_mm),
        }
    }
}

impl fmt::Display for Unanswerable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let shown = |distance: &FocusDistance| match distance.reach() {
            Reach::At(length) => {
                format!(
                    "{} ({})",
                    show::rounded(length, Step::TenthsOfMm(10), Round::Nearest),
                    show::nearest_16th(length)
                )
            }
            Reach::Infinity => "infinity".into(),
        };
        match self {
            Self::OutOfReach(reason) => reason.fmt(f),
            Self::BehindPupil { object, pupil } => write!(f, "{}: {pupil}", shown(object)),
            Self::InsideOneToOne(inside) => inside.fmt(f),
            Self::InsideCloseFocus { asked, close_focus } => write!(
                f,
                "{} is nearer than the lens focuses; it goes down to {}",
                shown(asked),
                shown(close_focus)
            ),
            Self::OutsideMarks { asked, nearest } => write!(
                f,
                "{} lies outside the marks of this ring, which tell as far as {}",
                shown(asked),
                shown(nearest)
            ),
            Self::OnTheWay {
                time,
                taped,
                nearest,
                end,
            } => {
                let seconds = libm::floor(time.to_seconds() * 100.0) / 100.0;
                let what = match end {
                    RingEnd::CloseFocus => "comes nearer than the lens focuses",
                    RingEnd::Optics => "comes nearer than the lens forms an image of",
                    RingEnd::Marks => "goes where no mark of this ring tells",
                };
                write!(
                    f,
                    "{seconds:.2} s on its way the subject {what}: it is then {} from the \
                     image-plane mark, and the ring ends at a focus of {}",
                    shown(&FocusDistance::computed(Reach::At(*taped))),
                    shown(nearest)
                )
            }
            Self::OffRing { asked, from, to } => {
                // The ends inward, so that what is named can be asked for.
                let inward = |mm: f64| libm::floor(mm * 100.0) / 100.0;
                write!(
                    f,
                    "{} mm along the ring lies off its scale, which runs from {:.2} to {:.2} mm",
                    asked.to_mm(),
                    -inward(-from.to_mm()) + 0.0,
                    inward(to.to_mm())
                )
            }
            Self::AtMark { mark, reason } => write!(f, "mark {}: {reason}", shown(mark)),
            Self::BeyondInfinity => f.write_str("the setting lies beyond infinity"),
            Self::WiderThanLife { widest } => write!(
                f,
                "larger than life (m at least 1) the picture takes in at most its own width, \
                 {:.2} mm",
                widest.to_mm()
            ),
            Self::NearLimitTooFar { asked, farthest } => write!(
                f,
                "no focus has its near limit as far as {}: focused at infinity, everything from {} \
                 on is sharp",
                shown(asked),
                shown(farthest)
            ),
            Self::FarLimitTooFar { asked, farthest } => write!(
                f,
                "no focus has its far limit as far as {}: at its farthest the lens holds to {}",
                shown(asked),
                shown(farthest)
            ),
            Self::FarLimitTooNear { asked, nearest } => write!(
                f,
                "no focus has its far limit as near as {}: at its nearest the lens holds to {}",
                shown(asked),
                shown(nearest)
            ),
            Self::MtfUnreachable(reason) => reason.fmt(f),
            Self::NoStopHolds { best, at } => write!(
                f,
                "no stop leaves both so much contrast: the best, f/{:.2}, leaves them {:.3}",
                at.value(),
                libm::floor(best.value() * 1000.0) / 1000.0
            ),
            Self::TooManySteps { most } => {
                write!(
                    f,
                    "that makes more than {most} steps: begin nearer or end farther away"
                )
            }
        }
    }
}

impl core::error::Error for Unanswerable {}

impl From<OutOfReach> for Unanswerable {
    fn from(reason: OutOfReach) -> Self {
        Self::OutOfReach(reason)
    }
}

impl From<MtfUnreachable> for Unanswerable {
    fn from(reason: MtfUnreachable) -> Self {
        Self::MtfUnreachable(reason)
    }
}

impl From<InsideOneToOne> for Unanswerable {
    fn from(reason: InsideOneToOne) -> Self {
        Self::InsideOneToOne(reason)
    }
}
