//! Bytes to domain, or every fault with its place.

mod doubts;
mod fault;
mod faults;
mod fields;
mod files;
pub mod formats;
pub mod keys;
pub mod kit;
mod nearest;
mod prep_faults;
mod starter;
mod table;
mod text;
mod understood;

pub use fault::{Fault, Kind, Place, Severity, shortened};
pub use files::{Files, MemoryFiles};
pub(crate) use nearest::nearest;
pub use starter::starter;
pub use understood::{Understood, understood};
