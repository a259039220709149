//! What cannot be: the kind, the exit code, the place, what would be right.

use crate::run::{in_json, markwright};

/// A question that goes wrong, its kind and exit code.
const WRONG: [(&[&str], &str, i32); 30] = [
    (
        &[
            "depth", "--focal", "50mm", "--stop", "f/2.8", "--at", "five",
        ],
        "not_a_distance",
        2,
    ),
    (
        &[
            "depth", "--focal", "50mm", "--stop", "f/2.8", "--at", "5.6ft",
        ],
        "ambiguous_feet",
        2,
    ),
    (
        &[
            "depth", "--focal", "50mm", "--stop", "f/2.8", "--at", "5.6", "--units", "feet",
        ],
        "ambiguous_feet",
        2,
    ),
    (
        &["depth", "--focal", "50mm", "--stop", "f/2.8", "--at", "5"],
        "bare_number",
        2,
    ),
    (
        &["depth", "--focal", "50mm", "--stop", "2.8", "--at", "3m"],
        "ambiguous_stop",
        2,
    ),
    (
        &[
            "depth", "--focal", "50mm", "--stop", "f/2.8", "--at", "05-Jun",
        ],
        "spreadsheet_date",
        2,
    ),
    (
        &["depth", "--focal", "50mm", "--stop", "f/2.8", "--at", "0m"],
        "not_positive",
        2,
    ),
    (
        &["depth", "--focal", "50mm", "--stop", "f/2.8", "--at=-3m"],
        "not_positive",
        2,
    ),
    (
        &["depth", "--focal", "50mm", "--stop", "f/2.8", "--at", "nan"],
        "not_finite",
        2,
    ),
    (
        &["depth", "--focal", "inf", "--stop", "f/2.8", "--at", "3m"],
        "not_finite",
        2,
    ),
    (
        &["depth", "--focal", "50mm", "--stop", "f/0.1", "--at", "3m"],
        "out_of_range",
        2,
    ),
    (
        &[
            "depth",
            "--focal",
            "50mm",
            "--stop",
            "f/2",
            "--transmittance",
            "1.2",
            "--at",
            "3m",
        ],
        "out_of_range",
        2,
    ),
    (
        &[
            "depth", "--focal", "50mm", "--stop", "f/2", "--format", "s35-3prf", "--at", "3m",
        ],
        "unknown_id",
        2,
    ),
    (&["depth", "--focal", "50mm", "--at", "3m"], "usage", 2),
    (&["depth", "--stop", "f/2", "--at", "3m"], "usage", 2),
    (
        &[
            "depth",
            "--focal",
            "50mm",
            "--hiatus",
            "1mm",
            "--entrance-pupil",
            "60mm",
            "--stop",
            "f/2",
        ],
        "usage",
        2,
    ),
    (&["depth", "--lens", "50", "--at", "3m"], "missing", 2),
    (&["depth", "--nonsense"], "usage", 2),
    (&["nonsense"], "usage", 2),
    (&["field", "--focal", "50mm", "--at", "3m"], "usage", 2),
    (&["check", "--kit", "nowhere"], "missing", 2),
    (
        &[
            "depth", "--focal", "50mm", "--stop", "f/2.8", "--at", "199mm",
        ],
        "inside_4f",
        3,
    ),
    (
        &[
            "depth", "--focal", "50mm", "--stop", "f/2.8", "--at", "inf", "--macro",
        ],
        "macro_at_infinity",
        3,
    ),
    (
        &[
            "depth", "--focal", "50mm", "--stop", "f/2.8", "--at", "3m", "--object", "40mm",
        ],
        "object_behind_entrance_pupil",
        3,
    ),
    (
        &[
            "depth", "--focal", "50mm", "--stop", "f/22", "--circle", "5mm", "--at", "3m",
        ],
        "hyperfocal_inside_1to1",
        3,
    ),
    (
        &[
            "ring",
            "--focal",
            "50mm",
            "--stop",
            "f/2",
            "--gain",
            "30deg/mm",
            "--close-focus",
            "0.6m",
            "--at",
            "0.5m",
        ],
        "inside_close_focus",
        3,
    ),
    (
        &[
            "field", "--focal", "50mm", "--format", "24x18mm", "--width", "10mm",
        ],
        "inside_4f",
        3,
    ),
    (
        &[
            "field",
            "--focal",
            "32mm",
            "--at",
            "3m",
            "--format",
            "s35-3pref",
        ],
        "unknown_id",
        2,
    ),
    (
        &[
            "ring", "--focal", "50mm", "--stop", "f/2", "--gain", "30deg/mm", "--at", "100mm",
        ],
        "inside_4f",
        3,
    ),
    (
        &[
            "ring", "--focal", "50mm", "--stop", "f/2", "--gain", "30deg/mm", "--macro", "--at",
            "3m",
        ],
        "usage",
        2,
    ),
];

#[test]
fn each_wrong_question_has_its_kind_and_exit_code() {
    for (args, kind, code) in WRONG {
        let ran = in_json(args);
        let error = ran.error();
        assert_eq!(error["kind"], kind, "{args:?}");
        assert_eq!(ran.code, code, "{args:?}");
        assert!(!error["message"].as_str().unwrap().is_empty());
        for key in ["place", "help", "nearest"] {
            assert!(error.get(key).is_some(), "{key}");
        }
    }
}

#[test]
fn the_limit_is_named() {
    // Four focal lengths plus the hiatus: a negative hiatus lowers it.
    let args = [
        "depth",
        "--focal",
        "50mm",
        "--hiatus=-5mm",
        "--stop",
        "f/2.8",
        "--at",
        "190mm",
    ];
    assert_eq!(in_json(&args).error()["nearest"], 195.0);
}

#[test]
fn all_faults_of_a_command_line_are_told_in_one_run() {
    let args = [
        "depth",
        "--focal=-50mm",
        "--stop",
        "f/nan",
        "--at",
        "five,0m",
        "--as",
        "json",
    ];
    let ran = markwright(&args);
    let errors: serde_json::Value = serde_json::from_str(&ran.err).unwrap();
    let kinds: Vec<&str> = errors["errors"]
        .as_array()
        .unwrap()
        .iter()
        .map(|e| e["kind"].as_str().unwrap())
        .collect();
    assert_eq!(
        kinds,
        [
            "not_positive",
            "not_finite",
            "not_a_distance",
            "not_positive"
        ]
    );
    assert_eq!(errors["errors"][2]["place"]["key"], "--at");
}

#[test]
fn both_readings_of_decimal_feet_are_named() {
    let ran = markwright(&[
        "depth", "--focal", "50mm", "--stop", "f/2.8", "--at", "5.6ft",
    ]);
    assert!(
        ran.err.contains("5′6″") && ran.err.contains("5′7 3⁄16″"),
        "{}",
        ran.err
    );
}
