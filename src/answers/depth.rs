//! How much is sharp: hyperfocal, near, far, in front and behind.

use super::Unanswerable;
use crate::formula::Record;
use crate::gear::{Assumption, DepthSetup, PupilsKnown};
use crate::optics::{Circle, CircleRule, Hyperfocal, Magnification, UnitFocus, plausible};
use crate::units::{
    FNumber, FocusDistance, Length, PupilMagnification, Reach, TNumber, Transmittance,
};

/// Depth of field at one or several focus distances.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct DepthAnswer {
    /// Focal length.
    #[cfg_attr(feature = "serde", serde(rename = "focal_length_mm"))]
    pub focal_length: Length,
    /// f-number, by which depth goes.
    pub f_number: FNumber,
    /// T-number, where known.
    pub t_number: Option<TNumber>,
    /// What leads from one to the other, where known or assumed.
    pub transmittance: Option<Transmittance>,
    /// Circle of confusion on the image plane.
    #[cfg_attr(feature = "serde", serde(rename = "circle_mm"))]
    pub circle: Length,
    /// Its rule in words.
    pub circle_rule: String,
    /// Its rule in figures.
    pub circle_from: CircleRule,
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
    /// The focus distance whose far limit is infinity.
    #[cfg_attr(feature = "serde", serde(rename = "hyperfocal_mm"))]
    pub hyperfocal: Length,
    /// The same from the other reference points.
    pub hyperfocal_from: HyperfocalFrom,
    /// One row a focus distance.
    pub rows: Vec<DepthRow>,
    /// What the answer rests on that nobody said.
    pub assumptions: Vec<Assumption>,
}

/// The hyperfocal distance from the lens's own reference points.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct HyperfocalFrom {
    /// From the front focal point.
    #[cfg_attr(feature = "serde", serde(rename = "front_focal_point_mm"))]
    pub front_focal_point: Length,
    /// From the front principal plane.
    #[cfg_attr(feature = "serde", serde(rename = "front_principal_plane_mm"))]
    pub front_principal_plane: Length,
    /// From the entrance pupil.
    #[cfg_attr(feature = "serde", serde(rename = "entrance_pupil_mm"))]
    pub entrance_pupil: Length,
}

/// Depth at one focus distance.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct DepthRow {
    /// Focus distance.
    #[cfg_attr(feature = "serde", serde(rename = "focus_mm"))]
    pub focus: FocusDistance,
    /// Near limit.
    #[cfg_attr(feature = "serde", serde(rename = "near_mm"))]
    pub near: FocusDistance,
    /// Far limit.
    #[cfg_attr(feature = "serde", serde(rename = "far_mm"))]
    pub far: FocusDistance,
    /// How far the subject may come toward the camera.
    #[cfg_attr(feature = "serde", serde(rename = "in_front_mm"))]
    pub in_front: Reach<Length>,
    /// How far it may go away.
    #[cfg_attr(feature = "serde", serde(rename = "behind_mm"))]
    pub behind: Reach<Length>,
    /// Both together.
    #[cfg_attr(feature = "serde", serde(rename = "total_mm"))]
    pub total: Reach<Length>,
    /// Image size over object size.
    pub magnification: Magnification,
    /// f-number of the light cone at the image.
    pub working_f_number: FNumber,
    /// The entrance pupil's distance in front of the image plane.
    #[cfg_attr(feature = "serde", serde(rename = "entrance_pupil_mm"))]
    pub entrance_pupil: Length,
    /// Where pupils are unknown and a plausible lens could be a fifth
    /// shallower: the limits to trust.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub cautious: Option<Cautious>,
    /// How soft other things are.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Vec::is_empty"))]
    pub objects: Vec<ObjectBlur>,
}

/// The shallowest limits a plausible lens of this focal length has.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Cautious {
    /// Near limit.
    #[cfg_attr(feature = "serde", serde(rename = "near_mm"))]
    pub near: FocusDistance,
    /// Far limit.
    #[cfg_attr(feature = "serde", serde(rename = "far_mm"))]
    pub far: FocusDistance,
}

/// The blur of something that is not in focus.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct ObjectBlur {
    /// Where it stands.
    #[cfg_attr(feature = "serde", serde(rename = "object_mm"))]
    pub object: FocusDistance,
    /// Diameter of its blur on the image plane, + behind the focus, − in front.
    #[cfg_attr(feature = "serde", serde(rename = "blur_mm"))]
    pub blur: Length,
}

impl DepthRow {
    /// The limits to act on: the cautious ones where there are any.
    #[must_use]
    pub fn limits_to_trust(&self) -> (FocusDistance, FocusDistance) {
        match self.cautious {
            Some(cautious) => (cautious.near, cautious.far),
            None => (self.near, self.far),
        }
    }
}

/// Depth of field of a setup at each focus distance, and the blur of each
/// object there.
///
/// # Errors
/// [`Unanswerable`] when a distance cannot be focused, an object stands behind
/// the entrance pupil, or there is no hyperfocal distance.
pub fn depth(
    wanted: &DepthSetup,
    at: &[FocusDistance],
    objects: &[FocusDistance],
    rec: &mut impl Record,
) -> Result<DepthAnswer, Unanswerable> {
    let lens = wanted.setup.lens;
    let (n, circle) = (wanted.exposure.f_number, wanted.circle.circle);
    let hyperfocal: Hyperfocal = lens.hyperfocal(n, circle, rec)?;
    let rows = at
        .iter()
        .map(|&focus| row(wanted, focus, objects, rec))
        .collect::<Result<Vec<_>, _>>()?;
    let gate = wanted.setup.frame.as_ref().map(|frame| frame.gate);
    Ok(DepthAnswer {
        focal_length: lens.focal_length(),
        f_number: n,
        t_number: wanted.exposure.t_number,
        transmittance: wanted.exposure.transmittance,
        circle: circle.diameter(),
        circle_rule: wanted.circle.in_words(),
        circle_from: wanted.circle.rule,
        hiatus: lens.hiatus(),
        pupil_magnification: lens.pupil_magnification(),
        given_station: wanted.setup.given_station,
        gate_width: gate.map(|gate| gate.width()),
        gate_height: gate.map(|gate| gate.height()),
        hyperfocal: hyperfocal.from_image_plane,
        hyperfocal_from: HyperfocalFrom {
            front_focal_point: hyperfocal.from_front_focal_point,
            front_principal_plane: hyperfocal.from_front_principal_plane,
            entrance_pupil: hyperfocal.from_entrance_pupil,
        },
        rows,
        assumptions: wanted.setup.assumptions.clone(),
    })
}

fn row(
    wanted: &DepthSetup,
    focus: FocusDistance,
    objects: &[FocusDistance],
    rec: &mut impl Record,
) -> Result<DepthRow, Unanswerable> {
    let (n, circle) = (wanted.exposure.f_number, wanted.circle.circle);
    let set = wanted.setup.lens.at(focus, wanted.setup.branch, n, rec)?;
    let working_f_number = set.working_f_number(rec);
    let objects = objects
        .iter()
        .map(|&object| match set.blur(object, rec) {
            Ok(blur) => Ok(ObjectBlur { object, blur }),
            Err(pupil) => Err(Unanswerable::BehindPupil { object, pupil }),
        })
        .collect::<Result<Vec<_>, _>>()?;
    let limits = set.limits(circle, rec);
    let depth = set.depth(circle, rec);
    let cautious = match wanted.setup.pupils {
        PupilsKnown::Placed => None,
        PupilsKnown::Nothing | PupilsKnown::RatioAlone => {
            cautious(wanted.setup.lens, focus, n, circle)
        }
    };
    Ok(DepthRow {
        focus,
        near: limits.near,
        far: limits.far,
        in_front: depth.in_front,
        behind: depth.behind,
        total: depth.total,
        magnification: set.magnification(),
        working_f_number,
        entrance_pupil: set.pupil_station(),
        cautious,
        objects,
    })
}

/// The shallowest limits among plausible builds, where one of them is a fifth
/// shallower than the lens assumed.
fn cautious(
    assumed: UnitFocus,
    focus: FocusDistance,
    n: FNumber,
    circle: Circle,
) -> Option<Cautious> {
    let Reach::At(distance) = focus.reach() else {
        return None;
    };
    let limits_of = |lens: UnitFocus| {
        let set = lens
            .at(focus, crate::optics::Branch::Far, n, &mut ())
            .ok()?;
        let limits = set.limits(circle, &mut ());
        Some((limits.near, limits.far))
    };
    let share = |limit: FocusDistance| match limit.reach() {
        Reach::At(limit) => (limit - distance).abs(),
        Reach::Infinity => Length::m(1e9),
    };
    let (near, far) = limits_of(assumed)?;
    let mut worst = Cautious { near, far };
    for (near, far) in plausible(assumed.focal_length())
        .into_iter()
        .filter_map(limits_of)
    {
        if worst.near.is_nearer_than(near) {
            worst.near = near;
        }
        if far.is_nearer_than(worst.far) {
            worst.far = far;
        }
    }
    let shallower = share(worst.near) < share(near) * 0.8 || share(worst.far) < share(far) * 0.8;
    shallower.then_some(worst)
}
