//! Weighted linear least squares by its normal equations.

use num_traits::Float;

/// The normal equations of a few unknowns: what observations of known standard
/// deviation say about them, added up one by one.
///
/// A prior is one more observation. Unknowns that only some observations share
/// can be taken out ([`Normal::without_first`]) before others are added, so
/// that many small groups around one common unknown need no large matrix.
///
/// - Source: C. L. Lawson and R. J. Hanson, *Solving Least Squares Problems*
///   (1974), ch. 19 (from memory); checked against a general numerical library.
#[derive(Clone, Debug, PartialEq)]
pub struct Normal<F> {
    size: usize,
    /// The symmetric matrix, row by row.
    matrix: Vec<F>,
    right: Vec<F>,
}

/// The unknowns with their covariance.
#[derive(Clone, Debug, PartialEq)]
pub struct Solved<F> {
    /// The most probable values.
    pub estimate: Vec<F>,
    /// Covariances, row by row.
    covariance: Vec<F>,
}

impl<F: Float> Solved<F> {
    /// The covariance of two unknowns; of one with itself, its variance. Zero
    /// for unknowns there are none of.
    #[must_use]
    pub fn covariance(&self, one: usize, other: usize) -> F {
        let size = self.estimate.len();
        let place = one * size + other;
        if one >= size || other >= size {
            return F::zero();
        }
        self.covariance[place]
    }

    /// The variance of a linear combination of the unknowns.
    #[must_use]
    pub fn variance_of(&self, row: &[F]) -> F {
        let mut sum = F::zero();
        for (i, &a) in row.iter().enumerate() {
            for (j, &b) in row.iter().enumerate() {
                sum = sum + a * b * self.covariance(i, j);
            }
        }
        sum
    }
}

impl<F: Float> Normal<F> {
    /// Nothing is known yet of so many unknowns.
    #[must_use]
    pub fn new(size: usize) -> Self {
        Self {
            size,
            matrix: vec![F::zero(); size * size],
            right: vec![F::zero(); size],
        }
    }

    /// Adds one observation: `row` times the unknowns was seen to be `value`,
    /// give or take `sd`. A row shorter than the unknowns is zero beyond its end.
    pub fn add(&mut self, row: &[F], value: F, sd: F) {
        let weight = F::one() / (sd * sd);
        for (i, &a) in row.iter().take(self.size).enumerate() {
            for (j, &b) in row.iter().take(self.size).enumerate() {
                let at = i * self.size + j;
                self.matrix[at] = self.matrix[at] + weight * a * b;
            }
            self.right[i] = self.right[i] + weight * a * value;
        }
    }

    /// Adds what others say about the same unknowns.
    pub fn merge(&mut self, other: &Self) {
        let pairs = self.matrix.iter_mut().zip(&other.matrix);
        for (mine, theirs) in pairs.chain(self.right.iter_mut().zip(&other.right)) {
            *mine = *mine + *theirs;
        }
    }

    /// What is said about the other unknowns whatever the first one is; `None`
    /// where nothing is said about the first.
    #[must_use]
    pub fn without_first(&self) -> Option<Self> {
        let rest = self.size.checked_sub(1)?;
        let pivot = self.matrix[0];
        if pivot <= F::zero() || !pivot.is_finite() {
            return None;
        }
        let mut out = Self::new(rest);
        for i in 0..rest {
            let share = self.matrix[(i + 1) * self.size] / pivot;
            for j in 0..rest {
                let own = self.matrix[(i + 1) * self.size + j + 1];
                out.matrix[i * rest + j] = own - share * self.matrix[j + 1];
            }
            out.right[i] = self.right[i + 1] - share * self.right[0];
        }
        Some(out)
    }

    /// The unknowns; `None` where the observations do not settle them.
    #[must_use]
    pub fn solve(&self) -> Option<Solved<F>> {
        let lower = self.factor()?;
        let n = self.size;
        let estimate = solve_with(&lower, n, &self.right);
        let mut covariance = vec![F::zero(); n * n];
        for column in 0..n {
            let mut unit = vec![F::zero(); n];
            unit[column] = F::one();
            for (row, value) in solve_with(&lower, n, &unit).into_iter().enumerate() {
                covariance[row * n + column] = value;
            }
        }
        Some(Solved {
            estimate,
            covariance,
        })
    }

    /// The lower Cholesky factor.
    fn factor(&self) -> Option<Vec<F>> {
        let n = self.size;
        let mut lower = vec![F::zero(); n * n];
        for i in 0..n {
            for j in 0..=i {
                let mut sum = self.matrix[i * n + j];
                for k in 0..j {
                    sum = sum - lower[i * n + k] * lower[j * n + k];
                }
                lower[i * n + j] = if i == j {
                    // What is left of a dependent unknown is rounding.
                    let least = self.matrix[i * n + i] * F::epsilon() * F::from(n * 4)?;
                    if sum <= least || !sum.is_finite() {
                        return None;
                    }
                    sum.sqrt()
                } else {
                    sum / lower[j * n + j]
                };
            }
        }
        Some(lower)
    }
}

/// Solves L Lᵀ x = b.
fn solve_with<F: Float>(lower: &[F], n: usize, right: &[F]) -> Vec<F> {
    let mut x = right.to_vec();
    for i in 0..n {
        for k in 0..i {
            x[i] = x[i] - lower[i * n + k] * x[k];
        }
        x[i] = x[i] / lower[i * n + i];
    }
    for i in (0..n).rev() {
        for k in i + 1..n {
            x[i] = x[i] - lower[k * n + i] * x[k];
        }
        x[i] = x[i] / lower[i * n + i];
    }
    x
}

#[cfg(test)]
mod tests {
    use super::Normal;

    /// Rows, value and standard deviation of a line through five points.
    const LINE: [([f64; 2], f64, f64); 5] = [
        ([1.0, 0.0], 0.11, 0.1),
        ([1.0, 1.0], 0.98, 0.1),
        ([1.0, 2.0], 2.10, 0.2),
        ([1.0, 3.0], 2.95, 0.3),
        ([1.0, 5.0], 5.20, 0.5),
    ];

    fn line() -> Normal<f64> {
        let mut normal = Normal::new(2);
        for (row, value, sd) in LINE {
            normal.add(&row, value, sd);
        }
        normal
    }

    #[test]
    fn agrees_with_a_general_numerical_library() {
        // numpy 2.4.6, linalg.solve and linalg.inv of AᵀWA over the five points.
        let solved = line().solve().unwrap();
        for (ours, theirs) in solved.estimate.iter().zip(&NUMPY[..2]) {
            assert!((ours - theirs).abs() < 1e-13, "{ours} against {theirs}");
        }
        let places = [(0, 0), (0, 1), (1, 1)];
        for ((i, j), theirs) in places.into_iter().zip(&NUMPY[2..]) {
            assert!((solved.covariance(i, j) - theirs).abs() < 1e-14);
        }
    }

    const NUMPY: [f64; 5] = [
        0.06605728214503354,
        0.979754214909608,
        0.007312614259597807,
        -0.0037172455819622194,
        0.004389599837497462,
    ];

    #[test]
    fn taking_an_unknown_out_leaves_the_others_as_they_were() {
        let all = line().solve().unwrap();
        let rest = line().without_first().unwrap().solve().unwrap();
        assert!((all.estimate[1] - rest.estimate[0]).abs() < 1e-13);
        assert!((all.covariance(1, 1) - rest.covariance(0, 0)).abs() < 1e-15);
    }

    #[test]
    fn what_nothing_is_said_about_is_not_solved() {
        let mut normal = Normal::new(2);
        normal.add(&[1.0, 1.0], 3.0, 0.1);
        normal.add(&[1.0, 1.0], 3.1, 0.1);
        assert_eq!(normal.solve(), None);
        assert_eq!(Normal::<f64>::new(1).without_first(), None);
    }

    #[test]
    fn a_prior_settles_what_the_rest_leaves_open() {
        let mut normal: Normal<f64> = Normal::new(2);
        normal.add(&[1.0, 1.0], 3.0, 1.0);
        normal.add(&[0.0, 1.0], 0.0, 2.0);
        let solved = normal.solve().unwrap();
        // x + y = 3 ± 1 and y = 0 ± 2: x = 3 with variance 1 + 4.
        assert!((solved.estimate[0] - 3.0).abs() < 1e-12);
        assert!((solved.covariance(0, 0) - 5.0).abs() < 1e-12);
        assert!((solved.variance_of(&[1.0, 1.0]) - 1.0).abs() < 1e-12);
    }
}
