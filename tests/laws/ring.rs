//! The ring's law, computed and through marks.

use markwright::formula::Steps;
use markwright::optics::Branch;
use markwright::scale::{Measure, RingGiven, RingLaw, RingPosition, Standing, real_focus};
use markwright::units::{FocusDistance, Gain, Length};
use proptest::prelude::*;

use crate::any::{Shot, at, close, mm, shot};
use crate::mutation::Mutation::{ByOneOverDistance, FromTheLens, OtherWay, ZeroKept};
use crate::mutation::{config, laws, made};

const BARE: RingGiven = RingGiven {
    circumference: None,
    close_focus: None,
};

fn helicoid(shot: &Shot) -> RingLaw {
    RingLaw::helicoid(shot.lens(), Gain::new(30.0).unwrap(), BARE)
}

fn turn(place: RingPosition) -> f64 {
    let turn = place.turn().unwrap().to_deg();
    if made(OtherWay) { -turn } else { turn }
}

/// A distance as it is handed to a law.
fn counted(shot: &Shot, d: f64) -> f64 {
    if made(FromTheLens) {
        shot.counted_from_the_lens(d)
    } else {
        d
    }
}

/// Where a law has a distance.
fn place(shot: &Shot, law: &RingLaw, d: f64) -> RingPosition {
    law.position(at(counted(shot, d))).unwrap()
}

/// Where a law through marks has a distance, in degrees from the farthest mark.
fn read(shot: &Shot, law: &RingLaw, points: &[(f64, f64)], d: f64) -> f64 {
    let farthest = points[points.len() - 1].1;
    if made(ByOneOverDistance) {
        let inside = points.windows(2).find(|pair| d <= pair[1].0).unwrap();
        let [(near, from), (far, to)] = [inside[0], inside[1]];
        let share = (1.0 / near - 1.0 / d) / (1.0 / near - 1.0 / far);
        return from + (to - from) * share - farthest;
    }
    let there = turn(place(shot, law, d));
    if made(ZeroKept) {
        there + farthest
    } else {
        there
    }
}

/// Marks from close focus to far away, unevenly spaced on the ring.
fn marks() -> impl Strategy<Value = (Shot, Vec<(f64, f64)>)> {
    let steps = prop::collection::vec((1.05..2.0, 0.5..40.0), 2..14);
    (shot(), steps).prop_map(|(shot, steps)| {
        let (mut d, mut angle) = (shot.lens().closest().to_mm() * 1.1, 300.0);
        let points = steps.into_iter().map(|(times, turn)| {
            let point = (d, angle);
            d *= times;
            angle -= turn;
            point
        });
        let points: Vec<_> = points.collect();
        (shot, points)
    })
}

fn through(shot: &Shot, points: &[(f64, f64)]) -> RingLaw {
    let points: Vec<(FocusDistance, f64)> =
        points.iter().map(|&(d, angle)| (at(d), angle)).collect();
    RingLaw::through_marks(
        shot.lens(),
        &points,
        Measure::Turn,
        Standing::Measured,
        BARE,
    )
    .unwrap()
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn positions_grow_toward_close_focus_and_lead_back(shot in shot(), by in 1.01..3.0) {
        let law = helicoid(&shot);
        let here = place(&shot, &law, shot.d);
        let farther = place(&shot, &law, shot.d * by);
        prop_assert!(here.is_nearer_than(farther) && turn(farther) > 0.0);
        let back = mm(law.distance(here).unwrap().reach());
        prop_assert!(close(back, shot.d, 1e-6), "{back}");
        prop_assert_eq!(turn(law.position(FocusDistance::INFINITY).unwrap()), 0.0);
    }

    #[test]
    fn a_measured_mark_is_never_moved((shot, points) in marks()) {
        let law = through(&shot, &points);
        let farthest = points[points.len() - 1].1;
        for &(d, angle) in &points {
            let there = read(&shot, &law, &points, d);
            prop_assert!((there - (angle - farthest)).abs() < 1e-9, "{there}");
        }
    }

    #[test]
    fn between_marks_the_law_never_turns_back((shot, points) in marks()) {
        let law = through(&shot, &points);
        let mut last = f64::INFINITY;
        for pair in points.windows(2) {
            for share in 0..8 {
                let d = pair[0].0 + (pair[1].0 - pair[0].0) * f64::from(share) / 8.0;
                let here = read(&shot, &law, &points, d);
                prop_assert!(here < last, "{here} after {last} at {d} mm");
                last = here;
            }
        }
    }

    #[test]
    fn zero_and_direction_of_the_readings_do_not_matter(
        (shot, points) in marks(), zero in -400.0..400.0,
    ) {
        let law = through(&shot, &points);
        let turned: Vec<_> = points.iter().map(|&(d, angle)| (d, zero - angle)).collect();
        let other = through(&shot, &turned);
        let d = (points[0].0 + points[1].0) / 2.0;
        let (one, two) = (read(&shot, &law, &points, d), read(&shot, &other, &turned, d));
        prop_assert!((one - two).abs() < 1e-9);
    }

    #[test]
    fn marks_of_a_helicoid_give_the_helicoid((shot, points) in marks()) {
        let helicoid = helicoid(&shot);
        let place = |d| helicoid.position(at(d)).unwrap().turn().unwrap().to_deg();
        let marks: Vec<_> = points.iter().map(|&(d, _)| (d, place(d))).collect();
        let law = through(&shot, &marks);
        let farthest = place(points[points.len() - 1].0);
        for pair in points.windows(2) {
            let d = (pair[0].0 * pair[1].0).sqrt();
            let there = read(&shot, &law, &marks, d);
            let whole = place(points[0].0);
            prop_assert!((there - (place(d) - farthest)).abs() <= 1e-10 * whole, "{there}");
        }
    }

    #[test]
    fn offsets_have_their_signs_and_reach_the_limits(shot in shot()) {
        let law = helicoid(&shot);
        let depth = law.depth(shot.focus(), shot.n(), shot.circle()).unwrap();
        let (near, far) = (turn(depth.near_offset), turn(depth.far_offset));
        prop_assert!(near >= 0.0 && far <= 0.0 && turn(depth.tolerance) > 0.0);
        let here = turn(law.position(shot.focus()).unwrap());
        let (near_limit, far_limit) = shot.limits();
        // What is farther than a distance may be has no place of its own to ask for.
        if far_limit.is_infinite() {
            prop_assert!((here + far).abs() <= 1e-9 * here.max(1.0));
        } else if far_limit < 1e9 {
            let far_place = turn(law.position(at(far_limit)).unwrap());
            prop_assert!((here + far - far_place).abs() <= 1e-9 * here.max(1.0));
        }
        if near_limit > shot.lens().closest().to_mm() {
            let near_place = turn(law.position(at(near_limit)).unwrap());
            prop_assert!((here + near - near_place).abs() <= 1e-9 * here.max(1.0));
        }
    }

    #[test]
    fn a_ring_off_by_its_tolerance_leaves_a_blur_of_just_the_circle(shot in shot()) {
        let law = helicoid(&shot);
        let depth = law.depth(shot.focus(), shot.n(), shot.circle()).unwrap();
        let off = turn(depth.tolerance) / (30.0 * shot.f);
        let m = shot.set().magnification().value();
        // A lens at m stands at e + f (2 + m + 1/m); its pupil moves with it.
        let blur = |m: f64| {
            let there = shot.e + shot.f * (2.0 + m + 1.0 / m);
            let set = shot.lens().at(at(there), Branch::Far, shot.n(), &mut ()).unwrap();
            set.blur(shot.focus(), &mut ()).unwrap().to_mm().abs() / shot.c
        };
        // Beyond infinity and 1:1 no distance is set, and far away its last
        // digits hide the blur.
        prop_assume!(m - off > 1e-4 && m + off < 0.9);
        let (nearer, farther) = (blur(m + off), blur(m - off));
        prop_assert!(close(nearer.max(farther), 1.0, 1e-6), "{nearer} {farther}");
    }

    #[test]
    fn between_the_marks_a_place_is_measured_and_beyond_them_computed(
        (shot, points) in marks(), share in 0.0..1.0, by in 1.001..3.0,
    ) {
        let law = through(&shot, &points);
        let (near, far) = (points[0].0, points[points.len() - 1].0);
        let between = near + (far - near) * share;
        let standing = |d| law.standing_at(at(counted(&shot, d)));
        for measured in [near, between, far] {
            prop_assert_eq!(standing(measured), Standing::Measured);
        }
        for computed in [near / 1.001, far * by] {
            prop_assert_eq!(standing(computed), Standing::Computed);
        }
    }

    #[test]
    fn the_figures_of_a_curve_through_marks_are_those_marks((shot, points) in marks()) {
        let through = through(&shot, &points).through().unwrap();
        prop_assert_eq!(through.marks.len(), points.len());
        let farthest = points[points.len() - 1].1;
        for (mark, &(d, angle)) in through.marks.iter().rev().zip(&points) {
            prop_assert_eq!(mark.distance, at(d));
            let zero = if made(ZeroKept) { farthest } else { 0.0 };
            prop_assert!((mark.position + zero - (angle - farthest)).abs() < 1e-9);
            // What rises never falls between marks: neither does it at them.
            prop_assert!(through.rate + mark.slope >= 0.0);
        }
        prop_assert_eq!(through.sums.is_some(), through.rate != 0.0);
    }

    #[test]
    fn steps_tell_the_figures_they_explain((shot, points) in marks(), share in 0.0..1.0) {
        let law = through(&shot, &points);
        let (near, far) = (points[0].0, points[points.len() - 1].0);
        let here = at(near + (far - near) * share);
        let mut steps = Steps::new();
        let position = law.position_with(here, &mut steps).unwrap();
        let last = steps.as_slice().last().unwrap();
        prop_assert_eq!(last.value, turn(position));
        let depth = law.depth_with(here, shot.n(), shot.circle(), &mut steps).unwrap();
        let last = steps.as_slice().last().unwrap();
        prop_assert_eq!(last.value, turn(depth.tolerance));
        // Silent or told, the digits are the same.
        prop_assert_eq!(depth, law.depth(here, shot.n(), shot.circle()).unwrap());
    }

    #[test]
    fn an_image_plane_error_undone_is_no_error(shot in shot(), error in 0.001..0.2_f64) {
        let sign = if made(OtherWay) { -1.0 } else { 1.0 };
        let there = real_focus(shot.lens(), shot.focus(), Length::mm(sign * error), &mut ());
        prop_assume!(there.is_some());
        let there = there.unwrap();
        prop_assert!(there.is_nearer_than(shot.focus()));
        let back = real_focus(shot.lens(), there, Length::mm(-error), &mut ());
        // Far away the two magnifications nearly cancel.
        let m = shot.set().magnification().value();
        let dust = 1e-12 * (1.0 + error / (shot.f * m)) / (1.0 - m);
        prop_assert!(close(mm(back.unwrap().reach()), shot.d, dust.max(1e-9)));
    }
}

laws! {
    positions_grow_toward_close_focus_and_lead_back: FromTheLens OtherWay;
    a_measured_mark_is_never_moved: FromTheLens ZeroKept OtherWay;
    between_marks_the_law_never_turns_back: OtherWay;
    zero_and_direction_of_the_readings_do_not_matter: ZeroKept;
    marks_of_a_helicoid_give_the_helicoid: FromTheLens ByOneOverDistance OtherWay;
    offsets_have_their_signs_and_reach_the_limits: SwapNearAndFar TForN DropTheHiatus FromTheLens CircleOfHabit;
    a_ring_off_by_its_tolerance_leaves_a_blur_of_just_the_circle: DropTheHiatus FromTheLens OtherWay;
    between_the_marks_a_place_is_measured_and_beyond_them_computed: FromTheLens;
    the_figures_of_a_curve_through_marks_are_those_marks: ZeroKept;
    steps_tell_the_figures_they_explain: OtherWay;
    an_image_plane_error_undone_is_no_error: OtherWay;
}
