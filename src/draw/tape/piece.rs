//! One piece of a tape, as it is read.

use super::arrow::{SHORTEST, arrow};
use super::figures::{Collision, Scale, Stretch};
use super::frame::{Frame, run};
use super::identity::{Identity, tail_line};
use super::lie::Lie;
use super::line::Line;
use super::plan::{FLAP, HATCH, Piece, Plan, TAB};
use super::rows::{Row, Rows};
use super::sharp::sharp;
use crate::scale::Standing;
use crate::scene::{Ink, Item, Path, Pen, Point, Rect, Weight};
use crate::sheets::Tape;
use crate::units::{Length, Unit};

const WORDS: Length = Length::mm(2.0);
/// Figures keep this from cut ends, stops and joints.
const CLEAR: Length = Length::mm(0.6);
/// Half the width and the height of the triangles.
const TRIANGLE: (Length, Length) = (Length::mm(1.25), Length::mm(2.3));

/// A drawn piece: its top left corner is the origin.
#[derive(Clone, Debug)]
pub(super) struct Drawn {
    pub(super) marks: Vec<Item>,
    pub(super) cuts: Vec<Item>,
    pub(super) height: Length,
}

/// What all pieces of a tape share.
pub(super) struct Whole<'a> {
    pub(super) tape: &'a Tape,
    pub(super) lie: Lie,
    pub(super) rows: Rows,
    pub(super) plan: Plan,
    pub(super) identity: &'a Identity,
}

impl Whole<'_> {
    pub(super) fn piece(&self, piece: &Piece) -> Result<Drawn, Collision> {
        let (tape, rows, plan) = (self.tape, &self.rows, &self.plan);
        let (from, to) = piece.ends();
        let frame = Frame {
            lie: self.lie,
            height: rows.height,
            from,
            to,
        };
        let stretch = self.stretch(piece);
        let large = Scale::large(&tape.marks, tape.unit, stretch, rows)?;
        let kept_clear = self.triangles_clear();
        let mut marks = self.triangles(&frame, piece);
        marks.extend(large.on_witness(&frame, rows, &kept_clear));
        if let Some(row) = &rows.small {
            let other = match tape.unit {
                Unit::Feet => Unit::Metres,
                Unit::Metres => Unit::Feet,
            };
            let small = Scale::small(&tape.other_marks, other, stretch, row);
            marks.extend(small.on_far_edge(&frame, rows, row));
        }
        marks.extend(self.stops(&frame, piece));
        marks.extend(self.words(&frame, piece, stretch, &large));
        if let Some(tail) = plan.tail.filter(|_| piece.is_last()) {
            marks.push(tail_line(&frame, tail));
            let (left, right) = frame.span(tail, plan.to);
            marks.extend(
                self.identity
                    .tail(self.lie, left, right - left, rows.height),
            );
        }
        marks.extend(self.joints(&frame, piece));
        marks.extend(self.closing(&frame, piece));
        let outline = Rect::between(Point::ORIGIN, Point::new(frame.length(), rows.height));
        Ok(Drawn {
            marks,
            cuts: vec![Item::stroked(Path::rectangle(outline), Pen::CUT)],
            height: rows.height,
        })
    }

    /// Which ticks this piece has, and where their figures may stand.
    fn stretch(&self, piece: &Piece) -> Stretch {
        let plan = &self.plan;
        let far = plan.far_stop.filter(|_| piece.is_first());
        let near = plan.near_stop.or(plan.tail).filter(|_| piece.is_last());
        Stretch {
            from: piece.from,
            to: piece.to,
            clear_from: far.unwrap_or(piece.from) + CLEAR,
            clear_to: near.unwrap_or(piece.to) - CLEAR,
        }
    }

    /// The alignment mark filled, the check mark open, tips on the witness edge.
    fn triangles(&self, frame: &Frame, piece: &Piece) -> Vec<Item> {
        let align = self.tape.align.at;
        let check = self.tape.check.as_ref().map(|check| check.at);
        let room = check.map_or(TRIANGLE.0, |check| {
            (align - check).abs() / 2.0 - Length::mm(0.2)
        });
        let half = TRIANGLE.0.min(room).max(Length::mm(0.4));
        let up = TRIANGLE.1.min(self.rows.bare.max(self.rows.short * 0.8));
        let here = |at: &Length| *at >= piece.from && *at <= piece.to;
        let shape = |at: Length| {
            Path::polygon(&[
                frame.point(at, Length::ZERO),
                frame.point(at - half, up),
                frame.point(at + half, up),
            ])
        };
        // An engraved line need not be one of the tape's own distances.
        let line = |at: Length| frame.across(at, Length::ZERO, self.rows.short, Pen::FINE);
        let filled = Some(align)
            .filter(here)
            .map(|at| [Item::filled(shape(at), Ink::Black), line(at)]);
        let open = check
            .filter(here)
            .map(|at| [Item::stroked(shape(at), Pen::FINE), line(at)]);
        filled.into_iter().chain(open).flatten().collect()
    }

    fn triangles_clear(&self) -> Vec<(Length, Length)> {
        let wide = TRIANGLE.0 + Length::mm(0.4);
        let check = self.tape.check.as_ref().map(|check| (check.at, wide));
        core::iter::once((self.tape.align.at, wide))
            .chain(check)
            .collect()
    }

    /// Hard stops: a heavy line, hatched beyond it.
    fn stops(&self, frame: &Frame, piece: &Piece) -> Vec<Item> {
        let far = self.plan.far_stop.filter(|_| piece.is_first());
        let near = self.plan.near_stop.filter(|_| piece.is_last());
        let end = self.plan.tail.unwrap_or(self.plan.to);
        let mut items = Vec::new();
        let sides = [
            far.map(|at| (at, -HATCH.min(at - self.plan.from))),
            near.map(|at| (at, HATCH.min(end - at))),
        ];
        for (at, beyond) in sides.into_iter().flatten() {
            items.push(frame.across(at, Length::ZERO, frame.height, Pen::HEAVY));
            let step = Length::mm(1.6);
            let mut up = Length::ZERO;
            while up + HATCH <= frame.height {
                items.push(Item::line(
                    frame.point(at, up),
                    frame.point(at + beyond, up + HATCH),
                    Pen::FINE,
                ));
                up = up + step;
            }
        }
        items
    }

    /// Sharp dimension, the standing and, without a tail, who it is.
    fn words(&self, frame: &Frame, piece: &Piece, stretch: Stretch, large: &Scale) -> Vec<Item> {
        let tape = self.tape;
        let inset = Length::mm(1.4);
        let (left, right) = frame.span(stretch.clear_from, stretch.clear_to);
        let mut line = Line::new(left + inset, right - inset);
        let row = self.rows.middle.unwrap_or(Row {
            foot: self.rows.large.foot,
            height: WORDS,
        });
        let baseline = frame.baseline(row.foot, WORDS);
        let mut items = Vec::new();
        if self.rows.middle.is_some() {
            if let Some(band) = &tape.sharp {
                items.extend(sharp(band, frame, row, &mut line));
            }
        } else {
            for (one, other) in large.taken() {
                let (left, right) = frame.span(one, other);
                line.take(left, right);
            }
        }
        // Toward close focus, where marks are far apart.
        let near = frame.x(stretch.clear_to);
        if self.plan.tail.is_none() && piece.is_last() {
            let mut who = |line: &mut Line| {
                let place = |width| line.place(width, near);
                items.extend(self.identity.in_line(place, baseline));
            };
            // Between figures the longest stretch is for the words.
            if self.rows.middle.is_none() {
                who(&mut line);
                items.extend(self.turning(&mut line, near, baseline));
            } else {
                let arrow = self.turning(&mut line, near, baseline);
                who(&mut line);
                items.extend(arrow);
            }
        }
        if !piece.is_last() {
            let words = format!(
                "{} mm · piece {} of {} · {}",
                self.tape.names.focal,
                piece.number + 1,
                piece.of,
                tape.code
            );
            items.extend(words_in(
                &mut line,
                &[&words],
                Weight::Regular,
                near,
                baseline,
            ));
        }
        let middle = (left + right) / 2.0;
        let standing = match tape.standing {
            Standing::Measured => return items,
            Standing::Engraved => "ENGRAVED, NOT MEASURED: VERIFY BY EYE",
            Standing::Computed => "COMPUTED, NOT MEASURED: VERIFY BY EYE",
        };
        items.extend(words_in(
            &mut line,
            &[standing, "VERIFY BY EYE"],
            Weight::Bold,
            middle,
            baseline,
        ));
        items
    }

    /// The arrow, as long as there is room for.
    fn turning(&self, line: &mut Line, near: Length, baseline: Length) -> Vec<Item> {
        let widths = [30.0, 20.0, 12.0, SHORTEST.to_mm()].map(Length::mm);
        let placed = widths
            .into_iter()
            .find_map(|width| line.place(width, near).map(|left| (left, width)));
        placed.map_or_else(Vec::new, |(left, width)| {
            let top = Point::new(left, baseline - WORDS);
            arrow(self.lie.turn(), top, width, WORDS)
        })
    }

    /// Where the next piece goes on, and what is stuck under it or cut off.
    fn joints(&self, frame: &Frame, piece: &Piece) -> Vec<Item> {
        let mut items = Vec::new();
        let foot = self.rows.large.foot;
        let mut joint = |at: Length, outward: Length, letter: char, what: &str| {
            items.push(frame.across(at, Length::ZERO, frame.height, Pen::HEAVY));
            let middle = frame.x(at + outward / 2.0);
            let letter_height = self.rows.large.height;
            let letter_at = Point::new(middle, frame.baseline(foot, letter_height));
            let letter = run(&letter.to_string(), Weight::Bold, letter_height, letter_at);
            items.push(letter.middle().into());
            if let Some(row) = self.rows.middle.or(self.rows.small) {
                let at = Point::new(middle, frame.baseline(row.foot, WORDS));
                items.push(run(what, Weight::Regular, WORDS, at).middle().into());
            }
        };
        if !piece.is_first() {
            joint(
                piece.from,
                -FLAP,
                Piece::letter(piece.number - 1),
                "cut off",
            );
        }
        if !piece.is_last() {
            joint(piece.to, TAB, Piece::letter(piece.number), "under");
        }
        items
    }

    /// The two ends that meet round the ring: whole lines, each with a tip
    /// against it where there is a row for that.
    fn closing(&self, frame: &Frame, piece: &Piece) -> Vec<Item> {
        let plan = &self.plan;
        let ends = [
            (piece.is_first(), plan.from, Length::mm(1.1)),
            (piece.is_last(), plan.to, Length::mm(-1.1)),
        ];
        let mut items = Vec::new();
        for (_, at, inward) in ends.into_iter().filter(|end| plan.closes && end.0) {
            items.push(frame.across(at, Length::ZERO, frame.height, Pen::FINE));
            if let Some(row) = self.rows.middle {
                let half = Length::mm(0.8);
                let up = row.foot + row.height / 2.0;
                let tip = Path::polygon(&[
                    frame.point(at, up),
                    frame.point(at + inward, up + half),
                    frame.point(at + inward, up - half),
                ]);
                items.push(Item::filled(tip, Ink::Black));
            }
        }
        items
    }
}

/// The first of several wordings that finds room.
fn words_in(
    line: &mut Line,
    wordings: &[&str],
    weight: Weight,
    near: Length,
    baseline: Length,
) -> Option<Item> {
    wordings.iter().find_map(|words| {
        let wide = run(words, weight, WORDS, Point::ORIGIN).width();
        let left = line.place(wide, near)?;
        Some(run(words, weight, WORDS, Point::new(left, baseline)).into())
    })
}
