//! A rack in words.

use core::fmt::Write;

use super::table::{Words, decimals, plain_table};
use crate::answers::{Moment, RackAnswer, SharpEdge};
use crate::gear::speed_in_words;
use crate::units::show::Round;
use crate::units::{Angle, Length, Reach, Time};

/// A rack for people: the turn first, then how fast, then the ring along the way,
/// then both ends.
#[must_use]
pub fn rack(answer: &RackAnswer, words: Words) -> String {
    let mut out = String::new();
    if answer.path.kind != "axis" {
        // Writing to a String cannot fail.
        let _ = writeln!(out, "{}", answer.path.in_words(words.unit));
    }
    turn(&mut out, answer, words);
    speed(&mut out, answer, words);
    let caution = answer.ring.assumptions.iter();
    for caution in caution.filter(|note| note.kind == "vehicle") {
        let _ = writeln!(out, "{}", caution.message);
    }
    out.push('\n');
    if !answer.moments.is_empty() {
        moments(&mut out, &answer.moments, words);
        out.push('\n');
    }
    let mut ring = answer.ring.clone();
    // It stands beside the speed already.
    ring.assumptions.retain(|note| note.kind != "vehicle");
    out.push_str(&super::ring(&ring, words));
    out
}

fn one(value: f64) -> String {
    decimals(value, 1, Round::Nearest)
}

fn turned(turn: Option<Angle>, arc: Option<Length>) -> String {
    match (turn, arc) {
        (Some(turn), Some(arc)) => format!("{}° ({} mm)", one(turn.to_deg()), one(arc.to_mm())),
        (Some(turn), None) => format!("{}°", one(turn.to_deg())),
        (None, Some(arc)) => format!("{} mm", one(arc.to_mm())),
        (None, None) => "an unknown turn".into(),
    }
}

fn turn(out: &mut String, answer: &RackAnswer, words: Words) {
    let way = match (answer.direction, answer.ring_turns) {
        ("none", _) => String::new(),
        (direction, Some(sense)) => {
            format!(" {}, {sense} seen from behind", direction.replace('_', " "))
        }
        (direction, None) => format!(" {}", direction.replace('_', " ")),
    };
    let _ = writeln!(
        out,
        "{}{} to {}: turn {}{way}",
        if answer.path.from == answer.from.distance {
            ""
        } else {
            "focus "
        },
        words.exact(answer.from.distance.reach()),
        words.exact(answer.to.distance.reach()),
        turned(answer.turn, answer.arc),
    );
    if let [_, middle, _] = &answer.ring.rows[..] {
        let _ = writeln!(
            out,
            "on the way it turns {} in all: there to {} and back",
            turned(answer.turning, answer.turning_arc),
            words.exact(middle.distance.reach())
        );
    }
    let turns = |knob: Angle| {
        let turns = decimals(knob.to_deg() / 360.0, 2, Round::Nearest);
        format!("{}° ({turns} turns)", one(knob.to_deg()))
    };
    if let Some(knob) = answer.knob {
        let all = answer.knob_turning.filter(|all| *all != knob);
        let all = all.map_or(String::new(), |all| format!(", {} in all", turns(all)));
        let _ = writeln!(out, "knob {}{all}", turns(knob));
    }
}

fn speed(out: &mut String, answer: &RackAnswer, words: Words) {
    let Some(seconds) = answer.seconds else {
        return;
    };
    let peak = match (answer.fastest, answer.fastest_arc) {
        (Some(turn), _) => Some(format!("{}°", decimals(turn.to_deg(), 1, Round::Up))),
        (None, Some(arc)) => Some(format!("{} mm", decimals(arc.to_mm(), 1, Round::Up))),
        (None, None) => None,
    };
    let peak = peak.map_or(String::new(), |peak| {
        format!(", at most {peak} a second for a subject that moves steadily")
    });
    let _ = writeln!(out, "{} s{peak}", hundredths(seconds));
    if let (Some(way), Some(speed)) = (answer.path.length, answer.speed) {
        let _ = writeln!(
            out,
            "{} of way at {}",
            words.nearest(Reach::At(way)),
            speed_in_words(speed, words.unit)
        );
    }
    if answer.fastest_s.is_none() && !answer.moments.is_empty() {
        let _ = writeln!(
            out,
            "the ring stands: the subject keeps its distance along the axis"
        );
    }
    if let (Some(when), Some(at)) = (answer.fastest_s, answer.fastest_taped) {
        let room = |time: Option<Time>, how: &str| match time {
            Some(time) => format!("{} s {how}", decimals(time.to_seconds(), 3, Round::Down)),
            None => format!("however {how}"),
        };
        let _ = writeln!(
            out,
            "fastest at {} s, the subject {} away; there the ring may be {} or {}",
            hundredths(when),
            words.nearest(Reach::At(at)),
            room(answer.late_s, "late"),
            room(answer.early_s, "early")
        );
    }
}

fn hundredths(time: Time) -> String {
    decimals(time.to_seconds(), 2, Round::Nearest)
}

type Column = (&'static str, fn(&Moment, Words) -> String);

/// The ring moment by moment: the sharp stretch rounded inward.
fn moments(out: &mut String, moments: &[Moment], words: Words) {
    let has = |figure: fn(&Moment) -> bool| moments.iter().any(figure);
    let turns = has(|moment| moment.position.is_some());
    let stands = has(|moment| moment.aside.is_some());
    let all: [(bool, Column); 11] = [
        (true, ("SECONDS", |moment, _| hundredths(moment.seconds))),
        (
            true,
            ("SUBJECT AT", |moment, words| {
                words.nearest(Reach::At(moment.taped))
            }),
        ),
        (
            stands,
            ("focus", |moment, words| words.nearest(moment.focus.reach())),
        ),
        (
            stands,
            ("aside", |moment, words| {
                moment.aside.map_or("-".into(), |aside| {
                    let sign = if aside < Length::ZERO { "−" } else { "" };
                    format!("{sign}{}", words.nearest(Reach::At(aside.abs())))
                })
            }),
        ),
        (
            turns,
            ("position", |moment, _| {
                degrees(moment.position, 2, Round::Nearest)
            }),
        ),
        (
            turns,
            ("sharp from", |moment, _| {
                edge(moment.sharp_from, |turn| degrees(Some(turn), 2, Round::Up))
            }),
        ),
        (
            turns,
            ("to", |moment, _| {
                edge(moment.sharp_to, |turn| degrees(Some(turn), 2, Round::Down))
            }),
        ),
        (
            turns,
            ("a second", |moment, _| {
                degrees(moment.turn_in_a_second, 1, Round::Nearest)
            }),
        ),
        (
            has(|moment| moment.knob.is_some()),
            ("knob", |moment, _| degrees(moment.knob, 1, Round::Nearest)),
        ),
        (
            has(|moment| moment.arc.is_some()),
            ("on the ring", |moment, _| {
                along(moment, turns_known(moment))
            }),
        ),
        (true, ("", |moment, _| moment.what.replace(' ', ", "))),
    ];
    let columns: Vec<Column> = all
        .into_iter()
        .filter(|(said, _)| *said)
        .map(|(_, column)| column)
        .collect();
    let header: Vec<&str> = columns.iter().map(|column| column.0).collect();
    let rows = moments.iter().map(|moment| {
        let cells = columns.iter().map(|column| column.1(moment, words));
        cells.collect()
    });
    out.push_str(&plain_table(&header, &[""], rows.collect()));
    out.push_str(
        "\nwhile the ring stands in the sharp stretch, the subject stays within the circle\n",
    );
}

const fn turns_known(moment: &Moment) -> bool {
    moment.position.is_some()
}

fn signed(value: f64, places: usize, round: Round) -> String {
    decimals(value, places, round).replace('-', "−")
}

fn degrees(angle: Option<Angle>, places: usize, round: Round) -> String {
    angle.map_or("-".into(), |angle| {
        format!("{}°", signed(angle.to_deg(), places, round))
    })
}

fn edge<T>(edge: Option<SharpEdge<T>>, shown: impl FnOnce(T) -> String) -> String {
    match edge {
        Some(SharpEdge::At(place)) => shown(place),
        Some(SharpEdge::Infinity) => "infinity".into(),
        Some(SharpEdge::CloseFocus) => "close focus".into(),
        None => "-".into(),
    }
}

/// The arc on the ring; where degrees are not known, with its sharp stretch.
fn along(moment: &Moment, turns: bool) -> String {
    let mm = |arc: Length, round| format!("{} mm", signed(arc.to_mm(), 2, round));
    let here = moment.arc.map_or("-".into(), |arc| mm(arc, Round::Nearest));
    if turns {
        return here;
    }
    let from = edge(moment.sharp_from_arc, |arc| mm(arc, Round::Up));
    let to = edge(moment.sharp_to_arc, |arc| mm(arc, Round::Down));
    let rate = moment.arc_in_a_second;
    let rate = rate.map_or(String::new(), |rate| {
        format!(", {} mm a second", signed(rate.to_mm(), 1, Round::Nearest))
    });
    format!("{here} ({from} to {to}{rate})")
}
