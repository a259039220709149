//! A root between two points of opposite sign.

use num_traits::Float;

/// Most steps before the search gives up; bisection alone needs about 100.
const MOST_STEPS: u32 = 200;

/// A root of `f` between `a` and `b`, to the last digits; `None` where the signs
/// at the ends are the same or `f` is not a number there.
///
/// Inverse quadratic interpolation where it is safe, bisection elsewhere.
///
/// - Source: T. R. Chandrupatla, "A new hybrid quadratic/bisection algorithm for
///   finding the zero of a nonlinear function", Advances in Engineering Software
///   28 (1997), 145-149 (from memory).
pub fn root_between<F: Float>(mut f: impl FnMut(F) -> F, a: F, b: F) -> Option<F> {
    let half = F::one() / (F::one() + F::one());
    let two = F::one() + F::one();
    let (mut a, mut b) = (b, a);
    let (mut fa, mut fb) = (f(a), f(b));
    if fa == F::zero() {
        return Some(a);
    }
    if fb == F::zero() {
        return Some(b);
    }
    if fa.is_nan() || fb.is_nan() || (fa > F::zero()) == (fb > F::zero()) {
        return None;
    }
    let (mut c, mut fc);
    let mut t = half;
    for _ in 0..MOST_STEPS {
        let x = a + t * (b - a);
        let fx = f(x);
        if fx.is_nan() {
            return None;
        }
        if (fx > F::zero()) == (fa > F::zero()) {
            (c, fc) = (a, fa);
        } else {
            (c, fc) = (b, fb);
            (b, fb) = (a, fa);
        }
        (a, fa) = (x, fx);
        let (best, f_best) = if fa.abs() < fb.abs() {
            (a, fa)
        } else {
            (b, fb)
        };
        let tolerance = two * F::epsilon() * best.abs() + F::min_positive_value();
        let least = tolerance / (b - c).abs();
        if f_best == F::zero() || least > half || !least.is_finite() {
            return Some(best);
        }
        let xi = (a - b) / (c - b);
        let phi = (fa - fb) / (fc - fb);
        let safe = phi * phi < xi && (F::one() - phi) * (F::one() - phi) < F::one() - xi;
        t = if safe {
            fa / (fb - fa) * (fc / (fb - fc))
                + (c - a) / (b - a) * (fa / (fc - fa)) * (fb / (fc - fb))
        } else {
            half
        };
        t = t.max(least).min(F::one() - least);
    }
    Some(if fa.abs() < fb.abs() { a } else { b })
}

#[cfg(test)]
mod tests {
    use super::root_between;

    #[test]
    fn the_square_root_of_two_is_found_to_the_last_digits() {
        let root = root_between(|x: f64| x * x - 2.0, 0.0, 2.0).unwrap();
        assert!((root - core::f64::consts::SQRT_2).abs() <= 4.0 * f64::EPSILON);
    }

    #[test]
    fn a_flat_cubic_is_found_too() {
        let root = root_between(|x: f64| (x - 1.0) * (x - 1.0) * (x - 1.0), 0.0, 5.0).unwrap();
        assert!((root - 1.0).abs() < 1e-4);
    }

    #[test]
    fn equal_signs_give_no_root() {
        assert_eq!(root_between(|x: f64| x * x + 1.0, -1.0, 1.0), None);
    }
}
