//! One focus distance of a depth answer.

use crate::answers::Unanswerable;
use crate::formula::Record;
use crate::gear::{CircleOn, DepthSetup, Setup};
use crate::optics::{
    AnyLens, Branch, Circle, Focus, Focused, Limiting, Limits, Magnification, circle_on_screen,
    desqueezed,
};
use crate::units::{FNumber, FocusDistance, Length, Ratio, Reach};

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
    /// What the ring reads, where that was asked.
    #[cfg_attr(
        feature = "serde",
        serde(rename = "mark_mm", skip_serializing_if = "Option::is_none")
    )]
    pub mark: Option<FocusDistance>,
    /// The limits of side-to-side detail, for a lens that squeezes.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub horizontal: Option<Horizontal>,
    /// Airy diameter and what limits, where waves count.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub waves: Option<WaveRow>,
    /// The same from the close-up lens, where there is one.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub from_close_up: Option<FromCloseUp>,
    /// The half of the frame a split close-up lens leaves bare.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub bare_half: Option<BareHalf>,
    /// Where pupils are unknown and a plausible lens could be a fifth
    /// shallower: the limits to trust.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub cautious: Option<Cautious>,
    /// How soft other things are.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Vec::is_empty"))]
    pub objects: Vec<ObjectBlur>,
}

/// Limits in the horizontal meridian of a lens that squeezes.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Horizontal {
    /// Near limit.
    #[cfg_attr(feature = "serde", serde(rename = "horizontal_near_mm"))]
    pub near: FocusDistance,
    /// Far limit.
    #[cfg_attr(feature = "serde", serde(rename = "horizontal_far_mm"))]
    pub far: FocusDistance,
}

/// What wave optics says of one focus.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct WaveRow {
    /// Diameter of the first dark ring round the image of a point.
    #[cfg_attr(feature = "serde", serde(rename = "airy_mm"))]
    pub airy: Length,
    /// What keeps the limits from being sharper.
    pub limit: Limiting,
    /// The circle at this focus: the blur at which the wanted contrast is left.
    #[cfg_attr(feature = "serde", serde(rename = "circle_mm"))]
    pub circle: Length,
    /// Contrast in focus, the most there is, where a contrast was wanted.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub in_focus: Option<Ratio>,
}

/// Distances from the close-up lens.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct FromCloseUp {
    /// Focus distance.
    #[cfg_attr(feature = "serde", serde(rename = "focus_mm"))]
    pub focus: Reach<Length>,
    /// Near limit.
    #[cfg_attr(feature = "serde", serde(rename = "near_mm"))]
    pub near: Reach<Length>,
    /// Far limit.
    #[cfg_attr(feature = "serde", serde(rename = "far_mm"))]
    pub far: Reach<Length>,
}

/// What the lens does beside a split close-up lens, at the same setting.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct BareHalf {
    /// Focus distance.
    #[cfg_attr(feature = "serde", serde(rename = "focus_mm"))]
    pub focus: FocusDistance,
    /// Near limit.
    #[cfg_attr(feature = "serde", serde(rename = "near_mm"))]
    pub near: FocusDistance,
    /// Far limit.
    #[cfg_attr(feature = "serde", serde(rename = "far_mm"))]
    pub far: FocusDistance,
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
    /// The same in circles of confusion, without its sign: sharp up to 1.
    pub blur_circles: f64,
    /// The same as a share of the picture's width on the screen, where there is
    /// a gate.
    pub blur_of_width: Option<f64>,
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

/// How soft each object is in a lens set somewhere.
pub(in crate::answers) fn blurs(
    setup: &Setup,
    circle: Length,
    set: &Focused,
    objects: &[FocusDistance],
    rec: &mut impl Record,
) -> Result<Vec<ObjectBlur>, Unanswerable> {
    let width = setup.frame.as_ref().map(|frame| {
        let squeeze = setup.fitted.squeeze;
        let picture = frame.picture(squeeze, &mut ());
        desqueezed(picture, squeeze, &mut ()).width().to_mm()
    });
    let blur_of = |&object: &FocusDistance| match set.blur(object, rec) {
        Ok(blur) => Ok(ObjectBlur {
            object,
            blur,
            blur_circles: blur.abs().to_mm() / circle.to_mm(),
            blur_of_width: width.map(|width| blur.abs().to_mm() / width),
        }),
        Err(pupil) => Err(Unanswerable::BehindPupil { object, pupil }),
    };
    objects.iter().map(blur_of).collect()
}

/// What a row says beside the lens as it is set.
pub(super) struct Asides {
    pub bare_half: Option<BareHalf>,
    pub cautious: Option<Cautious>,
}

pub(super) fn row(
    wanted: &DepthSetup,
    set: &Focused,
    objects: &[FocusDistance],
    asides: Asides,
    rec: &mut impl Record,
) -> Result<DepthRow, Unanswerable> {
    let working_f_number = set.working_f_number(rec);
    let circle = wanted.circle_of(set, rec)?;
    let objects = blurs(&wanted.setup, circle.diameter(), set, objects, rec)?;
    let horizontal = horizontal(wanted, set, circle, rec);
    let waves = waves(wanted, set, circle, rec);
    let limits = set.limits(circle, rec);
    let from_close_up = from_close_up(wanted, set, limits, rec);
    let depth = set.depth(circle, rec);
    Ok(DepthRow {
        focus: set.focus(),
        near: limits.near,
        far: limits.far,
        in_front: depth.in_front,
        behind: depth.behind,
        total: depth.total,
        magnification: set.magnification(),
        working_f_number,
        entrance_pupil: set.pupil_station(),
        mark: None,
        horizontal,
        waves,
        from_close_up,
        bare_half: asides.bare_half,
        cautious: asides.cautious,
        objects,
    })
}

/// The limits of the squeezed meridian.
fn horizontal(
    wanted: &DepthSetup,
    set: &Focused,
    circle: Circle,
    rec: &mut impl Record,
) -> Option<Horizontal> {
    let squeeze = wanted.setup.fitted.squeeze?;
    let circle = match wanted.setup.circle_on {
        CircleOn::Sensor => circle,
        CircleOn::Screen => circle_on_screen(circle, squeeze, rec),
    };
    let limits = squeeze.horizontal(set, rec).limits(circle, rec);
    Some(Horizontal {
        near: limits.near,
        far: limits.far,
    })
}

/// What wave optics says of a focus, where it was asked.
fn waves(
    wanted: &DepthSetup,
    set: &Focused,
    circle: Circle,
    rec: &mut impl Record,
) -> Option<WaveRow> {
    let waves = wanted.waves.as_ref()?;
    let airy = set.airy(&waves.light, rec);
    let blur = circle.diameter();
    let (limit, in_focus) = match waves.wanted() {
        None => (Limiting::by_circle(blur, airy), None),
        Some((_, detail)) => {
            let n_w = set.working_f_number(&mut ());
            let best = detail.in_focus(n_w, &mut ());
            (set.limiting(blur, &detail), Some(best))
        }
    };
    Some(WaveRow {
        airy,
        limit,
        circle: blur,
        in_focus,
    })
}

/// Focus and limits from the close-up lens, the outermost of several.
fn from_close_up(
    wanted: &DepthSetup,
    set: &Focused,
    limits: Limits,
    rec: &mut impl Record,
) -> Option<FromCloseUp> {
    let close_up = wanted.setup.lens.front().last()?;
    let mut from = |distance: FocusDistance| match distance.reach() {
        Reach::At(distance) => Reach::At(close_up.from_here(distance, rec)),
        Reach::Infinity => Reach::Infinity,
    };
    Some(FromCloseUp {
        focus: from(set.focus()),
        near: from(limits.near),
        far: from(limits.far),
    })
}

/// What the lens does beside a split close-up lens, at the same setting.
pub(super) fn bare_half(
    wanted: &DepthSetup,
    setting: Magnification,
    rec: &mut impl Record,
) -> Option<BareHalf> {
    let (setup, n) = (&wanted.setup, wanted.exposure.f_number);
    if !setup.fitted.half {
        return None;
    }
    let bare = setup.fitted.without_front();
    let bare = bare.lens(setup.lens.bare(), &mut ()).ok()?;
    let beside = bare.set(setting, n, rec);
    let circle = wanted.circle_of(&beside, rec).ok()?;
    let limits = beside.limits(circle, rec);
    Some(BareHalf {
        focus: beside.focus(),
        near: limits.near,
        far: limits.far,
    })
}

/// The shallowest limits among plausible builds, where one of them is a fifth
/// shallower than the lens assumed.
pub(super) fn cautious(wanted: &DepthSetup, assumed: &Focused) -> Option<Cautious> {
    let Reach::At(distance) = assumed.focus().reach() else {
        return None;
    };
    let limits_of = |set: &Focused| {
        let circle = wanted.circle_of(set, &mut ()).ok()?;
        let limits = set.limits(circle, &mut ());
        Some((limits.near, limits.far))
    };
    let share = |limit: FocusDistance| match limit.reach() {
        Reach::At(limit) => (limit - distance).abs(),
        Reach::Infinity => Length::m(1e9),
    };
    let (near, far) = limits_of(assumed)?;
    let mut worst = Cautious { near, far };
    let builds = wanted.setup.plausible();
    // Focused where the lens assumed is, whatever its ring reads there.
    let (focus, n) = (assumed.focus(), wanted.exposure.f_number);
    let build = |lens: &AnyLens| lens.at(focus, Branch::Far, n, &mut ()).ok();
    let sets = builds.iter().filter_map(build);
    for (near, far) in sets.filter_map(|set| limits_of(&set)) {
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
