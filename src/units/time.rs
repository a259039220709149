//! A time in seconds.

use super::length::NotFinite;

/// A finite time in seconds, at or above zero: how long a pull takes, or when in it
/// something happens.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Time(f64);

impl Time {
    /// The beginning.
    pub const ZERO: Self = Self(0.0);

    /// A time from seconds.
    ///
    /// # Errors
    /// [`NotFinite`] for infinities, for what is not a number, and below zero.
    pub fn try_seconds(value: f64) -> Result<Self, NotFinite> {
        if value.is_finite() && value >= 0.0 {
            Ok(Self(value))
        } else {
            Err(NotFinite)
        }
    }

    /// A result of a formula over checked figures, finite and not below zero by
    /// construction.
    pub(crate) const fn computed(value: f64) -> Self {
        debug_assert!(value.is_finite() && value >= 0.0);
        Self(value)
    }

    /// The time in seconds.
    #[must_use]
    pub const fn to_seconds(self) -> f64 {
        self.0
    }
}
