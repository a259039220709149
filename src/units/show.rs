//! Writes what people read: distances exact, or rounded to the safe side.
//!
//! Feet are shown through whole fractions of an inch and split after rounding,
//! so 5′12″ cannot occur.

use super::parse::Unit;
use super::{FocusDistance, Length, Reach};

/// A length exactly, so that reading it back gives the same length bit for bit.
#[must_use]
pub fn exact(length: Length, unit: Unit) -> String {
    match (unit, length.to_inch_64ths()) {
        (Unit::Feet, Some(count)) if count > 0 => in_64ths(count),
        _ => metres(length),
    }
}

/// A distance exactly, `∞` for infinity.
#[must_use]
pub fn exact_distance(distance: FocusDistance, unit: Unit) -> String {
    match distance.reach() {
        Reach::At(length) => exact(length, unit),
        Reach::Infinity => "∞".into(),
    }
}

/// A length exactly as it was meant; one that was worked out, to the nearest step
/// fine enough to set by.
#[must_use]
pub fn as_meant(distance: Reach<Length>, unit: Unit) -> String {
    match distance {
        Reach::At(length) if !is_worked_out(length) => exact(length, unit),
        _ => to_set_by(distance, Reach::Infinity, unit, Round::Nearest),
    }
}

/// A setting of the ring in steps fine enough to set by, and for a sharp range.
#[must_use]
pub fn to_set_by(focus: Reach<Length>, depth: Reach<Length>, unit: Unit, round: Round) -> String {
    // A hundred steps fit into what is shown.
    let fine = match (focus.map(|length| length / 25.0), depth) {
        (Reach::At(fine), Reach::At(depth)) if depth < fine => Reach::At(depth),
        (fine, _) => fine,
    };
    match focus {
        Reach::At(length) => rounded(length, step_for(focus, unit, fine), round),
        Reach::Infinity => "∞".into(),
    }
}

/// Whether a length is no figure anybody writes: not whole in hundredths of a
/// millimetre nor in 1/64 inch.
#[must_use]
pub fn is_worked_out(length: Length) -> bool {
    let hundredths = length.to_mm() * 100.0;
    hundredths != libm::round(hundredths) && length.to_inch_64ths().is_none()
}

/// Which way a figure may be wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Round {
    /// To the larger figure: near limits, hyperfocal distances.
    Up,
    /// To the smaller figure: far limits, miss tolerances.
    Down,
    /// To the nearest figure.
    Nearest,
}

/// The step a rounded figure goes by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// So many 1/64 inch.
    Inch64ths(i64),
    /// So many tenths of a millimetre.
    TenthsOfMm(i64),
}

impl Step {
    /// The step's size.
    #[must_use]
    pub const fn length(self) -> Length {
        match self {
            Self::Inch64ths(count) => Length::from_inch_64ths(count),
            Self::TenthsOfMm(count) => Length::mm(count as f64 / 10.0),
        }
    }
}

/// The step for figures about `distance`: 1 in or 2 cm beyond 2 m, ½ in or
/// 1 cm from 1 to 2 m, ¼ in or 5 mm nearer; finer where `depth`, the whole
/// sharp range, is under four such steps.
#[must_use]
pub fn step_for(distance: Reach<Length>, unit: Unit, depth: Reach<Length>) -> Step {
    const INCH: [i64; 7] = [64, 32, 16, 8, 4, 2, 1];
    const METRE: [i64; 8] = [200, 100, 50, 20, 10, 5, 2, 1];
    let start = match distance {
        Reach::At(length) if length < Length::m(1.0) => 2,
        Reach::At(length) if length <= Length::m(2.0) => 1,
        _ => 0,
    };
    let steps: &[i64] = match unit {
        Unit::Feet => &INCH[start..],
        Unit::Metres => &METRE[start..],
    };
    let step = |count: i64| match unit {
        Unit::Feet => Step::Inch64ths(count),
        Unit::Metres => Step::TenthsOfMm(count),
    };
    let enough = |count: &&i64| match depth {
        Reach::At(depth) => depth >= step(**count).length() * 4.0,
        Reach::Infinity => true,
    };
    step(*steps.iter().find(enough).unwrap_or(&1))
}

/// The most steps a figure is counted in.
const MOST_STEPS: f64 = 1e13;

/// A length rounded to whole steps.
#[must_use]
pub fn rounded(length: Length, step: Step, round: Round) -> String {
    let count = whole_steps(length, step, round);
    match step {
        Step::Inch64ths(size) => in_64ths(count.saturating_mul(size)),
        Step::TenthsOfMm(size) => in_tenths_of_mm(count.saturating_mul(size), size),
    }
}

/// The rounded length itself, for comparing with what is shown.
#[must_use]
pub fn rounded_length(length: Length, step: Step, round: Round) -> Length {
    let count = whole_steps(length, step, round);
    match step {
        Step::Inch64ths(size) => Length::from_inch_64ths(count.saturating_mul(size)),
        Step::TenthsOfMm(size) => Length::mm(count.saturating_mul(size) as f64 / 10.0),
    }
}

/// Whole steps in a length. A length that stands on a step to within the last
/// digits of a double is that step, whichever way figures are rounded.
fn whole_steps(length: Length, step: Step, round: Round) -> i64 {
    let steps = length.to_mm() / step.length().to_mm();
    let nearest = libm::round(steps);
    let on_step = (steps - nearest).abs() <= 1e-9 * nearest.abs().max(1.0);
    let steps = match round {
        _ if on_step => nearest,
        Round::Up => libm::ceil(steps),
        Round::Down => libm::floor(steps),
        Round::Nearest => nearest,
    };
    // Beyond what any world holds a figure is cut, not wrapped.
    steps.clamp(-MOST_STEPS, MOST_STEPS) as i64
}

/// Feet and inches from a whole count of 1/64 inch: `8′6½″`, `11¾″`, `5′7 3⁄16″`.
#[must_use]
pub fn in_64ths(count: i64) -> String {
    let sign = if count < 0 { "−" } else { "" };
    let count = count.saturating_abs();
    let (inches, part) = (count / 64, count % 64);
    let (feet, inches) = (inches / 12, inches % 12);
    let fraction = fraction_64ths(part);
    let gap = if fraction.chars().count() > 1 && inches > 0 {
        " "
    } else {
        ""
    };
    match (feet, inches, part) {
        (0, 0, 0) => "0″".into(),
        (0, 0, _) => format!("{sign}{fraction}″"),
        (0, _, _) => format!("{sign}{inches}{gap}{fraction}″"),
        (_, 0, 0) => format!("{sign}{feet}′"),
        (_, 0, _) if fraction.chars().count() > 1 => format!("{sign}{feet}′0 {fraction}″"),
        (_, _, _) => format!("{sign}{feet}′{inches}{gap}{fraction}″"),
    }
}

fn fraction_64ths(part: i64) -> String {
    let one = match part {
        0 => "",
        8 => "⅛",
        16 => "¼",
        24 => "⅜",
        32 => "½",
        40 => "⅝",
        48 => "¾",
        56 => "⅞",
        _ => {
            let shift = part.trailing_zeros();
            return format!("{}⁄{}", part >> shift, 64 >> shift);
        }
    };
    one.into()
}

/// Feet and inches to the nearest 1/16 inch.
#[must_use]
pub fn nearest_16th(length: Length) -> String {
    rounded(length, Step::Inch64ths(4), Round::Nearest)
}

fn in_tenths_of_mm(tenths: i64, step: i64) -> String {
    let decimals = match step {
        step if step % 100 == 0 => 2,
        step if step % 10 == 0 => 3,
        _ => 4,
    };
    let sign = if tenths < 0 { "−" } else { "" };
    let metres = tenths.saturating_abs() as f64 / 10_000.0;
    format!("{sign}{metres:.decimals$} m")
}

/// Metres with exactly the digits the millimetres have.
fn metres(length: Length) -> String {
    let digits = format!("{}", length.to_mm().abs());
    let sign = if length.to_mm() < 0.0 { "-" } else { "" };
    // Move the point three places, in text: binary division would add digits.
    let (whole, part) = digits.split_once('.').unwrap_or((digits.as_str(), ""));
    let whole = format!("{whole:0>4}");
    let (metres, thousandths) = whole.split_at(whole.len() - 3);
    let decimals = format!("{thousandths}{part}");
    let decimals = decimals.trim_end_matches('0');
    if decimals.is_empty() {
        format!("{sign}{metres} m")
    } else {
        format!("{sign}{metres}.{decimals} m")
    }
}
