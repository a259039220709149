//! The mistakes that are easily made about rings.

use approx::assert_relative_eq;
use markwright::optics::{Circle, Pupil, UnitFocus};
use markwright::scale::{
    Measure, RingDepth, RingGiven, RingLaw, RingPosition, Standing, real_focus,
};
use markwright::units::{FNumber, FocusDistance, Gain, Length, PupilMagnification};

use crate::depth::{distance, mm};

const BARE: RingGiven = RingGiven {
    circumference: None,
    close_focus: None,
};

fn lens(f: f64) -> UnitFocus {
    let thin = Pupil::Hiatus(Length::ZERO);
    UnitFocus::new(Length::mm(f), thin, PupilMagnification::ONE, &mut ())
}

fn law(f: f64, gain: f64) -> RingLaw {
    RingLaw::helicoid(lens(f), Gain::new(gain).unwrap(), BARE)
}

fn turn(place: RingPosition) -> f64 {
    place.turn().unwrap().to_deg()
}

fn position(law: &RingLaw, mm: f64) -> f64 {
    turn(law.position(distance(mm)).unwrap())
}

fn depth(law: &RingLaw, mm: f64, n: f64, c: f64) -> RingDepth {
    let circle = Circle::new(Length::mm(c)).unwrap();
    let n = FNumber::new(n).unwrap();
    law.depth(distance(mm), n, circle).unwrap()
}

#[test]
fn a_ring_is_not_linear_in_distance() {
    let law = law(50.0, 30.0);
    let (near, far) = (position(&law, 1000.0), position(&law, 2000.0));
    let between = position(&law, 1500.0);
    assert!(((near + far) / 2.0 - between).abs() > 5.0);
}

#[test]
fn marks_are_joined_in_magnification_and_never_in_distance() {
    // A helicoid is a straight line in m: eleven of its marks give it back whole,
    // where straight lines in 1/D are off by 0.2° and more.
    let helicoid = law(50.0, 30.0);
    let marks: Vec<(FocusDistance, f64)> = [
        600.0,
        700.0,
        800.0,
        1000.0,
        1200.0,
        1500.0,
        2000.0,
        3000.0,
        5000.0,
        10_000.0,
        f64::INFINITY,
    ]
    .map(|mm| (distance(mm), position(&helicoid, mm)))
    .to_vec();
    let law = RingLaw::through_marks(lens(50.0), &marks, Measure::Turn, Standing::Measured, BARE);
    let law = law.unwrap();
    for mm in [650.0, 900.0, 1350.0, 2500.0, 7000.0, 40_000.0] {
        let exact = position(&helicoid, mm);
        assert_relative_eq!(position(&law, mm), exact, epsilon = 1e-10);
    }
    let straight = {
        let share = (1.0 / 650.0 - 1.0 / 700.0) / (1.0 / 600.0 - 1.0 / 700.0);
        position(&helicoid, 700.0)
            + share * (position(&helicoid, 600.0) - position(&helicoid, 700.0))
    };
    assert!(
        (straight - position(&helicoid, 650.0)).abs() > 0.1,
        "{straight}"
    );
}

#[test]
fn offsets_to_the_limits_are_not_alike_and_not_the_tolerance() {
    // 50 mm f/2 at 2 m, 30°/mm: +1.5422, −1.5389 and ±1.5406 (facts I.limits, I.tolerance).
    let depth = depth(&law(50.0, 30.0), 2000.0, 2.0, 0.025);
    let (near, far) = (turn(depth.near_offset), turn(depth.far_offset));
    assert!(near > -far && near > turn(depth.tolerance));
    assert!(turn(depth.tolerance) > -far);
}

#[test]
fn a_tolerance_counts_the_pupil_that_moves_with_the_ring() {
    // 25 mm, p 4, f/8, c 0.05 at 0.15 m, 30°/mm. First order, N c (1 + m/p) of lens
    // travel, is 7 % short.
    let p = PupilMagnification::new(4.0).unwrap();
    let lens = UnitFocus::new(Length::mm(25.0), Pupil::Hiatus(Length::ZERO), p, &mut ());
    let law = RingLaw::helicoid(lens, Gain::new(30.0).unwrap(), BARE);
    let found = turn(depth(&law, 150.0, 8.0, 0.05).tolerance);
    let exact = {
        // By bisection of A |m' − q'/s'| = c on the side of infinity.
        let (f, d, a, c) = (25.0, 150.0, 25.0 / 8.0, 0.05);
        let blur = |m: f64| {
            let (q, t) = (f * (1.0 + m / 4.0), f * (2.0 + m - 0.25));
            (a * (m - q / (d - t))).abs() - c
        };
        let long = (d + (d * (d - 4.0 * f)).sqrt()) / 2.0;
        let m = f / (long - f);
        let edge = |mut far: f64| {
            let mut near = m;
            for _ in 0..200 {
                let middle = (near + far) / 2.0;
                if blur(middle) < 0.0 {
                    near = middle
                } else {
                    far = middle
                }
            }
            30.0 * f * (near - m).abs()
        };
        edge(m - 0.05).min(edge(m + 0.05))
    };
    assert_relative_eq!(found, exact, max_relative = 1e-10);
    let m = position(&law, 150.0) / 750.0;
    let first_order = 30.0 * 8.0 * 0.05 * (1.0 + m / 4.0);
    assert!(
        (first_order / found - 1.0).abs() > 0.005,
        "{first_order} against {found}"
    );
}

#[test]
fn beyond_infinity_the_tolerance_goes_on_as_far() {
    // At infinity focus the blur of what is there is A m, so the lens may move
    // N c either way, exactly: 30°/mm · 8 · 0.03 mm = 7.2°.
    let law = law(50.0, 30.0);
    let circle = Circle::new(Length::mm(0.03)).unwrap();
    let n = FNumber::new(8.0).unwrap();
    let depth = law.depth(FocusDistance::INFINITY, n, circle).unwrap();
    assert_relative_eq!(turn(depth.tolerance), 7.2, max_relative = 1e-12);
    assert_eq!(turn(depth.far_offset), 0.0);
}

#[test]
fn what_is_carried_on_beyond_the_marks_is_not_measured() {
    let marks = [(5000.0, 0.0), (2000.0, 24.0), (1000.0, 63.0)]
        .map(|(mm, degrees)| (distance(mm), degrees));
    let law = RingLaw::through_marks(lens(50.0), &marks, Measure::Turn, Standing::Measured, BARE);
    let law = law.unwrap();
    for (mm, standing) in [
        (f64::INFINITY, Standing::Computed),
        (5001.0, Standing::Computed),
        (5000.0, Standing::Measured),
        (1500.0, Standing::Measured),
        (1000.0, Standing::Measured),
        (999.0, Standing::Computed),
    ] {
        assert!(law.tells(distance(mm)), "{mm}");
        assert_eq!(law.standing_at(distance(mm)), standing, "{mm}");
    }
    // And no farther than one interval.
    assert!(!law.tells(distance(500.0)));
}

#[test]
fn the_offset_to_an_infinite_far_limit_stops_at_infinity() {
    let law = law(50.0, 30.0);
    let depth = depth(&law, 40_000.0, 8.0, 0.03);
    assert_relative_eq!(
        turn(depth.far_offset),
        -position(&law, 40_000.0),
        max_relative = 1e-12
    );
    // The ring itself may go further.
    assert!(turn(depth.tolerance) > -turn(depth.far_offset));
}

#[test]
fn an_image_plane_too_far_brings_the_focus_nearer_and_wide_lenses_suffer_most() {
    let shift = |f: f64, delta: f64| {
        let real = real_focus(lens(f), distance(5000.0), Length::mm(delta), &mut ());
        mm(real.unwrap().reach()) - 5000.0
    };
    assert!(shift(18.0, 0.02) < shift(50.0, 0.02) && shift(50.0, 0.02) < 0.0);
    assert!(shift(50.0, -0.02) > 0.0);
    // dD = δ (1 − 1/m²), with m = 0.0102 for 50 mm at 5 m.
    let u: f64 = 4_949.489_742_783_178;
    let m = 50.0 / (u - 50.0);
    assert_relative_eq!(
        shift(50.0, 1e-6),
        1e-6 * (1.0 - 1.0 / (m * m)),
        max_relative = 1e-4
    );
}

#[test]
fn an_image_plane_too_near_leaves_infinity_out_of_reach() {
    let near = Length::mm(-0.02);
    let real = real_focus(lens(18.0), FocusDistance::INFINITY, near, &mut ());
    assert_eq!(real, None);
    // f²/δ = 16.2 m: so far the marks still have a focus (fact F13.18).
    let real = |mm| real_focus(lens(18.0), distance(mm), near, &mut ());
    assert!(real(16_000.0).is_some() && real(16_500.0).is_none());
}

#[test]
fn every_mark_moves_by_the_same_angle_when_the_image_plane_is_off() {
    let law = law(25.0, 80.0);
    let delta = Length::mm(0.02);
    for mark in [500.0, 1000.0, 4000.0] {
        let real = real_focus(lens(25.0), distance(mark), delta, &mut ()).unwrap();
        let moved = turn(law.position(real).unwrap()) - position(&law, mark);
        assert_relative_eq!(moved, 80.0 * 0.02, max_relative = 1e-9);
    }
}

#[test]
fn a_tape_is_longer_than_the_arc_of_the_bare_ring() {
    // 80 mm ring, 300°: 209.44 bare, 209.70 with 0.10 mm of paper (facts F22).
    let ring = RingGiven {
        circumference: Some(Length::mm(80.0 * core::f64::consts::PI)),
        close_focus: None,
    };
    let law = RingLaw::helicoid(lens(50.0), Gain::new(300.0).unwrap(), ring);
    // A millimetre of extension, which is m = 1/50, is 300°.
    let place = law.position(distance(50.0 * (2.0 + 0.02 + 50.0))).unwrap();
    let bare = place.arc(&mut ()).unwrap().to_mm();
    let paper = place.along_tape(Length::mm(0.10)).unwrap().to_mm();
    assert_relative_eq!(bare, 209.44, epsilon = 0.005);
    assert_relative_eq!(paper, 209.70, epsilon = 0.005);
}
