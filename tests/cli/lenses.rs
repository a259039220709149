//! What a lens of the kit rests on, and both ways to frame a width.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::run::{in_json, markwright_in};

/// A kit with a zoom and a slow prime; `working` is the stop the shoot works at.
fn kit(folder: &Path, working: &str) {
    let toml = format!(
        "units = \"metres\"\n[recording]\nformat = \"s35-3perf\"\n[sharpness]\n\
         working_stop = \"{working}\"\n"
    );
    fs::write(folder.join("kit.toml"), toml).unwrap();
    let lenses = "id,focal_mm,t_number,f_number,close_focus,hiatus_mm\n\
                  Z,25..250,3.5,3.2,1.2m,10\n40,40,2.8,2.6,0.45m,0\n";
    fs::write(folder.join("lenses.csv"), lenses).unwrap();
}

fn notes(folder: &Path, args: &[&str]) -> Vec<(String, String)> {
    let answer = markwright_in(folder, &[args, &["--as", "json"]].concat()).json();
    let notes = answer["assumptions"].as_array().unwrap();
    let text = |value: &Value| value.as_str().unwrap().to_owned();
    notes
        .iter()
        .map(|note| (text(&note["kind"]), text(&note["message"])))
        .collect()
}

fn said(notes: &[(String, String)], kind: &str) -> Option<String> {
    let own = notes.iter().find(|(name, _)| name == kind);
    own.map(|(_, message)| message.clone())
}

#[test]
fn a_zoom_says_that_it_is_taken_at_its_longest() {
    let folder = tempfile::tempdir().unwrap();
    kit(folder.path(), "T4");
    for question in [
        &["depth", "--lens", "Z", "--at", "3m"][..],
        &["field", "--lens", "Z", "--at", "3m"],
        &["hold", "--lens", "Z", "--near", "3m", "--far", "4m"],
    ] {
        let notes = notes(folder.path(), question);
        let message = said(&notes, "zoom_longest").unwrap_or_else(|| panic!("{question:?}"));
        assert!(message.contains("250 mm"), "{message}");
    }
    let prime = notes(folder.path(), &["depth", "--lens", "40", "--at", "3m"]);
    assert_eq!(said(&prime, "zoom_longest"), None);
}

#[test]
fn a_stop_wider_than_the_lens_opens_is_told() {
    let folder = tempfile::tempdir().unwrap();
    kit(folder.path(), "T4");
    let at = |stop: &str| {
        let args = ["depth", "--lens", "40", "--at", "3m", "--stop", stop];
        said(&notes(folder.path(), &args), "wider_than_lens")
    };
    for wider in ["T2", "f/2.5", "2"] {
        let message = at(wider).unwrap_or_else(|| panic!("{wider} is not told"));
        assert!(message.contains("T2.8"), "{message}");
    }
    for within in ["T2.8", "T4", "f/2.6", "f/2.8"] {
        assert_eq!(at(within), None, "{within}");
    }
}

#[test]
fn a_working_stop_the_lens_does_not_open_to_is_told() {
    let folder = tempfile::tempdir().unwrap();
    kit(folder.path(), "T2.8");
    let zoom = notes(folder.path(), &["depth", "--lens", "Z", "--at", "3m"]);
    let message = said(&zoom, "wider_than_lens").expect("told");
    assert!(
        message.contains("T2.8") && message.contains("T3.5"),
        "{message}"
    );
    let typed = ["depth", "--lens", "Z", "--at", "3m", "--stop", "T4"];
    assert_eq!(said(&notes(folder.path(), &typed), "wider_than_lens"), None);
    let prime = notes(folder.path(), &["depth", "--lens", "40", "--at", "3m"]);
    assert_eq!(said(&prime, "wider_than_lens"), None);
}

#[test]
fn a_width_larger_than_life_needs_macro_whichever_way_it_is_asked() {
    // 24 mm of picture on 10 mm of subject is m = 2.4; with a thin 50 mm lens that is
    // D = f (2 + m + 1/m) = 240.8333 mm (Newton's form of the lens equation).
    let distance = 50.0 * (2.0 + 2.4 + 1.0 / 2.4);
    let at = format!("{distance}mm");
    let by_lens = [
        "field", "--focal", "50mm", "--format", "24x18mm", "--width", "10mm",
    ];
    let by_place = [
        "field", "--format", "24x18mm", "--at", &at, "--width", "10mm",
    ];
    for question in [&by_lens[..], &by_place] {
        let error = in_json(question).error();
        assert_eq!(error["kind"], "inside_4f", "{question:?}");
        let nearest = error["nearest"].as_f64().unwrap();
        assert!((nearest - 200.0).abs() < 1e-9, "{nearest}");
        assert!(error["help"].as_str().unwrap().contains("--macro"));
    }
    let with_macro = |question: &[&str]| in_json(&[question, &["--macro"]].concat()).json();
    let number = |value: &Value| value.as_f64().unwrap();
    let focus = number(&with_macro(&by_lens)["focus_mm"]);
    assert!((focus - distance).abs() < 1e-9, "{focus}");
    let focal = number(&with_macro(&by_place)["focal_length_mm"]);
    assert!((focal - 50.0).abs() < 1e-9, "{focal}");
    let back = with_macro(&[
        "field", "--focal", "50mm", "--format", "24x18mm", "--at", &at,
    ]);
    let width = number(&back["rows"][0]["width_mm"]);
    assert!((width - 10.0).abs() < 1e-9, "{width}");
}

#[test]
fn a_width_beyond_life_size_is_not_larger_than_life() {
    for question in [
        &[
            "field", "--focal", "50mm", "--format", "24x18mm", "--width", "1m",
        ][..],
        &[
            "field", "--format", "24x18mm", "--at", "3m", "--width", "1m",
        ],
    ] {
        let error = in_json(&[question, &["--macro"]].concat()).error();
        assert_eq!(error["kind"], "does_not_fit", "{question:?}");
        assert_eq!(error["nearest"], 24.0);
    }
    // Life size itself is both.
    for more in [&[][..], &["--macro"]] {
        let args = [
            "field", "--focal", "50mm", "--format", "24x18mm", "--width", "24mm",
        ];
        let answer = in_json(&[&args[..], more].concat()).json();
        assert_eq!(answer["focus_mm"], 200.0);
    }
}

#[test]
fn no_lens_frames_from_within_its_hiatus() {
    let args = [
        "field", "--format", "24x18mm", "--at", "1m", "--width", "1m", "--hiatus", "2m",
    ];
    assert_eq!(in_json(&args).error()["kind"], "inside_4f");
}

#[test]
fn a_lens_of_the_kit_is_not_sent_inside_its_close_focus() {
    let folder = tempfile::tempdir().unwrap();
    kit(folder.path(), "T4");
    let width = |width: &str| {
        let args = ["field", "--lens", "40", "--width", width, "--as", "json"];
        markwright_in(folder.path(), &args)
    };
    assert_eq!(width("0.1m").error()["kind"], "inside_close_focus");
    assert_eq!(width("1m").code, 0);
}
