//! Which values of an axis get a tick, and which of those a figure.

mod distances;
mod numbers;

use super::super::labels::{self, Candidate};
use super::rule::Rule;
use crate::scene::{Face, Weight};
use crate::sheets::{Axis, Duty, Figures, Scale, Worth};
use crate::units::Length;

/// Least distance between two ticks, in millimetres.
const APART: f64 = 1.4;
/// Between two figures, in heights of figures.
const GAP: f64 = 1.1;

/// The most round steps with figures.
const MOST_STEPS: f64 = 10.0;

/// A tick of an axis.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::draw) struct Tick {
    /// Its place along the axis, in millimetres.
    pub(in crate::draw) at: f64,
    /// Its figure, if it has one.
    pub(in crate::draw) figure: Option<String>,
}

/// How figures stand along their axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::draw) enum Set {
    /// One beside the other.
    Level,
    /// One above the other.
    Stacked,
}

/// A value that would like a tick.
struct Wish {
    at: f64,
    figure: String,
    worth: Worth,
    duty: Duty,
}

/// The ticks of an axis with figures of some height, the first ones first;
/// `beyond` is how far figures may reach over its ends, in millimetres.
pub(in crate::draw) fn ticks(
    axis: &Axis,
    rule: &Rule,
    set: Set,
    height: f64,
    beyond: (f64, f64),
) -> Vec<Tick> {
    let wishes = wishes(axis, rule, set, height);
    let candidates: Vec<Candidate> = wishes
        .iter()
        .map(|wish| Candidate {
            tick: Length::mm(wish.at),
            width: match set {
                Set::Level => width(&wish.figure, height),
                Set::Stacked => Length::mm(height),
            },
            worth: wish.worth,
            duty: wish.duty,
            leads: false,
        })
        .collect();
    let within = labels::Rule {
        from: Length::mm(-beyond.0),
        to: Length::mm(rule.length + beyond.1),
        gap: Length::mm(height * GAP),
        leader: Length::ZERO,
    };
    // Infinity alone is required, and the margin is as wide as it is.
    let chosen = labels::choose(&candidates, &within).unwrap_or_default();
    let mut ticks: Vec<Tick> = chosen
        .iter()
        .map(|chosen| Tick {
            at: wishes[chosen.candidate].at,
            figure: Some(wishes[chosen.candidate].figure.clone()),
        })
        .collect();
    let mut rest: Vec<&Wish> = wishes.iter().collect();
    rest.sort_by_key(|wish| core::cmp::Reverse(wish.worth));
    for wish in rest {
        if ticks.iter().all(|tick| (tick.at - wish.at).abs() >= APART) {
            ticks.push(Tick {
                at: wish.at,
                figure: None,
            });
        }
    }
    ticks.sort_by(|one, other| one.at.total_cmp(&other.at));
    ticks
}

/// How wide a figure is.
pub(super) fn width(figure: &str, height: f64) -> Length {
    Face::of(Weight::Regular).advance(figure, Length::mm(height))
}

fn wishes(axis: &Axis, rule: &Rule, set: Set, height: f64) -> Vec<Wish> {
    match (axis.figures, axis.scale) {
        (Figures::Distances(unit), _) => distances::wishes(rule, unit),
        (Figures::Numbers, Scale::Log) => numbers::powers(rule),
        (Figures::Numbers, Scale::Linear | Scale::Reciprocal) => {
            numbers::steps(axis, rule, set, height)
        }
    }
}

/// A power of ten.
fn decade(power: i32) -> f64 {
    let whole = (0..power.abs()).fold(1.0, |whole, _| whole * 10.0);
    if power < 0 { 1.0 / whole } else { whole }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheets::Value;
    use crate::units::Unit;

    fn figures(scale: Scale, figures: Figures, from: f64, to: f64) -> Vec<(String, f64)> {
        let value = |value| Value::new(value).expect("a value");
        let axis = Axis {
            name: String::new(),
            scale,
            figures,
            from: value(from),
            to: value(to),
        };
        let rule = Rule::of(&axis, 200.0).expect("an axis");
        let ticks = ticks(&axis, &rule, Set::Level, 3.0, (9.0, 9.0));
        assert!(
            ticks
                .windows(2)
                .all(|pair| pair[1].at - pair[0].at >= APART - 1e-9)
        );
        let figured = ticks.into_iter();
        figured
            .filter_map(|tick| Some((tick.figure?, tick.at)))
            .collect()
    }

    fn words(figures: &[(String, f64)]) -> Vec<&str> {
        figures.iter().map(|(figure, _)| figure.as_str()).collect()
    }

    #[test]
    fn numbers_go_in_steps_of_1_2_or_5_without_needless_decimals() {
        let linear = figures(Scale::Linear, Figures::Numbers, 0.0, 0.25);
        assert_eq!(
            words(&linear),
            ["0", "0.05", "0.10", "0.15", "0.20", "0.25"]
        );
        let tens = figures(Scale::Linear, Figures::Numbers, 0.0, 100.0);
        assert_eq!(words(&tens)[..3], ["0", "10", "20"]);
    }

    #[test]
    fn a_log_axis_has_its_powers_of_ten_evenly_spaced() {
        let log = figures(Scale::Log, Figures::Numbers, 0.1, 100.0);
        let decades = ["0.1", "1", "10", "100"].map(|figure| {
            let found = log.iter().find(|(words, _)| words == figure);
            found.unwrap_or_else(|| panic!("{figure} in {log:?}")).1
        });
        for (count, at) in decades.iter().enumerate() {
            assert!(
                (at - 200.0 / 3.0 * count as f64).abs() < 1e-9,
                "{decades:?}"
            );
        }
    }

    #[test]
    fn distances_are_those_people_call_and_end_at_infinity() {
        let ends = f64::INFINITY;
        let feet = figures(
            Scale::Reciprocal,
            Figures::Distances(Unit::Feet),
            914.4,
            ends,
        );
        let feet = words(&feet);
        assert_eq!((feet[0], feet[feet.len() - 1]), ("3′", "∞"));
        assert!(feet.contains(&"4′") && feet.contains(&"6′") && feet.contains(&"10′"));
        let far = figures(Scale::Log, Figures::Distances(Unit::Metres), 1e4, 1e6);
        assert_eq!(
            words(&far),
            ["10", "15", "20", "30", "50", "100", "200", "500", "1000"]
        );
    }

    #[test]
    fn between_two_usual_distances_there_are_finer_ones() {
        let metres = figures(
            Scale::Reciprocal,
            Figures::Distances(Unit::Metres),
            458.0,
            504.0,
        );
        assert_eq!(words(&metres)[..3], ["0.46", "0.465", "0.47"]);
        let feet = figures(
            Scale::Reciprocal,
            Figures::Distances(Unit::Feet),
            590.0,
            625.0,
        );
        assert_eq!(words(&feet)[..2], ["1′11¼″", "1′11⅜″"]);
    }
}
