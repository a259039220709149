//! Which figures of a scale are drawn, and where.

use super::frame::run;
use super::lie::Toward;
use super::rows::Row;
use super::unit::{is_plain, unit_width};
use crate::draw::labels::{Candidate, Chosen, DoesNotFit, Place, Rule, choose};
use crate::scene::{Point, Weight};
use crate::sheets::{Duty, Tick, Worth};
use crate::units::{Length, Unit};

/// Leaders to try, in mm: of those with the worthiest figures, the shortest.
const LEADERS: [f64; 5] = [2.4, 3.2, 4.0, 5.0, 6.5];
/// Leaders to try where the required figures would else collide.
const LONGER: [f64; 3] = [8.5, 11.0, 14.0];
/// Smallest figures of the large scale: first those we like, then those we bear.
const SMALLER: [f64; 2] = [2.5, 2.0];
/// Between two figures.
pub(in crate::draw) const GAP: Length = Length::mm(1.0);
/// Between a reference mark and a minor mark that may be left out: triangle and
/// line are to be seen by themselves.
const CLEAR: Length = Length::mm(1.65);

/// Where the figures of a scale may stand.
#[derive(Clone, Copy, Debug)]
pub(in crate::draw) struct Stretch {
    /// The ticks from here …
    pub(in crate::draw) from: Length,
    /// … to here, this one included.
    pub(in crate::draw) to: Length,
    /// No figure reaches below this.
    pub(in crate::draw) clear_from: Length,
    /// No figure reaches above this.
    pub(in crate::draw) clear_to: Length,
    /// Where nearer marks are, as it is read.
    pub(in crate::draw) nearer: Toward,
}

/// What a scale is drawn from.
#[derive(Clone, Copy, Debug)]
pub(in crate::draw) struct Marks<'a> {
    pub(in crate::draw) ticks: &'a [Tick],
    pub(in crate::draw) unit: Unit,
    /// The marks with triangles, kept clear of others.
    pub(in crate::draw) references: &'a [Length],
    /// Figures worth less are left out, to make room for words.
    pub(in crate::draw) least: Worth,
}

/// A scale with its figures chosen.
#[derive(Clone, Debug)]
pub(in crate::draw) struct Scale<'a> {
    pub(in crate::draw) ticks: Vec<&'a Tick>,
    /// Widths of their figures, with the unit where it belongs to the figure.
    pub(in crate::draw) widths: Vec<Length>,
    pub(in crate::draw) chosen: Vec<Chosen>,
    pub(in crate::draw) marks: Marks<'a>,
    major: Length,
    minor: Length,
    /// Whose figure has the unit with it, centred as a whole.
    pub(in crate::draw) with_unit: Vec<bool>,
    /// Whose figure has it in the free space beside it.
    pub(in crate::draw) beside: Option<usize>,
    pub(in crate::draw) nearer: Toward,
}

/// Two figures that must be there and collide, or one that has no place.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::draw) struct Collision {
    pub(in crate::draw) one: String,
    pub(in crate::draw) other: Option<String>,
}

impl<'a> Scale<'a> {
    /// The large figures, those of major marks so high and those of others, on leaders where that gives more of them; those of the
    /// references straight over their triangles where that can be.
    pub(in crate::draw) fn large(
        marks: Marks<'a>,
        stretch: Stretch,
        [major, minor]: [Length; 2],
    ) -> Result<Self, Collision> {
        let scale = Self::new(marks, stretch, major, minor);
        let mut fault = None;
        for straight in [true, false] {
            let mut best: Option<(u64, Self)> = None;
            for leader in LEADERS {
                match scale.clone().choosing(stretch, leader, straight) {
                    Ok(found) if best.as_ref().is_none_or(|best| found.worth() > best.0) => {
                        best = Some((found.worth(), found));
                    }
                    Ok(_) => {}
                    Err(collision) => fault = Some(collision),
                }
            }
            if let Some((_, best)) = best {
                return Ok(best.with_its_unit(stretch));
            }
        }
        for height in SMALLER {
            let height = Length::mm(height).min(scale.minor);
            let smaller = Self::new(marks, stretch, height, height);
            for leader in LEADERS.into_iter().chain(LONGER) {
                match smaller.clone().choosing(stretch, leader, false) {
                    Ok(found) => return Ok(found.with_its_unit(stretch)),
                    Err(collision) => fault = Some(collision),
                }
            }
        }
        // Every try above has failed, so there is a fault.
        Err(scale.collision(fault.unwrap_or(DoesNotFit::Alone { candidate: 0 })))
    }

    /// The small figures, straight over their ticks; none is required.
    pub(super) fn small(marks: Marks<'a>, stretch: Stretch, row: &Row) -> Self {
        let scale = Self::new(marks, stretch, row.height, row.height);
        let bare = scale.clone();
        let chosen = scale.choosing(stretch, 0.0, true);
        chosen.map_or(bare, |chosen| chosen.with_its_unit(stretch))
    }

    fn new(marks: Marks<'a>, stretch: Stretch, major: Length, minor: Length) -> Self {
        let apart = |tick: &&Tick| {
            tick.major
                || marks
                    .references
                    .iter()
                    .all(|&at| (at - tick.at).abs() >= CLEAR)
        };
        let ticks: Vec<&Tick> = marks
            .ticks
            .iter()
            .filter(|tick| tick.at >= stretch.from && tick.at <= stretch.to)
            .filter(apart)
            .collect();
        let with_unit = ticks
            .iter()
            .map(|tick| tick.unit != marks.unit && is_plain(tick));
        let mut scale = Self {
            with_unit: with_unit.collect(),
            ticks,
            widths: Vec::new(),
            chosen: Vec::new(),
            marks,
            major,
            minor,
            beside: None,
            nearer: stretch.nearer,
        };
        scale.widths = (0..scale.ticks.len())
            .map(|index| scale.width(index))
            .collect();
        scale
    }

    pub(in crate::draw) fn width(&self, index: usize) -> Length {
        let tick = self.ticks[index];
        let (weight, height) = self.weight(tick);
        let figure = run(&tick.figure, weight, height, Point::ORIGIN).width();
        if self.with_unit[index] {
            figure + unit_width(tick.unit)
        } else {
            figure
        }
    }

    pub(in crate::draw) fn weight(&self, tick: &Tick) -> (Weight, Length) {
        if tick.major && self.major != self.minor {
            (Weight::Bold, self.major)
        } else {
            (Weight::Regular, self.minor)
        }
    }

    /// Whether a mark has a triangle.
    pub(in crate::draw) fn is_reference(&self, tick: &Tick) -> bool {
        self.marks.references.contains(&tick.at)
    }

    /// Whether a mark without a figure would stand in the triangle of another.
    pub(super) fn is_beside(&self, tick: &Tick, room: Length) -> bool {
        let mut references = self.marks.references.iter();
        references.any(|&at| at != tick.at && (at - tick.at).abs() < room)
    }

    pub(in crate::draw) fn choosing(
        mut self,
        stretch: Stretch,
        leader: f64,
        references_straight: bool,
    ) -> Result<Self, DoesNotFit> {
        let candidates = self.ticks.iter().zip(&self.widths).map(|(tick, &width)| {
            let is_wanted = tick.duty == Duty::Required || tick.worth >= self.marks.least;
            Candidate {
                tick: tick.at,
                width,
                worth: if is_wanted { tick.worth } else { Worth::NONE },
                duty: tick.duty,
                leads: !(references_straight && self.is_reference(tick)),
            }
        });
        let rule = Rule {
            from: stretch.clear_from,
            to: stretch.clear_to,
            gap: GAP,
            leader: Length::mm(leader),
        };
        self.chosen = choose(&candidates.collect::<Vec<_>>(), &rule)?;
        Ok(self)
    }

    pub(in crate::draw) fn worth(&self) -> u64 {
        let worth = |chosen: &Chosen| self.ticks[chosen.candidate].worth;
        self.chosen
            .iter()
            .map(|chosen| u64::from(worth(chosen).points()))
            .sum()
    }

    fn collision(&self, fault: DoesNotFit) -> Collision {
        let figure = |index: usize| {
            let tick = self.ticks.get(index);
            tick.map_or_else(String::new, |tick| tick.figure.clone())
        };
        match fault {
            DoesNotFit::Pair { first, second } => Collision {
                one: figure(first),
                other: Some(figure(second)),
            },
            DoesNotFit::Alone { candidate } => Collision {
                one: figure(candidate),
                other: None,
            },
        }
    }

    /// Where a mark's figure stands, if it is drawn.
    pub(in crate::draw) fn place_at(&self, at: Length) -> Option<Place> {
        let is_there = |chosen: &&Chosen| self.ticks[chosen.candidate].at == at;
        self.chosen.iter().find(is_there).map(|chosen| chosen.place)
    }

    /// Where figures stand, for what else wants that row.
    pub(in crate::draw) fn taken(&self) -> impl Iterator<Item = (Length, Length)> {
        self.chosen.iter().map(|chosen| {
            let half = self.widths[chosen.candidate] / 2.0;
            let (low, high) = (chosen.middle - half, chosen.middle + half);
            let unit = unit_width(self.marks.unit);
            match self.nearer {
                _ if self.beside != Some(chosen.candidate) => (low, high),
                Toward::Right => (low, high + unit),
                Toward::Left => (low - unit, high),
            }
        })
    }
}
