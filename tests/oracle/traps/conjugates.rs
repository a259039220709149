//! Where lens, pupil and object stand.

use approx::assert_relative_eq;
use markwright::numerics::math::sqrt;
use markwright::optics::{Branch, OutOfReach};
use markwright::units::{FNumber, FocusDistance, Length};

use super::{gate, lens, set};
use crate::depth::{distance, mm};

#[test]
fn the_smaller_root_as_a_difference_loses_half_the_digits() {
    let (f, l) = (50.0, 1e6);
    let naive = (l - sqrt(l * (l - 4.0 * f))) / 2.0 - f;
    let ours = f * set(lens(f, 0.0, 1.0), l, 2.0).magnification().value();
    let exact = 0.002_500_250_031_25; // fact A.extension
    assert!((naive / exact - 1.0).abs() > 1e-9, "{naive} is bad enough");
    assert_relative_eq!(ours, exact, max_relative = 1e-11);
}

#[test]
fn a_thick_lens_taken_as_thin_is_wrong_by_exactly_the_hiatus() {
    let (thin, thick) = (lens(40.0, 0.0, 1.0), lens(40.0, 25.0, 1.0));
    for d in [300.0, 1000.0, 20_000.0] {
        let m = |lens, d| set(lens, d, 2.0).magnification().value();
        assert_relative_eq!(m(thick, d + 25.0), m(thin, d), max_relative = 1e-14);
    }
}

#[test]
fn the_least_distance_is_four_focal_lengths_and_the_hiatus() {
    // 4 × 50 − 15.6 = 184.4: a negative hiatus lowers it (fact E13.d).
    let lens = lens(50.0, -15.6, 1.146);
    let n = FNumber::new(2.0).unwrap();
    assert_relative_eq!(set(lens, 184.4, 2.0).magnification().value(), 1.0);
    let nearer = lens.at(distance(184.3), Branch::Far, n, &mut ());
    let Err(OutOfReach::Inside4f { nearest }) = nearer else {
        panic!("{nearer:?}");
    };
    assert_relative_eq!(nearest.to_mm(), 184.4, max_relative = 1e-14);
}

#[test]
fn near_1to1_the_magnification_is_soft_and_the_distance_is_not() {
    // dm/dD grows without end, so m keeps half its digits; D comes back whole.
    let lens = lens(50.0, 10.0, 1.2);
    for tau in [1e-4, 1e-8, 1e-12, 0.0] {
        let d = 210.0 * (1.0 + tau);
        let m = set(lens, d, 2.0).magnification();
        let back = mm(lens.distance_at(m, &mut ()).reach());
        assert_relative_eq!(back, d, max_relative = 1e-14);
        assert!(m.value() <= 1.0);
    }
}

#[test]
fn infinity_is_a_magnification_of_nought_and_has_no_macro_setting() {
    let lens = lens(32.0, 60.0, 2.0);
    let n = FNumber::new(2.8).unwrap();
    let far = set(lens, f64::INFINITY, 2.8);
    assert_eq!(far.magnification().value(), 0.0);
    assert_eq!(far.camera_constant(), Length::mm(32.0));
    let close = lens.at(FocusDistance::INFINITY, Branch::Macro, n, &mut ());
    assert_eq!(close, Err(OutOfReach::MacroAtInfinity));
}

#[test]
fn the_pupil_of_a_retrofocus_lens_is_not_where_a_thin_lens_stands() {
    // 32 mm, hiatus 60, pupil 2 at 450 mm: 111 mm in front of the image plane.
    let t = set(lens(32.0, 60.0, 2.0), 450.0, 2.8).pupil_station();
    assert_relative_eq!(t.to_mm(), 111.0, epsilon = 0.5);
}

#[test]
fn what_stands_behind_the_entrance_pupil_is_refused() {
    let set = set(lens(32.0, 60.0, 2.0), 450.0, 2.8);
    for object in [50.0, set.pupil_station().to_mm()] {
        assert!(set.blur(distance(object), &mut ()).is_err());
        assert!(
            set.field(gate(24.0, 18.0), distance(object), &mut ())
                .is_err()
        );
    }
}
