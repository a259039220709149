//! The steps of a calculation, for people.

use core::fmt::Write;

use crate::formula::{How, Steps};

/// Each step on three lines: the formula, the figures in it, the result with
/// its source.
#[must_use]
pub fn explain(steps: &Steps) -> String {
    let mut out = String::from("how it was worked out\n");
    for (number, step) in steps.as_slice().iter().enumerate() {
        let formula = step.formula;
        let figures: Vec<String> = step
            .inputs
            .iter()
            .map(|given| format!("{} {}", given.letter, with_unit(given.value, given.unit)))
            .collect();
        // Writing to a String cannot fail.
        let _ = write!(
            out,
            "\n{:>3}  {} = {}\n     with {}\n     {} = {}\n     {}\n",
            number + 1,
            formula.symbol,
            formula.expression(),
            figures.join(", "),
            formula.symbol,
            with_unit(step.value, formula.unit),
            formula.source,
        );
        match step.how {
            How::Computed => {}
            How::Chosen { because } => {
                let _ = writeln!(out, "     chosen: {because}");
            }
            How::Solved {
                bracket: (from, to),
                residual,
            } => {
                let _ = writeln!(
                    out,
                    "     solved between {from} and {to}, leaving {residual:e}"
                );
            }
        }
    }
    out
}

fn with_unit(value: f64, unit: &str) -> String {
    match unit {
        "mm" => format!("{value} mm"),
        "deg" => format!("{value}°"),
        "f_number" => format!("(f-number) {value}"),
        "t_number" => format!("(T-number) {value}"),
        "arcmin" => format!("{value} arcmin"),
        "per_mm" => format!("{value}/mm"),
        "per_mm2" => format!("{value}/mm²"),
        "s" => format!("{value} s"),
        "mm_per_s" => format!("{value} mm/s"),
        "deg_per_s" => format!("{value}°/s"),
        "deg_per_mm" => format!("{value}°/mm"),
        _ => format!("{value}"),
    }
}
