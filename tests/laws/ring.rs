//! The ring's law, computed and through marks.

use markwright::scale::{Measure, RingGiven, RingLaw, RingPosition, Standing, real_focus};
use markwright::units::{FocusDistance, Gain, Length};
use proptest::prelude::*;

use crate::any::{Shot, at, close, mm, shot};

const BARE: RingGiven = RingGiven {
    circumference: None,
    close_focus: None,
};

fn helicoid(shot: &Shot) -> RingLaw {
    RingLaw::helicoid(shot.lens(), Gain::new(30.0).unwrap(), BARE)
}

fn turn(place: RingPosition) -> f64 {
    place.turn().unwrap().to_deg()
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
    #[test]
    fn positions_grow_toward_close_focus_and_lead_back(shot in shot(), by in 1.01..3.0) {
        let law = helicoid(&shot);
        let here = law.position(shot.focus()).unwrap();
        let farther = law.position(at(shot.d * by)).unwrap();
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
            let there = turn(law.position(at(d)).unwrap());
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
                let here = turn(law.position(at(d)).unwrap());
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
        let (one, two) = (law.position(at(d)).unwrap(), other.position(at(d)).unwrap());
        prop_assert!((turn(one) - turn(two)).abs() < 1e-9);
    }

    #[test]
    fn marks_of_a_helicoid_give_the_helicoid((shot, points) in marks()) {
        let helicoid = helicoid(&shot);
        let place = |d| turn(helicoid.position(at(d)).unwrap());
        let marks: Vec<_> = points.iter().map(|&(d, _)| (d, place(d))).collect();
        let law = through(&shot, &marks);
        let farthest = place(points[points.len() - 1].0);
        for pair in points.windows(2) {
            let d = (pair[0].0 * pair[1].0).sqrt();
            let there = turn(law.position(at(d)).unwrap());
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
    fn an_image_plane_error_undone_is_no_error(shot in shot(), error in 0.001..0.2) {
        let there = real_focus(shot.lens(), shot.focus(), Length::mm(error), &mut ());
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
