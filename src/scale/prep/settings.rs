//! Several settings of the ring at one distance, averaged.

use crate::numerics::math::sqrt;
use crate::scale::errors::STRANGE;
use crate::scale::fit::square;

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
    let seen = kept.iter().map(|&at| square(settings[at] - value));
    let seen = sqrt(seen.sum::<f64>() / (n - 1.0).max(1.0));
    let scatter = if apart(&kept) > too_far {
        seen.max(sd)
    } else {
        sd
    };
    kept.sort_unstable();
    Mean {
        value,
        kept,
        scatter,
    }
}

#[cfg(test)]
mod tests {
    use super::mean;

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
