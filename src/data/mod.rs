//! Bytes to domain, or every fault with its place.

mod doubts;
mod fault;
mod faults;
mod fields;
mod files;
pub mod formats;
pub mod keys;
pub mod kit;
#[cfg(feature = "scene")]
mod layouts;
mod nearest;
mod prep_faults;
pub mod put;
mod sheet_faults;
mod starter;
mod table;
pub mod take;
mod text;
mod understood;
mod unknown;

pub use fault::{Fault, Kind, Place, Severity, shortened};
pub use files::{Files, MemoryFiles};
#[cfg(feature = "scene")]
pub use layouts::layouts;
pub use starter::starter;
pub use understood::{Understood, understood};
pub(crate) use unknown::{camera_assumed, no_camera, no_such_lens};
