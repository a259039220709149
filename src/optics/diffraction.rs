//! What the wave nature of light does to a point and to fine detail in focus.

use crate::formula::{Record, formula};
use crate::units::{DetectorPitch, FNumber, Length, Light, Line, SpatialFrequency, Wavelength};

formula! {
    /// Diameter of the first dark ring round the image of a point.
    airy_diameter(wavelength: mm, N_w: f_number) -> airy: mm
        = 2.0 * 1.2196698912665045 * wavelength * N_w;
    source "first zero of J1(x)/x at x = 3.8317 = 1.2197 pi (Goodman, Fourier Optics; from memory)"
}

formula! {
    /// The finest detail the lens passes at all.
    cut_off_frequency(wavelength: mm, N_w: f_number) -> nu_c: per_mm = 1.0 / (wavelength * N_w);
    source "two pupils side by side no longer overlap (Goodman, Fourier Optics, 6.4; from memory)"
}

formula! {
    /// A frequency as a part of the finest the lens passes.
    relative_frequency(wavelength: mm, N_w: f_number, nu: per_mm) -> sigma: ratio
        = wavelength * N_w * nu;
    source "nu over the cut-off 1 / (wavelength N_w)"
}

formula! {
    /// Contrast in focus of a lens that has no fault but diffraction; 2 atan(…) is
    /// the arc cosine of sigma.
    diffraction_contrast(sigma: ratio) -> M: ratio
        = 2.0 / pi * (2.0 * atan(sqrt((1.0 - sigma) / (1.0 + sigma)))
            - sigma * sqrt(1.0 - sigma * sigma));
    source "common area of two circles (Goodman, Fourier Optics, 6.4; from memory)"
}

formula! {
    /// Beyond the cut-off nothing is passed.
    contrast_beyond_cut_off(sigma: ratio) -> M: ratio = 0.0 * sigma;
    source "beyond the cut-off two pupils side by side do not overlap"
}

formula! {
    /// One more wavelength taken into the mean of wavelengths.
    wavelength_with(sum: mm, share: ratio, wavelength: mm) -> wavelength_mean: mm
        = sum + share * wavelength;
    source "the Airy diameter goes as the wavelength, its mean as the mean"
}

formula! {
    /// One more wavelength taken into the mean of contrasts.
    mean_with(sum: ratio, share: ratio, M: ratio) -> M_mean: ratio = sum + share * M;
    source "lights of different wavelength add up without interfering"
}

formula! {
    /// The finest detail photosites tell from coarser.
    nyquist_frequency(pitch: mm) -> nu_N: per_mm = 1.0 / (2.0 * pitch);
    source "two photosites a cycle (Nyquist; from memory)"
}

formula! {
    /// Half the phase between neighbouring photosites.
    half_phase(nu: per_mm, pitch: mm) -> h: ratio = pi * nu * pitch / 2.0;
    source "a cycle is two pi, the pitch a part of it"
}

formula! {
    /// What is left of contrast when each photosite sees its whole width:
    /// sin(2 h) / (2 h).
    photosite_contrast(h: ratio) -> M_site: ratio = tan(h) / (h * (1.0 + tan(h) * tan(h)));
    source "mean of a wave over the pitch, sin(x)/x with x = pi nu pitch = 2 h"
}

formula! {
    /// Lens and photosites together.
    lens_and_photosite(M: ratio, M_site: ratio) -> M_both: ratio = M * M_site;
    source "transfer functions of what follows one upon the other multiply"
}

/// The Airy diameter of a light at a working f-number: the first dark ring
/// round the image of a point, 2.439 λ `N_w`; of several wavelengths the mean.
///
/// - Source: Goodman, *Introduction to Fourier Optics* (from memory).
#[must_use]
pub fn airy(light: &Light, working_f_number: FNumber, rec: &mut impl Record) -> Length {
    let mm = |line: &Line| line.wavelength.length().to_mm();
    let wavelength = match light.lines() {
        [line] => mm(line),
        lines => lines.iter().fold(0.0, |sum, line| {
            wavelength_with(sum, line.share.value(), mm(line), rec)
        }),
    };
    Length::mm(airy_diameter(wavelength, working_f_number.value(), rec))
}

/// The finest detail that light of a wavelength carries at a working f-number,
/// 1 / (λ `N_w`).
#[must_use]
pub fn cut_off(
    wavelength: Wavelength,
    working_f_number: FNumber,
    rec: &mut impl Record,
) -> SpatialFrequency {
    let mm = wavelength.length().to_mm();
    SpatialFrequency::computed(cut_off_frequency(mm, working_f_number.value(), rec))
}

/// The finest detail that photosites of a pitch tell from coarser: half a cycle
/// each.
#[must_use]
pub fn finest_told_apart(pitch: DetectorPitch, rec: &mut impl Record) -> SpatialFrequency {
    SpatialFrequency::computed(nyquist_frequency(pitch.length().to_mm(), rec))
}

/// Contrast in focus at a part `sigma` of the cut-off.
pub(super) fn in_focus(sigma: f64, rec: &mut impl Record) -> f64 {
    if sigma < 1.0 {
        diffraction_contrast(sigma, rec)
    } else {
        contrast_beyond_cut_off(sigma, rec)
    }
}

/// What photosites of a pitch leave of contrast at a frequency.
pub(super) fn of_photosites(
    frequency: SpatialFrequency,
    pitch: DetectorPitch,
    rec: &mut impl Record,
) -> f64 {
    let h = half_phase(frequency.value(), pitch.length().to_mm(), rec);
    photosite_contrast(h, rec)
}
