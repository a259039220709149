//! What contrast does out of focus. Each law names a mistake that would break it.

use core::f64::consts::PI;

use markwright::optics::{Detail, defocused_transfer};
use markwright::units::{DetectorPitch, Length, Ratio, SpatialFrequency};
use proptest::prelude::*;

use crate::any::{detail, light, n, one_colour};

/// tan z = z (Abramowitz and Stegun, table of the zeros of spherical Bessel
/// functions; from memory).
const FIRST_LOBE: f64 = 4.493409457909064;

fn otf(a: f64, sigma: f64) -> f64 {
    let ratio = |value| Ratio::new(value).unwrap();
    defocused_transfer(ratio(a), ratio(sigma)).value()
}

proptest! {
    /// Broken by a phase or weight of the wrong sign in the integral.
    #[test]
    fn out_of_focus_contrast_is_never_more_than_in_focus(a in 0.0..2e4, sigma in 0.0..1.2) {
        prop_assert!(otf(a, sigma).abs() <= otf(0.0, sigma));
        if sigma >= 1.0 {
            prop_assert_eq!(otf(a, sigma), 0.0);
        }
    }

    /// Broken by stopping the integral short of acos(sigma), or 1 − sigma² in its
    /// place: the search for the first crossing rests on this.
    #[test]
    fn in_the_first_lobe_contrast_falls_and_is_below_zero_at_its_end(
        sigma in 0.0..0.999,
        at in 0.0..0.99,
        on in 0.001..0.01,
    ) {
        let end = FIRST_LOBE / (1.0 - sigma);
        prop_assert!(otf(end, sigma) < 0.0);
        prop_assert!(otf((at + on) * end, sigma) < otf(at * end, sigma));
    }

    /// Broken by a factor lost between defocus and the sine's argument.
    #[test]
    fn contrast_falls_no_faster_than_the_search_steps(
        sigma in 0.0..0.99,
        a in 0.0..300.0,
        on in 0.0..0.5,
    ) {
        let fall = otf(a, sigma) - otf(a + on, sigma);
        let steepest = 0.4362 * (1.0 - sigma) * otf(0.0, sigma);
        prop_assert!(fall.abs() <= steepest * on + 1e-14);
    }

    /// Broken by a wrong leading term far out, where no integral is done.
    #[test]
    fn far_out_the_leading_terms_take_over_without_a_step(sigma in 0.0..0.9999) {
        let a = 1e4 / (1.0 - sigma);
        let (before, after) = (otf(a * (1.0 - 1e-11), sigma), otf(a * (1.0 + 1e-11), sigma));
        prop_assert!((before - after).abs() < 2e-10, "{before} {after}");
    }

    /// Broken by taking the lens's frequency for the image's, or λ in other
    /// units: contrast has no length of its own.
    #[test]
    fn scaling_every_length_leaves_contrast_as_it_is(
        detail in detail(),
        blur in -0.3..0.3,
        n_w in 1.0..40.0,
    ) {
        // By two no digit changes.
        let lines = detail.light.lines().iter();
        let doubled = |line: &markwright::units::Line| {
            (2e6 * line.wavelength.length().to_mm(), line.share.value())
        };
        let scaled = Detail {
            frequency: SpatialFrequency::new(detail.frequency.value() / 2.0).unwrap(),
            light: light(&lines.map(doubled).collect::<Vec<_>>()),
            pitch: detail.pitch.map(|pitch| DetectorPitch::new(pitch.length() * 2.0).unwrap()),
        };
        let one = detail.contrast(Length::mm(blur), n(n_w)).value();
        let other = scaled.contrast(Length::mm(2.0 * blur), n(n_w)).value();
        // But for the way through nanometres.
        prop_assert!((one - other).abs() < 1e-11, "{one} {other}");
    }

    /// Broken by a contrast of one side only.
    #[test]
    fn both_sides_of_the_focus_are_alike(detail in detail(), blur in 0.0..1.0, n_w in 1.0..40.0) {
        let blur: f64 = blur;
        let [in_front, behind] = [-blur, blur].map(|b| detail.contrast(Length::mm(b), n(n_w)));
        prop_assert_eq!(in_front, behind);
    }

    /// Broken by averaging amounts instead of signed contrasts, or by weights
    /// that do not add up to one.
    #[test]
    fn the_contrast_of_colours_is_the_mean_of_theirs(
        nu in 5.0..100.0,
        first in 400.0..550.0,
        second in 550.0..700.0,
        weight in 0.1..10.0,
        blur in 0.0..0.2,
        n_w in 1.0..22.0,
    ) {
        let of = |detail: &Detail| detail.contrast(Length::mm(blur), n(n_w)).value();
        let both = Detail {
            light: light(&[(first, weight), (second, 1.0)]),
            ..one_colour(nu, first)
        };
        let (one, other) = (of(&one_colour(nu, first)), of(&one_colour(nu, second)));
        let mean = (weight * one + other) / (weight + 1.0);
        prop_assert!((of(&both) - mean).abs() < 1e-14);
    }

    /// Broken by a pitch taken twice, halved, or without pi: a photosite as wide
    /// as half a cycle leaves 2/pi, one as wide as a cycle nothing.
    #[test]
    fn photosites_leave_what_a_wave_s_mean_leaves(um in 1.0..20.0, n_w in 1.0..4.0, blur in 0.0..0.02) {
        for (part, left) in [(0.5, 2.0 / PI), (1.0, 0.0), (1.5, -2.0 / (3.0 * PI))] {
            let bare = one_colour(part * 1e3 / um, 550.0);
            let pitch = DetectorPitch::new(Length::mm(um / 1e3)).ok();
            let seen = Detail { pitch, ..bare.clone() };
            let blur = Length::mm(blur);
            let (bare, seen) = (bare.contrast(blur, n(n_w)), seen.contrast(blur, n(n_w)));
            prop_assert!((seen.value() - left * bare.value()).abs() < 1e-14);
        }
    }
}
