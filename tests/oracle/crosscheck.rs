//! The library against general-purpose libraries that know nothing of it:
//! the committed comparisons of crosscheck.py, with our figure made anew.

mod groups;

use approx::assert_relative_eq;
use markwright::data::formats::all;
use markwright::optics::{Branch, Circle, Focused, Gate};
use markwright::units::{BareUnit, FNumber, Length, Unreadable, parse};

use crate::depth::{branch, distance, lens, mm};
use crate::table::{Row, rows, same};
use groups::Groups;

/// The tables print 13 digits.
const PRINTED: f64 = 5e-13;

/// The inputs of a row whose first part may be a bare name.
fn inputs(row: &Row) -> Row {
    let text = row.text("inputs");
    let pairs = text.split(';').filter(|part| part.contains('='));
    Row::of_pairs(&pairs.collect::<Vec<_>>().join(";"))
}

fn set(row: &Row) -> Focused {
    let n = FNumber::new(row.figure("n")).unwrap();
    if row.has("magnification") {
        let focus = distance(200.0); // 1:1 of a thin 50 mm
        let fifty = lens(&Row::of_pairs("focal=50"));
        return fifty.at(focus, Branch::Far, n, &mut ()).unwrap();
    }
    lens(row)
        .at(distance(row.figure("focus")), branch(row), n, &mut ())
        .unwrap()
}

#[test]
fn a_physical_optics_library_has_the_same_conjugates() {
    for row in rows("crosscheck_thin_lens.csv") {
        let inputs = inputs(&row);
        let set = set(&inputs);
        let m = set.magnification().value();
        let ours = match row.text("what") {
            "image_distance" => inputs.figure("focal") * (1.0 + m),
            "magnification" => m,
            "working_n" => set.working_f_number(&mut ()).value(),
            other => panic!("{other}?"),
        };
        let bound = row.figure("bound") + PRINTED;
        same(ours, row.figure("theirs"), bound, row.text("what"), &row);
    }
}

#[test]
fn a_matrix_library_has_the_same_principal_planes_and_pupils() {
    let mut told = 0;
    for row in rows("crosscheck_thick_lens.csv") {
        let groups = Groups::named(row.text("inputs").split(';').next().unwrap());
        let (f, e, p) = groups.cardinal();
        // Our lens says where its pupils stand by p alone.
        let lens = groups.lens();
        let ours = match row.text("what") {
            "focal length" => f,
            "hiatus -f d^2/(f1 f2)" => e,
            "entrance pupil to H" => {
                let far = lens.framing(distance(f64::INFINITY), Branch::Far, &mut ());
                far.unwrap().pupil_station().to_mm() - (e + f)
            }
            "H' to exit pupil" => f - f * p,
            _ => continue,
        };
        let theirs = row.figure("theirs");
        let allowed = (row.figure("bound") + PRINTED) * f.max(theirs.abs());
        assert!((ours - theirs).abs() <= allowed, "{ours} against {theirs}");
        told += 1;
    }
    assert_eq!(told, 7 + 7 + 5 + 5);
}

#[test]
fn rays_from_our_limits_through_thin_groups_make_a_blur_of_the_circle() {
    let mut traced = 0;
    for row in rows("crosscheck_thick_lens.csv") {
        let what = row.text("what");
        let groups = Groups::named(row.text("inputs").split(';').next().unwrap());
        if !row.text("inputs").contains("focus=") {
            continue;
        }
        let inputs = inputs(&row);
        let n = FNumber::new(inputs.figure("n")).unwrap();
        let focus = distance(inputs.figure("focus"));
        let set = groups.lens().at(focus, Branch::Far, n, &mut ()).unwrap();
        let c = inputs.figure("circle");
        let limits = set.limits(Circle::new(Length::mm(c)).unwrap(), &mut ());
        let image_plane = groups.entrance_pupil() + set.pupil_station().to_mm();
        let blur = |from: f64| {
            let from = image_plane - from;
            groups.blur(from, image_plane, set.pupil().to_mm())
        };
        let sharp = inputs.figure("focus");
        match what {
            "in focus: B of object to image is 0" => assert!(blur(sharp) < 1e-9 * sharp),
            "magnification" => {
                same(
                    set.magnification().value(),
                    row.figure("theirs"),
                    1e-9,
                    what,
                    &row,
                );
            }
            "blur at the near limit" => {
                assert_relative_eq!(blur(mm(limits.near.reach())), c, max_relative = 1e-8);
            }
            "blur at the far limit" => {
                assert_relative_eq!(blur(mm(limits.far.reach())), c, max_relative = 1e-8);
            }
            _ => continue,
        }
        traced += 1;
    }
    assert_eq!(traced, 21 + 21 + 21 + 20);
}

#[test]
fn a_camera_model_has_the_same_angles() {
    for row in rows("crosscheck_field.csv") {
        let inputs = inputs(&row);
        let lens = lens(&inputs);
        let side = |key: &str| Length::mm(inputs.figure(key));
        let gate = Gate::new(side("gate_width"), side("gate_height")).unwrap();
        let focus = distance(inputs.figure("focus"));
        let far = lens.angles_at_infinity(gate, &mut ());
        let set = lens.framing(focus, Branch::Far, &mut ()).unwrap();
        let near = set.field(gate, focus, &mut ()).unwrap().angles;
        let ours = match row.text("what") {
            "horizontal_infinity" => far.horizontal,
            "vertical_infinity" => far.vertical,
            "horizontal" => near.horizontal,
            "vertical" => near.vertical,
            other => panic!("{other}?"),
        };
        let bound = row.figure("bound") + PRINTED;
        same(
            ours.to_deg(),
            row.figure("theirs"),
            bound,
            row.text("what"),
            &row,
        );
    }
}

#[test]
fn a_units_library_has_the_same_feet_and_points() {
    let mut checked = 0;
    for row in rows("crosscheck_units.csv") {
        let ours = match row.text("what") {
            "length in mm" => {
                let text = row.text("inputs");
                match parse::distance(text, BareUnit::Refused(None)) {
                    Ok(distance) => mm(distance.reach()),
                    // Decimal feet are refused, and an eighth of 1/8 in is no distance.
                    Err(Unreadable::AmbiguousFeet { .. }) if text == "5.6'" => continue,
                    Err(Unreadable::OutOfRange { .. }) if text == "0'1/64\"" => continue,
                    Err(error) => panic!("{text}: {error}"),
                }
            }
            "point in mm" => Length::points(1.0).to_mm(),
            // No pixel, gear or bare angle is read or shown.
            _ => continue,
        };
        let bound = row.figure("bound") + PRINTED;
        same(ours, row.figure("theirs"), bound, row.text("what"), &row);
        checked += 1;
    }
    assert_eq!(checked, 8);
}

#[test]
fn diagonals_of_digital_formats_are_those_of_an_open_camera_data_set() {
    let mut bounded = 0;
    for row in rows("crosscheck_crop.csv") {
        let id = row.text("format");
        let format = all().iter().find(|format| format.id == id);
        let format = format.unwrap_or_else(|| panic!("no format {id}"));
        let diagonal = format.frame().unwrap().gate.diagonal(&mut ()).to_mm();
        let (mm, share) = (row.figure("difference_mm"), row.figure("difference"));
        // Both columns are rounded; a size changed since the comparison shows here.
        let rounding = 0.0005 + 0.05 * mm.abs();
        assert!(
            (share * diagonal - mm).abs() <= rounding,
            "{id}: {diagonal}"
        );
        if !row.text("bound").is_empty() {
            assert!(mm.abs() / diagonal <= row.figure("bound"), "{id}");
            bounded += 1;
        }
    }
    assert_eq!(bounded, 7);
}
