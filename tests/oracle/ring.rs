//! The ring: positions, offsets, tolerance and the image-plane error.

use markwright::optics::Circle;
use markwright::scale::{RingGiven, RingLaw, real_focus};
use markwright::units::{Angle, FNumber, Gain, Length};

use crate::depth::{distance, lens, mm};
use crate::table::{rows, same};

#[test]
fn ring_agrees_with_the_independent_table_to_1e_9() {
    for row in rows("ring.csv") {
        let lens = lens(&row);
        let ring = RingGiven {
            circumference: None,
            close_focus: None,
        };
        let law = RingLaw::helicoid(lens, Gain::new(row.figure("gain")).unwrap(), ring);
        let focus = distance(row.figure("focus"));
        let n = FNumber::new(row.figure("n")).unwrap();
        let circle = Circle::new(Length::mm(row.figure("circle"))).unwrap();
        let position = law.position(focus).unwrap().turn().unwrap();
        same(
            position.to_deg(),
            row.figure("position_deg"),
            1e-9,
            "position",
            &row,
        );
        let depth = law.depth(focus, n, circle).unwrap();
        let whole = position.to_deg().max(1.0);
        let offset = |ours: Option<Angle>, column: &str| {
            // Offsets are differences of positions and keep their digits.
            let (ours, theirs) = (ours.unwrap().to_deg(), row.figure(column));
            let tolerance = 1e-9 * theirs.abs() + 1e-13 * whole;
            assert!(
                (ours - theirs).abs() <= tolerance,
                "{column}: {ours} against {theirs}"
            );
        };
        offset(depth.near_offset.turn(), "near_offset_deg");
        offset(depth.far_offset.turn(), "far_offset_deg");
        offset(depth.tolerance.turn(), "tolerance_deg");
        let delta = Length::mm(row.figure("image_plane_error"));
        match row.text("real_focus") {
            "beyond_infinity" => assert_eq!(real_focus(lens, focus, delta, &mut ()), None),
            _ => {
                let real = real_focus(lens, focus, delta, &mut ()).unwrap();
                same(
                    mm(real.reach()),
                    row.figure("real_focus"),
                    1e-9,
                    "real focus",
                    &row,
                );
            }
        }
    }
}
