//! Ticks, figures, triangles and stops of one turn.

use super::polar::{self, Polar, angle, point, radial};
use super::tracks::{Stops, Style, Track};
use crate::draw::labels::{Chosen, Place};
use crate::draw::tape::figures::{Scale, Stretch};
use crate::draw::tape::fittings::halves;
use crate::draw::tape::frame::run;
use crate::draw::tape::unit::{UNIT, UNIT_GAP, name_of};
use crate::scene::{Ink, Item, Path, Pen, Point, Weight};
use crate::sheets::{Disc, Tick};
use crate::units::{Angle, Length};

/// Half the width of a triangle.
const HALF: Length = Length::mm(1.15);
/// From the rim to the tip of one.
const TIP: Length = Length::mm(0.45);
/// Hatched beyond a hard stop.
const HATCH: Length = Length::mm(2.0);
/// From one line of the hatching to the next.
const HATCH_STEP: Length = Length::mm(1.4);

/// A turn that is drawn.
#[derive(Clone, Copy)]
pub(super) struct On<'a> {
    pub(super) disc: &'a Disc,
    pub(super) track: &'a Track,
    pub(super) stops: Stops,
    pub(super) style: Style,
    pub(super) polar: &'a Polar,
}

impl On<'_> {
    pub(super) fn items(&self, scale: &Scale<'_>, clear: Stretch) -> Vec<Item> {
        let mut items = Vec::new();
        let outer = self.track.outer;
        for (tick, chosen) in scale.drawn() {
            let straight = chosen.is_some_and(|chosen| chosen.place == Place::Straight);
            let reach = match (chosen, tick.major && straight) {
                (None, _) => self.style.bare(),
                (Some(_), true) => self.style.long,
                (Some(_), false) => self.style.short(),
            };
            if !scale.is_reference(tick) {
                let pen = if tick.major { Pen::HEAVY } else { Pen::FINE };
                items.push(radial(self.page(tick.at), outer, outer - reach, pen));
            }
            let Some(chosen) = chosen else { continue };
            items.extend(self.doubt(scale, clear, tick));
            if !straight {
                items.push(self.leader(scale, tick, chosen));
            }
            items.push(self.figure(scale, chosen));
        }
        items.extend(self.triangles(scale));
        items.extend(self.stops());
        items
    }

    /// Where a place along the circle of the baselines stands on the page.
    fn page(&self, along: Length) -> Angle {
        self.polar.page(angle(along, self.track.baseline))
    }

    fn figure(&self, scale: &Scale<'_>, chosen: &Chosen) -> Item {
        let index = chosen.candidate;
        let tick = scale.ticks[index];
        let (weight, height) = scale.weight(tick);
        let left = Point::new(scale.widths[index] / -2.0, Length::ZERO);
        let figure = run(&tick.figure, weight, height, left);
        let beside = left.moved(figure.width() + UNIT_GAP, Length::ZERO);
        let mut items = vec![figure.into()];
        if scale.is_named(index) {
            items.push(run(name_of(tick.unit), Weight::Regular, UNIT, beside).into());
        }
        polar::put(self.track.baseline, self.page(chosen.middle), items)
    }

    /// From a tick to the near half of its figure, so that it is seen which it
    /// means.
    fn leader(&self, scale: &Scale<'_>, tick: &Tick, chosen: &Chosen) -> Item {
        let (_, height) = scale.weight(tick);
        let reach = scale.widths[chosen.candidate] * 0.25;
        // Positions grow against the turn.
        let aside = (chosen.middle - tick.at) * self.polar.turns;
        let reach = if aside.is_positive() { reach } else { -reach };
        let above = Point::new(reach, -(height + Length::mm(0.35)));
        let figure = polar::placed(self.track.baseline, self.page(chosen.middle));
        let from = self.track.outer - self.style.short();
        let start = point(from, self.page(tick.at));
        Item::line(start, figure.apply(above), Pen::FINE)
    }

    /// A bar across a tick whose place may be off so much, where it does not
    /// reach the next one.
    fn doubt(&self, scale: &Scale<'_>, clear: Stretch, tick: &Tick) -> Option<Item> {
        let doubt = tick.doubt?;
        let (below, above) = scale.free_beside(tick.at);
        let fits = doubt < below.min(above)
            && tick.at - doubt > clear.clear_from
            && tick.at + doubt < clear.clear_to;
        let radius = self.track.outer - self.style.bare() * 0.6;
        let [one, other] = [tick.at - doubt, tick.at + doubt].map(|at| self.page(at));
        fits.then(|| Item::stroked(polar::arc(radius, one, other), Pen::FINE))
    }

    /// The alignment mark filled, the check mark open, their tips toward the rim.
    fn triangles(&self, scale: &Scale<'_>) -> Vec<Item> {
        let lined_up = &self.disc.scale;
        let both = core::iter::once(&lined_up.align).chain(&lined_up.check);
        let outer = self.track.outer;
        let foot = outer - self.style.short();
        let mut items = Vec::new();
        for (number, mark) in both.enumerate() {
            if !self.track.has(self.disc.angle(mark.at)) {
                continue;
            }
            let at = self.track.to_baseline(self.disc, mark.at);
            let page = self.page(at);
            let (below, above) = halves(self.free_of_lines(at, scale.free_beside(at)), HALF);
            let corner = |aside: Length| point(foot, self.page(at + aside));
            let tip = point(outer - TIP, page);
            let triangle = Path::polygon(&[tip, corner(-below), corner(above)]);
            items.push(if number == 0 {
                Item::filled(triangle, Ink::Black)
            } else {
                Item::stroked(triangle, Pen::FINE)
            });
            items.push(radial(page, outer, outer - TIP, Pen::HEAVY));
            if scale.place_at(at) == Some(Place::Straight) {
                items.push(radial(page, foot, outer - self.style.long, Pen::HEAVY));
            }
        }
        items
    }

    /// What is free beside a mark, with hard stops and the turn's ends counted.
    fn free_of_lines(&self, at: Length, (below, above): (Length, Length)) -> (Length, Length) {
        let track = self.track;
        let stops = self.stops.into_iter().flatten();
        let lines = stops.filter(|&stop| track.has(stop));
        let lines = lines.chain([track.from, track.to()]);
        let lines = lines.map(|turn| track.along(turn));
        lines.fold((below, above), |(below, above), line| {
            if line < at {
                (below.min(at - line), above)
            } else {
                (below, above.min(line - at))
            }
        })
    }

    /// Hard stops: a heavy line, hatched beyond it.
    fn stops(&self) -> Vec<Item> {
        let (outer, inner) = (self.track.outer, self.track.inner + Length::mm(0.4));
        let mut items = Vec::new();
        for (at, way) in self.stops.into_iter().zip([-1.0, 1.0]) {
            let Some(at) = at.filter(|&at| self.track.has(at)) else {
                continue;
            };
            let page = self.polar.page(at);
            items.push(radial(page, outer, inner, Pen::HEAVY));
            let mut radius = outer;
            while radius - HATCH >= inner {
                let beyond = self.polar.page(at + angle(HATCH * way, radius));
                let ends = (point(radius, page), point(radius - HATCH, beyond));
                items.push(Item::line(ends.0, ends.1, Pen::FINE));
                radius = radius - HATCH_STEP;
            }
        }
        items
    }
}
