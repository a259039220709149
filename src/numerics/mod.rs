//! Numerical helpers that know nothing of optics.
//!
//! Generic over the float type and built from `+ − × ÷ sqrt abs min max` and
//! comparisons alone, so that they give the same digits everywhere.

mod highest;
mod interpolate;
mod least_squares;
pub mod math;
mod quadrature;
mod root;

pub use highest::highest_between;
pub use interpolate::{Pchip, Piece};
pub use least_squares::{Normal, Solved};
pub use quadrature::integral;
pub use root::root_between;
