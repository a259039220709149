//! Answers as words and rows.

pub mod csv;
mod depth;
pub mod explain;
mod field;
mod formats;
pub mod json;
mod ring;
mod table;

pub use depth::depth;
pub use field::{field, width};
pub use formats::formats;
pub use ring::ring;
pub use table::Words;
