//! The optical transfer function of a lens out of focus.
//!
//! A circular pupil, no fault but defocus, any blur. With the defocus
//! a = π b ν and the frequency σ = λ N_w ν as a part of the cut-off, the common
//! area of the pupil and its shifted image, each point with its phase, is
//!
//! ```text
//! OTF(a, σ) = 4/(π a) ∫ sin(a (cos θ − σ)) cos θ dθ,    θ from 0 to acos σ
//! ```
//!
//! σ → 0 is the blur disc of geometry, 2 J1(a)/a; a → 0 the contrast in focus.
//! The signed function is used throughout: past its first zero light and dark
//! have changed places.
//!
//! Three consequences carry the rest, with u = cos θ − σ, which runs from 0 to
//! 1 − σ, and sinc z = sin z / z, of which the function is a mean over a u:
//! - sinc falls as long as z is below 4.4934, the first root of tan z = z. So
//!   contrast falls steadily with blur up to a = 4.4934/(1 − σ), and it is below
//!   zero there already (`tests/laws/waves.rs`): the first crossing of any contrast
//!   lies before it and is the only one there.
//! - sinc falls nowhere faster than 0.4362, so the function nowhere faster than
//!   0.4362 (1 − σ) times its value in focus: no crossing need be stepped over.
//! - closing the stop makes a smaller and σ larger in the same proportion; what
//!   contrast gains by it, for a whole e-fold, is
//!   OTF − (4/π) ∫ cos(a u) cos² θ dθ.
//!
//! Sources: H. H. Hopkins, Proc. R. Soc. A 231 (1955), 91-103 (from memory; the
//! integral is derived anew, its substitution takes the end-point singularity
//! away); checked against two other integrals, a Bessel series and a transform
//! of a sampled pupil in `tests/oracle`.

use core::f64::consts::{FRAC_PI_4, PI};

use super::diffraction::in_focus;
use crate::numerics::integral;
use crate::numerics::math::{acos, cos, sin, sqrt};
use crate::units::Ratio;

/// The first root of tan z = z: sin z / z has its first least value there.
pub(super) const FIRST_LOBE: f64 = 4.493409457909064;

/// The steepest fall of sin z / z, rounded up.
pub(super) const STEEPEST: f64 = 0.4362;

/// From so much defocus on, the leading terms are right to better than 10⁻⁹.
const FAR_OUT: f64 = 1e4;

/// Defocus below which nothing is lost of the contrast in focus.
const NONE: f64 = 1e-8;

/// The signed transfer function of a defocused lens with a circular pupil and
/// no other fault.
///
/// - `defocus`: a = π b ν, the blur diameter b times the frequency ν times π;
///   its sign, the side of the focus, does not matter.
/// - `frequency`: σ = λ `N_w` ν, at or above 0; from 1 on nothing is passed. At
///   0 the answer is that of geometry.
/// - Range: from 1 in focus at σ = 0 down to about −0.13; negative where light
///   and dark have changed places.
/// - Holds for: a sharply focused object as for any other: the wavefront of a
///   defocused point is b/(8 `N_w`) at the pupil's edge exactly, in Fresnel's
///   theory.
#[must_use]
pub fn defocused_transfer(defocus: Ratio, frequency: Ratio) -> Ratio {
    Ratio::computed(otf(defocus.value().abs(), frequency.value().abs()))
}

/// Transfer at defocus `a` and relative frequency `sigma`, both at or above 0.
pub(super) fn otf(a: f64, sigma: f64) -> f64 {
    if sigma >= 1.0 {
        return 0.0;
    }
    if a < NONE {
        return in_focus(sigma, &mut ());
    }
    let z = a * (1.0 - sigma);
    if z > FAR_OUT {
        // Stationary phase at θ = 0, and what the other end adds.
        let middle = sqrt(PI / (2.0 * a)) * sin(z - FRAC_PI_4);
        let edge = sigma / (a * sqrt(1.0 - sigma * sigma));
        return 4.0 / PI * (middle + edge) / a;
    }
    let wave = |theta: f64| {
        let across = cos(theta);
        sin(a * (across - sigma)) * across
    };
    4.0 / PI * integral(wave, 0.0, acos(sigma), panels(z)) / a
}

/// What contrast gains when the stop is closed, for each e-fold of the
/// f-number: the slope along which defocus falls and diffraction grows.
pub(super) fn closing_gain(a: f64, sigma: f64) -> f64 {
    if sigma >= 1.0 {
        return 0.0;
    }
    let z = a * (1.0 - sigma);
    if z > FAR_OUT {
        return -4.0 / PI * sqrt(PI / (2.0 * a)) * cos(z - FRAC_PI_4);
    }
    let wave = |theta: f64| {
        let across = cos(theta);
        cos(a * (across - sigma)) * across * across
    };
    otf(a, sigma) - 4.0 / PI * integral(wave, 0.0, acos(sigma), panels(z))
}

/// So many parts that none holds more than about one wave.
fn panels(z: f64) -> usize {
    1 + (z / 5.0) as usize
}
