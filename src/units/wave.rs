//! Quantities of wave optics: wavelengths, fineness of detail, contrast.

use super::length::Length;
use super::parse::Unreadable;
use super::range;
use super::ratio::Ratio;
use super::stop::positive_number;

/// A wavelength of light in air.
///
/// Held as a length in millimetres, the unit of every formula; people write
/// nanometres, see [`parse::light`](super::parse::light).
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Wavelength(Length);

impl Wavelength {
    /// A wavelength.
    ///
    /// # Errors
    /// [`Unreadable`] when it is not positive or out of the range of light that
    /// film and sensors see.
    pub fn new(length: Length) -> Result<Self, Unreadable> {
        range::WAVELENGTH.check(length.to_mm() * 1e6)?;
        Ok(Self(length))
    }

    /// As a length.
    #[must_use]
    pub const fn length(self) -> Length {
        self.0
    }
}

/// From the middle of one photosite to the middle of the next, along a row.
///
/// A photosite is taken to see light over the whole pitch.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct DetectorPitch(Length);

impl DetectorPitch {
    /// A pitch.
    ///
    /// # Errors
    /// [`Unreadable`] when it is not positive or out of range.
    pub fn new(length: Length) -> Result<Self, Unreadable> {
        range::DETECTOR_PITCH.check(length.to_mm() * 1e3)?;
        Ok(Self(length))
    }

    /// As a length.
    #[must_use]
    pub const fn length(self) -> Length {
        self.0
    }
}

positive_number! {
    /// How fine a detail is: cycles (line pairs) a millimetre on the image plane.
    SpatialFrequency, FREQUENCY
}
positive_number! {
    /// How much of a pattern's contrast is wanted in the image, between 0 and 1
    /// without either.
    ///
    /// A contrast that was worked out is a [`Ratio`]: it may be
    /// nought, or negative where light and dark have changed places.
    Contrast, CONTRAST
}

impl SpatialFrequency {
    /// A result of a formula over checked figures, of any size.
    pub(crate) const fn computed(value: f64) -> Self {
        Self(value)
    }
}

/// So much contrast at such fineness: what is to count as sharp.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct ContrastAt {
    /// How much contrast.
    pub contrast: Contrast,
    /// In how fine a detail.
    #[cfg_attr(feature = "serde", serde(rename = "frequency_per_mm"))]
    pub frequency: SpatialFrequency,
}

/// One wavelength of a light and its share.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Line {
    /// The wavelength.
    #[cfg_attr(feature = "serde", serde(rename = "wavelength_mm"))]
    pub wavelength: Wavelength,
    /// Its share; the shares of a light add up to one.
    pub share: Ratio,
}

/// Light as wave optics wants it: one wavelength, or several with their shares.
///
/// Never empty; the shares add up to one.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Light(Vec<Line>);

/// Most wavelengths a [`Light`] may have.
const MOST_LINES: usize = 64;

impl Light {
    /// Light of one wavelength.
    #[must_use]
    pub fn one(wavelength: Wavelength) -> Self {
        Self(vec![Line {
            wavelength,
            share: Ratio::ONE,
        }])
    }

    /// Light of several wavelengths, each with its weight: how much of it there
    /// is, times how much it counts.
    ///
    /// # Errors
    /// [`Unreadable`] when there is none or are more than 64, or a weight is
    /// not positive or out of range.
    pub fn weighted(lines: &[(Wavelength, Ratio)]) -> Result<Self, Unreadable> {
        if lines.is_empty() || lines.len() > MOST_LINES {
            return Err(Unreadable::NotThis {
                wanted: "one to 64 wavelengths",
                example: "550nm or 486nm:1,546nm:2,633nm:1",
            });
        }
        for &(_, weight) in lines {
            range::WEIGHT.check(weight.value())?;
        }
        let sum: f64 = lines.iter().map(|(_, weight)| weight.value()).sum();
        let line = |&(wavelength, weight): &(Wavelength, Ratio)| Line {
            wavelength,
            share: Ratio::computed(weight.value() / sum),
        };
        Ok(Self(lines.iter().map(line).collect()))
    }

    /// Its wavelengths, as they were given.
    #[must_use]
    pub fn lines(&self) -> &[Line] {
        &self.0
    }

    /// The shortest wavelength.
    #[must_use]
    pub fn shortest(&self) -> Wavelength {
        let first = self.0[0].wavelength;
        let shorter = |a: Wavelength, b: &Line| if b.wavelength < a { b.wavelength } else { a };
        self.0.iter().fold(first, shorter)
    }

    /// The longest wavelength.
    #[must_use]
    pub fn longest(&self) -> Wavelength {
        let first = self.0[0].wavelength;
        let longer = |a: Wavelength, b: &Line| if b.wavelength > a { b.wavelength } else { a };
        self.0.iter().fold(first, longer)
    }
}
