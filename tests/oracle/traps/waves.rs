//! Contrast and diffraction.

use core::f64::consts::PI;

use markwright::numerics::root_between;
use markwright::optics::{Detail, Limiting, defocused_transfer};
use markwright::units::{
    Contrast, DetectorPitch, FNumber, FocusDistance, Length, Light, Ratio, SpatialFrequency, parse,
};

use super::{lens, set};
use crate::depth::mm;

fn light(text: &str) -> Light {
    parse::light(text).unwrap()
}

fn detail(nu: f64, text: &str) -> Detail {
    Detail {
        frequency: SpatialFrequency::new(nu).unwrap(),
        light: light(text),
        pitch: None,
    }
}

fn transfer(a: f64, sigma: f64) -> f64 {
    let ratio = |value| Ratio::new(value).unwrap();
    defocused_transfer(ratio(a), ratio(sigma)).value()
}

#[test]
fn diffraction_goes_by_the_working_f_number_and_not_by_the_engraved_one() {
    // 1:1 with equal pupils: N_w = 2 N (E13), so the Airy disc of f/8 (E20) doubles.
    let set = set(lens(50.0, 0.0, 1.0), 200.0, 8.0);
    let airy = set.airy(&light("550nm"), &mut ()).to_mm();
    assert!((airy - 2.0 * 0.010733).abs() < 1e-6, "{airy}");
}

#[test]
fn depth_ends_at_the_first_crossing_and_not_where_contrast_comes_back() {
    // A disc far out of focus shows detail again, light and dark exchanged: 2 J1(a)/a is
    // -0.1323 at a = 5.136 (Abramowitz and Stegun, table 9.5: the first zero of J2).
    let detail = detail(5.0, "400nm");
    let n = FNumber::new(1.0).unwrap();
    let at = |a: f64| detail.contrast(Length::mm(a / (PI * 5.0)), n).value();
    assert!((at(5.135622) + 0.1323).abs() < 1e-3);
    let wanted = Contrast::new(0.1).unwrap();
    let circle = detail.circle_at(wanted, n, &mut ()).unwrap();
    assert!(circle.diameter().to_mm() * PI * 5.0 < 3.8317);
}

#[test]
fn diffraction_and_a_blur_disc_do_not_simply_multiply() {
    // Half a wave at a quarter of the cut-off: 0.317332 (E23), while the contrast in focus,
    // 0.685038 (E21), times that of the disc, 2 J1(pi)/pi = 0.1812, makes 0.124.
    let (both, disc) = (transfer(PI, 0.25), transfer(PI, 0.0));
    assert!((both - 0.317332).abs() < 1e-6);
    assert!((0.685038 * disc - 0.124).abs() < 1e-3);
}

#[test]
fn colours_are_averaged_with_their_signs() {
    // Where the longer wavelength still shows detail the right way round and the shorter
    // one the other way, the two take away from each other.
    let n = FNumber::new(11.0).unwrap();
    let [blue, red, both] = ["450nm", "700nm", "450nm,700nm"].map(|text| detail(60.0, text));
    let of = |detail: &Detail, b: f64| detail.contrast(Length::mm(b), n).value();
    let zero = |detail: &Detail| root_between(|b| of(detail, b), 0.01, 0.045).unwrap();
    let between = (zero(&blue) + zero(&red)) / 2.0;
    assert!(of(&blue, between) < 0.0 && of(&red, between) > 0.0);
    assert!(of(&both, between).abs() < of(&red, between) / 2.0);
}

#[test]
fn each_focus_distance_has_its_own_circle_of_contrast() {
    // Closer in the light cone is slimmer and diffraction takes more: one circle for a whole
    // card would be wrong at one end of it.
    let detail = detail(40.0, "550nm");
    let wanted = Contrast::new(0.65).unwrap();
    let circle = |d| {
        let set = set(lens(50.0, 0.0, 0.8), d, 8.0);
        let circle = set.circle_at(wanted, &detail, &mut ()).unwrap();
        circle.diameter().to_mm()
    };
    assert!(circle(300.0) < 0.8 * circle(1e5));
}

#[test]
fn a_photosite_counts_as_wide_as_its_pitch() {
    // At half a cycle a photosite 2/pi is left, at the first zero nothing: sin(x)/x with
    // x = pi nu pitch (Goodman, Fourier Optics; from memory).
    let n = FNumber::new(1.0).unwrap();
    let bare = detail(100.0, "400nm");
    let pitch = |um: f64| DetectorPitch::new(Length::mm(um / 1e3)).ok();
    let left = |um: f64| {
        let seen = Detail {
            pitch: pitch(um),
            ..bare.clone()
        };
        seen.in_focus(n, &mut ()).value() / bare.in_focus(n, &mut ()).value()
    };
    assert!((left(5.0) - core::f64::consts::FRAC_2_PI).abs() < 1e-6);
    assert!(left(10.0).abs() < 1e-12);
}

#[test]
fn the_sharpest_stop_is_not_the_stop_of_equal_blurs() {
    // The rule knows no detail: coarse detail is best wider open, fine detail is not.
    let set = set(lens(50.0, 0.0, 1.0), 2660.8975, 8.0);
    let at = |mm: f64| FocusDistance::at(Length::mm(mm)).unwrap();
    let (ends, n) = ((at(2000.0), at(4000.0)), FNumber::new(8.0).unwrap());
    let blurs = [ends.0, ends.1].map(|end| set.blur(end, &mut ()).unwrap().to_mm().abs());
    assert!(
        (blurs[0] / blurs[1] - 1.0).abs() < 1e-4,
        "split: {}",
        mm(set.focus().reach())
    );
    let rule = set
        .stop_of_equal_blurs(n, ends, &light("550nm"), &mut ())
        .unwrap();
    let best = |nu: f64| {
        let best = set.sharpest_stop(n, ends, &detail(nu, "550nm"), &mut ());
        best.unwrap().f_number.value()
    };
    assert!(best(5.0) < rule.value() && rule.value() < best(60.0));
}

#[test]
fn at_f_16_diffraction_is_coarser_than_a_fine_circle() {
    // The Airy disc of f/16 in 550 nm is 0.0215 mm (E20, doubled): more than 0.0005 in, less
    // than 0.001 in.
    let set = set(lens(50.0, 0.0, 1.0), f64::INFINITY, 16.0);
    let airy = set.airy(&light("550nm"), &mut ());
    let limiting = |circle: f64| Limiting::by_circle(Length::mm(circle), airy);
    assert_eq!(limiting(0.0127), Limiting::Diffraction);
    assert_eq!(limiting(0.0254), Limiting::Defocus);
}
