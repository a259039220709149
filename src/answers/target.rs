//! How fine the lines of a focus target are for each distance.

use super::Unanswerable;
use crate::formula::{Once, Record};
use crate::gear::HoldSetup;
use crate::optics::{Magnification, frequency_lost_at};
use crate::units::{FocusDistance, Length, Ratio};

/// What is left of the contrast of lines that count as lost: a tenth. Two points
/// that just part by Rayleigh's criterion leave 0.089 (diffraction at 1/1.22 of
/// the cut-off); that the eye loses lines there is common practice, no source.
const LOST: Ratio = Ratio::computed(0.1);

/// Lines that are lost when focus is off by the circle, at several distances.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct TargetAnswer {
    /// Circle of confusion on the image plane.
    #[cfg_attr(feature = "serde", serde(rename = "circle_mm"))]
    pub circle: Length,
    /// Contrast that a blur of that diameter leaves of the lines.
    pub contrast: Ratio,
    /// One row a distance that can be focused on.
    pub rows: Vec<TargetRow>,
    /// The other distances, and why.
    #[cfg_attr(feature = "serde", serde(skip))]
    pub out_of_reach: Vec<(FocusDistance, Unanswerable)>,
}

/// Lines for one distance.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct TargetRow {
    /// Where the target stands, from the image plane.
    #[cfg_attr(feature = "serde", serde(rename = "distance_mm"))]
    pub distance: FocusDistance,
    /// Image size over object size in focus; of a lens that squeezes, of heights.
    pub magnification: Magnification,
    /// From one line to the next, on paper.
    #[cfg_attr(feature = "serde", serde(rename = "period_mm"))]
    pub period: Length,
}

/// The lines of a target for each distance, of which a blur as large as the
/// circle leaves a tenth of their contrast.
///
/// The stop does not matter: blur is counted in the image. Distances nearer than
/// `close_focus` are out of reach; at infinity there is no target, and no row.
#[must_use]
pub fn target(
    setup: &HoldSetup,
    at: &[FocusDistance],
    close_focus: Option<FocusDistance>,
    rec: &mut impl Record,
) -> TargetAnswer {
    let rec = &mut Once::new(rec);
    let circle = setup.circle.circle;
    let frequency = frequency_lost_at(circle, LOST, rec);
    let (mut rows, mut out_of_reach) = (Vec::new(), Vec::new());
    for &distance in at {
        let inside = close_focus.filter(|&close| distance.is_nearer_than(close));
        let set = match inside {
            Some(close_focus) => Err(Unanswerable::InsideCloseFocus {
                asked: distance,
                close_focus,
            }),
            None => {
                let (lens, branch) = (&setup.setup.lens, setup.setup.branch);
                lens.framing(distance, branch, rec).map_err(Into::into)
            }
        };
        match set {
            Ok(set) => rows.extend(set.object_period(frequency, rec).map(|period| TargetRow {
                distance,
                magnification: set.magnification(),
                period,
            })),
            Err(reason) => out_of_reach.push((distance, reason)),
        }
    }
    TargetAnswer {
        circle: circle.diameter(),
        contrast: LOST,
        rows,
        out_of_reach,
    }
}
