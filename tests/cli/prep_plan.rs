//! `prep --plan`: what to read, and that reading it decides.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::run::{Ran, markwright_in};

const KIT: &str = "\
title = \"bench\"
units = \"metres\"
[camera.A]
format = \"s35-3perf\"
serial = \"77\"
[sharpness]
circle = \"0.025 mm\"
working_stop = \"f/2.8\"
";

/// Thin helicoids: focal length, f-number, close focus in mm, degrees of ring.
const LENSES: [(f64, f64, f64, f64); 5] = [
    (18.0, 2.0, 300.0, 280.0),
    (35.0, 1.4, 400.0, 290.0),
    (50.0, 2.0, 600.0, 300.0),
    (100.0, 2.0, 1000.0, 300.0),
    (200.0, 2.8, 1800.0, 300.0),
];

fn bench(folder: &Path, more: &str) {
    fs::write(folder.join("kit.toml"), KIT).unwrap();
    let mut lenses = "id,focal_mm,f_number,close_focus,engraved,hiatus_mm,travel_deg\n".to_owned();
    for (focal, n, close, travel) in LENSES {
        lenses.push_str(&format!(
            "{focal},{focal},{n},{close}mm,metres,0,{travel}\n"
        ));
    }
    lenses.push_str(more);
    fs::write(folder.join("lenses.csv"), lenses).unwrap();
}

fn plan(more: &str, args: &[&str]) -> Ran {
    let folder = tempfile::tempdir().unwrap();
    bench(folder.path(), more);
    markwright_in(folder.path(), &[&["prep", "--plan"], args].concat())
}

fn figure(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("no number: {value}"))
}

/// Magnification of a thin lens, from u² − D u + f D = 0.
fn magnification(focal: f64, distance: f64) -> f64 {
    let long = (distance + libm::sqrt(distance * (distance - 4.0 * focal))) / 2.0;
    focal / (long - focal)
}

/// The standard error of δ from readings of δ + slope·zero, the zero 0 ± 3 mm:
/// the inverse of the 2 × 2 normal matrix, by hand.
fn standard_error(readings: &[(f64, f64)]) -> f64 {
    let sum = |term: fn(f64) -> f64| -> f64 {
        readings
            .iter()
            .map(|&(slope, sd)| term(slope) / (sd * sd))
            .sum()
    };
    let (ones, cross) = (sum(|_| 1.0), sum(|slope| slope));
    let squares = sum(|slope| slope * slope) + 1.0 / 9.0;
    libm::sqrt(squares / (ones * squares - cross * cross))
}

#[test]
fn what_is_planned_decides_and_is_known_as_well_as_it_says() {
    let answer = plan("", &["--as", "json"]).json();
    assert_eq!(answer["camera"], "A");
    for ((focal, n, close, travel), lens) in LENSES.iter().zip(answer["lenses"].as_array().unwrap())
    {
        assert_eq!(lens["by"], "chart", "{lens}");
        assert_eq!(lens["stop"], format!("f/{n}"));
        let tolerated = figure(&lens["tolerated_error_mm"]);
        assert!((tolerated - 2.8 * 0.025).abs() < 1e-12);
        let gain = travel / (focal * magnification(*focal, *close));
        let readings = lens["readings"].as_array().unwrap();
        assert!((2..=3).contains(&readings.len()));
        let mut so_far = Vec::new();
        for reading in readings {
            let taped = figure(&reading["taped_mm"]);
            assert!(taped >= *close);
            let m = magnification(*focal, taped);
            // Turned to infinity, the chart blurs by twice the circle at least.
            assert!(focal * m >= 2.0 * n * 0.025, "{taped}");
            let tape = if taped < 1000.0 {
                5.0
            } else if taped <= 2000.0 {
                10.0
            } else {
                25.0
            };
            let slope = m * m / (1.0 - m * m);
            let (ring, eye) = (0.3 / gain, n * 0.025 / 3.0);
            let sd = libm::sqrt((ring * ring + eye * eye) / 3.0 + slope * tape * slope * tape);
            so_far.push((slope, sd));
            let told = figure(&reading["standard_error_mm"]);
            assert!(
                (told - standard_error(&so_far)).abs() < 1e-9,
                "{focal} {taped}"
            );
        }
        let (first, second) = (
            figure(&readings[0]["taped_mm"]),
            figure(&readings[1]["taped_mm"]),
        );
        assert!(first.max(second) >= 1000.0 && (first / second).max(second / first) >= 2.0);
        // Two standard errors within half of what is tolerated: true is shown for
        // all that is off by less than the other half.
        let two = figure(&readings[1]["standard_error_mm"]);
        if readings
            .get(2)
            .is_some_and(|third| third["if_undecided"] == true)
        {
            assert!(2.0 * two <= tolerated / 2.0, "{lens}");
        }
        assert!(figure(&readings[readings.len() - 1]["standard_error_mm"]) <= tolerated / 2.0);
    }
}

#[test]
fn a_lens_too_wide_for_the_eye_goes_to_the_collimator() {
    // f m = 0.065 mm at 1 m, and blur shows from N c = 0.07 mm on.
    let answer = plan("8,8,2.8,200mm,metres,0,200\n", &["--as", "json"]).json();
    let lens = &answer["lenses"][LENSES.len()];
    assert_eq!(
        (&lens["by"], &lens["because"]),
        (&"collimator".into(), &"too_wide".into())
    );
    assert_eq!(lens["readings"].as_array().unwrap().len(), 0);
    let text = plan("8,8,2.8,200mm,metres,0,200\n", &[]);
    assert!(text.out.contains("collimator"), "{}", text.out);
    assert!(text.out.contains("when to stop"));
}

#[test]
fn a_lens_too_long_for_the_room_goes_to_the_collimator() {
    // At 9 m, m is 0.13: 25 mm of tape are 0.4 mm of travel.
    let answer = plan("800,800,4,6000mm,metres,0,300\n", &["--as", "json"]).json();
    let lens = &answer["lenses"][LENSES.len()];
    assert_eq!(lens["by"], "collimator");
}

#[test]
fn the_form_is_filled_in_where_it_is_and_then_judged() {
    let folder = tempfile::tempdir().unwrap();
    bench(folder.path(), "");
    let form = markwright_in(folder.path(), &["prep", "--plan", "--as", "csv"]).out;
    fs::write(folder.path().join("prep.csv"), &form).unwrap();
    let check = markwright_in(folder.path(), &["check", "--as", "json"]).json();
    assert_eq!(check["ok"], true);
    let faults = check["faults"].as_array().unwrap();
    let told = |fault: &Value| {
        fault["message"]
            .as_str()
            .unwrap()
            .contains("still to be taken")
    };
    assert!(faults.iter().any(told), "{check}");
    // The first two charts of each lens, as a true scale says them.
    let mut filled = String::new();
    for line in form.lines() {
        let cells: Vec<&str> = line.split(',').collect();
        if cells[3].is_empty() && cells[5].is_empty() {
            let reading = format!("{0} {0} {0}", cells[2].replace(' ', ""));
            filled.push_str(&format!(
                "{},{},{},{reading},{},\n",
                cells[0], cells[1], cells[2], cells[4]
            ));
        } else {
            filled.push_str(&format!("{line}\n"));
        }
    }
    fs::write(folder.path().join("prep.csv"), &filled).unwrap();
    let prep = markwright_in(folder.path(), &["prep", "--as", "json"]).json();
    assert_eq!(prep["camera"]["verdict"], "true_plane", "{prep}");
    for lens in prep["lenses"].as_array().unwrap() {
        assert_eq!(lens["verdict"], "true_scale", "{lens}");
    }
}

#[test]
fn a_plan_needs_a_kit_and_knows_its_lenses() {
    let nowhere = tempfile::tempdir().unwrap();
    let error = markwright_in(nowhere.path(), &["prep", "--plan", "--as", "json"]).error();
    assert_eq!(error["kind"], "missing");
    let error = plan("", &["--lens", "500", "--as", "json"]).error();
    assert_eq!(error["kind"], "unknown_id");
    let one = plan("", &["--lens", "50", "--as", "json"]).json();
    assert_eq!(one["lenses"].as_array().unwrap().len(), 1);
}

#[test]
fn the_form_is_printed_and_a_small_paper_refused() {
    let folder = tempfile::tempdir().unwrap();
    bench(folder.path(), "");
    for paper in ["a4", "letter", "a5"] {
        let args = ["print", "prep-plan", "--paper", paper, "--out", paper];
        assert_eq!(markwright_in(folder.path(), &args).code, 0);
        assert!(folder.path().join(paper).join("prep-plan.pdf").exists());
    }
    let args = ["print", "prep-plan", "--paper", "a6", "--as", "json"];
    let error = markwright_in(folder.path(), &args).error();
    assert_eq!(error["kind"], "does_not_fit");
}
