//! Circle rules as people write them.

use crate::optics::CircleRule;
use crate::units::{Length, Unreadable, parse, range};

const WANTED: Unreadable = Unreadable::NotThis {
    wanted: "a circle of confusion",
    example: "0.025mm, 25um, 0.001in, diagonal/1500, pixels:2/4096, lines:40/mm or viewing:10m@12m",
};

/// Reads a circle rule: `0.025mm`, `25um`, `0.001in`, `diagonal/1500`,
/// `pixels:2/4096` (two photosites of 4096 across), `lines:40/mm` (1/40 mm) or
/// `viewing:10m@12m` (screen width at viewing distance, 1 arcmin;
/// `viewing:10m@12m/2.5arcmin` for another acuity).
///
/// # Errors
/// [`Unreadable`]: of none of these forms, or a figure out of range.
pub fn circle_rule(text: &str) -> Result<CircleRule, Unreadable> {
    let clean = text.trim().to_lowercase();
    if let Some(divisor) = clean.strip_prefix("diagonal") {
        let divisor = divisor.trim().strip_prefix('/').ok_or(WANTED)?;
        let divisor = parse::number(divisor, &range::DIAGONAL_DIVISOR)?;
        return Ok(CircleRule::Diagonal { divisor });
    }
    if let Some(rest) = clean.strip_prefix("pixels:") {
        let (count, across) = rest.split_once('/').ok_or(WANTED)?;
        let count = parse::number(count, &range::PIXELS)?;
        let across = parse::number(across, &range::PIXELS)?;
        return Ok(CircleRule::Pixels { count, across });
    }
    if let Some(rest) = clean.strip_prefix("lines:") {
        let per_mm = rest.trim().strip_suffix("/mm").ok_or(WANTED)?;
        let per_mm = parse::number(per_mm, &range::LINES_PER_MM)?;
        return Ok(CircleRule::Lines { per_mm });
    }
    if let Some(rest) = clean.strip_prefix("viewing:") {
        return viewing(rest);
    }
    parse::length(&clean, &range::CIRCLE)
        .map(CircleRule::Fixed)
        .map_err(|error| match error {
            Unreadable::NotThis { .. } => WANTED,
            other => other,
        })
}

fn viewing(rest: &str) -> Result<CircleRule, Unreadable> {
    let (screen, rest) = rest.split_once('@').ok_or(WANTED)?;
    let (distance, arcmin) = match rest.split_once('/') {
        None => (rest, 1.0),
        Some((distance, acuity)) => {
            let acuity = acuity.trim().strip_suffix("arcmin").ok_or(WANTED)?;
            (distance, parse::number(acuity, &range::ACUITY)?)
        }
    };
    let read = |text: &str| -> Result<Length, Unreadable> { parse::length(text, &range::DISTANCE) };
    Ok(CircleRule::Viewing {
        screen: read(screen)?,
        distance: read(distance)?,
        arcmin,
    })
}

/// A rule in words.
#[must_use]
pub fn circle_rule_in_words(rule: CircleRule) -> String {
    match rule {
        CircleRule::Fixed(diameter) => format!("{} mm", diameter.to_mm()),
        CircleRule::Diagonal { divisor } => format!("gate diagonal/{divisor}"),
        CircleRule::Pixels { count, across } => {
            format!("{count} photosites of {across} across the gate")
        }
        CircleRule::Lines { per_mm } => format!("{per_mm} line pairs a millimetre"),
        CircleRule::Contrast { contrast, per_mm } => {
            format!("contrast {contrast} at {per_mm} cycles/mm")
        }
        CircleRule::Viewing {
            screen,
            distance,
            arcmin,
        } => format!(
            "{arcmin} arcmin on a screen {} m wide seen from {} m",
            screen.to_mm() / 1000.0,
            distance.to_mm() / 1000.0
        ),
    }
}
