//! Depth, hyperfocal and working f-number over the whole range of lenses.

use markwright::optics::{Branch, Circle, Pupil, UnitFocus};
use markwright::units::{FNumber, FocusDistance, Length, PupilMagnification, Reach};

use crate::table::{Row, rows, same};

pub fn lens(row: &Row) -> UnitFocus {
    UnitFocus::new(
        Length::mm(row.figure("focal")),
        Pupil::Hiatus(Length::mm(row.figure("hiatus"))),
        PupilMagnification::new(row.figure("pupil")).unwrap(),
        &mut (),
    )
}

pub fn distance(mm: f64) -> FocusDistance {
    if mm.is_infinite() {
        FocusDistance::INFINITY
    } else {
        FocusDistance::at(Length::mm(mm)).unwrap()
    }
}

pub fn mm(reach: Reach<Length>) -> f64 {
    match reach {
        Reach::At(length) => length.to_mm(),
        Reach::Infinity => f64::INFINITY,
    }
}

#[test]
fn depth_agrees_with_the_independent_table_to_1e_9() {
    for row in rows("depth.csv") {
        let lens = lens(&row);
        let n = FNumber::new(row.figure("n")).unwrap();
        let circle = Circle::new(Length::mm(row.figure("circle"))).unwrap();
        let branch = if row.text("branch") == "macro" {
            Branch::Macro
        } else {
            Branch::Far
        };
        let focus = row.figure("focus");
        let set = lens.at(distance(focus), branch, n, &mut ()).unwrap();
        // Near 1:1 the magnification itself is ill-conditioned in D (dm/dD grows
        // without end), and near the hyperfocal the far limit is in m: there the
        // tolerance is what the input's last digit alone moves the answer by.
        let m = row.figure("magnification");
        let u = f64::EPSILON * focus.abs().max(1.0);
        let loss = if focus.is_infinite() {
            0.0
        } else {
            let slope = m * m / (lens.focal_length().to_mm() * (1.0 - m * m).abs().max(1e-9));
            (4.0 * u * slope / m).min(1e-6)
        };
        let k = if m > 0.0 {
            circle.diameter().to_mm() * n.value() / (m * lens.focal_length().to_mm())
        } else {
            f64::INFINITY
        };
        let hyper = (loss + 4.0 * f64::EPSILON) / (1.0 - k).abs().max(1e-12);
        let plain = row.text("conditioning") == "plain";
        let (tol, far_tol) = if plain {
            (1e-9, 1e-9)
        } else {
            (1e-9 + loss, 1e-9 + loss + hyper)
        };

        same(set.magnification().value(), m, tol, "magnification", &row);
        // The pupil may stand near the image plane: a length near zero is
        // compared against the lengths it is the difference of.
        let t = row.figure("entrance_pupil");
        let scale = lens.focal_length().to_mm();
        assert!(
            (set.pupil_station().to_mm() - t).abs() <= tol * scale.max(t.abs()),
            "t"
        );
        same(
            set.working_f_number(&mut ()).value(),
            row.figure("working_n"),
            tol,
            "N_w",
            &row,
        );
        let limits = set.limits(circle, &mut ());
        let depth = set.depth(circle, &mut ());
        same(
            mm(limits.near.reach()),
            row.figure("near"),
            tol,
            "near",
            &row,
        );
        same(
            mm(limits.far.reach()),
            row.figure("far"),
            far_tol,
            "far",
            &row,
        );
        same(
            mm(depth.in_front),
            row.figure("in_front"),
            tol,
            "in front",
            &row,
        );
        same(
            mm(depth.behind),
            row.figure("behind"),
            far_tol,
            "behind",
            &row,
        );
        same(mm(depth.total), row.figure("total"), far_tol, "total", &row);
        if row.figure("hyperfocal").is_finite() {
            let hyperfocal = lens.hyperfocal(n, circle, &mut ()).unwrap();
            let checks = [
                (hyperfocal.from_image_plane, "hyperfocal"),
                (hyperfocal.from_front_focal_point, "hf_front_focal_point"),
                (hyperfocal.from_front_principal_plane, "hf_principal"),
                (hyperfocal.from_entrance_pupil, "hf_pupil"),
            ];
            for (ours, column) in checks {
                same(ours.to_mm(), row.figure(column), 1e-9, column, &row);
            }
        }
    }
}
