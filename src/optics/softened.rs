//! How far a lens may be moved off a subject that stays where it is, the
//! entrance pupil moving with it, before the subject is as soft as the circle.
//!
//! With k = ±c/A the condition is m − k = q/s, where q = f (1 + m/p) and
//! s = D − t are those of the setting m that is looked for. It is a quadratic:
//! f m² − B m + C = 0 with B and C below, and has a closed root.

use super::confusion::Circle;
use super::conjugate::{Magnification, conjugate_sum};
use super::limits::kappa;
use super::unit_focus::{UnitFocus, pupil_diameter};
use crate::formula::{Record, formula};
use crate::units::{FNumber, FocusDistance, Reach};

formula! {
    /// The blur allowed, counted toward infinity.
    toward_infinity(kappa: ratio) -> k: ratio = -kappa;
    source "set farther than the subject, its blur counts as negative"
}

formula! {
    /// The middle coefficient of the quadratic.
    quadratic_middle(L: mm, f: mm, k: ratio) -> B: mm = L - 2.0 * f + k * f;
    source "m - k = q/s with q = f (1 + m/p), s = L - f (2 + m - 1/p): f m^2 - B m + C = 0"
}

formula! {
    /// The last coefficient of the quadratic.
    quadratic_last(f: mm, k: ratio, L: mm, p: ratio) -> C: mm
        = f + k * (L - 2.0 * f + f / p);
    source "m - k = q/s with q = f (1 + m/p), s = L - f (2 + m - 1/p): f m^2 - B m + C = 0"
}

formula! {
    /// The setting at which a subject is just as soft as the circle.
    softened_setting(C: mm, B: mm, f: mm) -> m_edge: ratio
        = 2.0 * C / (B + sqrt(B * B - 4.0 * f * C));
    source "smaller root of f m^2 - B m + C = 0: a subject at D is blurred by just the circle"
}

formula! {
    /// The same for a subject at infinity.
    softened_at_infinity(k: ratio) -> m_edge: ratio = k;
    source "at infinity the blur is A m: m = k"
}

/// Which way a ring is turned off its mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Way {
    /// Toward close focus.
    Nearer,
    /// Toward infinity, and beyond.
    Farther,
}

impl UnitFocus {
    /// The setting on one side of the focus at which a subject at `distance` is
    /// just as soft as the circle; below zero it lies beyond infinity. `None`
    /// where there is none before 1:1 meets the macro range.
    pub(crate) fn softened(
        &self,
        distance: FocusDistance,
        n: FNumber,
        circle: Circle,
        way: Way,
        rec: &mut impl Record,
    ) -> Option<Magnification> {
        let f = self.focal_length().to_mm();
        let pupil = pupil_diameter(f, n.value(), rec);
        let kappa = kappa(circle.diameter().to_mm(), pupil, rec);
        let k = match way {
            Way::Nearer => kappa,
            Way::Farther => toward_infinity(kappa, rec),
        };
        let m = match distance.reach() {
            Reach::Infinity => softened_at_infinity(k, rec),
            Reach::At(distance) => {
                let sum = conjugate_sum(distance.to_mm(), self.hiatus().to_mm(), rec);
                let middle = quadratic_middle(sum, f, k, rec);
                let p = self.pupil_magnification().value();
                let last = quadratic_last(f, k, sum, p, rec);
                softened_setting(last, middle, f, rec)
            }
        };
        m.is_finite().then_some(Magnification::computed(m))
    }
}
