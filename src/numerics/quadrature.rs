//! Integrals of smooth functions.

use num_traits::Float;

/// Positive abscissas of the 16-point rule on −1..1 with their weights; the
/// rule is symmetric.
///
/// - Source: zeros of the Legendre polynomial of degree 16 and
///   w = 2 / ((1 − x²) P′(x)²), found at 60 digits; the tests check what such
///   numbers alone fulfil.
const NODES: [(f64, f64); 8] = [
    (0.09501250983763744, 0.1894506104550685),
    (0.2816035507792589, 0.18260341504492358),
    (0.45801677765722737, 0.16915651939500254),
    (0.6178762444026438, 0.14959598881657674),
    (0.755404408355003, 0.12462897125553388),
    (0.8656312023878318, 0.09515851168249279),
    (0.9445750230732326, 0.062253523938647894),
    (0.9894009349916499, 0.027152459411754096),
];

/// The integral of a smooth `f` from `a` to `b`, in `panels` equal parts of 16
/// points each (one part where `panels` is zero).
///
/// A part is exact for polynomials up to degree 31; a wave is integrated to the
/// last digits when a part holds no more than about one of its periods.
///
/// - Source: the Gauss–Legendre rule, any numerical text (from memory).
pub fn integral<F: Float>(mut f: impl FnMut(F) -> F, a: F, b: F, panels: usize) -> F {
    // A float type that cannot hold an ordinary number gives none back.
    let number = |value: f64| F::from(value).unwrap_or_else(F::nan);
    let panels = panels.max(1);
    let half = (b - a) / F::from(2 * panels).unwrap_or_else(F::nan);
    let mut sum = F::zero();
    for panel in 0..panels {
        let middle = a + half * F::from(2 * panel + 1).unwrap_or_else(F::nan);
        for (x, weight) in NODES {
            let away = half * number(x);
            sum = sum + number(weight) * (f(middle - away) + f(middle + away));
        }
    }
    sum * half
}

#[cfg(test)]
mod tests {
    use super::{NODES, integral};

    #[test]
    fn sixteen_points_are_exact_up_to_degree_31_and_no_further() {
        // The integral of x^n over 0..1 is 1 / (n + 1).
        let power = |n: u32, x: f64| (0..n).fold(1.0, |product, _| product * x);
        for n in 0..=31 {
            let ours = integral(|x| power(n, x), 0.0, 1.0, 1);
            let exact = 1.0 / f64::from(n + 1);
            assert!((ours - exact).abs() < 4.0 * f64::EPSILON, "degree {n}");
        }
        // On -1..1 degree 32 is off by 2^33 (16!)^4 / (33 (32!)^2) = 7.2e-10.
        let missed = 2.0 / 33.0 - integral(|x| power(32, x), -1.0, 1.0, 1);
        assert!((missed - 7.2e-10).abs() < 0.05e-10, "{missed}");
    }

    #[test]
    fn the_abscissas_are_zeros_of_the_legendre_polynomial() {
        for (x, _) in NODES {
            // (n + 1) P_(n+1) = (2n + 1) x P_n - n P_(n-1)
            let (mut before, mut here) = (1.0, x);
            for n in 1..16 {
                let n = f64::from(n);
                (before, here) = (here, ((2.0 * n + 1.0) * x * here - n * before) / (n + 1.0));
            }
            let slope = 16.0 * (before - x * here) / (1.0 - x * x);
            assert!((here / slope).abs() < 2.0 * f64::EPSILON, "{x}");
        }
    }

    #[test]
    fn parts_add_up_either_way() {
        // The integral of 1/x from 1 to 1000 is ln 1000 (from memory: 6.907755278982137).
        let ours = integral(|x: f64| 1.0 / x, 1.0, 1000.0, 400);
        assert!((ours - 6.907755278982137).abs() < 1e-11, "{ours}");
        let back = integral(|x: f64| 1.0 / x, 1000.0, 1.0, 400);
        assert!((ours + back).abs() < 1e-13);
        assert_eq!(integral(|x: f64| x, 2.0, 2.0, 0), 0.0);
    }

    #[test]
    fn other_floats_are_integrated_too() {
        let ours = integral(|x: f32| x * x, 0.0, 3.0, 2);
        assert!((ours - 9.0).abs() < 1e-5);
    }
}
