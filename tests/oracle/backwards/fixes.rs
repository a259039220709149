//! What else would hold a pair that a stop does not hold.

use markwright::answers::{Fix, Framing, Moves, Verdict};
use markwright::units::{FNumber, FocusDistance, Stop};

use super::SOLVED;
use crate::depth::mm;
use crate::hold::answered;
use crate::table::{Row, rows, same};

/// One fix as figures: what changes, then where near, far and focus are.
fn figures(fix: &Fix, row: &Row) -> Vec<(f64, f64)> {
    let want = |column: &str| row.figure(column);
    let at = |distance: FocusDistance| mm(distance.reach());
    let (near, far) = (want("near"), want("far"));
    match *fix {
        Fix::Stop {
            f_number, times, ..
        } => {
            let marked = times.sqrt() * want("n");
            assert!(marked >= want("needed") * (1.0 - 1e-12));
            vec![(f_number.value(), want("needed"))]
        }
        Fix::Closer {
            moves: Moves::Far,
            by,
            near: close,
            far: moved,
            focus,
        } => vec![
            (mm(by), far - want("closer_far")),
            (at(close), near),
            (at(moved), want("closer_far")),
            (at(focus), want("closer_far_focus")),
        ],
        Fix::Closer {
            moves: Moves::Near,
            by,
            near: moved,
            far: far_off,
            focus,
        } => vec![
            (mm(by), want("closer_near") - near),
            (at(moved), want("closer_near")),
            (at(far_off), far),
            (at(focus), want("closer_near_focus")),
        ],
        Fix::CameraBack {
            by,
            near: close,
            far: far_off,
            focus,
        } => vec![
            (by.to_mm(), want("back")),
            (at(close), near + want("back")),
            (at(far_off), far + want("back")),
            (at(focus), want("back_focus")),
        ],
        Fix::FocalLength {
            framing: Framing::FromHere,
            focal_length,
            closer,
            near: close,
            far: far_off,
            focus,
        } => vec![
            (focal_length.to_mm(), want("focal_here")),
            (closer.to_mm(), 0.0),
            (at(close), near),
            (at(far_off), far),
            (at(focus), want("focal_here_focus")),
        ],
        Fix::FocalLength {
            framing: Framing::Same,
            focal_length,
            closer,
            near: close,
            far: far_off,
            focus,
        } => vec![
            (focal_length.to_mm(), want("focal_framed")),
            (closer.to_mm(), want("framed_closer")),
            (at(close), near - want("framed_closer")),
            (at(far_off), far - want("framed_closer")),
            (at(focus), want("framed_focus")),
        ],
        Fix::Circle { circle, times } => vec![
            (circle.to_mm(), want("blur")),
            (times, want("blur") / want("circle")),
        ],
    }
}

#[test]
fn every_fix_is_the_one_found_by_tracing_rays() {
    let all = rows("fixes.csv");
    for row in &all {
        let n = FNumber::new(row.figure("n")).unwrap();
        let answer = answered(row, Some(Stop::F(n)));
        same(
            mm(answer.found.focus.reach()),
            row.figure("focus"),
            SOLVED,
            "focus",
            row,
        );
        let at_stop = answer.found.at_stop.unwrap();
        assert_ne!(at_stop.held, Verdict::Yes);
        for blur in [at_stop.blur_near, at_stop.blur_far] {
            same(blur.to_mm(), row.figure("blur"), SOLVED, "blur", row);
        }
        let circles = row.figure("blur") / row.figure("circle");
        same(at_stop.blur_circles, circles, SOLVED, "circles", row);
        // All seven, each once; one where the framing would have the camera
        // stand beyond the subjects.
        let stands = row.figure("near") > row.figure("framed_closer");
        assert_eq!(at_stop.fixes.len(), 6 + usize::from(stands));
        for fix in &at_stop.fixes {
            for (ours, theirs) in figures(fix, row) {
                same(ours, theirs, SOLVED, &format!("{fix:?}"), row);
            }
        }
    }
    assert_eq!(all.len(), 150);
}
