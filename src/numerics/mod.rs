//! Numerical helpers that know nothing of optics.

pub mod math;
