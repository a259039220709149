//! The focus for one wanted limit, and how soft things elsewhere are.

use markwright::answers::{self, focus_for_far, focus_for_near};

use super::SOLVED;
use crate::depth::{distance, mm, wanted};
use crate::table::{rows, same, within};

#[test]
fn the_focus_for_a_wanted_limit_agrees_with_the_independent_table() {
    let all = rows("limits.csv");
    for row in &all {
        let setup = wanted(row).depth_setup(&mut ()).unwrap();
        let limit = distance(row.figure("wanted"));
        let near_wanted = row.text("limit") == "near";
        let found = if near_wanted {
            focus_for_near(&setup, limit, &mut ())
        } else {
            focus_for_far(&setup, limit, &mut ())
        }
        .unwrap();
        let (asked, other) = if near_wanted {
            (found.held.near, found.held.far)
        } else {
            (found.held.far, found.held.near)
        };
        assert_eq!(asked, limit);
        same(
            mm(found.held.focus.reach()),
            row.figure("focus"),
            SOLVED,
            "focus",
            row,
        );
        same(mm(other.reach()), row.figure("other"), SOLVED, "other", row);
    }
    assert_eq!(all.len(), 120);
}

#[test]
fn blur_elsewhere_agrees_with_the_independent_table() {
    let all = rows("blur.csv");
    for row in &all {
        let setup = wanted(row).depth_setup(&mut ()).unwrap();
        let (at, object) = (
            distance(row.figure("focus")),
            distance(row.figure("object")),
        );
        let answer = answers::depth(&setup, &[at], &[object], &mut ()).unwrap();
        let ours = answer.rows[0].objects[0];
        // A difference of two terms of the size of the pupil's image.
        let pupil = row.figure("focal") / row.figure("n");
        within(
            ours.blur.to_mm(),
            row.figure("blur"),
            1e-14 * pupil,
            "blur",
            row,
        );
        assert_eq!(ours.object, object);
    }
    assert_eq!(all.len(), 150);
}
