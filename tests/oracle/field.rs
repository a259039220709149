//! Angles and framed sizes.

use markwright::optics::{Branch, Gate};
use markwright::units::Length;

use crate::depth::{distance, lens, mm};
use crate::table::{rows, same};

#[test]
fn field_agrees_with_the_independent_table_to_1e_9() {
    for row in rows("field.csv") {
        let lens = lens(&row);
        let side = |column: &str| Length::mm(row.figure(column));
        let gate = Gate::new(side("gate_width"), side("gate_height")).unwrap();
        let at_infinity = lens.angles_at_infinity(gate, &mut ());
        let focus = distance(row.figure("focus"));
        let set = lens.framing(focus, Branch::Far, &mut ()).unwrap();
        let focused = set.field(gate, focus, &mut ()).unwrap();
        let plane = set
            .field(gate, distance(row.figure("plane")), &mut ())
            .unwrap();
        let checks = [
            (at_infinity.horizontal.to_deg(), "horizontal_infinity"),
            (at_infinity.vertical.to_deg(), "vertical_infinity"),
            (at_infinity.diagonal.to_deg(), "diagonal_infinity"),
            (focused.angles.horizontal.to_deg(), "horizontal"),
            (focused.angles.vertical.to_deg(), "vertical"),
            (focused.angles.diagonal.to_deg(), "diagonal"),
            (mm(focused.size.width), "width"),
            (mm(focused.size.height), "height"),
            (mm(plane.size.width), "plane_width"),
            (mm(plane.size.height), "plane_height"),
        ];
        for (ours, column) in checks {
            same(ours, row.figure(column), 1e-9, column, &row);
        }
    }
}
