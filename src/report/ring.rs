//! The ring answer in words.

use super::table::{Words, plain_table, remarks};
use crate::answers::{RingAnswer, RingRow};
use crate::units::{Angle, Length};

/// Ring positions for people.
#[must_use]
pub fn ring(answer: &RingAnswer, words: Words) -> String {
    let header = [
        "distance",
        "position",
        "on the ring",
        "to near",
        "to far",
        "ring may miss by",
    ];
    let rows = answer.rows.iter().map(|r| row(r, words)).collect();
    let mut out = plain_table(&header, &[], rows);
    let zero = match answer.zero {
        "infinity" => "the infinity mark",
        _ => "the farthest mark",
    };
    out.push_str(&format!(
        "\npositions count from {zero} and grow toward close focus\n"
    ));
    out.push_str(&remarks(&answer.assumptions));
    out
}

fn row(row: &RingRow, words: Words) -> Vec<String> {
    let degrees =
        |angle: Option<Angle>| angle.map_or("-".into(), |angle| format!("{:.2}°", angle.to_deg()));
    // Tolerances are cut, never rounded up.
    let cut = |value: f64| libm::floor(value * 100.0) / 100.0;
    let millimetres =
        |arc: Option<Length>| arc.map_or("-".into(), |arc| format!("{:.2} mm", arc.to_mm()));
    let may_miss = match (row.tolerance, row.tolerance_arc) {
        (Some(turn), Some(arc)) => {
            format!("±{:.2}° ±{:.2} mm", cut(turn.to_deg()), cut(arc.to_mm()))
        }
        (Some(turn), None) => format!("±{:.2}°", cut(turn.to_deg())),
        (None, Some(arc)) => format!("±{:.2} mm", cut(arc.to_mm())),
        (None, None) => "-".into(),
    };
    vec![
        words.exact(row.distance.reach()),
        degrees(row.position),
        millimetres(row.arc),
        degrees(row.near_offset),
        degrees(row.far_offset),
        may_miss,
    ]
}
