//! What stands in every answer in words: the setup it is about, stops, ≈.

use super::fitted::fitted_line;
use crate::answers::Premises;
use crate::units::{Division, FNumber, Length, MarkedStop, Reach, StopKind, TNumber};

/// Lens, stop and circle on a line, and what is on the lens on another.
pub(super) fn setup_line(premises: &Premises) -> String {
    format!(
        "{} mm · {} · {}\n{}",
        premises.focal_length.to_mm(),
        as_set(premises.f_number, premises.t_number),
        circle(premises.circle, &premises.circle_rule),
        fitted_line(&premises.on_the_lens)
    )
}

/// A circle in both units, and its rule.
pub(super) fn circle(circle: Length, rule: &str) -> String {
    let (mm, inches) = (circle.to_mm(), circle.to_inches());
    format!("circle {mm:.4} mm ({inches:.5} in), {rule}")
}

/// A stop that is worked at: the mark it stands on, else to the nearest figure.
pub(super) fn as_set(n: FNumber, t: Option<TNumber>) -> String {
    let named = |kind: StopKind, number: f64| {
        let mark = MarkedStop::at_least(kind, number, Division::Third);
        let on_it = (mark.stop().number() / number - 1.0).abs() < 1e-9;
        match (on_it, kind) {
            (true, _) => mark.to_string(),
            (false, StopKind::F) => format!("f/{number:.2}"),
            (false, StopKind::T) => format!("T{number:.2}"),
        }
    };
    match t {
        Some(t) => format!("{} (f/{:.2})", named(StopKind::T, t.value()), n.value()),
        None => named(StopKind::F, n.value()),
    }
}

/// The mark before figures that are cautious.
pub(super) fn about(cautious: bool) -> &'static str {
    if cautious { "≈ " } else { "" }
}

/// How far apart two distances are; infinite when either is.
pub(super) fn apart(near: Reach<Length>, far: Reach<Length>) -> Reach<Length> {
    match (near, far) {
        (Reach::At(near), Reach::At(far)) => Reach::At(far - near),
        _ => Reach::Infinity,
    }
}
