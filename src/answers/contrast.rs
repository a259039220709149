//! How sharp detail is against its distance: contrast through focus.

use super::Unanswerable;
use crate::formula::Record;
use crate::gear::{Assumption, Exposure, Setup};
use crate::optics::{ContrastPoint, Detail, Focus};
use crate::units::{FNumber, FocusDistance, Length, Light, Ratio, SpatialFrequency, TNumber};

/// Contrast of detail of one fineness through each focus, for a curve.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct ContrastAnswer {
    /// Focal length.
    #[cfg_attr(feature = "serde", serde(rename = "focal_length_mm"))]
    pub focal_length: Length,
    /// f-number, by which contrast goes.
    pub f_number: FNumber,
    /// T-number, where known.
    pub t_number: Option<TNumber>,
    /// How fine the detail is, on the image plane.
    #[cfg_attr(feature = "serde", serde(rename = "frequency_per_mm"))]
    pub frequency: SpatialFrequency,
    /// In which light it is seen.
    pub light: Light,
    /// From one photosite to the next, where photosites count.
    #[cfg_attr(feature = "serde", serde(rename = "photosite_pitch_mm"))]
    pub pitch: Option<Length>,
    /// One row a focus distance.
    pub rows: Vec<ContrastRow>,
    /// What the answer rests on that nobody said.
    pub assumptions: Vec<Assumption>,
}

/// Contrast through one focus.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct ContrastRow {
    /// Focus distance.
    #[cfg_attr(feature = "serde", serde(rename = "focus_mm"))]
    pub focus: FocusDistance,
    /// f-number of the light cone at the image.
    pub working_f_number: FNumber,
    /// Diameter of the first dark ring round the image of a point.
    #[cfg_attr(feature = "serde", serde(rename = "airy_mm"))]
    pub airy: Length,
    /// Contrast in focus, the most there is.
    pub in_focus: Ratio,
    /// The curve, from near to far; infinity comes last if it is reached.
    pub curve: Vec<ContrastPoint>,
}

/// Contrast of detail against its distance, the lens set to each focus; the
/// curves have `each_side` points on each side of the focus.
///
/// - Holds for: a lens without fault but diffraction and defocus, so the most
///   any lens of these figures can do.
///
/// # Errors
/// [`Unanswerable`] when a distance cannot be focused.
pub fn contrast(
    setup: &Setup,
    exposure: &Exposure,
    detail: &Detail,
    at: &[FocusDistance],
    each_side: usize,
    rec: &mut impl Record,
) -> Result<ContrastAnswer, Unanswerable> {
    let mut row = |focus: FocusDistance| -> Result<ContrastRow, Unanswerable> {
        let set = setup.lens.at(focus, setup.branch, exposure.f_number, rec)?;
        let working_f_number = set.working_f_number(rec);
        Ok(ContrastRow {
            focus,
            working_f_number,
            airy: set.airy(&detail.light, rec),
            in_focus: detail.in_focus(working_f_number, rec),
            curve: set.through_focus(detail, each_side),
        })
    };
    Ok(ContrastAnswer {
        focal_length: setup.lens.focal_length(&mut ()),
        f_number: setup.lens.f_number(exposure.f_number, &mut ()),
        t_number: exposure.t_number.map(|t| setup.lens.t_number(t, &mut ())),
        frequency: detail.frequency,
        light: detail.light.clone(),
        pitch: detail.pitch.map(|pitch| pitch.length()),
        rows: at
            .iter()
            .map(|&focus| row(focus))
            .collect::<Result<_, _>>()?,
        assumptions: setup.assumptions.clone(),
    })
}
