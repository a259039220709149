//! Tape readings turned to the axis.

use markwright::optics::{axial_distance, slant_distance};
use markwright::units::Length;

use crate::table::{rows, same};

#[test]
fn a_tape_reading_is_turned_to_the_axis_as_by_angles() {
    let all = rows("slant.csv");
    for row in &all {
        let length = |column: &str| Length::mm(row.figure(column));
        let along = |tape: Length, column: &str| match row.text(column) {
            "" | "0.0" => tape,
            _ => axial_distance(tape, length(column), &mut ()).unwrap(),
        };
        let straight = if row.text("taped").is_empty() {
            slant_distance(
                length("floor"),
                length("camera_height"),
                length("eye_height"),
                &mut (),
            )
        } else {
            along(length("taped"), "hook")
        };
        let ours = along(straight, "across");
        same(ours.to_mm(), row.figure("focus"), 1e-14, "focus", row);
    }
    assert_eq!(all.len(), 80);
}
