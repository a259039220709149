//! What all lenses of a set say together of the camera they were on.
//!
//! A lens as read on a camera is off by the camera's error and its own. With
//! several lenses the camera's is what they share; how much lenses of a set
//! differ by themselves is estimated with it, starting from what mounts are set
//! to by custom. What all lenses had in common would read as the camera's: only
//! a second camera or a collimator tells that apart.

use super::limits::LENS_SD;
use super::verdict::Displacement;
use crate::numerics::math::sqrt;
use crate::scale::fit::square;
use crate::units::Length;

/// A lens this many standard deviations from where the others put the camera is
/// off by itself, and tells nothing of the camera.
const APART: f64 = 4.5;
/// The custom counts as much as so many lenses.
const CUSTOM_COUNTS: f64 = 2.0;
/// No more rounds of looking for lenses that stand apart.
const MOST_ROUNDS: usize = 100;

/// One lens as read on the camera.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct AsRead {
    /// In mm.
    pub error: f64,
    /// Variance were the tape's zero known.
    pub variance: f64,
    /// How much of a millimetre of the tape's zero is in it.
    pub zero_share: f64,
    /// Whether it tells anything of the camera.
    pub counts: bool,
}

/// The camera's share and each lens's own.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Shares {
    pub camera: Displacement,
    pub own: Vec<Displacement>,
    /// Lenses that stand apart from the rest.
    pub apart: Vec<bool>,
    /// How many lenses the camera is judged on.
    pub judged_on: usize,
}

/// Parts what the lenses have in common from what each has by itself; `None`
/// with fewer than two lenses that tell of the camera.
pub(super) fn part(lenses: &[AsRead], zero_sd: f64) -> Option<Shares> {
    let zero = square(zero_sd);
    let mut in_use: Vec<bool> = lenses.iter().map(|lens| lens.counts).collect();
    let count = |in_use: &[bool]| in_use.iter().filter(|&&used| used).count();
    let mut apart = vec![false; lenses.len()];
    for _ in 0..MOST_ROUNDS {
        if count(&in_use) < 3 {
            break;
        }
        let Some(odd) = standing_apart(lenses, &in_use, zero) else {
            break;
        };
        (in_use[odd], apart[odd]) = (false, true);
    }
    let judged_on = count(&in_use);
    if judged_on < 2 {
        return None;
    }
    let sums = Sums::of(lenses, &in_use, zero);
    let lens_variance = sums.lens_variance() * sums.for_few_lenses();
    let weight = |lens: &AsRead| 1.0 / (lens.variance + lens_variance);
    let (mut total, mut error, mut share, mut of_readings, mut squares) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for (lens, _) in lenses.iter().zip(&in_use).filter(|(_, used)| **used) {
        let w = weight(lens);
        total += w;
        error += w * lens.error;
        share += w * lens.zero_share;
        of_readings += w * w * lens.variance;
        squares += w * w;
    }
    let (error, share) = (error / total, share / total);
    let of_lenses = lens_variance * squares / square(total);
    let of_readings = of_readings / square(total);
    let variance = of_readings + of_lenses + square(share) * zero;
    let own = lenses.iter().zip(&in_use).map(|(lens, &used)| {
        let part = if used { weight(lens) / total } else { 0.0 };
        let others = of_readings - square(part) * lens.variance;
        let lever = square(lens.zero_share - share) * zero;
        let own = square(1.0 - part) * lens.variance + others + of_lenses + lever;
        displacement(lens.error - error, own)
    });
    Some(Shares {
        camera: displacement(error, variance),
        own: own.collect(),
        apart,
        judged_on,
    })
}

fn displacement(error: f64, variance: f64) -> Displacement {
    Displacement {
        error: Length::mm(error),
        standard_error: Length::mm(sqrt(variance.max(0.0))),
    }
}

/// The lens that is farthest from what the others say, where that is too far.
fn standing_apart(lenses: &[AsRead], in_use: &[bool], zero: f64) -> Option<usize> {
    let sums = Sums::of(lenses, in_use, zero);
    let off = |at: usize| {
        let lens = &lenses[at];
        let others = sums.without(lens, zero);
        let lens_variance = others.lens_variance();
        let centre = others.centre();
        let of_centre =
            1.0 / others.weight + lens_variance * others.squares / square(others.weight);
        let spread = 1.0 / sums.weight_of(lens, zero) + lens_variance + of_centre;
        (lens.error - centre).abs() / sqrt(spread)
    };
    (0..lenses.len())
        .filter(|&at| in_use[at])
        .map(|at| (at, off(at)))
        .filter(|&(_, off)| off > APART)
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(at, _)| at)
}

/// The weight of a lens that may differ from the others as much as is custom.
fn eased(weight: f64) -> f64 {
    1.0 / (1.0 / weight + square(LENS_SD))
}

/// Weighted sums over lenses, from which one lens can be taken out again.
#[derive(Clone, Copy)]
struct Sums {
    count: f64,
    weight: f64,
    error: f64,
    squares: f64,
    /// Σ w (error − mean)².
    scatter: f64,
    /// Weights and their squares with the custom's difference in each.
    eased: (f64, f64),
    /// The mean share of the tape's zero.
    share: f64,
}

impl Sums {
    fn of(lenses: &[AsRead], in_use: &[bool], zero: f64) -> Self {
        let used = || {
            let pairs = lenses.iter().zip(in_use);
            pairs.filter(|(_, used)| **used).map(|(lens, _)| lens)
        };
        let plain: f64 = used().map(|lens| 1.0 / lens.variance).sum();
        let share = used()
            .map(|lens| lens.zero_share / lens.variance)
            .sum::<f64>()
            / plain;
        let mut sums = Self {
            count: 0.0,
            weight: 0.0,
            error: 0.0,
            squares: 0.0,
            scatter: 0.0,
            eased: (0.0, 0.0),
            share,
        };
        for lens in used() {
            let w = sums.weight_of(lens, zero);
            sums.count += 1.0;
            sums.weight += w;
            sums.error += w * lens.error;
            sums.squares += w * w;
            let eased = eased(w);
            sums.eased.0 += eased;
            sums.eased.1 += eased * eased;
        }
        let centre = sums.centre();
        let apart = |lens: &AsRead| sums.weight_of(lens, zero) * square(lens.error - centre);
        let scatter = used().map(apart).sum();
        Self { scatter, ..sums }
    }

    fn weight_of(&self, lens: &AsRead, zero: f64) -> f64 {
        1.0 / (lens.variance + square(lens.zero_share - self.share) * zero)
    }

    fn centre(&self) -> f64 {
        self.error / self.weight
    }

    fn without(&self, lens: &AsRead, zero: f64) -> Self {
        let w = self.weight_of(lens, zero);
        let weight = self.weight - w;
        let apart = square(lens.error - self.centre());
        Self {
            count: self.count - 1.0,
            weight,
            error: self.error - w * lens.error,
            squares: self.squares - w * w,
            eased: (self.eased.0 - eased(w), self.eased.1 - square(eased(w))),
            scatter: (self.scatter - w * apart * self.weight / weight).max(0.0),
            ..*self
        }
    }

    /// How much larger the variance of lenses is to be taken because it is
    /// itself known from few: that of Student's distribution.
    fn for_few_lenses(&self) -> f64 {
        let freedom = CUSTOM_COUNTS + self.telling() - 1.0;
        // From two lenses of like weight up; less is as good as nothing.
        freedom / (freedom - 2.0).max(1.0)
    }

    /// How much lenses differ by themselves: what their scatter shows beyond
    /// the error of their readings (DerSimonian and Laird, "Meta-analysis in
    /// clinical trials", 1986, from memory), with the custom as so many lenses
    /// more.
    fn lens_variance(&self) -> f64 {
        let freedom = self.count - 1.0;
        let room = self.weight - self.squares / self.weight;
        let seen = if room > 0.0 {
            ((self.scatter - freedom) / room).max(0.0)
        } else {
            0.0
        };
        let telling = self.telling() - 1.0;
        (CUSTOM_COUNTS * square(LENS_SD) + telling * seen) / (CUSTOM_COUNTS + telling)
    }

    /// How many lenses of like weight tell as much.
    fn telling(&self) -> f64 {
        square(self.eased.0) / self.eased.1
    }
}

#[cfg(test)]
mod tests {
    use super::{AsRead, part};

    fn read(error: f64) -> AsRead {
        AsRead {
            error,
            variance: 0.003 * 0.003,
            zero_share: 0.0,
            counts: true,
        }
    }

    #[test]
    fn what_all_share_is_the_cameras_and_the_odd_one_its_own() {
        let errors = [0.031, 0.028, 0.082, 0.033, 0.029];
        let shares = part(&errors.map(read), 0.0).unwrap();
        assert_eq!(shares.apart, [false, false, true, false, false]);
        assert!((shares.camera.error.to_mm() - 0.030_25).abs() < 1e-9);
        assert!((shares.own[2].error.to_mm() - 0.051_75).abs() < 1e-9);
        assert_eq!(shares.judged_on, 4);
    }

    #[test]
    fn a_body_is_never_judged_on_one_lens() {
        assert_eq!(part(&[read(0.03)], 0.0), None);
        let mut second = read(0.03);
        second.counts = false;
        assert_eq!(part(&[read(0.03), second], 0.0), None);
    }

    #[test]
    fn where_two_disagree_neither_is_believed() {
        let shares = part(&[0.0, 0.08].map(read), 0.0).unwrap();
        assert!(shares.camera.standard_error.to_mm() > 0.02);
        assert_eq!(shares.apart, [false, false]);
    }

    #[test]
    fn the_zero_of_the_tape_is_in_every_lens_and_goes_into_the_camera() {
        let mut lenses = [0.03; 4].map(read);
        for lens in &mut lenses {
            lens.zero_share = -0.005;
        }
        let shares = part(&lenses, 3.0).unwrap();
        // 0.005 of 3 mm is 0.015 mm, whatever else there is.
        assert!(shares.camera.standard_error.to_mm() > 0.015);
        assert!(shares.own[0].standard_error.to_mm() < 0.008);
    }
}
