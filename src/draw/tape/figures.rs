//! Ticks and figures of one scale of a tape.

use super::frame::run;
use super::rows::{Row, Rows};
use crate::draw::labels::{Candidate, Chosen, DoesNotFit, Rule, choose};
use crate::scene::{Point, Weight};
use crate::sheets::{Duty, Tick};
use crate::units::{Length, Unit};

/// Leaders to try, in mm: of those with the worthiest figures, the shortest.
const LEADERS: [f64; 5] = [2.4, 3.2, 4.0, 5.0, 6.5];
/// Leaders to try where the required figures would else collide.
const LONGER: [f64; 3] = [8.5, 11.0, 14.0];
/// Smallest figures of the large scale: first those we like, then those we bear.
const SMALLER: [f64; 2] = [2.5, 2.0];
/// The word for the unit beside one figure.
pub(super) const UNIT: Length = Length::mm(2.0);
pub(super) const UNIT_GAP: Length = Length::mm(0.5);

/// Where the figures of a scale may stand.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stretch {
    /// The ticks from here …
    pub(super) from: Length,
    /// … to here, this one included.
    pub(super) to: Length,
    /// No figure reaches below this.
    pub(super) clear_from: Length,
    /// No figure reaches above this.
    pub(super) clear_to: Length,
}

/// A scale with its figures chosen.
#[derive(Clone, Debug)]
pub(super) struct Scale<'a> {
    pub(super) ticks: Vec<&'a Tick>,
    /// Widths of their figures.
    pub(super) widths: Vec<Length>,
    pub(super) chosen: Vec<Chosen>,
    major: Length,
    minor: Length,
    pub(super) unit: Unit,
    /// The tick whose figure carries the unit.
    pub(super) named: Option<usize>,
}

/// Two figures that must be there and collide, or one that has no place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Collision {
    pub(super) one: String,
    pub(super) other: Option<String>,
}

pub(super) fn name_of(unit: Unit) -> &'static str {
    match unit {
        Unit::Feet => "ft",
        Unit::Metres => "m",
    }
}

impl<'a> Scale<'a> {
    /// The large figures, on leaders where that gives more of them.
    pub(super) fn large(
        ticks: &'a [Tick],
        unit: Unit,
        stretch: Stretch,
        rows: &Rows,
    ) -> Result<Self, Collision> {
        let scale = Self::new(ticks, unit, stretch, rows.large.height, rows.minor);
        let mut best: Option<(u64, Self)> = None;
        let mut fault = None;
        for leader in LEADERS {
            match scale.clone().with_leader(stretch, leader) {
                Ok(found)
                    if best
                        .as_ref()
                        .is_none_or(|(worth, _)| found.worth() > *worth) =>
                {
                    best = Some((found.worth(), found));
                }
                Ok(_) => {}
                Err(collision) => fault = Some(collision),
            }
        }
        if let Some((_, best)) = best {
            return Ok(best);
        }
        for height in SMALLER {
            let height = Length::mm(height).min(scale.minor);
            let smaller = Self::new(ticks, unit, stretch, height, height);
            for leader in LEADERS.into_iter().chain(LONGER) {
                match smaller.clone().with_leader(stretch, leader) {
                    Ok(found) => return Ok(found),
                    Err(collision) => fault = Some(collision),
                }
            }
        }
        // Every try above has failed, so there is a fault.
        Err(scale.collision(fault.unwrap_or(DoesNotFit::Alone { candidate: 0 })))
    }

    /// The small figures, straight over their ticks; none is required.
    pub(super) fn small(ticks: &'a [Tick], unit: Unit, stretch: Stretch, row: &Row) -> Self {
        let scale = Self::new(ticks, unit, stretch, row.height, row.height);
        let bare = scale.clone();
        scale.with_leader(stretch, 0.0).unwrap_or(bare)
    }

    fn new(ticks: &'a [Tick], unit: Unit, stretch: Stretch, major: Length, minor: Length) -> Self {
        let ticks: Vec<&Tick> = ticks
            .iter()
            .filter(|tick| tick.at >= stretch.from && tick.at <= stretch.to)
            .collect();
        let plain = |tick: &Tick| !tick.figure.contains(['′', '″', '∞']);
        let named = (0..ticks.len())
            .filter(|&index| plain(ticks[index]))
            .max_by_key(|&index| (ticks[index].duty == Duty::Required, ticks[index].worth));
        let mut scale = Self {
            ticks,
            widths: Vec::new(),
            chosen: Vec::new(),
            major,
            minor,
            unit,
            named,
        };
        let widths = scale.ticks.iter().map(|tick| {
            let (weight, height) = scale.weight(tick);
            run(&tick.figure, weight, height, Point::ORIGIN).width()
        });
        scale.widths = widths.collect();
        scale
    }

    pub(super) fn weight(&self, tick: &Tick) -> (Weight, Length) {
        if tick.major && self.major != self.minor {
            (Weight::Bold, self.major)
        } else {
            (Weight::Regular, self.minor)
        }
    }

    fn unit_width(&self) -> Length {
        run(name_of(self.unit), Weight::Regular, UNIT, Point::ORIGIN).width() + UNIT_GAP
    }

    fn with_leader(mut self, stretch: Stretch, leader: f64) -> Result<Self, DoesNotFit> {
        let candidates: Vec<Candidate> = self
            .ticks
            .iter()
            .enumerate()
            .map(|(index, tick)| {
                let unit = if self.named == Some(index) {
                    self.unit_width() * 2.0
                } else {
                    Length::ZERO
                };
                Candidate {
                    tick: tick.at,
                    width: self.widths[index] + unit,
                    worth: tick.worth,
                    duty: tick.duty,
                }
            })
            .collect();
        let rule = Rule {
            from: stretch.clear_from,
            to: stretch.clear_to,
            gap: Length::mm(1.0),
            leader: Length::mm(leader),
        };
        match choose(&candidates, &rule) {
            Ok(chosen) => {
                self.chosen = chosen;
                Ok(self)
            }
            // The unit's name may be what has no room; the caption says it too.
            Err(_) if self.named.is_some() => {
                self.named = None;
                self.with_leader(stretch, leader)
            }
            Err(fault) => Err(fault),
        }
    }

    fn worth(&self) -> u64 {
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

    /// Where figures stand, for what else wants that row.
    pub(super) fn taken(&self) -> impl Iterator<Item = (Length, Length)> {
        self.chosen.iter().map(|chosen| {
            let unit = if self.named == Some(chosen.candidate) {
                self.unit_width()
            } else {
                Length::ZERO
            };
            let half = self.widths[chosen.candidate] / 2.0 + unit;
            (chosen.middle - half, chosen.middle + half)
        })
    }
}
