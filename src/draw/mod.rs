//! Sheets on paper: sheet + definition → pages.
//!
//! What goes on a sheet is decided in `sheets`; here it is given places. All
//! pages lie upright in the file, whatever way they are read, so that
//! "horizontal" and "vertical" mean the same on every page: across and along
//! the way the paper runs through the printer.

mod block;
pub mod card;
pub mod disc;
pub mod labels;
mod page;
pub mod paper;
pub mod plot;
pub mod prep_form;
pub mod prep_report;
pub mod ring_strip;
pub mod ruler;
pub mod ruler_sheet;
pub mod strip;
pub mod strip_ruler;
pub mod tape;
pub mod target;
mod words;

pub use paper::Paper;
pub use ruler::{Arrangement, Checks};
