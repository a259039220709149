//! Contrast out of focus, depth by contrast and the best stop, against the
//! independent tables of `waves.py`, and the printed figures of wave optics.

use markwright::answers;
use markwright::gear::{CircleOn, Fitted, LensFigures, Wanted};
use markwright::optics::{
    Branch, Detail, Focused, Limiting, MtfUnreachable, Pupil, cut_off, defocused_transfer,
};
use markwright::units::{
    Contrast, DetectorPitch, FNumber, Length, Light, PupilMagnification, Ratio, SpatialFrequency,
    Stop, parse,
};

use crate::depth::{distance, lens, mm};
use crate::table::{Row, rows, same, within};

fn ratio(value: f64) -> Ratio {
    Ratio::new(value).unwrap()
}

fn light(row: &Row) -> Light {
    let parts: Vec<String> = row
        .text("light")
        .split(' ')
        .map(|part| part.replace(':', "nm:"))
        .collect();
    parse::light(&parts.join(",")).unwrap()
}

fn detail(row: &Row) -> Detail {
    let pitch = match row.text("pitch") {
        "none" => None,
        _ => Some(DetectorPitch::new(Length::mm(row.figure("pitch"))).unwrap()),
    };
    Detail {
        frequency: SpatialFrequency::new(row.figure("frequency")).unwrap(),
        light: light(row),
        pitch,
    }
}

fn set(row: &Row, focus: f64, n: f64) -> Focused {
    let n = FNumber::new(n).unwrap();
    lens(row)
        .at(distance(focus), Branch::Far, n, &mut ())
        .unwrap()
}

#[test]
fn transfer_agrees_with_the_table_to_a_billionth() {
    let (mut near, mut far) = (0.0_f64, 0.0_f64);
    for row in rows("otf.csv") {
        let (a, sigma) = (row.figure("a"), row.figure("sigma"));
        let ours = defocused_transfer(ratio(a), ratio(sigma)).value();
        within(ours, row.figure("otf"), 1e-9, "otf", &row);
        let off = (ours - row.figure("otf")).abs();
        if a * (1.0 - sigma) <= 1e4 {
            // The integral itself keeps nearly all digits.
            within(ours, row.figure("otf"), 2e-15, "otf", &row);
            near = near.max(off);
        } else {
            far = far.max(off);
        }
    }
    println!("largest difference {near:e}, beyond ten thousand {far:e}");
}

fn unreachable(row: &Row, ours: MtfUnreachable) {
    same(
        ours.best.value(),
        row.figure("in_focus"),
        1e-12,
        "in_focus",
        row,
    );
    let finest = ours.largest_frequency.value();
    same(
        finest,
        row.figure("largest_frequency"),
        1e-12,
        "largest_frequency",
        row,
    );
    match ours.darkest {
        Some(n) => same(n.value(), row.figure("darkest_n"), 1e-12, "darkest_n", row),
        None => assert_eq!(row.text("darkest_n"), "none"),
    }
}

#[test]
fn depth_by_contrast_agrees_with_the_table() {
    let (mut defocus, mut diffraction, mut none) = (0, 0, 0);
    for row in rows("contrast.csv") {
        let (detail, set) = (
            detail(&row),
            set(&row, row.figure("focus"), row.figure("n")),
        );
        let n_w = set.working_f_number(&mut ());
        same(
            n_w.value(),
            row.figure("working_n"),
            1e-12,
            "working_n",
            &row,
        );
        let airy = set.airy(&detail.light, &mut ()).to_mm();
        same(airy, row.figure("airy"), 1e-12, "airy", &row);
        let finest = cut_off(detail.light.shortest(), n_w, &mut ()).value();
        same(finest, row.figure("cut_off"), 1e-12, "cut_off", &row);
        let best = detail.in_focus(n_w, &mut ()).value();
        within(best, row.figure("in_focus"), 1e-14, "in_focus", &row);
        let wanted = Contrast::new(row.figure("contrast")).unwrap();
        let circle = match set.circle_at(wanted, &detail, &mut ()) {
            Ok(circle) => circle,
            Err(why) => {
                assert_eq!(row.text("circle"), "unreachable");
                unreachable(&row, why);
                none += 1;
                continue;
            }
        };
        let b = circle.diameter();
        // Near its top contrast is flat: half the digits of what is left over
        // the wanted contrast decide.
        let flat = best / (best - wanted.value());
        same(
            b.to_mm(),
            row.figure("circle"),
            1e-14 * flat,
            "circle",
            &row,
        );
        let there = detail.contrast(b, n_w).value();
        within(there, wanted.value(), 1e-14, "contrast", &row);
        let limits = set.limits(circle, &mut ());
        same(
            mm(limits.near.reach()),
            row.figure("near"),
            1e-12,
            "near",
            &row,
        );
        same(
            mm(limits.far.reach()),
            row.figure("far"),
            1e-10,
            "far",
            &row,
        );
        match set.limiting(b, &detail) {
            Limiting::Defocus => {
                assert_eq!(row.text("limit"), "defocus");
                defocus += 1;
            }
            Limiting::Diffraction => {
                assert_eq!(row.text("limit"), "diffraction");
                diffraction += 1;
            }
        }
    }
    assert_eq!((defocus, diffraction, none), (137, 26, 37));
}

#[test]
fn the_best_stop_agrees_with_the_table() {
    for row in rows("optimum.csv") {
        let detail = detail(&row);
        // Any stop will do to start from.
        let n = FNumber::new(2.0).unwrap();
        let set = set(&row, row.figure("focus"), 2.0);
        let range = (distance(row.figure("near")), distance(row.figure("far")));
        let equal = set.stop_of_equal_blurs(n, range, &detail.light, &mut ());
        let best = set.sharpest_stop(n, range, &detail, &mut ()).unwrap();
        same(
            equal.unwrap().value(),
            row.figure("n_equal"),
            1e-11,
            "n_equal",
            &row,
        );
        same(
            best.f_number.value(),
            row.figure("n_best"),
            1e-11,
            "n_best",
            &row,
        );
        within(
            best.contrast.value(),
            row.figure("contrast"),
            1e-13,
            "contrast",
            &row,
        );
    }
}

#[test]
fn the_answer_says_what_the_table_says() {
    // The answer goes through Wanted and Setup; nothing is lost or mixed up there.
    for row in rows("contrast.csv").iter().step_by(9) {
        let wanted = Wanted {
            lens: LensFigures {
                focal_length: Length::mm(row.figure("focal")),
                pupil: Some(Pupil::Hiatus(Length::mm(row.figure("hiatus")))),
                pupil_magnification: Some(PupilMagnification::new(row.figure("pupil")).unwrap()),
                transmittance: None,
            },
            stop: Some(Stop::F(FNumber::new(row.figure("n")).unwrap())),
            frame: None,
            circle: None,
            circle_on: CircleOn::Sensor,
            branch: Branch::Far,
            fitted: Fitted::default(),
            waves: None,
            notes: Vec::new(),
        };
        let (setup, exposure) = wanted.stopped_setup(&mut ()).unwrap();
        let (detail, focus) = (detail(row), distance(row.figure("focus")));
        let answer = answers::contrast(&setup, &exposure, &detail, &[focus], 50, &mut ());
        let answer = answer.unwrap();
        assert_eq!((answer.assumptions.len(), answer.rows.len()), (0, 1));
        let ours = &answer.rows[0];
        for (ours, column) in [
            (ours.working_f_number.value(), "working_n"),
            (ours.airy.to_mm(), "airy"),
            (ours.in_focus.value(), "in_focus"),
        ] {
            same(ours, row.figure(column), 1e-12, column, row);
        }
        if row.text("circle") == "unreachable" {
            continue;
        }
        // Within the limits contrast is above what was wanted, without it is not,
        // up to the first zero.
        let (near, far) = (row.figure("near"), row.figure("far"));
        let contrast = row.figure("contrast");
        for point in &ours.curve {
            let at = mm(point.distance.reach());
            let inside = near < at && (at < far || far.is_infinite());
            let here = point.contrast.value();
            assert_eq!(inside, here > contrast, "{here} at {at}, {near} to {far}");
        }
    }
}
