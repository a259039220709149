//! Bytes to domain, or every fault with its place.

mod fault;
pub mod formats;
mod nearest;

pub(crate) use nearest::nearest;
pub use fault::{Fault, Kind, Place, Severity, shortened};
