//! A length in millimetres.

use core::fmt;
use core::ops::{Add, Div, Mul, Neg, Sub};

use super::ratio::Ratio;

/// Largest magnitude a [`Length`] may have.
///
/// Far limits a hair inside the hyperfocal distance are larger than any world,
/// yet finite; the bound keeps sums and products so, and arithmetic needs no
/// check. What people type is bounded far tighter, in [`range`](super::range).
const LIMIT_MM: f64 = 1e100;

/// A signed, finite length, held in millimetres.
///
/// What is typed in millimetres comes back bit for bit. Feet and inches are
/// exact multiples of 1/64 inch when they were written so (see
/// [`Length::from_inch_64ths`]); 1 in is 25.4 mm exactly. A hiatus is a length
/// that may be negative; a distance that may be infinite is a
/// [`FocusDistance`](super::FocusDistance) or a
/// [`PupilDistance`](super::PupilDistance), never a `Length`.
///
/// # Example
/// ```
/// use markwright::units::Length;
/// let two_inches = Length::inches(2.0);
/// assert_eq!(two_inches.to_mm(), 50.8);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Length(f64);

/// A number that no [`Length`], [`Angle`](super::Angle) or [`Ratio`] can hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NotFinite;

impl fmt::Display for NotFinite {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("not a finite number of ordinary size")
    }
}

impl Length {
    /// No length at all.
    pub const ZERO: Self = Self(0.0);

    /// A length from a number of millimetres that is known to be ordinary.
    ///
    /// For literals and for results of formulas over checked lengths; numbers
    /// from outside go through [`Length::try_mm`]. A value beyond ±10¹⁰⁰ mm is
    /// held at that bound, and what is not a number becomes zero, so that the
    /// invariant holds even then (debug builds stop instead).
    #[must_use]
    pub const fn mm(value: f64) -> Self {
        debug_assert!(value.is_finite());
        if value > LIMIT_MM {
            Self(LIMIT_MM)
        } else if value < -LIMIT_MM {
            Self(-LIMIT_MM)
        } else if value.is_nan() {
            Self(0.0)
        } else {
            Self(value)
        }
    }

    /// A length from a number of millimetres that may be anything.
    ///
    /// # Errors
    /// [`NotFinite`] for infinities, for what is not a number, and beyond 10¹⁰⁰ mm.
    pub const fn try_mm(value: f64) -> Result<Self, NotFinite> {
        if value >= -LIMIT_MM && value <= LIMIT_MM {
            Ok(Self(value))
        } else {
            Err(NotFinite)
        }
    }

    /// A length from metres.
    #[must_use]
    pub const fn m(value: f64) -> Self {
        Self::mm(value * 1000.0)
    }

    /// A length from inches (25.4 mm exactly).
    #[must_use]
    pub const fn inches(value: f64) -> Self {
        Self::mm(value * 127.0 / 5.0)
    }

    /// A length from PDF points (1/72 inch).
    #[must_use]
    pub const fn points(value: f64) -> Self {
        Self::mm(value * (25.4 / 72.0))
    }

    /// A length from a whole count of 1/64 inch, rounded once.
    #[must_use]
    pub const fn from_inch_64ths(count: i64) -> Self {
        // 25.4 / 64 = 127 / 320: one rounding only.
        Self::mm(count as f64 * 127.0 / 320.0)
    }

    /// The length in millimetres.
    #[must_use]
    pub const fn to_mm(self) -> f64 {
        self.0
    }

    /// The length in inches.
    #[must_use]
    pub const fn to_inches(self) -> f64 {
        self.0 / 25.4
    }

    /// The length in PDF points (1/72 inch).
    #[must_use]
    pub const fn to_points(self) -> f64 {
        self.0 * (72.0 / 25.4)
    }

    /// The whole count of 1/64 inch that gives exactly this length, if one does.
    #[must_use]
    pub fn to_inch_64ths(self) -> Option<i64> {
        let count = libm::round(self.0 * 64.0 / 25.4);
        let whole = Self::from_inch_64ths(count as i64);
        (whole == self).then_some(count as i64)
    }

    /// The length without its sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// The smaller of two lengths.
    #[must_use]
    pub const fn min(self, other: Self) -> Self {
        if other.0 < self.0 { other } else { self }
    }

    /// The larger of two lengths.
    #[must_use]
    pub const fn max(self, other: Self) -> Self {
        if other.0 > self.0 { other } else { self }
    }

    /// Whether the length is above zero.
    #[must_use]
    pub const fn is_positive(self) -> bool {
        self.0 > 0.0
    }

    /// How many times `other` this length is; `None` when `other` is zero.
    #[must_use]
    pub fn ratio_to(self, other: Self) -> Option<Ratio> {
        Ratio::new(self.0 / other.0).ok()
    }
}

/// Millimetres, the shortest digits that read back as the same number.
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm", self.0)
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::mm(self.0 + other.0)
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::mm(self.0 - other.0)
    }
}

impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<f64> for Length {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::mm(self.0 * factor)
    }
}

impl Div<f64> for Length {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self::mm(self.0 / divisor)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_eighth_of_an_inch_is_3_175_mm() {
        // 1 in = 25.4 mm exactly: international yard and pound agreement, 1959.
        assert_eq!(Length::from_inch_64ths(8).to_mm(), 3.175);
    }

    #[test]
    fn whole_64ths_are_recognised_up_to_a_hundred_feet() {
        for count in 0..(100 * 12 * 64) {
            assert_eq!(Length::from_inch_64ths(count).to_inch_64ths(), Some(count));
        }
        assert_eq!(Length::mm(1000.0).to_inch_64ths(), None);
    }

    #[test]
    fn nothing_but_ordinary_numbers_gets_in() {
        for bad in [f64::NAN, f64::INFINITY, -f64::INFINITY, 1e101] {
            assert_eq!(Length::try_mm(bad), Err(NotFinite));
        }
    }
}
