//! A formula is written once: the macro makes, from one expression, the
//! function and its text.
//!
//! ```text
//! formula! {
//!     /// What it gives.
//!     name(q: mm, m: ratio) -> s: mm = q / m; source "where it stands"
//! }
//! ```
//! becomes `fn name(q: f64, m: f64, rec: &mut impl Record) -> f64` and a
//! [`Formula`] that holds the expression as text. Whoever calls it passes a
//! recorder: `()` is silent and costs nothing, [`Steps`] keeps every step for
//! `--explain` and answer keys.

mod steps;

pub(crate) use steps::Once;
pub use steps::{Given, How, Step, Steps};

/// A formula as it is written and shown.
#[derive(Debug, PartialEq)]
pub struct Formula {
    /// What it is called in the code.
    pub name: &'static str,
    /// The letter of its result.
    pub symbol: &'static str,
    /// The expression, which evaluates as arithmetic (`sqrt`, `atan`, `pi`).
    pub text: &'static str,
    /// The letters in it with their units.
    pub letters: &'static [(&'static str, &'static str)],
    /// The unit of the result.
    pub unit: &'static str,
    /// Where it stands in print, or how it was derived.
    pub source: &'static str,
}

impl Formula {
    /// The expression on one line, whole numbers without `.0`.
    #[must_use]
    pub fn expression(&self) -> String {
        let one_line = self.text.split_whitespace().collect::<Vec<_>>().join(" ");
        let mut parts = one_line.split(".0");
        let mut out = parts.next().unwrap_or_default().to_owned();
        for part in parts {
            // 0.05 is no whole number.
            if part.starts_with(|next: char| next.is_ascii_digit()) {
                out.push_str(".0");
            }
            out.push_str(part);
        }
        out
    }
}

/// Takes note of each step of a calculation, or does not.
pub trait Record {
    /// One formula was evaluated.
    fn step<const K: usize>(&mut self, formula: &'static Formula, inputs: [f64; K], value: f64) {
        self.step_how(formula, inputs, value, How::Computed);
    }

    /// One formula was evaluated, or its value chosen or solved for.
    fn step_how<const K: usize>(
        &mut self,
        formula: &'static Formula,
        inputs: [f64; K],
        value: f64,
        how: How,
    );
}

/// The silent recorder.
impl Record for () {
    fn step_how<const K: usize>(&mut self, _: &'static Formula, _: [f64; K], _: f64, _: How) {}
}

/// Passes steps on with another account of how they came about.
pub(crate) struct Told<'a, R> {
    /// Who keeps them.
    pub rec: &'a mut R,
    /// The account.
    pub how: How,
}

impl<R: Record> Record for Told<'_, R> {
    fn step_how<const K: usize>(
        &mut self,
        formula: &'static Formula,
        inputs: [f64; K],
        value: f64,
        _: How,
    ) {
        self.rec.step_how(formula, inputs, value, self.how);
    }
}

macro_rules! formula {
    (
        $(#[$doc:meta])*
        $name:ident($($letter:ident: $unit:ident),+) -> $symbol:ident: $out:ident = $body:expr;
        source $source:literal
    ) => {
        $(#[$doc])*
        #[allow(non_snake_case, reason = "the letters of the formula")]
        pub(crate) fn $name($($letter: f64,)+ rec: &mut impl $crate::formula::Record) -> f64 {
            #[allow(unused_imports, reason = "each formula takes what it needs")]
            use $crate::formula::arithmetic::{atan, pi, sqrt, tan};
            static FORMULA: $crate::formula::Formula = $crate::formula::Formula {
                name: stringify!($name),
                symbol: stringify!($symbol),
                text: stringify!($body),
                letters: &[$((stringify!($letter), stringify!($unit))),+],
                unit: stringify!($out),
                source: $source,
            };
            let value = $body;
            rec.step(&FORMULA, [$($letter),+], value);
            value
        }
    };
}
pub(crate) use formula;

/// What a formula's expression may use beside `+ − × ÷`.
pub(crate) mod arithmetic {
    pub use crate::numerics::math::{atan, sqrt, tan};
    #[allow(non_upper_case_globals, reason = "as it is written in a formula")]
    pub const pi: f64 = core::f64::consts::PI;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_numbers_lose_their_point_and_others_do_not() {
        let formula = Formula {
            name: "any",
            symbol: "y",
            text: "2.0 * x +\n    0.05 * (1.0 - 0.00001) / 10.0",
            letters: &[("x", "ratio")],
            unit: "ratio",
            source: "",
        };
        assert_eq!(formula.expression(), "2 * x + 0.05 * (1 - 0.00001) / 10");
    }
}
