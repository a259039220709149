//! Light, contrast and photosites as people write them.

use super::Unreadable;
use super::text::{decimal, leading_number, no_number, plain};
use crate::units::range::{self, Range};
use crate::units::{
    Contrast, ContrastAt, DetectorPitch, Length, Light, Ratio, SpatialFrequency, Wavelength,
};

const LIGHT: &str = "550nm, 486nm,546nm,633nm or 486nm:1,546nm:2,633nm:1";
const CONTRAST: (&str, &str) = ("a contrast at a frequency", "0.3@40/mm");

/// Reads light: a wavelength, `550nm` or `0.55um`; several in equal shares,
/// `486nm,546nm,633nm`; or several with weights, `486nm:1,546nm:2,633nm:1`. A
/// weight is how much of that light there is, times how much it counts; only
/// their proportions matter, and one that is not written is 1.
///
/// # Errors
/// [`Unreadable`]: not of that form, no unit, or a figure out of range.
///
/// # Example
/// ```
/// use markwright::units::parse;
/// let light = parse::light("486nm:1,546nm:2,633nm:1").unwrap();
/// assert_eq!(light.lines()[1].share.value(), 0.5);
/// ```
pub fn light(text: &str) -> Result<Light, Unreadable> {
    let lines = text
        .split(',')
        .map(|part| {
            let (length, weight) = match part.split_once(':') {
                Some((length, weight)) => {
                    let weight = super::number(weight, &range::WEIGHT)?;
                    let finite = |_| Unreadable::NotFinite {
                        name: range::WEIGHT.name,
                    };
                    (length, Ratio::new(weight).map_err(finite)?)
                }
                None => (part, Ratio::ONE),
            };
            let length = small_length(length, &range::WAVELENGTH, "light", LIGHT)?;
            Ok((Wavelength::new(length)?, weight))
        })
        .collect::<Result<Vec<_>, Unreadable>>()?;
    Light::weighted(&lines)
}

/// Reads the distance between photosites: `5um`, `4400nm` or `0.0044mm`.
///
/// # Errors
/// [`Unreadable`]: no length, no unit, or out of range.
pub fn pitch(text: &str) -> Result<DetectorPitch, Unreadable> {
    let length = small_length(text, &range::DETECTOR_PITCH, "a photosite pitch", "5um")?;
    DetectorPitch::new(length)
}

/// Reads what is to count as sharp, `0.3@40/mm`: a contrast of 0.3 at 40 cycles
/// (line pairs) a millimetre on the image plane. `30%@40/mm` is the same.
///
/// # Errors
/// [`Unreadable`]: not of that form, or a figure out of range.
pub fn contrast_at(text: &str) -> Result<ContrastAt, Unreadable> {
    let clean = plain(text);
    let refused = |part: &str, range: &Range| no_number(part, range.name, CONTRAST.0, CONTRAST.1);
    let (contrast, frequency) = clean
        .split_once('@')
        .ok_or_else(|| refused(&clean, &range::CONTRAST))?;
    let (digits, unit) = leading_number(contrast.trim());
    let contrast = match unit {
        "" => decimal(digits, 0),
        "%" => decimal(digits, -2),
        _ => None,
    };
    let contrast = contrast.ok_or_else(|| refused(&clean, &range::CONTRAST))?;
    let frequency = frequency.trim();
    let (digits, unit) = leading_number(frequency);
    let known = matches!(unit, "/mm" | "lp/mm" | "cycles/mm");
    let frequency = decimal(digits, 0)
        .filter(|_| known)
        .ok_or_else(|| refused(frequency, &range::FREQUENCY))?;
    Ok(ContrastAt {
        contrast: Contrast::new(contrast)?,
        frequency: SpatialFrequency::new(frequency)?,
    })
}

/// A length of the size of a wavelength, rounded once.
fn small_length(
    text: &str,
    range: &'static Range,
    wanted: &'static str,
    example: &'static str,
) -> Result<Length, Unreadable> {
    let clean = plain(text);
    let (digits, unit) = leading_number(&clean);
    let exponent = match unit {
        "nm" => -6,
        "um" | "micron" | "microns" => -3,
        "mm" => 0,
        _ => return Err(no_number(&clean, range.name, wanted, example)),
    };
    let mm =
        decimal(digits, exponent).ok_or_else(|| no_number(&clean, range.name, wanted, example))?;
    Length::try_mm(mm).map_err(|_| Unreadable::NotFinite { name: range.name })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shares(text: &str) -> Vec<(f64, f64)> {
        let light = light(text).unwrap();
        let both = |line: &crate::units::Line| {
            let mm = line.wavelength.length().to_mm();
            (mm, line.share.value())
        };
        light.lines().iter().map(both).collect()
    }

    #[test]
    fn one_wavelength_is_the_same_in_every_unit() {
        for text in ["550nm", "550 nm", "0.55um", "0.55 µm", "0.00055mm", "550NM"] {
            assert_eq!(shares(text), [(0.00055, 1.0)], "{text}");
        }
        assert_eq!(pitch("5um").unwrap(), pitch("5000nm").unwrap());
        assert_eq!(pitch("4.4um").unwrap().length().to_mm(), 0.0044);
    }

    #[test]
    fn weights_count_in_proportion_and_are_one_unless_said() {
        let third = 1.0 / 3.0;
        let even = [(0.000486, third), (0.000546, third), (0.000633, third)];
        assert_eq!(shares("486nm,546nm,633nm"), even);
        assert_eq!(shares("486nm:2, 546nm:2, 633nm : 2"), even);
        let middle = [(0.000486, 0.25), (0.000546, 0.5), (0.000633, 0.25)];
        assert_eq!(shares("486nm:1,546nm:2,633nm:1"), middle);
        assert_eq!(shares("486nm,546nm:2,633nm"), middle);
        let light = light("633nm:1,486nm:3").unwrap();
        assert_eq!(light.shortest().length().to_mm(), 0.000486);
        assert_eq!(light.longest().length().to_mm(), 0.000633);
    }

    #[test]
    fn contrast_is_a_figure_at_a_frequency() {
        for text in [
            "0.3@40/mm",
            "0.3 @ 40 /mm",
            "30%@40lp/mm",
            "0.30@40cycles/mm",
        ] {
            let at = contrast_at(text).unwrap();
            assert_eq!(
                (at.contrast.value(), at.frequency.value()),
                (0.3, 40.0),
                "{text}"
            );
        }
    }

    #[test]
    fn what_cannot_be_is_refused_by_its_kind() {
        for text in ["", "0.3", "0.3@", "@40/mm", "0.3@40", "0.3@40mm", "x@40/mm"] {
            let error = contrast_at(text).unwrap_err();
            assert!(matches!(error, Unreadable::NotThis { .. }), "{text}");
        }
        for text in ["0.3@0/mm", "0@40/mm", "-0.3@40/mm", "0.3@-40/mm"] {
            let error = contrast_at(text).unwrap_err();
            assert!(matches!(error, Unreadable::NotPositive { .. }), "{text}");
        }
        for text in [
            "1@40/mm",
            "1.2@40/mm",
            "100%@40/mm",
            "0.3@1e9/mm",
            "0.3@6000/mm",
        ] {
            assert!(contrast_at(text).is_err(), "{text}");
        }
        for text in ["nan@40/mm", "0.3@inf/mm"] {
            let error = contrast_at(text).unwrap_err();
            assert!(matches!(error, Unreadable::NotFinite { .. }), "{text}");
        }
        for text in ["", "green", "550", "550nm,", "550nm:", "550nm:x", "550in"] {
            let error = light(text).unwrap_err();
            assert!(matches!(error, Unreadable::NotThis { .. }), "{text}");
        }
        for text in [
            "5nm",
            "5500nm",
            "0nm",
            "-550nm",
            "550nm:0",
            "550nm:-1",
            "550nm:1e9",
        ] {
            assert!(light(text).is_err(), "{text}");
        }
        assert!(light(&["550nm"; 65].join(",")).is_err());
        assert!(pitch("5").is_err() && pitch("5nm").is_err() && pitch("1mm").is_err());
    }

    proptest::proptest! {
        #[test]
        fn no_text_makes_a_parser_fall(text in "\\PC{0,40}") {
            let _ = light(&text);
            let _ = pitch(&text);
            let _ = contrast_at(&text);
        }
    }
}
