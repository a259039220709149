//! The table face: how far the subject may miss, at up to five stops.

use super::face::{self, Beside, Body, Needs, Space};
use super::fit::{distance, miss, widest};
use crate::scene::{Face, Item, Pen, Point, TextRun, Weight};
use crate::sheets::{Card, MissLine};
use crate::units::{Length, Unit};

/// Least height of the misses, and of the distance between them.
const MISS: Length = Length::mm(2.5);
const FOCUS: Length = Length::mm(4.0);
/// The stops at the head of the columns, as large as fits; room for them.
const STOP: [f64; 4] = [4.0, 3.5, 3.0, 2.5];
const STOPS: Length = Length::mm(6.2);
/// Between the two misses of a cell, in heights of theirs.
const GAP: f64 = 0.16;
/// The pitch that misses of a height would like, in heights of theirs.
const AIRY: f64 = 2.7;
/// Pitches that will do, the one wished for first.
const PITCHES: [Length; 3] = [Length::mm(6.8), Length::mm(6.4), Length::mm(6.1)];
/// No wider, for the sake of lines that hold together.
const WIDEST_PITCH: Length = Length::mm(11.0);
const WIDEST_COLUMN: Length = Length::mm(26.0);
const CAPTION: Length = Length::mm(2.0);
/// Between the mark ≈ and a distance.
const NEXT: Length = Length::mm(0.6);
/// Between columns, at least.
const BETWEEN: Length = Length::mm(0.6);

/// The face, in black; `None` where its figures have no room.
pub(super) fn draw(card: &Card, space: &Space) -> Option<Vec<Item>> {
    let signs = match card.unit {
        Unit::Feet => "− nearer  + farther",
        Unit::Metres => "− nearer  + farther, cm",
    };
    let beside = Beside::Words(["may miss the mark", signs]);
    let (mut items, rule) = face::head(card, space, &beside, false);
    let top = rule + STOPS;
    let needs = Needs {
        top,
        lines: card.table.lines.len(),
        pitches: PITCHES,
        between: Length::mm(1.4),
        foot: &card.table.foot,
    };
    let body = Body::share(&needs, space)?;
    let pitch = body.pitch.min(WIDEST_PITCH);
    let columns = Columns::fitting(card, pitch, space)?;
    items.extend(columns.head(card, top));
    let mut down = top;
    let rule = |y| {
        let [left, right] = [space.inner.left(), space.inner.right()].map(|x| Point::new(x, y));
        Item::line(left, right, Pen::FINE)
    };
    for line in &card.table.lines {
        items.push(rule(down));
        items.extend(columns.line(line, card.unit, down, pitch));
        down = down + pitch;
    }
    items.push(rule(down));
    items.extend(face::foot(card, space, &body.foot, false));
    Some(items)
}

/// The columns of stops on both sides of the distances.
struct Columns {
    miss: Length,
    focus: Length,
    /// The middles of the columns of stops, from left to right.
    stops: Vec<Length>,
    /// The middle of the distances.
    middle: Length,
    /// Width of a column of stops.
    width: Length,
    /// Half the widest miss: figures stand right-aligned about the middle.
    half: Length,
}

impl Columns {
    fn fitting(card: &Card, pitch: Length, space: &Space) -> Option<Self> {
        let wished = (pitch / AIRY).max(MISS);
        (0..=10)
            .map(|tenth| wished + (MISS - wished) * (f64::from(tenth) / 10.0))
            .find_map(|miss| Self::of(card, miss, space))
    }

    fn of(card: &Card, miss: Length, space: &Space) -> Option<Self> {
        let lines = &card.table.lines;
        let distances: Vec<String> = lines
            .iter()
            .map(|line| distance(&line.focus, card.unit))
            .collect();
        let misses: Vec<String> = lines
            .iter()
            .flat_map(|line| &line.misses)
            .flat_map(|(nearer, farther)| [nearer, farther].map(|text| self::miss(text, card.unit)))
            .collect();
        let focus = (miss * 1.6).max(FOCUS);
        let widest_miss = widest(misses.iter().map(String::as_str), Weight::Regular, miss);
        let widest_focus = widest(distances.iter().map(String::as_str), Weight::Bold, focus);
        let mark = if lines.iter().any(|line| line.cautious) {
            Face::of(Weight::Regular).advance("≈", miss) + NEXT
        } else {
            Length::ZERO
        };
        let count = card.table.stops.len();
        let room = space.inner.width();
        let middle_width = widest_focus + mark + Length::mm(2.0);
        let width = ((room - middle_width) / count.max(1) as f64).min(WIDEST_COLUMN);
        if width < widest_miss + BETWEEN {
            return None;
        }
        let left_count = count / 2;
        let block = width * count as f64 + middle_width;
        let left = space.inner.left() + (room - block) / 2.0;
        let middle = left + width * left_count as f64 + (middle_width + mark) / 2.0;
        let column = |index: usize| {
            let before = width * index as f64 + width / 2.0;
            if index < left_count {
                left + before
            } else {
                left + before + middle_width
            }
        };
        Some(Self {
            miss,
            focus,
            stops: (0..count).map(column).collect(),
            middle,
            width,
            half: widest_miss / 2.0,
        })
    }

    /// The stops, and what the middle column is in.
    fn head(&self, card: &Card, bottom: Length) -> Vec<Item> {
        let baseline = bottom - Length::mm(1.2);
        let stops = &card.table.stops;
        let fits = |height: &Length| {
            let room = self.width - Length::mm(1.0);
            widest(stops.iter().map(String::as_str), Weight::Bold, *height) <= room
        };
        let sizes = STOP.map(Length::mm);
        let [.., smallest] = sizes;
        let size = sizes.into_iter().find(fits).unwrap_or(smallest);
        let heads = stops.iter().zip(&self.stops).map(|(stop, &x)| {
            let run = TextRun::new(stop, size, Point::new(x, baseline));
            run.bold().middle().into()
        });
        let words = match card.unit {
            Unit::Feet => "focus",
            Unit::Metres => "metres",
        };
        let caption = TextRun::new(words, CAPTION, Point::new(self.middle, baseline)).middle();
        heads.chain([caption.into()]).collect()
    }

    fn line(&self, line: &MissLine, unit: Unit, top: Length, pitch: Length) -> Vec<Item> {
        let run =
            |text: &str, height, x, baseline| TextRun::new(text, height, Point::new(x, baseline));
        let baseline = top + (pitch + self.focus) / 2.0;
        let focus = run(
            &distance(&line.focus, unit),
            self.focus,
            self.middle,
            baseline,
        );
        let focus = focus.bold().middle();
        let mut items: Vec<Item> = Vec::new();
        if line.cautious {
            let x = self.middle - focus.width() / 2.0 - NEXT;
            items.push(run("≈", self.miss, x, baseline).end().into());
        }
        items.push(focus.into());
        // Both lines of a cell as one, in the middle of the pitch.
        let between = self.miss * GAP;
        let first = top + (pitch - between) / 2.0;
        for ((nearer, farther), &x) in line.misses.iter().zip(&self.stops) {
            let edge = x + self.half;
            items.push(
                run(&miss(nearer, unit), self.miss, edge, first)
                    .end()
                    .into(),
            );
            let second = first + between + self.miss;
            items.push(
                run(&miss(farther, unit), self.miss, edge, second)
                    .end()
                    .into(),
            );
        }
        items
    }
}
