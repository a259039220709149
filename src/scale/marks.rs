//! The curve through marks: the line nearest to them, and a monotone cubic of
//! what is left, over the magnification.

use super::position::Measure;
use crate::formula::{How, Record, Told};
use crate::numerics::Pchip;
use crate::optics::{Branch, UnitFocus, cubic};
use crate::units::FocusDistance;

/// The formulas whose values are in what the marks' positions are counted in.
macro_rules! marks_in {
    ($unit:ident) => {
        use crate::formula::formula;

        formula! {
            /// Slope of the line.
            fitted_rate(cross: $unit, square: ratio) -> rate: $unit = cross / square;
            source "least squares over the marks: cross is the sum of (m - mean m)(position - mean position), square that of (m - mean m)^2"
        }

        formula! {
            /// Where the line is at infinity focus.
            fitted_start(mean_position: $unit, rate: $unit, mean_m: ratio) -> start: $unit
                = mean_position - rate * mean_m;
            source "least squares: the line goes through the mean of the marks"
        }

        formula! {
            /// The line at a setting.
            line(start: $unit, rate: $unit, m: ratio) -> line: $unit = start + rate * m;
            source "a helicoid is a straight line over m"
        }

        formula! {
            /// What a mark's position has beyond the line.
            remainder(mark: $unit, start: $unit, rate: $unit, m: ratio) -> y: $unit
                = mark - start - rate * m;
            source "the mark is the truth: what the line lacks there"
        }

        formula! {
            /// The slope of what is left, at a mark.
            slope_at_mark(slope: $unit) -> d: $unit = slope;
            source "F. N. Fritsch and R. E. Carlson, SIAM J. Numer. Anal. 17 (1980), 238-246"
        }

        formula! {
            /// The position at a setting.
            position(line: $unit, y: $unit) -> position: $unit = line + y;
            source "the line and the monotone cubic of what the marks have beyond it"
        }
    };
}

mod in_mm {
    marks_in!(mm);
}

mod in_deg {
    marks_in!(deg);
}

/// Calls the formula that is in the unit of a measure.
macro_rules! counted {
    ($measure:expr, $formula:ident($($given:expr),+)) => {
        match $measure {
            Measure::Turn => in_deg::$formula($($given),+),
            Measure::Arc => in_mm::$formula($($given),+),
        }
    };
}

/// A mark a curve goes through.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Marked {
    pub(super) distance: FocusDistance,
    /// The magnification of the lens there.
    pub(super) m: f64,
    /// From the farthest mark toward close focus.
    pub(super) position: f64,
}

/// A curve through marks as figures, so that it can be evaluated elsewhere:
/// position = start + rate·m + y(m), y the cubic through (m, position − start −
/// rate·m) with the slopes given.
///
/// Positions, `start`, `rate`, `cross`, `mean_position` and slopes are in `unit`
/// (for a change of 1 in m, where over m).
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct ThroughMarks {
    /// `deg` or `mm`.
    pub unit: &'static str,
    /// The line at infinity focus; 0 where the curve has no line.
    pub start: f64,
    /// Slope of the line; 0 where the curve has no line.
    pub rate: f64,
    /// What the line came from; `None` where the curve has no line.
    #[cfg_attr(feature = "serde", serde(rename = "line_from"))]
    pub sums: Option<LineSums>,
    /// The marks, from the farthest to the nearest.
    pub marks: Vec<ThroughMark>,
}

/// Sums over the marks, from which the line nearest to them follows.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct LineSums {
    /// Mean of m.
    #[cfg_attr(feature = "serde", serde(rename = "mean_magnification"))]
    pub mean_m: f64,
    /// Mean of the positions.
    pub mean_position: f64,
    /// Sum of (m − mean m)(position − mean position).
    pub cross: f64,
    /// Sum of (m − mean m)².
    pub square: f64,
}

/// One mark of a curve.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct ThroughMark {
    /// What the mark says.
    #[cfg_attr(feature = "serde", serde(rename = "distance_mm"))]
    pub distance: FocusDistance,
    /// Its position from the farthest mark.
    pub position: f64,
    /// Slope of the cubic there.
    pub slope: f64,
}

/// A curve through marks.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Through {
    measure: Measure,
    marks: Vec<Marked>,
    /// What the line came from; `None` where there is none.
    sums: Option<LineSums>,
    start: f64,
    rate: f64,
    rest: Pchip<f64>,
}

impl Through {
    /// The line a + b·m nearest to the marks and the monotone cubic of the rest.
    ///
    /// Where a wild rest would make the sum turn back, the cubic goes through the
    /// marks themselves, which never does. Marks go from far to near.
    pub(super) fn new(marks: Vec<Marked>, measure: Measure) -> Option<Self> {
        let sums = line_sums(&marks);
        let rate = counted!(measure, fitted_rate(sums.cross, sums.square, &mut ()));
        let (mean_m, mean) = (sums.mean_m, sums.mean_position);
        let start = counted!(measure, fitted_start(mean, rate, mean_m, &mut ()));
        let rest = |start, rate| {
            let y = |mark: &Marked| remaining(mark, start, rate, measure, &mut ());
            let m = marks.iter().map(|mark| mark.m).collect();
            Pchip::new(m, marks.iter().map(y).collect())
        };
        let with_line = rest(start, rate)?;
        let holds = rate > 0.0 && with_line.least_slope() > -rate;
        let (sums, start, rate, rest) = if holds {
            (Some(sums), start, rate, with_line)
        } else {
            (None, 0.0, 0.0, rest(0.0, 0.0)?)
        };
        Some(Self {
            measure,
            marks,
            sums,
            start,
            rate,
            rest,
        })
    }

    /// The position at a magnification.
    pub(super) fn at(&self, m: f64, lens: UnitFocus, rec: &mut impl Record) -> f64 {
        let line = counted!(self.measure, line(self.start, self.rate, m, rec));
        let piece = self.rest.piece(m);
        if piece.part <= 1.0 {
            self.introduce(piece.number, lens, rec);
        }
        if piece.part >= 0.0 {
            self.introduce(piece.number + 1, lens, rec);
        }
        let y = match self.measure {
            Measure::Turn => cubic::in_deg::at(&self.rest, m, rec),
            Measure::Arc => cubic::in_mm::at(&self.rest, m, rec),
        };
        counted!(self.measure, position(line, y, rec))
    }

    /// The position at a magnification, without its steps.
    pub(super) fn place(&self, m: f64) -> f64 {
        let line = counted!(self.measure, line(self.start, self.rate, m, &mut ()));
        let y = match self.measure {
            Measure::Turn => cubic::in_deg::at(&self.rest, m, &mut ()),
            Measure::Arc => cubic::in_mm::at(&self.rest, m, &mut ()),
        };
        counted!(self.measure, position(line, y, &mut ()))
    }

    /// The steps of the line.
    pub(super) fn explain(&self, rec: &mut impl Record) {
        if let Some(sums) = self.sums {
            let rate = counted!(self.measure, fitted_rate(sums.cross, sums.square, rec));
            let (mean_m, mean) = (sums.mean_m, sums.mean_position);
            counted!(self.measure, fitted_start(mean, rate, mean_m, rec));
        }
    }

    /// The steps of a mark: its magnification, what it has beyond the line, and
    /// the slope there.
    fn introduce(&self, number: usize, lens: UnitFocus, rec: &mut impl Record) {
        let mark = self.marks[number];
        // It was focused once already, when the curve was made.
        let _ = lens.magnification(mark.distance, Branch::Far, rec);
        remaining(&mark, self.start, self.rate, self.measure, rec);
        let because = if number == 0 || number + 1 == self.marks.len() {
            "slope of the monotone cubic at an end mark: of the parabola through the three \
             marks there, held back where that would overshoot"
        } else {
            "slope of the monotone cubic at a mark: the weighted harmonic mean of the slopes to \
             its neighbours, 0 where those differ in sign"
        };
        let how = How::Chosen { because };
        let slope = self.rest.slopes()[number];
        counted!(self.measure, slope_at_mark(slope, &mut Told { rec, how }));
    }

    /// Whether a setting lies between the first and the last mark, within the
    /// last digits.
    pub(super) fn holds(&self, m: f64) -> bool {
        // A mark found back by a search may differ by so much.
        let slack = 1e-9;
        let ends = self.marks.first().zip(self.marks.last());
        ends.is_some_and(|(far, near)| m >= far.m * (1.0 - slack) && m <= near.m * (1.0 + slack))
    }

    /// The curve as figures.
    pub(super) fn figures(&self) -> ThroughMarks {
        ThroughMarks {
            unit: match self.measure {
                Measure::Turn => "deg",
                Measure::Arc => "mm",
            },
            start: self.start,
            rate: self.rate,
            sums: self.sums,
            marks: self
                .marks
                .iter()
                .zip(self.rest.slopes())
                .map(|(mark, &slope)| ThroughMark {
                    distance: mark.distance,
                    position: mark.position,
                    slope,
                })
                .collect(),
        }
    }
}

/// What a mark has beyond the line.
fn remaining(mark: &Marked, start: f64, rate: f64, measure: Measure, rec: &mut impl Record) -> f64 {
    counted!(measure, remainder(mark.position, start, rate, mark.m, rec))
}

fn line_sums(marks: &[Marked]) -> LineSums {
    let n = marks.len() as f64;
    let (sum_m, sum_y) = marks
        .iter()
        .fold((0.0, 0.0), |(m, y), mark| (m + mark.m, y + mark.position));
    let (mean_m, mean_position) = (sum_m / n, sum_y / n);
    let (mut cross, mut square) = (0.0, 0.0);
    for mark in marks {
        cross += (mark.m - mean_m) * (mark.position - mean_position);
        square += (mark.m - mean_m) * (mark.m - mean_m);
    }
    LineSums {
        mean_m,
        mean_position,
        cross,
        square,
    }
}
