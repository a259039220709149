//! Ticks at round numbers.

use super::super::rule::Rule;
use super::{MOST_STEPS, Set, Wish, decade};
use crate::numerics::math;
use crate::sheets::{Axis, Duty, Value, Worth};

/// One, two and five times the powers of ten, and ticks at the rest.
pub(super) fn powers(rule: &Rule) -> Vec<Wish> {
    let mut wishes = Vec::new();
    for power in -12_i32..=12 {
        for (figure, worth) in (1..=9).zip([100, 60, 20, 5, 50, 5, 5, 5, 5]) {
            let value = f64::from(figure) * decade(power);
            let at = Value::new(value).and_then(|value| rule.on(value));
            wishes.extend(at.map(|at| Wish {
                at,
                figure: number(value, (-power).max(0) as usize),
                worth: Worth::of(worth),
                duty: Duty::Wanted,
            }));
        }
    }
    wishes
}

/// Round steps with figures, and smaller ones without.
pub(super) fn steps(axis: &Axis, rule: &Rule, set: Set, height: f64) -> Vec<Wish> {
    let (from, to) = (axis.from.value(), axis.to.value());
    let pitch = match set {
        Set::Stacked => 2.6 * height,
        Set::Level => 6.0 * height,
    };
    let most = (rule.length / pitch).clamp(1.0, MOST_STEPS);
    // The first of 1, 2, 5 times a power of ten with few enough steps.
    let power = math::log2((to - from) / most) / math::log2(10.0);
    let mut power = power.floor() as i32;
    let mut digit = 0;
    let digits = [1.0, 2.0, 5.0];
    let step = loop {
        let step = digits[digit] * decade(power);
        if (to - from) / step <= most * (1.0 + 1e-9) {
            break step;
        }
        digit += 1;
        if digit == digits.len() {
            (digit, power) = (0, power + 1);
        }
    };
    let parts = if digit == 1 { 4 } else { 5 };
    let part = step / f64::from(parts);
    let decimals = (-power).max(0) as usize;
    let first = (from / part - 1e-9).ceil() as i64;
    let last = (to / part + 1e-9).floor() as i64;
    let mut wishes = Vec::new();
    for count in first..=last.min(first + 1000) {
        let value = count as f64 * part;
        let whole = count % i64::from(parts) == 0;
        let at = Value::new(value).and_then(|value| rule.on(value));
        wishes.extend(at.map(|at| Wish {
            at,
            figure: number(value, decimals),
            worth: if whole { Worth::of(1) } else { Worth::NONE },
            duty: Duty::Wanted,
        }));
    }
    wishes
}

fn number(value: f64, decimals: usize) -> String {
    if value == 0.0 {
        "0".into()
    } else {
        let sign = if value < 0.0 { "−" } else { "" };
        format!("{sign}{:.decimals$}", value.abs())
    }
}
