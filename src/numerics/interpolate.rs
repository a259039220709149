//! Monotone cubic interpolation.

use num_traits::Float;

/// A piecewise cubic through points that overshoots nowhere: where the points
/// rise, it rises.
///
/// - Source: F. N. Fritsch and R. E. Carlson, "Monotone piecewise cubic
///   interpolation", SIAM J. Numer. Anal. 17 (1980), 238-246; slopes by the
///   weighted harmonic mean of Fritsch and Butland (1984) (both from memory;
///   checked against a general numerical library, see the tests).
#[derive(Clone, Debug, PartialEq)]
pub struct Pchip<F> {
    x: Vec<F>,
    y: Vec<F>,
    slope: Vec<F>,
}

/// One cubic piece between two points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece<F> {
    /// The values at its ends.
    pub y: [F; 2],
    /// The slopes there.
    pub slope: [F; 2],
    /// Its length.
    pub h: F,
    /// Where on it, 0 to 1.
    pub part: F,
}

impl<F: Float> Pchip<F> {
    /// A curve through the points; `None` with fewer than two, with lists of
    /// unequal length, or where `x` does not strictly rise.
    #[must_use]
    pub fn new(x: Vec<F>, y: Vec<F>) -> Option<Self> {
        let rising = x.windows(2).all(|pair| pair[0] < pair[1]);
        if x.len() < 2 || x.len() != y.len() || !rising {
            return None;
        }
        let slope = slopes(&x, &y);
        Some(Self { x, y, slope })
    }

    /// The curve at `x`; beyond the ends, the straight line of the end's slope.
    #[must_use]
    pub fn at(&self, x: F) -> F {
        let last = self.x.len() - 1;
        if x <= self.x[0] {
            return self.y[0] + self.slope[0] * (x - self.x[0]);
        }
        if x >= self.x[last] {
            return self.y[last] + self.slope[last] * (x - self.x[last]);
        }
        let i = self.x.partition_point(|&node| node <= x) - 1;
        let (h, two) = (self.x[i + 1] - self.x[i], F::one() + F::one());
        let three = two + F::one();
        let t = (x - self.x[i]) / h;
        let s = F::one() - t;
        let hermite =
            self.y[i] * s * s * (F::one() + two * t) + self.y[i + 1] * t * t * (three - two * t);
        hermite + h * (self.slope[i] * t * s * s - self.slope[i + 1] * t * t * s)
    }

    /// The piece that runs over `x`, the first or last one beyond the ends.
    #[must_use]
    pub fn piece(&self, x: F) -> Piece<F> {
        let last = self.x.len() - 2;
        let i = self.x.partition_point(|&node| node <= x);
        let i = i.saturating_sub(1).min(last);
        let h = self.x[i + 1] - self.x[i];
        Piece {
            y: [self.y[i], self.y[i + 1]],
            slope: [self.slope[i], self.slope[i + 1]],
            h,
            part: (x - self.x[i]) / h,
        }
    }

    /// The slope at the first and the last point.
    #[must_use]
    pub fn end_slopes(&self) -> (F, F) {
        (self.slope[0], self.slope[self.slope.len() - 1])
    }

    /// The smallest slope the curve has anywhere between its ends.
    ///
    /// Each piece's slope is a parabola: its least value is at an end or at the
    /// vertex.
    #[must_use]
    pub fn least_slope(&self) -> F {
        let two = F::one() + F::one();
        let three = two + F::one();
        let mut least = self.slope[0];
        for i in 0..self.x.len() - 1 {
            let secant = (self.y[i + 1] - self.y[i]) / (self.x[i + 1] - self.x[i]);
            let (from, to) = (self.slope[i], self.slope[i + 1]);
            least = least.min(from).min(to);
            // slope(t) = from + 2 b t + 3 a t^2 on 0..1
            let a = from + to - two * secant;
            let b = three * secant - two * from - to;
            if a > F::zero() {
                let t = -b / (three * a);
                if t > F::zero() && t < F::one() {
                    least = least.min(from + two * b * t + three * a * t * t);
                }
            }
        }
        least
    }
}

fn slopes<F: Float>(x: &[F], y: &[F]) -> Vec<F> {
    let two = F::one() + F::one();
    let h: Vec<F> = x.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let secant: Vec<F> = y
        .windows(2)
        .zip(&h)
        .map(|(pair, &h)| (pair[1] - pair[0]) / h)
        .collect();
    if secant.len() == 1 {
        return vec![secant[0], secant[0]];
    }
    let mut slope = vec![end_slope(h[0], h[1], secant[0], secant[1])];
    for i in 1..secant.len() {
        let (before, after) = (secant[i - 1], secant[i]);
        slope.push(if before * after <= F::zero() {
            F::zero()
        } else {
            let (w1, w2) = (two * h[i] + h[i - 1], h[i] + two * h[i - 1]);
            (w1 + w2) / (w1 / before + w2 / after)
        });
    }
    let n = secant.len();
    slope.push(end_slope(h[n - 1], h[n - 2], secant[n - 1], secant[n - 2]));
    slope
}

/// The three-point slope at an end, held so that the curve keeps its shape.
fn end_slope<F: Float>(h0: F, h1: F, secant0: F, secant1: F) -> F {
    let two = F::one() + F::one();
    let three = two + F::one();
    let slope = ((two * h0 + h1) * secant0 - h0 * secant1) / (h0 + h1);
    if slope * secant0 <= F::zero() {
        F::zero()
    } else if secant0 * secant1 <= F::zero() && slope.abs() > three * secant0.abs() {
        three * secant0
    } else {
        slope
    }
}

#[cfg(test)]
mod tests {
    use super::Pchip;

    #[test]
    fn agrees_with_a_general_numerical_library() {
        // scipy 1.17.1, interpolate.PchipInterpolator([0, 1, 3, 4], [0, 2, 3, 7]) at the points.
        let curve = Pchip::new(vec![0.0, 1.0, 3.0, 4.0], vec![0.0, 2.0, 3.0, 7.0]).unwrap();
        for (x, expected) in SCIPY {
            let ours: f64 = curve.at(x);
            assert!(
                (ours - expected).abs() < 1e-14,
                "{x}: {ours} against {expected}"
            );
        }
    }

    const SCIPY: [(f64, f64); 6] = [
        (0.25, 0.6238839285714285),
        (0.5, 1.2053571428571428),
        (1.5, 2.306105212355212),
        (2.75, 2.7942356418918917),
        (3.5, 4.475788288288288),
        (3.9, 6.478256756756757),
    ];

    #[test]
    fn straight_lines_stay_straight() {
        let curve = Pchip::new(vec![0.0, 0.1, 0.35, 1.0], vec![1.0, 1.2, 1.7, 3.0]).unwrap();
        for x in [-0.5, 0.05, 0.2, 0.9, 1.5] {
            assert!(f64::abs(curve.at(x) - (1.0 + 2.0 * x)) < 1e-14);
        }
        assert!(f64::abs(curve.least_slope() - 2.0) < 1e-12);
    }

    proptest::proptest! {
        #[test]
        fn what_rises_rises_everywhere(steps in proptest::collection::vec((0.01f64..5.0, 0.01f64..5.0), 2..12)) {
            let (mut x, mut y) = (vec![0.0], vec![0.0]);
            for (dx, dy) in steps {
                x.push(x[x.len() - 1] + dx);
                y.push(y[y.len() - 1] + dy);
            }
            let end = x[x.len() - 1];
            let curve = Pchip::new(x, y).unwrap();
            let mut before = curve.at(0.0);
            for i in 1..=200 {
                let here = curve.at(end * f64::from(i) / 200.0);
                proptest::prop_assert!(here >= before);
                before = here;
            }
        }
    }
}
