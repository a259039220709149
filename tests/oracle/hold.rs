//! The split of two subjects and the stop that just holds them.

use markwright::answers::{self, HoldAnswer, ToHold, Verdict};
use markwright::gear::Wanted;
use markwright::optics::{Pair, split};
use markwright::units::{FNumber, Stop, StopKind};

use crate::depth::{circle, distance, lens, mm, wanted};
use crate::table::{Row, rows, same};

/// What a rounding does to the stop that holds both, which is a difference of
/// limits (README.md, "How closely…").
fn condition(row: &Row) -> f64 {
    let (near, far) = (row.figure("near"), row.figure("far"));
    if far.is_infinite() {
        1.0
    } else {
        (far + near) / (far - near)
    }
}

/// What is allowed, times that condition; 4 units of the last place were measured.
const ALLOWED: f64 = 10.0 * f64::EPSILON / 2.0;

#[test]
fn split_and_stop_agree_with_the_independent_table_to_their_last_digits() {
    let all = rows("hold.csv");
    for row in &all {
        let (near, far) = (distance(row.figure("near")), distance(row.figure("far")));
        let held = split(&lens(row), near, far, circle(row), &mut ()).unwrap();
        let m = held.magnification().value();
        same(m, row.figure("magnification"), ALLOWED, "m", row);
        let focus = mm(held.focus().reach());
        same(focus, row.figure("focus"), ALLOWED, "focus", row);
        let n = held.f_number.value();
        same(n, row.figure("n"), ALLOWED * condition(row), "n", row);
    }
    assert_eq!(all.len(), 100);
}

/// What the library answers to a row's pair, at a stop or none.
pub fn answered(row: &Row, stop: Option<Stop>) -> HoldAnswer {
    let wanted = Wanted {
        stop,
        ..wanted(row)
    };
    let to_hold = ToHold {
        pair: Pair {
            near: distance(row.figure("near")),
            far: distance(row.figure("far")),
        },
        between: &[],
        widest: None,
        law: None,
    };
    let setup = wanted.hold_setup(StopKind::F, &mut ()).unwrap();
    answers::hold(&setup, to_hold, &mut ()).unwrap()
}

#[test]
fn the_answer_says_what_the_table_says() {
    for row in &rows("hold.csv") {
        let answer = answered(row, None);
        let (found, n) = (&answer.found, row.figure("n"));
        same(found.f_number.value(), n, 1e-9, "n", row);
        let focus = mm(found.focus.reach());
        same(focus, row.figure("focus"), 1e-9, "focus", row);
        assert_eq!(mm(answer.near.reach()), row.figure("near"));
        assert_eq!(mm(answer.far.reach()), row.figure("far"));
        assert!(found.at_stop.is_none() && answer.cautious.is_none());
        // At that very stop both are just held, at nine tenths of it not quite.
        for (share, verdict) in [
            (1.0 + 1e-9, Verdict::Yes),
            (0.95, Verdict::Just),
            (0.9, Verdict::No),
        ] {
            let answer = answered(row, Some(Stop::F(FNumber::new(n * share).unwrap())));
            let at_stop = answer.found.at_stop.unwrap();
            assert_eq!(at_stop.held, verdict, "{share} of f/{n}");
            assert_eq!(at_stop.fixes.is_empty(), verdict == Verdict::Yes);
        }
    }
}
