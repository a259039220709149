//! Where to focus for one wanted limit.

use crate::answers::{Premises, Unanswerable};
use crate::formula::Record;
use crate::gear::{Assumption, DepthSetup, Waves};
use crate::optics::{
    AnyLens, Circle, Focus, Focused, Magnification, NoSuchLimit, focused_for_far, focused_for_near,
};
use crate::units::{FNumber, FocusDistance, Reach};

/// The focus whose near or far limit is wanted, and what else it holds.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct LimitAnswer {
    /// What it was worked out from.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub premises: Premises,
    /// Which limit was wanted: `near` or `far`.
    pub wanted: &'static str,
    /// Where to focus, and what is then held.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub held: SharpRange,
    /// The stop on the lens's own ring.
    pub marked_stop: f64,
    /// Its kind: `f` or `T`.
    pub marked_stop_kind: &'static str,
    /// The magnification there.
    pub magnification: Magnification,
    /// The same for the shallowest plausible lens, where pupils are unknown and
    /// it holds a fifth less.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub cautious: Option<SharpRange>,
    /// What the answer rests on that nobody said.
    pub assumptions: Vec<Assumption>,
}

/// Where to focus, and what is then held.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct SharpRange {
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
    pub fn to_trust(&self) -> SharpRange {
        self.cautious.unwrap_or(self.held)
    }
}

/// Which limit is wanted.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Wanted {
    Near,
    Far,
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
    focus_for(setup, Wanted::Near, near, rec)
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
    focus_for(setup, Wanted::Far, far, rec)
}

fn focus_for(
    setup: &DepthSetup,
    wanted: Wanted,
    limit: FocusDistance,
    rec: &mut impl Record,
) -> Result<LimitAnswer, Unanswerable> {
    let lens = &setup.setup.lens;
    let n = setup.exposure.f_number;
    let circle = circle_there(setup, lens, wanted, limit)?;
    if let (Wanted::Far, true, Some(lens)) = (wanted, limit.is_infinite(), lens.unit()) {
        // Everything sharp everywhere is told in its own words.
        lens.hyperfocal(n, circle, &mut ())?;
    }
    let set = wanted.focused(lens, limit, n, circle, rec);
    let set = set.map_err(|reason| no_limit(reason, limit))?;
    tell_circle(setup, &set, rec)?;
    let held = wanted.held(&set, limit, circle, rec);
    let builds = setup.setup.plausible();
    let builds = builds.iter().filter_map(|build| {
        let circle = circle_there(setup, build, wanted, limit).ok()?;
        let set = wanted.focused(build, limit, n, circle, &mut ()).ok()?;
        Some(wanted.held(&set, limit, circle, &mut ()))
    });
    let cautious = shallowest(held, builds);
    Ok(LimitAnswer {
        cautious,
        ..answer(setup, circle, wanted.name(), held, &set, rec)
    })
}

impl Wanted {
    const fn name(self) -> &'static str {
        match self {
            Self::Near => "near",
            Self::Far => "far",
        }
    }

    /// The lens focused so that the limit is where it is wanted.
    fn focused(
        self,
        lens: &AnyLens,
        limit: FocusDistance,
        n: FNumber,
        circle: Circle,
        rec: &mut impl Record,
    ) -> Result<Focused, NoSuchLimit> {
        match self {
            Self::Near => focused_for_near(lens, limit, n, circle, rec),
            Self::Far => focused_for_far(lens, limit, n, circle, rec),
        }
    }

    /// What it then holds: the limit wanted, and the other.
    fn held(
        self,
        set: &Focused,
        limit: FocusDistance,
        circle: Circle,
        rec: &mut impl Record,
    ) -> SharpRange {
        let limits = set.limits(circle, rec);
        let (near, far) = match self {
            Self::Near => (limit, limits.far),
            Self::Far => (limits.near, limit),
        };
        SharpRange {
            near,
            far,
            focus: set.focus(),
        }
    }
}

/// The circle at the focus whose limit is wanted: the chosen one, or the blur at
/// which the wanted contrast is left at that very focus.
///
/// Such a circle goes by the working f-number, which hardly moves with the focus:
/// each round settles more digits.
fn circle_there(
    setup: &DepthSetup,
    lens: &AnyLens,
    wanted: Wanted,
    limit: FocusDistance,
) -> Result<Circle, Unanswerable> {
    /// More rounds than any focus up to 1:1 needs for all digits.
    const ROUNDS: u32 = 60;
    let infinity = Magnification::INFINITY_FOCUS;
    let at_infinity = lens.set(infinity, setup.exposure.f_number, &mut ());
    let mut circle = setup.circle_of(&at_infinity, &mut ())?;
    for _ in 0..ROUNDS {
        let set = wanted.focused(lens, limit, setup.exposure.f_number, circle, &mut ());
        let set = set.map_err(|reason| no_limit(reason, limit))?;
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

/// The one that holds least, where that is a fifth less than what was assumed.
/// How much is held is counted in 1/distance, where infinity has a place.
fn shallowest(assumed: SharpRange, builds: impl Iterator<Item = SharpRange>) -> Option<SharpRange> {
    let vergence = |at: FocusDistance| match at.reach() {
        Reach::At(length) => 1.0 / length.to_mm(),
        Reach::Infinity => 0.0,
    };
    let holds = |limit: &SharpRange| vergence(limit.near) - vergence(limit.far);
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
    held: SharpRange,
    set: &Focused,
    rec: &mut impl Record,
) -> LimitAnswer {
    LimitAnswer {
        premises: Premises::of(setup, circle, rec),
        wanted,
        held,
        marked_stop: setup.exposure.stop.number(),
        marked_stop_kind: setup.exposure.stop.kind().name(),
        magnification: set.magnification(),
        cautious: None,
        assumptions: setup.setup.assumptions.clone(),
    }
}
