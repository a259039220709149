//! What a session took down, as the JSON contract has it.

use crate::data::fault::Fault;
use crate::gear::{Assumption, MarkPosition};
use crate::units::{Angle, FocusDistance, Length};

/// A reading, a mean or a way between two: a number on the ring, or a distance
/// on the scale.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[cfg_attr(feature = "serde", serde(untagged))]
pub enum Figure {
    /// In the unit of the file's positions, or degrees.
    Number(MarkPosition),
    /// A distance that the scale reads, in mm.
    Distance(FocusDistance),
    /// How far apart two such distances are, in mm.
    Apart(Length),
}

/// What a reading is held against.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Expected {
    /// What the ring or the scale should read there.
    pub reading: Figure,
    /// What tells so: `eye`, `read` or `engraved` marks, `computed` from the
    /// travel, or the `tape`.
    pub by: &'static str,
    /// The camera those marks were taken on, where it is another.
    pub camera: Option<String>,
    /// The mean less that; `None` where one of the two is infinite.
    pub off: Option<Figure>,
    /// The same as a turn of the ring, whichever way, where that is known.
    #[cfg_attr(feature = "serde", serde(rename = "off_deg"))]
    pub off_turn: Option<Angle>,
}

/// A line that was taken.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Taken {
    /// The taped distance.
    #[cfg_attr(feature = "serde", serde(rename = "distance_mm"))]
    pub distance: FocusDistance,
    /// The readings, in the order they were typed.
    pub readings: Vec<Figure>,
    /// Their mean.
    pub mean: Option<Figure>,
    /// From the lowest to the highest; `None` where one of them is infinite.
    pub spread: Option<Figure>,
    /// The same as a turn of the ring, where that is known.
    #[cfg_attr(feature = "serde", serde(rename = "spread_deg"))]
    pub spread_turn: Option<Angle>,
    /// Whether that is more than settings of a ring ordinarily differ; `None`
    /// where the turn is not known.
    pub wide: Option<bool>,
    /// What the reading was held against, where there is anything.
    pub expected: Option<Expected>,
    /// The line of the session.
    pub line: usize,
    /// The line of the file.
    pub file_line: usize,
    /// What deserves a look.
    pub warnings: Vec<Fault>,
}

/// A line that was not taken.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Refused {
    /// The line of the session.
    pub line: usize,
    /// What was typed.
    pub text: String,
    /// Why.
    pub faults: Vec<Fault>,
}

/// What a session took down.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct TakeAnswer {
    /// The file, within the kit.
    pub file: String,
    /// The lens.
    pub lens: String,
    /// The camera, where it has a name.
    pub camera: Option<String>,
    /// The stop, where the scale was read.
    pub stop: Option<String>,
    /// The column readings stand in.
    pub column: &'static str,
    /// What readings, means and spreads are in: `mm`, `deg`, `fraction` or
    /// `counts`; distances on the scale are in `mm`.
    pub unit: &'static str,
    /// The lines that stand in the file.
    pub taken: Vec<Taken>,
    /// How many were taken back.
    pub undone: usize,
    /// The lines that were refused.
    pub refused: Vec<Refused>,
    /// What it rests on that nobody said.
    pub assumptions: Vec<Assumption>,
}
