//! Where the values of an axis stand on the paper.

use crate::numerics::math;
use crate::sheets::{Axis, Scale, Value};

/// Farther from the frame than this, in millimetres, nothing is placed exactly.
const FAR_OFF: f64 = 1e6;

/// An axis laid along some millimetres, from 0 at its beginning.
#[derive(Clone, Debug)]
pub(in crate::draw) struct Rule {
    scale: Scale,
    from: f64,
    to: f64,
    /// Its length in millimetres.
    pub(in crate::draw) length: f64,
}

impl Rule {
    /// An axis along a length; `None` where its ends are one, or are none of
    /// its scale.
    pub(in crate::draw) fn of(axis: &Axis, length: f64) -> Option<Self> {
        let scale = axis.scale;
        let (from, to) = (
            stretched(scale, axis.from.value())?,
            stretched(scale, axis.to.value())?,
        );
        (from < to && length > 0.0).then_some(Self {
            scale,
            from,
            to,
            length,
        })
    }

    /// Where a value stands, in millimetres from the beginning; outside of the
    /// axis below zero or above its length.
    pub(in crate::draw) fn place(&self, value: Value) -> Option<f64> {
        let part = (stretched(self.scale, value.value())? - self.from) / (self.to - self.from);
        Some((part * self.length).clamp(-FAR_OFF, FAR_OFF))
    }

    /// Whether a value stands on the axis, to a micrometre.
    pub(in crate::draw) fn on(&self, value: Value) -> Option<f64> {
        let on = |place: &f64| *place >= -1e-3 && *place <= self.length + 1e-3;
        self.place(value).filter(on)
    }

    /// The value at a place.
    pub(in crate::draw) fn value(&self, place: f64) -> Option<Value> {
        let at = self.from + (self.to - self.from) * (place / self.length);
        Value::new(match self.scale {
            Scale::Linear => at,
            Scale::Log => math::exp2(at),
            // The far end itself, but for the last digits of a double.
            Scale::Reciprocal if at >= -f64::EPSILON * self.from.abs() => f64::INFINITY,
            Scale::Reciprocal => -1.0 / at,
        })
    }
}

/// What an axis has even steps of; growing with the value.
fn stretched(scale: Scale, value: f64) -> Option<f64> {
    let at = match scale {
        Scale::Linear => value,
        Scale::Log if value > 0.0 => math::log2(value),
        Scale::Reciprocal if value > 0.0 => -1.0 / value,
        Scale::Log | Scale::Reciprocal => return None,
    };
    at.is_finite().then_some(at)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheets::Figures;

    fn value(value: f64) -> Value {
        Value::new(value).expect("a value")
    }

    fn rule(scale: Scale, from: f64, to: f64) -> Option<Rule> {
        let axis = Axis {
            name: String::new(),
            scale,
            figures: Figures::Numbers,
            from: value(from),
            to: value(to),
        };
        Rule::of(&axis, 120.0)
    }

    #[test]
    fn each_scale_has_even_steps_of_what_it_says() {
        let ends = f64::INFINITY;
        // Halfway: the mean, the geometric mean, twice the beginning.
        let halfway = [
            (Scale::Linear, 2.0, 10.0, 6.0),
            (Scale::Log, 2.0, 32.0, 8.0),
            (Scale::Reciprocal, 2.0, ends, 4.0),
            (Scale::Reciprocal, 2.0, 6.0, 3.0),
        ];
        for (scale, from, to, middle) in halfway {
            let rule = rule(scale, from, to).expect("an axis");
            let place = |at| rule.place(value(at)).expect("a place");
            assert!((place(middle) - 60.0).abs() < 1e-9, "{scale:?}");
            assert!(place(from).abs() < 1e-9 && (place(to) - 120.0).abs() < 1e-9);
            for tenth in 0..=10 {
                let at = 12.0 * f64::from(tenth);
                let there = rule.value(at).expect("a value");
                assert!((place(there.value()) - at).abs() < 1e-9, "{scale:?} {at}");
            }
        }
    }

    #[test]
    fn infinity_has_a_place_on_a_reciprocal_axis_alone() {
        let rule_of = |scale| rule(scale, 2.0, f64::INFINITY);
        assert!(rule_of(Scale::Linear).is_none() && rule_of(Scale::Log).is_none());
        let reciprocal = rule_of(Scale::Reciprocal).expect("an axis");
        assert_eq!(reciprocal.place(Value::INFINITY), Some(120.0));
        assert_eq!(reciprocal.value(120.0), Some(Value::INFINITY));
    }

    #[test]
    fn an_axis_without_extent_is_none() {
        for scale in [Scale::Linear, Scale::Log, Scale::Reciprocal] {
            assert!(rule(scale, 3.0, 3.0).is_none() && rule(scale, 3.0, 2.0).is_none());
        }
        assert!(rule(Scale::Log, 0.0, 2.0).is_none());
    }
}
