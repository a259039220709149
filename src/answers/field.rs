//! What the frame takes in, and how to frame a wanted width.

use super::Unanswerable;
use crate::formula::Record;
use crate::gear::{Assumption, FittedFigures, Setup};
use crate::optics::{self, Branch, Focus, Gate, Magnification, desqueezed};
use crate::units::{Angle, FocusDistance, Length, PupilMagnification, Reach};

/// Field of view at infinity focus and at each focus distance.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct FieldAnswer {
    /// Focal length.
    #[cfg_attr(feature = "serde", serde(rename = "focal_length_mm"))]
    pub focal_length: Length,
    /// Hiatus.
    #[cfg_attr(feature = "serde", serde(rename = "hiatus_mm"))]
    pub hiatus: Length,
    /// Pupil magnification.
    pub pupil_magnification: PupilMagnification,
    /// Width of the picture on the image plane.
    #[cfg_attr(feature = "serde", serde(rename = "gate_width_mm"))]
    pub gate_width: Length,
    /// Height of the picture on the image plane.
    #[cfg_attr(feature = "serde", serde(rename = "gate_height_mm"))]
    pub gate_height: Length,
    /// What is on the lens.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub on_the_lens: FittedFigures,
    /// Horizontal angle at infinity focus.
    #[cfg_attr(feature = "serde", serde(rename = "horizontal_deg"))]
    pub horizontal: Angle,
    /// Vertical angle at infinity focus.
    #[cfg_attr(feature = "serde", serde(rename = "vertical_deg"))]
    pub vertical: Angle,
    /// Diagonal angle at infinity focus.
    #[cfg_attr(feature = "serde", serde(rename = "diagonal_deg"))]
    pub diagonal: Angle,
    /// One row a focus distance.
    pub rows: Vec<FieldRow>,
    /// What the answer rests on that nobody said.
    pub assumptions: Vec<Assumption>,
}

/// Field of view at one focus distance.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct FieldRow {
    /// Focus distance.
    #[cfg_attr(feature = "serde", serde(rename = "focus_mm"))]
    pub focus: FocusDistance,
    /// Where width and height are: the plane asked for, else the focused one.
    #[cfg_attr(feature = "serde", serde(rename = "plane_mm"))]
    pub plane: FocusDistance,
    /// Horizontal angle at the entrance pupil.
    #[cfg_attr(feature = "serde", serde(rename = "horizontal_deg"))]
    pub horizontal: Angle,
    /// Vertical angle at the entrance pupil.
    #[cfg_attr(feature = "serde", serde(rename = "vertical_deg"))]
    pub vertical: Angle,
    /// Diagonal angle at the entrance pupil.
    #[cfg_attr(feature = "serde", serde(rename = "diagonal_deg"))]
    pub diagonal: Angle,
    /// Framed width in that plane.
    #[cfg_attr(feature = "serde", serde(rename = "width_mm"))]
    pub width: Reach<Length>,
    /// Framed height in that plane.
    #[cfg_attr(feature = "serde", serde(rename = "height_mm"))]
    pub height: Reach<Length>,
}

/// Where to focus, or with which focal length, to frame a wanted width.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct WidthAnswer {
    /// The width asked for.
    #[cfg_attr(feature = "serde", serde(rename = "width_mm"))]
    pub width: Length,
    /// Width of the picture on the image plane.
    #[cfg_attr(feature = "serde", serde(rename = "gate_width_mm"))]
    pub gate_width: Length,
    /// What is on the lens.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub on_the_lens: FittedFigures,
    /// Hiatus.
    #[cfg_attr(feature = "serde", serde(rename = "hiatus_mm"))]
    pub hiatus: Length,
    /// Focus distance that frames it.
    #[cfg_attr(feature = "serde", serde(rename = "focus_mm"))]
    pub focus: FocusDistance,
    /// Focal length that frames it.
    #[cfg_attr(feature = "serde", serde(rename = "focal_length_mm"))]
    pub focal_length: Length,
    /// Image size over object size.
    pub magnification: Magnification,
    /// What the answer rests on that nobody said.
    pub assumptions: Vec<Assumption>,
}

/// Angles of view, and the size of what is framed at each focus distance, in
/// `plane` if one is given and else in the focused plane.
///
/// # Errors
/// [`Unanswerable`] when a distance cannot be focused or the plane stands
/// behind the entrance pupil.
pub fn field(
    setup: &Setup,
    picture: Gate,
    at: &[FocusDistance],
    plane: Option<FocusDistance>,
    rec: &mut impl Record,
) -> Result<FieldAnswer, Unanswerable> {
    let screen = desqueezed(picture, setup.fitted.squeeze, rec);
    let angles = setup.lens.angles_at_infinity(screen, rec);
    let mut row = |focus: FocusDistance| {
        let set = setup.lens.framing(focus, setup.branch, rec)?;
        let plane = plane.unwrap_or(focus);
        let field = set
            .field(screen, plane, rec)
            .map_err(|pupil| Unanswerable::BehindPupil {
                object: plane,
                pupil,
            })?;
        Ok(FieldRow {
            focus,
            plane,
            horizontal: field.angles.horizontal,
            vertical: field.angles.vertical,
            diagonal: field.angles.diagonal,
            width: field.size.width,
            height: field.size.height,
        })
    };
    let rows = at
        .iter()
        .map(|&focus| row(focus))
        .collect::<Result<Vec<_>, Unanswerable>>()?;
    Ok(FieldAnswer {
        focal_length: setup.lens.focal_length(rec),
        hiatus: setup.lens.hiatus(),
        pupil_magnification: setup.lens.pupil_magnification(),
        gate_width: picture.width(),
        gate_height: picture.height(),
        on_the_lens: setup.figures_fitted(None),
        horizontal: angles.horizontal,
        vertical: angles.vertical,
        diagonal: angles.diagonal,
        rows,
        assumptions: setup.assumptions.clone(),
    })
}

/// The distance at which `width` fills the picture.
///
/// # Errors
/// [`Unanswerable`] when that would be beyond 1:1 in the ordinary range, or
/// short of it in the macro range.
pub fn focus_for_width(
    setup: &Setup,
    picture: Gate,
    width: Length,
    rec: &mut impl Record,
) -> Result<WidthAnswer, Unanswerable> {
    let screen = desqueezed(picture, setup.fitted.squeeze, rec);
    let nearest = setup.lens.closest();
    let (focus, m) = setup.lens.distance_for_width(screen, width, rec)?;
    // What is attached may make the image larger than life in the ordinary range.
    if setup.lens.unit().is_some() {
        in_range(m, setup.branch, screen, nearest)?;
    }
    Ok(WidthAnswer {
        width,
        gate_width: picture.width(),
        on_the_lens: setup.figures_fitted(None),
        hiatus: setup.lens.hiatus(),
        focus,
        focal_length: setup.lens.focal_length(rec),
        magnification: m,
        assumptions: setup.assumptions.clone(),
    })
}

/// Whether a magnification belongs to the range that was asked for; `closest` is
/// the lens's distance at 1:1, where the two ranges meet.
fn in_range(
    m: Magnification,
    branch: Branch,
    picture: Gate,
    closest: Length,
) -> Result<(), Unanswerable> {
    match branch {
        Branch::Far if m.value() > 1.0 => {
            Err(optics::OutOfReach::Inside4f { nearest: closest }.into())
        }
        Branch::Macro if m.value() < 1.0 => Err(Unanswerable::WiderThanLife {
            widest: picture.width(),
        }),
        Branch::Far | Branch::Macro => Ok(()),
    }
}

/// The focal length with which `width` fills the picture at a focus distance.
///
/// # Errors
/// [`Unanswerable`] as [`focus_for_width`], and for a distance within the hiatus.
pub fn focal_length_for_width(
    picture: Gate,
    width: Length,
    distance: Length,
    hiatus: Option<Length>,
    branch: Branch,
    rec: &mut impl Record,
) -> Result<WidthAnswer, Unanswerable> {
    let mut assumptions = Vec::new();
    if hiatus.is_none() {
        assumptions.push(Assumption::new(
            "hiatus_unknown",
            "hiatus unknown: a thin lens is assumed",
        ));
    }
    let hiatus = hiatus.unwrap_or(Length::ZERO);
    if distance <= hiatus {
        return Err(optics::OutOfReach::Inside4f { nearest: hiatus }.into());
    }
    let (focal_length, m) = optics::focal_length_for_width(picture, width, distance, hiatus, rec);
    in_range(m, branch, picture, hiatus + focal_length * 4.0)?;
    Ok(WidthAnswer {
        width,
        gate_width: picture.width(),
        on_the_lens: FittedFigures::default(),
        hiatus,
        focus: FocusDistance::computed(Reach::At(distance)),
        focal_length,
        magnification: m,
        assumptions,
    })
}
