//! An angle in degrees.

use core::ops::{Add, Div, Mul, Neg, Sub};

use super::length::NotFinite;

/// A signed, finite angle in degrees that may pass a full turn.
///
/// Rings turn more than once on some lenses, so nothing is reduced to 360°.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Angle(f64);

/// Largest magnitude an [`Angle`] may have, in degrees.
const LIMIT_DEG: f64 = 1e9;

impl Angle {
    /// No turn at all.
    pub const ZERO: Self = Self(0.0);

    /// An angle from degrees that are known to be ordinary; anything beyond
    /// 10⁹ degrees is held at that bound, what is not a number becomes zero.
    #[must_use]
    pub const fn deg(value: f64) -> Self {
        debug_assert!(value.is_finite());
        if value > LIMIT_DEG {
            Self(LIMIT_DEG)
        } else if value < -LIMIT_DEG {
            Self(-LIMIT_DEG)
        } else if value.is_nan() {
            Self(0.0)
        } else {
            Self(value)
        }
    }

    /// An angle from a number of degrees that may be anything.
    ///
    /// # Errors
    /// [`NotFinite`] for infinities, for what is not a number, and beyond 10⁹ degrees.
    pub const fn try_deg(value: f64) -> Result<Self, NotFinite> {
        if value >= -LIMIT_DEG && value <= LIMIT_DEG {
            Ok(Self(value))
        } else {
            Err(NotFinite)
        }
    }

    /// The angle in degrees.
    #[must_use]
    pub const fn to_deg(self) -> f64 {
        self.0
    }

    /// The angle without its sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }
}

impl Add for Angle {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::deg(self.0 + other.0)
    }
}

impl Sub for Angle {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::deg(self.0 - other.0)
    }
}

impl Neg for Angle {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<f64> for Angle {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::deg(self.0 * factor)
    }
}

impl Div<f64> for Angle {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self::deg(self.0 / divisor)
    }
}
