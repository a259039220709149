//! Tape readings instead of focus distances, and how soft objects are.

use serde_json::Value;

use crate::run::{in_json, markwright, markwright_in};

const LENS: [&str; 7] = [
    "depth", "--focal", "50mm", "--stop", "f/4", "--circle", "0.025mm",
];

fn ask(more: &[&str]) -> Value {
    in_json(&[&LENS[..], more].concat()).json()
}

fn focus(answer: &Value) -> f64 {
    answer["rows"][0]["focus_mm"].as_f64().unwrap()
}

#[test]
fn a_tape_reading_is_answered_at_its_distance_along_the_axis() {
    // Right triangles of whole sides: 3-4-5 and 5-12-13.
    for (args, axis) in [
        (&["--taped", "5m", "--across", "3m"][..], 4000.0),
        (&["--taped", "5m"], 5000.0),
        (
            &[
                "--floor",
                "12m",
                "--camera-height",
                "6m",
                "--eye-height",
                "1m",
            ],
            13_000.0,
        ),
        (
            &[
                "--floor",
                "12m",
                "--camera-height",
                "1m",
                "--eye-height",
                "6m",
            ],
            13_000.0,
        ),
        (
            &[
                "--floor",
                "12m",
                "--camera-height",
                "6m",
                "--eye-height",
                "1m",
                "--across",
                "5m",
            ],
            12_000.0,
        ),
        (
            &[
                "--floor",
                "2m",
                "--camera-height",
                "1.5m",
                "--eye-height",
                "1.5m",
            ],
            2000.0,
        ),
    ] {
        let answer = ask(args);
        assert!((focus(&answer) - axis).abs() < 1e-9, "{args:?}");
        assert_eq!(answer["rows"].as_array().unwrap().len(), 1);
        let notes = answer["assumptions"].to_string();
        assert!(notes.contains("tape_to_axis"), "{notes}");
    }
    let field = [
        "field", "--focal", "50mm", "--format", "24x18mm", "--taped", "5m", "--across", "3m",
    ];
    assert!((focus(&in_json(&field).json()) - 4000.0).abs() < 1e-9);
}

#[test]
fn a_hook_beside_the_axis_is_taken_off() {
    let folder = tempfile::tempdir().unwrap();
    markwright_in(folder.path(), &["new", "."]);
    let path = folder.path().join("kit.toml");
    let kit = std::fs::read_to_string(&path).unwrap();
    let hooked = kit.replace("hook_offset_mm = 0", "hook_offset_mm = 450");
    assert_ne!(hooked, kit);
    std::fs::write(&path, hooked).unwrap();
    let args = ["depth", "--lens", "50", "--taped", "750mm", "--as", "json"];
    let answer = markwright_in(folder.path(), &args).json();
    // 3-4-5; along the floor nothing hangs on the hook.
    assert!((focus(&answer) - 600.0).abs() < 1e-9);
    let floor = [
        "depth",
        "--lens",
        "50",
        "--floor",
        "2m",
        "--camera-height",
        "1m",
        "--eye-height",
        "1m",
        "--as",
        "json",
    ];
    assert!((focus(&markwright_in(folder.path(), &floor).json()) - 2000.0).abs() < 1e-9);
}

#[test]
fn a_tape_that_cannot_be_is_refused() {
    let wrong: [(&[&str], &str, &str); 9] = [
        (
            &["--taped", "3m", "--across", "3m"],
            "out_of_range",
            "--across",
        ),
        (
            &["--taped", "3m", "--across", "4m"],
            "out_of_range",
            "--across",
        ),
        (&["--taped", "inf"], "not_finite", "--taped"),
        (
            &[
                "--floor",
                "inf",
                "--camera-height",
                "1m",
                "--eye-height",
                "1m",
            ],
            "not_finite",
            "--floor",
        ),
        (&["--across", "1m"], "usage", "--across"),
        (&["--taped", "3m", "--at", "3m"], "usage", ""),
        (
            &[
                "--taped",
                "3m",
                "--floor",
                "3m",
                "--camera-height",
                "1m",
                "--eye-height",
                "1m",
            ],
            "usage",
            "",
        ),
        (&["--floor", "3m"], "usage", ""),
        (&["--taped", "3"], "bare_number", "--taped"),
    ];
    for (args, kind, key) in wrong {
        let ran = in_json(&[&LENS[..], args].concat());
        assert_eq!(ran.code, 2, "{args:?}");
        let error = ran.error();
        assert_eq!(error["kind"], kind, "{args:?}");
        if !key.is_empty() {
            assert_eq!(error["place"]["key"], key, "{args:?}");
        }
    }
}

#[test]
fn an_object_is_told_in_circles_and_as_a_share_of_the_picture() {
    let args = ["--at", "2m", "--object", "3m,1.5m,inf"];
    let answer = ask(&[&args[..], &["--format", "24x18mm"]].concat());
    let objects = answer["rows"][0]["objects"].as_array().unwrap();
    assert_eq!(objects.len(), 3);
    for object in objects {
        let blur = object["blur_mm"].as_f64().unwrap().abs();
        let figure = |key: &str| object[key].as_f64().unwrap();
        assert!((figure("blur_circles") - blur / 0.025).abs() < 1e-9);
        assert!((figure("blur_of_width") - blur / 24.0).abs() < 1e-12);
    }
    assert!(objects[0]["blur_mm"].as_f64().unwrap() > 0.0);
    assert!(objects[1]["blur_mm"].as_f64().unwrap() < 0.0);
    // Light from infinity blurs to the pupil's image: A m, 12.5 mm at f/4 (optics specification b3).
    let m = answer["rows"][0]["magnification"].as_f64().unwrap();
    assert!((objects[2]["blur_mm"].as_f64().unwrap() - 12.5 * m).abs() < 1e-9);
    // Without a gate there is no width; an extraction is what is seen.
    let bare = ask(&args);
    assert_eq!(bare["rows"][0]["objects"][0]["blur_of_width"], Value::Null);
    let square = ask(&[&args[..], &["--format", "24x18mm", "--extraction", "1"]].concat());
    let share = |answer: &Value| {
        answer["rows"][0]["objects"][0]["blur_of_width"]
            .as_f64()
            .unwrap()
    };
    assert!((share(&square) / share(&answer) - 24.0 / 18.0).abs() < 1e-12);
    let text = markwright(&[&LENS[..], &args, &["--format", "24x18mm"]].concat()).out;
    assert!(
        text.contains("circles, ") && text.contains(" % of the width, behind"),
        "{text}"
    );
    let text = markwright(&[&LENS[..], &args].concat()).out;
    assert!(text.contains("circles, in front"), "{text}");
}
