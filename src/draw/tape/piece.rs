//! One piece of a tape, as it is read.

use super::arrow::{SHORTEST, arrow};
use super::division::Piece;
use super::figures::{Collision, Scale, Stretch};
use super::frame::{Frame, run};
use super::identity::Identity;
use super::lie::Lie;
use super::line::Line;
use super::plan::Plan;
use super::rows::{Row, Rows};
use super::sharp::sharp;
use super::tail::tail_line;
use crate::scale::Standing;
use crate::scene::{Item, Path, Pen, Point, Rect, Weight};
use crate::sheets::Tape;
use crate::units::{Length, Unit};

pub(super) const WORDS: Length = Length::mm(2.0);
/// Figures keep this from cut ends, stops and joints.
const CLEAR: Length = Length::mm(0.6);
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
