//! Where distances stand on the ring, and by how much the ring may be off.

use super::Unanswerable;
use crate::formula::Record;
use crate::gear::{Assumption, DepthSetup};
use crate::optics::OutOfReach;
use crate::scale::{OffScale, RingLaw, RingPosition, Standing, Zero, real_focus};
use crate::units::{Angle, FNumber, FocusDistance, Gain, Length, PupilMagnification};

/// Ring positions of distances.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct RingAnswer {
    /// Where positions count from: `infinity` or `farthest_mark`.
    pub zero: &'static str,
    /// Focal length.
    #[cfg_attr(feature = "serde", serde(rename = "focal_length_mm"))]
    pub focal_length: Length,
    /// Hiatus.
    #[cfg_attr(feature = "serde", serde(rename = "hiatus_mm"))]
    pub hiatus: Length,
    /// Pupil magnification.
    pub pupil_magnification: PupilMagnification,
    /// f-number, by which offsets and tolerance go.
    pub f_number: FNumber,
    /// Circle of confusion.
    #[cfg_attr(feature = "serde", serde(rename = "circle_mm"))]
    pub circle: Length,
    /// Degrees of ring a millimetre of lens travel, where the law is a helicoid
    /// that was computed.
    #[cfg_attr(feature = "serde", serde(rename = "gain_deg_per_mm"))]
    pub gain: Option<Gain>,
    /// Round the bare ring, where known.
    #[cfg_attr(feature = "serde", serde(rename = "circumference_mm"))]
    pub circumference: Option<Length>,
    /// The image-plane error asked about.
    #[cfg_attr(feature = "serde", serde(rename = "image_plane_error_mm"))]
    pub image_plane_error: Option<Length>,
    /// One row a distance.
    pub rows: Vec<RingRow>,
    /// What the answer rests on that nobody said.
    pub assumptions: Vec<Assumption>,
}

/// One distance on the ring. Positions grow toward close focus.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct RingRow {
    /// The distance.
    #[cfg_attr(feature = "serde", serde(rename = "distance_mm"))]
    pub distance: FocusDistance,
    /// Its position; absent where marks are in mm on a ring of unknown size.
    #[cfg_attr(feature = "serde", serde(rename = "position_deg"))]
    pub position: Option<Angle>,
    /// From the mark to the place of its near limit, at or above zero.
    #[cfg_attr(feature = "serde", serde(rename = "near_offset_deg"))]
    pub near_offset: Option<Angle>,
    /// From the mark to the place of its far limit, at or below zero; at most
    /// to infinity.
    #[cfg_attr(feature = "serde", serde(rename = "far_offset_deg"))]
    pub far_offset: Option<Angle>,
    /// The largest error of the ring that keeps a subject at the mark sharp.
    #[cfg_attr(feature = "serde", serde(rename = "tolerance_deg"))]
    pub tolerance: Option<Angle>,
    /// Arc on the bare ring; absent where its size is unknown.
    #[cfg_attr(feature = "serde", serde(rename = "ring_mm"))]
    pub arc: Option<Length>,
    /// The same tolerance as an arc on the bare ring.
    #[cfg_attr(feature = "serde", serde(rename = "tolerance_mm"))]
    pub tolerance_arc: Option<Length>,
    /// `measured`, `engraved` or `computed`.
    pub standing: &'static str,
    /// Where the mark really focuses with the image-plane error asked about;
    /// an inner `None` is beyond infinity.
    #[cfg_attr(
        feature = "serde",
        serde(rename = "real_focus_mm", skip_serializing_if = "Option::is_none")
    )]
    pub real_focus: Option<Option<FocusDistance>>,
}

/// The ring positions of `at` under `law`.
///
/// # Errors
/// [`Unanswerable`] for a distance the lens does not reach or no mark tells.
pub fn ring(
    law: &RingLaw,
    setup: &DepthSetup,
    at: &[FocusDistance],
    image_plane_error: Option<Length>,
    rec: &mut impl Record,
) -> Result<RingAnswer, Unanswerable> {
    let rows = at
        .iter()
        .map(|&distance| row(law, setup, distance, image_plane_error, rec))
        .collect::<Result<Vec<_>, _>>()?;
    let mut assumptions = setup.setup.assumptions.clone();
    if law.standing() == Standing::Computed {
        assumptions.push(Assumption::new(
            "computed_not_measured",
            "ring positions are computed, not measured: verify by eye",
        ));
    }
    let before_the_marks = |row: &RingRow| {
        row.position.is_some_and(|turn| turn < Angle::ZERO)
            || row.arc.is_some_and(|arc| arc < Length::ZERO)
    };
    if rows.iter().any(before_the_marks) {
        assumptions.push(Assumption::new(
            "beyond_marks",
            "positions below zero lie beyond the farthest mark: they are carried on from the \
             marks, not measured",
        ));
    }
    let zero = match law.zero() {
        Zero::Infinity => "infinity",
        Zero::FarthestMark => "farthest_mark",
    };
    let lens = law.lens();
    Ok(RingAnswer {
        zero,
        focal_length: lens.focal_length(),
        hiatus: lens.hiatus(),
        pupil_magnification: lens.pupil_magnification(),
        f_number: setup.exposure.f_number,
        circle: setup.circle.circle.diameter(),
        gain: law.gain(),
        circumference: law.ring().circumference,
        image_plane_error,
        rows,
        assumptions,
    })
}

fn row(
    law: &RingLaw,
    setup: &DepthSetup,
    distance: FocusDistance,
    image_plane_error: Option<Length>,
    rec: &mut impl Record,
) -> Result<RingRow, Unanswerable> {
    let position = law.position_with(distance, rec).map_err(|off| match off {
        // Where no close focus was given, optics set the limit.
        OffScale::InsideCloseFocus(_) if law.ring().close_focus.is_none() => {
            let nearest = law.lens().closest();
            OutOfReach::Inside4f { nearest }.into()
        }
        OffScale::InsideCloseFocus(close) => Unanswerable::InsideCloseFocus {
            asked: distance,
            close_focus: close,
        },
        OffScale::OutsideMarks(nearest) => Unanswerable::OutsideMarks {
            asked: distance,
            nearest,
        },
    })?;
    let depth = law.depth(distance, setup.exposure.f_number, setup.circle.circle)?;
    let turn = |place: RingPosition| place.turn();
    Ok(RingRow {
        distance,
        position: turn(position),
        near_offset: turn(depth.near_offset),
        far_offset: turn(depth.far_offset),
        tolerance: turn(depth.tolerance),
        arc: position.arc(rec),
        tolerance_arc: depth.tolerance.arc(&mut ()),
        standing: law.standing().name(),
        real_focus: image_plane_error.map(|delta| real_focus(law.lens(), distance, delta, rec)),
    })
}

/// The distance that stands at an arc on the bare ring, from the law's zero.
#[must_use]
pub fn distance_at_arc(law: &RingLaw, arc: Length) -> Option<FocusDistance> {
    law.distance(law.from_arc(arc)?)
}
