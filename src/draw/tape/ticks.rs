//! A scale whose figures are chosen, drawn.

use super::figures::{Scale, Stretch};
use super::frame::{Frame, run};
use super::rows::{Row, Rows};
use super::unit::{UNIT, UNIT_GAP, name_of};
use crate::draw::labels::{Chosen, Place};
use crate::scene::{Item, Pen, Point, Weight};
use crate::sheets::{Tick, Worth};
use crate::units::Length;

/// Ticks closer than this run together on a dark set.
const CLEAR: Length = Length::mm(0.8);
/// What a triangle takes beside the mark the tape is lined up on.
const TRIANGLE: Length = Length::mm(1.4);

impl<'a> Scale<'a> {
    /// Which ticks are drawn: those with figures, and of the others, the
    /// worthiest first, those clear of all drawn so far.
    pub(in crate::draw) fn drawn(&self) -> Vec<(&'a Tick, Option<&Chosen>)> {
        let mut drawn: Vec<(&Tick, Option<&Chosen>)> = self
            .chosen
            .iter()
            .map(|chosen| (self.ticks[chosen.candidate], Some(chosen)))
            .collect();
        let has_figure = |index| self.chosen.iter().any(|chosen| chosen.candidate == index);
        let mut bare: Vec<&Tick> = (0..self.ticks.len())
            .filter(|&index| !has_figure(index))
            .map(|index| self.ticks[index])
            // Bare, one beyond the marks would look measured.
            .filter(|tick| tick.worth > Worth::NONE && !tick.beyond)
            .collect();
        bare.sort_by_key(|tick| core::cmp::Reverse(tick.worth));
        for tick in bare {
            let near = |other: &(&Tick, _)| (other.0.at - tick.at).abs() < CLEAR;
            if !drawn.iter().any(near) && !self.is_beside(tick, TRIANGLE) {
                drawn.push((tick, None));
            }
        }
        drawn
    }

    /// How far it is from a place to the nearest other tick, toward infinity and
    /// toward close focus.
    pub(in crate::draw) fn free_beside(&self, at: Length) -> (Length, Length) {
        let far = Length::m(1.0);
        let others = self.drawn().into_iter().map(|(tick, _)| tick.at);
        others
            .filter(|&tick| tick != at)
            .fold((far, far), |(below, above), tick| {
                if tick < at {
                    (below.min(at - tick), above)
                } else {
                    (below, above.min(tick - at))
                }
            })
    }

    /// Large figures and ticks on the witness edge; the ticks of the references
    /// are drawn with their triangles.
    pub(super) fn on_witness(&self, frame: &Frame, rows: &Rows, clear: Stretch) -> Vec<Item> {
        let mut items = Vec::new();
        for (tick, chosen) in self.drawn() {
            let straight = chosen.is_some_and(|chosen| chosen.place == Place::Straight);
            let top = match (chosen, tick.major && straight) {
                (None, _) => rows.bare,
                (Some(_), true) => rows.long,
                (Some(_), false) => rows.short,
            };
            if !self.is_reference(tick) {
                let pen = if tick.major { Pen::HEAVY } else { Pen::FINE };
                items.push(frame.across(tick.at, Length::ZERO, top, pen));
            }
            let Some(chosen) = chosen else { continue };
            items.extend(self.doubt(frame, rows, clear, tick));
            if !straight {
                // To the near half of the figure, so that it is seen which it means.
                let reach = self.widths[chosen.candidate] * 0.25;
                let side = chosen.middle - tick.at;
                let toward = if side.is_positive() { -reach } else { reach };
                let end = frame.point(chosen.middle + toward, rows.large.foot - Length::mm(0.4));
                items.push(Item::line(frame.point(tick.at, top), end, Pen::FINE));
            }
            items.extend(self.figure(frame, rows.large.foot, chosen));
        }
        items
    }

    /// A bar across a tick whose place may be off so much, where it does not
    /// reach the next one.
    fn doubt(&self, frame: &Frame, rows: &Rows, clear: Stretch, tick: &Tick) -> Option<Item> {
        let doubt = tick.doubt?;
        let (below, above) = self.free_beside(tick.at);
        let fits = doubt < below.min(above)
            && tick.at - doubt > clear.clear_from
            && tick.at + doubt < clear.clear_to;
        let up = rows.bare * 0.6;
        let [one, other] = [tick.at - doubt, tick.at + doubt].map(|along| frame.point(along, up));
        fits.then(|| Item::line(one, other, Pen::FINE))
    }

    /// Small figures and ticks on the far edge.
    pub(super) fn on_far_edge(&self, frame: &Frame, rows: &Rows, row: &Row) -> Vec<Item> {
        let mut items = Vec::new();
        for (tick, chosen) in self.drawn() {
            let long = if chosen.is_some() { 1.0 } else { 0.6 };
            let foot = rows.height - rows.small_tick * long;
            items.push(frame.across(tick.at, rows.height, foot, Pen::FINE));
            if let Some(chosen) = chosen {
                items.extend(self.figure(frame, row.foot, chosen));
            }
        }
        items
    }

    fn figure(&self, frame: &Frame, foot: Length, chosen: &Chosen) -> Vec<Item> {
        let tick = self.ticks[chosen.candidate];
        let (weight, height) = self.weight(tick);
        let left = frame.x(chosen.middle) - self.widths[chosen.candidate] / 2.0;
        let at = Point::new(left, frame.baseline(foot, height));
        let figure = run(&tick.figure, weight, height, at);
        // Units stand on the figures' line, whichever edge that is counted from.
        let beside = at.moved(figure.width() + UNIT_GAP, Length::ZERO);
        let mut items = vec![figure.into()];
        if self.is_named(chosen.candidate) {
            items.push(run(name_of(tick.unit), Weight::Regular, UNIT, beside).into());
        }
        items
    }
}
