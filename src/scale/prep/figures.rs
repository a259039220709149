//! What the lens's figures and marks may be off, in the image-plane error.
//!
//! A reading is held against the lens's own scale, and both go by the same focal
//! length and hiatus: where degrees are tied to distances by marks, or the scale
//! itself was read, an error of the figures all but cancels. Where degrees go by
//! the travel alone the curve between its ends follows the figures. Marks that
//! say what they may be off move all readings that are held against them.

use std::collections::BTreeMap;

use super::limits::{FOCAL_SD, HIATUS_SD};
use super::own_scale::OwnScale;
use super::reading::Taken;
use crate::gear::Lens;
use crate::optics::{Branch, plausible};
use crate::scale::fit::{Fit, GroupFit, square};

/// How travel at a fixed distance goes with the focal length: d(f m)/df.
fn by_focal(m: f64) -> f64 {
    2.0 * m / (1.0 - m.min(0.9))
}

/// How travel at a fixed distance goes with the hiatus: d(f m)/de.
fn by_hiatus(m: f64) -> f64 {
    m * m / (1.0 - square(m.min(0.9)))
}

/// Variance of a group's image-plane error that comes from figures and marks, in
/// mm².
pub(super) fn variance(
    lens: &Lens,
    scale: &OwnScale<'_>,
    taken: &[(&Taken, bool)],
    group: &GroupFit,
    fit: &Fit,
) -> f64 {
    let f = scale.lens().focal_length().to_mm();
    let close = scale.close_travel() / f;
    let (mut focal, mut hiatus) = (0.0, 0.0);
    let mut marks: BTreeMap<usize, f64> = BTreeMap::new();
    for (row, _) in taken.iter().filter(|(_, aside)| !aside) {
        let reading = &row.as_travel;
        let optics = scale.lens();
        let m = optics.magnification(reading.chart, Branch::Far, &mut ());
        let m = m.map_or(1.0, |m| m.value());
        let slope = by_hiatus(m);
        // Where the scale stood, without the scatter of the reading.
        let stood = m - group.error.to_mm() / f;
        let by_travel = row.turn.is_some() && scale.stands_on_figures();
        let against = |by: fn(f64) -> f64| {
            if by_travel {
                stood / close * by(close)
            } else {
                by(stood)
            }
        };
        // What a shift of this reading does to the group, the tape's zero moving too.
        let weight = square(group.own_sd.to_mm() / reading.sd.to_mm());
        let lever = slope + group.zero_share.value();
        let through_zero = group.zero_share.value() * square(fit.tape_zero_sd.to_mm()) * lever
            / square(reading.sd.to_mm());
        let counts = weight + through_zero;
        if row.turn.is_some() {
            for (mark, by) in scale.moved_by_marks(m) {
                *marks.entry(mark).or_default() += counts * by;
            }
        }
        focal += counts * (by_focal(m) - against(by_focal));
        hiatus += counts * (by_hiatus(m) - against(by_hiatus));
    }
    let marks: f64 = marks.values().map(|&by| square(by)).sum();
    square(focal * FOCAL_SD * f) + square(hiatus * hiatus_sd(lens, scale)) + marks
}

/// A hiatus that was given is as good as a data sheet; one that was not may be
/// that of any plausible build.
fn hiatus_sd(lens: &Lens, scale: &OwnScale<'_>) -> f64 {
    if lens.pupil().is_some() {
        return HIATUS_SD;
    }
    let builds = plausible(scale.lens().focal_length());
    builds
        .iter()
        .map(|build| build.hiatus().abs().to_mm())
        .fold(HIATUS_SD, f64::max)
}
