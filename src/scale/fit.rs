//! One image-plane error a group of readings, and one error of the tape's zero
//! that all readings of a camera share: weighted least squares.
//!
//! A lens focused on a chart at D stands f·m(D) − δ from its infinity position,
//! and the reading says where it stands: f·m(D) − x is δ, give or take what ring
//! and tape may be off. Where the tape begins is nobody's to know: D is taped
//! plus the tape's zero, whose prior counts as one more observation. Readings
//! far and near tell it from δ, for it moves the near ones alone.

use crate::formula::{Record, formula};
use crate::numerics::Normal;
use crate::numerics::math::sqrt;
use crate::optics::{Branch, UnitFocus};
use crate::units::{FocusDistance, Length, Ratio, Reach};

formula! {
    /// The image-plane error that one reading shows.
    error_of_reading(f: mm, m: ratio, x: mm) -> delta: mm = f * m - x;
    source "the lens stands at x = f m - delta (helicoid law)"
}

formula! {
    /// How much a millimetre of tape is in lens travel.
    travel_per_tape(m: ratio) -> a: ratio = m * m / (1.0 - m * m);
    source "d(f m)/dD = -m^2/(1 - m^2), from D = e + f (2 + m + 1/m)"
}

formula! {
    /// Where a chart really stood.
    chart_with_zero(taped: mm, zero: mm) -> D: mm = taped + zero;
    source "everything is farther than taped by the tape's zero, as all readings tell it"
}

formula! {
    /// How much a reading counts.
    weight_of_reading(sd: mm) -> w: per_mm2 = 1.0 / (sd * sd);
    source "least squares: one over the variance"
}

formula! {
    /// The weights so far.
    weights_so_far(W: per_mm2, w: per_mm2) -> W: per_mm2 = W + w;
    source "sum over the readings that count"
}

formula! {
    /// The weighed errors so far.
    errors_so_far(S: per_mm, w: per_mm2, delta: mm) -> S: per_mm = S + w * delta;
    source "sum over the readings that count"
}

formula! {
    /// The image-plane error of several readings.
    mean_of_readings(S: per_mm, W: per_mm2) -> delta: mm = S / W;
    source "weighted mean: least squares, each reading taken at the tape's zero as found"
}

formula! {
    /// What the mean of several readings may be off, were the tape's zero known.
    sd_of_mean(W: per_mm2) -> readings: mm = sqrt(1.0 / W);
    source "least squares: the variance is one over the sum of weights"
}

/// One reading, as lens travel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LensReading {
    /// The lens.
    pub lens: UnitFocus,
    /// Where the chart stood, along the axis; within the lens's reach.
    pub chart: FocusDistance,
    /// Where the lens stood from its infinity position, by its scale; below
    /// zero beyond infinity.
    pub travel: Length,
    /// What reading and tape may be off, as travel; above zero.
    pub sd: Length,
    /// The group of readings that share one image-plane error.
    pub group: usize,
}

impl LensReading {
    /// Magnification with the chart `zero` farther than taped.
    fn magnification(&self, zero: f64, rec: &mut impl Record) -> f64 {
        let Reach::At(taped) = self.chart.reach() else {
            return 0.0;
        };
        let moved = chart_with_zero(taped.to_mm(), zero, rec);
        let moved = FocusDistance::computed(Reach::At(Length::mm(moved)));
        // A zero of some millimetres cannot lead out of reach but at 1:1.
        let as_taped = || self.lens.magnification(self.chart, Branch::Far, &mut ());
        let found = self.lens.magnification(moved, Branch::Far, rec);
        let found = found.or_else(|_| as_taped());
        found.map_or(1.0, |m| m.value())
    }

    /// The image-plane error it shows as taped.
    #[must_use]
    pub fn error_as_taped(&self) -> Length {
        Length::mm(self.shows(0.0, &mut ()).0)
    }

    /// How much a tape that is off by `tape` moves that error.
    #[must_use]
    pub fn moved_by_tape(&self, tape: Length) -> Length {
        Length::mm(self.shows(0.0, &mut ()).1 * tape.to_mm())
    }

    /// The image-plane error it shows if the tape begins `zero` off, and how
    /// much of a millimetre of tape is in it.
    fn shows(&self, zero: f64, rec: &mut impl Record) -> (f64, f64) {
        let m = self.magnification(zero, rec);
        // At 1:1 a tape says nothing of the lens's place.
        let slope = travel_per_tape(m.min(0.999), &mut ());
        let f = self.lens.focal_length().to_mm();
        (error_of_reading(f, m, self.travel.to_mm(), rec), slope)
    }
}

/// What is concluded for one group of readings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroupFit {
    /// The image-plane error.
    pub error: Length,
    /// Its standard error were the tape's zero known.
    pub own_sd: Length,
    /// How much of a millimetre of the tape's zero is in it.
    pub zero_share: Ratio,
    /// Sum of squared residuals over their variances.
    pub chi_square: Ratio,
    /// How many readings it stands on.
    pub used: usize,
}

/// Image-plane errors of all groups, and the tape's zero.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// How much farther than taped everything is.
    pub tape_zero: Length,
    /// Its standard error.
    pub tape_zero_sd: Length,
    /// One for each group; `None` where no reading of it is used.
    pub groups: Vec<Option<GroupFit>>,
    /// What each reading shows beyond its group's image-plane error.
    pub residuals: Vec<Length>,
    /// Residuals of all readings over their standard deviations: those used
    /// share in what they are held against, those set aside do not.
    pub strangeness: Vec<Ratio>,
}

/// Sums over one group.
#[derive(Clone, Copy, Default)]
struct Sums {
    used: usize,
    weight: f64,
    slope: f64,
    value: f64,
}

impl Fit {
    /// Fits the readings that are not `aside`; the tape's zero is known to be
    /// nought give or take `zero_sd`. `None` without any reading.
    #[must_use]
    pub fn of(
        readings: &[LensReading],
        aside: &[bool],
        groups: usize,
        zero_sd: Length,
    ) -> Option<Self> {
        let used = |at: usize| !aside.get(at).copied().unwrap_or(false);
        let mut zero = 0.0;
        let mut zero_sd_after = zero_sd.to_mm();
        // Newton's steps: the law is all but straight over millimetres of tape.
        for _ in 0..MOST_STEPS {
            let mut all = Normal::new(1);
            all.add(&[1.0], 0.0, zero_sd.to_mm());
            let mut normals = vec![Normal::new(2); groups];
            for (_, reading) in readings.iter().enumerate().filter(|(at, _)| used(*at)) {
                let (error, slope) = reading.shows(zero, &mut ());
                let normal = normals.get_mut(reading.group)?;
                normal.add(&[1.0, slope], error + slope * zero, reading.sd.to_mm());
            }
            for normal in normals {
                if let Some(about_zero) = normal.without_first() {
                    all.merge(&about_zero);
                }
            }
            let solved = all.solve()?;
            let next = *solved.estimate.first()?;
            let step = next - zero;
            zero = next;
            zero_sd_after = sqrt(solved.covariance(0, 0).max(0.0));
            if step.abs() < CLOSE_ENOUGH {
                break;
            }
        }
        Self::at_zero(readings, used, groups, (zero, zero_sd_after))
    }

    fn at_zero(
        readings: &[LensReading],
        used: impl Fn(usize) -> bool,
        groups: usize,
        (zero, zero_sd): (f64, f64),
    ) -> Option<Self> {
        let mut sums = vec![Sums::default(); groups];
        let shown: Vec<(f64, f64)> = readings
            .iter()
            .map(|reading| reading.shows(zero, &mut ()))
            .collect();
        for (at, (reading, (error, slope))) in readings.iter().zip(&shown).enumerate() {
            if !used(at) {
                continue;
            }
            let sum = sums.get_mut(reading.group)?;
            let weight = weight(reading);
            sum.used += 1;
            sum.weight += weight;
            sum.slope += weight * slope;
            sum.value += weight * error;
        }
        let mut fit = Self {
            tape_zero: Length::mm(zero),
            tape_zero_sd: Length::mm(zero_sd),
            groups: sums.iter().map(group).collect(),
            residuals: Vec::with_capacity(readings.len()),
            strangeness: Vec::with_capacity(readings.len()),
        };
        if fit.groups.iter().all(Option::is_none) {
            return None;
        }
        for (at, (reading, (error, slope))) in readings.iter().zip(&shown).enumerate() {
            let Some(group) = fit.groups.get_mut(reading.group)?.as_mut() else {
                fit.residuals.push(Length::ZERO);
                fit.strangeness.push(ZERO);
                continue;
            };
            let residual = error - group.error.to_mm();
            let lever = (slope + group.zero_share.value()) * zero_sd;
            let of_fit = square(group.own_sd.to_mm()) + square(lever);
            let own = square(reading.sd.to_mm());
            let variance = if used(at) {
                let chi = group.chi_square.value() + square(residual) / own;
                group.chi_square = ratio(chi);
                own - of_fit
            } else {
                own + of_fit
            };
            fit.residuals.push(Length::mm(residual));
            // A reading that alone makes its group has nothing to differ from.
            let alone = variance <= 1e-9 * own;
            let strange = if alone {
                0.0
            } else {
                residual / sqrt(variance)
            };
            fit.strangeness.push(ratio(strange));
        }
        Some(fit)
    }

    /// The image-plane error of a group and its standard error were the tape's
    /// zero known, with the steps that lead there; `None` where no reading of it
    /// is used.
    #[must_use]
    pub fn explained(
        &self,
        readings: &[LensReading],
        aside: &[bool],
        group: usize,
        rec: &mut impl Record,
    ) -> Option<(Length, Length)> {
        let zero = self.tape_zero.to_mm();
        let (mut weights, mut errors) = (0.0, 0.0);
        for (reading, aside) in readings.iter().zip(aside) {
            if reading.group != group || *aside {
                continue;
            }
            let (error, _) = reading.shows(zero, rec);
            let weight = weight_of_reading(reading.sd.to_mm(), rec);
            errors = errors_so_far(errors, weight, error, rec);
            weights = weights_so_far(weights, weight, rec);
        }
        (weights > 0.0).then(|| {
            let error = mean_of_readings(errors, weights, rec);
            (Length::mm(error), Length::mm(sd_of_mean(weights, rec)))
        })
    }

    /// A group's standard error, the tape's zero with it.
    #[must_use]
    pub fn standard_error(&self, group: &GroupFit) -> Length {
        let by_zero = group.zero_share.value() * self.tape_zero_sd.to_mm();
        Length::mm(sqrt(square(group.own_sd.to_mm()) + square(by_zero)))
    }
}

const MOST_STEPS: usize = 20;
/// Steps of the tape's zero below this many mm change nothing that is shown.
const CLOSE_ENOUGH: f64 = 1e-11;
const ZERO: Ratio = ratio(0.0);

fn group(sums: &Sums) -> Option<GroupFit> {
    (sums.used > 0).then(|| GroupFit {
        error: Length::mm(mean_of_readings(sums.value, sums.weight, &mut ())),
        own_sd: Length::mm(sd_of_mean(sums.weight, &mut ())),
        zero_share: ratio(-sums.slope / sums.weight),
        chi_square: ZERO,
        used: sums.used,
    })
}

fn weight(reading: &LensReading) -> f64 {
    weight_of_reading(reading.sd.to_mm(), &mut ())
}

pub(super) const fn square(x: f64) -> f64 {
    x * x
}

/// A ratio of lengths of a real day; what is none becomes zero.
pub(super) const fn ratio(value: f64) -> Ratio {
    match Ratio::new(value) {
        Ok(ratio) => ratio,
        Err(_) => Ratio::ZERO,
    }
}
