//! The conversion card: feet and inches to metres and back, T-stops to f-stops.

use super::card::choice::worthiest;
use super::code::Code;
use super::names::Names;
use crate::optics::f_number_of;
use crate::units::show::{Round, Step, exact, rounded};
use crate::units::{
    FNumber, FocusDistance, Length, NOMINAL_STOPS, TNumber, Transmittance, Unit, closed_by,
};

/// The most distances a table of the card has.
pub const MOST_CONVERTED: usize = 12;
/// The most transmittances it has.
pub const MOST_TRANSMITTANCES: usize = 4;
/// Common ones: cine lenses of many elements lie between the first and the last
/// (common practice, no source).
const COMMON: [f64; 3] = [0.90, 0.80, 0.70];
/// The darkest stop shown.
const DARKEST: f64 = 22.5;

/// Third stops as they are engraved (ISO 2720 and common practice, from memory):
/// one and two thirds below each full stop.
const THIRDS: [(f64, f64); 10] = [
    (1.1, 1.3),
    (1.6, 1.8),
    (2.2, 2.5),
    (3.2, 3.5),
    (4.5, 5.0),
    (6.3, 7.1),
    (9.0, 10.0),
    (13.0, 14.0),
    (18.0, 20.0),
    (25.0, 29.0),
];

/// A distance in one unit and in the other.
#[derive(Clone, Debug, PartialEq)]
pub struct Converted {
    /// As people say it, exact.
    pub from: String,
    /// In the other unit, to the nearest.
    pub to: String,
    /// How soon it is chosen where not all lines have room: 0 goes first.
    pub rank: usize,
}

/// A stop with its exact value, and the f-number behind it.
#[derive(Clone, Debug, PartialEq)]
pub struct StopLine {
    /// As engraved.
    pub nominal: String,
    /// Whether it is a full stop.
    pub full: bool,
    /// What it stands for, to three decimals.
    pub exact: String,
    /// The f-number behind it as a T-stop, at each transmittance, rounded down.
    pub f_numbers: Vec<String>,
}

/// The conversion card.
#[derive(Clone, Debug, PartialEq)]
pub struct Conversions {
    /// The kit's title and date; it has no focal length.
    pub names: Names,
    /// The unit of output, whose table stands first.
    pub unit: Unit,
    /// Feet and inches to metres.
    pub to_metres: Vec<Converted>,
    /// Metres to feet and inches.
    pub to_feet: Vec<Converted>,
    /// The transmittances, and the lenses that have each.
    pub transmittances: Vec<(String, String)>,
    /// Full and third stops.
    pub stops: Vec<StopLine>,
    /// What stands at the foot, paragraph by paragraph.
    pub foot: Vec<String>,
    /// What it was made from.
    pub code: Code,
}

impl Conversions {
    /// The card; with the transmittances of a set, each with the focal length of
    /// its lens, else with common ones.
    #[must_use]
    pub fn new(names: Names, unit: Unit, of_set: &[(String, Transmittance)]) -> Self {
        let (taus, of_set) = transmittances(of_set);
        let whose = if of_set {
            "transmittances of this set's lenses"
        } else {
            "common transmittances: a lens's own follows from its T and its f"
        };
        let mut card = Self {
            names,
            unit,
            to_metres: converted(Unit::Feet),
            to_feet: converted(Unit::Metres),
            stops: stops(&taus),
            transmittances: taus
                .into_iter()
                .map(|(tau, lenses)| (format!("{:.2}", tau.value()), lenses))
                .collect(),
            foot: vec![
                "1 ft = 0.3048 m exactly; metres to the nearest mm below 10 m, cm beyond; feet to \
                 the nearest ⅛ in below 2 m, ½ in below 10 m, 1 in beyond"
                    .to_owned(),
                format!(
                    "f = T × √transmittance, rounded down: depth goes by f, exposure by T; {whose}"
                ),
                "exact: what an engraved stop stands for, a third of a stop being a factor of \
                 2^(1/6)"
                    .to_owned(),
                "check against a tape before use".to_owned(),
            ],
            code: Code::of(""),
        };
        card.code = Code::of(&format!("{card:?}"));
        card
    }
}

/// The usual distances of a unit in the other one.
fn converted(unit: Unit) -> Vec<Converted> {
    let ranked = worthiest(unit, MOST_CONVERTED, |_| true);
    let line = |(at, rank): (FocusDistance, usize)| {
        let length = at.reach().finite()?;
        Some(Converted {
            from: exact(length, unit),
            to: match unit {
                Unit::Feet => in_metres(length),
                Unit::Metres => rounded(length, inches_for(length), Round::Nearest),
            },
            rank,
        })
    };
    ranked.into_iter().filter_map(line).collect()
}

fn in_metres(length: Length) -> String {
    let step = if length < Length::m(10.0) { 10 } else { 100 };
    rounded(length, Step::TenthsOfMm(step), Round::Nearest)
}

fn inches_for(length: Length) -> Step {
    Step::Inch64ths(match length {
        near if near < Length::m(2.0) => 8,
        middle if middle < Length::m(10.0) => 32,
        _ => 64,
    })
}

/// Different transmittances of a set from the clearest on, each with its lenses;
/// where there are more than fit, those farthest apart. Common ones where the set
/// has none, and whether they are the set's.
fn transmittances(of_set: &[(String, Transmittance)]) -> (Vec<(Transmittance, String)>, bool) {
    let mut found: Vec<(Transmittance, Vec<&str>)> = Vec::new();
    for (focal, tau) in of_set {
        let shown = |tau: &Transmittance| format!("{:.2}", tau.value());
        let same = |known: &Transmittance| shown(known) == shown(tau);
        match found.iter_mut().find(|(known, _)| same(known)) {
            // Of lenses that print alike, the darkest: its f-number is the smallest.
            Some((known, lenses)) => {
                if tau.value() < known.value() {
                    *known = *tau;
                }
                lenses.push(focal);
            }
            None => found.push((*tau, vec![focal])),
        }
    }
    if found.is_empty() {
        let common = COMMON
            .into_iter()
            .filter_map(|tau| Transmittance::new(tau).ok());
        return (common.map(|tau| (tau, String::new())).collect(), false);
    }
    found.sort_by(|a, b| b.0.value().total_cmp(&a.0.value()));
    while found.len() > MOST_TRANSMITTANCES {
        // The one nearest to its darker neighbour goes; its lenses join that one.
        let gap = |at: &usize| found[*at].0.value() - found[*at + 1].0.value();
        let Some(at) = (0..found.len() - 1).min_by(|a, b| gap(a).total_cmp(&gap(b))) else {
            break;
        };
        let (_, lenses) = found.remove(at);
        if let Some((_, darker)) = found.get_mut(at) {
            darker.splice(0..0, lenses);
        }
    }
    let words = |lenses: Vec<&str>| lenses.join(" ");
    (
        found
            .into_iter()
            .map(|(tau, lenses)| (tau, words(lenses)))
            .collect(),
        true,
    )
}

/// Full and third stops from 1 to 22.
fn stops(taus: &[(Transmittance, String)]) -> Vec<StopLine> {
    let mut lines = Vec::new();
    for (full, (nominal, thirds)) in (0..).zip(NOMINAL_STOPS.into_iter().zip(THIRDS)) {
        let row = [(0, nominal), (1, thirds.0), (2, thirds.1)];
        for (third, nominal) in row.into_iter().filter(|(_, number)| *number < DARKEST) {
            let exact = closed_by(1.0, f64::from(full * 3 + third) / 3.0);
            lines.push(StopLine {
                nominal: format!("{nominal}"),
                full: third == 0,
                exact: format!("{exact:.3}"),
                f_numbers: taus.iter().map(|(tau, _)| f_number(exact, *tau)).collect(),
            });
        }
    }
    lines
}

/// The f-number behind an exact T-stop, to hundredths, rounded down.
fn f_number(exact: f64, tau: Transmittance) -> String {
    let of = |t| f_number_of(t, tau, &mut ());
    let number = TNumber::new(exact).map(of).map_or(0.0, FNumber::value);
    format!("{:.2}", libm::floor(number * 100.0 + 1e-9) / 100.0)
}
