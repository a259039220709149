//! Position as a function of magnification: a helicoid, or a curve through marks.

use crate::formula::{Record, formula};
use crate::numerics::Pchip;
use crate::units::{Gain, Length};

formula! {
    /// Position of a helicoid from infinity.
    helicoid_position(G: deg_per_mm, f: mm, m: ratio) -> position: deg = G * f * m;
    source "the lens moves f m from infinity focus (Newton), the ring G degrees a millimetre"
}

/// Position as a function of magnification.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Curve {
    /// A helicoid that was computed.
    Helicoid(Gain),
    /// Through marks: start + rate · m + rest(m).
    Marks {
        start: f64,
        rate: f64,
        rest: Pchip<f64>,
    },
}

impl Curve {
    /// The position at a magnification of a lens of focal length `f`.
    pub(super) fn at(&self, m: f64, f: Length, rec: &mut impl Record) -> f64 {
        match self {
            Self::Helicoid(gain) => helicoid_position(gain.value(), f.to_mm(), m, rec),
            Self::Marks { start, rate, rest } => start + rate * m + rest.at(m),
        }
    }
}

/// The line a + b·m nearest to the points and the monotone cubic of the rest.
///
/// Where a wild rest would make the sum turn back, the cubic goes through the
/// points themselves, which never does.
pub(super) fn fit(points: &[(f64, f64)]) -> Option<Curve> {
    let n = points.len() as f64;
    let (sum_m, sum_y) = points
        .iter()
        .fold((0.0, 0.0), |(m, y), p| (m + p.0, y + p.1));
    let (mean_m, mean_y) = (sum_m / n, sum_y / n);
    let (mut cross, mut square) = (0.0, 0.0);
    for (m, y) in points {
        cross += (m - mean_m) * (y - mean_y);
        square += (m - mean_m) * (m - mean_m);
    }
    let rate = cross / square;
    let start = mean_y - rate * mean_m;
    let m: Vec<f64> = points.iter().map(|p| p.0).collect();
    let rest = points.iter().map(|p| p.1 - start - rate * p.0).collect();
    let rest = Pchip::new(m.clone(), rest)?;
    if rate > 0.0 && rest.least_slope() > -rate {
        return Some(Curve::Marks { start, rate, rest });
    }
    let through = Pchip::new(m, points.iter().map(|p| p.1).collect())?;
    Some(Curve::Marks {
        start: 0.0,
        rate: 0.0,
        rest: through,
    })
}
