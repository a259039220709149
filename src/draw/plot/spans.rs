//! Stretches of the level axis, dimensioned above the frame as on an
//! engineering drawing.
//!
//! ```text
//!   near 5′9″ |←──  focus 6′  ──→| far 6′3″      where there is room between
//!   focus 6′  near 5′9″ →||← far 6′3″             where there is none
//! ```

use super::callouts::arrowhead;
use super::rule::Rule;
use crate::scene::{Face, Item, Pen, Point, Rect, TextRun, Weight};
use crate::sheets::{Axis, Span};
use crate::units::Length;

/// From the foot of one row to the next, in heights of figures.
const PITCH: f64 = 1.75;
/// From the frame to the foot of the first row, in millimetres.
const FIRST: f64 = 2.2;
/// Between a line and words.
const BESIDE: f64 = 1.1;
/// The length of an arrow with its tail.
const ARROW: f64 = 5.0;
/// What rounding may take.
const AIR: f64 = 0.1;
/// Between words.
const BETWEEN: f64 = 2.6;

/// Words of a row, from where to where.
#[derive(Clone, Debug)]
struct Words {
    text: String,
    bold: bool,
    from: f64,
    to: f64,
}

/// A span with its row.
#[derive(Clone, Debug)]
struct Row {
    number: usize,
    from: f64,
    to: f64,
    /// Whether its arrows stand between its ends.
    inside: bool,
    words: Vec<Words>,
}

impl Row {
    /// From the first to the last thing in it.
    fn reach(&self) -> (f64, f64) {
        let arrow = if self.inside { 0.0 } else { ARROW };
        self.words.iter().fold(
            (self.from - arrow, self.to + arrow),
            |(low, high), words| (low.min(words.from), high.max(words.to)),
        )
    }
}

/// What spans need right of the frame, in millimetres: an arrow, and the figure
/// of a far end that is the end of the axis.
pub(super) fn room(spans: &[Span], axis: &Axis, height: f64) -> f64 {
    spans.iter().fold(0.0, |room, span| {
        let [.., far] = &span.words;
        let wide = Face::of(Weight::Regular).advance(far, Length::mm(height));
        let ends = span.to == axis.to;
        let figure = if ends { wide.to_mm() } else { 0.0 };
        room.max(ARROW.max(figure) + BESIDE + AIR)
    })
}

/// The spans in rows above the frame; places are millimetres along the axis.
#[derive(Clone, Debug)]
pub(super) struct Rows {
    rows: Vec<Row>,
    height: f64,
}

impl Rows {
    /// Rows for the spans, with words of some height, none of which reach
    /// farther than `beyond` over the ends of the axis; `None` where one has no
    /// room at all.
    pub(super) fn of(spans: &[Span], rule: &Rule, height: f64, beyond: (f64, f64)) -> Option<Self> {
        let mut rows: Vec<Row> = Vec::new();
        for span in spans {
            let settings = settings(span, rule, height)?;
            let inside = |row: &Row| {
                let (low, high) = row.reach();
                low >= -beyond.0 && high <= rule.length + beyond.1
            };
            // The first that keeps to the page, if need be in a row of its own.
            let row = settings.into_iter().find(inside)?;
            let clear = |number: usize, row: &Row| {
                let (low, high) = row.reach();
                rows.iter()
                    .filter(|other| other.number == number)
                    .all(|other| {
                        let (from, to) = other.reach();
                        to + BETWEEN <= low || high + BETWEEN <= from
                    })
            };
            let number = (0..=rows.len()).find(|&number| clear(number, &row))?;
            rows.push(Row { number, ..row });
        }
        Some(Self { rows, height })
    }

    /// How far they reach above the frame, in millimetres.
    pub(super) fn depth(&self) -> f64 {
        let count = self.rows.iter().map(|row| row.number + 1).max();
        count.map_or(0.0, |count| FIRST + self.pitch() * count as f64)
    }

    fn pitch(&self) -> f64 {
        self.height * PITCH
    }

    /// The middle of a row, in millimetres above the frame.
    fn middle(&self, number: usize) -> f64 {
        FIRST + self.pitch() * number as f64 + self.height / 2.0
    }

    /// Where verticals run through the frame, in millimetres along the axis.
    pub(super) fn verticals(&self) -> Vec<f64> {
        self.rows
            .iter()
            .flat_map(|row| [row.from, row.to])
            .collect()
    }

    /// Everything of them, drop lines to the foot of the frame included.
    pub(super) fn draw(&self, frame: Rect) -> Vec<Item> {
        let point = |along: f64, up: f64| {
            Point::new(
                frame.left() + Length::mm(along),
                frame.top() - Length::mm(up),
            )
        };
        let mut items = Vec::new();
        for row in &self.rows {
            let up = self.middle(row.number);
            for along in [row.from, row.to] {
                let mut foot = -frame.height().to_mm();
                // Broken where it would run through words of a lower row.
                for other in self.passed(row.number, along) {
                    let middle = self.middle(other);
                    let half = self.height / 2.0 + 0.7;
                    items.push(Item::line(
                        point(along, foot),
                        point(along, middle - half),
                        Pen::FINE,
                    ));
                    foot = middle + half;
                }
                items.push(Item::line(
                    point(along, foot),
                    point(along, up + 1.2),
                    Pen::FINE,
                ));
            }
            let line = |from: f64, to: f64| Item::line(point(from, up), point(to, up), Pen::FINE);
            if row.inside {
                let [_, middle, _] = &row.words[..] else {
                    continue;
                };
                items.push(line(row.from, middle.from - BESIDE));
                items.push(line(middle.to + BESIDE, row.to));
                items.push(arrowhead(point(row.from, up), false));
                items.push(arrowhead(point(row.to, up), true));
            } else {
                items.push(line(row.from - ARROW, row.from));
                items.push(line(row.to, row.to + ARROW));
                items.push(arrowhead(point(row.from, up), true));
                items.push(arrowhead(point(row.to, up), false));
            }
            for words in &row.words {
                let at = point(words.from, up - self.height / 2.0);
                let run = TextRun::new(&words.text, Length::mm(self.height), at);
                items.push(if words.bold { run.bold() } else { run }.into());
            }
        }
        items
    }

    /// The rows below one whose words stand at a place, the lowest first.
    fn passed(&self, below: usize, along: f64) -> Vec<usize> {
        let over = |words: &Words| words.from - 0.7 < along && along < words.to + 0.7;
        let mut passed: Vec<usize> = self
            .rows
            .iter()
            .filter(|row| row.number < below && row.words.iter().any(over))
            .map(|row| row.number)
            .collect();
        passed.sort_unstable();
        passed.dedup();
        passed
    }
}

/// The ways to set a span, the one wished for first.
fn settings(span: &Span, rule: &Rule, height: f64) -> Option<Vec<Row>> {
    let (from, at, to) = (rule.on(span.from)?, rule.on(span.at)?, rule.on(span.to)?);
    let wide = |text: &str, bold: bool| {
        let weight = if bold { Weight::Bold } else { Weight::Regular };
        Face::of(weight).advance(text, Length::mm(height)).to_mm()
    };
    let [near, focus, far] = &span.words;
    let row = |inside: bool, words: Vec<Words>| Row {
        number: 0,
        from,
        to,
        inside,
        words,
    };
    // Words one after the other, ending or beginning at a place.
    let set = |texts: &[(&String, bool)], place: f64, ends: bool| {
        let total: f64 = texts.iter().map(|(text, bold)| wide(text, *bold)).sum();
        let total = total + BETWEEN * texts.len().saturating_sub(1) as f64;
        let mut pen = if ends { place - total } else { place };
        let mut words = Vec::new();
        for (text, bold) in texts {
            let end = pen + wide(text, *bold);
            words.push(Words {
                text: (*text).clone(),
                bold: *bold,
                from: pen,
                to: end,
            });
            pen = end + BETWEEN;
        }
        words
    };
    let mut settings = Vec::new();
    let half = wide(focus, true) / 2.0;
    // A head and a little line must show at both sides of the words.
    let least = BESIDE + 3.2;
    if to - from >= 2.0 * (half + least) {
        let middle = at.clamp(from + half + least, to - half - least);
        let mut words = set(&[(near, false)], from - BESIDE, true);
        words.extend(set(&[(focus, true)], middle - half, false));
        words.extend(set(&[(far, false)], to + BESIDE, false));
        settings.push(row(true, words));
    }
    let (left, right) = (from - ARROW - BESIDE, to + ARROW + BESIDE);
    let (near, focus, far) = ((near, false), (focus, true), (far, false));
    let sides: [(&[_], &[_]); 4] = [
        (&[focus, near], &[far]),
        (&[near], &[far, focus]),
        (&[focus, near, far], &[]),
        (&[], &[near, far, focus]),
    ];
    for (before, after) in sides {
        let mut words = set(before, left, true);
        words.extend(set(after, right, false));
        settings.push(row(false, words));
    }
    Some(settings)
}
