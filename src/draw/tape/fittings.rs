//! What stands on a piece beside its scale: triangles, stops, joints, ends.

use super::division::{FLAP, Piece, TAB};
use super::frame::{Frame, run};
use super::piece::{WORDS, Whole};
use super::plan::HATCH;
use crate::scene::{Ink, Item, Path, Pen, Point, Weight};
use crate::units::Length;

/// Half the width and the height of the triangles.
const TRIANGLE: (Length, Length) = (Length::mm(1.25), Length::mm(2.3));

impl Whole<'_> {
    /// The alignment mark filled, the check mark open, tips on the witness edge.
    pub(super) fn triangles(&self, frame: &Frame, piece: &Piece) -> Vec<Item> {
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

    pub(super) fn triangles_clear(&self) -> Vec<(Length, Length)> {
        let wide = TRIANGLE.0 + Length::mm(0.4);
        let check = self.tape.check.as_ref().map(|check| (check.at, wide));
        core::iter::once((self.tape.align.at, wide))
            .chain(check)
            .collect()
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
