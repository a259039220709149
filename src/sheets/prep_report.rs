//! The report of a prep day, for a technician to act on: a sheet for the camera
//! with its lenses, and one for each lens.
//!
//! Displacements are shown by 0.01 mm, with twice their standard error.

mod law;
mod lens;
mod set;
mod words;

use super::code::Code;
use super::names::Names;
use super::plot::Plot;
use crate::units::Length;

pub use words::Displaced;
pub(super) use words::tenths_of_degree;

/// What is said of a camera or a lens before all else.
#[derive(Clone, Debug, PartialEq)]
pub struct PrepHead {
    /// Who it is, the name first.
    pub who: Vec<String>,
    /// The image-plane error found; `None` where it cannot be told.
    pub found: Option<Displaced>,
    /// What is tolerated either way.
    pub tolerated: Length,
    /// The verdict.
    pub verdict: String,
    /// What that means, and what else is to be known, a paragraph each.
    pub words: Vec<String>,
}

/// A lens among those read on a camera.
#[derive(Clone, Debug, PartialEq)]
pub struct PrepSetRow {
    /// What it is called.
    pub label: String,
    /// Its serial number, where known.
    pub serial: Option<String>,
    /// Its focal length.
    pub focal: String,
    /// The stops it was read at.
    pub stops: String,
    /// How many readings were taken.
    pub readings: usize,
    /// How many of them were set aside.
    pub set_aside: usize,
    /// As read on this camera.
    pub as_read: Displaced,
    /// The lens's share of it.
    pub own: Option<Displaced>,
    /// What is tolerated either way.
    pub tolerated: Length,
    /// The same in mm, and the stop it holds at.
    pub tolerated_words: [String; 2],
    /// What is said of it as read on this camera.
    pub verdict: &'static str,
    /// What is said of its share.
    pub own_verdict: Option<&'static str>,
}

/// A camera and the lenses read on it.
#[derive(Clone, Debug, PartialEq)]
pub struct PrepSetSheet {
    /// Production and date.
    pub names: Names,
    /// What the sheet is of.
    pub subject: String,
    /// The camera.
    pub camera: PrepHead,
    /// Its lenses.
    pub rows: Vec<PrepSetRow>,
    /// What the columns mean.
    pub legend: Vec<String>,
    /// How its image plane lies to those of other cameras.
    pub differences: Vec<String>,
    /// What to do.
    pub advice: Vec<String>,
    /// What it rests on, and what cannot be told apart.
    pub rests_on: Vec<String>,
    /// What must be said on every page.
    pub cautions: Vec<String>,
    /// What it was made from.
    pub code: Code,
}

/// One reading.
#[derive(Clone, Debug, PartialEq)]
pub struct PrepReading {
    /// The line of prep.csv.
    pub line: String,
    /// As taped.
    pub taped: String,
    /// The stop.
    pub stop: String,
    /// As taken, every setting.
    pub taken: Vec<String>,
    /// The residual in degrees of ring.
    pub residual: String,
    /// The same in standard deviations.
    pub in_sd: String,
    /// What one setting of the ring, and what the tape may be off.
    pub may_be_off: [String; 2],
    /// What else is to be said of it.
    pub note: &'static str,
}

/// One engraved mark.
#[derive(Clone, Debug, PartialEq)]
pub struct PrepMark {
    /// What is engraved.
    pub engraved: String,
    /// Where that focuses on this camera.
    pub really: String,
    /// How soft a subject at the mark is, in mm on the image plane.
    pub blur: String,
    /// Whether that shows at the stop worked at.
    pub shows: &'static str,
    /// The stop at which it no longer does.
    pub no_longer: String,
}

/// A lens, as read on one camera.
#[derive(Clone, Debug, PartialEq)]
pub struct PrepLensSheet {
    /// Lens, production and date.
    pub names: Names,
    /// What the sheet is of.
    pub subject: String,
    /// The lens.
    pub lens: PrepHead,
    /// Its residuals.
    pub residuals: Option<Plot>,
    /// Its readings.
    pub readings: Vec<PrepReading>,
    /// The law of its ring.
    pub law: Vec<String>,
    /// Where its engraved marks really focus.
    pub marks: Vec<PrepMark>,
    /// The stop at which they are told to show.
    pub marks_at: String,
    /// What it rests on.
    pub rests_on: Vec<String>,
    /// What must be said on every page.
    pub cautions: Vec<String>,
    /// What it was made from.
    pub code: Code,
}
