//! A take-down in words: each line as it is taken, and all of them.

use serde::Serialize;

use super::table::{Words, decimals, plain_table, remarks};
use crate::data::take::{Expected, Figure, TakeAnswer, Taken};
use crate::gear::MarkPosition;
use crate::scale::usual_spread;
use crate::units::show::{Round, Step};
use crate::units::{Angle, FocusDistance, Length, Reach, Unit, show};

/// A line that was taken, said back with all that is to be said of it.
#[must_use]
pub fn taken(taken: &Taken, answer: &TakeAnswer, words: Words) -> String {
    let say = Say::of(answer, words);
    let mut out = say.line(taken);
    if taken.readings.len() > 1 {
        let (count, spread) = (taken.readings.len(), say.spread(taken));
        out.push_str(&format!(", the mean of {count}{spread}"));
    }
    if let Some(expected) = &taken.expected {
        out.push_str(&format!("; {}", say.expected(expected, taken.mean)));
    }
    out.push('\n');
    out
}

/// A line that was taken back, in short.
#[must_use]
pub fn taken_back(taken: &Taken, answer: &TakeAnswer, words: Words) -> String {
    format!("{}\n", Say::of(answer, words).line(taken))
}

/// How figures are worded.
#[derive(Clone, Copy)]
struct Say {
    /// The unit of numbers; distances have their own.
    unit: &'static str,
    words: Words,
}

impl Say {
    fn of(answer: &TakeAnswer, words: Words) -> Self {
        // Distances on a scale are no numbers of a unit.
        let unit = match answer.column {
            "reading" => "",
            _ => answer.unit,
        };
        Self { unit, words }
    }

    fn line(self, taken: &Taken) -> String {
        let distance = self.words.exact(taken.distance.reach());
        match taken.mean {
            Some(mean) => format!("{distance}: {}", self.figure(mean)),
            None => distance,
        }
    }

    fn figure(self, figure: Figure) -> String {
        match figure {
            Figure::Number(number) => self.number(number),
            Figure::Distance(distance) => match distance.reach() {
                Reach::At(length) => self.length(length),
                Reach::Infinity => "∞".into(),
            },
            Figure::Apart(length) => self.length(length),
        }
    }

    /// A length on a scale: as it was typed, or to an eighth of an inch or a
    /// millimetre, which nobody reads it finer than.
    fn length(self, length: Length) -> String {
        let step = match self.words.unit {
            Unit::Feet => Step::Inch64ths(8),
            Unit::Metres => Step::TenthsOfMm(10),
        };
        let rounded = show::rounded_length(length, step, Round::Nearest);
        let as_typed = (length - rounded).abs() < Length::mm(1e-6);
        match as_typed {
            true => show::exact(rounded, self.words.unit),
            false => show::rounded(length, step, Round::Nearest),
        }
    }

    fn number(self, number: MarkPosition) -> String {
        let places = match self.unit {
            "fraction" => 4,
            "counts" => 0,
            _ => 2,
        };
        let figure = decimals(number.value(), places, Round::Nearest);
        // A whole or half millimetre needs no zeros.
        let figure = match figure.contains('.') {
            true => figure.trim_end_matches('0').trim_end_matches('.'),
            false => &figure,
        };
        match self.unit {
            "deg" => format!("{figure}°"),
            "mm" => format!("{figure} mm"),
            "fraction" => format!("{figure} of the travel"),
            "counts" => format!("{figure} counts"),
            _ => figure.to_owned(),
        }
    }

    /// How far repeats are apart, and whether that is usual.
    fn spread(self, taken: &Taken) -> String {
        let mut parts = Vec::new();
        parts.extend(taken.spread.map(|spread| self.figure(spread)));
        let degrees = taken.spread_turn.filter(|_| self.unit != "deg");
        parts.extend(degrees.map(in_degrees));
        let usual = usual_spread(taken.readings.len());
        let usual = match taken.wide {
            Some(true) => format!(", more than the usual {}: set it again", in_degrees(usual)),
            Some(false) => ", as usual".into(),
            None => String::new(),
        };
        match parts.is_empty() {
            true => String::new(),
            false => format!(" ({} apart{usual})", parts.join(" = ")),
        }
    }

    fn expected(self, expected: &Expected, mean: Option<Figure>) -> String {
        let turn = expected.off_turn.filter(|_| self.unit != "deg");
        let turn = turn.map_or_else(String::new, |turn| {
            format!(" ({} of ring)", in_degrees(turn))
        });
        let should = self.figure(expected.reading);
        if expected.by == "tape" {
            return match expected.off {
                _ if mean == Some(expected.reading) => "scale and tape agree".to_owned(),
                Some(Figure::Apart(off)) => {
                    let way = if off.is_positive() {
                        "farther"
                    } else {
                        "nearer"
                    };
                    let off = self.length(off.abs());
                    format!("the scale says {off}{turn} {way} than the tape")
                }
                _ => format!("the scale should say {should}{turn}"),
            };
        }
        let by = match expected.by {
            "eye" => "the marks found by eye so far put".to_owned(),
            "engraved" => "the engraved marks put".to_owned(),
            "read" => "the marks so far put".to_owned(),
            _ => "the travel of the ring puts".to_owned(),
        };
        let camera = match &expected.camera {
            Some(camera) => format!(" (of camera {camera})"),
            None => String::new(),
        };
        let off = match expected.off {
            Some(Figure::Number(off)) => {
                let sign = if off.value() < 0.0 { "−" } else { "+" };
                let size = MarkPosition::new(off.value().abs()).unwrap_or(off);
                format!(": {sign}{}{turn}", self.number(size))
            }
            _ => String::new(),
        };
        format!("{by} it at {should}{camera}{off}")
    }
}

fn in_degrees(turn: Angle) -> String {
    format!("{}°", decimals(turn.to_deg(), 1, Round::Nearest))
}

/// All lines that were taken, as a table; nothing where none was.
#[must_use]
pub fn take(answer: &TakeAnswer, words: Words) -> String {
    if answer.taken.is_empty() {
        return String::new();
    }
    let say = Say::of(answer, words);
    let plain = Say { unit: "", words };
    let rows = answer.taken.iter().map(|taken| {
        let readings = taken.readings.iter().map(|reading| plain.figure(*reading));
        vec![
            taken.file_line.to_string(),
            words.exact(taken.distance.reach()),
            readings.collect::<Vec<_>>().join("  "),
            taken.mean.map_or_else(String::new, |mean| say.figure(mean)),
            taken
                .spread
                .map_or_else(String::new, |spread| say.figure(spread)),
        ]
    });
    let header = ["line", "distance", "readings", "mean", "apart"];
    let table = plain_table(&header, &["readings"], rows.collect());
    format!("{table}{}", remarks(&answer.assumptions))
}

/// A line that was taken, as a row of a table for programs.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TakeRow {
    distance_mm: FocusDistance,
    readings: String,
    mean: Option<Figure>,
    spread: Option<Figure>,
    spread_deg: Option<Angle>,
    line: usize,
    file_line: usize,
}

/// The lines that were taken, as rows.
#[must_use]
pub fn take_rows(answer: &TakeAnswer) -> Vec<TakeRow> {
    let figure = |figure: &Figure| match figure {
        Figure::Number(number) => number.value().to_string(),
        Figure::Apart(length) => length.to_mm().to_string(),
        Figure::Distance(distance) => match distance.reach() {
            Reach::At(length) => length.to_mm().to_string(),
            Reach::Infinity => "infinity".into(),
        },
    };
    let row = |taken: &Taken| TakeRow {
        distance_mm: taken.distance,
        readings: taken
            .readings
            .iter()
            .map(figure)
            .collect::<Vec<_>>()
            .join(" "),
        mean: taken.mean,
        spread: taken.spread,
        spread_deg: taken.spread_turn,
        line: taken.line,
        file_line: taken.file_line,
    };
    answer.taken.iter().map(row).collect()
}
