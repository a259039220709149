//! Answers as words and rows.

pub mod csv;
mod depth;
pub mod explain;
mod field;
pub mod json;
mod table;

pub use depth::depth;
pub use field::{field, width};
pub use table::Words;
