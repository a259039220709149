//! Quantities, and how people write and read them.
//!
//! No bare float leaves this module in a public signature of the layers above:
//! each quantity is a type whose constructor refuses what cannot be.
//! [`parse`] reads what people write, [`show`] writes what people read, and
//! [`range`] says what each quantity may be.

mod angle;
mod distance;
#[cfg(feature = "serde")]
mod json;
mod length;
mod marked;
pub mod parse;
pub mod range;
mod ratio;
pub mod show;
mod stop;
mod time;
mod wave;

pub use angle::Angle;
pub use distance::{FocusDistance, PupilDistance, Reach};
pub use length::{Length, NotFinite};
pub use marked::{Division, MarkedStop};
pub use parse::{BareUnit, Unit, Unreadable};
pub use ratio::Ratio;
pub(crate) use stop::closed_by;
pub use stop::{
    AspectRatio, FNumber, Gain, NOMINAL_STOPS, PupilMagnification, Stop, StopKind, TNumber,
    Transmittance,
};
pub use time::Time;
pub use wave::{Contrast, ContrastAt, DetectorPitch, Light, Line, SpatialFrequency, Wavelength};

#[cfg(test)]
mod tests;
