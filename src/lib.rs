//! Focus marks, depth of field and printed tapes for the focus puller.

pub mod formula;
pub mod numerics;
pub mod optics;
#[cfg(feature = "scene")]
pub mod scene;
pub mod units;
