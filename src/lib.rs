//! Focus marks, depth of field and printed tapes for the focus puller.

pub mod answers;
#[cfg(feature = "cli")]
pub mod cli;
#[cfg(feature = "data")]
pub mod data;
pub mod formula;
pub mod gear;
pub mod numerics;
pub mod optics;
#[cfg(feature = "cli")]
pub mod report;
pub mod scale;
pub mod units;
