//! Several settings of the ring at one distance, averaged.

use crate::numerics::math::sqrt;
use crate::scale::errors::{RING_SD, STRANGE};
use crate::scale::fit::square;
use crate::units::Angle;

/// The mean of the settings that belong together.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Mean {
    pub value: f64,
    /// Which settings count.
    pub kept: Vec<usize>,
    /// What one setting may be off: as declared, or as seen where they scatter
    /// more than declared.
    pub scatter: f64,
}

/// Averages settings of declared standard deviation `sd`. Of three or more, one
/// that is far off the middle one while the others agree is left out.
pub(super) fn mean(settings: &[f64], sd: f64) -> Mean {
    let mut kept: Vec<usize> = (0..settings.len()).collect();
    kept.sort_by(|&a, &b| settings[a].total_cmp(&settings[b]));
    let apart = |kept: &[usize]| match (kept.first(), kept.last()) {
        (Some(&low), Some(&high)) => settings[high] - settings[low],
        _ => 0.0,
    };
    // Two settings differ by √2 of what one may be off.
    let too_far = STRANGE * sd * sqrt(2.0);
    if kept.len() >= 3 && apart(&kept) > too_far {
        let without_last = &kept[..kept.len() - 1];
        let without_first = &kept[1..];
        let better = if apart(without_last) < apart(without_first) {
            without_last
        } else {
            without_first
        };
        if apart(better) <= too_far {
            kept = better.to_vec();
        }
    }
    let n = kept.len().max(1) as f64;
    let value = kept.iter().map(|&at| settings[at]).sum::<f64>() / n;
    let counting: Vec<f64> = kept.iter().map(|&at| settings[at]).collect();
    let scatter = scatter(&counting, sd);
    kept.sort_unstable();
    Mean {
        value,
        kept,
        scatter,
    }
}

/// What one of several settings may be off: `sd` as declared, or as seen where
/// they differ by more than chance.
pub(super) fn scatter(settings: &[f64], sd: f64) -> f64 {
    let n = settings.len() as f64;
    let (low, high) = ends(settings);
    if high - low <= STRANGE * sd * sqrt(2.0) {
        return sd;
    }
    let mean = settings.iter().sum::<f64>() / n;
    let seen = settings.iter().map(|setting| square(setting - mean));
    sqrt(seen.sum::<f64>() / (n - 1.0).max(1.0)).max(sd)
}

/// The lowest and the highest of several figures; nought of none.
fn ends(figures: &[f64]) -> (f64, f64) {
    let low = figures.iter().copied().reduce(f64::min);
    let high = figures.iter().copied().reduce(f64::max);
    (low.unwrap_or(0.0), high.unwrap_or(0.0))
}

/// Range over standard deviation that 2, 3, 4 … settings stay within 95 times in
/// 100: the studentized range with known deviation (H. L. Harter, Ann. Math.
/// Stat. 31 (1960), 1122-1147, cited from memory; the test integrates them anew).
const RANGE_IN_SD: [f64; 9] = [
    2.772, 3.314, 3.633, 3.858, 4.030, 4.170, 4.286, 4.387, 4.474,
];

/// How far apart so many settings of one ring ordinarily lie at most, 95 times
/// in 100, where one may be off by the usual 0.3°; beyond ten as for ten. Nought
/// for one.
#[must_use]
pub fn usual_spread(settings: usize) -> Angle {
    let last = RANGE_IN_SD.len() - 1;
    let in_sd = settings
        .checked_sub(2)
        .map_or(0.0, |at| RANGE_IN_SD[at.min(last)]);
    RING_SD * in_sd
}

#[cfg(test)]
mod tests {
    use super::{mean, scatter, usual_spread};
    use crate::numerics::math::{exp2, sqrt};

    /// The chance that the range of `n` normal figures is at most `q`: the
    /// integral over the lowest, both by Simpson's rule.
    fn chance_of_range(q: f64, n: i32) -> f64 {
        let density = |z: f64| {
            exp2(-z * z / 2.0 * core::f64::consts::LOG2_E) / sqrt(2.0 * core::f64::consts::PI)
        };
        let simpson = |from: f64, to: f64, steps: usize, of: &dyn Fn(f64) -> f64| {
            let h = (to - from) / steps as f64;
            let weight = |at: usize| match at {
                at if at == 0 || at == steps => 1.0,
                at if at % 2 == 1 => 4.0,
                _ => 2.0,
            };
            let terms = (0..=steps).map(|at| weight(at) * of(from + at as f64 * h));
            terms.sum::<f64>() * h / 3.0
        };
        let others = |low: f64| {
            let within = simpson(low, low + q, 100, &density);
            (1..n).fold(1.0, |product, _| product * within)
        };
        f64::from(n) * simpson(-8.0, 8.0, 800, &|low| density(low) * others(low))
    }

    #[test]
    fn settings_lie_within_the_usual_spread_95_times_in_100() {
        for n in 2..=10 {
            let q = usual_spread(n as usize).to_deg() / 0.3;
            let chance = chance_of_range(q, n);
            assert!((chance - 0.95).abs() < 2e-4, "{n}: {chance}");
        }
        assert_eq!(usual_spread(1).to_deg(), 0.0);
        assert_eq!(usual_spread(40), usual_spread(10));
    }

    #[test]
    fn scatter_is_as_declared_until_it_is_no_chance() {
        assert_eq!(scatter(&[1.0, 1.0, 1.0], 0.3), 0.3);
        assert_eq!(scatter(&[1.0, 1.5, 2.5], 0.3), 0.3);
        // Beyond 4.25 × √2 × 0.3 the sample's own: of 0, 0, 3 it is √3.
        assert!((scatter(&[0.0, 0.0, 3.0], 0.3) - sqrt(3.0)).abs() < 1e-12);
    }

    #[test]
    fn settings_that_agree_are_averaged() {
        let mean = mean(&[1.0, 1.2, 1.1], 0.1);
        assert!((mean.value - 1.1).abs() < 1e-12);
        assert_eq!((mean.kept.len(), mean.scatter), (3, 0.1));
    }

    #[test]
    fn one_slip_of_three_is_left_out() {
        let mean = mean(&[1.0, 9.0, 1.1], 0.1);
        assert_eq!(mean.kept, [0, 2]);
        assert!((mean.value - 1.05).abs() < 1e-12);
    }

    #[test]
    fn where_two_differ_neither_is_believed_more() {
        let mean = mean(&[1.0, 3.0], 0.1);
        assert_eq!(mean.kept, [0, 1]);
        // The sample's own standard deviation: |1 − 3|/√2.
        assert!((mean.scatter - core::f64::consts::SQRT_2).abs() < 1e-12);
    }
}
