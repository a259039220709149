//! Reads what is screwed to a lens, as people type it.

use crate::optics::{Behind, BreathingRow, CloseUp, image_moved_by_filter};
use crate::units::{Length, Unreadable, parse, range};

const CLOSE_UP: Unreadable = Unreadable::NotThis {
    wanted: "a close-up lens",
    example: "+1@190mm: its dioptres, and where it sits from the image plane at this focus",
};

const EXTENDER: Unreadable = Unreadable::NotThis {
    wanted: "an extender",
    example: "1.4+15mm: its factor, and how much longer it makes the whole",
};

const FILTER: Unreadable = Unreadable::NotThis {
    wanted: "a filter",
    example: "1mm, or 1mm/1.52 with its refractive index",
};

const ROW: Unreadable = Unreadable::NotThis {
    wanted: "a magnification at a distance",
    example: "0.15@450mm, or 0.15@450mm/95mm with the entrance pupil in front of the image plane",
};

/// A close-up lens: `+1@190mm`, `+1/2@0.2m`.
///
/// # Errors
/// [`Unreadable`]: not one, or out of range.
pub fn close_up(text: &str) -> Result<CloseUp, Unreadable> {
    let (power, at) = text.split_once('@').ok_or(CLOSE_UP)?;
    let power = power.trim().trim_start_matches('+');
    let power = power.trim_end_matches(['d', 'D']).trim();
    let dioptres = match power.split_once('/') {
        Some((over, under)) => {
            let part = |text: &str| text.trim().parse::<u8>().map_err(|_| CLOSE_UP);
            range::DIOPTRES.check(f64::from(part(over)?) / f64::from(part(under)?))?
        }
        None => parse::number(power, &range::DIOPTRES)?,
    };
    Ok(CloseUp {
        dioptres,
        at: parse::length(at, &range::CLOSE_UP_AT)?,
    })
}

/// An extender or reducer: `1.4+15mm`, `2+30mm`, `0.71-8mm`.
///
/// # Errors
/// [`Unreadable`]: not one, or out of range.
pub fn extender(text: &str) -> Result<Behind, Unreadable> {
    let text = text.trim().trim_end_matches(' ');
    let sign = text.find(['+', '-', '−']);
    let (factor, length) = match sign {
        Some(at) if at > 0 => text.split_at(at),
        Some(_) => return Err(EXTENDER),
        None => (text, ""),
    };
    let factor = factor.trim().trim_end_matches(['x', 'X', '×']);
    let factor = parse::number(factor, &range::EXTENDER)?;
    let length = if length.is_empty() {
        return Err(EXTENDER);
    } else if let Some(longer) = length.strip_prefix('+') {
        parse::length(longer, &range::ADDED)?
    } else {
        parse::length(length, &range::ADDED)?
    };
    Ok(Behind::Extender { factor, length })
}

/// An extension tube: `10mm`.
///
/// # Errors
/// [`Unreadable`]: not a length, or out of range.
pub fn tube(text: &str) -> Result<Behind, Unreadable> {
    parse::length(text, &range::TUBE).map(|length| Behind::Tube { length })
}

/// The refractive index of common optical glass, where none is said (BK7 at
/// the d line).
const GLASS: f64 = 1.5168;

/// How far a filter of common glass behind a lens moves its image back.
#[must_use]
pub(super) fn filter_shift(thickness: Length) -> Length {
    image_moved_by_filter(thickness, GLASS)
}

/// A filter behind the lens: `1mm`, `4mm/1.52`.
///
/// # Errors
/// [`Unreadable`]: not one, or out of range.
pub fn filter(text: &str) -> Result<Behind, Unreadable> {
    let (thickness, index) = match text.split_once('/') {
        Some((thickness, index)) => {
            let index =
                parse::number(index, &range::REFRACTIVE_INDEX).map_err(|error| match error {
                    Unreadable::NotThis { .. } => FILTER,
                    other => other,
                })?;
            (thickness, index)
        }
        None => (text, GLASS),
    };
    Ok(Behind::Filter {
        thickness: parse::length(thickness, &range::FILTER)?,
        index,
    })
}

/// A row of a lens that breathes: `0.15@450mm`, `1:8@0.5m/95mm`.
///
/// # Errors
/// [`Unreadable`]: not one, or out of range.
pub fn breathing_row(text: &str) -> Result<BreathingRow, Unreadable> {
    let (m, rest) = text.split_once('@').ok_or(ROW)?;
    let (distance, pupil) = match rest.split_once('/') {
        Some((distance, pupil)) => (distance, Some(pupil)),
        None => (rest, None),
    };
    let magnification = match m.split_once(':') {
        Some((one, to)) => {
            let one = parse::number(one, &range::RATIO_PART)?;
            let to = parse::number(to, &range::RATIO_PART)?;
            range::MAGNIFICATION.check(one / to)?
        }
        None => parse::number(m, &range::MAGNIFICATION)?,
    };
    let pupil_station: Option<Length> = pupil
        .map(|text| parse::length(text, &range::ENTRANCE_PUPIL))
        .transpose()?;
    Ok(BreathingRow {
        magnification,
        rounding: magnification * rounding(m),
        distance: parse::length(distance, &range::DISTANCE)?,
        pupil_station,
    })
}

/// By what share a figure of so many digits may be off: half a unit of its last
/// place over the figure itself; of a ratio, of its second number. At most half.
#[must_use]
pub fn rounding(text: &str) -> f64 {
    let figure = text.rsplit(':').next().unwrap_or(text).trim();
    // A power of ten behind it moves the point and not the digits.
    let digits = figure.split(['e', 'E']).next().unwrap_or(figure);
    let value: f64 = digits.parse().unwrap_or(f64::INFINITY);
    let decimals = digits.split_once('.').map_or(0, |(_, part)| part.len());
    let unit = (0..decimals).fold(1.0, |unit, _| unit / 10.0);
    f64::min(unit / 2.0 / value, 0.5)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn attachments_read_as_they_are_called_out() {
        let one = close_up("+1/2@190mm").unwrap();
        assert_eq!((one.dioptres, one.at), (0.5, Length::mm(190.0)));
        assert_eq!(close_up("2@0.2m").unwrap().dioptres, 2.0);
        let longer = extender("1.4+15mm").unwrap();
        let Behind::Extender { factor, length } = longer else {
            panic!("an extender");
        };
        assert_eq!((factor, length), (1.4, Length::mm(15.0)));
        let Behind::Extender { length, .. } = extender("0.71-8mm").unwrap() else {
            panic!("a reducer");
        };
        assert_eq!(length, Length::mm(-8.0));
        let length = Length::mm(10.0);
        assert_eq!(tube("10mm").unwrap(), Behind::Tube { length });
        assert!(matches!(filter("4mm").unwrap(), Behind::Filter { index, .. } if index == GLASS));
        let row = breathing_row("1:8@0.5m/95mm").unwrap();
        assert_eq!(row.magnification, 0.125);
        // 8 may stand for anything from 7.5 to 8.5.
        assert_eq!(row.rounding, 0.125 / 16.0);
        let plain = breathing_row("0.15@450mm").unwrap();
        assert!((plain.rounding - 0.005).abs() < 1e-15);
        let by_powers = breathing_row("1.5e-1@450mm").unwrap();
        assert!((by_powers.rounding - 0.005).abs() < 1e-15);
        assert_eq!(row.pupil_station, Some(Length::mm(95.0)));
    }

    #[test]
    fn what_is_none_is_refused() {
        for text in [
            "", "1", "@190mm", "+1@", "-1@190mm", "1/0@90mm", "nan@1m", "+1@1",
        ] {
            assert!(close_up(text).is_err(), "{text}");
        }
        for text in ["", "1.4", "+15mm", "1.4+", "1.4+15", "9+15mm", "x+1mm"] {
            assert!(extender(text).is_err(), "{text}");
        }
        for text in ["", "mm", "-1mm", "4mm/0.5", "4mm/x", "4"] {
            assert!(filter(text).is_err(), "{text}");
        }
        for text in ["", "0.1", "0@1m", "1:0@1m", "0.1@inf", "0.1@1m/x"] {
            assert!(breathing_row(text).is_err(), "{text}");
        }
    }
}
