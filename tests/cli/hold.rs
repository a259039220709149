//! `hold`: the contract, the verdict in words, what cannot be held or asked.

use std::fs;

use serde_json::Value;

use crate::arithmetic::assert_steps_hold;
use crate::run::{Ran, in_json, markwright, markwright_in};

/// 50 mm, thin, at 0.025 mm: the lens of the optics specification's example.
const LENS: [&str; 8] = [
    "hold",
    "--focal",
    "50mm",
    "--hiatus=0mm",
    "--pupil-magnification",
    "1",
    "--circle",
    "0.025mm",
];

fn ask(more: &[&str]) -> Ran {
    in_json(&[&LENS[..], more].concat())
}

fn told(more: &[&str]) -> String {
    let ran = markwright(&[&LENS[..], more].concat());
    assert_eq!(ran.code, 0, "{}", ran.err);
    ran.out
}

fn near(value: &Value, expected: f64, tolerance: f64) {
    let value = value
        .as_f64()
        .unwrap_or_else(|| panic!("no number: {value}"));
    assert!(
        (value - expected).abs() <= tolerance,
        "{value} against {expected}"
    );
}

fn has(value: &Value, keys: &[&str]) {
    for key in keys {
        assert!(value.get(key).is_some(), "{key} in {value}");
    }
}

#[test]
fn without_a_stop_it_names_the_split_and_the_stop() {
    // Optics specification h: 2 m to 4 m at 50 mm, circle 0.025 mm: focus 2660.90, f/13.246;
    // the harmonic mean from the image plane would be 2666.67.
    let answer = ask(&["--near", "2m", "--far", "4m"]).json();
    has(
        &answer,
        &[
            "near_mm",
            "far_mm",
            "focus_mm",
            "f_number",
            "t_number",
            "magnification",
            "marked_stop",
            "marked_stop_kind",
            "assumptions",
        ],
    );
    near(&answer["near_mm"], 2000.0, 0.0);
    near(&answer["far_mm"], 4000.0, 0.0);
    near(&answer["focus_mm"], 2660.90, 0.005);
    near(&answer["f_number"], 13.246, 0.0005);
    assert_eq!(answer["t_number"], Value::Null);
    // Two thirds past f/11: 11 × 2^(1/3), nominal series (ISO 517, from memory).
    near(&answer["marked_stop"], 13.859, 0.0005);
    assert_eq!(answer["marked_stop_kind"], "f");
    for asked_with_a_stop in ["held", "blur_near_mm", "blur_far_mm", "fixes"] {
        assert!(answer.get(asked_with_a_stop).is_none());
    }
}

#[test]
fn the_published_split_of_two_and_three_metres_holds() {
    // Trade figure F7: 2 m and 3 m from the lens need f/8.5106, next full stop 11. Here the
    // distances are from the image plane, which stands 51.1 mm behind the lens at the split.
    let answer = ask(&["--near", "2051.06mm", "--far", "3051.06mm"]).json();
    near(&answer["f_number"], 8.5106, 0.0005);
    near(&answer["focus_mm"], 2451.06, 0.01);
    near(&answer["marked_full_stop"], 11.0, 0.0);
}

#[test]
fn with_a_stop_it_says_what_would_do() {
    let ran = ask(&["--near", "2m", "--far", "4m", "--stop", "f/4"]);
    assert_eq!(ran.code, 0, "a no is an answer");
    let answer = ran.json();
    assert_eq!(answer["held"], "no");
    // The circle that would do at f/4 is f/13.246 over f/4 as large.
    near(&answer["blur_near_mm"], 0.025 * 13.246 / 4.0, 5e-6);
    near(&answer["blur_far_mm"], 0.025 * 13.246 / 4.0, 5e-6);
    let fixes = answer["fixes"].as_array().unwrap();
    let kinds: Vec<&str> = fixes.iter().map(|f| f["kind"].as_str().unwrap()).collect();
    let expected = [
        "stop",
        "closer",
        "closer",
        "camera_back",
        "focal_length",
        "focal_length",
        "circle",
    ];
    assert_eq!(kinds, expected);
    has(
        &fixes[0],
        &[
            "f_number",
            "t_number",
            "marked_stop",
            "marked_stop_kind",
            "stops",
            "times",
        ],
    );
    for closer in &fixes[1..3] {
        has(closer, &["moves", "by_mm", "near_mm", "far_mm", "focus_mm"]);
    }
    has(&fixes[3], &["by_mm", "near_mm", "far_mm", "focus_mm"]);
    for shorter in &fixes[4..6] {
        has(
            shorter,
            &[
                "framing",
                "focal_length_mm",
                "closer_mm",
                "near_mm",
                "far_mm",
                "focus_mm",
            ],
        );
    }
    has(&fixes[6], &["circle_mm", "times"]);
    assert_eq!(
        (&fixes[1]["moves"], &fixes[2]["moves"]),
        (&"far".into(), &"near".into())
    );
    assert_eq!(
        (&fixes[4]["framing"], &fixes[5]["framing"]),
        (&"from_here".into(), &"same".into())
    );
    // The subjects stay where they are, whatever the camera does.
    let number = |fix: &Value, key: &str| fix[key].as_f64().unwrap();
    for (fix, way) in [
        (&fixes[3], number(&fixes[3], "by_mm")),
        (&fixes[5], -number(&fixes[5], "closer_mm")),
    ] {
        near(&fix["near_mm"], 2000.0 + way, 1e-6);
        near(&fix["far_mm"], 4000.0 + way, 1e-6);
    }
}

#[test]
fn yes_just_and_no_go_by_the_needed_stop_over_the_actual() {
    // f/13.246 is needed: 13.3 holds, 12.1 is 9.5 % short, 12.0 is 10.4 % short.
    for (stop, verdict, first) in [
        ("f/13.3", "yes", "YES: "),
        ("f/12.1", "just", "JUST: "),
        ("f/12", "no", "NO: "),
    ] {
        let pair = ["--near", "2m", "--far", "4m", "--stop", stop];
        let answer = ask(&pair).json();
        assert_eq!(answer["held"], verdict, "{stop}");
        let nothing_to_mend = answer["fixes"].as_array().unwrap().is_empty();
        assert_eq!(nothing_to_mend, verdict == "yes", "{stop}");
        let text = told(&pair);
        assert!(text.starts_with(first), "{text}");
        let first = text.lines().next().unwrap();
        assert!(first.contains("f/13.25"), "{first}");
        // A mark is of use to whom the stop does not hold.
        assert_eq!(first.contains("f/11 2/3"), verdict != "yes", "{first}");
    }
}

#[test]
fn half_the_circle_is_told_with_its_own_verdict() {
    let answer = ask(&["--near", "2m", "--far", "4m", "--stop", "f/16"]).json();
    assert_eq!(answer["held"], "yes");
    let half = &answer["half_circle"];
    near(&half["circle_mm"], 0.0125, 0.0);
    near(&half["f_number"], 2.0 * 13.246, 0.001);
    assert_eq!(half["held"], "no");
    let text = told(&["--near", "2m", "--far", "4m", "--stop", "f/16"]);
    assert!(
        text.contains("half the circle  NO, f/26.50 needed"),
        "{text}"
    );
}

#[test]
fn the_marks_are_of_the_kind_that_was_typed() {
    // T = N/√τ: f/13.246 is T13.963 at 0.90, T14.810 at the assumed 0.80.
    let pair = ["--near", "2m", "--far", "4m", "--stop", "T4"];
    let answer = ask(&[&pair[..], &["--transmittance", "0.9"]].concat()).json();
    assert_eq!(answer["marked_stop_kind"], "T");
    near(&answer["t_number"], 13.963, 0.001);
    // T13.859 is two thirds past 11 and not dark enough: 16 is next.
    near(&answer["marked_stop"], 16.0, 0.0);
    let assumed = ask(&pair).json();
    near(&assumed["t_number"], 14.810, 0.001);
    assert!(
        assumed["assumptions"]
            .to_string()
            .contains("transmittance_assumed")
    );
}

#[test]
fn subjects_between_are_softer_the_farther_from_the_split() {
    let pair = [
        "--near", "2m", "--far", "4m", "--stop", "f/4", "--format", "24x18mm",
    ];
    let answer = ask(&[&pair[..], &["--between", "2m,2.7m,4m"]].concat()).json();
    let between = answer["between"].as_array().unwrap();
    let blur = |i: usize| between[i]["blur_mm"].as_f64().unwrap();
    // At the ends it is the blur of the pair, with its sign: + behind the focus.
    near(
        &between[0]["blur_mm"],
        -answer["blur_near_mm"].as_f64().unwrap(),
        1e-9,
    );
    near(
        &between[2]["blur_mm"],
        answer["blur_far_mm"].as_f64().unwrap(),
        1e-9,
    );
    assert!(blur(1) > 0.0 && blur(1) < 0.1 * blur(2));
    for object in between {
        let blur = object["blur_mm"].as_f64().unwrap().abs();
        near(&object["blur_circles"], blur / 0.025, 1e-9);
        near(&object["blur_of_width"], blur / 24.0, 1e-12);
    }
}

#[test]
fn one_limit_alone_asks_for_the_focus_that_has_it() {
    // The hyperfocal focus: 25 000 + 100 + 0.1 mm at f/4, near limit half of it from the
    // entrance pupil (optics specification b7).
    let answer = ask(&["--far", "inf", "--stop", "f/4"]).json();
    has(
        &answer,
        &["wanted", "near_mm", "far_mm", "focus_mm", "magnification"],
    );
    near(&answer["focus_mm"], 25_100.1, 1e-6);
    near(&answer["near_mm"], 25_050.0 / 2.0 + 50.1, 1e-6);
    assert_eq!(answer["far_mm"], "infinity");
    for (flag, limit) in [("--near", "near_mm"), ("--far", "far_mm")] {
        let found = ask(&[flag, "3m", "--stop", "f/4"]).json();
        near(&found[limit], 3000.0, 0.0);
        let focus = format!("{}mm", found["focus_mm"].as_f64().unwrap());
        let mut depth = LENS;
        depth[0] = "depth";
        let back = in_json(&[&depth[..], &["--stop", "f/4", "--at", &focus]].concat()).json();
        near(&back["rows"][0][limit], 3000.0, 1e-6);
    }
}

/// What is asked wrongly, its kind, the exit code, and the place.
const WRONG: [(&[&str], &str, i32, &str); 15] = [
    (
        &["--near", "4m", "--far", "2m"],
        "far_not_beyond_near",
        2,
        "--far",
    ),
    (
        &["--near", "2m", "--far", "2m"],
        "far_not_beyond_near",
        2,
        "--far",
    ),
    (
        &["--near", "inf", "--far", "inf"],
        "far_not_beyond_near",
        2,
        "--far",
    ),
    (
        &["--near", "inf", "--far", "2m"],
        "far_not_beyond_near",
        2,
        "--far",
    ),
    (&["--near", "199mm", "--far", "2m"], "inside_4f", 3, ""),
    (&["--near", "199mm", "--stop", "f/4"], "inside_4f", 3, ""),
    (&["--far", "199mm", "--stop", "f/4"], "inside_4f", 3, ""),
    (
        &["--near", "inf", "--stop", "f/4"],
        "beyond_infinity",
        3,
        "",
    ),
    (
        &["--near", "26m", "--stop", "f/4"],
        "beyond_infinity",
        3,
        "",
    ),
    (&["--far", "200mm", "--stop", "f/4"], "cannot_hold", 3, ""),
    (&["--near", "2m"], "usage", 2, "--stop"),
    (&["--stop", "f/4"], "usage", 2, "--near"),
    (
        &["--near", "2m", "--far", "4m", "--macro"],
        "usage",
        2,
        "--macro",
    ),
    (
        &["--near", "2m", "--far", "4m", "--between", "1m"],
        "out_of_order",
        2,
        "--between",
    ),
    (
        &["--near", "2m", "--far", "4m", "--between", "3m,inf"],
        "out_of_order",
        2,
        "--between",
    ),
];

#[test]
fn what_cannot_be_asked_has_its_kind_place_and_exit_code() {
    for (args, kind, code, key) in WRONG {
        let ran = ask(args);
        let error = ran.error();
        assert_eq!(error["kind"], kind, "{args:?}");
        assert_eq!(ran.code, code, "{args:?}");
        if !key.is_empty() {
            assert_eq!(error["place"]["key"], key, "{args:?}");
        }
    }
    // The nearest that can be is named.
    near(
        &ask(&["--near", "26m", "--stop", "f/4"]).error()["nearest"],
        25_050.0,
        1e-6,
    );
    let no_lens = in_json(&["hold", "--near", "2m", "--far", "4m"]);
    assert_eq!(no_lens.error()["kind"], "usage");
}

#[test]
fn a_lens_of_the_kit_holds_from_its_close_focus_on() {
    let folder = tempfile::tempdir().unwrap();
    markwright_in(folder.path(), &["new", "."]);
    let hold = |near: &str, more: &[&str]| {
        let pair = [
            "hold", "--lens", "50", "--near", near, "--far", "9'", "--as", "json",
        ];
        markwright_in(folder.path(), &[&pair[..], more].concat())
    };
    let inside = hold("1'", &[]);
    assert_eq!(
        (inside.code, &inside.error()["kind"]),
        (3, &"inside_close_focus".into())
    );
    let answer = hold("6'", &[]).json();
    // The stop is what is asked for, not the kit's working stop; the marks are the lens's.
    assert!(answer.get("held").is_none());
    assert_eq!(answer["marked_stop_kind"], "T");
    // Where the split stands on the ring is where `ring` has it.
    let split = format!("{}mm", answer["focus_mm"].as_f64().unwrap());
    let ring = ["ring", "--lens", "50", "--at", &split, "--as", "json"];
    let ring = markwright_in(folder.path(), &ring).json();
    assert_eq!(
        answer["split_position_deg"],
        ring["rows"][0]["position_deg"]
    );
    assert_eq!(answer["split_standing"], ring["rows"][0]["standing"]);
    assert_eq!(hold("6'", &["--stop", "T4"]).json()["held"], "no");
    // A wide stop would do, but the lens opens no farther than its widest.
    let tight = [
        "hold", "--lens", "50", "--near", "8'11", "--far", "9'", "--as", "json",
    ];
    let widest = markwright_in(folder.path(), &tight).json()["marked_stop"].clone();
    let lenses = fs::read_to_string(folder.path().join("lenses.csv")).unwrap();
    let header = lenses.lines().find(|line| line.starts_with("id")).unwrap();
    let column = header
        .split(',')
        .position(|name| name.trim() == "t_number")
        .unwrap();
    let row = lenses.lines().find(|line| line.starts_with("50,")).unwrap();
    let t: f64 = row.split(',').nth(column).unwrap().trim().parse().unwrap();
    near(&widest, t, 0.0);
    let limit = ["hold", "--lens", "50", "--far", "1'6\"", "--as", "json"];
    let refused = markwright_in(folder.path(), &limit).error();
    assert_eq!(refused["kind"], "inside_close_focus");
}

#[test]
fn unknown_pupils_give_the_cautious_stop() {
    // 32 mm retrofocus builds are up to 45 % shallower at 450 mm (optics specification, cases).
    let args = [
        "hold", "--focal", "32mm", "--circle", "0.025mm", "--near", "450mm", "--far", "480mm",
    ];
    let answer = in_json(&args).json();
    let cautious = &answer["cautious"];
    has(cautious, &["focus_mm", "f_number", "marked_stop"]);
    let needed = |of: &Value| of["f_number"].as_f64().unwrap();
    assert!(needed(cautious) > 1.25 * needed(&answer));
    assert!(markwright(&args).out.contains('≈'));
}

#[test]
fn csv_is_one_row_with_the_same_names() {
    let ran = markwright(
        &[
            &LENS[..],
            &[
                "--near", "2m", "--far", "inf", "--stop", "f/4", "--as", "csv",
            ],
        ]
        .concat(),
    );
    assert_eq!(ran.code, 0);
    let mut reader = csv::Reader::from_reader(ran.out.as_bytes());
    let header = reader.headers().unwrap().clone();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 1);
    let cell = |name: &str| &rows[0][header.iter().position(|column| column == name).unwrap()];
    assert_eq!(cell("held"), "no");
    assert_eq!(cell("far_mm"), "infinity");
    assert_eq!(cell("marked_stop_kind"), "f");
    assert!(cell("focus_mm").parse::<f64>().unwrap() > 3900.0);
}

#[test]
fn explained_steps_give_their_values_and_end_at_the_answer() {
    for more in [
        &["--near", "2m", "--far", "4m"][..],
        &["--near", "2m", "--far", "inf"],
        &["--near", "2m", "--far", "4m", "--stop", "f/4"],
        &[
            "--near",
            "2m",
            "--far",
            "4m",
            "--stop",
            "T4",
            "--between",
            "3m",
        ],
        &["--near", "2m", "--far", "inf", "--stop", "T4"],
        &["--near", "3m", "--stop", "f/4"],
        &["--far", "3m", "--stop", "T4"],
        &["--far", "inf", "--stop", "f/4"],
    ] {
        let answer = ask(&[more, &["--explain"]].concat()).json();
        let symbols = assert_steps_hold(&answer, &[]);
        assert!(symbols.len() > 5, "{symbols:?}");
        let solved = answer["steps"].as_array().unwrap().iter();
        let solved = solved.filter(|step| step["how"] == "solved");
        for step in solved {
            has(step, &["bracket", "residual"]);
        }
    }
    let answer = ask(&["--near", "2m", "--far", "4m", "--explain"]).json();
    let last = answer["steps"].as_array().unwrap().last().unwrap().clone();
    assert_eq!(last["value"], answer["f_number"]);
}
