//! Chains of depth steps.

use markwright::answers::{self, Walk};
use markwright::optics::{Chain, Focus};
use markwright::units::FocusDistance;

use super::SOLVED;
use crate::depth::{distance, mm, wanted};
use crate::table::{Row, rows, same};

#[test]
fn every_step_of_every_chain_is_the_one_found_by_tracing_rays() {
    let all = rows("steps.csv");
    let walks: Vec<&[Row]> = all
        .chunk_by(|a, b| a.text("walk") == b.text("walk"))
        .collect();
    for walk in &walks {
        let row = &walk[0];
        let setup = wanted(row).depth_setup(&mut ()).unwrap();
        let chain = match row.text("chain") {
            "touching" => Chain::Touching,
            _ => Chain::Overlapping,
        };
        let found = answers::steps(
            &setup,
            Walk {
                from: distance(row.figure("from")),
                to: distance(row.figure("to")),
                close_focus: FocusDistance::at(setup.setup.lens.closest()).unwrap(),
                chain,
            },
            &mut (),
        )
        .unwrap();
        assert_eq!(found.rows.len(), walk.len(), "walk {}", row.text("walk"));
        for (ours, theirs) in found.rows.iter().zip(*walk) {
            for (ours, column) in [
                (ours.focus, "focus"),
                (ours.near, "near"),
                (ours.far, "far"),
            ] {
                same(
                    mm(ours.reach()),
                    theirs.figure(column),
                    SOLVED,
                    column,
                    theirs,
                );
            }
        }
        let early = found
            .assumptions
            .iter()
            .any(|note| note.kind == "steps_end_early");
        assert_eq!(early, row.text("end") == "lens");
    }
    assert_eq!(walks.len(), 32);
}
