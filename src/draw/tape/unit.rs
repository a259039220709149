//! Which figure of a scale says what all are in.

use super::figures::{GAP, Scale, Stretch};
use super::frame::run;
use super::lie::Toward;
use crate::draw::labels::{Chosen, Place};
use crate::scene::{Point, Weight};
use crate::sheets::{Duty, Tick};
use crate::units::{Length, Unit};

/// The word for the unit beside a figure.
pub(in crate::draw) const UNIT: Length = Length::mm(2.0);
pub(in crate::draw) const UNIT_GAP: Length = Length::mm(0.5);
pub(in crate::draw) fn name_of(unit: Unit) -> &'static str {
    match unit {
        Unit::Feet => "ft",
        Unit::Metres => "m",
    }
}

/// Whether a figure leaves open what it is in.
pub(in crate::draw) fn is_plain(tick: &Tick) -> bool {
    !tick.figure.contains(['′', '″', '∞'])
}

/// Room for a unit's name beside a figure.
pub(in crate::draw) fn unit_width(unit: Unit) -> Length {
    run(name_of(unit), Weight::Regular, UNIT, Point::ORIGIN).width() + UNIT_GAP
}

impl Scale<'_> {
    /// With the unit at one figure that leaves it open: where there is room
    /// beside one, else at one of the worthiest with all figures chosen anew.
    pub(in crate::draw) fn with_its_unit(mut self, stretch: Stretch) -> Self {
        let mut open: Vec<usize> = (0..self.ticks.len())
            .filter(|&index| is_plain(self.ticks[index]) && !self.with_unit[index])
            .collect();
        let rank = |index: usize| {
            let tick = self.ticks[index];
            (tick.duty == Duty::Required, tick.worth)
        };
        open.sort_by_key(|&index| core::cmp::Reverse(rank(index)));
        let has_figure = |index: usize| self.chosen.iter().any(|chosen| chosen.candidate == index);
        if !open.iter().any(|&index| has_figure(index)) {
            return self;
        }
        self.beside = open
            .iter()
            .copied()
            .find(|&index| self.has_room(index, stretch));
        if self.beside.is_some() {
            return self;
        }
        let leader = self.leader();
        for index in open.into_iter().filter(|&index| has_figure(index)) {
            let mut other = self.clone();
            other.with_unit[index] = true;
            other.widths[index] = other.width(index);
            for straight in [true, false] {
                if let Ok(other) = other.clone().choosing(stretch, leader, straight)
                    && other.chosen.iter().any(|chosen| chosen.candidate == index)
                {
                    return other;
                }
            }
        }
        self
    }

    /// The leader the figures were chosen with.
    fn leader(&self) -> f64 {
        let moved = self
            .chosen
            .iter()
            .filter(|chosen| chosen.place != Place::Straight);
        let aside = moved.map(|chosen| (chosen.middle - self.ticks[chosen.candidate].at).abs());
        aside.fold(Length::ZERO, Length::max).to_mm()
    }

    /// Whether the unit has room to the right of a figure, as it is read.
    fn has_room(&self, index: usize, stretch: Stretch) -> bool {
        let Some(place) = self
            .chosen
            .iter()
            .position(|chosen| chosen.candidate == index)
        else {
            return false;
        };
        let edges = |chosen: &Chosen| {
            let half = self.widths[chosen.candidate] / 2.0;
            (chosen.middle - half, chosen.middle + half)
        };
        let (low, high) = edges(&self.chosen[place]);
        let free = match self.nearer {
            Toward::Right => {
                let next = self.chosen.get(place + 1).map(|next| edges(next).0 - GAP);
                next.unwrap_or(stretch.clear_to) - high
            }
            Toward::Left => {
                let before = place
                    .checked_sub(1)
                    .map(|before| edges(&self.chosen[before]).1 + GAP);
                low - before.unwrap_or(stretch.clear_from)
            }
        };
        free >= unit_width(self.ticks[index].unit)
    }

    /// Whether a figure has its unit with it or beside it.
    pub(in crate::draw) fn is_named(&self, index: usize) -> bool {
        self.with_unit[index] || self.beside == Some(index)
    }

    /// Whether some figure says what all are in.
    pub(in crate::draw) fn tells_its_unit(&self) -> bool {
        let own = |index: usize| self.ticks[index].unit == self.marks.unit;
        let drawn = || self.chosen.iter().map(|chosen| chosen.candidate);
        let with_sign = |index: usize| self.ticks[index].figure.contains(['′', '″']);
        drawn().any(|index| own(index) && (self.is_named(index) || with_sign(index)))
    }
}
