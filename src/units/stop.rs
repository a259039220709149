//! Stops: f-numbers for depth, T-numbers for exposure.

use core::fmt;

use super::parse::Unreadable;
use super::range;
use crate::numerics::math::exp2;

macro_rules! positive_number {
    ($(#[$doc:meta])* $name:ident, $range:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// From a number that may be anything.
            ///
            /// # Errors
            /// [`Unreadable`] when it is not finite, not positive or out of the
            /// range named in [`range`](super::range).
            pub fn new(value: f64) -> Result<Self, Unreadable> {
                range::$range.check(value).map(Self)
            }

            /// The plain number.
            #[must_use]
            pub const fn value(self) -> f64 {
                self.0
            }
        }
    };
}

pub(super) use positive_number;

positive_number! {
    /// f-number: focal length over entrance-pupil diameter at infinity focus
    /// (ISO 517). Depth, blur and diffraction go by it.
    FNumber, F_NUMBER
}
positive_number! {
    /// T-number: the f-number of an ideal lens that would pass as much light.
    /// Exposure goes by it; it is never smaller than the f-number.
    TNumber, T_NUMBER
}
positive_number! {
    /// The share of light a lens passes, above 0 up to 1.
    Transmittance, TRANSMITTANCE
}
positive_number! {
    /// Exit-pupil diameter over entrance-pupil diameter: above 1 for
    /// retrofocus, below 1 for telephoto lenses.
    PupilMagnification, PUPIL_MAGNIFICATION
}

positive_number! {
    /// Degrees a ring turns for each millimetre the lens moves (360 over the
    /// helicoid's lead).
    Gain, GAIN
}
positive_number! {
    /// Width over height of a picture.
    AspectRatio, ASPECT
}

impl FNumber {
    /// A result of a formula over checked figures, of any size.
    pub(crate) const fn computed(value: f64) -> Self {
        Self(value)
    }

    /// So many times as large.
    pub(crate) const fn times(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }
}

impl TNumber {
    /// A result of a formula over checked figures, of any size.
    pub(crate) const fn computed(value: f64) -> Self {
        Self(value)
    }
}

impl Transmittance {
    /// What is assumed where only a T-number is known: 0.80 (common practice,
    /// no source; multi-element cine lenses lie between about 0.7 and 0.9).
    pub const ASSUMED: Self = Self(0.80);
}

impl PupilMagnification {
    /// Both pupils alike.
    pub const ONE: Self = Self(1.0);
}

/// Whether a lens or a number on it counts in f or in T.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StopKind {
    /// f-number.
    F,
    /// T-number.
    T,
}

impl StopKind {
    /// Its letter in the JSON contract: `f` or `T`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::F => "f",
            Self::T => "T",
        }
    }
}

/// A stop as typed or engraved; the kind is never changed silently.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stop {
    /// An f-number.
    F(FNumber),
    /// A T-number.
    T(TNumber),
}

impl Stop {
    /// A stop of the given kind.
    ///
    /// # Errors
    /// [`Unreadable`] as for [`FNumber::new`].
    pub fn new(kind: StopKind, number: f64) -> Result<Self, Unreadable> {
        Ok(match kind {
            StopKind::F => Self::F(FNumber::new(number)?),
            StopKind::T => Self::T(TNumber::new(number)?),
        })
    }

    /// The number, of whichever kind.
    #[must_use]
    pub const fn number(self) -> f64 {
        match self {
            Self::F(n) => n.value(),
            Self::T(t) => t.value(),
        }
    }

    /// The kind.
    #[must_use]
    pub const fn kind(self) -> StopKind {
        match self {
            Self::F(_) => StopKind::F,
            Self::T(_) => StopKind::T,
        }
    }
}

/// `f/2.8` or `T2.9`, at most two decimals.
impl fmt::Display for Stop {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let number = libm::round(self.number() * 100.0) / 100.0;
        match self.kind() {
            StopKind::F => write!(out, "f/{number}"),
            StopKind::T => write!(out, "T{number}"),
        }
    }
}

/// Full stops as they are engraved, from 1 to 64 (the nominal series; from
/// memory, 1 to 32 is also the list of the EXIF standard). They are rounded:
/// 5.6 stands for 5.657, 11 for 11.314.
pub const NOMINAL_STOPS: [f64; 13] = [
    1.0, 1.4, 2.0, 2.8, 4.0, 5.6, 8.0, 11.0, 16.0, 22.0, 32.0, 45.0, 64.0,
];

/// A number closed down by a part of a stop: `number × 2^(stops/2)`.
#[must_use]
pub(crate) fn closed_by(number: f64, stops: f64) -> f64 {
    number * exp2(stops / 2.0)
}
