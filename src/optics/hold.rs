//! The questions asked backwards: where to focus so that near and far are
//! equally soft, and the stop that just holds them.
//!
//! The entrance pupil moves with the focus, so the setting is searched for; the
//! equation it satisfies is the step that is shown.

use super::confusion::Circle;
use super::conjugate::{Branch, Magnification, OutOfReach};
use super::equation::Equation;
use super::focus::Focus;
use super::focused::Focused;
use crate::formula::{Record, formula};
use crate::units::{FNumber, FocusDistance, Length, PupilDistance, Reach};

formula! {
    /// The share of the beam that near and far may blur to.
    share_of_split(s_far: mm, s_near: mm) -> k: ratio = (s_far - s_near) / (s_far + s_near);
    source "s_near = s/(1 + k) and s_far = s/(1 - k), solved for k"
}

formula! {
    /// The f-number that just holds near and far.
    f_number_to_hold(k: ratio, m: ratio, A: mm, c: mm) -> N: f_number = k * m * A / c;
    source "k = c/(m A) solved for A, and N the times it is smaller than at f/1, which A is"
}

formula! {
    /// The circle at which a stop would hold near and far.
    circle_to_hold(k: ratio, m: ratio, A: mm, N: f_number) -> c: mm = k * m * A / N;
    source "k = c/(m A), solved for c; A is that at f/1, and N times smaller at N"
}

/// The focus at which two subjects are equally soft, and the stop that just
/// holds both.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Split {
    /// The setting.
    setting: Magnification,
    /// The lens set there, at f/1.
    at_f1: Focused,
    /// The f-number that just holds both.
    pub f_number: FNumber,
    /// The share of the beam they blur to: k = c/(m A).
    share: f64,
}

impl Split {
    /// The focus distance, from the image plane.
    #[must_use]
    pub const fn focus(&self) -> FocusDistance {
        self.at_f1.focus()
    }

    /// The magnification there.
    #[must_use]
    pub const fn magnification(&self) -> Magnification {
        self.at_f1.magnification()
    }

    /// The same split with another f-number needed, and the circle it stands
    /// for.
    pub(crate) fn needing(&self, n: FNumber, rec: &mut impl Record) -> Self {
        let blur = self.circle_at(n, &mut ());
        let (m, a) = (self.magnification().value(), self.at_f1.pupil().to_mm());
        let n = f_number_to_hold(self.share, m, a, blur.to_mm(), rec);
        Self {
            f_number: FNumber::computed(n),
            ..*self
        }
    }

    /// The lens set there at a stop.
    #[must_use]
    pub fn at(&self, lens: &impl Focus, n: FNumber, rec: &mut impl Record) -> Focused {
        lens.set(self.setting, n, rec)
    }

    /// The setting of the ring there.
    #[must_use]
    pub const fn setting(&self) -> Magnification {
        self.setting
    }

    /// The share of the beam both blur to: k = c/(m A).
    pub(super) const fn share(&self) -> f64 {
        self.share
    }

    /// The circle at which a stop would hold both: how soft each is there.
    #[must_use]
    pub fn circle_at(&self, n: FNumber, rec: &mut impl Record) -> Length {
        let (m, pupil) = (self.magnification().value(), self.at_f1.pupil().to_mm());
        Length::mm(circle_to_hold(self.share, m, pupil, n.value(), rec))
    }
}

/// Why no setting has the limit that was wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoSuchLimit {
    /// The lens does not focus there at all.
    OutOfReach(OutOfReach),
    /// Focused at infinity the lens holds from nearer than the near limit
    /// wanted.
    NearBeyondInfinity {
        /// The near limit at infinity focus, the farthest there is.
        farthest: FocusDistance,
    },
    /// Even at its farthest the lens holds nearer than the far limit wanted.
    FarTooFar {
        /// The far limit at the infinity mark, the farthest there is.
        farthest: FocusDistance,
    },
    /// Even at its nearest the lens holds farther than the far limit wanted.
    FarTooNear {
        /// The far limit at the last setting, the nearest there is.
        nearest: FocusDistance,
    },
}

impl From<OutOfReach> for NoSuchLimit {
    fn from(reason: OutOfReach) -> Self {
        Self::OutOfReach(reason)
    }
}

/// f/1: the entrance pupil is then as wide as the focal length.
const F1: FNumber = FNumber::computed(1.0);

/// The setting for a distance, or the infinity mark where that is nearer: with
/// what is attached a lens may reach no farther.
fn setting_or_farthest(lens: &impl Focus, distance: FocusDistance) -> Result<f64, OutOfReach> {
    match lens.setting(distance, Branch::Far, &mut ()) {
        Ok(setting) => Ok(setting.value()),
        Err(OutOfReach::BeyondFarthest { .. }) => Ok(0.0),
        Err(other) => Err(other),
    }
}

/// The focus that makes `near` and `far` equally soft, and the f-number that
/// then just holds both to the circle.
///
/// `far` must lie beyond `near`.
///
/// # Errors
/// [`OutOfReach`] when the near one is nearer than the lens can focus.
pub fn split(
    lens: &impl Focus,
    near: FocusDistance,
    far: FocusDistance,
    circle: Circle,
    rec: &mut impl Record,
) -> Result<Split, OutOfReach> {
    // With something attached the far one may lie beyond every focus and be held
    // all the same: only the split must be within reach.
    let (low, out_of_reach) = match lens.setting(far, Branch::Far, &mut ()) {
        Ok(setting) => (setting.value(), None),
        Err(reason @ OutOfReach::BeyondFarthest { .. }) => (0.0, Some(reason)),
        Err(reason) => return Err(reason),
    };
    let high = lens.setting(near, Branch::Far, &mut ())?.value();
    let equation = Equation::Split { near, far };
    let setting = match (equation.solve(lens, F1, (low, high), rec), out_of_reach) {
        (Some(setting), _) => setting,
        (None, Some(reason)) => return Err(reason),
        // Where rounding leaves no root the two stand in one place.
        (None, None) => equation.at(lens, F1, high, (low, high), rec),
    };
    let set = lens.set(setting, F1, rec);
    let mut s = |object| set.from_pupil(object, rec).map(PupilDistance::reach);
    let share = match (s(near), s(far)) {
        (Ok(Reach::At(near)), Ok(Reach::At(far))) => share_of_split(far.to_mm(), near.to_mm(), rec),
        _ => 1.0,
    };
    let n = f_number_to_hold(
        share,
        set.magnification().value(),
        set.pupil().to_mm(),
        circle.diameter().to_mm(),
        rec,
    );
    Ok(Split {
        setting,
        at_f1: set,
        f_number: FNumber::computed(n),
        share,
    })
}

/// The lens focused so that its near limit is `near`: as far away as it may be
/// focused and still hold something there.
///
/// # Errors
/// [`NoSuchLimit`] when the lens does not focus so near, or when even at
/// infinity focus it holds from nearer than that.
pub fn focused_for_near(
    lens: &impl Focus,
    near: FocusDistance,
    n: FNumber,
    circle: Circle,
    rec: &mut impl Record,
) -> Result<Focused, NoSuchLimit> {
    let high = lens.setting(near, Branch::Far, &mut ())?.value();
    let equation = Equation::NearLimit { near, circle };
    match equation.solve(lens, n, (0.0, high), rec) {
        Some(setting) => Ok(lens.set(setting, n, rec)),
        None => {
            let at_infinity = lens.set(Magnification::INFINITY_FOCUS, n, &mut ());
            Err(NoSuchLimit::NearBeyondInfinity {
                farthest: at_infinity.limits(circle, &mut ()).near,
            })
        }
    }
}

/// The lens focused so that its far limit is `far`: as near as it may be focused
/// and still hold something there. For infinity this is the hyperfocal focus.
///
/// # Errors
/// [`NoSuchLimit`] when the lens cannot be set so near that it holds no farther.
pub fn focused_for_far(
    lens: &impl Focus,
    far: FocusDistance,
    n: FNumber,
    circle: Circle,
    rec: &mut impl Record,
) -> Result<Focused, NoSuchLimit> {
    let low = setting_or_farthest(lens, far)?;
    let high = lens.last_setting().value();
    let equation = Equation::FarLimit { far, circle };
    if let Some(setting) = equation.solve(lens, n, (low, high), rec) {
        return Ok(lens.set(setting, n, rec));
    }
    let limit = |setting: f64| {
        let set = lens.set(Magnification::computed(setting), n, &mut ());
        set.limits(circle, &mut ()).far
    };
    Err(if equation.excess(lens, n, low) > 0.0 {
        NoSuchLimit::FarTooFar {
            farthest: limit(low),
        }
    } else {
        NoSuchLimit::FarTooNear {
            nearest: limit(high),
        }
    })
}
