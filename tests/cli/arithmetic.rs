//! Steps of an explained answer, evaluated again from their text.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

/// An expression of `+ − × ÷`, brackets, `sqrt`, `tan`, `atan`, `pi`, numbers and letters.
struct Expression<'a> {
    rest: &'a str,
    letters: &'a BTreeMap<String, f64>,
}

impl<'a> Expression<'a> {
    fn evaluate(text: &'a str, letters: &'a BTreeMap<String, f64>) -> f64 {
        let mut expression = Self {
            rest: text,
            letters,
        };
        let value = expression.sum();
        assert_eq!(expression.rest, "", "left of {text}");
        value
    }

    fn takes(&mut self, sign: char) -> bool {
        self.rest = self.rest.trim_start();
        let after = self.rest.strip_prefix(sign);
        self.rest = after.unwrap_or(self.rest);
        after.is_some()
    }

    fn sum(&mut self) -> f64 {
        let mut value = self.product();
        loop {
            if self.takes('+') {
                value += self.product();
            } else if self.takes('-') {
                value -= self.product();
            } else {
                return value;
            }
        }
    }

    fn product(&mut self) -> f64 {
        let mut value = self.signed();
        loop {
            if self.takes('*') {
                value *= self.signed();
            } else if self.takes('/') {
                value /= self.signed();
            } else {
                return value;
            }
        }
    }

    fn signed(&mut self) -> f64 {
        if self.takes('-') {
            -self.signed()
        } else {
            self.single()
        }
    }

    fn single(&mut self) -> f64 {
        if self.takes('(') {
            let value = self.sum();
            assert!(self.takes(')'), "a bracket is open before {}", self.rest);
            return value;
        }
        let inside = |c: char| c.is_alphanumeric() || c == '_' || c == '.';
        let end = self.rest.find(|c| !inside(c)).unwrap_or(self.rest.len());
        let (word, rest) = self.rest.split_at(end);
        self.rest = rest;
        match word {
            "pi" => std::f64::consts::PI,
            "sqrt" => libm::sqrt(self.single()),
            "tan" => libm::tan(self.single()),
            "atan" => libm::atan(self.single()),
            _ => match self.letters.get(word) {
                Some(&value) => value,
                None => word
                    .parse()
                    .unwrap_or_else(|_| panic!("{word:?} is nothing")),
            },
        }
    }
}

/// Every number of an answer.
fn numbers(value: &Value, into: &mut BTreeSet<u64>) {
    match value {
        Value::Number(number) => {
            into.insert(number.as_f64().unwrap().to_bits());
        }
        Value::Array(inner) => inner.iter().for_each(|value| numbers(value, into)),
        Value::Object(inner) => inner
            .iter()
            .filter(|(key, _)| *key != "steps")
            .for_each(|(_, value)| numbers(value, into)),
        _ => {}
    }
}

/// Whether a value comes back, but for the digits a search leaves open, among
/// numbers of the answer and values of later steps.
fn comes_back(value: f64, answer: &Value, later: &[Value]) -> bool {
    let mut among = BTreeSet::new();
    numbers(answer, &mut among);
    let later = later.iter().filter_map(|step| step["value"].as_f64());
    let mut all = among.into_iter().map(f64::from_bits).chain(later);
    all.any(|other| (value - other).abs() <= 1e-10 * value.abs())
}

/// Holds every step to give its value, from numbers of the answer, from 0 and 1,
/// or from values of earlier steps; and each of the `figures` of every row to be
/// the value of a step. What goes into a solved step comes back later. Gives the
/// symbols of the steps.
pub fn assert_steps_hold(answer: &Value, figures: &[&str]) -> Vec<String> {
    let mut known: BTreeSet<u64> = [0.0f64, -0.0, 1.0].map(f64::to_bits).into();
    numbers(answer, &mut known);
    let mut values = BTreeSet::new();
    let mut symbols = Vec::new();
    let steps = answer["steps"].as_array().unwrap();
    for (i, step) in steps.iter().enumerate() {
        let text = step["text"].as_str().unwrap();
        let value = step["value"].as_f64().unwrap_or_else(|| panic!("{step}"));
        let letters = step["inputs"].as_array().unwrap().iter().map(|input| {
            let given = input["value"].as_f64().unwrap();
            let is_known = known.contains(&given.to_bits());
            let solved = step["how"] == "solved" && comes_back(given, answer, &steps[i + 1..]);
            assert!(is_known || solved, "{input} of {step}");
            (input["letter"].as_str().unwrap().to_owned(), given)
        });
        let letters: BTreeMap<String, f64> = letters.collect();
        let found = Expression::evaluate(text, &letters);
        assert!(
            (found - value).abs() <= 1e-14 * value.abs(),
            "{found}: {step}"
        );
        known.insert(value.to_bits());
        values.insert(value.to_bits());
        symbols.push(step["symbol"].as_str().unwrap().to_owned());
    }
    for row in answer["rows"].as_array().into_iter().flatten() {
        for figure in figures {
            if let Some(value) = row[figure].as_f64() {
                assert!(values.contains(&value.to_bits()), "{figure} of {row}");
            }
        }
    }
    symbols
}

#[test]
fn the_evaluator_knows_what_comes_first() {
    let letters = BTreeMap::from([("m".to_owned(), 3.0), ("m_0".to_owned(), 0.5)]);
    for (text, value) in [
        ("1 + 2 * m - 4 / m_0", -1.0),
        ("sqrt((m + 1) * 4) - -m", 7.0),
        ("m - m_0 - m_0", 2.0),
        ("2 * pi / pi", 2.0),
    ] {
        assert_eq!(Expression::evaluate(text, &letters), value, "{text}");
    }
}
