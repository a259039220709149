//! One question, one function, one struct. The serde names are the JSON contract.

mod depth;
mod field;
mod ring;
mod unanswerable;

pub use depth::{Cautious, DepthAnswer, DepthRow, HyperfocalFrom, ObjectBlur, depth};
pub use field::{
    FieldAnswer, FieldRow, WidthAnswer, field, focal_length_for_width, focus_for_width,
};
pub use ring::{RingAnswer, RingRow, distance_at_arc, ring};
pub use unanswerable::Unanswerable;
