//! Lengths, angles, gates and plain numbers.

use super::text::{decimal, leading_number, no_number, plain};
use super::{BareUnit, Unit, Unreadable};
use crate::units::range::Range;
use crate::units::{Angle, Gain, Length, Reach, range};

/// Reads a length in `mm`, `cm`, `m`, `um`, `in` or feet; it may be negative.
///
/// # Errors
/// [`Unreadable`]: no length, no unit, or outside `range` (whose figures are
/// millimetres).
pub fn length(text: &str, range: &'static Range) -> Result<Length, Unreadable> {
    let clean = plain(text);
    let (digits, rest) = leading_number(&clean);
    let Some(_) = decimal(digits, 0) else {
        return Err(no_number(
            &clean,
            range.name,
            "a length",
            "50mm, 2in or 0.025mm",
        ));
    };
    let scaled = match rest {
        "mm" => decimal(digits, 0),
        "cm" => decimal(digits, 1),
        "m" => decimal(digits, 3),
        "um" | "micron" | "microns" => decimal(digits, -3),
        "" => {
            return Err(Unreadable::BareNumber {
                number: digits.to_owned(),
                habit: Some(Unit::Metres),
            });
        }
        "in" | "inch" | "inches" | "\"" => decimal(digits, 0).map(|inches| inches * 25.4),
        _ => match super::distance(&clean, BareUnit::Refused(None))?.reach() {
            Reach::At(length) => Some(length.to_mm()),
            Reach::Infinity => None,
        },
    };
    let mm = scaled.ok_or(Unreadable::NotFinite { name: range.name })?;
    range.check(mm).map(Length::mm)
}

/// Reads an angle such as `300deg`, `300°` or `-4.5 deg`.
///
/// # Errors
/// [`Unreadable`]: no angle, no unit, or outside `range`.
pub fn angle(text: &str, range: &'static Range) -> Result<Angle, Unreadable> {
    let clean = plain(text);
    let (digits, rest) = leading_number(&clean);
    match (decimal(digits, 0), rest) {
        (Some(degrees), "deg" | "°" | "degrees" | "degree") => {
            range.check(degrees).map(Angle::deg)
        }
        (Some(_), "") => Err(Unreadable::BareNumber {
            number: digits.to_owned(),
            habit: None,
        }),
        _ => Err(no_number(&clean, range.name, "an angle", "300deg")),
    }
}

/// Reads a ring gain such as `30deg/mm`: the ring's turn for each millimetre
/// the lens moves.
///
/// # Errors
/// [`Unreadable`]: not of that form, or out of range.
pub fn gain(text: &str) -> Result<Gain, Unreadable> {
    let clean = plain(text);
    let (digits, rest) = leading_number(&clean);
    match (decimal(digits, 0), rest) {
        (Some(value), "deg/mm" | "°/mm") => Gain::new(value),
        _ => Err(no_number(
            &clean,
            range::GAIN.name,
            "a ring gain",
            "30deg/mm",
        )),
    }
}

/// Reads a plain number.
///
/// # Errors
/// [`Unreadable`]: no number, or outside `range`.
pub fn number(text: &str, range: &'static Range) -> Result<f64, Unreadable> {
    let clean = plain(text);
    let (digits, rest) = leading_number(&clean);
    match decimal(digits, 0).filter(|_| rest.is_empty()) {
        Some(value) => range.check(value),
        None => Err(no_number(&clean, range.name, "a number", "1.85")),
    }
}

/// Reads a gate, `24.89x18.66mm` or `0.980x0.735in`: width by height.
///
/// # Errors
/// [`Unreadable`]: not of that form, no unit, or a side out of range.
pub fn gate(text: &str) -> Result<(Length, Length), Unreadable> {
    const WRONG: Unreadable = Unreadable::NotThis {
        wanted: "a gate",
        example: "24.89x18.66mm or 0.980x0.735in",
    };
    let clean = plain(text);
    let (width, height) = clean.split_once('x').ok_or(WRONG)?;
    let (height, unit) = leading_number(height.trim());
    let width = width.trim();
    let (width, own_unit) = leading_number(width);
    if !own_unit.is_empty() && own_unit != unit {
        return Err(WRONG);
    }
    let side = |digits: &str| {
        let number = decimal(digits, 0)
            .ok_or_else(|| no_number(digits, range::GATE_SIDE.name, "a gate", "24.89x18.66mm"))?;
        let mm = match unit {
            "mm" => number,
            "in" | "inch" | "inches" | "\"" => number * 25.4,
            "" => {
                return Err(Unreadable::BareNumber {
                    number: clean.clone(),
                    habit: None,
                });
            }
            _ => return Err(WRONG),
        };
        range::GATE_SIDE.check(mm).map(Length::mm)
    };
    Ok((side(width)?, side(height)?))
}
