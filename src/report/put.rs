//! What was put into a kit, in words and rows.

use serde::Serialize;

use super::table::{Words, plain_table, remarks};
use crate::data::Understood;
use crate::data::put::{Columns, ImportAnswer, ImportRow, LensAddAnswer, Taken};
use crate::units::{Angle, FocusDistance};

/// Sentences of what was understood, one a line.
#[must_use]
pub fn understood(said: &[Understood]) -> String {
    let lines = said.iter().map(|said| format!("{}\n", said.in_words()));
    lines.collect()
}

/// What `lens add` wrote, and what to do next.
#[must_use]
pub fn lens_added(answer: &LensAddAnswer, folder: &str) -> String {
    let LensAddAnswer {
        lens,
        file,
        line,
        marks_file,
        ..
    } = answer;
    let kit = shell_word(folder);
    let id = shell_word(lens);
    let marks = match answer.marks_written {
        true => format!(
            "{marks_file} asks where {} engraved distances stand: those usual on such a scale; \
             delete what yours has not",
            answer.asked.len()
        ),
        false => format!("{marks_file} was there already, and is left as it is"),
    };
    format!(
        "lens {lens} stands on line {line} of {file}\n{marks}\n\
         next: markwright import --lens {id} --kit {kit} --line \"…\" (its own engraved distances)\n\
         or:   markwright marks take {id} --kit {kit} (marks found by eye)\n"
    )
}

/// What `import` understood and wrote, and what to do next.
#[must_use]
pub fn imported(answer: &ImportAnswer, folder: &str) -> String {
    let mut out = String::new();
    if let (Some(from), Some(columns)) = (&answer.from, &answer.columns) {
        let from = if from == "-" { "standard input" } else { from };
        out.push_str(&format!("from {from}: {}\n", read_so(columns)));
    }
    let file = &answer.file;
    out.push_str(&match answer.how {
        "appended" => format!("{file}: {} put at its end\n", counted(answer)),
        "replaced" => format!(
            "{file}: written anew, {}; the old one is {}\n",
            counted(answer),
            answer.kept_as.as_deref().unwrap_or_default()
        ),
        "form" => format!("{file}: {} in place of the empty form\n", counted(answer)),
        _ => format!("{file}: {}\n", counted(answer)),
    });
    match answer.left_out {
        0 => {}
        1 => out.push_str("1 row without distance and position is left out\n"),
        rows => out.push_str(&format!(
            "{rows} rows without distance and position are left out\n"
        )),
    }
    match answer.grow_toward_close_focus {
        Some(true) => out.push_str("positions grow from infinity to close focus\n"),
        Some(false) => out.push_str("positions grow from close focus to infinity\n"),
        None => {}
    }
    out.push_str(&understood(&answer.understood));
    let (kit, id) = (shell_word(folder), shell_word(&answer.lens));
    out.push_str(&match answer.grow_toward_close_focus {
        Some(_) => format!("next: markwright print tapes --kit {kit} --lens {id}\n"),
        None => format!(
            "next: markwright print strip-ruler; read the ring at each distance, and write what \
             it says into {file}\n"
        ),
    });
    out
}

/// How many rows, and how many wait.
fn counted(answer: &ImportAnswer) -> String {
    let waiting = answer.rows.iter().filter(|row| row.positions.is_empty());
    let (waiting, all) = (waiting.count(), answer.rows.len());
    let plural = |count: usize, one: &str, many: &str| match count {
        1 => format!("1 {one}"),
        count => format!("{count} {many}"),
    };
    match (all - waiting, waiting) {
        (0, waiting) => plural(
            waiting,
            "distance that waits for its position",
            "distances that wait for their positions",
        ),
        (marks, 0) => plural(marks, "mark", "marks"),
        (marks, waiting) => format!(
            "{}, and {}",
            plural(marks, "mark", "marks"),
            plural(
                waiting,
                "row without a position yet",
                "rows without a position yet"
            )
        ),
    }
}

/// How a table was read.
fn read_so(columns: &Columns) -> String {
    let taken = columns.taken.iter().map(|taken| match taken {
        Taken {
            what,
            column: Some(column),
            name,
        } if name.is_empty() => format!("{what} in column {column}"),
        Taken {
            what,
            column: Some(column),
            name,
        } => format!(
            "{what} in column {column}, {}",
            crate::data::shortened(name)
        ),
        Taken { what, name, .. } => format!("{what} {name} for all rows"),
    });
    let mut parts: Vec<String> = taken.collect();
    parts.push(match columns.separator {
        "tab" => "cells apart by tabs".into(),
        sign => format!("cells apart by \"{sign}\""),
    });
    if columns.decimal_comma {
        parts.push("decimal commas".into());
    }
    parts.push(match columns.header_line {
        Some(line) => format!("names on line {line}"),
        None => "no line of names".into(),
    });
    parts.join("; ")
}

/// A word as a shell takes it.
fn shell_word(text: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.' | '/' | '\\' | ':');
    match text.chars().all(plain) {
        true => text.to_owned(),
        false => format!("\"{text}\""),
    }
}

/// The rows that were written, as a table.
#[must_use]
pub fn import_table(answer: &ImportAnswer, words: Words) -> String {
    let row = |row: &ImportRow| {
        vec![
            row.line.map_or_else(String::new, |line| line.to_string()),
            words.exact(row.distance.reach()),
            positions(row, "  "),
            row.kind.to_owned(),
            row.camera.clone().unwrap_or_default(),
        ]
    };
    let header = ["line", "distance", answer.unit, "kind", "camera"];
    let kinds = ["kind", "camera"];
    let table = plain_table(&header, &kinds, answer.rows.iter().map(row).collect());
    format!("{table}{}", remarks(&answer.assumptions))
}

fn positions(row: &ImportRow, between: &str) -> String {
    let each = row.positions.iter().map(|at| at.value().to_string());
    each.collect::<Vec<_>>().join(between)
}

/// The columns of the table for spreadsheets.
pub const IMPORT_COLUMNS: &[&str] = &[
    "line",
    "distance_mm",
    "positions",
    "kind",
    "camera",
    "sd_deg",
    "written",
];

/// A row that was written, for programs.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ImportedRow {
    line: Option<usize>,
    distance_mm: FocusDistance,
    positions: String,
    kind: &'static str,
    camera: Option<String>,
    sd_deg: Option<Angle>,
    written: String,
}

/// The rows that were written, as rows.
#[must_use]
pub fn import_rows(answer: &ImportAnswer) -> Vec<ImportedRow> {
    let row = |row: &ImportRow| ImportedRow {
        line: row.line,
        distance_mm: row.distance,
        positions: positions(row, " "),
        kind: row.kind,
        camera: row.camera.clone(),
        sd_deg: row.sd,
        written: row.written.clone(),
    };
    answer.rows.iter().map(row).collect()
}
