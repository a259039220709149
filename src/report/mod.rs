//! Answers as words and rows.

pub mod csv;
mod depth;
pub mod explain;
mod field;
mod fitted;
mod formats;
mod head;
mod hold;
pub mod json;
mod prep;
mod prep_plan;
mod put;
mod rack;
mod ranges;
mod ring;
mod steps;
mod table;
mod take;

pub use depth::depth;
pub use field::{field, width};
pub use formats::formats;
pub use hold::{hold, limit};
pub use prep::{PrepRow, prep, prep_rows};
pub use prep_plan::prep_plan;
pub use put::{
    IMPORT_COLUMNS, ImportedRow, import_rows, import_table, imported, lens_added, understood,
};
pub use rack::rack;
pub use ranges::ranges;
pub use ring::ring;
pub use steps::steps;
pub use table::Words;
pub use take::{TakeRow, take, take_rows, taken, taken_back};
