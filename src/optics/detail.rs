//! The contrast of fine detail: in which light, on which photosites.

use super::diffraction::{
    in_focus, lens_and_photosite, mean_with, of_photosites, relative_frequency,
};
use super::otf::{FIRST_LOBE, closing_gain, otf};
use crate::formula::{Record, formula};
use crate::units::{
    DetectorPitch, FNumber, Length, Light, Line, Ratio, SpatialFrequency, Wavelength,
};

formula! {
    /// Defocus in the letters of the transfer function.
    defocus(b: mm, nu: per_mm) -> a: ratio = pi * b * nu;
    source "a = 8 pi W20 sigma / wavelength with W20 = b / (8 N_w); where it is solved, OTF(a, sigma) = contrast, OTF being 4/(pi a) times the integral of sin(a (cos t - sigma)) cos t over t from 0 to acos sigma (Hopkins, Proc. R. Soc. A 231, 1955; from memory, derived anew), the mean over wavelengths, times what photosites leave"
}

/// Detail of one fineness, seen in a light, on photosites or without.
///
/// The contrast of several wavelengths is the mean of their signed contrasts.
/// The lens is one that has no fault but diffraction and defocus: real lenses
/// give less, and one colour may focus where another does not.
#[derive(Clone, Debug, PartialEq)]
pub struct Detail {
    /// How fine.
    pub frequency: SpatialFrequency,
    /// In which light.
    pub light: Light,
    /// On photosites of this pitch, if they count.
    pub pitch: Option<DetectorPitch>,
}

/// What keeps detail from being sharper at a limit of depth.
///
/// The question behind it: were the stop a little darker, would the limit get
/// sharper or softer? A darker stop makes the blur smaller and diffraction
/// coarser; where the first counts for more, defocus limits.
///
/// - By contrast ([`Detail::limiting`]) it is the sign of the slope of contrast
///   along the stop. It is the sign, too, of how depth at that contrast changes:
///   where diffraction limits, a wider stop is as deep or deeper.
/// - By circle alone ([`Limiting::by_circle`]) blur and Airy diameter are added
///   as √(b² + d²), the rule of thumb, least where both are the same: so
///   diffraction limits where the Airy diameter is the larger.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(
    feature = "serde",
    derive(serde::Serialize),
    serde(rename_all = "snake_case")
)]
pub enum Limiting {
    /// A darker stop would be sharper there.
    Defocus,
    /// A darker stop would be softer there.
    Diffraction,
}

impl Limiting {
    /// What limits where a blur of `circle` is allowed and the first dark ring
    /// has the diameter `airy`.
    #[must_use]
    pub fn by_circle(circle: Length, airy: Length) -> Self {
        if airy > circle {
            Self::Diffraction
        } else {
            Self::Defocus
        }
    }
}

impl Detail {
    /// Contrast in focus at a working f-number, the most there is.
    #[must_use]
    pub fn in_focus(&self, working_f_number: FNumber, rec: &mut impl Record) -> Ratio {
        let lens = match self.light.lines() {
            [line] => in_focus(self.sigma(line, working_f_number, rec), rec),
            lines => lines.iter().fold(0.0, |sum, line| {
                let contrast = in_focus(self.sigma(line, working_f_number, rec), rec);
                mean_with(sum, line.share.value(), contrast, rec)
            }),
        };
        Ratio::computed(match self.pitch {
            None => lens,
            Some(pitch) => {
                let site = of_photosites(self.frequency, pitch, rec);
                lens_and_photosite(lens, site, rec)
            }
        })
    }

    /// Contrast of what is blurred to a diameter, of either sign; negative where
    /// light and dark have changed places.
    #[must_use]
    pub fn contrast(&self, blur: Length, working_f_number: FNumber) -> Ratio {
        let a = self.defocus(blur, &mut ());
        Ratio::computed(self.lens_contrast(a, working_f_number) * self.photosites())
    }

    /// What keeps detail of this blur from being sharper.
    ///
    /// Past the first zero of contrast it is always defocus; beyond the cut-off
    /// it is diffraction.
    #[must_use]
    pub fn limiting(&self, blur: Length, working_f_number: FNumber) -> Limiting {
        let a = self.defocus(blur, &mut ());
        let lines = self.light.lines().iter();
        let nearest = lines
            .map(|line| self.sigma(line, working_f_number, &mut ()))
            .filter(|&sigma| sigma < 1.0)
            .map(|sigma| a * (1.0 - sigma))
            .fold(f64::INFINITY, f64::min);
        let all_past_the_first_lobe = nearest > FIRST_LOBE && nearest.is_finite();
        if all_past_the_first_lobe || self.closing_gain(a, working_f_number) > 0.0 {
            Limiting::Defocus
        } else {
            Limiting::Diffraction
        }
    }

    pub(super) fn defocus(&self, blur: Length, rec: &mut impl Record) -> f64 {
        defocus(blur.to_mm().abs(), self.frequency.value(), rec)
    }

    /// What photosites leave of contrast.
    pub(super) fn photosites(&self) -> f64 {
        self.pitch
            .map_or(1.0, |pitch| of_photosites(self.frequency, pitch, &mut ()))
    }

    /// The lens's share of contrast at defocus `a`.
    pub(super) fn lens_contrast(&self, a: f64, n_w: FNumber) -> f64 {
        self.mean(|line| otf(a, self.sigma(line, n_w, &mut ())))
    }

    /// What the lens's share gains when the stop is closed by an e-fold.
    pub(super) fn closing_gain(&self, a: f64, n_w: FNumber) -> f64 {
        self.mean(|line| closing_gain(a, self.sigma(line, n_w, &mut ())))
    }

    fn mean(&self, of: impl Fn(&Line) -> f64) -> f64 {
        let lines = self.light.lines();
        lines.iter().map(|line| line.share.value() * of(line)).sum()
    }

    fn sigma(&self, line: &Line, n_w: FNumber, rec: &mut impl Record) -> f64 {
        self.sigma_at(line.wavelength, n_w, rec)
    }

    pub(super) fn sigma_at(
        &self,
        wavelength: Wavelength,
        n_w: FNumber,
        rec: &mut impl Record,
    ) -> f64 {
        let mm = wavelength.length().to_mm();
        relative_frequency(mm, n_w.value(), self.frequency.value(), rec)
    }
}
