//! What would do, does; and a little less of it does not.

use markwright::answers::{Fix, Framing, Moves, Verdict};
use markwright::numerics::math::exp2;
use markwright::optics::Branch;
use markwright::units::FocusDistance;
use proptest::prelude::*;

use crate::any::{close, mm};
use crate::mutation::Mutation::SwapNearAndFar;
use crate::mutation::{config, laws, made};
use crate::pairs::{Asked, Two, two};

/// A pair and a stop that does not hold it.
fn not_held() -> impl Strategy<Value = (Two, f64)> {
    let stop = (two(), 0.02..0.95_f64).prop_map(|(two, share)| (two, two.needs() * share));
    stop.prop_filter("a stop there is", |(_, n)| *n > 0.55)
}

/// Whether one could ask about it: lenses shorter than a millimetre, circles as
/// large as a gate and subjects nearer than the lens can be focused (some are
/// sharp enough) are no input.
fn is_input(two: &Two) -> bool {
    let least = (two.e + 4.0 * two.f).max(1.0) * 1.01;
    two.f >= 1.0 && two.c < 9.0 && two.near > least
}

/// Each thing that would do, alone: the pair and stop it makes, and those a
/// little less of it makes.
fn applied(two: Two, n: f64, fix: &Fix) -> [(Two, f64); 2] {
    let at = |distance: FocusDistance| mm(distance.reach());
    let moved = |near: FocusDistance, far: FocusDistance| {
        let (near, far) = (at(near), at(far));
        let swapped = made(SwapNearAndFar);
        let (near, far) = if swapped { (far, near) } else { (near, far) };
        Two { near, far, ..two }
    };
    match *fix {
        Fix::Stop { f_number, .. } => {
            let n = f_number.value();
            [(two, n), (two, 0.999 * n)]
        }
        Fix::Closer {
            moves, near, far, ..
        } => {
            let now = moved(near, far);
            let a_little = 1e-3 * now.near;
            let less = match moves {
                Moves::Far => Two {
                    far: now.far + a_little,
                    ..now
                },
                Moves::Near => Two {
                    near: now.near - a_little,
                    ..now
                },
            };
            [(now, n), (less, n)]
        }
        Fix::CameraBack { near, far, by, .. } => {
            let now = moved(near, far);
            let less = 1e-3 * by.to_mm();
            let nearer = Two {
                near: now.near - less,
                far: now.far - less,
                ..now
            };
            [(now, n), (nearer, n)]
        }
        Fix::FocalLength {
            focal_length,
            near,
            far,
            ..
        } => {
            let now = Two {
                f: focal_length.to_mm(),
                ..moved(near, far)
            };
            let longer = Two {
                f: now.f * 1.001,
                ..now
            };
            [(now, n), (longer, n)]
        }
        Fix::Circle { circle, .. } => {
            let circle = circle.to_mm();
            let now = Two { c: circle, ..two };
            let finer = Two {
                c: circle * 0.999,
                ..two
            };
            [(now, n), (finer, n)]
        }
    }
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn each_thing_that_would_do_does_and_a_little_less_does_not((two, n) in not_held()) {
        let found = two.hold(Asked { n: Some(n), ..Asked::default() });
        prop_assert!(found.verdict != Some(Verdict::Yes));
        prop_assert!(!found.fixes.is_empty());
        for fix in &found.fixes {
            let [(enough, n), (less, wider)] = applied(two, n, fix);
            if !is_input(&enough) {
                continue;
            }
            prop_assert!(enough.near < enough.far, "{fix:?}");
            // Far limits that nearly reach infinity magnify the last digits.
            prop_assert!(enough.needs() <= n * (1.0 + 1e-7), "{fix:?} needs {}", enough.needs());
            prop_assert!(enough.held_at(n.clamp(0.5, 512.0)) != Verdict::No, "{fix:?}");
            prop_assert!(less.needs() > wider, "less than {fix:?} needs {}", less.needs());
        }
    }

    #[test]
    fn each_says_by_how_much_and_where_the_split_then_is((two, n) in not_held()) {
        let found = two.hold(Asked { n: Some(n), ..Asked::default() });
        let at = |distance: FocusDistance| mm(distance.reach());
        for fix in &found.fixes {
            let dust = 1e-9 * (two.near + two.e.abs());
            let [(now, _), _] = applied(two, n, fix);
            let way = |from: f64, to: f64, by: f64| from == to && by.is_infinite() || (from - to - by).abs() <= dust * if from.is_finite() { 1.0 + from / two.near } else { 1.0 };
            let focus = match *fix {
                Fix::Closer { moves: Moves::Far, by, focus, .. } => {
                    prop_assert!(now.near == two.near && now.far < two.far);
                    prop_assert!(two.far.is_infinite() || way(two.far, now.far, mm(by)), "{fix:?}");
                    focus
                }
                Fix::Closer { moves: Moves::Near, by, focus, .. } => {
                    prop_assert!(now.far == two.far && now.near > two.near);
                    prop_assert!(way(now.near, two.near, mm(by)), "{fix:?}");
                    focus
                }
                Fix::CameraBack { by, focus, .. } => {
                    prop_assert!(by.to_mm() > 0.0);
                    prop_assert!(way(now.near, two.near, by.to_mm()), "{fix:?}");
                    prop_assert!(two.far.is_infinite() || way(now.far, two.far, by.to_mm()), "{fix:?}");
                    focus
                }
                Fix::FocalLength { closer, focal_length, focus, framing, .. } => {
                    prop_assert!(focal_length.to_mm() < two.f);
                    // The subjects stay: both are nearer by the camera's way.
                    prop_assert!(way(two.near, now.near, closer.to_mm()), "{fix:?}");
                    prop_assert!(two.far.is_infinite() || way(two.far, now.far, closer.to_mm()), "{fix:?}");
                    prop_assert_eq!(framing == Framing::FromHere, closer.to_mm() == 0.0);
                    focus
                }
                Fix::Stop { times, stops, .. } => {
                    prop_assert!(close(times, exp2(stops), 1e-12));
                    prop_assert!(times >= (two.needs() / n) * (two.needs() / n) * (1.0 - 1e-9));
                    continue;
                }
                Fix::Circle { circle, times } => {
                    prop_assert!(close(times, circle.to_mm() / two.c, 1e-12));
                    prop_assert!(close(times, two.needs() / n, 1e-9));
                    continue;
                }
            };
            if is_input(&now) {
                let split = now.hold(Asked::default()).focus;
                prop_assert!(close(at(focus), split, 1e-7), "{fix:?}: {split}");
            }
        }
    }

    #[test]
    fn at_the_same_framing_the_image_at_the_split_is_as_large((two, n) in not_held()) {
        let found = two.hold(Asked { n: Some(n), ..Asked::default() });
        let m = |two: &Two, focus: f64| {
            let shot = two.shot(focus, 1.0);
            let m = shot.lens().magnification(shot.focus(), Branch::Far, &mut ());
            m.unwrap().value()
        };
        let framed = found.fixes.iter().find_map(|fix| match *fix {
            Fix::FocalLength { framing: Framing::Same, focal_length, focus, .. } => {
                Some((focal_length.to_mm(), mm(focus.reach())))
            }
            _ => None,
        });
        // No lens where so short a one would see them behind the image plane.
        prop_assume!(framed.is_some_and(|(f, _)| f >= 1.0));
        let (f, focus) = framed.unwrap();
        let before = m(&two, found.focus);
        let size = (focus + two.e.abs()) / (f * (1.0 / before - before));
        let after = m(&Two { f, ..two }, focus);
        prop_assert!(close(after, before, 1e-10 + 1e-13 * size));
    }
}

laws! {
    each_thing_that_would_do_does_and_a_little_less_does_not:
        SwapNearAndFar TForN DropTheHiatus DropThePupils FromTheLens CircleOfHabit;
    each_says_by_how_much_and_where_the_split_then_is: SwapNearAndFar TForN FromTheLens CircleOfHabit;
    at_the_same_framing_the_image_at_the_split_is_as_large: DropTheHiatus;
}
