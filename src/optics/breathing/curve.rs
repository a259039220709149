//! A quantity of a lens between its rows: straight in the magnification through
//! two points, a monotone cubic through more, told step by step.

use crate::formula::{Record, formula};
use crate::optics::cubic::{cubic_between, part_of_the_way, span};

formula! {
    /// The slope of the line between two points.
    secant_between(y_0: mm, y_1: mm, h: ratio) -> s: mm = (y_1 - y_0) / h;
    source "rise over run"
}

formula! {
    /// The slope at a point between two others.
    slope_inside(h_0: ratio, h_1: ratio, s_0: mm, s_1: mm) -> d: mm
        = (3.0 * h_0 + 3.0 * h_1) / ((2.0 * h_1 + h_0) / s_0 + (h_1 + 2.0 * h_0) / s_1);
    source "monotone cubic (Fritsch and Butland): weighted harmonic mean of the secants"
}

formula! {
    /// The slope at an end.
    slope_at_end(h_0: ratio, h_1: ratio, s_0: mm, s_1: mm) -> d: mm
        = ((2.0 * h_0 + h_1) * s_0 - h_0 * s_1) / (h_0 + h_1);
    source "parabola through the last three points"
}

formula! {
    /// The slope at an end where the parabola would overshoot.
    slope_at_end_held(s_0: mm) -> d: mm = 3.0 * s_0;
    source "monotone cubic (Fritsch and Carlson): at most three times the secant"
}

cubic_between! {
    /// The focal length between two rows, as the monotone cubic runs.
    focal_length_between(f_0, f_1: mm) -> f
}

cubic_between! {
    /// The pupil's station between two rows, as the monotone cubic runs.
    station_between(t_0, t_1: mm) -> t
}

formula! {
    /// The focal length of a lens told by one row.
    focal_length_of_two_points(f_inf: mm, f_row: mm, m: ratio, m_row: ratio) -> f: mm
        = f_inf + (f_row - f_inf) * m / m_row;
    source "two-point model: the focal length runs straight in m from infinity to the row"
}

formula! {
    /// The pupil's station of a lens told by one row.
    station_of_two_points(t_inf: mm, t_row: mm, m: ratio, m_row: ratio) -> t: mm
        = t_inf + (t_row - t_inf) * m / m_row;
    source "two-point model: the pupil's station runs straight in m from infinity to the row"
}

/// What a curve tells of, and is called in its steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tells {
    FocalLength,
    Station,
}

/// A curve through points of rising magnification, the first at 0.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Curve {
    m: Vec<f64>,
    y: Vec<f64>,
    step: Vec<f64>,
    slope: Vec<f64>,
    tells: Tells,
}

impl Curve {
    /// A curve through at least two points, their magnifications rising.
    pub fn through(tells: Tells, m: &[f64], y: &[f64], rec: &mut impl Record) -> Self {
        let mut curve = Self {
            m: m.to_vec(),
            y: y.to_vec(),
            step: Vec::new(),
            slope: Vec::new(),
            tells,
        };
        if m.len() == 2 {
            return curve;
        }
        for pair in m.windows(2) {
            curve.step.push(span(pair[1], pair[0], rec));
        }
        let secants: Vec<f64> = y
            .windows(2)
            .zip(&curve.step)
            .map(|(pair, &h)| secant_between(pair[0], pair[1], h, rec))
            .collect();
        curve.slope = slopes(&curve.step, &secants, rec);
        curve
    }

    /// The quantity at a magnification; beyond the points, as the last piece
    /// runs on.
    pub fn at(&self, m: f64, rec: &mut impl Record) -> f64 {
        if let ([_, m_row], [infinity, row]) = (&self.m[..], &self.y[..]) {
            return match self.tells {
                Tells::FocalLength => focal_length_of_two_points(*infinity, *row, m, *m_row, rec),
                Tells::Station => station_of_two_points(*infinity, *row, m, *m_row, rec),
            };
        }
        let last = self.m.len() - 2;
        let i = self.m.partition_point(|&node| node <= m);
        let i = i.saturating_sub(1).min(last);
        let (y, d, h) = (&self.y, &self.slope, self.step[i]);
        let x = part_of_the_way(m, self.m[i], h, rec);
        match self.tells {
            Tells::FocalLength => focal_length_between(y[i], y[i + 1], d[i], d[i + 1], h, x, rec),
            Tells::Station => station_between(y[i], y[i + 1], d[i], d[i + 1], h, x, rec),
        }
    }
}

fn slopes(h: &[f64], secant: &[f64], rec: &mut impl Record) -> Vec<f64> {
    let n = secant.len();
    let mut slopes = vec![end([h[0], h[1]], [secant[0], secant[1]], rec)];
    for i in 1..n {
        let (before, after) = (secant[i - 1], secant[i]);
        slopes.push(if before * after <= 0.0 {
            0.0
        } else {
            slope_inside(h[i - 1], h[i], before, after, rec)
        });
    }
    let last = end([h[n - 1], h[n - 2]], [secant[n - 1], secant[n - 2]], rec);
    slopes.push(last);
    slopes
}

/// The slope at an end, whose own step and secant stand first.
fn end(h: [f64; 2], secant: [f64; 2], rec: &mut impl Record) -> f64 {
    let slope = slope_at_end(h[0], h[1], secant[0], secant[1], &mut ());
    if slope * secant[0] <= 0.0 {
        0.0
    } else if secant[0] * secant[1] <= 0.0 && slope.abs() > 3.0 * secant[0].abs() {
        slope_at_end_held(secant[0], rec)
    } else {
        slope_at_end(h[0], h[1], secant[0], secant[1], rec)
    }
}

#[cfg(test)]
mod tests {
    use super::{Curve, Tells};
    use crate::numerics::Pchip;
    use crate::optics::cubic::in_mm;

    /// The same curve by the general code, which agrees with a general
    /// numerical library (`optics/cubic.rs`).
    #[test]
    fn agrees_with_the_general_monotone_cubic() {
        for y in [
            [50.0, 47.0, 46.0, 46.5, 40.0],
            [1.0, 1.0, 1.0, 2.0, 8.0],
            [9.0, 2.0, 3.0, 2.9, 2.95],
        ] {
            let m = vec![0.0, 0.01, 0.05, 0.06, 0.3];
            let theirs = Pchip::new(m.clone(), y.to_vec()).unwrap();
            let ours = Curve::through(Tells::FocalLength, &m, &y, &mut ());
            for i in 0..=300 {
                let m = f64::from(i) / 1000.0;
                let (ours, theirs) = (ours.at(m, &mut ()), in_mm::at(&theirs, m, &mut ()));
                assert!((ours - theirs).abs() < 1e-13 * 50.0, "{m}: {ours} {theirs}");
            }
        }
    }
}
