//! Chains of depth steps.

use markwright::answers::{self, Walk};
use markwright::optics::{Branch, Chain};
use proptest::prelude::*;

use crate::any::{Shot, at, close, mm, shot};
use crate::limits::setup;
use crate::mutation::Mutation::{OtherChain, SwapNearAndFar};
use crate::mutation::{config, laws, made};
use crate::pairs::distance;

/// Focus, near and far of one step.
type Row = (f64, f64, f64);

/// A shot, its distance the far end of a walk of some steps, and the near end.
fn walk() -> impl Strategy<Value = (Shot, f64)> {
    let walk = (shot(), 1.05..4.0).prop_map(|(shot, times)| (shot, shot.d / times));
    walk.prop_filter("some steps and no more", |(shot, to)| {
        let closest = shot.lens().closest().to_mm();
        // About so many: the chain is even in 1/D.
        let h = shot.f * shot.f / (shot.n * shot.c);
        let about = h * (1.0 / to - 1.0 / shot.d);
        *to > closest * 1.02 && (0.2..60.0).contains(&about)
    })
}

/// The chain from the shot's distance (or from infinity) to the near end.
fn steps(shot: &Shot, to: f64, chain: Chain, from_infinity: bool) -> Vec<Row> {
    let seen = shot.seen();
    let chain = match chain {
        Chain::Touching if made(OtherChain) => Chain::Overlapping,
        Chain::Overlapping if made(OtherChain) => Chain::Touching,
        chain => chain,
    };
    let from = if from_infinity { f64::INFINITY } else { seen.d };
    let walk = Walk {
        from: distance(from),
        to: at(to),
        close_focus: at(seen.lens().closest().to_mm()),
        chain,
    };
    let found = answers::steps(&setup(&seen), walk, &mut ()).unwrap();
    let row = |row: &answers::StepRow| {
        let [focus, near, far] = [row.focus, row.near, row.far].map(|d| mm(d.reach()));
        if made(SwapNearAndFar) {
            (focus, far, near)
        } else {
            (focus, near, far)
        }
    };
    found.rows.iter().map(row).collect()
}

/// Near and far limit of the shot focused elsewhere, by the library as it is.
fn limits(shot: &Shot, d: f64) -> (f64, f64) {
    let there = shot.lens().at(distance(d), Branch::Far, shot.n(), &mut ());
    let limits = there.unwrap().limits(shot.circle(), &mut ());
    (mm(limits.near.reach()), mm(limits.far.reach()))
}

/// Two far limits: where they nearly reach infinity the last digits decide.
fn same_far(one: f64, other: f64, d: f64) -> bool {
    let magnified = 1.0 + one.min(other) / d;
    close(one, other, 1e-10 * magnified) || one.min(other) > 1e8 * d
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn touching_steps_abut((shot, to) in walk(), from_infinity: bool) {
        let rows = steps(&shot, to, Chain::Touching, from_infinity);
        let begin = if from_infinity { f64::INFINITY } else { shot.d };
        prop_assert!(same_far(rows[0].2, begin, rows[0].0));
        for pair in rows.windows(2) {
            prop_assert!(same_far(pair[1].2, pair[0].1, pair[1].0), "{pair:?}");
        }
    }

    #[test]
    fn overlapping_steps_stand_at_the_near_limit_before((shot, to) in walk(), from_infinity: bool) {
        let rows = steps(&shot, to, Chain::Overlapping, from_infinity);
        let begin = if from_infinity { f64::INFINITY } else { shot.d };
        prop_assert_eq!(rows[0].0, begin);
        for pair in rows.windows(2) {
            prop_assert_eq!(pair[1].0, pair[0].1);
        }
    }

    #[test]
    fn each_step_has_the_limits_of_its_focus((shot, to) in walk(), touching: bool) {
        let chain = if touching { Chain::Touching } else { Chain::Overlapping };
        for (focus, near, far) in steps(&shot, to, chain, false) {
            let (near2, far2) = limits(&shot, focus);
            prop_assert!(close(near, near2, 1e-10), "{near} {near2}");
            prop_assert!(same_far(far, far2, focus), "{far} {far2}");
            prop_assert!(near < focus && focus <= far);
        }
    }

    #[test]
    fn every_subject_on_the_way_is_sharp_in_some_step(
        (shot, to) in walk(), touching: bool, share in 0.0..1.0_f64,
    ) {
        let chain = if touching { Chain::Touching } else { Chain::Overlapping };
        let subject = to + (shot.d - to) * share;
        let rows = steps(&shot, to, chain, false);
        let sharp = rows.iter().any(|&(focus, _, _)| {
            let (near, far) = limits(&shot, focus);
            near <= subject * (1.0 + 1e-9) && subject <= far * (1.0 + 1e-9)
        });
        prop_assert!(sharp, "{subject} in {rows:?}");
        // And none is needed beyond the near end.
        let before = rows.len().checked_sub(2).map_or(f64::INFINITY, |i| rows[i].1);
        prop_assert!(rows[rows.len() - 1].1 <= to && before > to);
    }

    #[test]
    fn touching_takes_no_more_steps_than_overlapping((shot, to) in walk()) {
        let count = |chain| steps(&shot, to, chain, false).len();
        let (touching, overlapping) = (count(Chain::Touching), count(Chain::Overlapping));
        prop_assert!(touching <= overlapping);
        // About half as many.
        prop_assert!(2 * touching <= overlapping + 3, "{touching} {overlapping}");
    }

    #[test]
    fn a_darker_stop_takes_no_more_steps((shot, to) in walk(), by in 1.0..3.0) {
        let darker = Shot { n: shot.n * by, ..shot };
        let count = |shot: &Shot| steps(shot, to, Chain::Touching, false).len();
        prop_assert!(count(&darker) <= count(&shot));
        // Half the circle at twice the number is the same chain.
        let finer = Shot { n: shot.n * 2.0, c: shot.c / 2.0, ..shot };
        prop_assert_eq!(steps(&finer, to, Chain::Touching, false), steps(&shot, to, Chain::Touching, false));
    }
}

laws! {
    touching_steps_abut: SwapNearAndFar FromTheLens OtherChain;
    overlapping_steps_stand_at_the_near_limit_before: SwapNearAndFar FromTheLens OtherChain;
    each_step_has_the_limits_of_its_focus: SwapNearAndFar TForN DropTheHiatus DropThePupils CircleOfHabit;
    every_subject_on_the_way_is_sharp_in_some_step: SwapNearAndFar TForN CircleOfHabit;
    touching_takes_no_more_steps_than_overlapping: OtherChain;
    a_darker_stop_takes_no_more_steps: CircleOfHabit;
}
