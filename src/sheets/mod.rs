//! What is to be printed: millimetres and words, no paper.

mod ruler;
mod strip_ruler;
mod worth;

pub use ruler::RulerSheet;
pub use strip_ruler::{Piece, StripRuler};
pub use worth::{Duty, Worth, usual_marks};
