//! How much is sharp: hyperfocal, near, far, in front and behind.

use super::{AssumedRange, Unanswerable};
use crate::formula::Record;
use crate::gear::{Assumption, CircleOn, DepthSetup, Setup, Waves};
use crate::optics::{
    AnyLens, Branch, Circle, CircleRule, Focus, Focused, Limiting, Magnification, NoHyperfocal,
    circle_on_screen, desqueezed, hyperfocal_at_contrast,
};
use crate::units::{
    FNumber, FocusDistance, Length, PupilMagnification, Ratio, Reach, TNumber, Transmittance,
};

/// Depth of field at one or several focus distances.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct DepthAnswer {
    /// Focal length.
    #[cfg_attr(feature = "serde", serde(rename = "focal_length_mm"))]
    pub focal_length: Length,
    /// f-number, by which depth goes; of the whole with an extender.
    pub f_number: FNumber,
    /// T-number, where known; of the whole with an extender.
    pub t_number: Option<TNumber>,
    /// What leads from one to the other, where known or assumed.
    pub transmittance: Option<Transmittance>,
    /// Circle of confusion on the image plane; under a wanted contrast that at
    /// infinity focus, and each row has its own.
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
    /// The focus distance whose far limit is infinity; none where no setting of
    /// the whole reaches so far.
    #[cfg_attr(feature = "serde", serde(rename = "hyperfocal_mm"))]
    pub hyperfocal: Option<Length>,
    /// Where pupils are unknown and a plausible lens needs a distance farther by
    /// more than a figure's last step: the distance to trust.
    #[cfg_attr(
        feature = "serde",
        serde(
            rename = "cautious_hyperfocal_mm",
            skip_serializing_if = "Option::is_none"
        )
    )]
    pub cautious_hyperfocal: Option<Length>,
    /// The same from the other reference points.
    pub hyperfocal_from: HyperfocalFrom,
    /// One row a focus distance.
    pub rows: Vec<DepthRow>,
    /// How far the limits may be off where something was assumed, if that was
    /// asked for.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Vec::is_empty"))]
    pub ranges: Vec<AssumedRange>,
    /// What the answer rests on that nobody said.
    pub assumptions: Vec<Assumption>,
}

/// The hyperfocal distance from the lens's own reference points.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct HyperfocalFrom {
    /// From the front focal point, of a plain lens.
    #[cfg_attr(feature = "serde", serde(rename = "front_focal_point_mm"))]
    pub front_focal_point: Option<Length>,
    /// From the front principal plane, of a plain lens.
    #[cfg_attr(feature = "serde", serde(rename = "front_principal_plane_mm"))]
    pub front_principal_plane: Option<Length>,
    /// From the entrance pupil.
    #[cfg_attr(feature = "serde", serde(rename = "entrance_pupil_mm"))]
    pub entrance_pupil: Option<Length>,
    /// Under a wanted contrast, the circle that stands for it at that focus.
    #[cfg_attr(
        feature = "serde",
        serde(rename = "circle_mm", skip_serializing_if = "Option::is_none")
    )]
    pub circle: Option<Length>,
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

/// How soft each object is in a lens set somewhere.
pub(super) fn blurs(
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

impl DepthAnswer {
    /// The hyperfocal distance to act on: the cautious one where there is one.
    #[must_use]
    pub fn hyperfocal_to_trust(&self) -> Option<Length> {
        self.cautious_hyperfocal.or(self.hyperfocal)
    }
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
    let head = head(wanted, rec)?;
    let (n, branch) = (wanted.exposure.f_number, wanted.setup.branch);
    let rows = at.iter().map(|&focus| {
        let set_of = |lens: &AnyLens, rec: &mut _| lens.at(focus, branch, n, rec);
        let set = set_of(&wanted.setup.lens, rec)?;
        let cautious = cautious(wanted, &set, |lens| {
            lens.at(focus, Branch::Far, n, &mut ()).ok()
        });
        row(wanted, &set, objects, cautious, rec)
    });
    let rows = rows.collect::<Result<Vec<_>, Unanswerable>>()?;
    Ok(DepthAnswer { rows, ..head })
}

/// Depth of field where the lens's own scale reads each mark: with attachments,
/// that is not where it focuses.
///
/// # Errors
/// [`Unanswerable`] as [`depth`], and where a setting lies beyond infinity.
pub fn depth_at_marks(
    wanted: &DepthSetup,
    marks: &[FocusDistance],
    objects: &[FocusDistance],
    rec: &mut impl Record,
) -> Result<DepthAnswer, Unanswerable> {
    let head = head(wanted, rec)?;
    let n = wanted.exposure.f_number;
    let rows = marks.iter().map(|&mark| {
        let set = wanted.setup.lens.at_mark(mark, n, rec);
        let set = set.map_err(|reason| Unanswerable::AtMark { mark, reason })?;
        let cautious = cautious(wanted, &set, |lens| lens.at_mark(mark, n, &mut ()).ok());
        let row = row(wanted, &set, objects, cautious, rec)?;
        Ok(DepthRow {
            mark: Some(mark),
            ..row
        })
    });
    let rows = rows.collect::<Result<Vec<_>, Unanswerable>>()?;
    Ok(DepthAnswer { rows, ..head })
}

/// The answer without its rows.
fn head(wanted: &DepthSetup, rec: &mut impl Record) -> Result<DepthAnswer, Unanswerable> {
    let lens = &wanted.setup.lens;
    let infinity = Magnification::INFINITY_FOCUS;
    let at_infinity = lens.set(infinity, wanted.exposure.f_number, &mut ());
    let circle = wanted.circle_of(&at_infinity, &mut ())?;
    let (hyperfocal, hyperfocal_from) = hyperfocal(lens, wanted, rec)?;
    let mut assumptions = wanted.setup.assumptions.clone();
    if hyperfocal.is_none() {
        assumptions.push(Assumption::new(
            "no_hyperfocal",
            "there is no hyperfocal distance: no setting has its far limit at infinity",
        ));
    }
    let gate = wanted.setup.frame.as_ref().map(|frame| frame.gate);
    Ok(DepthAnswer {
        focal_length: lens.focal_length(),
        f_number: wanted.f_number_of_the_whole(),
        t_number: wanted.t_number_of_the_whole(),
        transmittance: wanted.exposure.transmittance,
        circle: circle.diameter(),
        circle_rule: wanted.circle.in_words(),
        circle_from: wanted.circle.rule,
        waves: wanted.waves.clone(),
        hiatus: lens.hiatus(),
        pupil_magnification: lens.pupil_magnification(),
        given_station: wanted.setup.given_station,
        gate_width: gate.map(|gate| gate.width()),
        gate_height: gate.map(|gate| gate.height()),
        hyperfocal,
        cautious_hyperfocal: cautious_hyperfocal(wanted, hyperfocal),
        hyperfocal_from,
        rows: Vec::new(),
        ranges: Vec::new(),
        assumptions,
    })
}

/// A hyperfocal distance that a plausible build needs so much farther is worth
/// telling: half a hundredth is an inch at 5 m, the last step of a figure there.
const FARTHER: f64 = 1.005;

/// The largest hyperfocal distance among plausible builds, where it is farther
/// than that of the lens assumed by what shows.
fn cautious_hyperfocal(wanted: &DepthSetup, assumed: Option<Length>) -> Option<Length> {
    let of_build = |lens: &AnyLens| hyperfocal(lens, wanted, &mut ()).ok()?.0;
    let builds = wanted.setup.plausible();
    let most = builds.iter().filter_map(of_build);
    let (most, assumed) = (most.reduce(Length::max)?, assumed?);
    (most > assumed * FARTHER).then_some(most)
}

/// The hyperfocal distance of a lens from the image plane, and from its own
/// points where they are known.
fn hyperfocal(
    lens: &AnyLens,
    wanted: &DepthSetup,
    rec: &mut impl Record,
) -> Result<(Option<Length>, HyperfocalFrom), Unanswerable> {
    let (n, circle) = (wanted.exposure.f_number, wanted.circle.circle);
    let waves = wanted.waves.as_ref().and_then(Waves::wanted);
    if let (Some(lens), None) = (lens.unit(), &waves) {
        let found = lens.hyperfocal(n, circle, rec)?;
        let from = HyperfocalFrom {
            front_focal_point: Some(found.from_front_focal_point),
            front_principal_plane: Some(found.from_front_principal_plane),
            entrance_pupil: Some(found.from_entrance_pupil),
            circle: None,
        };
        return Ok((Some(found.from_image_plane), from));
    }
    let (found, circle) = match &waves {
        None => (lens.hyperfocal_focus(n, circle, rec), None),
        Some((contrast, detail)) => match hyperfocal_at_contrast(lens, n, *contrast, detail, rec) {
            Ok((set, circle)) => (Some(set), Some(circle.diameter())),
            Err(NoHyperfocal::Unreachable(reason)) => return Err(reason.into()),
            Err(NoHyperfocal::NoSuchLimit(_)) => (None, None),
        },
    };
    let distance = found.and_then(|set| set.focus().reach().finite());
    let station = found.map(|set| set.pupil_station());
    let from = HyperfocalFrom {
        front_focal_point: None,
        front_principal_plane: None,
        entrance_pupil: distance.zip(station).map(|(d, t)| d - t),
        circle,
    };
    Ok((distance, from))
}

fn row(
    wanted: &DepthSetup,
    set: &Focused,
    objects: &[FocusDistance],
    cautious: Option<Cautious>,
    rec: &mut impl Record,
) -> Result<DepthRow, Unanswerable> {
    let working_f_number = set.working_f_number(rec);
    let circle = wanted.circle_of(set, rec)?;
    let objects = blurs(&wanted.setup, circle.diameter(), set, objects, rec)?;
    let horizontal = horizontal(wanted, set, circle, rec);
    let bare_half = bare_half(wanted, set, rec);
    let waves = waves(wanted, set, circle, rec);
    let limits = set.limits(circle, rec);
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
        bare_half,
        cautious,
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

/// What the lens does beside a split close-up lens.
fn bare_half(wanted: &DepthSetup, set: &Focused, rec: &mut impl Record) -> Option<BareHalf> {
    let fitted = &wanted.setup.fitted;
    if !fitted.half {
        return None;
    }
    let (lens, n) = (&wanted.setup.lens, wanted.exposure.f_number);
    let setting = lens.setting(set.focus(), Branch::Far, &mut ()).ok()?;
    let bare = fitted.without_front().lens(lens.bare()).ok()?;
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
fn cautious(
    wanted: &DepthSetup,
    assumed: &Focused,
    build: impl Fn(&AnyLens) -> Option<Focused>,
) -> Option<Cautious> {
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
