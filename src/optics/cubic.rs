//! A curve through points over the magnification, evaluated.
//!
//! Between two points runs the cubic that has their values and slopes (Hermite's
//! form), beyond the ends the straight line of the end's slope. The points and
//! slopes are a [`Pchip`]; what is shown of it is here.

use crate::formula::{Record, formula};
use crate::numerics::Pchip;

formula! {
    /// How far apart in m the two points are.
    span(m_1: ratio, m_0: ratio) -> h: ratio = m_1 - m_0;
    source "the two points beside m"
}

formula! {
    /// How far on the way from one point to the other m lies.
    part_of_the_way(m: ratio, m_0: ratio, h: ratio) -> x: ratio = (m - m_0) / h;
    source "0 at the point before m, 1 at the one after"
}

/// The cubic between two points as a formula, its value and the values at the
/// points under letters of their own.
macro_rules! cubic_between {
    (
        $(#[$doc:meta])*
        $name:ident($y_0:ident, $y_1:ident: $unit:ident) -> $y:ident
    ) => {
        crate::formula::formula! {
            $(#[$doc])*
            $name($y_0: $unit, $y_1: $unit, d_0: $unit, d_1: $unit, h: ratio, x: ratio) -> $y: $unit
                = $y_0 * (1.0 - x) * (1.0 - x) * (1.0 + 2.0 * x) + $y_1 * x * x * (3.0 - 2.0 * x)
                    + h * x * (1.0 - x) * (d_0 * (1.0 - x) - d_1 * x);
            source "Hermite's form of the cubic over m between two points, slopes d_0, d_1 by Fritsch and Carlson; x the part of the way, h its length"
        }
    };
}
pub(crate) use cubic_between;

/// The curve whose values are in one unit.
macro_rules! curve_in {
    ($unit:ident) => {
        use super::{Pchip, Record, formula, part_of_the_way, span};

        cubic_between! {
            /// Between two points.
            between(y_0, y_1: $unit) -> y
        }

        formula! {
            /// Beyond the last point.
            beyond(y_0: $unit, d_0: $unit, m: ratio, m_0: ratio) -> y: $unit
                = y_0 + d_0 * (m - m_0);
            source "straight on from the last mark"
        }

        /// The curve at a magnification.
        pub(crate) fn at(curve: &Pchip<f64>, m: f64, rec: &mut impl Record) -> f64 {
            let piece = curve.piece(m);
            let ([m_0, m_1], [y_0, y_1], [d_0, d_1]) = (piece.x, piece.y, piece.slope);
            if piece.part < 0.0 {
                return beyond(y_0, d_0, m, m_0, rec);
            }
            if piece.part > 1.0 {
                return beyond(y_1, d_1, m, m_1, rec);
            }
            let h = span(m_1, m_0, rec);
            let x = part_of_the_way(m, m_0, h, rec);
            between(y_0, y_1, d_0, d_1, h, x, rec)
        }
    };
}

/// Values in millimetres.
pub(crate) mod in_mm {
    curve_in!(mm);
}

/// Values in degrees.
pub(crate) mod in_deg {
    curve_in!(deg);
}

#[cfg(test)]
mod tests {
    use super::{Pchip, in_deg::at};

    #[test]
    fn agrees_with_a_general_numerical_library() {
        // scipy 1.17.1, interpolate.PchipInterpolator([0, 1, 3, 4], [0, 2, 3, 7]) at the points.
        let curve = Pchip::new(vec![0.0, 1.0, 3.0, 4.0], vec![0.0, 2.0, 3.0, 7.0]).unwrap();
        for (x, expected) in SCIPY {
            let ours: f64 = at(&curve, x, &mut ());
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
            assert!(f64::abs(at(&curve, x, &mut ()) - (1.0 + 2.0 * x)) < 1e-14);
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
            let mut before = at(&curve, 0.0, &mut ());
            for i in 1..=200 {
                let here = at(&curve, end * f64::from(i) / 200.0, &mut ());
                proptest::prop_assert!(here >= before);
                before = here;
            }
        }
    }
}
