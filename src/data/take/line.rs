//! A line of a session, as words: what was typed, before it is judged.

use crate::data::fault::{Fault, Kind, shortened};
use crate::data::kit::distances;
use crate::data::nearest::nearest;
use crate::units::{BareUnit, Unit, parse};

/// The words a session knows, beside lines of figures.
const WORDS: [&str; 4] = ["undo", "list", "help", "done"];

/// What a line is.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Line {
    /// Nothing, or a remark.
    Blank,
    /// Take the last line back.
    Undo,
    /// Show what was taken.
    List,
    /// Show how a line is written.
    Help,
    /// That was all.
    Done,
    /// A distance and its readings, as typed.
    Figures {
        /// The distance.
        distance: String,
        /// The readings; at least one.
        readings: Vec<String>,
    },
}

/// Reads a line; `example` is one that would be right.
pub(super) fn line(text: &str, example: &str) -> Result<Line, Fault> {
    let text = text.trim_start_matches('\u{feff}').trim();
    if text.is_empty() || text.starts_with('#') {
        return Ok(Line::Blank);
    }
    if text.chars().any(|c| c.is_control() && c != '\t') {
        let message = format!("a control character stands in \"{}\"", shortened(text));
        return Err(Fault::new(Kind::NotText, message).with_help("type it again without"));
    }
    let word = text.to_lowercase();
    match word.as_str() {
        "undo" => return Ok(Line::Undo),
        "list" => return Ok(Line::List),
        "help" | "?" => return Ok(Line::Help),
        "done" => return Ok(Line::Done),
        _ => {}
    }
    let mut parts = distances(text).into_iter();
    let distance = parts.next().unwrap_or_default();
    let readings: Vec<String> = parts.collect();
    if readings.is_empty() {
        return Err(alone(&distance, &word, example));
    }
    Ok(Line::Figures { distance, readings })
}

/// The refusal of a line with one part.
fn alone(part: &str, word: &str, example: &str) -> Fault {
    let shown = shortened(part);
    let a_line = format!("a line is DISTANCE READING, as {example}");
    if part.starts_with(|c: char| c.is_ascii_digit() || c == '∞') || word.starts_with("inf") {
        // Whatever its unit may be.
        let alone = parse::distance(part, BareUnit::Engraved(Unit::Metres)).is_ok();
        return match alone {
            true => Fault::new(Kind::TooFew, format!("no reading stands after \"{shown}\"")),
            false => {
                let message = format!("\"{shown}\" is no distance with a reading behind it");
                Fault::new(Kind::NotADistance, message)
            }
        }
        .with_help(a_line);
    }
    let help = match nearest(word, &WORDS) {
        Some(near) => format!("did you mean {near}?"),
        None => format!("{a_line}, or one of {}", WORDS.join(", ")),
    };
    let message = format!("\"{shown}\" is neither a line nor a word of this session");
    Fault::new(Kind::NotADistance, message).with_help(help)
}

#[cfg(test)]
mod tests {
    use super::{Line, line};
    use crate::data::fault::Kind;

    fn figures(text: &str) -> (String, Vec<String>) {
        match line(text, "6' 41.2") {
            Ok(Line::Figures { distance, readings }) => (distance, readings),
            other => panic!("{text}: {other:?}"),
        }
    }

    #[test]
    fn distance_and_readings_are_told_apart_however_a_distance_is_written() {
        for (text, distance, readings) in [
            ("6' 41.2 41.5 41.3", "6'", &["41.2", "41.5", "41.3"][..]),
            ("8'6 1/2\" 41.2mm", "8'6 1/2\"", &["41.2mm"]),
            ("8' 6\" 41", "8' 6\"", &["41"]),
            ("2.6 m -4", "2.6 m", &["-4"]),
            ("inf 10.75", "inf", &["10.75"]),
            ("∞\t10", "∞", &["10"]),
            ("6', 41.2, 41.5", "6'", &["41.2", "41.5"]),
            ("6' 5'11 6' 6'1", "6'", &["5'11", "6'", "6'1"]),
            ("6′ 5′11½″ inf", "6′", &["5′11½″", "inf"]),
        ] {
            let (own, said) = figures(text);
            assert_eq!(own, distance, "{text}");
            assert_eq!(said, readings, "{text}");
        }
    }

    #[test]
    fn words_are_known_in_any_case_and_slips_are_named() {
        assert_eq!(line(" UNDO ", ""), Ok(Line::Undo));
        assert_eq!(line("\u{feff}list", ""), Ok(Line::List));
        assert_eq!(line("# a remark", ""), Ok(Line::Blank));
        let slip = line("undoo", "").unwrap_err();
        assert_eq!(slip.help.as_deref(), Some("did you mean undo?"));
        let alone = line("6'", "6' 41.2").unwrap_err();
        assert_eq!(alone.kind, Kind::TooFew);
        assert!(line("6' 4\u{7}1", "").is_err());
    }
}
