//! Distances as rings carry them.

use crate::units::show::{self, Round, Step};
use crate::units::{FocusDistance, Length, Reach, Unit};

/// A figure as rings carry them: feet as plain numbers with 2′6 style
/// sub-marks, metres as plain numbers.
pub(super) fn ring_figure(distance: FocusDistance, unit: Unit) -> String {
    let Reach::At(length) = distance.reach() else {
        return "∞".into();
    };
    match unit {
        Unit::Metres => {
            // A mark that was computed has no end of digits.
            let step = Step::TenthsOfMm(if length < Length::mm(100.0) { 1 } else { 10 });
            let shown = show::rounded_length(length, step, Round::Nearest);
            show::exact(shown, unit).trim_end_matches(" m").to_owned()
        }
        Unit::Feet => {
            // A quarter inch, or finer where that is more than half a hundredth off.
            let close = |step: &Step| {
                let shown = show::rounded_length(length, *step, Round::Nearest);
                (shown - length).abs() <= length * 0.005
            };
            let steps = [16, 8, 4, 2].map(Step::Inch64ths);
            let step = steps.into_iter().find(close).unwrap_or(Step::Inch64ths(1));
            let shown = show::rounded(length, step, Round::Nearest);
            match shown.split_once('′') {
                Some((feet, "")) => feet.to_owned(),
                Some((feet, inches)) => format!("{feet}′{}", inches.trim_end_matches('″')),
                None => shown,
            }
        }
    }
}

/// The figure with its unit, for words.
pub(super) fn named_figure(distance: FocusDistance, unit: Unit) -> String {
    match ring_figure(distance, unit) {
        figure if figure == "∞" => "infinity".to_owned(),
        figure => with_unit(&figure, unit),
    }
}

/// A figure of a ring with its unit, where it leaves that open.
pub(super) fn with_unit(figure: &str, unit: Unit) -> String {
    match unit {
        _ if figure.contains(['∞', '′', '″']) => figure.to_owned(),
        Unit::Feet => format!("{figure} ft"),
        Unit::Metres => format!("{figure} m"),
    }
}

/// The unit a distance is called in on a tape in `tape`: that of the ring's own
/// scale where it is exact there, else the one in which it is rounder.
pub(super) fn called_in(distance: FocusDistance, own: Option<Unit>, tape: Unit) -> Unit {
    if distance.is_infinite() {
        return tape;
    }
    if let Some(own) = own.filter(|&own| oddness(distance, own) < ODD) {
        return own;
    }
    let other = match tape {
        Unit::Feet => Unit::Metres,
        Unit::Metres => Unit::Feet,
    };
    if oddness(distance, other) < oddness(distance, tape) {
        other
    } else {
        tape
    }
}

/// Not a whole number of the finest steps.
const ODD: usize = 4;

/// How far a distance is from a round number in a unit, from 0 (whole feet or
/// metres) to [`ODD`].
fn oddness(distance: FocusDistance, unit: Unit) -> usize {
    let Reach::At(length) = distance.reach() else {
        return 0;
    };
    let steps: [Step; ODD] = match unit {
        // Feet, inches, half and quarter inches.
        Unit::Feet => [12 * 64, 64, 32, 16].map(Step::Inch64ths),
        // Metres, tenths, twentieths, centimetres.
        Unit::Metres => [10_000, 1_000, 500, 100].map(Step::TenthsOfMm),
    };
    let is_whole = |step: &Step| {
        let nearest = show::rounded_length(length, *step, Round::Nearest);
        (nearest - length).abs() <= length * 1e-9
    };
    steps.iter().position(is_whole).unwrap_or(ODD)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn called(millimetres: f64, own: Option<Unit>, tape: Unit) -> (String, Unit) {
        let distance = FocusDistance::computed(Reach::At(Length::mm(millimetres)));
        let unit = called_in(distance, own, tape);
        (named_figure(distance, unit), unit)
    }

    #[test]
    fn a_distance_is_called_in_the_unit_it_is_round_in() {
        // 1 ft = 304.8 mm exactly.
        for (millimetres, name) in [
            (914.4, "3 ft"),
            (254.0, "10″"),
            (7620.0, "25 ft"),
            (685.8, "2′3"),
            (350.0, "0.35 m"),
            (1370.0, "1.37 m"),
            (2000.0, "2 m"),
        ] {
            for tape in [Unit::Feet, Unit::Metres] {
                assert_eq!(called(millimetres, None, tape).0, name);
            }
        }
        // 1.27 m are 50 inches: the ring's own scale decides.
        assert_eq!(called(1270.0, Some(Unit::Metres), Unit::Feet).0, "1.27 m");
        assert_eq!(called(1270.0, Some(Unit::Feet), Unit::Metres).0, "4′2");
        // Exact in neither: as the tape has it.
        for tape in [Unit::Feet, Unit::Metres] {
            assert_eq!(called(318.73, Some(Unit::Feet), tape).1, tape);
        }
    }
}
