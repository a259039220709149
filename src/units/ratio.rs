//! Plain numbers that are ratios: pupil magnification, squeeze, transmittance.

use super::length::NotFinite;

/// A finite number without a unit.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Ratio(f64);

impl Ratio {
    /// None at all.
    pub const ZERO: Self = Self(0.0);
    /// One to one.
    pub const ONE: Self = Self(1.0);

    /// A ratio from a number.
    ///
    /// # Errors
    /// [`NotFinite`] for infinities and what is not a number.
    pub const fn new(value: f64) -> Result<Self, NotFinite> {
        if value.is_finite() {
            Ok(Self(value))
        } else {
            Err(NotFinite)
        }
    }

    /// A result of a formula over checked figures, finite by construction.
    pub(crate) const fn computed(value: f64) -> Self {
        debug_assert!(value.is_finite());
        Self(value)
    }

    /// The plain number.
    #[must_use]
    pub const fn value(self) -> f64 {
        self.0
    }
}
