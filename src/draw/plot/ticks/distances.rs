//! Ticks at distances people call.

use super::super::super::card::fit;
use super::super::rule::Rule;
use super::{MOST_STEPS, Wish, decade};
use crate::sheets::{Duty, Value, Worth, usual_marks};
use crate::units::{Length, Reach, Unit, show};

/// Fewer usual distances than these say little of an axis.
const FEW: usize = 4;

/// The usual distances; where there are few of them on the axis, finer ones.
pub(super) fn wishes(rule: &Rule, unit: Unit) -> Vec<Wish> {
    let usual = distances(rule, unit);
    if usual.len() < FEW {
        fine_distances(rule, unit)
    } else {
        usual
    }
}

/// The usual distances, and round ones where the table of those ends.
fn distances(rule: &Rule, unit: Unit) -> Vec<Wish> {
    let each = match unit {
        Unit::Feet => 304.8,
        Unit::Metres => 1000.0,
    };
    let wish = |value: Value, figure: String, worth: Worth, duty: Duty| {
        Some(Wish {
            at: rule.on(value)?,
            figure: fit::distance(&figure, unit),
            worth,
            duty,
        })
    };
    let usual = usual_marks(unit);
    let finite = usual.iter().filter_map(|(mark, _)| mark.reach().finite());
    let (nearest, farthest) = finite.fold((f64::MAX, 0.0_f64), |(low, high), mark| {
        (low.min(mark.to_mm()), high.max(mark.to_mm()))
    });
    let mut wishes: Vec<Wish> = usual
        .iter()
        .filter_map(|&(mark, worth)| {
            let figure = show::exact_distance(mark, unit);
            let duty = match mark.reach() {
                Reach::At(_) => Duty::Wanted,
                Reach::Infinity => Duty::Required,
            };
            wish(Value::distance(mark), figure, worth, duty)
        })
        .collect();
    let round = |mm: f64| {
        let figure = show::exact(Length::mm(mm), unit);
        wish(Value::new(mm)?, figure, Worth::of(40), Duty::Wanted)
    };
    for power in 0..7 {
        for figure in [1.0, 2.0, 5.0] {
            let far = figure * each * decade(power);
            if far > farthest {
                wishes.extend(round(far));
            }
            let near = match unit {
                Unit::Feet => figure * 25.4 / decade(power),
                Unit::Metres => figure * 100.0 / decade(power),
            };
            if near < nearest && power < 3 && said(near, unit) {
                wishes.extend(round(near));
            }
        }
    }
    wishes
}

/// Even steps of distance, for an axis between two usual ones.
fn fine_distances(rule: &Rule, unit: Unit) -> Vec<Wish> {
    // In 1/64 in and in tenths of a millimetre.
    let steps: &[i64] = match unit {
        Unit::Feet => &[1, 2, 4, 8, 16, 32, 64, 128, 192, 384, 768, 1536, 3840, 7680],
        Unit::Metres => &[
            1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 50_000,
        ],
    };
    let length = |count: i64| match unit {
        Unit::Feet => Length::from_inch_64ths(count),
        Unit::Metres => Length::mm(count as f64 / 10.0),
    };
    let ends = [0.0, rule.length].map(|at| rule.value(at).map_or(0.0, Value::value));
    let counts = |step: i64| {
        let [from, to] = ends.map(|end| end / length(step).to_mm());
        (libm::ceil(from), libm::floor(to))
    };
    let few = |step: &&i64| {
        let (first, last) = counts(**step);
        last - first <= MOST_STEPS
    };
    let Some(&step) = steps.iter().find(few) else {
        return Vec::new();
    };
    let (first, last) = counts(step);
    (first as i64..=last as i64)
        .filter_map(|count| {
            let length = length(count.saturating_mul(step));
            Some(Wish {
                at: rule.on(Value::length(length))?,
                figure: fit::distance(&show::exact(length, unit), unit),
                worth: Worth::of(1),
                duty: Duty::Wanted,
            })
        })
        .collect()
}

/// Whether a near distance is one people say: whole inches, any millimetres.
fn said(mm: f64, unit: Unit) -> bool {
    match unit {
        Unit::Feet => mm >= 25.4,
        Unit::Metres => true,
    }
}
