//! How far a split and its stop may be off where something was assumed.

use crate::gear::{HoldSetup, PupilsKnown};
use crate::optics::{AnyLens, Pair, t_number_of};
use crate::units::{FNumber, FocusDistance, TNumber, Transmittance};

use super::wave;
use crate::answers::ranges::{TRANSMITTANCES, extremes};

/// What the split and the stop may be, under every value an assumption may
/// hide; each from its least to its greatest.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct HoldRange {
    /// What was assumed: `transmittance` or `pupils`.
    pub assumed: &'static str,
    /// Between which values, in words.
    pub between: &'static str,
    /// The split.
    #[cfg_attr(feature = "serde", serde(rename = "focus_mm"))]
    pub focus: [FocusDistance; 2],
    /// The f-number that just holds.
    pub f_number: [FNumber; 2],
    /// The T-number that just holds, where known.
    pub t_number: Option<[TNumber; 2]>,
}

/// The range of the split and the stop for each thing a setup assumes of its
/// lens.
#[must_use]
pub fn hold_ranges(wanted: &HoldSetup, pair: Pair) -> Vec<HoldRange> {
    let held = |lens: &AnyLens| {
        let (held, _) = wave::needed(lens, wanted, pair, &mut ()).ok()?;
        Some((held.focus(), held.f_number.times(lens.light_factor())))
    };
    let mut all = Vec::new();
    let notes = &wanted.setup.assumptions;
    let assumed = |kind| notes.iter().any(|note| note.kind == kind);
    let own = held(&wanted.setup.lens);
    if let (true, Some((focus, n))) = (assumed("transmittance_assumed"), own) {
        let t = |tau: f64| Some(t_number_of(n, Transmittance::new(tau).ok()?, &mut ()));
        let [dark, clear] = TRANSMITTANCES.map(t);
        all.push(HoldRange {
            assumed: "transmittance",
            between: "transmittance 0.95 to 0.70",
            focus: [focus, focus],
            f_number: [n, n],
            t_number: clear.zip(dark).map(|(clear, dark)| [clear, dark]),
        });
    }
    if wanted.setup.pupils != PupilsKnown::Placed {
        let builds = wanted.setup.plausible();
        let all_held: Vec<_> = builds.iter().filter_map(held).chain(own).collect();
        let stops = all_held.iter().map(|(_, n)| n.value());
        let (least, most) = stops.fold((f64::INFINITY, 0.0_f64), |(least, most), n| {
            (least.min(n), most.max(n))
        });
        if let Some(focus) = extremes(all_held.iter().map(|(focus, _)| *focus)) {
            let n = [least, most].map(FNumber::computed);
            let t = |n| Some(t_number_of(n, wanted.transmittance?, &mut ()));
            let [low, high] = n.map(t);
            all.push(HoldRange {
                assumed: "pupils",
                between: "thin and the plausible builds of this focal length",
                focus,
                f_number: n,
                t_number: low.zip(high).map(|(low, high)| [low, high]),
            });
        }
    }
    all
}
