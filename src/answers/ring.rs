//! Where distances stand on the ring, and by how much the ring may be off.

use super::{Premises, Unanswerable};
use crate::formula::{Once, Record};
use crate::gear::{Assumption, DepthSetup, Gearing, GearingKnownBy, knob_turn};
use crate::optics::OutOfReach;
use crate::scale::{OffScale, RingLaw, RingPosition, Standing, ThroughMarks, Zero, real_focus};
use crate::units::{Angle, FocusDistance, Gain, Length, Ratio};

/// Ring positions of distances.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct RingAnswer {
    /// What it was worked out from.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub premises: Premises,
    /// Where positions count from: `infinity` or `farthest_mark`.
    pub zero: &'static str,
    /// Degrees of ring a millimetre of lens travel, where the law is a helicoid
    /// that was computed.
    #[cfg_attr(feature = "serde", serde(rename = "gain_deg_per_mm"))]
    pub gain: Option<Gain>,
    /// The ring's travel from infinity to close focus, where the gain came from it.
    #[cfg_attr(feature = "serde", serde(rename = "travel_deg"))]
    pub travel: Option<Angle>,
    /// The nearest the lens goes, where known.
    #[cfg_attr(feature = "serde", serde(rename = "close_focus_mm"))]
    pub close_focus: Option<FocusDistance>,
    /// The curve through the marks, where the law is one.
    pub through_marks: Option<ThroughMarks>,
    /// Round the bare ring, where known.
    #[cfg_attr(feature = "serde", serde(rename = "circumference_mm"))]
    pub circumference: Option<Length>,
    /// The image-plane error that positions are corrected for, as found at prep;
    /// `None` where the ring's own scale is taken as it is.
    #[cfg_attr(feature = "serde", serde(rename = "corrected_for_mm"))]
    pub corrected_for: Option<Length>,
    /// Knob turns of the follow focus for each turn of the ring, where known.
    pub gearing: Option<Ratio>,
    /// From what that is known.
    pub gearing_known_by: Option<GearingKnownBy>,
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
    /// What the position may be off, one standard deviation: for what marks and a
    /// correction may be off; `None` where nothing tells.
    #[cfg_attr(feature = "serde", serde(rename = "standard_error_deg"))]
    pub standard_error: Option<Angle>,
    /// The same as an arc on the bare ring.
    #[cfg_attr(feature = "serde", serde(rename = "standard_error_mm"))]
    pub standard_error_arc: Option<Length>,
    /// The offset to the near limit as an arc on the bare ring.
    #[cfg_attr(feature = "serde", serde(rename = "near_offset_mm"))]
    pub near_offset_arc: Option<Length>,
    /// The offset to the far limit as an arc on the bare ring.
    #[cfg_attr(feature = "serde", serde(rename = "far_offset_mm"))]
    pub far_offset_arc: Option<Length>,
    /// The position as a turn of the follow focus's knob, where known.
    #[cfg_attr(feature = "serde", serde(rename = "knob_deg"))]
    pub knob: Option<Angle>,
    /// The tolerance as a turn of the knob.
    #[cfg_attr(feature = "serde", serde(rename = "knob_tolerance_deg"))]
    pub knob_tolerance: Option<Angle>,
    /// The offset to the near limit as a turn of the knob.
    #[cfg_attr(feature = "serde", serde(rename = "knob_near_offset_deg"))]
    pub knob_near_offset: Option<Angle>,
    /// The offset to the far limit as a turn of the knob.
    #[cfg_attr(feature = "serde", serde(rename = "knob_far_offset_deg"))]
    pub knob_far_offset: Option<Angle>,
    /// `measured`, `engraved` or `computed`; beyond the marks it is computed.
    pub standing: &'static str,
    /// Where the mark really focuses with the image-plane error asked about;
    /// an inner `None` is beyond infinity.
    #[cfg_attr(
        feature = "serde",
        serde(rename = "real_focus_mm", skip_serializing_if = "Option::is_none")
    )]
    pub real_focus: Option<Option<FocusDistance>>,
}

/// The ring positions of `at` under `law`; where the marks would really focus
/// with an image-plane error, if one is asked about, and turns of the knob where
/// its gearing is known.
///
/// # Errors
/// [`Unanswerable`] for a distance the lens does not reach or no mark tells.
pub fn ring(
    law: &RingLaw,
    setup: &DepthSetup,
    at: &[FocusDistance],
    (image_plane_error, gearing): (Option<Length>, Option<Gearing>),
    rec: &mut impl Record,
) -> Result<RingAnswer, Unanswerable> {
    let rec = &mut Once::new(rec);
    law.explain(rec);
    let rows = at
        .iter()
        .map(|&distance| row(law, setup, distance, (image_plane_error, gearing), rec))
        .collect::<Result<Vec<_>, _>>()?;
    let mut assumptions = setup.setup.assumptions.clone();
    if law.standing() == Standing::Computed {
        assumptions.push(Assumption::new(
            "computed_not_measured",
            "ring positions are computed, not measured: verify by eye",
        ));
    } else if rows
        .iter()
        .any(|row| row.standing == Standing::Computed.name())
    {
        assumptions.push(Assumption::new(
            "beyond_marks",
            "what is computed here lies beyond the marks: it is carried on from them, not \
             measured: verify by eye",
        ));
    }
    let zero = match law.zero() {
        Zero::Infinity => "infinity",
        Zero::FarthestMark => "farthest_mark",
    };
    Ok(RingAnswer {
        premises: Premises::of(setup, setup.circle.circle, rec),
        zero,
        gain: law.gain(),
        travel: law.travel(),
        close_focus: law.ring().close_focus,
        through_marks: law.through(),
        circumference: law.ring().circumference,
        corrected_for: law.correction().map(|found| found.error),
        gearing: gearing.map(|gearing| gearing.ratio),
        gearing_known_by: gearing.map(|gearing| gearing.known_by),
        image_plane_error,
        rows,
        assumptions,
    })
}

fn row(
    law: &RingLaw,
    setup: &DepthSetup,
    distance: FocusDistance,
    (image_plane_error, gearing): (Option<Length>, Option<Gearing>),
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
    let arc = position.arc(rec);
    let turn = position.turn_with(rec);
    let real_focus = image_plane_error.map(|delta| real_focus(law.lens(), distance, delta, rec));
    let (n, circle) = (setup.exposure.f_number, setup.circle.circle);
    let depth = law.depth_with(distance, n, circle, rec)?;
    let tolerance = depth.tolerance.turn_with(rec);
    let near_offset = depth.near_offset.turn_with(rec);
    let far_offset = depth.far_offset.turn_with(rec);
    let mut knob = |turn: Option<Angle>| Some(knob_turn(turn?, gearing?, rec));
    let [knob, knob_tolerance, knob_near_offset, knob_far_offset] =
        [turn, tolerance, near_offset, far_offset].map(&mut knob);
    let standard_error = law.standard_error(distance);
    Ok(RingRow {
        distance,
        position: turn,
        near_offset,
        far_offset,
        near_offset_arc: depth.near_offset.arc(rec),
        far_offset_arc: depth.far_offset.arc(rec),
        tolerance,
        standard_error: standard_error.and_then(RingPosition::turn),
        standard_error_arc: standard_error.and_then(|sd| sd.arc(&mut ())),
        knob,
        knob_tolerance,
        knob_near_offset,
        knob_far_offset,
        arc,
        tolerance_arc: depth.tolerance.arc(rec),
        standing: law.standing_at(distance).name(),
        real_focus,
    })
}

/// The distance that stands at a place on the ring.
///
/// # Errors
/// [`Unanswerable::OffRing`] for a place beyond either end of what the law tells.
pub fn distance_at(law: &RingLaw, place: RingPosition) -> Result<FocusDistance, Unanswerable> {
    law.distance(place).ok_or_else(|| {
        let (far, near) = law.reach();
        let arc = |place: RingPosition| place.arc(&mut ()).unwrap_or(Length::ZERO);
        let end = |distance| law.position(distance).map_or(place, |end| end);
        Unanswerable::OffRing {
            asked: arc(place),
            from: arc(end(far)),
            to: arc(end(near)),
        }
    })
}
