//! The pieces of a tape, as they are read.

use super::division::Piece;
use super::figures::{Collision, Marks, Scale, Stretch};
use super::frame::Frame;
use super::identity::{Identity, Unsaid};
use super::lie::Lie;
use super::plan::Plan;
use super::rows::Rows;
use super::tail::tail_line;
use crate::scene::{Item, Path, Pen, Point, Rect};
use crate::sheets::{Tape, Worth};
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

/// What is given up so that a tape without a tail says what it must.
#[derive(Clone, Copy, Debug)]
pub(super) struct Effort {
    /// Which wording, the fullest first.
    wording: usize,
    /// Figures worth less are left out.
    least: Worth,
    /// Whether the dimension of what is sharp is drawn.
    pub(super) dimension: bool,
    /// Whether the small figures are, or words in their row.
    pub(super) other_unit: bool,
}

/// All pieces of a tape.
pub(super) struct Pieces {
    pub(super) drawn: Vec<Drawn>,
    /// Whether the tape says who it is and which way to turn.
    pub(super) complete: bool,
}

impl Whole<'_> {
    /// Every piece, with as little given up as need be.
    pub(super) fn pieces(&self, pieces: &[Piece]) -> Result<Pieces, Collision> {
        let mut best: Option<(usize, Vec<Drawn>)> = None;
        for effort in self.efforts() {
            let mut unsaid = match self.plan.tail {
                Some(_) => Unsaid::default(),
                None => self.identity.unsaid(effort.wording),
            };
            // Toward close focus marks are far apart: what goes there goes there.
            let drawn = pieces
                .iter()
                .rev()
                .map(|piece| self.piece(piece, effort, &mut unsaid))
                .collect::<Result<Vec<_>, _>>()?;
            let left = unsaid.count();
            if best.as_ref().is_none_or(|best| left < best.0) {
                best = Some((left, drawn));
            }
            if left == 0 {
                break;
            }
        }
        let (left, mut drawn) = best.unwrap_or_default();
        drawn.reverse();
        Ok(Pieces {
            drawn,
            complete: left == 0,
        })
    }

    /// What to try, one after the other.
    fn efforts(&self) -> Vec<Effort> {
        let all = Effort {
            wording: 0,
            least: Worth::NONE,
            dimension: true,
            other_unit: true,
        };
        let efforts: Vec<Effort> = match (self.plan.tail, self.rows.middle) {
            (Some(_), _) => return vec![all],
            (None, Some(_)) => [(true, true), (false, true), (false, false)]
                .map(|(dimension, other_unit)| Effort {
                    dimension,
                    other_unit,
                    ..all
                })
                .to_vec(),
            (None, None) => [0, 50, 75, 90, u32::MAX]
                .map(|least| Effort {
                    least: Worth::of(least),
                    ..all
                })
                .to_vec(),
        };
        let wordings = 0..self.identity.wordings();
        let worded = |effort| {
            wordings
                .clone()
                .map(move |wording| Effort { wording, ..effort })
        };
        efforts.into_iter().flat_map(worded).collect()
    }

    fn piece(
        &self,
        piece: &Piece,
        effort: Effort,
        unsaid: &mut Unsaid,
    ) -> Result<Drawn, Collision> {
        let (tape, rows, plan) = (self.tape, &self.rows, &self.plan);
        let (from, to) = piece.ends();
        let frame = Frame {
            lie: self.lie,
            height: rows.height,
            from,
            to,
        };
        let stretch = self.stretch(piece);
        let references = self.references();
        let of_large = Marks {
            ticks: &tape.marks,
            unit: tape.unit,
            references: &references,
            least: effort.least,
        };
        let large = Scale::large(of_large, stretch, [rows.large.height, rows.minor])?;
        let mut marks = self.triangles(&frame, piece, &large);
        marks.extend(large.on_witness(&frame, rows, stretch));
        if let Some(row) = rows.small.as_ref().filter(|_| effort.other_unit) {
            let other = match tape.unit {
                Unit::Feet => Unit::Metres,
                Unit::Metres => Unit::Feet,
            };
            let of_small = Marks {
                ticks: &tape.other_marks,
                unit: other,
                references: &[],
                least: Worth::NONE,
            };
            let small = Scale::small(of_small, stretch, row);
            marks.extend(small.on_far_edge(&frame, rows, row));
        }
        marks.extend(self.stops(&frame, piece));
        marks.extend(self.words(&frame, piece, &large, effort, unsaid));
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
    pub(super) fn stretch(&self, piece: &Piece) -> Stretch {
        let plan = &self.plan;
        let far = plan.far_stop.filter(|_| piece.is_first());
        let near = plan.near_stop.or(plan.tail).filter(|_| piece.is_last());
        Stretch {
            from: piece.from,
            to: piece.to,
            clear_from: far.unwrap_or(piece.from) + CLEAR,
            clear_to: near.unwrap_or(piece.to) - CLEAR,
            nearer: self.lie.nearer,
        }
    }
}
