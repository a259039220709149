//! From which figures on something is concluded; one place for all of them.

/// Chances below one in a thousand are no chances: this many standard
/// deviations of a normal distribution, one side.
pub(super) const ONE_IN_A_THOUSAND: f64 = 3.0902;
/// The same for either side.
pub(super) const ONE_IN_A_THOUSAND_EITHER_SIDE: f64 = 3.2905;

/// Two taped distances are one where they differ by less than this share.
pub(super) const SAME_DISTANCE: f64 = 0.10;

/// Settings of the ring it takes to judge a lens.
pub(super) const FEWEST_SETTINGS: usize = 3;

/// What the zero of a tape may be off, in mm.
pub(super) const TAPE_ZERO_SD: f64 = 3.0;

/// What a data sheet's focal length may be off, as a share of it.
pub(super) const FOCAL_SD: f64 = 0.002;

/// What a hiatus that was given may be off, in mm.
pub(super) const HIATUS_SD: f64 = 0.2;

/// What the share of one lens may be off by custom, in mm: what professional
/// mounts are set to (from memory).
pub(super) const LENS_SD: f64 = 0.01;

/// Settings of the ring at each chart: three, from both sides (common practice,
/// no source).
pub const SETTINGS_EACH: usize = 3;
