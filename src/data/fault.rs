//! What can be wrong with an input, and with the machine.

use core::fmt;

use crate::answers::{RingEnd, Unanswerable};
#[cfg(feature = "scene")]
use crate::draw;
use crate::gear::{NoDepth, NoLens};
use crate::optics::{CannotAttach, NoBreathing, OutOfReach};
use crate::scale::{LawFault, NoLaw};
use crate::sheets::NoTape;
use crate::units::Unreadable;

macro_rules! kinds {
    ($($(#[$doc:meta])* $id:ident = $name:literal, $exit:literal;)+) => {
        /// The kinds of fault: their name in the JSON contract and the exit code.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum Kind { $($(#[$doc])* $id),+ }

        impl Kind {
            /// Every kind, in the order of the table.
            pub const ALL: &'static [Self] = &[$(Self::$id),+];

            /// Its name in the JSON contract.
            #[must_use]
            pub const fn name(self) -> &'static str {
                match self { $(Self::$id => $name),+ }
            }

            /// 2 for usage or input that cannot be, 3 for what no setting of
            /// the lens does, 1 for the machine's failures.
            #[must_use]
            pub const fn exit_code(self) -> u8 {
                match self { $(Self::$id => $exit),+ }
            }
        }
    };
}

kinds! {
    /// The command line is not one of ours.
    Usage = "usage", 2;
    /// A text that is no distance, length, stop or other quantity.
    NotADistance = "not_a_distance", 2;
    /// A decimal number of feet.
    AmbiguousFeet = "ambiguous_feet", 2;
    /// A stop without `f/` or `T`.
    AmbiguousStop = "ambiguous_stop", 2;
    /// A number without a unit.
    BareNumber = "bare_number", 2;
    /// A cell that a spreadsheet turned into a date.
    SpreadsheetDate = "spreadsheet_date", 2;
    /// Zero or below where that cannot be.
    NotPositive = "not_positive", 2;
    /// Infinite or not a number where that cannot be.
    NotFinite = "not_finite", 2;
    /// Outside what the quantity may be.
    OutOfRange = "out_of_range", 2;
    /// A format, lens or topic nobody knows.
    UnknownId = "unknown_id", 2;
    /// A key or column nobody knows.
    UnknownKey = "unknown_key", 2;
    /// The far one of two distances is not the farther.
    FarNotBeyondNear = "far_not_beyond_near", 2;
    /// Said twice.
    Duplicate = "duplicate", 2;
    /// Not in the order it must have.
    OutOfOrder = "out_of_order", 2;
    /// Fewer than it takes.
    TooFew = "too_few", 2;
    /// Absent, and needed.
    Missing = "missing", 2;
    /// An output that is there already.
    Exists = "exists", 2;
    /// More than we read.
    TooLarge = "too_large", 2;
    /// No text in UTF-8.
    NotText = "not_text", 2;
    /// Nearer than four focal lengths and the hiatus.
    Inside4f = "inside_4f", 3;
    /// The macro setting for infinity.
    MacroAtInfinity = "macro_at_infinity", 3;
    /// Beyond infinity.
    BeyondInfinity = "beyond_infinity", 3;
    /// Nearer than the lens goes.
    InsideCloseFocus = "inside_close_focus", 3;
    /// Farther or nearer than the marks tell.
    OutsideMarks = "outside_marks", 3;
    /// At or behind the entrance pupil.
    ObjectBehindEntrancePupil = "object_behind_entrance_pupil", 3;
    /// Circle times f-number exceeds the focal length.
    HyperfocalInside1to1 = "hyperfocal_inside_1to1", 3;
    /// A contrast that no focus reaches.
    MtfUnreachable = "mtf_unreachable", 3;
    /// No stop holds these subjects.
    CannotHold = "cannot_hold", 3;
    /// More than there is room for.
    DoesNotFit = "does_not_fit", 3;
    /// Disk, permission and the like.
    Machine = "machine", 1;
}

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Severity {
    /// Nothing is answered.
    Error,
    /// Answered, and worth a look.
    Warning,
}

impl Severity {
    /// Its name in the JSON contract.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warning => "warning",
        }
    }
}

/// Where it is: in a file, or on the command line.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Place {
    /// The file.
    pub file: Option<String>,
    /// The line, from 1.
    pub line: Option<usize>,
    /// The column, from 1, in characters.
    pub column: Option<usize>,
    /// The key, the column's name, or the flag.
    pub key: Option<String>,
}

impl Place {
    /// Somewhere in a file.
    #[must_use]
    pub fn in_file(file: &str) -> Self {
        Self {
            file: Some(file.to_owned()),
            ..Self::default()
        }
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut parts = Vec::new();
        if let Some(file) = &self.file {
            let mut spot = file.clone();
            for number in [self.line, self.column].into_iter().flatten() {
                spot.push_str(&format!(":{number}"));
            }
            parts.push(spot);
        }
        parts.extend(self.key.clone());
        f.write_str(&parts.join(": "))
    }
}

/// One thing that is wrong: what, where, and what would be right.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// What kind of thing.
    pub kind: Kind,
    /// How bad.
    pub severity: Severity,
    /// What was wrong.
    pub message: String,
    /// Where.
    pub place: Option<Place>,
    /// What would be right.
    pub help: Option<String>,
    /// The nearest figure that can be, in mm or as a plain number.
    pub nearest: Option<f64>,
}

impl Fault {
    /// An error of a kind.
    #[must_use]
    pub fn new(kind: Kind, message: impl Into<String>) -> Self {
        let message = message.into();
        Self {
            kind,
            severity: Severity::Error,
            message,
            place: None,
            help: None,
            nearest: None,
        }
    }

    /// A failure of the machine.
    #[must_use]
    pub fn machine(message: impl Into<String>) -> Self {
        Self::new(Kind::Machine, message)
    }

    /// A warning of a kind.
    #[must_use]
    pub fn warning(kind: Kind, message: impl Into<String>) -> Self {
        Self {
            severity: Severity::Warning,
            ..Self::new(kind, message)
        }
    }

    /// With what would be right.
    #[must_use]
    pub fn with_help(self, help: impl Into<String>) -> Self {
        Self {
            help: Some(help.into()),
            ..self
        }
    }

    /// With its place.
    #[must_use]
    pub fn at(self, place: Place) -> Self {
        Self {
            place: Some(place),
            ..self
        }
    }

    /// On the command line.
    #[must_use]
    pub fn at_flag(self, flag: &str) -> Self {
        self.at(Place {
            key: Some(flag.into()),
            ..Place::default()
        })
    }

    /// What was typed that is no such quantity.
    #[must_use]
    pub fn unreadable(text: &str, reason: &Unreadable) -> Self {
        let shown = shortened(text);
        let fault = Self::new(Kind::from(reason), format!("\"{shown}\": {reason}"));
        Self {
            help: reason.help(),
            ..fault
        }
    }
}

/// A text as a message can hold it: no control characters, not endless.
#[must_use]
pub fn shortened(text: &str) -> String {
    const MOST: usize = 60;
    let clean = text
        .chars()
        .map(|c| if c.is_control() { '\u{fffd}' } else { c });
    let mut out: String = clean.clone().take(MOST).collect();
    if clean.count() > MOST {
        out.push('…');
    }
    out
}

impl From<&Unreadable> for Kind {
    fn from(reason: &Unreadable) -> Self {
        match reason {
            Unreadable::NotThis {
                wanted: "a distance" | "a length",
                ..
            } => Self::NotADistance,
            Unreadable::NotThis { .. } => Self::Usage,
            Unreadable::AmbiguousFeet { .. } | Unreadable::FractionOfFeet { .. } => {
                Self::AmbiguousFeet
            }
            Unreadable::AmbiguousStop { .. } => Self::AmbiguousStop,
            Unreadable::BareNumber { .. } => Self::BareNumber,
            Unreadable::SpreadsheetDate => Self::SpreadsheetDate,
            Unreadable::NotPositive { .. } => Self::NotPositive,
            Unreadable::NotFinite { .. } => Self::NotFinite,
            Unreadable::OutOfRange { .. } => Self::OutOfRange,
        }
    }
}

impl From<Unanswerable> for Fault {
    fn from(reason: Unanswerable) -> Self {
        let kind = match reason {
            Unanswerable::OutOfReach(OutOfReach::Inside4f { .. }) => Kind::Inside4f,
            Unanswerable::OutOfReach(OutOfReach::MacroAtInfinity) => Kind::MacroAtInfinity,
            Unanswerable::OutOfReach(OutOfReach::InsideRows { .. }) => Kind::InsideCloseFocus,
            Unanswerable::OutOfReach(
                OutOfReach::BeyondFarthest { .. } | OutOfReach::MarkBeyondInfinity { .. },
            ) => Kind::BeyondInfinity,
            Unanswerable::AtMark { reason, .. } => {
                Self::from(Unanswerable::OutOfReach(reason)).kind
            }
            Unanswerable::BehindPupil { .. } => Kind::ObjectBehindEntrancePupil,
            Unanswerable::InsideOneToOne(_) => Kind::HyperfocalInside1to1,
            Unanswerable::InsideCloseFocus { .. } => Kind::InsideCloseFocus,
            Unanswerable::OnTheWay { end, .. } => match end {
                RingEnd::CloseFocus => Kind::InsideCloseFocus,
                RingEnd::Optics => Kind::Inside4f,
                RingEnd::Marks => Kind::OutsideMarks,
            },
            Unanswerable::OutsideMarks { .. } | Unanswerable::OffRing { .. } => Kind::OutsideMarks,
            Unanswerable::BeyondInfinity
            | Unanswerable::NearLimitTooFar { .. }
            | Unanswerable::FarLimitTooFar { .. } => Kind::BeyondInfinity,
            Unanswerable::FarLimitTooNear { .. } | Unanswerable::NoStopHolds { .. } => {
                Kind::CannotHold
            }
            Unanswerable::MtfUnreachable(_) => Kind::MtfUnreachable,
            Unanswerable::TooManySteps { .. } => Kind::TooLarge,
            Unanswerable::WiderThanLife { .. } => Kind::DoesNotFit,
        };
        Self {
            nearest: reason.nearest(),
            ..Self::new(kind, reason.to_string())
        }
    }
}

impl From<NoDepth> for Fault {
    fn from(reason: NoDepth) -> Self {
        match reason {
            NoDepth::NoStop => Self::new(Kind::Usage, "a stop is needed")
                .at_flag("--stop")
                .with_help("add --stop f/2.8 or --stop T2.9"),
            NoDepth::Lens(reason) => reason.into(),
            NoDepth::Circle(reason) => {
                let fault = Self::new(Kind::from(&reason), reason.to_string()).at_flag("--circle");
                Self {
                    help: reason.help(),
                    ..fault
                }
            }
        }
    }
}

impl From<NoLens> for Fault {
    fn from(reason: NoLens) -> Self {
        let (kind, flag) = match reason {
            NoLens::Breathing(NoBreathing::NotMonotone) => {
                (Kind::OutOfOrder, Some("--reproduction"))
            }
            NoLens::Breathing(NoBreathing::TooFew) => (Kind::TooFew, Some("--reproduction")),
            NoLens::Breathing(NoBreathing::NotPossible) => {
                (Kind::OutOfRange, Some("--reproduction"))
            }
            NoLens::Attach(CannotAttach::TooStrong(_) | CannotAttach::InsideTheLens { .. }) => {
                (Kind::OutOfRange, Some("--close-up"))
            }
            NoLens::Attach(CannotAttach::PlaceUnknown(_)) => (Kind::OutOfRange, Some("--extender")),
            NoLens::Attach(CannotAttach::NoRealFocus) => (Kind::BeyondInfinity, None),
        };
        let fault = Self::new(kind, reason.to_string());
        match flag {
            Some(flag) => fault.at_flag(flag),
            None => fault,
        }
    }
}

impl From<NoLaw> for Fault {
    fn from(reason: NoLaw) -> Self {
        let (kind, message, help) = match reason {
            NoLaw::NothingKnown => (
                Kind::Missing,
                "nothing is known of the ring: neither marks nor travel",
                "write marks/ID.csv, or travel_deg in lenses.csv",
            ),
            NoLaw::TravelUnknown => (
                Kind::Missing,
                "the marks are parts of a travel that is not known",
                "add travel_deg, or travel_mm with ring_circumference_mm, in lenses.csv",
            ),
            NoLaw::Marks(LawFault::TooFew) => (
                Kind::TooFew,
                "the marks are fewer than two, or nearer than the lens can focus",
                "read at least two marks",
            ),
            NoLaw::Marks(LawFault::NotMonotone) => (
                Kind::OutOfOrder,
                "the marks do not follow one another on the ring",
                "read the ring again where two marks change places",
            ),
        };
        Self::new(kind, message).with_help(help)
    }
}

impl From<NoTape> for Fault {
    fn from(reason: NoTape) -> Self {
        match reason {
            NoTape::NoRing => Self::new(Kind::Missing, "the ring's size is not known").with_help(
                "add ring_circumference_mm in lenses.csv: wrap a strip of `print strip-ruler` and \
                 read it where it meets itself, as its words say",
            ),
            NoTape::NoSense => Self::new(Kind::Missing, "the way the ring turns is not known")
                .with_help(
                    "add sense in lenses.csv: clockwise or counter-clockwise, from infinity to \
                     close focus, seen from behind the camera",
                ),
            NoTape::NoLaw(reason) => reason.into(),
            NoTape::CoversItself { scale, round } => Self::new(
                Kind::DoesNotFit,
                format!(
                    "the scale is {:.1} mm long and the ring {:.1} mm round: a tape would cover \
                     itself",
                    scale.to_mm(),
                    round.to_mm()
                ),
            )
            .with_help(
                "one of the two may be a slip: once round the ring is --circumference (in a kit \
                 ring_circumference_mm or ring_diameter_mm), from the infinity to the close-focus \
                 mark --travel-length (travel_mm, travel_deg or marks/ID.csv); a ring that truly \
                 turns farther takes no tape: `ring` tells its marks",
            ),
            NoTape::Unanswerable(reason) => reason.into(),
        }
    }
}

#[cfg(feature = "scene")]
impl From<draw::tape::NoRoom> for Fault {
    fn from(reason: draw::tape::NoRoom) -> Self {
        Self::new(Kind::DoesNotFit, reason.to_string())
    }
}

#[cfg(feature = "scene")]
impl From<draw::card::NoRoom> for Fault {
    fn from(reason: draw::card::NoRoom) -> Self {
        Self::new(Kind::DoesNotFit, reason.to_string())
    }
}

#[cfg(feature = "scene")]
impl From<draw::prep_report::NoRoom> for Fault {
    fn from(reason: draw::prep_report::NoRoom) -> Self {
        Self::new(Kind::DoesNotFit, reason.to_string())
            .with_help("choose a larger paper with --paper: a4 or letter")
    }
}

#[cfg(feature = "scene")]
impl From<draw::plot::NoRoom> for Fault {
    fn from(reason: draw::plot::NoRoom) -> Self {
        Self::new(Kind::DoesNotFit, reason.to_string())
            .with_help("choose a larger --paper, or the other --orientation")
    }
}

#[cfg(feature = "scene")]
impl From<draw::prep_form::TooNarrow> for Fault {
    fn from(reason: draw::prep_form::TooNarrow) -> Self {
        Self::new(Kind::DoesNotFit, reason.to_string())
            .with_help("choose a larger --paper: a5, a4 or letter")
    }
}

#[cfg(feature = "scene")]
impl From<draw::ring_strip::TooShort> for Fault {
    fn from(reason: draw::ring_strip::TooShort) -> Self {
        Self::new(Kind::DoesNotFit, reason.to_string())
            .with_help("choose a larger --paper, or a smaller --ring")
    }
}

#[cfg(feature = "scene")]
impl From<draw::target::TooSmall> for Fault {
    fn from(reason: draw::target::TooSmall) -> Self {
        Self::new(Kind::DoesNotFit, reason.to_string())
            .with_help("choose a larger --paper: a4 or letter")
    }
}

#[cfg(feature = "serde")]
mod json {
    //! Faults as the JSON contract has them.

    use serde::ser::{Serialize, SerializeMap, Serializer};

    use super::{Fault, Place};

    impl Serialize for Place {
        fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
            let mut map = out.serialize_map(Some(4))?;
            map.serialize_entry("file", &self.file)?;
            map.serialize_entry("line", &self.line)?;
            map.serialize_entry("column", &self.column)?;
            map.serialize_entry("key", &self.key)?;
            map.end()
        }
    }

    impl Serialize for Fault {
        fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
            let mut map = out.serialize_map(Some(6))?;
            map.serialize_entry("kind", self.kind.name())?;
            map.serialize_entry("severity", self.severity.name())?;
            map.serialize_entry("message", &self.message)?;
            map.serialize_entry("place", &self.place)?;
            map.serialize_entry("help", &self.help)?;
            map.serialize_entry("nearest", &self.nearest)?;
            map.end()
        }
    }
}
