//! Rays traced by a general optics package from our limits of depth
//! (`raytrace.py`): ideal lenses blur to the circle there, real ones add their
//! own aberration, which the half-sum of near and far leaves out.

use markwright::gear::{Fitted, close_up};
use markwright::optics::{
    Anamorph, AnyLens, Branch, Circle, Focus, Focused, Pupil, Squeeze, UnitFocus,
};
use markwright::units::{FNumber, Length, PupilMagnification, Ratio};

use crate::depth::{distance, mm};
use crate::table::{Row, rows, within};

/// The lens, by where the package puts its entrance pupil.
fn lens(row: &Row) -> UnitFocus {
    UnitFocus::new(
        Length::mm(row.figure("focal")),
        Pupil::Station(Length::mm(row.figure("station"))),
        PupilMagnification::new(row.figure("pupil")).unwrap(),
        &mut (),
    )
}

/// The lens as the row has it set: on a mark behind a close-up lens, else at the
/// focus distance; of a model, the squeezed meridian.
fn set(row: &Row) -> Focused {
    let n = FNumber::new(row.figure("n")).unwrap();
    let fitted = Fitted {
        front: match row.text("close_up") {
            "" => Vec::new(),
            front => vec![close_up(&format!("{front}mm")).unwrap()],
        },
        ..Fitted::default()
    };
    let whole: AnyLens = fitted.lens(lens(row), &mut ()).unwrap();
    let set = match row.text("mark") {
        "" => whole.at(distance(row.figure("focus")), Branch::Far, n, &mut ()),
        _ => whole
            .setting_at_mark(distance(row.figure("mark")), &mut ())
            .map(|setting| whole.set(setting, n, &mut ())),
    }
    .unwrap();
    match row.text("squeeze") {
        "" => set,
        ratio => Squeeze {
            ratio: Ratio::new(ratio.parse().unwrap()).unwrap(),
            part: Anamorph::Front,
        }
        .horizontal(&set, &mut ()),
    }
}

#[test]
fn hiatus_follows_from_the_package_s_pupils_as_from_its_principal_planes() {
    for row in rows("raytrace.csv") {
        let size = row.figure("focal") + row.figure("station").abs();
        let ours = lens(&row).hiatus().to_mm();
        within(ours, row.figure("hiatus"), 1e-6 * size, "hiatus", &row);
    }
}

#[test]
fn the_limits_that_were_traced_are_ours() {
    for row in rows("raytrace.csv") {
        let set = set(&row);
        let circle = Circle::new(Length::mm(row.figure("circle"))).unwrap();
        let limits = set.limits(circle, &mut ());
        let focus = row.figure("focus");
        within(mm(set.focus().reach()), focus, 1e-9 * focus, "focus", &row);
        for (ours, column) in [(limits.near, "near"), (limits.far, "far")] {
            let theirs = row.figure(column);
            let size = if theirs.is_infinite() { 0.0 } else { theirs };
            within(mm(ours.reach()), theirs, 1e-8 * size, column, &row);
        }
        if limits.far.is_infinite() {
            // What is infinitely far is sharp enough, and as soft as traced.
            let blur = set.blur(limits.far, &mut ()).unwrap().to_mm();
            assert!(blur <= row.figure("circle"));
        }
    }
}

/// The blurs at near and far in circles, signed; far only where it is finite.
fn in_circles(row: &Row) -> (f64, Option<f64>) {
    let c = row.figure("circle");
    let far = row.figure("far").is_finite();
    (
        row.figure("blur_near") / c,
        far.then(|| row.figure("blur_far") / c),
    )
}

#[test]
fn traced_blur_of_ideal_lenses_at_the_limits_is_the_circle() {
    let mut counts = [0; 3];
    for row in rows("raytrace.csv") {
        let kind = ["ideal", "close-up", "anamorphic"]
            .iter()
            .position(|kind| *kind == row.text("kind"));
        let Some(kind) = kind else { continue };
        let (near, far) = in_circles(&row);
        // In front of the focus blur is negative, behind it positive.
        within(near, -1.0, 1e-6, "near", &row);
        match far {
            Some(far) => within(far, 1.0, 1e-6, "far", &row),
            None => {
                let ours = set(&row).blur(distance(f64::INFINITY), &mut ());
                let ours = ours.unwrap().to_mm();
                let theirs = row.figure("blur_far");
                within(ours, theirs, 1e-6 * row.figure("circle"), "far", &row);
            }
        }
        counts[kind] += 1;
    }
    // Two-group lenses; before a close-up lens; both meridians of two cylinders.
    assert_eq!(counts, [32, 24, 24]);
}

#[test]
fn real_lenses_differ_by_their_aberration_and_the_half_sum_is_the_circle() {
    let mut count = 0;
    for row in rows("raytrace.csv") {
        let real = ["real", "close-up of glass", "anamorphic of glass"];
        if !real.contains(&row.text("kind")) {
            continue;
        }
        let (near, far) = in_circles(&row);
        let half_sum = (far.unwrap() - near) / 2.0;
        within(half_sum, 1.0, 0.01, "half-sum", &row);
        count += 1;
    }
    assert_eq!(count, 9 + 4 + 2 + 12 + 8);
}

/// One pupil station and one squeeze for both meridians is a model: against
/// rays through cylinders 120 mm and more in focal length it promises too much
/// side to side, the more the nearer, and never less than the vertical meridian.
#[test]
fn the_side_to_side_model_errs_close_up_and_by_how_much() {
    let mut worst = [0.0_f64; 4];
    for row in rows("raytrace.csv") {
        if row.text("kind") != "model" {
            continue;
        }
        let (near, far) = in_circles(&row);
        let over = far.map_or(-near, |far| far.max(-near)) - 1.0;
        let at = [1000.0, 1500.0, 2500.0, 10000.0]
            .iter()
            .position(|&d| d == row.figure("focus"));
        worst[at.unwrap()] = worst[at.unwrap()].max(over);
    }
    for (worst, said) in worst.into_iter().zip([0.49, 0.34, 0.22, 0.07]) {
        assert!(worst > 0.0 && worst < said, "{worst} {said}");
    }
}
