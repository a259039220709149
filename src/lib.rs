//! Focus marks, depth of field and printed tapes for the focus puller.

pub mod formula;
pub mod numerics;
pub mod optics;
pub mod units;
