//! What stands on a piece beside its scale: triangles, stops, joints, ends.

use super::division::{FLAP, Piece, TAB};
use super::figures::Scale;
use super::frame::{Frame, run};
use super::piece::{WORDS, Whole};
use super::plan::HATCH;
use crate::draw::labels::Place;
use crate::scene::{Ink, Item, Path, Pen, Point, Weight};
use crate::units::Length;

/// Half the width of a triangle, at most.
const HALF: Length = Length::mm(1.25);
/// The line under it is no shorter.
const LINE: Length = Length::mm(0.45);
/// What is left of one between two marks.
const LEAST_HALF: Length = Length::mm(0.5);
/// Between a triangle and the mark beside it.
const BESIDE: Length = Length::mm(0.4);

/// How far a triangle reaches to either side: to one only where a mark stands
/// close on the other.
pub(in crate::draw) fn halves(
    (below, above): (Length, Length),
    widest: Length,
) -> (Length, Length) {
    let room = |free: Length| free >= widest + BESIDE;
    match (room(below), room(above)) {
        (true, true) => (widest, widest),
        _ => {
            let free = below.max(above);
            // Between two marks that cannot go there is little left.
            let half = (free - BESIDE).max(LEAST_HALF.min(free * 0.6));
            let half = half.min(widest * 1.5);
            if below > above {
                (half, Length::ZERO)
            } else {
                (Length::ZERO, half)
            }
        }
    }
}

impl Whole<'_> {
    /// The marks the tape is lined up on and checked at.
    pub(super) fn references(&self) -> Vec<Length> {
        let check = self.tape.check.as_ref().map(|check| check.at);
        core::iter::once(self.tape.align.at).chain(check).collect()
    }

    /// The alignment mark filled, the check mark open: a line from the witness
    /// edge, and on it a triangle under where leaders run.
    pub(super) fn triangles(&self, frame: &Frame, piece: &Piece, scale: &Scale) -> Vec<Item> {
        let rows = &self.rows;
        let tip = (rows.bare * 0.35).max(LINE);
        let top = rows.short - Length::mm(0.1);
        let widest = HALF.min((top - tip) * 0.55);
        let mut items = Vec::new();
        for (number, at) in self.references().into_iter().enumerate() {
            if at < piece.from || at > piece.to {
                continue;
            }
            let free = self.free_of_lines(piece, at, scale.free_beside(at));
            let (below, above) = halves(free, widest);
            let triangle = Path::polygon(&[
                frame.point(at, tip),
                frame.point(at - below, top),
                frame.point(at + above, top),
            ]);
            items.push(if number == 0 {
                Item::filled(triangle, Ink::Black)
            } else {
                Item::stroked(triangle, Pen::FINE)
            });
            items.push(frame.across(at, Length::ZERO, tip, Pen::HEAVY));
            // Up to its figure, or to where a leader begins.
            let end = match scale.place_at(at) {
                Some(Place::Straight) => rows.long,
                Some(Place::LeaderLeft | Place::LeaderRight) => rows.short,
                None => continue,
            };
            items.push(frame.across(at, top, end, Pen::HEAVY));
        }
        items
    }

    /// What is free beside a mark, with the lines that run across the whole tape
    /// counted: hard stops, the tail's, the piece's ends.
    fn free_of_lines(
        &self,
        piece: &Piece,
        at: Length,
        (below, above): (Length, Length),
    ) -> (Length, Length) {
        let plan = &self.plan;
        let stops = [plan.far_stop, plan.near_stop, plan.tail];
        let lines = stops.into_iter().flatten().chain([piece.from, piece.to]);
        lines.fold((below, above), |(below, above), line| {
            if line < at {
                (below.min(at - line), above)
            } else if line > at {
                (below, above.min(line - at))
            } else {
                (below, above)
            }
        })
    }

    /// Hard stops: a heavy line, hatched beyond it.
    pub(super) fn stops(&self, frame: &Frame, piece: &Piece) -> Vec<Item> {
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

    /// Where the next piece goes on, and what is stuck under it or cut off.
    pub(super) fn joints(&self, frame: &Frame, piece: &Piece) -> Vec<Item> {
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
    pub(super) fn closing(&self, frame: &Frame, piece: &Piece) -> Vec<Item> {
        let plan = &self.plan;
        let near_stop = plan.near_stop.filter(|_| plan.tail.is_none());
        let ends = [
            (piece.is_first(), plan.from, 1.1, plan.far_stop),
            (piece.is_last(), plan.to, -1.1, near_stop),
        ];
        let mut items = Vec::new();
        for (_, at, inward, stop) in ends.into_iter().filter(|end| plan.closes && end.0) {
            items.push(frame.across(at, Length::ZERO, frame.height, Pen::FINE));
            let inward = Length::mm(inward);
            // No tip on the hatching of a stop.
            if let Some(row) = self.rows.middle.filter(|_| stop.is_none()) {
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
