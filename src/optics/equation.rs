//! What a setting must satisfy when it is asked for backwards. The entrance
//! pupil moves with the focus, so the setting is searched for; its equation is
//! the step that is shown, and the very one that the search works with.

use super::confusion::Circle;
use super::conjugate::Magnification;
use super::focus::Focus;
use super::focused::Focused;
use super::limits::kappa;
use crate::formula::{How, Record, Told, formula};
use crate::numerics::root_between;
use crate::units::{FNumber, FocusDistance, PupilDistance, Reach};

formula! {
    /// The setting at which near and far are equally soft.
    magnification_of_split(q: mm, s_near: mm, s_far: mm) -> m: ratio
        = q * (1.0 / s_near + 1.0 / s_far) / 2.0;
    source "equal blur on either side: 2/s = 1/s_near + 1/s_far with s = q/m; q, s_near and s_far are those of this m"
}

formula! {
    /// The same where the far one is at infinity.
    magnification_of_split_to_infinity(q: mm, s_near: mm) -> m: ratio = q / (2.0 * s_near);
    source "equal blur on either side: 2/s = 1/s_near with s = q/m; q and s_near are those of this m"
}

formula! {
    /// The setting whose near limit is wanted.
    magnification_for_near(q: mm, s_near: mm, kappa: ratio) -> m: ratio = q / s_near - kappa;
    source "s_near = q/(m + kappa), solved for m; q, s_near and kappa are those of this m"
}

formula! {
    /// The setting whose far limit is wanted.
    magnification_for_far(q: mm, s_far: mm, kappa: ratio) -> m: ratio = q / s_far + kappa;
    source "s_far = q/(m - kappa), solved for m; q, s_far and kappa are those of this m"
}

formula! {
    /// The setting whose far limit is infinity.
    magnification_for_infinity(kappa: ratio) -> m: ratio = kappa;
    source "s_far = q/(m - kappa) is infinite at m = kappa: the hyperfocal focus"
}

/// An equation for a setting.
#[derive(Clone, Copy, Debug)]
pub(super) enum Equation {
    /// Near and far are equally soft.
    Split {
        /// The nearer.
        near: FocusDistance,
        /// The farther.
        far: FocusDistance,
    },
    /// The near limit is at a distance.
    NearLimit {
        /// The distance.
        near: FocusDistance,
        /// The circle.
        circle: Circle,
    },
    /// The far limit is at a distance.
    FarLimit {
        /// The distance.
        far: FocusDistance,
        /// The circle.
        circle: Circle,
    },
}

/// From the pupil to an object; not a number behind the pupil, infinite at
/// infinity.
fn from_pupil(set: &Focused, object: FocusDistance) -> f64 {
    match set.from_pupil(object, &mut ()).map(PupilDistance::reach) {
        Ok(Reach::At(s)) => s.to_mm(),
        Ok(Reach::Infinity) => f64::INFINITY,
        Err(_) => f64::NAN,
    }
}

impl Equation {
    /// The magnification it asks for, with what the lens is at a setting.
    fn magnification(self, set: &Focused, rec: &mut impl Record) -> f64 {
        let q = set.camera_constant().to_mm();
        // What goes in beside q is told by the limits at the setting it gives.
        let kappa = |circle: Circle| kappa(circle.diameter().to_mm(), set.pupil().to_mm(), &mut ());
        match self {
            Self::Split { near, far } => {
                let (near, far) = (from_pupil(set, near), from_pupil(set, far));
                if far == f64::INFINITY {
                    magnification_of_split_to_infinity(q, near, rec)
                } else {
                    magnification_of_split(q, near, far, rec)
                }
            }
            Self::NearLimit { near, circle } => {
                magnification_for_near(q, from_pupil(set, near), kappa(circle), rec)
            }
            Self::FarLimit { far, circle } => match from_pupil(set, far) {
                f64::INFINITY => magnification_for_infinity(kappa(circle), rec),
                far => magnification_for_far(q, far, kappa(circle), rec),
            },
        }
    }

    /// By how much a setting's magnification exceeds what is asked for.
    pub fn excess(self, lens: &impl Focus, n: FNumber, setting: f64) -> f64 {
        let set = lens.set(Magnification::computed(setting), n, &mut ());
        set.magnification().value() - self.magnification(&set, &mut ())
    }

    /// The setting between two that satisfies it; `None` where there is none.
    pub fn solve(
        self,
        lens: &impl Focus,
        n: FNumber,
        (low, high): (f64, f64),
        rec: &mut impl Record,
    ) -> Option<Magnification> {
        let found = root_between(|setting| self.excess(lens, n, setting), low, high)?;
        Some(self.at(lens, n, found, (low, high), rec))
    }

    /// The setting to go on with from one that was found between two: where the
    /// whole has the magnification that the shown equation gives, to the last
    /// digit.
    pub fn at(
        self,
        lens: &impl Focus,
        n: FNumber,
        found: f64,
        bracket: (f64, f64),
        rec: &mut impl Record,
    ) -> Magnification {
        let residual = self.excess(lens, n, found);
        let told = &mut Told {
            rec,
            how: How::Solved { bracket, residual },
        };
        let found = Magnification::computed(found);
        let there = lens.set(found, n, &mut ());
        let shown = Magnification::computed(self.magnification(&there, told));
        lens.setting_with(shown, found, told)
    }
}
