//! Every published or worked figure of facts.csv, through the library.
//!
//! A figure is checked in one of three ways: the library gives it; or it is a
//! rule of thumb, and the library gives something else; or the library refuses
//! the text and says both readings. What belongs to later work stands in
//! [`LATER`], by name and with its reason; a quantity in neither place fails.

mod attached;
mod backwards;
mod case;
mod in_air;
mod on_paper;
mod ring;
mod waves;

use crate::table::{Row, rows};
use case::Case;

/// What the library says to a fact.
pub enum Said {
    /// This is the figure.
    Is(f64),
    /// The printed figure is a rule of thumb; this is the exact one.
    RatherThan(f64),
    /// The text can be read in two ways; the decimal one is within 1/32 in of this.
    Either(f64),
}

/// Quantities the library does not answer yet, or never will, and why.
const LATER: &[(&str, &str)] = &[
    ("css_pixel", "the offline page"),
    ("module_of_pitch", "gears of the follow focus"),
    ("module_ratio", "gears of the follow focus"),
    (
        "plate_shift_marginal",
        "never: spherical aberration is outside Gaussian optics",
    ),
    (
        "singlet_back_focus",
        "never: the library starts at focal length and hiatus",
    ),
    (
        "singlet_focal",
        "never: the library starts at focal length and hiatus",
    ),
    (
        "singlet_front_principal",
        "never: the library starts at focal length and hiatus",
    ),
    (
        "singlet_rear_principal",
        "never: the library starts at focal length and hiatus",
    ),
];

fn said(quantity: &str, case: &Case) -> Option<Said> {
    in_air::say(quantity, case)
        .or_else(|| ring::say(quantity, case))
        .or_else(|| backwards::say(quantity, case))
        .or_else(|| on_paper::say(quantity, case))
        .or_else(|| waves::say(quantity, case))
        .or_else(|| attached::say(quantity, case))
}

/// Why the fact is not met, if it is not.
fn fault(row: &Row, said: &Said) -> Option<String> {
    let (expected, tolerance) = (row.figure("expected"), row.figure("tolerance"));
    let within = |ours: f64, tolerance: f64| {
        ours == expected || (ours - expected).abs() <= tolerance * (1.0 + 1e-12)
    };
    match *said {
        Said::Is(ours) if !within(ours, tolerance) => {
            Some(format!("{ours} against {expected} ± {tolerance}"))
        }
        Said::RatherThan(ours) if within(ours, tolerance) => {
            Some(format!("{ours} is the rule of thumb, not the exact figure"))
        }
        Said::Either(ours) if !within(ours, 25.4 / 32.0) => {
            Some(format!("{ours} is no reading of {expected}"))
        }
        _ => None,
    }
}

#[test]
fn every_fact_in_scope_is_met() {
    let rows = rows("facts.csv");
    let (mut checked, mut deferred, mut faults) = (0, 0, Vec::new());
    for row in &rows {
        let case = Case::of(row.text("inputs"));
        let quantity = case.text("quantity");
        let later = LATER.iter().any(|(name, _)| *name == quantity);
        match said(quantity, &case) {
            Some(_) if later => faults.push(format!("{quantity} is answered: take it from LATER")),
            Some(said) => {
                checked += 1;
                let fault = fault(row, &said);
                faults.extend(fault.map(|why| format!("{}: {why}", row.text("id"))));
            }
            None if later => deferred += 1,
            None => faults.push(format!("{quantity} is neither answered nor in LATER")),
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert_eq!(checked + deferred, rows.len());
    println!("{checked} facts checked, {deferred} later");
    assert!(checked >= 430, "only {checked} facts were checked");
}

#[test]
fn what_is_left_for_later_is_in_the_table_of_facts() {
    let rows = rows("facts.csv");
    for (quantity, why) in LATER {
        let known = rows
            .iter()
            .any(|row| Case::of(row.text("inputs")).text("quantity") == *quantity);
        assert!(known, "no fact asks for {quantity}");
        assert!(!why.is_empty(), "{quantity} has no reason");
    }
}

#[test]
fn a_wrong_figure_and_a_rule_of_thumb_are_told_apart() {
    let row = Row::of_pairs("expected=100;tolerance=0.5");
    assert!(fault(&row, &Said::Is(100.4)).is_none());
    assert!(fault(&row, &Said::Is(100.6)).is_some());
    assert!(fault(&row, &Said::RatherThan(100.4)).is_some());
    assert!(fault(&row, &Said::RatherThan(100.6)).is_none());
    assert!(fault(&row, &Said::Either(101.0)).is_some());
}
