//! Limits and hyperfocal.

use approx::assert_relative_eq;
use markwright::answers;
use markwright::optics::Pupil;
use markwright::units::{FNumber, Length, PupilMagnification, Stop};

use super::{circle, lens, limits, set, total, wanted};
use crate::depth::{distance, mm};

#[test]
fn the_far_limit_is_infinite_by_the_blur_budget_and_not_by_a_sign() {
    // Past the hyperfocal the plain division gives a negative distance, and
    // before the pupil's station is added it may even look positive.
    let lens = lens(50.0, 0.0, 1.0);
    let h = 50_100.05; // fact B.hyperfocal.image_plane
    for beyond in [1.0 + 1e-9, 1.5, 10.0, 1e4] {
        let (near, far) = limits(set(lens, h * beyond, 2.0), 0.025);
        assert_eq!(far, f64::INFINITY);
        assert!(near > 25_000.0 && near < 50_100.0, "{near}");
    }
    assert!(
        limits(set(lens, h * (1.0 - 1e-9), 2.0), 0.025)
            .1
            .is_finite()
    );
}

#[test]
fn near_limit_at_infinity_focus_is_the_limit_of_an_undefined_form() {
    // s and k are both infinite there: s/(1+k) must be f²/(Nc) from the pupil.
    let lens = lens(50.0, -15.6, 1.146);
    let far = set(lens, f64::INFINITY, 2.8);
    let near = limits(far, 0.025).0 - far.pupil_station().to_mm();
    assert_relative_eq!(near, 2500.0 / (2.8 * 0.025), max_relative = 1e-14);
    let almost = limits(set(lens, 1e9, 2.8), 0.025).0;
    assert_relative_eq!(almost, limits(far, 0.025).0, max_relative = 1e-3);
}

#[test]
fn the_pupil_does_not_move_between_the_limits() {
    let set = set(lens(32.0, 60.0, 2.0), 3000.0, 2.8);
    let limits = set.limits(circle(0.025), &mut ());
    let from_pupil = |d| mm(set.from_pupil(d, &mut ()).unwrap().reach());
    let (near, far) = (from_pupil(limits.near), from_pupil(limits.far));
    let s = from_pupil(distance(3000.0));
    assert_relative_eq!(2.0 / s, 1.0 / near + 1.0 / far, max_relative = 1e-13);
}

#[test]
fn the_focus_is_the_harmonic_mean_of_the_limits_only_from_the_pupil() {
    let (near, far) = limits(set(lens(50.0, 0.0, 1.0), 3000.0, 2.8), 0.025);
    let from_image_plane = 2.0 * near * far / (near + far);
    assert!(
        (from_image_plane - 3000.0).abs() > 0.2,
        "{from_image_plane}"
    );
}

#[test]
fn hyperfocal_near_is_half_only_from_the_entrance_pupil() {
    let lens = lens(50.0, 0.0, 1.0);
    let n = FNumber::new(2.0).unwrap();
    let h = lens.hyperfocal(n, circle(0.025), &mut ()).unwrap();
    let at = set(lens, h.from_image_plane.to_mm(), 2.0);
    let near = limits(at, 0.025).0;
    // 25 075.05 from the image plane and not half of 50 100.05 (fact B.hyperfocal.near).
    assert_relative_eq!(near, 25_075.05, epsilon = 0.005);
    let from_pupil = near - at.pupil_station().to_mm();
    let half = h.from_entrance_pupil.to_mm() / 2.0;
    assert_relative_eq!(from_pupil, half, max_relative = 1e-13);
}

#[test]
fn the_two_hyperfocal_distances_differ_by_f_over_p() {
    // (A) the focus whose far limit is infinity, (B) the near limit with the
    // focus at infinity; both from the entrance pupil.
    for p in [0.6, 1.0, 2.0] {
        let lens = lens(50.0, 20.0, p);
        let n = FNumber::new(4.0).unwrap();
        let a = lens.hyperfocal(n, circle(0.02), &mut ()).unwrap();
        let far = set(lens, f64::INFINITY, 4.0);
        let b = limits(far, 0.02).0 - far.pupil_station().to_mm();
        let difference = a.from_entrance_pupil.to_mm() - b;
        assert_relative_eq!(difference, 50.0 / p, max_relative = 1e-9);
    }
}

#[test]
fn a_circle_that_leaves_no_hyperfocal_is_refused_with_the_largest_stop() {
    // c N > f: the hyperfocal would lie inside 1:1.
    let lens = lens(8.0, 0.0, 1.0);
    let refused = lens.hyperfocal(FNumber::new(200.0).unwrap(), circle(0.05), &mut ());
    assert_eq!(refused.unwrap_err().largest.value(), 160.0);
}

#[test]
fn the_distance_on_the_ring_is_not_the_distance_from_the_lens() {
    // The biggest error of all, always toward too much depth: a sixth to a
    // third at about a tenth of life size, whatever the lens (facts T4, T7, T11).
    for (f, e, p, n, d, printed) in [
        (32.08, 18.9, 1.535, 2.8, 450.0, 34.2),
        (50.0, -15.6, 1.146, 2.0, 600.0, 16.6),
        (127.0, 17.6, 0.735, 2.8, 1500.0, 22.1),
    ] {
        let exact = total(set(lens(f, e, p), d, n), 0.025);
        // The ring's figure taken as u: the thin lens then stands farther away.
        let wrong = total(set(lens(f, 0.0, 1.0), d + f * d / (d - f), n), 0.025);
        let percent = 100.0 * (wrong / exact - 1.0);
        assert_relative_eq!(percent, printed, epsilon = 0.05);
    }
}

#[test]
fn pupil_magnification_alone_is_worse_than_nothing_and_is_said_to_be() {
    // A telephoto lens: hiatus and pupil ratio cancel, so half of the
    // correction is worse than none (facts T12 and T13).
    let exact = total(set(lens(135.0, 30.0, 0.6), 1500.0, 2.8), 0.025);
    let off = |e, p| (total(set(lens(135.0, e, p), 1500.0, 2.8), 0.025) / exact - 1.0).abs();
    assert!(off(0.0, 0.6) > 2.0 * off(0.0, 1.0));
    let mut wanted = wanted(135.0, Stop::F(FNumber::new(2.8).unwrap()));
    wanted.lens.pupil_magnification = Some(PupilMagnification::new(0.6).unwrap());
    let said = wanted.setup(&mut ()).unwrap().assumptions;
    assert_eq!(said[0].kind, "pupil_magnification_alone");
    assert!(said[0].message.contains("entrance pupil"));
    // With the pupil's place it is a correction, and nothing is said.
    wanted.lens.pupil = Some(Pupil::Station(Length::mm(75.0)));
    assert_eq!(wanted.setup(&mut ()).unwrap().assumptions, []);
}

#[test]
fn close_in_the_pupil_ratio_decides_and_the_focal_length_hardly() {
    // At 1:1 depth goes with 1 + 1/p; f is left in k² only.
    let at_1to1 = |f: f64, p| total(set(lens(f, 0.0, p), 4.0 * f, 4.0), 0.025);
    assert_relative_eq!(at_1to1(50.0, 0.5) / at_1to1(50.0, 1.0), 1.5, epsilon = 1e-4);
    assert_relative_eq!(
        at_1to1(50.0, 2.0) / at_1to1(50.0, 1.0),
        0.75,
        epsilon = 1e-4
    );
    assert_relative_eq!(at_1to1(100.0, 1.0), at_1to1(50.0, 1.0), max_relative = 1e-4);
}

#[test]
fn a_lens_of_unknown_build_shows_the_depth_of_the_shallowest_plausible_one() {
    // Of a 32 mm nothing more is known: it may be the retrofocus of fact T1, a third
    // shallower than the thin lens that stands in for it, or one like it.
    let row = |f: f64, n: f64, d: f64| {
        let wanted = wanted(f, Stop::F(FNumber::new(n).unwrap()));
        let setup = wanted.depth_setup(&mut ()).unwrap();
        let answer = answers::depth(&setup, &[distance(d)], &[], &mut ()).unwrap();
        answer.rows[0].clone()
    };
    let thin = row(32.0, 2.8, 450.0);
    let cautious = thin.cautious.unwrap();
    let [near, far] = [cautious.near, cautious.far].map(|limit| mm(limit.reach()));
    assert!((442.68..443.5).contains(&near) && (457.0..457.65).contains(&far));
    assert!(thin.near.is_nearer_than(cautious.near));
    assert!(cautious.far.is_nearer_than(thin.far));
    // About 12.5 mm only the 18 mm of the table is known, and is made smaller.
    let scaled = lens(12.5, 60.0 * 12.5 / 18.0, 2.2);
    let (near, far) = limits(set(scaled, 250.0, 2.8), 0.025);
    let cautious = row(12.5, 2.8, 250.0).cautious.unwrap();
    assert_relative_eq!(mm(cautious.near.reach()), near, max_relative = 1e-12);
    assert_relative_eq!(mm(cautious.far.reach()), far, max_relative = 1e-12);
    // Lenses of about 50 mm differ by a few per cent, and far away all are alike.
    assert_eq!(row(50.0, 2.0, 600.0).cautious, None);
    assert_eq!(row(32.0, 2.8, 3000.0).cautious, None);
}
