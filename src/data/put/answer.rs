//! What was put into a kit, as the JSON contract has it.

use super::super::{Fault, Understood};
use crate::gear::{Assumption, MarkPosition};
use crate::units::{Angle, FocusDistance, Unit};

/// A file of the kit that is to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// Its name within the kit.
    pub file: String,
    /// What it held; `None` where it is new.
    pub before: Option<Vec<u8>>,
    /// What it is to hold.
    pub after: Vec<u8>,
}

/// What `lens add` wrote.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct LensAddAnswer {
    /// The lens.
    pub lens: String,
    /// The file its row stands in.
    pub file: String,
    /// The line it stands on.
    pub line: usize,
    /// The file of its marks.
    pub marks_file: String,
    /// Whether that file was written; one that was there is left alone.
    pub marks_written: bool,
    /// The engraved distances it asks positions for, in mm, from the farthest.
    #[cfg_attr(feature = "serde", serde(rename = "asked_mm"))]
    pub asked: Vec<FocusDistance>,
    /// What was understood of the lens.
    pub understood: Vec<Understood>,
    /// What deserves a look.
    pub warnings: Vec<Fault>,
    /// What it rests on that nobody said.
    pub assumptions: Vec<Assumption>,
}

/// The columns marks were taken from.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Taken {
    /// What was taken: `distance`, `position`, `kind`, `camera` or `sd`.
    pub what: &'static str,
    /// The column, counted from 1; `None` where one value stands for all rows.
    pub column: Option<usize>,
    /// The column's name, or that value.
    pub name: String,
}

/// How the table was read.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Columns {
    /// What stands between its cells: `,`, `;` or `tab`.
    pub separator: &'static str,
    /// Whether decimals have a comma in it.
    pub decimal_comma: bool,
    /// The line of its header, where it has one.
    pub header_line: Option<usize>,
    /// What was taken from where.
    pub taken: Vec<Taken>,
}

/// One mark, or one distance that waits for its position.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct ImportRow {
    /// The line of the table; `None` for a pasted line.
    pub line: Option<usize>,
    /// The distance, as it counts in the kit, from the image plane.
    #[cfg_attr(feature = "serde", serde(rename = "distance_mm"))]
    pub distance: FocusDistance,
    /// The settings of the ring, in the file's unit; none where it was not read
    /// yet.
    pub positions: Vec<MarkPosition>,
    /// `engraved`, `eye` or `read`.
    pub kind: &'static str,
    /// The camera, where said.
    pub camera: Option<String>,
    /// The standard deviation, where said.
    #[cfg_attr(feature = "serde", serde(rename = "sd_deg"))]
    pub sd: Option<Angle>,
    /// The distance as the kit's file has it.
    pub written: String,
}

/// What `import` wrote.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct ImportAnswer {
    /// The lens.
    pub lens: String,
    /// The file marks were written to, within the kit.
    pub file: String,
    /// `new`, `appended`, `replaced`, or `form` where the form that `lens add`
    /// wrote stood there, still empty.
    pub how: &'static str,
    /// Where the old file is kept, where one was replaced.
    pub kept_as: Option<String>,
    /// The table they come from; `None` for a pasted line.
    pub from: Option<String>,
    /// How that table was read.
    pub columns: Option<Columns>,
    /// The kit's unit, for words.
    #[cfg_attr(feature = "serde", serde(skip))]
    pub shown_in: Unit,
    /// What positions are counted in: `mm`, `deg`, `fraction` or `counts`.
    pub unit: &'static str,
    /// The rows that were written, in order.
    pub rows: Vec<ImportRow>,
    /// How many rows of the table hold neither distance nor position.
    pub left_out: usize,
    /// Whether positions grow toward close focus; `None` without marks.
    pub grow_toward_close_focus: Option<bool>,
    /// What the kit understands of the lens now.
    pub understood: Vec<Understood>,
    /// What deserves a look.
    pub warnings: Vec<Fault>,
    /// What it rests on that nobody said.
    pub assumptions: Vec<Assumption>,
}
