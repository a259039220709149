//! The ring answer in words.

use core::fmt::Write;

use super::head::setup_line;
use super::table::{Words, decimals, plain_table, remarks};
use crate::answers::{RingAnswer, RingRow};
use crate::units::show::Round;
use crate::units::{Angle, Length};

/// Ring positions for people: the tolerances cut, never rounded up. One table a
/// way of measuring them: degrees of ring, along the ring, at the knob.
#[must_use]
pub fn ring(answer: &RingAnswer, words: Words) -> String {
    let mut out = setup_line(&answer.premises);
    // Writing to a String cannot fail.
    let _ = writeln!(
        out,
        "the ring's zero is {}; positions grow toward close focus",
        zero(answer, words)
    );
    let mut first = true;
    for measure in [Measure::Degrees, Measure::Arc, Measure::Knob] {
        if answer
            .rows
            .iter()
            .all(|row| measure.of(row).position.is_none())
        {
            continue;
        }
        let _ = writeln!(out, "\n{}\n", measure.title(answer));
        out.push_str(&table(answer, measure, words, first));
        first = false;
    }
    out.push_str(
        "\nmay be off by: a subject at the distance stays sharp while the ring is off by so much, \
         either way\n",
    );
    out.push_str(
        "to near limit, to far limit: from the position to where the ring reads the limits of \
         depth; at most to infinity\n",
    );
    if answer.rows.iter().any(|row| known(row).is_some()) {
        out.push_str(
            "known to: two standard errors of the position, for what marks and readings may be \
             off\n",
        );
    }
    out.push_str(&remarks(&answer.assumptions));
    out
}

fn zero(answer: &RingAnswer, words: Words) -> String {
    let farthest = answer
        .through_marks
        .as_ref()
        .filter(|_| answer.zero != "infinity")
        .and_then(|through| through.marks.first());
    match farthest {
        Some(mark) => format!(
            "the farthest mark that was read, {}",
            words.exact(mark.distance.reach())
        ),
        None => "the infinity mark".into(),
    }
}

/// How places on the ring are measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Measure {
    Degrees,
    Arc,
    Knob,
}

/// A row in one measure.
struct Measured {
    position: Option<f64>,
    standard_error: Option<f64>,
    tolerance: Option<f64>,
    near: Option<f64>,
    far: Option<f64>,
}

impl Measure {
    fn of(self, row: &RingRow) -> Measured {
        let deg = |angle: Option<Angle>| angle.map(Angle::to_deg);
        let mm = |arc: Option<Length>| arc.map(Length::to_mm);
        match self {
            Self::Degrees => Measured {
                position: deg(row.position),
                standard_error: deg(row.standard_error),
                tolerance: deg(row.tolerance),
                near: deg(row.near_offset),
                far: deg(row.far_offset),
            },
            Self::Arc => Measured {
                position: mm(row.arc),
                standard_error: mm(row.standard_error_arc),
                tolerance: mm(row.tolerance_arc),
                near: mm(row.near_offset_arc),
                far: mm(row.far_offset_arc),
            },
            Self::Knob => Measured {
                position: deg(row.knob),
                // It is the ring's place that is known, not the knob's.
                standard_error: None,
                tolerance: deg(row.knob_tolerance),
                near: deg(row.knob_near_offset),
                far: deg(row.knob_far_offset),
            },
        }
    }

    fn title(self, answer: &RingAnswer) -> String {
        match self {
            Self::Degrees if answer.circumference.is_none() => {
                "degrees of ring; how far the ring is round is not known".into()
            }
            Self::Degrees => "degrees of ring".into(),
            Self::Arc => match answer.circumference {
                Some(round) => format!("along the bare ring, which is {} mm round", round.to_mm()),
                None => "along the surface the marks were read on; how far the ring is round is \
                         not known"
                    .into(),
            },
            Self::Knob => {
                let turns = answer.gearing.map_or(1.0, |gearing| gearing.value());
                format!("at the knob, which turns {turns:.3} times for each turn of the ring")
            }
        }
    }

    /// A figure with its sign and unit.
    fn figure(self, value: f64, round: Round) -> String {
        let figure = decimals(value, 2, round).replace('-', "−");
        match self {
            Self::Degrees | Self::Knob => format!("{figure}°"),
            Self::Arc => format!("{figure} mm"),
        }
    }
}

/// What a position is known to, whichever way it is measured.
fn known(row: &RingRow) -> Option<f64> {
    let mm = |arc: Length| arc.to_mm();
    row.standard_error
        .map(Angle::to_deg)
        .or(row.standard_error_arc.map(mm))
}

fn table(answer: &RingAnswer, measure: Measure, words: Words, first: bool) -> String {
    let figure = |value: Option<f64>, sign: &str, round: Round| {
        value.map_or("-".into(), |value| {
            format!("{sign}{}", measure.figure(value, round))
        })
    };
    let rows = || answer.rows.iter().map(|row| (row, measure.of(row)));
    let mut header = vec!["DISTANCE", "position"];
    let with_error = rows().any(|(_, figures)| figures.standard_error.is_some());
    if with_error {
        header.push("known to");
    }
    header.extend(["may be off by", "to near limit", "to far limit"]);
    let real = first && answer.rows.iter().any(|row| row.real_focus.is_some());
    if real {
        header.push("really focuses at");
    }
    if first {
        header.push("standing");
    }
    let cells = rows().map(|(row, figures)| {
        let mut cells = vec![
            words.exact(row.distance.reach()),
            figure(figures.position, "", Round::Nearest),
        ];
        if with_error {
            let two = figures.standard_error.map(|sd| sd * 2.0);
            cells.push(figure(two, "±", Round::Up));
        }
        cells.extend([
            figure(figures.tolerance, "±", Round::Down),
            // Inward: toward the mark.
            figure(figures.near, "", Round::Down),
            figure(figures.far, "", Round::Up),
        ]);
        if real {
            cells.push(really(row, words));
        }
        if first {
            cells.push(row.standing.into());
        }
        cells
    });
    plain_table(&header, &["standing"], cells.collect())
}

fn really(row: &RingRow, words: Words) -> String {
    match row.real_focus {
        Some(Some(focus)) => words.nearest(focus.reach()),
        Some(None) => "beyond infinity".into(),
        None => "-".into(),
    }
}
