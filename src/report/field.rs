//! The field answers in words.

use core::fmt::Write;

use super::fitted::fitted_line;
use super::table::{Words, plain_table, remarks};
use crate::answers::{FieldAnswer, FieldRow, WidthAnswer};
use crate::units::{Length, Reach};

/// A field answer for people.
#[must_use]
pub fn field(answer: &FieldAnswer, words: Words) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = writeln!(
        out,
        "{} mm on {} × {} mm",
        answer.focal_length.to_mm(),
        two(answer.gate_width),
        two(answer.gate_height)
    );
    out.push_str(&fitted_line(&answer.on_the_lens));
    let at_infinity = if answer.on_the_lens.fitted.voids_the_scale() {
        "at the ring's infinity mark"
    } else {
        "focused at infinity"
    };
    let _ = writeln!(
        out,
        "{at_infinity}: {:.2}° × {:.2}°, diagonal {:.2}°\n",
        answer.horizontal.to_deg(),
        answer.vertical.to_deg(),
        answer.diagonal.to_deg()
    );
    if !answer.rows.is_empty() {
        let header = [
            "FOCUS",
            "plane",
            "width",
            "height",
            "horizontal",
            "vertical",
            "diagonal",
        ];
        out.push_str(&plain_table(
            &header,
            &[],
            answer.rows.iter().map(|r| row(r, words)).collect(),
        ));
        out.push_str("\nangles at the entrance pupil; distances from the ⌀ mark (image plane)\n");
    }
    out.push_str(&remarks(&answer.assumptions));
    out
}

/// A framed width for people.
#[must_use]
pub fn width(answer: &WidthAnswer, words: Words) -> String {
    format!(
        "{} wide: {:.2} mm at {} from the ⌀ mark (image plane)\n{}{}",
        words.exact(Reach::At(answer.width)),
        answer.focal_length.to_mm(),
        words.nearest(answer.focus.reach()),
        fitted_line(&answer.on_the_lens),
        remarks(&answer.assumptions)
    )
}

fn two(length: Length) -> String {
    format!("{:.2}", length.to_mm())
}

fn row(row: &FieldRow, words: Words) -> Vec<String> {
    vec![
        words.exact(row.focus.reach()),
        words.exact(row.plane.reach()),
        words.nearest(row.width),
        words.nearest(row.height),
        format!("{:.2}°", row.horizontal.to_deg()),
        format!("{:.2}°", row.vertical.to_deg()),
        format!("{:.2}°", row.diagonal.to_deg()),
    ]
}
