//! A rack in words.

use core::fmt::Write;

use super::table::{Words, decimals};
use crate::answers::RackAnswer;
use crate::units::show::Round;

/// A rack for people: the turn first, then how fast, then both ends.
#[must_use]
pub fn rack(answer: &RackAnswer, words: Words) -> String {
    let mut out = String::new();
    let one = |value: f64| decimals(value, 1, Round::Nearest);
    let turn = match (answer.turn, answer.arc) {
        (Some(turn), Some(arc)) => format!("{}° ({} mm)", one(turn.to_deg()), one(arc.to_mm())),
        (Some(turn), None) => format!("{}°", one(turn.to_deg())),
        (None, Some(arc)) => format!("{} mm", one(arc.to_mm())),
        (None, None) => "an unknown turn".into(),
    };
    let way = match (answer.direction, answer.ring_turns) {
        ("none", _) => String::new(),
        (direction, Some(sense)) => {
            format!(" {}, {sense} seen from behind", direction.replace('_', " "))
        }
        (direction, None) => format!(" {}", direction.replace('_', " ")),
    };
    // Writing to a String cannot fail.
    let _ = writeln!(
        out,
        "{} to {}: turn {turn}{way}",
        words.exact(answer.from.distance.reach()),
        words.exact(answer.to.distance.reach())
    );
    if let Some(knob) = answer.knob {
        let turns = decimals(knob.to_deg() / 360.0, 2, Round::Nearest);
        let _ = writeln!(out, "knob {}° ({turns} turns)", one(knob.to_deg()));
    }
    if let Some(seconds) = answer.seconds {
        let peak = answer.fastest.map_or(String::new(), |peak| {
            let peak = decimals(peak.to_deg(), 1, Round::Up);
            format!(", at most {peak}° a second for a subject that moves steadily")
        });
        let _ = writeln!(out, "{} s{peak}", decimals(seconds, 2, Round::Nearest));
    }
    out.push('\n');
    out.push_str(&super::ring(&answer.ring, words));
    out
}
