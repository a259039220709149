//! What an answer was worked out from: the same figures at the head of each.

use crate::formula::Record;
use crate::gear::{DepthSetup, FittedFigures, Waves};
use crate::optics::{Circle, CircleRule};
use crate::units::{FNumber, Length, PupilMagnification, TNumber, Transmittance};

/// Lens, stop, gate and circle: every figure a step may begin with.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Premises {
    /// Focal length; of the whole with an extender.
    #[cfg_attr(feature = "serde", serde(rename = "focal_length_mm"))]
    pub focal_length: Length,
    /// f-number, by which depth goes; of the whole with an extender.
    pub f_number: FNumber,
    /// T-number, where known; of the whole with an extender.
    pub t_number: Option<TNumber>,
    /// What leads from one to the other, where known or assumed.
    pub transmittance: Option<Transmittance>,
    /// Circle of confusion on the image plane. Under a wanted contrast each
    /// focus has its own: that of the focus answered, or, where there are
    /// several, that at infinity focus.
    #[cfg_attr(feature = "serde", serde(rename = "circle_mm"))]
    pub circle: Length,
    /// Its rule in words.
    pub circle_rule: String,
    /// Its rule in figures.
    pub circle_from: CircleRule,
    /// Light and wanted contrast, where waves count.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub waves: Option<Waves>,
    /// Hiatus.
    #[cfg_attr(feature = "serde", serde(rename = "hiatus_mm"))]
    pub hiatus: Length,
    /// Pupil magnification.
    pub pupil_magnification: PupilMagnification,
    /// The entrance pupil's distance in front of the image plane at infinity
    /// focus, where that was given.
    #[cfg_attr(feature = "serde", serde(rename = "entrance_pupil_given_mm"))]
    pub given_station: Option<Length>,
    /// Gate width, where there is a gate.
    #[cfg_attr(feature = "serde", serde(rename = "gate_width_mm"))]
    pub gate_width: Option<Length>,
    /// Gate height, where there is a gate.
    #[cfg_attr(feature = "serde", serde(rename = "gate_height_mm"))]
    pub gate_height: Option<Length>,
    /// What is on the lens.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub on_the_lens: FittedFigures,
}

impl Premises {
    /// Those of a setup with the circle of its answer.
    #[must_use]
    pub fn of(setup: &DepthSetup, circle: Circle, rec: &mut impl Record) -> Self {
        let lens = &setup.setup.lens;
        let gate = setup.setup.frame.as_ref().map(|frame| frame.gate);
        Self {
            focal_length: lens.focal_length(rec),
            f_number: setup.f_number_of_the_whole(rec),
            t_number: setup.t_number_of_the_whole(rec),
            transmittance: setup.exposure.transmittance,
            circle: circle.diameter(),
            circle_rule: setup.circle.in_words(),
            circle_from: setup.circle.rule,
            waves: setup.waves.clone(),
            hiatus: lens.hiatus(),
            pupil_magnification: lens.pupil_magnification(),
            given_station: setup.setup.given_station,
            gate_width: gate.map(|gate| gate.width()),
            gate_height: gate.map(|gate| gate.height()),
            on_the_lens: setup.setup.figures_fitted(Some(&setup.exposure)),
        }
    }
}
