//! Fields of view.

use approx::assert_relative_eq;
use markwright::numerics::math::sqrt;
use markwright::units::{FocusDistance, Reach};

use super::{gate, lens, set};
use crate::depth::{distance, mm};

#[test]
fn a_diagonal_angle_comes_from_the_sides_and_not_from_adding_angles() {
    let angles = lens(50.0, 0.0, 1.0).angles_at_infinity(gate(36.0, 24.0), &mut ());
    assert_relative_eq!(angles.diagonal.to_deg(), 46.79, epsilon = 0.005); // fact E14.diag
    let [w, h] = [angles.horizontal, angles.vertical].map(|angle| angle.to_deg());
    assert!((sqrt(w * w + h * h) - 46.79).abs() > 0.9);
    assert!(w + h > 66.0);
}

#[test]
fn a_framed_width_by_the_ring_distance_is_wrong_by_a_fifth() {
    // 24.89 mm, 50 mm at 600 mm: 246.4 and neither 298.7 nor 273.8 (facts FV).
    let set = set(lens(50.0, 0.0, 1.0), 600.0, 2.0);
    let field = set.field(gate(24.89, 18.66), distance(600.0), &mut ());
    let width = mm(field.unwrap().size.width);
    assert_relative_eq!(width, 246.4, epsilon = 0.05);
    assert_relative_eq!(24.89 * 600.0 / 50.0 / width, 1.21, epsilon = 0.005);
    assert_relative_eq!(24.89 * 550.0 / 50.0 / width, 1.11, epsilon = 0.005);
}

#[test]
fn the_angle_in_focus_is_the_one_at_the_entrance_pupil() {
    // 32 mm retrofocus at 600 mm: 42.50° at infinity, 41.23° at the pupil and
    // not 40.03°, which is the angle from H (facts FV).
    let lens = lens(32.0, 60.0, 2.0);
    let gate = gate(24.89, 18.66);
    let far = lens.angles_at_infinity(gate, &mut ()).horizontal;
    assert_relative_eq!(far.to_deg(), 42.50, epsilon = 0.005);
    let near = set(lens, 600.0, 2.8).field(gate, distance(600.0), &mut ());
    let near = near.unwrap().angles.horizontal;
    assert_relative_eq!(near.to_deg(), 41.23, epsilon = 0.005);
}

#[test]
fn distances_of_a_field_are_planar_and_not_on_the_slant() {
    // Twice as far from the pupil along the axis is twice as wide; half the
    // width over the axial distance is the tangent of half the angle.
    let set = set(lens(18.0, 60.0, 2.2), 1000.0, 2.8);
    let t = set.pupil_station().to_mm();
    let field = |s: f64| {
        set.field(gate(24.89, 18.66), distance(t + s), &mut ())
            .unwrap()
    };
    let (one, two) = (field(800.0), field(1600.0));
    let width = mm(one.size.width);
    assert_relative_eq!(mm(two.size.width), 2.0 * width, max_relative = 1e-12);
    let half = one.angles.horizontal.to_deg().to_radians() / 2.0;
    let tangent = markwright::numerics::math::tan(half);
    assert_relative_eq!(width / 2.0 / 800.0, tangent, max_relative = 1e-12);
}

#[test]
fn a_field_at_infinity_is_infinitely_wide_and_has_its_angles() {
    let set = set(lens(50.0, 0.0, 1.0), f64::INFINITY, 2.0);
    let field = set.field(gate(36.0, 24.0), FocusDistance::INFINITY, &mut ());
    let field = field.unwrap();
    assert_eq!(field.size.width, Reach::Infinity);
    assert_relative_eq!(field.angles.horizontal.to_deg(), 39.60, epsilon = 0.005);
}
