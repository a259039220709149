//! Bytes to domain, or every fault with its place.

mod fault;
mod fields;
mod files;
pub mod formats;
pub mod keys;
pub mod kit;
mod nearest;
mod table;
mod text;

pub(crate) use nearest::nearest;
pub use fault::{Fault, Kind, Place, Severity, shortened};
pub use files::{Files, MemoryFiles};
