//! `rack`: the turn, the direction, how long and how fast.

use std::fs;

use crate::arithmetic::assert_steps_hold;
use crate::run::{markwright, markwright_in};

const BY_HAND: [&str; 9] = [
    "rack", "--focal", "50mm", "--stop", "f/2.8", "--circle", "0.025mm", "--gain", "30deg/mm",
];

fn rack(more: &[&str]) -> serde_json::Value {
    let line = [&BY_HAND[..], more, &["--as", "json"]].concat();
    let ran = markwright(&line);
    assert_eq!(ran.code, 0, "{}", ran.err);
    ran.json()
}

fn near(value: &serde_json::Value, wanted: f64, by: f64) {
    let value = value.as_f64().unwrap();
    assert!((value - wanted).abs() <= by, "{value} is not {wanted}");
}

#[test]
fn a_subject_at_one_metre_a_second_asks_for_the_published_turn() {
    // 50 mm, 30 deg/mm: 20.8 deg/s at 2 m and 93.5 at 1 m: own computation in the
    // optics (d theta/dD = -G m^2/(1 - m^2)), by another program.
    let answer = rack(&["--from", "2m", "--to", "1m", "--speed", "1m/s"]);
    near(&answer["peak_deg_per_s"], 93.5, 0.05);
    near(&answer["seconds"], 1.0, 1e-12);
    assert_eq!(answer["direction"], "toward_close_focus");
    let answer = rack(&["--from", "4m", "--to", "2m", "--speed", "1m/s"]);
    near(&answer["peak_deg_per_s"], 20.8, 0.05);
}

#[test]
fn the_turn_is_the_difference_of_the_positions_either_way() {
    for (from, to, way) in [
        ("3m", "1m", "toward_close_focus"),
        ("1m", "3m", "toward_infinity"),
        ("inf", "1m", "toward_close_focus"),
    ] {
        let answer = rack(&["--from", from, "--to", to, "--circumference", "250mm"]);
        let at = |end: &str| answer[end]["position_deg"].as_f64().unwrap();
        near(&answer["turn_deg"], (at("to") - at("from")).abs(), 1e-12);
        let turn = answer["turn_deg"].as_f64().unwrap();
        near(&answer["ring_mm"], turn * 250.0 / 360.0, 1e-9);
        assert_eq!(answer["direction"], way);
        assert!(answer["knob_deg"].is_null() && answer["seconds"].is_null());
        assert!(answer["peak_deg_per_s"].is_null());
    }
}

#[test]
fn a_time_stands_for_the_speed_it_takes() {
    let by_time = rack(&["--from", "3m", "--to", "1m", "--seconds", "2"]);
    let by_speed = rack(&["--from", "3m", "--to", "1m", "--speed", "1m/s"]);
    near(
        &by_time["peak_deg_per_s"],
        by_speed["peak_deg_per_s"].as_f64().unwrap(),
        1e-9,
    );
    near(&by_speed["seconds"], 2.0, 1e-12);
    // From infinity a time says nothing of a speed.
    let far = rack(&["--from", "inf", "--to", "1m", "--seconds", "2"]);
    assert!(far["peak_deg_per_s"].is_null());
}

#[test]
fn the_knob_turns_by_the_teeth_or_by_what_was_measured_which_wins() {
    let folder = tempfile::tempdir().unwrap();
    markwright_in(folder.path(), &["new", "."]);
    let lenses = fs::read_to_string(folder.path().join("lenses.csv")).unwrap();
    let with = |columns: [&str; 2], of_50: [&str; 2]| {
        let line = |line: &str| {
            let more = if line.starts_with("id,") {
                columns
            } else if line.starts_with("50,") {
                of_50
            } else {
                ["", ""]
            };
            match line.starts_with('#') || line.is_empty() {
                true => line.to_owned(),
                false => format!("{line},{}", more.join(",")),
            }
        };
        let all: Vec<String> = lenses.lines().map(line).collect();
        fs::write(folder.path().join("lenses.csv"), all.join("\n")).unwrap();
        let rack = [
            "rack",
            "--lens",
            "50",
            "--from",
            "10'",
            "--to",
            "4'",
            "--explain",
            "--as",
            "json",
        ];
        let answer = markwright_in(folder.path(), &rack).json();
        // The teeth and turns it begins with are figures of the answer.
        assert_steps_hold(&answer, &[]);
        answer
    };
    let columns = ["ring_teeth", "knob_travel_deg"];
    // 128 teeth on a gear of 40 (the starter kit's): 3.2 turns of the knob a turn.
    let by_teeth = with(columns, ["128", ""]);
    let turn = by_teeth["turn_deg"].as_f64().unwrap();
    near(&by_teeth["knob_deg"], 3.2 * turn, 1e-9);
    // 900 degrees of knob over the scale's 294 (the starter kit's travel).
    let measured = with(columns, ["128", "900"]);
    let travel = 294.0;
    near(&measured["knob_deg"], 900.0 / travel * turn, 1e-9);
}

#[test]
fn what_cannot_be_pulled_is_refused_by_name() {
    let kind = |more: &[&str]| {
        let ran = markwright(&[&BY_HAND[..], more, &["--as", "json"]].concat());
        assert_ne!(ran.code, 0);
        ran.error()["kind"].as_str().unwrap().to_owned()
    };
    assert_eq!(
        kind(&["--from", "inf", "--to", "1m", "--speed", "walk"]),
        "not_finite"
    );
    assert_eq!(kind(&["--from", "2m", "--to", "0.1m"]), "inside_4f");
    assert_eq!(
        kind(&["--from", "2m", "--to", "1m", "--speed", "fast"]),
        "usage"
    );
    assert_eq!(kind(&["--from", "2m", "--to", "1m", "--macro"]), "usage");
}
