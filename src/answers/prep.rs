//! Prep day: is each scale true, and is an error the lens's or the camera's?

mod day;
mod fault;
mod found;
mod lens;
mod notes;
mod plan;
mod shown;
mod telling;

pub use day::prep;
pub use fault::NoPrep;
pub use found::PrepFound;
pub use lens::{PrepLens, PrepPoint, Settle, StandardErrorParts, StopRead};
pub use plan::{Planned, PlannedLens, PlannedRow, PrepPlan, prep_plan};
use shown::displacement_figures;
pub use shown::{
    DISPLACEMENT_STEP, displacement_in_words, nearest_step, tolerated_in_mm, two_standard_errors,
    up_to_step,
};
pub use telling::MarkTold;

use crate::gear::Assumption;
use crate::units::{Length, Unit};

/// What prep day says of a camera and its lenses.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct PrepAnswer {
    /// The camera asked about.
    pub camera: PrepCamera,
    /// The lenses asked about, in the order of the kit.
    pub lenses: Vec<PrepLens>,
    /// The other cameras that have readings, each with all its lenses.
    pub other_cameras: Vec<PrepSet>,
    /// How far the image planes of two cameras lie apart, from lenses read on
    /// both.
    pub between_cameras: Vec<BetweenCameras>,
    /// What to do about it.
    pub advice: Vec<String>,
    /// What the answer rests on that nobody said, and what cannot be told apart.
    pub assumptions: Vec<Assumption>,
}

/// A camera with the lenses read on it.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct PrepSet {
    /// The camera.
    pub camera: PrepCamera,
    /// Its lenses.
    pub lenses: Vec<PrepLens>,
}

/// What the lenses of a set say together of their camera.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct PrepCamera {
    /// Its name, where it has one.
    pub name: Option<String>,
    /// Its serial number, where known.
    pub serial: Option<String>,
    /// Positive: its image plane is too far from the lens. `None` where that
    /// cannot be told: with fewer than two lenses, or from readings under 1 m.
    #[cfg_attr(feature = "serde", serde(rename = "image_plane_error_mm"))]
    pub image_plane_error: Option<Length>,
    /// Its standard error.
    #[cfg_attr(feature = "serde", serde(rename = "standard_error_mm"))]
    pub standard_error: Option<Length>,
    /// `true_plane`, `off` or `undecided`.
    pub verdict: &'static str,
    /// What is tolerated: the least of its lenses.
    #[cfg_attr(feature = "serde", serde(rename = "tolerated_error_mm"))]
    pub tolerated_error: Length,
    /// How many lenses it is judged on.
    pub judged_on: usize,
    /// How much farther than taped everything is.
    #[cfg_attr(feature = "serde", serde(rename = "tape_zero_mm"))]
    pub tape_zero: Length,
    /// Its standard error.
    #[cfg_attr(feature = "serde", serde(rename = "tape_zero_standard_error_mm"))]
    pub tape_zero_standard_error: Length,
    /// How far the tape hook sits beside the axis; taken off by Pythagoras.
    #[cfg_attr(feature = "serde", serde(rename = "hook_offset_mm"))]
    pub hook_offset: Length,
    /// What would settle it, where it is undecided.
    pub settle: Option<String>,
}

/// How far two image planes lie apart.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct BetweenCameras {
    /// One camera.
    pub camera: String,
    /// The other.
    pub other: String,
    /// How much farther from the lens the first one's image plane is; `None`
    /// with fewer than two lenses read on both.
    #[cfg_attr(feature = "serde", serde(rename = "difference_mm"))]
    pub difference: Option<Length>,
    /// Its standard error.
    #[cfg_attr(feature = "serde", serde(rename = "standard_error_mm"))]
    pub standard_error: Option<Length>,
    /// How many lenses were read on both.
    pub lenses: usize,
}

/// The sign of an image-plane error in words.
#[must_use]
pub fn which_way(error: Length) -> &'static str {
    if error < Length::ZERO {
        "too near the lens"
    } else {
        "too far from the lens"
    }
}

/// What to write distances in where a lens's own scale does not say.
pub(crate) const fn unit_or(engraved: Option<Unit>, other: Unit) -> Unit {
    match engraved {
        Some(unit) => unit,
        None => other,
    }
}
