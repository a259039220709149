//! Whether a scale is wrong in places.

use super::stops::is_likely;
use super::suspects::Sorted;
use crate::units::Length;

/// How well the readings of a lens agree with one image-plane error.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Evenness {
    /// Sum over its groups.
    pub chi_square: f64,
    /// Readings used, less one for each group.
    pub freedom: usize,
    /// Whether readings scatter more than declared, which is no chance.
    pub scattered: bool,
    /// Whether it is no chance and large enough to matter.
    pub uneven: bool,
}

/// Judges the groups of one lens; what lies within half of what is tolerated
/// does not matter, it only makes the error less certain.
pub(super) fn evenness(
    sorted: &Sorted,
    members: &[usize],
    groups: &[usize],
    tolerated: Length,
) -> Evenness {
    let fits = groups.iter().filter_map(|&group| sorted.fit.groups[group]);
    let (chi_square, freedom) = fits.fold((0.0, 0), |(chi, freedom), fit| {
        (chi + fit.chi_square.value(), freedom + fit.used - 1)
    });
    let by_chance = is_likely(chi_square, freedom);
    let used = members.iter().filter(|&&at| !sorted.aside[at]);
    let largest = used.map(|&at| sorted.fit.residuals[at].abs().to_mm());
    let largest = largest.fold(0.0, f64::max);
    Evenness {
        chi_square,
        freedom,
        scattered: !by_chance,
        uneven: !by_chance && largest > tolerated.to_mm() / 2.0,
    }
}
