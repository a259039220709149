//! The words under a tape.

use super::division::Piece;
use super::frame::run;
use super::lie::{Edge, Lie};
use super::plan::Plan;
use super::rows::Rows;
use super::{Asked, On};
use crate::draw::words::broken;
use crate::gear::{Sense, Side, WitnessEdge};
use crate::scale::Standing;
use crate::scene::{Face, Item, Point, Weight, printable};
use crate::sheets::Tape;
use crate::units::{Length, Unit};

/// Height of the words.
const WORDS: Length = Length::mm(2.0);
/// From baseline to baseline.
pub(in crate::draw) const PITCH: Length = Length::mm(3.1);

/// One line of words.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::draw) struct Words {
    words: String,
    weight: Weight,
}

impl Words {
    /// The line with its top left corner at a point.
    pub(in crate::draw) fn at(&self, corner: Point) -> Item {
        run(
            &self.words,
            self.weight,
            WORDS,
            corner.moved(Length::ZERO, WORDS),
        )
        .into()
    }
}

/// Paragraphs broken into lines no wider than allowed, single words included.
pub(in crate::draw) fn lines(paragraphs: &[(String, Weight)], width: Length) -> Vec<Words> {
    let mut lines = Vec::new();
    for (words, weight) in paragraphs {
        for line in broken(&printable(words), *weight, WORDS, width) {
            lines.extend(cut(&line, *weight, width).into_iter().map(|words| Words {
                words,
                weight: *weight,
            }));
        }
    }
    lines
}

/// A line cut between letters where it is too wide.
fn cut(line: &str, weight: Weight, width: Length) -> Vec<String> {
    let face = Face::of(weight);
    if face.advance(line, WORDS) <= width {
        return vec![line.to_owned()];
    }
    let mut parts = vec![String::new()];
    for letter in line.chars() {
        if let Some(part) = parts.last_mut() {
            let longer = format!("{part}{letter}");
            if part.is_empty() || face.advance(&longer, WORDS) <= width {
                *part = longer;
            } else {
                parts.push(letter.to_string());
            }
        }
    }
    parts
}

/// What is written under a tape.
pub(super) fn caption(
    tape: &Tape,
    lie: Lie,
    plan: &Plan,
    rows: &Rows,
    pieces: &[Piece],
    asked: &Asked<'_>,
) -> Vec<(String, Weight)> {
    let signs = match lie.witness {
        Edge::Bottom => ['▼', '▽'],
        Edge::Top => ['▲', '△'],
    };
    let mut out = vec![(action(tape, signs), Weight::Bold)];
    let in_millimetres = |doubt: Length| format!("{:.1} mm", rounded_up(doubt.to_mm()));
    out.push((cautions(tape, in_millimetres), Weight::Bold));
    out.push((identity(tape, asked.on), Weight::Regular));
    let mut ring = vec![tape.wraps.clone(), turning(tape, asked.on, rows)];
    if let Some(band) = &tape.sharp {
        ring.push(band.words.clone());
    }
    ring.extend(stops(tape, plan));
    if plan.closes {
        let on = match asked.on {
            On::Ring(_) => "ring",
            On::Wheel(_) => "wheel",
        };
        ring.push(format!(
            "the two end lines must just meet round the {on} ({:.1} mm): if they gap or overlap, \
             measure the {on} again",
            plan.length().to_mm()
        ));
    }
    out.push((ring.join(" · "), Weight::Regular));
    if pieces.len() > 1 {
        out.push((joints(tape, pieces), Weight::Bold));
    }
    let mut rests = rests_on(tape);
    rests.extend(asked.corrected());
    if !rests.is_empty() {
        out.push((rests.join(" · "), Weight::Regular));
    }
    out
}

/// A tenth up: what a mark may be off is never told too small.
pub(in crate::draw) fn rounded_up(figure: f64) -> f64 {
    libm::ceil(figure * 10.0) / 10.0
}

/// What to do with the lines under the two triangles.
pub(in crate::draw) fn action(tape: &Tape, [filled, open]: [char; 2]) -> String {
    let mut action = format!("{filled} {}", tape.align.words);
    if let Some(check) = &tape.check {
        action.push_str(&format!(" · {open} {}", check.words));
    }
    action + " · checked at ………… by …………"
}

/// What a scale rests on that nobody said.
pub(in crate::draw) fn rests_on(tape: &Tape) -> Vec<String> {
    tape.assumptions
        .iter()
        .filter(|assumption| assumption.kind != "computed_not_measured")
        .map(
            |assumption| match assumption.message.split_once("; figures marked") {
                // No figure of a tape is marked so.
                Some((assumed, _)) => assumed.to_owned(),
                None => assumption.message.clone(),
            },
        )
        .collect()
}

/// What to beware of; places that may be off are told by `off`.
pub(in crate::draw) fn cautions(tape: &Tape, off: impl Fn(Length) -> String) -> String {
    let mut parts = Vec::new();
    match tape.standing {
        Standing::Measured => {}
        Standing::Engraved if tape.corrected => {
            parts.push("ENGRAVED SCALE, CORRECTED BY PREP: VERIFY BY EYE".to_owned());
        }
        Standing::Engraved => parts.push("ENGRAVED, NOT MEASURED: VERIFY BY EYE".to_owned()),
        Standing::Computed if tape.corrected => {
            parts.push("COMPUTED, CORRECTED BY PREP: VERIFY BY EYE".to_owned());
        }
        Standing::Computed => parts.push("COMPUTED, NOT MEASURED: VERIFY BY EYE".to_owned()),
    }
    if tape.marks.iter().any(|tick| tick.beyond) {
        parts.push("≈ IS BEYOND THE MARKS, COMPUTED: VERIFY BY EYE".to_owned());
    }
    parts.extend(doubts(tape, off));
    let how = match (tape.corrected, tape.standing) {
        (true, _) => Some("corrected for"),
        (false, Standing::Computed) => None,
        (false, _) => Some("measured on"),
    };
    if let Some((how, camera)) = how.zip(tape.names.camera.as_ref()) {
        parts.push(format!("{how} camera {camera} only"));
    }
    parts.push("check against a tape before use".to_owned());
    parts.join(" · ")
}

/// What the bars across ticks say, where there are any.
fn doubts(tape: &Tape, off: impl Fn(Length) -> String) -> Option<String> {
    let doubtful = tape
        .marks
        .iter()
        .filter_map(|tick| Some((tick, tick.doubt?)));
    let (tick, most) = doubtful.max_by(|a, b| a.1.to_mm().total_cmp(&b.1.to_mm()))?;
    Some(format!(
        "A BAR ACROSS A TICK: ITS PLACE MAY BE OFF SO MUCH, AT MOST ±{} (AT {}): VERIFY BY EYE",
        off(most),
        tick.in_words().to_uppercase()
    ))
}

/// Who it is.
pub(in crate::draw) fn identity(tape: &Tape, on: On<'_>) -> String {
    let names = &tape.names;
    let given = [
        Some(format!("{} mm", names.focal)),
        names.widest.clone(),
        names.label.clone(),
        names
            .id
            .clone()
            .filter(|id| names.label.as_ref() != Some(id)),
        names.serial.as_ref().map(|serial| format!("no. {serial}")),
        names.title.clone(),
        Some(match &names.prepared {
            Some(date) => date.clone(),
            None => "date ……………".to_owned(),
        }),
        Some(tape.standing.name().to_owned()),
        Some(format!("code {}", tape.code)),
    ];
    let wheel = match on {
        On::Ring(_) => [None, None],
        On::Wheel(wheel) => [
            Some(wheel.hand_unit.clone()),
            wheel
                .preset
                .as_ref()
                .map(|preset| format!("preset {preset}")),
        ],
    };
    wheel
        .into_iter()
        .chain(given)
        .flatten()
        .collect::<Vec<_>>()
        .join(" · ")
}

fn turning(tape: &Tape, on: On<'_>, rows: &Rows) -> String {
    let sense = match tape.sense {
        Sense::Clockwise => "clockwise",
        Sense::CounterClockwise => "counter-clockwise",
    };
    let edge = match tape.witness {
        WitnessEdge::Rear => "rear",
        WitnessEdge::Front => "front",
    };
    let figures = match (tape.unit, rows.small) {
        (Unit::Feet, Some(_)) => "large figures feet, small metres",
        (Unit::Feet, None) => "figures in feet",
        (Unit::Metres, Some(_)) => "large figures metres, small feet",
        (Unit::Metres, None) => "figures in metres",
    };
    let side = match on {
        On::Ring(Side::Left) => "left",
        On::Ring(Side::Right) => "right",
        On::Wheel(_) => {
            return format!(
                "wheel turns {sense} to close focus, seen on its face · tops of figures toward its \
                 face, ticks toward the hand unit's body and its index · {figures}"
            );
        }
    };
    format!(
        "read from the camera's {side} side · ring turns {sense} to close focus, seen from behind \
         the camera · ticks on the {edge} edge · {figures}"
    )
}

fn stops(tape: &Tape, plan: &Plan) -> Option<String> {
    let far = tape
        .before
        .map(|beyond| (beyond, "infinity", plan.far_stop));
    let near = tape
        .after
        .map(|beyond| (beyond, "close focus", plan.near_stop));
    let given: Vec<String> = [far, near]
        .into_iter()
        .flatten()
        .map(|(beyond, end, drawn)| {
            let drawn = if drawn.is_some() {
                " (hatched)"
            } else {
                " (not drawn)"
            };
            format!("{:.1} mm beyond {end}{drawn}", beyond.to_mm())
        })
        .collect();
    (!given.is_empty()).then(|| format!("hard stop {}", given.join(", ")))
}

fn joints(tape: &Tape, pieces: &[Piece]) -> String {
    let ends = tape.marks.first().zip(tape.marks.last());
    let measured = ends.map_or_else(String::new, |(far, near)| {
        format!(
            "; joined, {} to {} must measure {:.1} mm",
            far.in_words(),
            near.in_words(),
            (near.at - far.at).to_mm()
        )
    });
    let letters: Vec<String> = (1..pieces.len())
        .map(|number| Piece::letter(number - 1).to_string())
        .collect();
    format!(
        "{} pieces: cut each off along its line {}, lay that edge on the same line of the piece \
         before, the tab under it{measured}",
        pieces.len(),
        letters.join(", ")
    )
}
