//! The ring answer in words.

use core::fmt::Write;

use super::head::setup_line;
use super::table::{Words, decimals, plain_table, remarks};
use crate::answers::{RingAnswer, RingRow};
use crate::units::show::Round;
use crate::units::{Angle, Length};

/// Ring positions for people: the tolerances cut, never rounded up.
#[must_use]
pub fn ring(answer: &RingAnswer, words: Words) -> String {
    let mut out = setup_line(&answer.premises);
    // Writing to a String cannot fail.
    let _ = writeln!(
        out,
        "the ring's zero is {}; positions grow toward close focus",
        zero(answer, words)
    );
    let _ = writeln!(out, "{}\n", units(answer));
    let columns = columns(answer);
    let header: Vec<&str> = columns.iter().map(|column| column.0).collect();
    let rows = answer.rows.iter().map(|row| {
        let cells = columns.iter().map(|column| column.1(row, words));
        cells.collect()
    });
    out.push_str(&plain_table(&header, &["standing"], rows.collect()));
    out.push_str(
        "\nring may be off by: a subject at the distance stays sharp while the ring is off by so \
         much, either way\n",
    );
    if has(answer, known_to) {
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

fn units(answer: &RingAnswer) -> String {
    match (answer.circumference, has(answer, |row| row.position)) {
        (Some(round), _) => format!(
            "° of ring; mm along the bare ring, which is {} mm round",
            round.to_mm()
        ),
        (None, true) => "° of ring; how far the ring is round is not known".into(),
        (None, false) => {
            "mm along the surface the marks were read on; how far the ring is round is not known"
                .into()
        }
    }
}

type Column = (&'static str, fn(&RingRow, Words) -> String);

/// The columns that say something.
fn columns(answer: &RingAnswer) -> Vec<Column> {
    let turns = has(answer, |row| row.position);
    let arcs = has(answer, |row| row.arc);
    let real = has(answer, |row| row.real_focus);
    let known = has(answer, known_to);
    let knobs = has(answer, |row| row.knob);
    let all: [(bool, Column); 10] = [
        (
            true,
            ("DISTANCE", |row, words| words.exact(row.distance.reach())),
        ),
        (
            turns,
            ("position", |row, _| degrees(row.position, Round::Nearest)),
        ),
        (
            arcs,
            ("on the ring", |row, _| along(row.arc, Round::Nearest)),
        ),
        (true, ("ring may be off by", |row, _| may_be_off(row))),
        (
            known,
            ("known to", |row, _| known_to(row).unwrap_or("-".into())),
        ),
        (
            knobs,
            ("of the knob", |row, _| degrees(row.knob, Round::Nearest)),
        ),
        // Inward: toward the mark.
        (
            turns,
            ("to near limit", |row, _| {
                degrees(row.near_offset, Round::Down)
            }),
        ),
        (
            turns,
            ("to far limit", |row, _| degrees(row.far_offset, Round::Up)),
        ),
        (real, ("really focuses at", really)),
        (true, ("standing", |row, _| row.standing.into())),
    ];
    let said = all.into_iter().filter(|(said, _)| *said);
    said.map(|(_, column)| column).collect()
}

fn has<T>(answer: &RingAnswer, figure: impl Fn(&RingRow) -> Option<T>) -> bool {
    answer.rows.iter().any(|row| figure(row).is_some())
}

fn degrees(angle: Option<Angle>, round: Round) -> String {
    angle.map_or("-".into(), |angle| {
        format!("{}°", signed(angle.to_deg(), round))
    })
}

fn along(arc: Option<Length>, round: Round) -> String {
    arc.map_or("-".into(), |arc| {
        format!("{} mm", signed(arc.to_mm(), round))
    })
}

fn signed(value: f64, round: Round) -> String {
    decimals(value, 2, round).replace('-', "−")
}

fn may_be_off(row: &RingRow) -> String {
    let turn = row.tolerance.is_some();
    let turn = turn.then(|| format!("±{}", degrees(row.tolerance, Round::Down)));
    let arc = row.tolerance_arc.is_some();
    let arc = arc.then(|| format!("±{}", along(row.tolerance_arc, Round::Down)));
    let knob = row.knob_tolerance.is_some();
    let knob = knob.then(|| format!("±{} of knob", degrees(row.knob_tolerance, Round::Down)));
    let all = turn.into_iter().chain(arc).chain(knob);
    all.collect::<Vec<_>>().join("  ")
}

/// Two standard errors of a position, rounded up.
fn known_to(row: &RingRow) -> Option<String> {
    let degrees = row.standard_error.map(|sd| (sd * 2.0).to_deg());
    let arc = || row.standard_error_arc.map(|sd| (sd * 2.0).to_mm());
    match degrees {
        Some(sd) => Some(format!("±{}°", signed(sd, Round::Up))),
        None => arc().map(|sd| format!("±{} mm", signed(sd, Round::Up))),
    }
}

fn really(row: &RingRow, words: Words) -> String {
    match row.real_focus {
        Some(Some(focus)) => words.nearest(focus.reach()),
        Some(None) => "beyond infinity".into(),
        None => "-".into(),
    }
}
