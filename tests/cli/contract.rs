//! The JSON contract: keys, units, infinity as a word.

use serde_json::Value;

use crate::run::{in_json, markwright};

fn near(value: &Value, expected: f64, tolerance: f64) {
    let value = value
        .as_f64()
        .unwrap_or_else(|| panic!("no number: {value}"));
    assert!(
        (value - expected).abs() <= tolerance,
        "{value} against {expected}"
    );
}

#[test]
fn depth_has_the_keys_and_the_published_figures() {
    // The traced reverse telephoto of the case table: 440.70..459.78 mm (own ray trace).
    let answer = in_json(&[
        "depth",
        "--focal",
        "32.08mm",
        "--hiatus",
        "18.9mm",
        "--pupil-magnification",
        "1.535",
        "--stop",
        "f/2.8",
        "--circle",
        "0.025mm",
        "--at",
        "450mm",
    ])
    .json();
    for key in [
        "focal_length_mm",
        "f_number",
        "t_number",
        "circle_mm",
        "hiatus_mm",
        "pupil_magnification",
        "hyperfocal_mm",
        "hyperfocal_from",
        "rows",
        "assumptions",
    ] {
        assert!(answer.get(key).is_some(), "{key}");
    }
    assert_eq!(answer["t_number"], Value::Null);
    let from = &answer["hyperfocal_from"];
    for key in [
        "front_focal_point_mm",
        "front_principal_plane_mm",
        "entrance_pupil_mm",
    ] {
        assert!(from[key].is_f64(), "{key}");
    }
    let row = &answer["rows"][0];
    near(&row["near_mm"], 440.70, 0.005);
    near(&row["far_mm"], 459.78, 0.005);
    for key in [
        "focus_mm",
        "in_front_mm",
        "behind_mm",
        "total_mm",
        "magnification",
        "working_f_number",
        "entrance_pupil_mm",
    ] {
        assert!(row[key].is_f64(), "{key}");
    }
    assert!(row.get("objects").is_none(), "objects only where asked");
}

#[test]
fn with_pupils_unknown_the_hyperfocal_distance_told_is_the_farthest_plausible_one() {
    const REST: [&str; 6] = ["--stop", "f/2.8", "--circle", "0.025mm", "--units", "feet"];
    let depth = |given: &[&'static str]| [&["depth", "--focal"], given, &REST].concat();
    // D = e + 2f + f²/(N c) + N c: thin, and with the 60 mm hiatus of a wide lens.
    let thin = 36.0 + 18.0 * 18.0 / 0.07 + 0.07;
    let answer = in_json(&depth(&["18mm"])).json();
    near(&answer["hyperfocal_mm"], thin, 1e-6);
    near(&answer["cautious_hyperfocal_mm"], thin + 60.0, 1e-6);
    // 4724.64 mm are 186.009 in, up to the next inch.
    let text = markwright(&depth(&["18mm"])).out;
    assert!(text.contains("hyperfocal ≈ 15′7″"), "{text}");
    // Known pupils leave nothing to be careful of; 5 cm in 143 m is nothing either.
    for args in [depth(&["18mm", "--hiatus", "0mm"]), depth(&["100mm"])] {
        assert_eq!(in_json(&args).json().get("cautious_hyperfocal_mm"), None);
        assert!(!markwright(&args).out.contains("hyperfocal ≈"));
    }
}

#[test]
fn the_hyperfocal_example_of_four_reference_points_holds() {
    // 50 mm f/2, circle 0.025: 50 000 / 50 050 / 50 050 / 50 100.05 mm, near 25 075.05
    // (own derivation, optics specification b).
    let args = [
        "depth",
        "--focal",
        "50mm",
        "--stop",
        "f/2",
        "--circle",
        "25um",
        "--at",
        "50100.05mm",
    ];
    let answer = in_json(&args).json();
    near(
        &answer["hyperfocal_from"]["front_focal_point_mm"],
        50_000.0,
        1e-6,
    );
    near(
        &answer["hyperfocal_from"]["entrance_pupil_mm"],
        50_050.0,
        1e-6,
    );
    near(&answer["hyperfocal_mm"], 50_100.05, 1e-6);
    near(&answer["rows"][0]["near_mm"], 25_075.05, 0.005);
}

#[test]
fn infinity_is_a_word_and_magnification_there_is_zero() {
    let args = [
        "depth", "--focal", "50mm", "--stop", "f/2.8", "--at", "inf", "--object", "3m,inf",
    ];
    let row = in_json(&args).json()["rows"][0].clone();
    for key in ["focus_mm", "far_mm", "behind_mm", "total_mm"] {
        assert_eq!(row[key], "infinity", "{key}");
    }
    assert_eq!(row["magnification"], 0.0);
    assert!(
        row["objects"][0]["blur_mm"].as_f64().unwrap() < 0.0,
        "in front is negative"
    );
    assert_eq!(row["objects"][1]["object_mm"], "infinity");
}

#[test]
fn steps_come_with_explain_alone() {
    let args = ["depth", "--focal", "50mm", "--stop", "T2.8", "--at", "3m"];
    assert!(in_json(&args).json().get("steps").is_none());
    let explained = in_json(&[&args[..], &["--explain"]].concat()).json();
    let steps = explained["steps"].as_array().unwrap();
    assert!(steps.len() > 10);
    for step in steps {
        for key in ["symbol", "text", "inputs", "value", "unit", "source", "how"] {
            assert!(step.get(key).is_some(), "{key}");
        }
    }
    // The last step is a printed answer.
    assert_eq!(
        steps.last().unwrap()["value"],
        explained["rows"][0]["total_mm"]
    );
}

#[test]
fn depth_by_a_t_number_assumes_0_80_and_says_so() {
    // N = T sqrt(tau): T3.1 gives f/2.7727 at 0.80.
    let answer = in_json(&["depth", "--focal", "50mm", "--stop", "T3.1", "--at", "3m"]).json();
    near(&answer["f_number"], 3.1 * 0.8_f64.sqrt(), 1e-12);
    near(&answer["t_number"], 3.1, 0.0);
    let kinds: Vec<&str> = answer["assumptions"]
        .as_array()
        .unwrap()
        .iter()
        .map(|note| note["kind"].as_str().unwrap())
        .collect();
    assert!(kinds.contains(&"transmittance_assumed"), "{kinds:?}");
    assert!(kinds.contains(&"circle_assumed"), "{kinds:?}");
    assert!(kinds.contains(&"pupils_unknown"), "{kinds:?}");
}

#[test]
fn field_has_the_published_angles() {
    // Trade figure F16: 24.892 mm at 50 mm is 27.9560 degrees (checked with a general
    // computer-vision library's calibration function).
    let answer = in_json(&[
        "field",
        "--focal",
        "50mm",
        "--format",
        "24.892x18.669mm",
        "--at",
        "600mm",
    ])
    .json();
    near(&answer["horizontal_deg"], 27.9560, 5e-5);
    // The same at 600 mm frames 246.4 mm (own computation, optics specification f).
    near(&answer["rows"][0]["width_mm"], 246.4, 0.05);
    let infinite = in_json(&[
        "field",
        "--focal",
        "50mm",
        "--format",
        "s35-3perf",
        "--at",
        "inf",
        "--plane",
        "4m",
    ])
    .json();
    assert!(infinite["rows"][0]["width_mm"].is_f64());
}

#[test]
fn field_answers_the_width_both_ways() {
    let focus = in_json(&[
        "field",
        "--focal",
        "50mm",
        "--format",
        "s35-3perf",
        "--width",
        "2m",
    ])
    .json();
    let mm = focus["focus_mm"].as_f64().unwrap();
    let at = format!("{mm}mm");
    let back = in_json(&[
        "field",
        "--format",
        "s35-3perf",
        "--at",
        &at,
        "--width",
        "2m",
    ])
    .json();
    near(&back["focal_length_mm"], 50.0, 1e-9);
    let width = in_json(&[
        "field",
        "--focal",
        "50mm",
        "--format",
        "s35-3perf",
        "--at",
        &at,
    ])
    .json();
    near(&width["rows"][0]["width_mm"], 2000.0, 1e-6);
}

#[test]
fn ring_by_hand_has_the_published_offsets() {
    // 50 mm f/2 at 2 m, G 30: +1.5422, -1.5389, tolerance 1.5406 (own computation,
    // recomputed at 60 digits).
    let answer = in_json(&[
        "ring",
        "--focal",
        "50mm",
        "--stop",
        "f/2",
        "--circle",
        "0.025mm",
        "--gain",
        "30deg/mm",
        "--at",
        "2m,inf",
        "--image-plane-error",
        "0.02mm",
    ])
    .json();
    assert_eq!(answer["zero"], "infinity");
    let row = &answer["rows"][0];
    near(&row["near_offset_deg"], 1.5422, 5e-5);
    near(&row["far_offset_deg"], -1.5389, 5e-5);
    near(&row["tolerance_deg"], 1.5406, 5e-5);
    assert_eq!(row["standing"], "computed");
    // The flange table: engraved 2 m really focuses at 1.972 m, infinity at 125 m.
    near(&row["real_focus_mm"], 1972.0, 0.5);
    near(&answer["rows"][1]["real_focus_mm"], 125_100.0, 1.0);
    let beyond = in_json(&[
        "ring",
        "--focal",
        "50mm",
        "--stop",
        "f/2",
        "--gain",
        "30deg/mm",
        "--at",
        "inf",
        "--image-plane-error=-0.02mm",
    ])
    .json();
    assert_eq!(beyond["rows"][0]["real_focus_mm"], Value::Null);
}

#[test]
fn formats_have_their_sources() {
    let answer = in_json(&["formats"]).json();
    let formats = answer["formats"].as_array().unwrap();
    assert!(formats.len() > 50);
    for format in formats {
        for key in [
            "id",
            "name",
            "width_mm",
            "height_mm",
            "squeeze",
            "kind",
            "aperture",
            "source",
        ] {
            assert!(!format[key].is_null(), "{key}");
        }
        assert!(format["verified"].is_boolean());
    }
}

#[test]
fn csv_has_the_same_names() {
    let ran = markwright(&[
        "depth", "--focal", "50mm", "--stop", "f/2.8", "--at", "3m,inf", "--as", "csv",
    ]);
    assert_eq!(ran.code, 0);
    let mut lines = ran.out.lines();
    assert!(
        lines
            .next()
            .unwrap()
            .starts_with("focus_mm,near_mm,far_mm,")
    );
    assert_eq!(lines.count(), 2);
}

#[test]
fn help_and_version_are_answers() {
    assert!(markwright(&["--version"]).out.starts_with("markwright "));
    for command in ["new", "formats", "check", "depth", "field", "ring", "print"] {
        let help = markwright(&[command, "--help"]);
        assert_eq!(help.code, 0, "{command}");
        assert!(help.out.contains("Example: markwright "), "{command}");
        assert!(help.out.contains("Exit codes"), "{command}");
    }
}
