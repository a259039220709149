//! Bytes to domain, or every fault with its place.

mod fault;
mod fields;
mod files;
pub mod formats;
pub mod keys;
pub mod kit;
mod nearest;
mod starter;
mod table;
mod text;

pub(crate) use nearest::nearest;
pub use fault::{Fault, Kind, Place, Severity, shortened};
pub use files::{Files, MemoryFiles};
pub use starter::starter;

// STUB
/// stub
#[derive(serde::Serialize)]
pub struct Understood { /// x
 pub lens: String }
impl Understood { /// x
 pub fn in_words(&self) -> String { String::new() } }
/// stub
pub fn understood(_: &crate::gear::Kit) -> Vec<Understood> { Vec::new() }
