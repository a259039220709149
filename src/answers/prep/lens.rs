//! One lens of a prep day, as the JSON contract has it.

use super::telling::MarkTold;
use crate::gear::Assumption;
use crate::scale::prep::{Displacement, LensJudged, PointJudged, Settling};
use crate::units::{
    Angle, FNumber, FocusDistance, Gain, Length, Ratio, Stop, TNumber, Transmittance,
};

/// One lens as read on one camera.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct PrepLens {
    /// What it is called in files.
    pub id: String,
    /// What sheets call it.
    pub label: String,
    /// Its serial number, where known.
    pub serial: Option<String>,
    /// As read on this camera, positive: the image plane is too far from the
    /// lens. Where focus moves with the stop, that of the widest stop.
    #[cfg_attr(feature = "serde", serde(rename = "image_plane_error_mm"))]
    pub image_plane_error: Length,
    /// Its standard error.
    #[cfg_attr(feature = "serde", serde(rename = "standard_error_mm"))]
    pub standard_error: Length,
    /// The lens's share of it; `None` where the camera's cannot be told.
    #[cfg_attr(feature = "serde", serde(rename = "own_error_mm"))]
    pub own_error: Option<Length>,
    /// The standard error of its share.
    #[cfg_attr(feature = "serde", serde(rename = "own_standard_error_mm"))]
    pub own_standard_error: Option<Length>,
    /// `true_scale`, `shifted`, `uneven`, `moves_with_stop` or `undecided`: of
    /// the lens as read on this camera.
    pub verdict: &'static str,
    /// The same of its share alone.
    pub own_verdict: Option<&'static str>,
    /// What its standard error is made of.
    pub standard_error_parts: StandardErrorParts,
    /// Focal length.
    #[cfg_attr(feature = "serde", serde(rename = "focal_length_mm"))]
    pub focal_length: Length,
    /// Hiatus.
    #[cfg_attr(feature = "serde", serde(rename = "hiatus_mm"))]
    pub hiatus: Length,
    /// Half the depth of focus at `tolerated_at`.
    #[cfg_attr(feature = "serde", serde(rename = "tolerated_error_mm"))]
    pub tolerated_error: Length,
    /// The working stop, else the lens's widest.
    pub tolerated_at: String,
    /// The same as an f-number.
    pub f_number: FNumber,
    /// The same as a T-number, where known.
    pub t_number: Option<TNumber>,
    /// What leads from one to the other, where known or assumed.
    pub transmittance: Option<Transmittance>,
    /// Circle of confusion.
    #[cfg_attr(feature = "serde", serde(rename = "circle_mm"))]
    pub circle: Length,
    /// Sum of squared residuals over their variances, misreadings left out.
    pub chi_square: Ratio,
    /// Readings that count, less one for each image-plane error.
    pub degrees_of_freedom: usize,
    /// The first over the second.
    pub reduced_chi_square: Option<Ratio>,
    /// What each stop reads, where focus moves with it.
    pub by_stop: Vec<StopRead>,
    /// Every reading, in the order of the file.
    pub points: Vec<PrepPoint>,
    /// Where each engraved mark really focuses.
    pub marks: Vec<MarkTold>,
    /// What would settle it, where it is undecided.
    pub settle: Option<Settle>,
    /// What is taken of this lens alone that nobody said.
    pub assumptions: Vec<Assumption>,
}

/// What a standard error is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct StandardErrorParts {
    /// What the readings together may be off, were the tape's zero known.
    #[cfg_attr(feature = "serde", serde(rename = "readings_mm"))]
    pub readings: Length,
    /// What comes of what the lens's figures and marks may be off.
    #[cfg_attr(feature = "serde", serde(rename = "figures_mm"))]
    pub figures: Length,
    /// How much of a millimetre of the tape's zero is in it.
    pub tape_zero_share: Ratio,
}

/// The image-plane error at one stop.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct StopRead {
    /// The widest stop of the readings it stands on.
    pub stop: String,
    /// As read there.
    #[cfg_attr(feature = "serde", serde(rename = "image_plane_error_mm"))]
    pub image_plane_error: Length,
    /// Its standard error.
    #[cfg_attr(feature = "serde", serde(rename = "standard_error_mm"))]
    pub standard_error: Length,
}

/// One reading.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct PrepPoint {
    /// As taped.
    #[cfg_attr(feature = "serde", serde(rename = "taped_mm"))]
    pub taped: FocusDistance,
    /// What the engraved scale said, several settings averaged.
    #[cfg_attr(feature = "serde", serde(rename = "reading_mm"))]
    pub reading: Option<FocusDistance>,
    /// What it said in degrees, several settings averaged.
    #[cfg_attr(feature = "serde", serde(rename = "reading_deg"))]
    pub turn: Option<Angle>,
    /// How much farther toward close focus the ring stood than all readings
    /// together put it.
    #[cfg_attr(feature = "serde", serde(rename = "residual_deg"))]
    pub residual: Angle,
    /// Whether it was named as a misreading and set aside.
    pub suspect: bool,
    /// The stop.
    pub stop: String,
    /// The residual over what it may be off.
    pub residual_in_sd: Ratio,
    /// The line of prep.csv.
    pub line: usize,
    /// How many settings are averaged in it.
    pub settings: usize,
    /// What one setting of the ring may be off.
    #[cfg_attr(feature = "serde", serde(rename = "reading_sd_deg"))]
    pub ring_sd: Angle,
    /// What the tape may be off.
    #[cfg_attr(feature = "serde", serde(rename = "taped_sd_mm"))]
    pub tape_sd: Length,
    /// What the reading may be off by both, its settings averaged.
    #[cfg_attr(feature = "serde", serde(rename = "sd_deg"))]
    pub sd: Angle,
    /// Degrees of ring for a millimetre of lens travel, there.
    #[cfg_attr(feature = "serde", serde(rename = "gain_deg_per_mm"))]
    pub gain: Option<Gain>,
    /// Where the lens stood from its infinity position, by its own scale.
    #[cfg_attr(feature = "serde", serde(rename = "travel_mm"))]
    pub travel: Length,
}

/// The reading that would settle what is undecided.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Settle {
    /// `too_few`, `one_distance` or `too_wide`: why it is undecided.
    pub because: &'static str,
    /// `reading`, `collimator` or `figures`: the lens's hiatus, or readings on
    /// its engraved scale.
    pub by: &'static str,
    /// Where, for a reading.
    #[cfg_attr(feature = "serde", serde(rename = "taped_mm"))]
    pub taped: Option<FocusDistance>,
    /// At which stop.
    pub stop: String,
    /// How many readings.
    pub readings: usize,
}

impl From<&PointJudged> for PrepPoint {
    fn from(point: &PointJudged) -> Self {
        Self {
            taped: point.taped,
            reading: point.reading,
            turn: point.turn,
            residual: point.residual,
            suspect: point.suspect,
            stop: point.stop.to_string(),
            residual_in_sd: point.strangeness,
            line: point.line,
            settings: point.settings,
            ring_sd: point.ring_sd,
            tape_sd: point.tape_sd,
            sd: point.sd,
            gain: point.gain,
            travel: point.travel,
        }
    }
}

impl From<Settling> for Settle {
    fn from(settling: Settling) -> Self {
        Self {
            because: settling.because.name(),
            by: settling.by.name(),
            taped: settling.taped,
            stop: settling.stop.to_string(),
            readings: settling.readings,
        }
    }
}

/// What the judgement alone gives.
pub(super) struct Figures {
    pub by_stop: Vec<StopRead>,
    pub points: Vec<PrepPoint>,
    pub reduced_chi_square: Option<Ratio>,
    pub parts: StandardErrorParts,
}

pub(super) fn figures(judged: &LensJudged) -> Figures {
    let at_stop = |(stop, found): &(Stop, Displacement)| StopRead {
        stop: stop.to_string(),
        image_plane_error: found.error,
        standard_error: found.standard_error,
    };
    let freedom = judged.degrees_of_freedom as f64;
    Figures {
        by_stop: judged.by_stop.iter().map(at_stop).collect(),
        points: judged.points.iter().map(PrepPoint::from).collect(),
        reduced_chi_square: Ratio::new(judged.chi_square.value() / freedom).ok(),
        parts: StandardErrorParts {
            readings: judged.parts.readings,
            figures: judged.parts.figures,
            tape_zero_share: judged.parts.zero_share,
        },
    }
}
