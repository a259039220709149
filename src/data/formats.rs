//! The recording formats that come with the program.

use std::sync::OnceLock;

use super::fault::{Fault, Kind, shortened};
use super::nearest::nearest;
use crate::gear::{Frame, circle_rule};
use crate::optics::{CircleRule, Gate};
use crate::units::{Length, Ratio, Unreadable, parse};

const FORMATS: &str = include_str!("../../sensors/formats.csv");

/// One row of `sensors/formats.csv`.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Format {
    /// What `--format` takes.
    pub id: String,
    /// What sheets print.
    pub name: String,
    /// Width of the area.
    #[cfg_attr(feature = "serde", serde(rename = "width_mm"))]
    pub width: Length,
    /// Height of the area.
    #[cfg_attr(feature = "serde", serde(rename = "height_mm"))]
    pub height: Length,
    /// How much a lens for it squeezes the width.
    pub squeeze: f64,
    /// `film`, `still` or `digital`.
    pub kind: String,
    /// `camera` or `projected`.
    pub aperture: String,
    /// Where the figures stand.
    pub source: String,
    /// Whether they were read there.
    pub verified: bool,
    /// The customary circle, as it is written.
    pub circle: String,
    /// Where that custom stands.
    pub circle_source: String,
}

impl Format {
    /// The format as the frame of a setup.
    #[must_use]
    pub fn frame(&self) -> Option<Frame> {
        let gate = Gate::new(self.width, self.height).ok()?;
        Some(Frame {
            name: self.name.clone(),
            gate,
            extraction: None,
            squeeze: Ratio::new(self.squeeze).ok()?,
            convention: self.convention(),
            verified: self.verified,
        })
    }

    /// The customary circle's rule.
    #[must_use]
    pub fn convention(&self) -> Option<CircleRule> {
        circle_rule(&self.circle).ok()
    }
}

/// Every format, in the order of the file; the file is read once.
#[must_use]
pub fn all() -> &'static [Format] {
    static ALL: OnceLock<Vec<Format>> = OnceLock::new();
    ALL.get_or_init(|| {
        let mut reader = csv::Reader::from_reader(FORMATS.as_bytes());
        // The file is ours and tests read every row; a row that does not load is
        // left out here and fails there.
        let rows = reader.records();
        rows.filter_map(|record| row(&record.ok()?)).collect()
    })
}

fn row(record: &csv::StringRecord) -> Option<Format> {
    let text = |column: usize| record.get(column).map(str::to_owned);
    let figure = |column: usize| record.get(column)?.parse::<f64>().ok();
    Some(Format {
        id: text(0)?,
        name: text(1)?,
        width: Length::try_mm(figure(2)?).ok()?,
        height: Length::try_mm(figure(3)?).ok()?,
        squeeze: figure(4)?,
        kind: text(5)?,
        aperture: text(6)?,
        source: text(7)?,
        verified: record.get(8)? == "yes",
        circle: text(9)?,
        circle_source: text(10)?,
    })
}

/// A frame by the format's id, or by its sides as `24.89x18.66mm`.
///
/// # Errors
/// A [`Fault`]: no such format (with the nearest id), or sides that are none.
pub fn frame(text: &str) -> Result<Frame, Fault> {
    match (by_id(text), looks_like_sides(text)) {
        (Some(frame), _) => Ok(frame),
        (None, true) => custom(text).map_err(|reason| Fault::unreadable(text, &reason)),
        (None, false) => Err(no_such_format(text)),
    }
}

/// A frame by the format's id.
///
/// # Errors
/// A [`Fault`]: no such format, with the nearest id.
pub(super) fn named(id: &str) -> Result<Frame, Fault> {
    by_id(id).ok_or_else(|| no_such_format(id))
}

fn by_id(id: &str) -> Option<Frame> {
    let wanted = id.trim().to_lowercase();
    let format = all().iter().find(|format| format.id == wanted)?;
    format.frame()
}

fn looks_like_sides(text: &str) -> bool {
    let text = text.trim().to_lowercase().replace('×', "x");
    let figure = |side: &str| {
        let start = |c: char| c.is_ascii_digit() || c == '-' || c == '.';
        side.trim().starts_with(start)
    };
    text.split_once('x')
        .is_some_and(|(width, height)| figure(width) && figure(height))
}

fn no_such_format(id: &str) -> Fault {
    let formats = all();
    let known: Vec<&str> = formats.iter().map(|format| format.id.as_str()).collect();
    let help = match nearest(&id.trim().to_lowercase(), &known) {
        Some(id) => format!("did you mean {id}? `markwright formats` lists them all"),
        None => "`markwright formats` lists them all; a gate is written 24.89x18.66mm".into(),
    };
    let message = format!("no recording format is called \"{}\"", shortened(id));
    Fault::new(Kind::UnknownId, message).with_help(help)
}

/// A frame by its sides.
///
/// # Errors
/// [`Unreadable`]: no gate, or a side out of range.
pub(super) fn custom(text: &str) -> Result<Frame, Unreadable> {
    let (width, height) = parse::gate(text)?;
    let gate = Gate::new(width, height)?;
    Ok(Frame {
        name: format!("gate {} × {} mm", width.to_mm(), height.to_mm()),
        gate,
        extraction: None,
        squeeze: Ratio::ONE,
        convention: None,
        verified: true,
    })
}
