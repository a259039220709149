//! Distances as they are called out and taped.

use super::text::{decimal, leading_number, looks_like_a_date, plain, spells_no_number};
use super::{BareUnit, Unit, Unreadable};
use crate::units::show;
use crate::units::{FocusDistance, Length, range};

const NO: Unreadable = Unreadable::NotThis {
    wanted: "a distance",
    example: "8'6\", 8ft6 1/2in, 102in, 2.6m, 260cm, 2600mm or inf",
};

/// Reads a distance from the image plane.
///
/// Feet, inches and fractions are added as whole 1/64 inch and become
/// millimetres once; decimal metres become millimetres exactly as typed.
///
/// # Errors
/// [`Unreadable`]: not a distance, without a unit, decimal feet, a date,
/// zero or below, not a number, or beyond what a distance may be.
///
/// # Example
/// ```
/// use markwright::units::{parse, BareUnit, Length, Reach};
/// let taped = parse::distance("5'6\"", BareUnit::Refused(None)).unwrap();
/// // 5 ft 6 in is 1.6764 m exactly (25.4 mm to the inch).
/// assert_eq!(taped.reach(), Reach::At(Length::mm(1676.4)));
/// ```
pub fn distance(text: &str, bare: BareUnit) -> Result<FocusDistance, Unreadable> {
    let clean = plain(text);
    if matches!(clean.as_str(), "inf" | "infinity" | "∞") {
        return Ok(FocusDistance::INFINITY);
    }
    if spells_no_number(&clean) {
        return Err(Unreadable::NotFinite { name: "distance" });
    }
    if looks_like_a_date(text) {
        return Err(Unreadable::SpreadsheetDate);
    }
    FocusDistance::at(finite(&clean, bare)?)
}

/// A finite length in any unit of distance.
fn finite(clean: &str, bare: BareUnit) -> Result<Length, Unreadable> {
    let (digits, rest) = leading_number(clean);
    if decimal(digits, 0).is_none() {
        // A fraction may stand alone: 1/2in, ½".
        let fraction = inches(clean).filter(|_| clean.contains('/'));
        return fraction.ok_or_else(|| fraction_of_feet(clean).unwrap_or(NO));
    }
    match rest {
        "" => without_unit(digits, bare),
        "mm" => metric(digits, 0),
        "cm" => metric(digits, 1),
        "m" | "metres" | "meters" | "metre" | "meter" => metric(digits, 3),
        "km" => metric(digits, 6),
        _ => imperial(clean, digits, rest, bare),
    }
}

fn metric(digits: &str, places: i32) -> Result<Length, Unreadable> {
    let mm = decimal(digits, places).ok_or(NO)?;
    range::DISTANCE.check(mm).map(Length::mm)
}

fn without_unit(digits: &str, bare: BareUnit) -> Result<Length, Unreadable> {
    /// Spreadsheets keep dates as days since 1900: a whole number in the ten
    /// thousands on a lens's scale is one, and no distance.
    const DAYS: f64 = 10_000.0;
    let is_date = is_whole(digits) && decimal(digits, 0).is_some_and(|number| number >= DAYS);
    match bare {
        BareUnit::Engraved(_) if is_date => Err(Unreadable::SpreadsheetDate),
        BareUnit::Engraved(Unit::Metres) => metric(digits, 3),
        BareUnit::Engraved(Unit::Feet) => feet_alone(digits),
        BareUnit::Refused(Some(Unit::Feet)) if !is_whole(digits) => feet_alone(digits),
        BareUnit::Refused(habit) => Err(Unreadable::BareNumber {
            number: digits.to_owned(),
            habit,
        }),
    }
}

/// Feet and inches, or inches alone.
fn imperial(clean: &str, digits: &str, rest: &str, bare: BareUnit) -> Result<Length, Unreadable> {
    if let Some(after) = ["feet", "foot", "ft", "'"]
        .iter()
        .find_map(|u| rest.strip_prefix(u))
    {
        let after = after.trim_start_matches([' ', '-']);
        if after.is_empty() {
            return feet_alone(digits);
        }
        return feet_and_inches(digits, after);
    }
    if let Some(length) = inches(clean) {
        return Ok(length);
    }
    if let Some(refusal) = fraction_of_feet(clean) {
        return Err(refusal);
    }
    // 8-6 and 8 6, where feet are what people here think in; 8 1/2 may be feet
    // or inches.
    let after = rest.strip_prefix('-').unwrap_or(rest);
    if after.starts_with(|c: char| c.is_ascii_digit()) && is_whole(digits) {
        let (_, behind) = leading_number(after);
        return if bare.habit() == Some(Unit::Feet) && !behind.starts_with('/') {
            feet_and_inches(digits, after)
        } else {
            Err(Unreadable::BareNumber {
                number: clean.to_owned(),
                habit: bare.habit(),
            })
        };
    }
    Err(NO)
}

/// Whole feet, or a refusal with both readings.
fn feet_alone(digits: &str) -> Result<Length, Unreadable> {
    let feet = decimal(digits, 0).ok_or(NO)?;
    if is_whole(digits) {
        return range::DISTANCE.check(feet * 1524.0 / 5.0).map(Length::mm);
    }
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let inches: Option<i64> = part.parse().ok().filter(|&n| (1..12).contains(&n));
    let whole_feet: Option<i64> = if whole.is_empty() {
        Some(0)
    } else {
        whole.parse().ok()
    };
    let as_feet_and_inches = match (whole_feet, inches) {
        (Some(feet), Some(inches)) if feet.abs() < 1_000_000 => {
            Some(show::in_64ths((feet * 12 + inches) * 64))
        }
        _ => None,
    };
    // What is no distance either way is told as such.
    let decimal_feet = range::DISTANCE.check(feet * 304.8).map(Length::mm)?;
    Err(Unreadable::AmbiguousFeet {
        as_feet_and_inches,
        as_decimal: show::nearest_16th(decimal_feet),
    })
}

/// A fraction before the sign for feet, refused with both readings: the sign is
/// easily typed for that of inches.
fn fraction_of_feet(clean: &str) -> Option<Unreadable> {
    let body = ["feet", "foot", "ft", "'"]
        .iter()
        .find_map(|unit| clean.strip_suffix(unit))?;
    let is_fraction = body.contains('/') && body.trim_end().ends_with(|c: char| c.is_ascii_digit());
    let (count, off_grid) = inch_figures(body).filter(|_| is_fraction)?;
    let number = count as f64 / 64.0 + off_grid;
    let read = |inches: f64| Some(show::nearest_16th(Length::try_mm(inches * 25.4).ok()?));
    Some(Unreadable::FractionOfFeet {
        as_feet: read(number * 12.0)?,
        as_inches: read(number)?,
    })
}

fn feet_and_inches(feet: &str, after: &str) -> Result<Length, Unreadable> {
    if !is_whole(feet) {
        return Err(NO);
    }
    let feet = decimal(feet, 0).ok_or(NO)?;
    let (count, off_grid) = inch_figures(after).ok_or(NO)?;
    let inches = count as f64 / 64.0 + off_grid;
    // 5'12" is 6': one of the two figures is a slip.
    if inches >= 12.0 || feet < 0.0 || feet.abs() > 1e9 {
        return Err(NO);
    }
    if off_grid == 0.0 {
        return Ok(Length::from_inch_64ths(feet as i64 * 768 + count));
    }
    Length::try_mm((feet * 12.0 + inches) * 25.4).map_err(|_| NO)
}

/// Inches alone: `102in`, `6 1/2"`, `1/2 in`.
fn inches(clean: &str) -> Option<Length> {
    let body = ["inches", "inch", "in", "\""]
        .iter()
        .find_map(|unit| clean.strip_suffix(unit))?;
    let (negative, body) = match body.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, body),
    };
    let (count, off_grid) = inch_figures(body)?;
    let length = if off_grid == 0.0 {
        Length::from_inch_64ths(count)
    } else {
        Length::try_mm((count as f64 / 64.0 + off_grid) * 25.4).ok()?
    };
    Some(if negative { -length } else { length })
}

/// Figures of inches as a whole count of 1/64 and what is off that grid.
///
/// `6`, `6.5`, `6 1/2`, `1/2`, with or without the closing unit.
fn inch_figures(text: &str) -> Option<(i64, f64)> {
    let text = text.trim();
    let text = ["inches", "inch", "in", "\""]
        .iter()
        .find_map(|unit| text.strip_suffix(unit))
        .unwrap_or(text)
        .trim();
    let (digits, rest) = leading_number(text);
    if digits.starts_with(['-', '+']) {
        return None;
    }
    if let Some(under) = rest.strip_prefix('/') {
        return fraction(digits, under).map(on_grid);
    }
    let whole = decimal(digits, 0)?;
    let rest = rest.trim_start_matches('-').trim_start();
    if rest.is_empty() {
        return Some(on_grid(whole));
    }
    let (over, under) = rest.split_once('/')?;
    if !is_whole(digits) {
        return None;
    }
    let part = fraction(over, under).filter(|&part| part < 1.0)?;
    Some(on_grid(whole + part))
}

fn fraction(over: &str, under: &str) -> Option<f64> {
    let over: u32 = over.trim().parse().ok()?;
    let under: u32 = under.trim().parse().ok()?;
    (over > 0 && under > 0 && under <= 1000 && over <= 100_000)
        .then(|| f64::from(over) / f64::from(under))
}

fn on_grid(inches: f64) -> (i64, f64) {
    // What no distance can be needs no grid.
    if inches > 1e9 {
        return (0, inches);
    }
    let count = libm::floor(inches * 64.0);
    (count as i64, inches - count / 64.0)
}

fn is_whole(digits: &str) -> bool {
    match digits.split_once('.') {
        _ if digits.contains('e') => {
            decimal(digits, 0).is_some_and(|number| number == libm::floor(number))
        }
        Some((_, part)) => part.bytes().all(|b| b == b'0'),
        None => true,
    }
}
