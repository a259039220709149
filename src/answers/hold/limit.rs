//! Where to focus for one wanted limit.

use crate::answers::Unanswerable;
use crate::formula::Record;
use crate::gear::{Assumption, DepthSetup, FittedFigures, Waves};
use crate::optics::{
    AnyLens, Circle, Focus, Focused, Magnification, NoSuchLimit, focused_for_far, focused_for_near,
};
use crate::units::{
    FNumber, FocusDistance, Length, PupilMagnification, Reach, TNumber, Transmittance,
};

/// The focus whose near or far limit is wanted, and what else it holds.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct LimitAnswer {
    /// Focal length.
    #[cfg_attr(feature = "serde", serde(rename = "focal_length_mm"))]
    pub focal_length: Length,
    /// Hiatus.
    #[cfg_attr(feature = "serde", serde(rename = "hiatus_mm"))]
    pub hiatus: Length,
    /// Pupil magnification.
    pub pupil_magnification: PupilMagnification,
    /// The entrance pupil's distance in front of the image plane at infinity
    /// focus, where that was given.
    #[cfg_attr(feature = "serde", serde(rename = "entrance_pupil_given_mm"))]
    pub given_station: Option<Length>,
    /// f-number.
    pub f_number: FNumber,
    /// T-number, where known.
    pub t_number: Option<TNumber>,
    /// What leads from one to the other, where known or assumed.
    pub transmittance: Option<Transmittance>,
    /// Circle of confusion; under a wanted contrast that at the focus.
    #[cfg_attr(feature = "serde", serde(rename = "circle_mm"))]
    pub circle: Length,
    /// Its rule in words.
    pub circle_rule: String,
    /// Light and wanted contrast, where waves count.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub waves: Option<Waves>,
    /// What is on the lens.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub on_the_lens: FittedFigures,
    /// Which limit was wanted: `near` or `far`.
    pub wanted: &'static str,
    /// The near limit.
    #[cfg_attr(feature = "serde", serde(rename = "near_mm"))]
    pub near: FocusDistance,
    /// The far limit.
    #[cfg_attr(feature = "serde", serde(rename = "far_mm"))]
    pub far: FocusDistance,
    /// Where to focus.
    #[cfg_attr(feature = "serde", serde(rename = "focus_mm"))]
    pub focus: FocusDistance,
    /// The stop on the lens's own ring.
    pub marked_stop: f64,
    /// Its kind: `f` or `T`.
    pub marked_stop_kind: &'static str,
    /// The magnification there.
    pub magnification: Magnification,
    /// The same for the shallowest plausible lens, where pupils are unknown and
    /// it holds a fifth less.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub cautious: Option<CautiousLimit>,
    /// What the answer rests on that nobody said.
    pub assumptions: Vec<Assumption>,
}

/// Where to focus a plausible lens, and what it then holds.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct CautiousLimit {
    /// The near limit.
    #[cfg_attr(feature = "serde", serde(rename = "near_mm"))]
    pub near: FocusDistance,
    /// The far limit.
    #[cfg_attr(feature = "serde", serde(rename = "far_mm"))]
    pub far: FocusDistance,
    /// Where to focus.
    #[cfg_attr(feature = "serde", serde(rename = "focus_mm"))]
    pub focus: FocusDistance,
}

impl LimitAnswer {
    /// The figures to act on: the cautious ones where there are any.
    #[must_use]
    pub fn to_trust(&self) -> CautiousLimit {
        self.cautious.unwrap_or(CautiousLimit {
            near: self.near,
            far: self.far,
            focus: self.focus,
        })
    }
}

/// The farthest focus that still holds something at `near`.
///
/// # Errors
/// [`Unanswerable`] when the lens does not focus so near, or holds from nearer
/// than that wherever it is focused.
pub fn focus_for_near(
    setup: &DepthSetup,
    near: FocusDistance,
    rec: &mut impl Record,
) -> Result<LimitAnswer, Unanswerable> {
    let n = setup.exposure.f_number;
    let circle_of = |lens: &AnyLens| {
        let search = |circle| focused_for_near(lens, near, n, circle, &mut ());
        circle_there(setup, lens, near, search)
    };
    let circle = circle_of(&setup.setup.lens)?;
    let set = focused_for_near(&setup.setup.lens, near, n, circle, rec)
        .map_err(|reason| no_limit(reason, near))?;
    tell_circle(setup, &set, rec)?;
    let far = set.limits(circle, rec).far;
    let builds = setup.setup.plausible();
    let held = builds.iter().filter_map(|lens| {
        let circle = circle_of(lens).ok()?;
        let set = focused_for_near(lens, near, n, circle, &mut ()).ok()?;
        let far = set.limits(circle, &mut ()).far;
        Some(limit_of(&set, near, far))
    });
    let mut found = answer(setup, circle, "near", (near, far), &set, rec);
    found.cautious = shallowest(found.to_trust(), held);
    Ok(found)
}

/// The nearest focus that still holds something at `far`: for infinity the
/// hyperfocal focus, whose near limit is the closest subject that keeps it.
///
/// # Errors
/// [`Unanswerable`] when no setting holds so little.
pub fn focus_for_far(
    setup: &DepthSetup,
    far: FocusDistance,
    rec: &mut impl Record,
) -> Result<LimitAnswer, Unanswerable> {
    let n = setup.exposure.f_number;
    let circle_of = |lens: &AnyLens| {
        let search = |circle| focused_for_far(lens, far, n, circle, &mut ());
        circle_there(setup, lens, far, search)
    };
    let circle = circle_of(&setup.setup.lens)?;
    if let (true, Some(lens)) = (far.is_infinite(), setup.setup.lens.unit()) {
        // Everything sharp everywhere is told in its own words.
        lens.hyperfocal(n, circle, &mut ())?;
    }
    let set = focused_for_far(&setup.setup.lens, far, n, circle, rec)
        .map_err(|reason| no_limit(reason, far))?;
    tell_circle(setup, &set, rec)?;
    let near = set.limits(circle, rec).near;
    let builds = setup.setup.plausible();
    let held = builds.iter().filter_map(|lens| {
        let circle = circle_of(lens).ok()?;
        let set = focused_for_far(lens, far, n, circle, &mut ()).ok()?;
        let near = set.limits(circle, &mut ()).near;
        Some(limit_of(&set, near, far))
    });
    let mut found = answer(setup, circle, "far", (near, far), &set, rec);
    found.cautious = shallowest(found.to_trust(), held);
    Ok(found)
}

/// The circle at the focus whose limit is wanted: the chosen one, or the blur at
/// which the wanted contrast is left at that very focus.
///
/// Such a circle goes by the working f-number, which hardly moves with the focus:
/// each round settles more digits.
fn circle_there(
    setup: &DepthSetup,
    lens: &AnyLens,
    limit: FocusDistance,
    search: impl Fn(Circle) -> Result<Focused, NoSuchLimit>,
) -> Result<Circle, Unanswerable> {
    /// More rounds than any focus up to 1:1 needs for all digits.
    const ROUNDS: u32 = 60;
    let infinity = Magnification::INFINITY_FOCUS;
    let at_infinity = lens.set(infinity, setup.exposure.f_number, &mut ());
    let mut circle = setup.circle_of(&at_infinity, &mut ())?;
    for _ in 0..ROUNDS {
        let set = search(circle).map_err(|reason| no_limit(reason, limit))?;
        let next = setup.circle_of(&set, &mut ())?;
        if next == circle {
            break;
        }
        circle = next;
    }
    Ok(circle)
}

/// Tells how the circle of a wanted contrast belongs to the focus that was found.
fn tell_circle(
    setup: &DepthSetup,
    set: &Focused,
    rec: &mut impl Record,
) -> Result<(), Unanswerable> {
    if let Some((contrast, detail)) = setup.waves.as_ref().and_then(Waves::wanted) {
        detail.circle_at(contrast, set.working_f_number(rec), rec)?;
    }
    Ok(())
}

fn limit_of(set: &Focused, near: FocusDistance, far: FocusDistance) -> CautiousLimit {
    CautiousLimit {
        near,
        far,
        focus: set.focus(),
    }
}

/// The one that holds least, where that is a fifth less than what was assumed.
/// How much is held is counted in 1/distance, where infinity has a place.
fn shallowest(
    assumed: CautiousLimit,
    builds: impl Iterator<Item = CautiousLimit>,
) -> Option<CautiousLimit> {
    let vergence = |at: FocusDistance| match at.reach() {
        Reach::At(length) => 1.0 / length.to_mm(),
        Reach::Infinity => 0.0,
    };
    let holds = |limit: &CautiousLimit| vergence(limit.near) - vergence(limit.far);
    // A hyperfocal distance is told with the same care wherever it stands.
    let a_difference = if assumed.far.is_infinite() {
        0.995
    } else {
        0.8
    };
    builds
        .min_by(|a, b| holds(a).total_cmp(&holds(b)))
        .filter(|least| holds(least) < holds(&assumed) * a_difference)
}

/// Why a limit cannot be had, beside the one asked for.
pub(in crate::answers) fn no_limit(reason: NoSuchLimit, asked: FocusDistance) -> Unanswerable {
    match reason {
        NoSuchLimit::OutOfReach(reason) => reason.into(),
        NoSuchLimit::NearBeyondInfinity { farthest } => {
            Unanswerable::NearLimitTooFar { asked, farthest }
        }
        NoSuchLimit::FarTooFar { farthest } => Unanswerable::FarLimitTooFar { asked, farthest },
        NoSuchLimit::FarTooNear { nearest } => Unanswerable::FarLimitTooNear { asked, nearest },
    }
}

fn answer(
    setup: &DepthSetup,
    circle: Circle,
    wanted: &'static str,
    (near, far): (FocusDistance, FocusDistance),
    set: &Focused,
    rec: &mut impl Record,
) -> LimitAnswer {
    LimitAnswer {
        focal_length: setup.setup.lens.focal_length(rec),
        hiatus: setup.setup.lens.hiatus(),
        pupil_magnification: setup.setup.lens.pupil_magnification(),
        given_station: setup.setup.given_station,
        f_number: setup.f_number_of_the_whole(rec),
        t_number: setup.t_number_of_the_whole(rec),
        circle: circle.diameter(),
        circle_rule: setup.circle.in_words(),
        waves: setup.waves.clone(),
        transmittance: setup.exposure.transmittance,
        on_the_lens: setup.setup.figures_fitted(Some(&setup.exposure)),
        wanted,
        near,
        far,
        focus: set.focus(),
        marked_stop: setup.exposure.stop.number(),
        marked_stop_kind: setup.exposure.stop.kind().name(),
        magnification: set.magnification(),
        cautious: None,
        assumptions: setup.setup.assumptions.clone(),
    }
}
