//! What depth of field does when something is changed.

use markwright::optics::Focused;
use markwright::units::FocusDistance;
use proptest::prelude::*;

use crate::any::{Shot, at, close, mm, shot};
use crate::mutation::{config, laws};

proptest! {
    #![proptest_config(config())]

    #[test]
    fn the_focus_lies_between_near_and_far(shot in shot()) {
        let (near, far) = shot.limits();
        prop_assert!(near < shot.d && shot.d < far, "{near} {far}");
        prop_assert!(near > shot.set().pupil_station().to_mm());
    }

    #[test]
    fn a_darker_stop_or_a_coarser_circle_widens_both_ways(shot in shot(), by in 1.01..3.0) {
        let (near, far) = shot.limits();
        let darker = Shot { n: shot.n * by, ..shot };
        let coarser = Shot { c: shot.c * by, ..shot };
        for wider in [darker, coarser] {
            let (nearer, farther) = wider.limits();
            prop_assert!(nearer < near);
            prop_assert!(farther > far || far.is_infinite() && farther.is_infinite());
        }
    }

    #[test]
    fn stop_and_circle_count_only_as_their_product(shot in shot(), by in 0.3..3.0) {
        let other = Shot { n: shot.n * by, c: shot.c / by, ..shot };
        prop_assume!((0.5..512.0).contains(&other.n) && (shot.k() - 1.0).abs() > 1e-6);
        let (near, far) = shot.limits();
        let (near2, far2) = other.limits();
        prop_assert!(close(near, near2, 1e-12));
        // Near the hyperfocal the far limit magnifies the last digit of the product.
        prop_assert!(close(far, far2, 1e-13 / (1.0 - shot.k()).abs().min(1.0)));
        // Halving one and doubling the other changes no digit at all.
        let stops = Shot { n: shot.n * 2.0, c: shot.c / 2.0, ..shot };
        prop_assert_eq!(stops.limits(), shot.limits());
    }

    #[test]
    fn scaling_every_length_scales_every_answer(
        shot in shot(),
        // By a power of two no digit changes, so the law holds to the last one.
        by in prop::sample::select(vec![0.25, 0.5, 2.0, 4.0, 8.0]),
    ) {
        let Shot { f, e, c, d, .. } = shot;
        let scaled = Shot { f: f * by, e: e * by, c: c * by, d: d * by, ..shot };
        let (near, far) = shot.limits();
        prop_assert_eq!(scaled.limits(), (near * by, far * by));
        let (set, other) = (shot.set(), scaled.set());
        prop_assert_eq!(set.magnification(), other.magnification());
        prop_assert_eq!(set.working_f_number(&mut ()), other.working_f_number(&mut ()));
        prop_assert_eq!(set.pupil_station() * by, other.pupil_station());
        prop_assert_eq!(shot.hyperfocal() * by, scaled.hyperfocal());
    }

    #[test]
    fn far_is_infinite_exactly_at_and_beyond_the_hyperfocal(shot in shot(), off in 1e-9..0.9) {
        let h = shot.hyperfocal();
        let there = Shot { d: h, ..shot };
        prop_assert_eq!(there.limits().1, f64::INFINITY);
        let beyond = Shot { d: h * (1.0 + off), ..shot };
        prop_assert_eq!(beyond.limits().1, f64::INFINITY);
        let before = Shot { d: h * (1.0 - off), ..shot };
        prop_assume!(before.d > before.lens().closest().to_mm());
        prop_assert!(before.limits().1.is_finite());
    }

    #[test]
    fn at_the_hyperfocal_near_is_half_of_it_from_the_pupil(shot in shot()) {
        let from = shot.hyperfocals();
        let shot = Shot { d: from.from_image_plane.to_mm(), ..shot };
        let near = shot.limits().0 - shot.set().pupil_station().to_mm();
        prop_assert!(close(near, from.from_entrance_pupil.to_mm() / 2.0, 1e-11));
    }

    #[test]
    fn blur_is_none_in_focus_the_circle_at_the_limits_and_signed_by_the_side(shot in shot()) {
        let set = shot.set();
        let blur = |d| set.blur(d, &mut ()).unwrap().to_mm();
        // In focus nothing but the last digits of m is left of the beam.
        let dust = 1e-12 * set.pupil().to_mm();
        prop_assert!(blur(shot.focus()).abs() <= dust);
        let limits = set.limits(shot.circle(), &mut ());
        prop_assert!((blur(limits.near) + shot.c).abs() <= dust);
        match mm(limits.far.reach()) {
            far if far.is_finite() => prop_assert!((blur(limits.far) - shot.c).abs() <= dust),
            _ => prop_assert!(blur(FocusDistance::INFINITY) <= shot.c),
        }
        prop_assert!(blur(at(shot.d * 1.5)) > 0.0);
        let between = (shot.d + set.pupil_station().to_mm()) / 2.0;
        prop_assert!(between < 1.0 || blur(at(between)) < 0.0);
    }

    #[test]
    fn in_front_and_behind_are_the_ways_to_the_limits(shot in shot()) {
        let (in_front, behind) = shot.depth();
        let total = mm(shot.set().depth(shot.circle(), &mut ()).total);
        let (near, far) = shot.limits();
        let dust = 1e-12 * (shot.d + shot.e.abs() + 4.0 * shot.f);
        prop_assert!((in_front - (shot.d - near)).abs() <= dust);
        if far.is_finite() {
            let left = 1.0 - shot.k();
            let dust = dust * (1.0 + far / shot.d) / left;
            prop_assert!((behind - (far - shot.d)).abs() <= dust);
            prop_assert!(close(total, in_front + behind, 1e-14 + 1e-15 / left));
            prop_assert!(behind > in_front);
        } else {
            prop_assert_eq!((behind, total), (f64::INFINITY, f64::INFINITY));
        }
    }

    #[test]
    fn from_the_pupil_the_focus_is_the_harmonic_mean_of_the_limits(shot in shot()) {
        let set = shot.set();
        let limits = set.limits(shot.circle(), &mut ());
        let vergence = |d| 1.0 / mm(set.from_pupil(d, &mut ()).unwrap().reach());
        let sum = vergence(limits.near) + vergence(limits.far);
        let twice = 2.0 * vergence(shot.focus());
        if limits.far.is_infinite() {
            prop_assert!(sum >= twice * (1.0 - 1e-12));
        } else {
            prop_assert!(close(sum, twice, 1e-11));
        }
    }

    #[test]
    fn focusing_farther_moves_both_limits_farther(shot in shot(), by in 1.001..2.0) {
        let (near, far) = shot.limits();
        let (near2, far2) = Shot { d: shot.d * by, ..shot }.limits();
        prop_assert!(near2 > near);
        prop_assert!(far2 > far || far.is_infinite());
    }

    #[test]
    fn near_limits_grow_toward_the_one_at_infinity_focus(shot in shot()) {
        let s = |set: &Focused| {
            let near = set.limits(shot.circle(), &mut ()).near;
            mm(set.from_pupil(near, &mut ()).unwrap().reach())
        };
        let end = s(&shot.set_at_infinity());
        prop_assert!(close(end, shot.f * shot.f / (shot.n * shot.c), 1e-14));
        prop_assert!(s(&shot.set()) < end * (1.0 + shot.set().magnification().value() / shot.p));
    }

    #[test]
    fn a_hyperfocal_is_the_same_chain_from_every_plane(shot in shot()) {
        let h = shot.hyperfocals();
        let [image, focal, principal, pupil] = [
            h.from_image_plane,
            h.from_front_focal_point,
            h.from_front_principal_plane,
            h.from_entrance_pupil,
        ]
        .map(|length| length.to_mm());
        prop_assert!(close(principal - focal, shot.f, 1e-9));
        prop_assert!(close(pupil - focal, shot.f / shot.p, 1e-9));
        let t = Shot { d: image, ..shot }.set().pupil_station().to_mm();
        prop_assert!(close(image, pupil + t, 1e-12));
    }
}

laws! {
    the_focus_lies_between_near_and_far: SwapNearAndFar FromTheLens;
    a_darker_stop_or_a_coarser_circle_widens_both_ways: SwapNearAndFar CircleOfHabit;
    stop_and_circle_count_only_as_their_product: CircleOfHabit;
    scaling_every_length_scales_every_answer: CircleOfHabit;
    far_is_infinite_exactly_at_and_beyond_the_hyperfocal: SwapNearAndFar TForN DropTheHiatus FromTheLens CircleOfHabit;
    at_the_hyperfocal_near_is_half_of_it_from_the_pupil: SwapNearAndFar FromTheLens;
    blur_is_none_in_focus_the_circle_at_the_limits_and_signed_by_the_side: FromTheLens;
    in_front_and_behind_are_the_ways_to_the_limits: SwapNearAndFar FromTheLens EvenDepth;
    from_the_pupil_the_focus_is_the_harmonic_mean_of_the_limits: FromTheLens;
    focusing_farther_moves_both_limits_farther: SwapNearAndFar;
    near_limits_grow_toward_the_one_at_infinity_focus: TForN;
    a_hyperfocal_is_the_same_chain_from_every_plane: DropThePupils;
}
