//! `ring`: steps, standing, what is answered unasked, arcs.

use std::fs;
use std::path::Path;

use serde_json::Value;
use tempfile::TempDir;

use crate::arithmetic::assert_steps_hold;
use crate::run::{in_json, markwright, markwright_in};

/// Every figure of a row that a step must give.
const FIGURES: [&str; 7] = [
    "position_deg",
    "near_offset_deg",
    "far_offset_deg",
    "tolerance_deg",
    "ring_mm",
    "tolerance_mm",
    "real_focus_mm",
];

const BY_HAND: [&str; 9] = [
    "ring", "--focal", "50mm", "--stop", "f/2", "--circle", "0.025mm", "--gain", "30deg/mm",
];

/// The starter kit.
fn kit() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    markwright_in(folder.path(), &["new", "."]);
    folder
}

fn with_marks(folder: &Path, id: &str, marks: &str) {
    fs::write(folder.join(format!("marks/{id}.csv")), marks).unwrap();
}

fn asked(folder: &Path, args: &[&str]) -> Value {
    markwright_in(folder, &[&["ring"], args, &["--as", "json"]].concat()).json()
}

fn by_hand(args: &[&str]) -> Value {
    in_json(&[&BY_HAND[..], args].concat()).json()
}

fn figure(row: &Value, key: &str) -> f64 {
    row[key]
        .as_f64()
        .unwrap_or_else(|| panic!("{key} of {row}"))
}

fn distances(answer: &Value) -> Vec<Value> {
    let rows = answer["rows"].as_array().unwrap();
    rows.iter().map(|row| row["distance_mm"].clone()).collect()
}

fn standings(answer: &Value) -> Vec<&str> {
    let rows = answer["rows"].as_array().unwrap();
    rows.iter()
        .map(|row| row["standing"].as_str().unwrap())
        .collect()
}

fn kinds(answer: &Value) -> String {
    answer["assumptions"].to_string()
}

#[test]
fn every_figure_by_hand_has_a_step_that_gives_it() {
    let args = [
        "--circumference",
        "250mm",
        "--at",
        "2m,0.45m,inf,30m",
        "--explain",
        "--image-plane-error",
        "0.02mm",
    ];
    let answer = by_hand(&args);
    let symbols = assert_steps_hold(&answer, &FIGURES);
    for symbol in ["m", "position", "turn", "m_edge", "arc", "m_y"] {
        assert!(symbols.iter().any(|found| found == symbol), "{symbol}");
    }
    // Beyond infinity there is no focus, and still every step is a number.
    let beyond = ["--at", "inf", "--image-plane-error=-0.02mm", "--explain"];
    let answer = by_hand(&beyond);
    assert_steps_hold(&answer, &FIGURES);
    assert_eq!(answer["rows"][0]["real_focus_mm"], Value::Null);
}

#[test]
fn every_figure_from_marks_has_a_step_that_gives_it() {
    let folder = kit();
    for id in ["18", "25", "32", "40", "50", "75", "100"] {
        let answer = asked(folder.path(), &["--lens", id, "--explain"]);
        let symbols = assert_steps_hold(&answer, &FIGURES);
        for symbol in ["rate", "start", "line", "d", "t", "y", "position", "m_edge"] {
            assert!(
                symbols.iter().any(|found| found == symbol),
                "{id}: {symbol}"
            );
        }
        let between = ["--lens", id, "--at", "4.321m,1.234m,77m", "--explain"];
        assert_steps_hold(&asked(folder.path(), &between), &FIGURES);
    }
}

#[test]
fn marks_of_every_sort_have_steps_that_hold() {
    let folder = kit();
    let sorts = [
        // In degrees, from no infinity, growing the other way.
        "distance,position_deg,kind\n20',300,eye\n10',281,eye\n5',240,eye\n3',180,eye\n",
        // So wild that the curve goes through the marks without a line.
        "distance,position_mm,kind\ninf,0,eye\n20',1,eye\n10',90,eye\n5',91,eye\n3',180,eye\n",
        // Two marks alone.
        "distance,position_mm,kind\ninf,0,engraved\n3',95,engraved\n",
        // Parts of the travel.
        "distance,position_fraction,kind\ninf,0,eye\n6',0.21,eye\n3',0.44,eye\n1'6\",1,eye\n",
    ];
    for (marks, line) in sorts.into_iter().zip([true, false, true, true]) {
        with_marks(folder.path(), "50", marks);
        for at in [&["--at", "6',4'1\",2'9\""][..], &[]] {
            let answer = asked(
                folder.path(),
                &[&["--lens", "50", "--explain"], at].concat(),
            );
            assert_steps_hold(&answer, &FIGURES);
            assert_eq!(
                answer["through_marks"]["line_from"].is_object(),
                line,
                "{marks}"
            );
        }
    }
}

#[test]
fn a_gain_from_a_travel_has_its_step() {
    let folder = kit();
    fs::remove_file(folder.path().join("marks/50.csv")).unwrap();
    let answer = asked(folder.path(), &["--lens", "50", "--at", "6'", "--explain"]);
    let symbols = assert_steps_hold(&answer, &FIGURES);
    assert!(symbols.contains(&"G".to_owned()));
    // 294° from infinity to 1'6": written in the kit.
    assert_eq!(answer["travel_deg"], 294.0);
    let close = asked(folder.path(), &["--lens", "50", "--at", "1'6\""]);
    let position = figure(&close["rows"][0], "position_deg");
    assert!((position - 294.0).abs() < 1e-9, "{position}");
}

#[test]
fn a_repeated_distance_is_worked_out_once_and_answered_twice() {
    let once = by_hand(&["--at", "2m", "--explain"]);
    let twice = by_hand(&["--at", "2m,2m", "--explain"]);
    assert_eq!(once["steps"], twice["steps"]);
    assert_eq!(twice["rows"][0], twice["rows"][1]);
}

#[test]
fn the_smaller_of_two_turns_is_chosen_and_said() {
    let answer = by_hand(&["--at", "2m", "--explain"]);
    let last = answer["steps"].as_array().unwrap().last().unwrap();
    assert_eq!(last["value"], answer["rows"][0]["tolerance_deg"]);
    assert_eq!(last["how"], "chosen");
    assert!(
        last["because"]
            .as_str()
            .unwrap()
            .starts_with("the smaller of two turns")
    );
}

#[test]
fn rows_beyond_the_marks_are_computed_and_those_between_measured() {
    let folder = kit();
    let marks = "distance,position_mm,kind\n20',13.5,eye\n10',27,eye\n5',55,eye\n3',96.5,eye\n";
    with_marks(folder.path(), "50", marks);
    let args = ["--lens", "50", "--at", "40',20',7',3',2'9\""];
    let answer = asked(folder.path(), &args);
    let expected = ["computed", "measured", "measured", "measured", "computed"];
    assert_eq!(standings(&answer), expected);
    assert!(kinds(&answer).contains("beyond_marks"));
    let within = asked(folder.path(), &["--lens", "50", "--at", "20',7',3'"]);
    assert!(!kinds(&within).contains("beyond_marks"));
    let engraved = marks.replace("eye", "engraved");
    with_marks(folder.path(), "50", &engraved);
    let answer = asked(folder.path(), &args);
    assert_eq!(standings(&answer)[1..4], ["engraved"; 3]);
    assert_eq!(standings(&answer)[4], "computed");
    // The split of a hold is such a place too.
    let hold = [
        "hold", "--lens", "50", "--near", "2'6\"", "--far", "2'9\"", "--as", "json",
    ];
    let split = markwright_in(folder.path(), &hold).json();
    assert_eq!(split["split_standing"], "computed");
}

#[test]
fn unasked_a_ring_is_answered_at_its_own_marks_from_infinity_to_close_focus() {
    let folder = kit();
    let marks = "distance,position_mm,kind\ninf,0,eye\n10',27,eye\n5',55,eye\n1'6\",218,eye\n\
                 3',97,engraved\n6',46,engraved\n";
    with_marks(folder.path(), "50", marks);
    let answer = asked(folder.path(), &["--lens", "50"]);
    // 10', 6', 5', 3', 1'6": a foot is 304.8 mm.
    let feet = [10.0, 6.0, 5.0, 3.0, 1.5];
    let found = distances(&answer);
    assert_eq!(found[0], "infinity");
    let expected: Vec<f64> = feet.iter().map(|feet| feet * 304.8).collect();
    let found: Vec<f64> = found[1..].iter().map(|mm| mm.as_f64().unwrap()).collect();
    assert_eq!(found.len(), expected.len());
    assert!(
        found
            .iter()
            .zip(&expected)
            .all(|(a, b)| (a - b).abs() < 1e-9),
        "{found:?}"
    );
}

#[test]
fn unasked_a_ring_without_marks_is_answered_at_the_usual_distances() {
    let folder = kit();
    fs::remove_file(folder.path().join("marks/50.csv")).unwrap();
    for (answer, close) in [
        (asked(folder.path(), &["--lens", "50"]), 457.2),
        (by_hand(&["--close-focus", "0.62m"]), 620.0),
    ] {
        let found = distances(&answer);
        assert_eq!(found[0], "infinity");
        let last = found.last().unwrap().as_f64().unwrap();
        assert!((last - close).abs() < 1e-9, "{last}");
        let fall = |pair: &[Value]| pair[0].as_f64() > pair[1].as_f64();
        assert!(
            found.len() > 15 && found[1..].windows(2).all(fall),
            "{found:?}"
        );
    }
    let has = |answer: &Value, mm: f64| distances(answer).iter().any(|at| at.as_f64() == Some(mm));
    // In the unit of output.
    assert!(has(&by_hand(&[]), 2000.0) && has(&by_hand(&["--units", "feet"]), 1828.8));
    // Nothing nearer than 4 f, where no image is.
    assert!(
        distances(&by_hand(&[]))[1..]
            .iter()
            .all(|at| at.as_f64().unwrap() >= 200.0)
    );
}

#[test]
fn arcs_count_from_the_zero_and_lead_back() {
    // 250 mm round: 3 mm are 4.32°, and at 30°/mm the lens has moved 0.144 mm.
    let answer = by_hand(&["--circumference", "250mm", "--at-mm", "0,3"]);
    assert_eq!(answer["rows"][0]["distance_mm"], "infinity");
    let row = &answer["rows"][1];
    // Newton: u − f = f²/x, and D = u + f + x.
    let expected = 50.0 + 2500.0 / 0.144 + 50.0 + 0.144;
    assert!((figure(row, "distance_mm") - expected).abs() < 1e-6 * expected);
    assert!((figure(row, "position_deg") - 4.32).abs() < 1e-9);
}

#[test]
fn arcs_by_hand_need_the_way_round_and_say_so() {
    let ran = in_json(&[&BY_HAND[..], &["--at-mm", "3"]].concat());
    let error = ran.error();
    assert_eq!((error["kind"].as_str(), ran.code), (Some("usage"), 2));
    assert_eq!(error["place"]["key"], "--circumference");
}

#[test]
fn an_arc_off_the_scale_names_the_nearest_one() {
    let args = ["--circumference", "250mm", "--close-focus", "0.45m"];
    let off = |arc: &str| {
        let ran = in_json(&[&BY_HAND[..], &args, &[arc]].concat());
        assert_eq!(ran.code, 3);
        let error = ran.error();
        assert_eq!(error["kind"], "outside_marks");
        assert_eq!(error["place"]["key"], "--at-mm");
        error["nearest"].as_f64().unwrap()
    };
    assert_eq!(off("--at-mm=-3"), 0.0);
    let end = off("--at-mm=400");
    let close = by_hand(&[&args[..], &["--at", "0.45m"]].concat());
    assert_eq!(end, figure(&close["rows"][0], "ring_mm"));
    // The nearest can be asked for.
    let there = by_hand(&[&args[..], &["--at-mm", &end.to_string()]].concat());
    assert!((figure(&there["rows"][0], "distance_mm") - 450.0).abs() < 1e-6);
}

#[test]
fn an_arc_on_a_ring_of_unknown_size_is_refused_by_what_is_missing() {
    let folder = kit();
    let path = folder.path().join("lenses.csv");
    let lenses = fs::read_to_string(&path).unwrap();
    fs::write(
        &path,
        lenses.replace(",clockwise,267,294,", ",clockwise,,294,"),
    )
    .unwrap();
    with_marks(
        folder.path(),
        "50",
        "distance,position_deg,kind\ninf,0,eye\n3',130,eye\n",
    );
    let args = ["ring", "--lens", "50", "--at-mm", "3", "--as", "json"];
    let ran = markwright_in(folder.path(), &args);
    assert_eq!(ran.error()["kind"], "missing");
    assert!(ran.err.contains("ring_circumference_mm"));
}

#[test]
fn the_words_say_zero_units_and_how_far_the_ring_may_be_off() {
    let folder = kit();
    let said = markwright_in(folder.path(), &["ring", "--lens", "50", "--at", "6'"]).out;
    for part in [
        "50 mm · T2.8 (f/2.63)",
        "the ring's zero is the infinity mark; positions grow toward close focus",
        "degrees of ring",
        "along the bare ring, which is 267 mm round",
        "±2.89°",
        "±2.14 mm",
        "measured",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    with_marks(
        folder.path(),
        "50",
        "distance,position_mm,kind\n20',13.5,eye\n5',55,eye\n3',96.5,eye\n",
    );
    let said = markwright_in(folder.path(), &["ring", "--lens", "50", "--at", "inf"]).out;
    assert!(
        said.contains("zero is the farthest mark that was read, 20′"),
        "{said}"
    );
    assert!(said.contains("−") && said.contains("computed"), "{said}");
    let by_hand = markwright(&[&BY_HAND[..], &["--at", "2m"]].concat()).out;
    assert!(
        by_hand.contains("how far the ring is round is not known"),
        "{by_hand}"
    );
    // The tolerance is 1.5406° and the near offset 1.5422° (facts I.tolerance, I.limits).
    assert!(
        by_hand.contains("±1.54°") && by_hand.contains("−1.53°"),
        "{by_hand}"
    );
    let help = markwright(&["ring", "--help"]).out;
    assert!(help.contains("from its zero"), "{help}");
}

#[test]
fn where_a_mark_really_focuses_is_said_in_words_too() {
    let args = ["--at", "2m,inf", "--image-plane-error=-0.02mm"];
    let said = markwright(&[&BY_HAND[..], &args].concat()).out;
    assert!(
        said.contains("really focuses at") && said.contains("beyond infinity"),
        "{said}"
    );
}
