//! How far an answer may be off where something was assumed.

use crate::gear::{DepthSetup, PupilsKnown, Wanted};
use crate::optics::{AnyLens, Focus, Focused, Limits};
use crate::units::{FNumber, FocusDistance, Transmittance};

/// What the limits may be, under every value an assumption may hide.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct AssumedRange {
    /// What was assumed: `transmittance` or `pupils`.
    pub assumed: &'static str,
    /// Between which values, in words.
    pub between: &'static str,
    /// One row a focus distance.
    pub rows: Vec<RangeRow>,
}

/// The limits at one focus distance, each from its least to its greatest.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct RangeRow {
    /// Focus distance.
    #[cfg_attr(feature = "serde", serde(rename = "focus_mm"))]
    pub focus: FocusDistance,
    /// The near limit's least and greatest.
    #[cfg_attr(feature = "serde", serde(rename = "near_mm"))]
    pub near: [FocusDistance; 2],
    /// The far limit's least and greatest.
    #[cfg_attr(feature = "serde", serde(rename = "far_mm"))]
    pub far: [FocusDistance; 2],
}

/// Between these the transmittance of a lens lies (common practice, no source).
pub(super) const TRANSMITTANCES: [f64; 2] = [0.70, 0.95];

/// The range of depth limits for each thing a setup assumes of its lens: the
/// transmittance, the pupils.
#[must_use]
pub fn ranges(wanted: &Wanted, setup: &DepthSetup, at: &[FocusDistance]) -> Vec<AssumedRange> {
    let n = setup.exposure.f_number;
    let mut all = Vec::new();
    let was_assumed = |kind| setup.setup.assumptions.iter().any(|note| note.kind == kind);
    if was_assumed("transmittance_assumed") {
        let with = |tau: f64| {
            let mut wanted = wanted.clone();
            wanted.lens.transmittance = Some(Transmittance::new(tau).ok()?);
            let setup = wanted.depth_setup(&mut ()).ok()?;
            Some((setup.setup.lens, setup.exposure.f_number))
        };
        let lenses: Vec<_> = TRANSMITTANCES.into_iter().filter_map(with).collect();
        all.push(AssumedRange {
            assumed: "transmittance",
            between: "transmittance 0.70 to 0.95",
            rows: rows(setup, &lenses, at),
        });
    }
    if setup.setup.pupils != PupilsKnown::Placed {
        let assumed = [setup.setup.lens.clone()];
        let builds = assumed.into_iter().chain(setup.setup.plausible());
        let lenses: Vec<_> = builds.map(|lens| (lens, n)).collect();
        all.push(AssumedRange {
            assumed: "pupils",
            between: "thin and the plausible builds of this focal length",
            rows: rows(setup, &lenses, at),
        });
    }
    all
}

fn rows(setup: &DepthSetup, lenses: &[(AnyLens, FNumber)], at: &[FocusDistance]) -> Vec<RangeRow> {
    let limits_at = |focus: FocusDistance| -> Vec<Limits> {
        let set =
            |(lens, n): &(AnyLens, FNumber)| lens.at(focus, setup.setup.branch, *n, &mut ()).ok();
        let sets = lenses.iter().filter_map(set);
        // Under a wanted contrast each has a circle of its own.
        let limits = |set: Focused| {
            let circle = setup.circle_of(&set, &mut ()).ok()?;
            Some(set.limits(circle, &mut ()))
        };
        sets.filter_map(limits).collect()
    };
    at.iter()
        .filter_map(|&focus| {
            let limits = limits_at(focus);
            let near = extremes(limits.iter().map(|limits| limits.near))?;
            let far = extremes(limits.iter().map(|limits| limits.far))?;
            Some(RangeRow { focus, near, far })
        })
        .collect()
}

/// The nearest and the farthest.
pub(super) fn extremes(mut all: impl Iterator<Item = FocusDistance>) -> Option<[FocusDistance; 2]> {
    let first = all.next()?;
    Some(all.fold([first, first], |[least, most], next| {
        [
            if next.is_nearer_than(least) {
                next
            } else {
                least
            },
            if most.is_nearer_than(next) {
                next
            } else {
                most
            },
        ]
    }))
}
