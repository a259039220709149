//! Focus marks, depth of field and printed tapes for the focus puller.

pub mod answers;
#[cfg(feature = "cli")]
pub mod cli;
#[cfg(feature = "data")]
pub mod data;
#[cfg(feature = "scene")]
pub mod draw;
#[cfg(feature = "scene")]
pub mod export;
pub mod formula;
pub mod gear;
pub mod numerics;
pub mod optics;
#[cfg(feature = "cli")]
pub mod report;
pub mod scale;
#[cfg(feature = "scene")]
pub mod scene;
pub mod sheets;
pub mod units;
