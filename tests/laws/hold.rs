//! Where two subjects are split, and the stop that holds them.

use markwright::answers::Verdict;
use markwright::numerics::math::exp2;
use proptest::prelude::*;

use crate::any::close;
use crate::mutation::Mutation::MarkBelow;
use crate::mutation::{config, laws, made};
use crate::pairs::{Asked, Found, Two, two};

fn plain(two: &Two) -> Found {
    two.hold(Asked::default())
}

/// What rounding does to a limit: a far one is a small difference.
fn dust(two: &Two) -> f64 {
    let far = if two.far.is_finite() {
        two.far / two.near
    } else {
        1.0
    };
    1e-11 * far * (1.0 + two.e.abs() / two.near)
}

/// How far a verdict goes.
fn rank(verdict: Verdict) -> u8 {
    match verdict {
        Verdict::No => 0,
        Verdict::Just => 1,
        Verdict::Yes => 2,
    }
}

/// The mark before, by full stops, halves or thirds: nominal numbers closed by
/// exact parts of a stop (ISO 517's series, from memory).
fn mark_before(number: f64, parts: u32) -> f64 {
    let full = [
        0.5, 0.7, 1.0, 1.4, 2.0, 2.8, 4.0, 5.6, 8.0, 11.0, 16.0, 22.0, 32.0, 45.0, 64.0, 90.0,
        128.0, 180.0, 256.0, 360.0, 512.0,
    ];
    let marks = full.iter().flat_map(|&full| {
        (0..parts).map(move |part| full * exp2(f64::from(part) / f64::from(2 * parts)))
    });
    let wider = marks.filter(|&mark| mark < number * (1.0 - 1e-9));
    wider.fold(0.0, f64::max)
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn at_the_split_and_the_stop_everything_is_sharp_from_near_to_far(two in two()) {
        let found = plain(&two);
        prop_assert!(found.n.is_finite() && found.n > 0.0);
        prop_assume!((0.5..512.0).contains(&found.n));
        let (near, far) = two.limits_seen(found.focus, found.n);
        prop_assert!(close(near, two.near, dust(&two)), "{near}");
        // With the far one at infinity the limit is as far as rounding has it.
        let there = if two.far.is_infinite() { far > 1e9 * two.near } else { close(far, two.far, dust(&two)) };
        prop_assert!(there, "{far}");
    }

    #[test]
    fn at_the_split_near_and_far_are_equally_soft(two in two(), n in 0.6..20.0) {
        let found = two.hold(Asked { n: Some(n), ..Asked::default() });
        let (near, far) = (two.blur(found.focus, n, two.near), two.blur(found.focus, n, two.far));
        // The blur is a difference of two beams as wide as the pupil's image.
        let dust = 1e-12 * two.f / n;
        prop_assert!((near - far).abs() <= dust, "{near} {far}");
        let (said_near, said_far) = found.blur.unwrap();
        prop_assert!((said_near - near).abs() <= dust && (said_far - far).abs() <= dust, "{said_near} {near}");
    }

    #[test]
    fn the_split_lies_between_nearer_to_the_near_one(two in two()) {
        let found = plain(&two);
        prop_assert!(found.focus > two.near && found.focus < two.far);
        if two.far.is_finite() {
            prop_assert!(found.focus < (two.near + two.far) / 2.0);
        }
    }

    #[test]
    fn a_darker_stop_never_holds_less(two in two(), share in 0.3..1.5, by in 1.0..2.0) {
        let verdict = |n: f64| two.hold(Asked { n: Some(n), ..Asked::default() }).verdict.unwrap();
        let n = two.needs() * share;
        prop_assume!(n > 0.5 && n * by < 512.0);
        prop_assert!(rank(verdict(n * by)) >= rank(verdict(n)));
    }

    #[test]
    fn yes_just_and_no_are_what_the_limits_say(two in two(), share in 0.6..1.4_f64) {
        let n = two.needs() * share;
        prop_assume!((0.5..512.0).contains(&n) && (share - 1.0).abs() > 1e-6);
        let found = two.hold(Asked { n: Some(n), ..Asked::default() });
        let (near, far) = two.limits(found.focus, n);
        let covers = near <= two.near && far >= two.far;
        prop_assert_eq!(found.verdict.unwrap() == Verdict::Yes, covers);
        // All but held: a stop a tenth darker does.
        let (near, far) = two.limits(found.focus, (n * 1.100_001).min(512.0));
        let nearly = near <= two.near && far >= two.far;
        prop_assert_eq!(found.verdict.unwrap() != Verdict::No, nearly);
    }

    #[test]
    fn closer_together_needs_no_darker_stop(two in two(), share in 0.01..0.99) {
        let found = plain(&two);
        let gap = if two.far.is_finite() { two.far - two.near } else { 3.0 * two.near };
        let nearer = Two { far: two.near + gap * share, ..two };
        prop_assert!(plain(&nearer).n < found.n);
        let farther = Two { near: two.near + gap * share, ..two };
        prop_assert!(plain(&farther).n < found.n);
        prop_assert!(plain(&nearer).focus < found.focus && plain(&farther).focus > found.focus);
    }

    #[test]
    fn half_the_circle_needs_twice_the_f_number_at_the_same_split(two in two()) {
        let found = plain(&two);
        let half = plain(&Two { c: two.c / 2.0, ..two });
        prop_assert_eq!(half.n, 2.0 * found.n);
        prop_assert_eq!(half.focus, found.focus);
        prop_assert_eq!(found.half, half.n);
    }

    #[test]
    fn a_marked_stop_holds_and_the_mark_before_does_not(two in two(), by_t: bool) {
        let found = two.hold(Asked { by_t, ..Asked::default() });
        for (mark, parts) in found.marks.into_iter().zip([3, 2, 1]) {
            let before = mark_before(mark.number(), parts);
            let mark = if made(MarkBelow) { before } else { mark.number() };
            let wider = mark_before(mark, parts);
            let n = |number: f64| if by_t { number * f64::sqrt(0.8) } else { number };
            prop_assume!(wider >= 0.6 && mark < 512.0);
            let (near, far) = two.limits(found.focus, n(mark));
            let slack = dust(&two);
            prop_assert!(near <= two.near * (1.0 + slack) && far >= two.far * (1.0 - slack));
            let (near, far) = two.limits(found.focus, n(wider));
            prop_assert!(near > two.near || far < two.far);
        }
    }

    #[test]
    fn scaling_every_length_asks_for_the_same_stop(
        two in two(), by in prop::sample::select(vec![0.5, 2.0, 4.0]),
    ) {
        let Two { f, e, c, near, far, .. } = two;
        let scaled = Two { f: f * by, e: e * by, c: c * by, near: near * by, far: far * by, ..two };
        let (found, other) = (plain(&two), plain(&scaled));
        prop_assert!(close(other.n, found.n, 1e-12 / dust_free(&two)));
        prop_assert!(close(other.focus, found.focus * by, 1e-13));
    }
}

/// How much of two vergences is left when one is taken from the other.
fn dust_free(two: &Two) -> f64 {
    1.0 - if two.far.is_finite() {
        two.near / two.far
    } else {
        0.0
    }
}

laws! {
    at_the_split_and_the_stop_everything_is_sharp_from_near_to_far:
        SwapNearAndFar TForN DropTheHiatus DropThePupils FromTheLens CircleOfHabit HarmonicMean OneThird;
    at_the_split_near_and_far_are_equally_soft:
        TForN DropTheHiatus DropThePupils FromTheLens HarmonicMean OneThird;
    the_split_lies_between_nearer_to_the_near_one: FromTheLens;
    a_darker_stop_never_holds_less: UpsideDown;
    yes_just_and_no_are_what_the_limits_say: TForN DropTheHiatus FromTheLens UpsideDown CircleOfHabit;
    closer_together_needs_no_darker_stop: UpsideDown;
    half_the_circle_needs_twice_the_f_number_at_the_same_split: OneStopForHalf CircleOfHabit;
    a_marked_stop_holds_and_the_mark_before_does_not: TForN DropTheHiatus FromTheLens MarkBelow;
    scaling_every_length_asks_for_the_same_stop: CircleOfHabit;
}
