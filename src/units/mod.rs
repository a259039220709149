//! Quantities, and how people write and read them.
//!
//! No bare float leaves this module in a public signature of the layers above:
//! each quantity is a type whose constructor refuses what cannot be.

mod length;
mod ratio;

pub use length::{Length, NotFinite};
pub use ratio::Ratio;
