//! Monotone cubic interpolation: the slopes that keep what rises rising.
//!
//! Where a curve runs between two points is a formula, and written where formulas
//! can be shown (`optics/cubic.rs`).

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
    /// The number of the point it begins at, from 0.
    pub number: usize,
    /// Its ends.
    pub x: [F; 2],
    /// The values at its ends.
    pub y: [F; 2],
    /// The slopes there.
    pub slope: [F; 2],
    /// Its length.
    pub h: F,
    /// Where on it, 0 to 1; below 0 or above 1 beyond the ends of the curve.
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

    /// The piece that runs over `x`, the first or last one beyond the ends.
    #[must_use]
    pub fn piece(&self, x: F) -> Piece<F> {
        let last = self.x.len() - 2;
        let i = self.x.partition_point(|&node| node <= x);
        let i = i.saturating_sub(1).min(last);
        let h = self.x[i + 1] - self.x[i];
        Piece {
            number: i,
            x: [self.x[i], self.x[i + 1]],
            y: [self.y[i], self.y[i + 1]],
            slope: [self.slope[i], self.slope[i + 1]],
            h,
            part: (x - self.x[i]) / h,
        }
    }

    /// The slopes at the points.
    #[must_use]
    pub fn slopes(&self) -> &[F] {
        &self.slope
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
