//! The recorder that keeps every step, and the one that passes each on once.

use std::collections::BTreeSet;

use super::{Formula, Record};

/// How a value came about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum How {
    /// The expression was evaluated.
    Computed,
    /// One of several was taken.
    Chosen {
        /// Why this one.
        because: &'static str,
    },
    /// A root was searched for.
    Solved {
        /// Where it was searched.
        bracket: (f64, f64),
        /// What the equation leaves there.
        residual: f64,
    },
}

/// A value put into a formula.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Given {
    /// Its letter.
    pub letter: &'static str,
    /// Its value, in `unit`.
    pub value: f64,
    /// Its unit: `mm`, `ratio`, `deg`, `f_number`, `t_number`.
    pub unit: &'static str,
}

/// One evaluated formula.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// The formula.
    pub formula: &'static Formula,
    /// What was put in, in the order of its letters.
    pub inputs: Vec<Given>,
    /// What came out, in the formula's unit.
    pub value: f64,
    /// How it came about.
    pub how: How,
}

/// Every step of a calculation, in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Steps(Vec<Step>);

impl Steps {
    /// No step yet.
    #[must_use]
    pub const fn new() -> Self {
        Self(Vec::new())
    }

    /// The steps so far.
    #[must_use]
    pub fn as_slice(&self) -> &[Step] {
        &self.0
    }
}

impl Record for Steps {
    fn step_how<const K: usize>(
        &mut self,
        formula: &'static Formula,
        inputs: [f64; K],
        value: f64,
        how: How,
    ) {
        let inputs = formula
            .letters
            .iter()
            .zip(inputs)
            .map(|(&(letter, unit), value)| Given {
                letter,
                value,
                unit,
            })
            .collect();
        self.0.push(Step {
            formula,
            inputs,
            value,
            how,
        });
    }
}

/// Passes each step on once: what an earlier row has worked out from the same
/// figures is not told again.
pub(crate) struct Once<'a, R> {
    rec: &'a mut R,
    /// Formulas, by where they are, with the bits of what was put in.
    told: BTreeSet<(*const Formula, Vec<u64>)>,
}

impl<'a, R> Once<'a, R> {
    /// Nothing was told yet.
    pub(crate) const fn new(rec: &'a mut R) -> Self {
        Self {
            rec,
            told: BTreeSet::new(),
        }
    }
}

impl<R: Record> Record for Once<'_, R> {
    fn step_how<const K: usize>(
        &mut self,
        formula: &'static Formula,
        inputs: [f64; K],
        value: f64,
        how: How,
    ) {
        let bits = inputs.iter().map(|input| input.to_bits()).collect();
        if self.told.insert((formula, bits)) {
            self.rec.step_how(formula, inputs, value, how);
        }
    }
}

#[cfg(feature = "serde")]
mod json {
    //! Steps as the JSON contract has them.

    use serde::ser::{Serialize, SerializeMap, Serializer};

    use super::{Given, How, Step, Steps};

    impl Serialize for Given {
        fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
            let mut map = out.serialize_map(Some(3))?;
            map.serialize_entry("letter", self.letter)?;
            map.serialize_entry("value", &self.value)?;
            map.serialize_entry("unit", self.unit)?;
            map.end()
        }
    }

    impl Serialize for Step {
        fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
            let mut map = out.serialize_map(None)?;
            map.serialize_entry("symbol", self.formula.symbol)?;
            map.serialize_entry("text", &self.formula.expression())?;
            map.serialize_entry("inputs", &self.inputs)?;
            map.serialize_entry("value", &self.value)?;
            map.serialize_entry("unit", self.formula.unit)?;
            map.serialize_entry("source", self.formula.source)?;
            match self.how {
                How::Computed => map.serialize_entry("how", "computed")?,
                How::Chosen { because } => {
                    map.serialize_entry("how", "chosen")?;
                    map.serialize_entry("because", because)?;
                }
                How::Solved { bracket, residual } => {
                    map.serialize_entry("how", "solved")?;
                    map.serialize_entry("bracket", &bracket)?;
                    map.serialize_entry("residual", &residual)?;
                }
            }
            map.end()
        }
    }

    impl Serialize for Steps {
        fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
            self.0.serialize(out)
        }
    }
}
