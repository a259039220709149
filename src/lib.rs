//! Focus marks, depth of field and printed tapes for the focus puller.

#[cfg(feature = "scene")]
pub mod export;
pub mod formula;
pub mod numerics;
pub mod optics;
#[cfg(feature = "scene")]
pub mod scene;
pub mod units;
