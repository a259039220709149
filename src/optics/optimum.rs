//! The stop at which a range of distances is sharpest.
//!
//! Opening the stop blurs what is out of focus, closing it blurs everything by
//! diffraction. Two answers: the stop at which blur and Airy diameter are the
//! same, a rule in closed form; and the stop at which the contrast of a detail
//! is greatest at the worse of the two ends of the range.

use core::fmt;

use super::detail::Detail;
use super::diffraction::airy;
use super::focused::{BehindPupil, Focused};
use super::otf::FIRST_LOBE;
use crate::formula::{How, Record, Told, formula};
use crate::numerics::math::{exp2, log2};
use crate::numerics::root_between;
use crate::units::{FNumber, FocusDistance, Length, Light, Ratio};

formula! {
    /// The stop at which the blur of the range's end is as large as the Airy
    /// diameter: closing makes the one smaller and the other larger.
    stop_of_equal_blurs(N: f_number, b: mm, airy: mm) -> N_equal: f_number
        = N * sqrt(sqrt(b * b) / airy);
    source "b = Airy diameter at the limits; the same as sqrt(k m f / (2.439 wavelength (1 + m/p))) with k m = b / A"
}

formula! {
    /// The blur of the range's end at the stop where its contrast is greatest.
    ///
    /// That stop is searched for: the transfer function cannot be turned round. The
    /// step shows how it hangs together with this blur.
    blur_at_best_stop(b: mm, N: f_number, N_best: f_number) -> b_best: mm
        = sqrt(b * b) * N / N_best;
    source "N_best solves: contrast at the limit changes no more with the stop; blur goes as 1 / N"
}

formula! {
    /// The working f-number at that stop.
    working_at_best_stop(N_w: f_number, N: f_number, N_best: f_number) -> N_w_best: f_number
        = N_w * N_best / N;
    source "N_w goes as N, the focus being the same"
}

/// The stop at which a range is sharpest, and how sharp it is then.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Optimum {
    /// The stop.
    pub f_number: FNumber,
    /// The contrast at the worse end of the range, the greatest there can be; at
    /// or below zero where no stop shows any of the detail.
    pub contrast: Ratio,
}

/// There is no stop at which a range is sharpest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoOptimum {
    /// An end of the range stands at or behind the entrance pupil.
    BehindPupil {
        /// That end, from the image plane.
        object: FocusDistance,
        /// Where the pupil is.
        pupil: BehindPupil,
    },
    /// Both ends are in focus: the wider the stop, the sharper.
    InFocus,
}

impl fmt::Display for NoOptimum {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::BehindPupil { pupil, .. } => pupil.fmt(f),
            Self::InFocus => f.write_str("all of it is in focus: the wider the stop, the sharper"),
        }
    }
}

impl core::error::Error for NoOptimum {}

/// Stops looked at before the best of them is followed up.
const LOOKED_AT: usize = 64;

impl Focused {
    /// The stop at which the blur at the worse end of a range equals the Airy
    /// diameter, the focus staying where it is.
    ///
    /// At the focus that splits the range both ends are equally blurred. This is
    /// the rule N = √(k′ m f / (2.439 λ (1 + m/p))) with k′ m = b/A, for any kind
    /// of lens.
    ///
    /// - `n`: the f-number this setting has.
    ///
    /// # Errors
    /// [`NoOptimum`] when an end stands behind the pupil or both are in focus.
    pub fn stop_of_equal_blurs(
        &self,
        n: FNumber,
        (near, far): (FocusDistance, FocusDistance),
        light: &Light,
        rec: &mut impl Record,
    ) -> Result<FNumber, NoOptimum> {
        let b = self.worse_blur(near, far, rec)?;
        let airy = airy(light, self.working_f_number(rec), rec).to_mm();
        let n = stop_of_equal_blurs(n.value(), b.to_mm(), airy, rec);
        Ok(FNumber::computed(n))
    }

    /// The stop at which contrast of a detail at the worse end of a range is
    /// greatest, the focus staying where it is.
    ///
    /// As a function of the stop that contrast has one top before its first zero
    /// for one wavelength; of the tops that several wavelengths may have, the
    /// highest of those seen from 64 stops between far too wide and the cut-off.
    /// The top is found where the slope is nought, which keeps twice the digits
    /// that comparing contrasts would.
    ///
    /// - `n`: the f-number this setting has.
    ///
    /// # Errors
    /// [`NoOptimum`] when an end stands behind the pupil or both are in focus.
    pub fn sharpest_stop(
        &self,
        n: FNumber,
        (near, far): (FocusDistance, FocusDistance),
        detail: &Detail,
        rec: &mut impl Record,
    ) -> Result<Optimum, NoOptimum> {
        let b = self.worse_blur(near, far, rec)?;
        let n_w = self.working_f_number(rec);
        let range = Range::new(detail, b, n_w);
        let (closed, bracket) = range.sharpest();
        let best = n.value() * closed;
        let blurred = |closed: f64| b.to_mm().abs() / closed;
        let how = How::Solved {
            bracket: (blurred(bracket.1), blurred(bracket.0)),
            residual: range.gain(closed),
        };
        let blur = blur_at_best_stop(b.to_mm(), n.value(), best, &mut Told { rec, how });
        let n_w = FNumber::computed(working_at_best_stop(n_w.value(), n.value(), best, rec));
        for line in detail.light.lines() {
            detail.sigma_at(line.wavelength, n_w, rec);
        }
        let a = detail.defocus(Length::mm(blur), rec);
        let contrast = detail.lens_contrast(a, n_w) * detail.photosites();
        Ok(Optimum {
            f_number: FNumber::computed(best),
            contrast: Ratio::computed(contrast),
        })
    }

    /// The larger blur of the two ends, with its sign.
    fn worse_blur(
        &self,
        near: FocusDistance,
        far: FocusDistance,
        rec: &mut impl Record,
    ) -> Result<Length, NoOptimum> {
        let mut blur = |object: FocusDistance| {
            let blur = self.blur(object, rec);
            blur.map_err(|pupil| NoOptimum::BehindPupil { object, pupil })
        };
        let (near, far) = (blur(near)?, blur(far)?);
        let worse = if near.abs() > far.abs() { near } else { far };
        if worse == Length::ZERO {
            return Err(NoOptimum::InFocus);
        }
        Ok(worse)
    }
}

/// The end of a range as the stop is changed from what it is by a factor.
struct Range<'a> {
    detail: &'a Detail,
    /// Defocus and working f-number at the stop it has.
    a: f64,
    n_w: f64,
}

impl<'a> Range<'a> {
    fn new(detail: &'a Detail, blur: Length, n_w: FNumber) -> Self {
        let a = detail.defocus(blur, &mut ());
        let n_w = n_w.value();
        Self { detail, a, n_w }
    }

    fn contrast(&self, closed: f64) -> f64 {
        let n_w = FNumber::computed(self.n_w * closed);
        self.detail.lens_contrast(self.a / closed, n_w)
    }

    fn gain(&self, closed: f64) -> f64 {
        let n_w = FNumber::computed(self.n_w * closed);
        self.detail.closing_gain(self.a / closed, n_w)
    }

    /// The factor at which contrast is greatest, and between which it was found.
    fn sharpest(&self) -> (f64, (f64, f64)) {
        let (widest, darkest) = self.ends();
        let octaves = log2(darkest / widest);
        let stop = |i: usize| widest * exp2(octaves * i as f64 / LOOKED_AT as f64);
        let (mut best, mut most) = (1, f64::NEG_INFINITY);
        for i in 1..LOOKED_AT {
            let contrast = self.contrast(stop(i));
            if contrast > most {
                (best, most) = (i, contrast);
            }
        }
        let bracket = (stop(best - 1), stop(best + 1));
        let top = root_between(|closed| self.gain(closed), bracket.0, bracket.1);
        (top.unwrap_or_else(|| stop(best)), bracket)
    }

    /// A stop so wide that the longest wavelength has lost its first lobe, and
    /// one a little short of the cut-off of the shortest.
    ///
    /// Along the stop a σ stays the same, so a (1 − σ) is known at each σ.
    fn ends(&self) -> (f64, f64) {
        let n_w = FNumber::computed(self.n_w);
        let light = &self.detail.light;
        let sigma = |wavelength| self.detail.sigma_at(wavelength, n_w, &mut ());
        let (short, long) = (sigma(light.shortest()), sigma(light.longest()));
        let widest = self.a / (self.a * long + FIRST_LOBE);
        let darkest = (1.0 - 1e-3 / (1.0 + self.a * short)) / short;
        (widest, darkest)
    }
}
