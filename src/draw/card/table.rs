//! The table face: how far the subject may miss, at up to five stops.

use super::face::{self, Beside, Body, Needs, Space};
use super::fit::{distance, miss, widest};
use super::{CardStyle, LARGER, title};
use crate::scene::{Face, Item, Pen, Point, TextRun, Weight};
use crate::sheets::{Card, MissLine};
use crate::units::{Length, Unit};

/// The stops at the head of the columns, as large as fits; room for them.
const STOP: [f64; 4] = [4.0, 3.5, 3.0, 2.5];
const STOPS: f64 = 6.2;
/// The same on a page of its own, in so many times their height.
const ALONE: f64 = 1.8;
/// Between the two misses of a cell, in heights of theirs.
const GAP: f64 = 0.16;
/// The pitch that misses of a height would like, in heights of theirs.
const AIRY: f64 = 2.7;
/// The least pitch, in heights of the misses and of the distance.
const CLOSE: (f64, f64) = (2.6, 1.5);
/// Pitches that will do for the figures beside them, the one wished for first.
const PITCHES: [f64; 3] = [6.8, 6.4, 6.1];
/// Misses and distances those are for.
const OF_FIGURES: (f64, f64) = (2.5, 4.0);
/// No wider, for the sake of lines that hold together.
const WIDEST_PITCH: Length = Length::mm(11.0);
const WIDEST_COLUMN: Length = Length::mm(26.0);
/// The same on a page of its own.
const WIDEST_ALONE: (Length, Length) = (Length::mm(22.0), Length::mm(42.0));
const CAPTION: Length = Length::mm(2.0);
/// The distance, in heights of the misses beside it.
const FOCUS: f64 = 1.6;
/// Between the mark ≈ and a distance.
const NEXT: Length = Length::mm(0.6);
/// Between columns, at least.
const BETWEEN: Length = Length::mm(0.6);

/// The face, in black; `None` where its figures have no room.
pub(super) fn draw(card: &Card, space: &Space, style: &CardStyle<'_>) -> Option<Vec<Item>> {
    let signs = match card.unit {
        Unit::Feet => "− nearer  + farther",
        Unit::Metres => "− nearer  + farther, cm",
    };
    let title = title(card, style.alone());
    let beside = Beside::Words(["may miss the mark", signs]);
    let (mut items, rule) = face::head(&title, space, &beside);
    let asked = Asked {
        card,
        space,
        style,
        rule,
    };
    let mut set = asked.light()?;
    if style.large {
        set = asked.large(set.columns.miss * LARGER, set.columns.focus * LARGER)?;
    }
    let top = set.top;
    items.extend(set.columns.head(card, top));
    let mut down = top;
    let rule = |y| {
        let [left, right] = [space.inner.left(), space.inner.right()].map(|x| Point::new(x, y));
        Item::line(left, right, Pen::FINE)
    };
    for line in &set.lines {
        items.push(rule(down));
        items.extend(set.columns.line(line, card.unit, down, set.pitch));
        down = down + set.pitch;
    }
    items.push(rule(down));
    items.extend(face::foot(&title, space, &set.body.foot));
    Some(items)
}

/// How a face was set: which lines, how large.
struct Set<'a> {
    lines: Vec<&'a MissLine>,
    top: Length,
    pitch: Length,
    body: Body,
    columns: Columns,
}

/// What is to be set.
struct Asked<'a> {
    card: &'a Card,
    space: &'a Space,
    style: &'a CardStyle<'a>,
    /// The rule under the head.
    rule: Length,
}

impl<'a> Asked<'a> {
    fn most_lines(&self) -> usize {
        self.card.table.lines.len().min(self.style.layout.lines)
    }

    fn lines(&self, count: usize) -> Vec<&'a MissLine> {
        let all = self.card.table.lines.iter();
        all.filter(|line| line.rank < count).collect()
    }

    /// The `count` stops one needs first, from the widest on: the working stop,
    /// wide open, then what is nearest to the working stop.
    fn stops(&self, count: usize) -> Vec<usize> {
        let all = &self.card.table.stops;
        let working = all.iter().position(|stop| *stop == self.card.stop);
        let working = working.unwrap_or(0);
        let mut order: Vec<usize> = (0..all.len()).collect();
        order.sort_by_key(|&at| match at {
            at if at == working => 0,
            0 => 1,
            at => 2 + at.abs_diff(working),
        });
        order.truncate(count);
        order.sort_unstable();
        order
    }

    fn body(&self, lines: usize, top: Length, pitches: &[Length]) -> Option<Body> {
        let needs = Needs {
            top,
            lines,
            pitches,
            between: Length::mm(1.4),
            foot: &self.card.table.foot,
        };
        Body::share(&needs, self.space)
    }

    fn most_stops(&self) -> usize {
        self.card.table.stops.len().min(self.style.layout.stops)
    }

    /// As many lines as have room, and then as large as fits.
    fn light(&self) -> Option<Set<'a>> {
        let (miss, focus) = (self.style.layout.others, self.style.layout.limits);
        let scale = (miss / OF_FIGURES.0).max(focus / OF_FIGURES.1).to_mm();
        let pitches = PITCHES.map(|pitch| Length::mm(pitch * scale));
        let (widest, column, grown) = if self.style.alone() {
            (WIDEST_ALONE.0, WIDEST_ALONE.1, ALONE)
        } else {
            (WIDEST_PITCH, WIDEST_COLUMN, 1.0)
        };
        let stops = self.stops(self.most_stops());
        let heads = STOP.map(|size| size * grown);
        let top = self.rule + Length::mm(STOPS * grown);
        (1..=self.most_lines()).rev().find_map(|count| {
            let lines = self.lines(count);
            let body = self.body(count, top, &pitches)?;
            let pitch = body.pitch.min(widest.max(pitches[0]));
            let wished = (pitch / AIRY).max(miss);
            let columns = (0..=10)
                .map(|tenth| wished + (miss - wished) * (f64::from(tenth) / 10.0))
                .find_map(|miss| {
                    let sizes = (miss, (miss * FOCUS).max(focus));
                    Columns::of(
                        self.card,
                        &lines,
                        &stops,
                        sizes,
                        (column, heads),
                        self.space,
                    )
                })?;
            Some(Set {
                lines,
                top,
                pitch,
                body,
                columns,
            })
        })
    }

    /// The most lines and stops, by their product, with figures of given heights.
    fn large(&self, miss: Length, focus: Length) -> Option<Set<'a>> {
        let pitch = (miss * CLOSE.0).max(focus * CLOSE.1);
        let heads = STOP.map(|size| size * LARGER);
        let top = self.rule + Length::mm(STOPS * LARGER);
        let column = WIDEST_ALONE.1;
        let mut best: Option<(usize, Set<'a>)> = None;
        for stops in (1..=self.most_stops()).rev().map(|count| self.stops(count)) {
            let set = (1..=self.most_lines()).rev().find_map(|count| {
                let lines = self.lines(count);
                let body = self.body(count, top, &[pitch])?;
                let sizes = (miss, focus);
                let columns = Columns::of(
                    self.card,
                    &lines,
                    &stops,
                    sizes,
                    (column, heads),
                    self.space,
                )?;
                Some(Set {
                    lines,
                    top,
                    pitch: body.pitch.min(pitch * 1.3),
                    body,
                    columns,
                })
            });
            if let Some(set) = set {
                let worth = set.lines.len() * stops.len();
                if best.as_ref().is_none_or(|(best, _)| worth > *best) {
                    best = Some((worth, set));
                }
            }
        }
        best.map(|(_, set)| set)
    }
}

/// Between stops of a height over their columns: 1 mm, more between larger ones.
fn apart(height: Length) -> Length {
    Length::mm(1.0).max(height * 0.45)
}

/// The columns of stops on both sides of the distances.
struct Columns {
    miss: Length,
    focus: Length,
    /// The columns of stops from left to right: which stop, and their middle.
    stops: Vec<(usize, Length)>,
    /// Heights the stops at their heads may have.
    heads: [f64; 4],
    /// The middle of the distances.
    middle: Length,
    /// Width of a column of stops.
    width: Length,
    /// Half the widest miss: figures stand right-aligned about the middle.
    half: Length,
}

impl Columns {
    /// Columns for misses and distances of given heights, no wider than said;
    /// `None` where they have no room.
    fn of(
        card: &Card,
        lines: &[&MissLine],
        stops: &[usize],
        (miss, focus): (Length, Length),
        (widest_column, heads): (Length, [f64; 4]),
        space: &Space,
    ) -> Option<Self> {
        let distances: Vec<String> = lines
            .iter()
            .map(|line| distance(&line.focus, card.unit))
            .collect();
        let misses: Vec<String> = lines
            .iter()
            .flat_map(|line| stops.iter().filter_map(|&stop| line.misses.get(stop)))
            .flat_map(|(nearer, farther)| [nearer, farther].map(|text| self::miss(text, card.unit)))
            .collect();
        let widest_miss = widest(misses.iter().map(String::as_str), Weight::Regular, miss);
        let widest_focus = widest(distances.iter().map(String::as_str), Weight::Bold, focus);
        let mark = if lines.iter().any(|line| line.cautious) {
            Face::of(Weight::Regular).advance("≈", miss) + NEXT
        } else {
            Length::ZERO
        };
        let count = stops.len();
        let room = space.inner.width();
        let middle_width = widest_focus + mark + Length::mm(2.0);
        let width = ((room - middle_width) / count.max(1) as f64).min(widest_column);
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
            stops: stops
                .iter()
                .enumerate()
                .map(|(at, &stop)| (stop, column(at)))
                .collect(),
            heads,
            middle,
            width,
            half: widest_miss / 2.0,
        })
    }

    /// The stops, and what the middle column is in.
    fn head(&self, card: &Card, bottom: Length) -> Vec<Item> {
        let baseline = bottom - Length::mm(1.2);
        let shown = || {
            let stop = |&(stop, x): &(usize, Length)| Some((card.table.stops.get(stop)?, x));
            self.stops.iter().filter_map(stop)
        };
        let fits = |height: &Length| {
            let room = self.width - apart(*height);
            let words = shown().map(|(stop, _)| stop.as_str());
            widest(words, Weight::Bold, *height) <= room
        };
        let sizes = self.heads.into_iter().chain(STOP).map(Length::mm);
        let size = sizes.into_iter().find(fits);
        let size = size.unwrap_or(Length::mm(STOP[3]));
        let heads = shown().map(|(stop, x)| {
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
        let cells = self.stops.iter();
        let cells = cells.filter_map(|&(stop, x)| Some((line.misses.get(stop)?, x)));
        for ((nearer, farther), x) in cells {
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
