//! `print prep`: what is written, what is refused.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::run::{Ran, markwright_in};

/// The starter kit, in a folder.
fn starter() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    assert_eq!(markwright_in(folder.path(), &["new", "kit"]).code, 0);
    folder
}

fn run(folder: &Path, args: &[&str]) -> Ran {
    markwright_in(folder, &[args, &["--kit", "kit"]].concat())
}

/// Everything a drawing says, letters as text.
fn said(file: &Path) -> String {
    let drawing = fs::read_to_string(file).unwrap();
    let texts = drawing.split("<text").skip(1).map(|rest| {
        let rest = rest.split_once('>').unwrap().1;
        rest.split_once("</text>").unwrap().0.to_owned()
    });
    texts.collect::<Vec<_>>().join(" ")
}

fn sheets(answer: &Value) -> Vec<Value> {
    let sheets = answer["sheets"].as_array().unwrap().iter();
    sheets
        .map(|sheet| {
            assert_eq!(sheet["what"], "prep");
            assert_eq!(sheet["code"].as_str().unwrap().len(), 6);
            sheet["lens"].clone()
        })
        .collect()
}

#[test]
fn the_set_and_each_lens_are_written_and_listed() {
    let folder = starter();
    let answer = run(
        folder.path(),
        &["print", "prep", "--out", "o", "--as", "json"],
    )
    .json();
    assert_eq!(
        sheets(&answer),
        [Value::Null, "25".into(), "40".into(), "100".into()]
    );
    let written = &answer["written"][0];
    assert_eq!(written["codes"].as_array().unwrap().len(), 4);
    assert!(written["pages"].as_u64().unwrap() >= 4);
    assert!(folder.path().join("o/prep.pdf").is_file());
    assert!(!answer["assumptions"].as_array().unwrap().is_empty());
}

#[test]
fn the_figures_on_paper_are_those_of_prep_as_json() {
    let folder = starter();
    let answer = run(folder.path(), &["prep", "--as", "json"]).json();
    let args = ["print", "prep", "--to", "svg", "--out", "o", "--as", "json"];
    let written = run(folder.path(), &args).json();
    let files = written["files"].as_array().unwrap().iter();
    let all: Vec<String> = files
        .map(|file| said(&folder.path().join(file.as_str().unwrap())))
        .collect();
    let all = all.join(" ");
    let number = |value: &Value| value.as_f64().unwrap();
    let camera = &answer["camera"];
    for found in answer["lenses"].as_array().unwrap().iter().chain([camera]) {
        // To the nearest hundredth, two standard errors up.
        let error = (number(&found["image_plane_error_mm"]).abs() * 100.0).round() / 100.0;
        let either_way = (number(&found["standard_error_mm"]) * 200.0 - 1e-9).ceil() / 100.0;
        let line = format!("{error:.2} mm too far from the lens ± {either_way:.2} mm");
        assert!(all.contains(&line), "{line} in {all}");
        let tolerated = (number(&found["tolerated_error_mm"]) * 1000.0).floor() / 1000.0;
        assert!(
            all.contains(&format!("{tolerated:.3}")),
            "{tolerated} in {all}"
        );
    }
}

#[test]
fn a_lens_asked_for_limits_the_sheets_of_lenses_alone() {
    let folder = starter();
    let args = [
        "print", "prep", "--lens", "40", "--out", "o", "--as", "json",
    ];
    assert_eq!(
        sheets(&run(folder.path(), &args).json()),
        [Value::Null, "40".into()]
    );
    // A lens that was not read.
    let args = [
        "print", "prep", "--lens", "50", "--out", "p", "--as", "json",
    ];
    let error = run(folder.path(), &args).error();
    assert_eq!(error["kind"], "missing");
    assert!(!folder.path().join("p").exists());
}

#[test]
fn without_readings_it_says_how_to_begin() {
    let folder = starter();
    fs::remove_file(folder.path().join("kit/prep.csv")).unwrap();
    let ran = run(
        folder.path(),
        &["print", "prep", "--out", "o", "--as", "json"],
    );
    assert_eq!(ran.code, 2);
    let error = ran.error();
    assert_eq!(error["kind"], "missing");
    let help = error["help"].as_str().unwrap();
    assert!(help.contains("markwright prep --plan"), "{help}");
}

#[test]
fn without_a_kit_or_with_options_it_does_not_rest_on_it_is_refused() {
    let folder = starter();
    let ran = markwright_in(folder.path(), &["print", "prep", "--as", "json"]);
    assert_eq!(
        (ran.code, ran.error()["kind"].clone()),
        (2, "missing".into())
    );
    let args = ["print", "prep", "--stop", "T4", "--as", "json"];
    let error = run(folder.path(), &args).error();
    assert_eq!(error["kind"], "usage");
    assert!(error["message"].as_str().unwrap().contains("--stop"));
}

#[test]
fn a_paper_too_small_is_refused_whole() {
    let folder = starter();
    let args = [
        "print", "prep", "--paper", "4x6", "--out", "o", "--as", "json",
    ];
    let ran = run(folder.path(), &args);
    assert_eq!(
        (ran.code, ran.error()["kind"].clone()),
        (3, "does_not_fit".into())
    );
    assert!(!folder.path().join("o").exists());
}

#[test]
fn without_being_asked_no_report_is_printed() {
    let folder = starter();
    let answer = run(folder.path(), &["print", "--out", "o", "--as", "json"]).json();
    let files = answer["files"].as_array().unwrap().iter();
    let names: Vec<&str> = files.map(|file| file.as_str().unwrap()).collect();
    assert_eq!(names.len(), 2, "{names:?}");
    assert!(names.iter().all(|name| !name.contains("prep")), "{names:?}");
}

#[test]
fn each_camera_has_a_sheet_and_lenses_are_those_of_the_one_asked_for() {
    let folder = starter();
    let kit = folder.path().join("kit");
    fs::write(
        kit.join("kit.toml"),
        "title = \"two\"\nunits = \"feet\"\n[camera.A]\nformat = \"s35-3perf\"\nserial = \
         \"1021\"\n[camera.B]\nformat = \"s35-3perf\"\nserial = \"1144\"\n",
    )
    .unwrap();
    let rows = "lens,stop,taped,reading,camera\n25,T2.1,3',3',A\n25,T2.1,6',6',A\n\
                25,T2.1,12',12',A\n25,T2.1,3',3',B\n40,T2.1,6',6',B\n";
    fs::write(kit.join("prep.csv"), rows).unwrap();
    let args = |camera: &'static str, out: &'static str| {
        let args = ["print", "prep", "--to", "svg", "--out", out, "--as", "json"];
        let camera: &[&str] = if camera.is_empty() {
            &[]
        } else {
            &["--camera", camera]
        };
        run(folder.path(), &[&args, camera].concat()).json()
    };
    let first = args("", "a");
    assert_eq!(sheets(&first), [Value::Null, Value::Null, "25".into()]);
    let kinds = first["assumptions"].as_array().unwrap().iter();
    assert!(
        kinds
            .map(|note| &note["kind"])
            .any(|kind| kind == "lenses_on_first_camera")
    );
    let on_b = args("B", "b");
    let lenses = sheets(&on_b);
    assert_eq!(lenses, [Value::Null, Value::Null, "25".into(), "40".into()]);
    let page = said(&folder.path().join("b/prep-01.svg"));
    assert!(
        page.contains("camera B") && page.contains("body no. 1144"),
        "{page}"
    );
}
