//! The focus for one wanted limit.

use markwright::answers::{LimitAnswer, Unanswerable, focus_for_far, focus_for_near};
use markwright::gear::{CircleOn, DepthSetup, Fitted, LensFigures, Wanted};
use markwright::optics::{Branch, CircleRule, Pupil};
use markwright::units::{FNumber, FocusDistance, Length, PupilMagnification, Stop};
use proptest::prelude::*;

use crate::any::{Shot, at, close, mm, shot};
use crate::mutation::Mutation::SwapNearAndFar;
use crate::mutation::{config, laws, made};

/// Everything depth needs, of a shot.
pub fn setup(shot: &Shot) -> DepthSetup {
    let wanted = Wanted {
        lens: LensFigures {
            focal_length: Length::mm(shot.f),
            pupil: Some(Pupil::Hiatus(Length::mm(shot.e))),
            pupil_magnification: Some(PupilMagnification::new(shot.p).unwrap()),
            transmittance: None,
        },
        stop: Some(Stop::F(FNumber::new(shot.n).unwrap())),
        frame: None,
        circle: Some(CircleRule::Fixed(Length::mm(shot.c))),
        circle_on: CircleOn::Sensor,
        branch: Branch::Far,
        fitted: Fitted::default(),
        waves: None,
        notes: Vec::new(),
    };
    wanted.depth_setup(&mut ()).unwrap()
}

type Asked = fn(&DepthSetup, FocusDistance, &mut ()) -> Result<LimitAnswer, Unanswerable>;

/// The focus whose near (or far) limit is the shot's distance, the other limit
/// with it; with the library as it is or a mistake.
fn focus_for(near: bool, shot: &Shot) -> Option<(f64, f64)> {
    let seen = shot.seen();
    let ask: Asked = if near != made(SwapNearAndFar) {
        focus_for_near
    } else {
        focus_for_far
    };
    let found = ask(&setup(&seen), seen.focus(), &mut ()).ok()?;
    let other = if near {
        found.held.far
    } else {
        found.held.near
    };
    Some((mm(found.held.focus.reach()), mm(other.reach())))
}

/// Near and far limit of the shot focused elsewhere, by the library as it is.
fn limits(shot: &Shot, d: f64) -> (f64, f64) {
    let there = Shot { d, ..*shot };
    let set = there.lens().at(at(d), Branch::Far, there.n(), &mut ());
    let limits = set.unwrap().limits(there.circle(), &mut ());
    (mm(limits.near.reach()), mm(limits.far.reach()))
}

/// What the pupil's own place adds to the rounding of a distance.
fn dust(shot: &Shot, d: f64) -> f64 {
    1e-11 * (1.0 + (shot.e.abs() + shot.f) / shot.d) * (1.0 + d / shot.d)
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn the_focus_for_a_near_limit_has_it_and_is_the_farthest(shot in shot(), by in 1.001..1.1) {
        let found = focus_for(true, &shot);
        prop_assume!(found.is_some_and(|(focus, _)| focus < 1e8));
        let (focus, other) = found.unwrap();
        prop_assert!(focus > shot.d);
        let (near, far) = limits(&shot, focus);
        prop_assert!(close(near, shot.d, dust(&shot, focus)), "{near}");
        let left = (1.0 - shot.k()).abs().max(1e-9);
        prop_assert!(close(far, other, 1e-6 / left) || far > 1e9, "{far} {other}");
        prop_assert!(limits(&shot, focus * by).0 > shot.d);
    }

    #[test]
    fn the_focus_for_a_far_limit_has_it_and_is_the_nearest(shot in shot(), by in 1.001..1.1) {
        let found = focus_for(false, &shot);
        prop_assume!(found.is_some());
        let (focus, other) = found.unwrap();
        prop_assert!(focus < shot.d);
        let (near, far) = limits(&shot, focus);
        prop_assert!(close(far, shot.d, 1e-6), "{far}");
        prop_assert!(close(near, other, dust(&shot, focus) * 1e3), "{near} {other}");
        let nearer = focus / by;
        if nearer > shot.lens().closest().to_mm() {
            prop_assert!(limits(&shot, nearer).1 < shot.d);
        }
    }

    #[test]
    fn no_focus_has_a_near_limit_beyond_that_at_infinity_focus(shot in shot(), by in 1.001..3.0) {
        let lens = shot.lens();
        let set = lens.at(FocusDistance::INFINITY, Branch::Far, shot.n(), &mut ()).unwrap();
        let end = mm(set.limits(shot.circle(), &mut ()).near.reach());
        prop_assume!(end / by > lens.closest().to_mm());
        let beyond = Shot { d: end * by, ..shot };
        prop_assert!(focus_for(true, &beyond).is_none());
        let within = Shot { d: end / by, ..shot };
        prop_assert!(focus_for(true, &within).is_some());
    }

    #[test]
    fn the_focus_for_infinity_is_the_hyperfocal(shot in shot()) {
        let seen = shot.seen();
        let found = focus_for_far(&setup(&seen), FocusDistance::INFINITY, &mut ()).unwrap();
        prop_assert!(close(mm(found.held.focus.reach()), shot.hyperfocal(), 1e-12));
        prop_assert!(found.held.far.is_infinite());
    }
}

laws! {
    the_focus_for_a_near_limit_has_it_and_is_the_farthest:
        SwapNearAndFar TForN DropTheHiatus DropThePupils FromTheLens CircleOfHabit;
    the_focus_for_a_far_limit_has_it_and_is_the_nearest:
        SwapNearAndFar TForN DropTheHiatus FromTheLens CircleOfHabit;
    no_focus_has_a_near_limit_beyond_that_at_infinity_focus: TForN CircleOfHabit;
    the_focus_for_infinity_is_the_hyperfocal: TForN DropTheHiatus CircleOfHabit;
}
