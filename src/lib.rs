//! Focus marks, depth of field and printed tapes for the focus puller.

pub mod numerics;
pub mod units;
