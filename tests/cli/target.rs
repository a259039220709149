//! `print target` and `print ruler --ring`: from a kit and by hand, and what is
//! refused.

use std::fs;

use serde_json::Value;

use crate::run::{markwright, markwright_in};

const BY_HAND: [&str; 6] = ["print", "target", "--focal", "50mm", "--circle", "0.025mm"];

fn with<'a>(more: &[&'a str]) -> Vec<&'a str> {
    [&BY_HAND[..], more].concat()
}

fn near(value: &Value, expected: f64) {
    let value = value.as_f64().unwrap();
    assert!(
        (value - expected).abs() < 1e-5,
        "{value} against {expected}"
    );
}

#[test]
fn a_focal_length_makes_a_target_with_its_figures() {
    let folder = tempfile::tempdir().unwrap();
    let answer = markwright_in(folder.path(), &with(&["--out", "o", "--as", "json"])).json();
    assert_eq!(answer["written"][0]["file"], "o/target.pdf");
    let target = &answer["targets"][0];
    assert_eq!(answer["written"][0]["codes"][0], target["code"]);
    assert_eq!(answer["sheets"][0]["what"], "target");
    near(&target["circle_mm"], 0.025);
    near(&target["contrast"], 0.1);
    assert_eq!(target["rows"].as_array().unwrap().len(), 3);
    let row = &target["rows"][1];
    near(&row["distance_mm"], 2000.0);
    // u = 1948.683298 by u + v = 2000 and 1/u + 1/v = 1/50: m = 50 / (u − 50);
    // π 0.025 / 3.419739008 by mpmath.
    near(&row["magnification"], 50.0 / (1_948.683_298 - 50.0));
    near(&row["period_mm"], 0.022_966_61 * 1_898.683_298 / 50.0);
    assert!(target["left_out"].as_array().unwrap().is_empty());
    let first = fs::read(folder.path().join("o/target.pdf")).unwrap();
    assert!(first.starts_with(b"%PDF-1.7"));
    let again = markwright_in(folder.path(), &with(&["--out", "o", "--replace"]));
    assert_eq!(again.code, 0, "{}", again.err);
    assert_eq!(fs::read(folder.path().join("o/target.pdf")).unwrap(), first);
    let drawn = markwright_in(folder.path(), &with(&["--out", "o", "--to", "svg"]));
    assert_eq!(drawn.code, 0, "{}", drawn.err);
    assert!(folder.path().join("o/target-01.svg").is_file());
}

#[test]
fn its_steps_end_in_the_figures_it_prints() {
    let folder = tempfile::tempdir().unwrap();
    let args = with(&["--at", "3m", "--explain", "--as", "json"]);
    let answer = markwright_in(folder.path(), &args).json();
    let steps = answer["steps"].as_array().unwrap();
    let last = steps.last().unwrap();
    assert_eq!(last["symbol"], "period");
    assert_eq!(last["value"], answer["targets"][0]["rows"][0]["period_mm"]);
    let solved = steps.iter().filter(|step| step["how"] == "solved");
    assert_eq!(solved.count(), 1);
}

#[test]
fn a_kit_has_a_target_of_its_first_lens_or_of_those_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    assert_eq!(markwright_in(folder.path(), &["new", "kit"]).code, 0);
    let print = [
        "print",
        "target",
        "--kit",
        "kit",
        "--as",
        "json",
        "--replace",
    ];
    let first = markwright_in(folder.path(), &print).json();
    let lenses = |answer: &Value| -> Vec<String> {
        let targets = answer["targets"].as_array().unwrap().iter();
        targets
            .map(|target| target["lens"].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(lenses(&first), ["18"]);
    // The kit is in feet: 3, 6 and 10 ft.
    near(&first["targets"][0]["rows"][0]["distance_mm"], 914.4);
    near(&first["targets"][0]["rows"][2]["distance_mm"], 3048.0);
    let two = [&print[..], &["--lens", "50", "100"]].concat();
    let two = markwright_in(folder.path(), &two).json();
    assert_eq!(lenses(&two), ["50", "100"]);
    assert_eq!(two["written"][0]["pages"], 2);
    // The usual distances a lens does not reach are left out and told.
    let cards = [
        "print", "target", "cards", "--kit", "kit", "--lens", "100", "--out", "c",
    ];
    let cards = markwright_in(folder.path(), &cards);
    assert_eq!(cards.code, 0, "{}", cards.err);
    let left = cards.err.contains("target of lens 100, left out: 3′");
    assert!(left, "{}", cards.err);
}

#[test]
fn what_cannot_be_a_target_is_refused() {
    let refused: [(&[&str], i32, &str); 8] = [
        (&["--at", "inf"], 2, "not_finite"),
        (&["--at", "2"], 2, "bare_number"),
        (&["--at", "100mm"], 3, "inside_4f"),
        (
            &["--at", "0.5m", "--close-focus", "0.6m"],
            3,
            "inside_close_focus",
        ),
        (&["--at", "40m"], 3, "does_not_fit"),
        (&["--paper", "a5"], 3, "does_not_fit"),
        (&["--ring", "80mm"], 2, "usage"),
        (&["--stops", "f/4"], 2, "usage"),
    ];
    for (more, code, kind) in refused {
        let ran = markwright(&[&with(more)[..], &["--as", "json"]].concat());
        assert_eq!(
            (ran.code, &ran.error()["kind"]),
            (code, &kind.into()),
            "{more:?}"
        );
    }
    let none = markwright(&["print", "target", "--as", "json"]);
    assert_eq!((none.code, &none.error()["kind"]), (2, &"usage".into()));
    // Told once, though a card and a target want the same lens.
    let both = markwright(&["print", "cards", "target", "--focal", "50", "--as", "json"]);
    assert_eq!(both.code, 2);
    assert_eq!(both.err.matches("bare_number").count(), 1, "{}", both.err);
}

#[test]
fn a_ring_adds_its_strip_to_the_ruler() {
    let folder = tempfile::tempdir().unwrap();
    let print = ["print", "ruler", "--out", "o", "--as", "json", "--replace"];
    let alone = markwright_in(folder.path(), &print).json();
    assert_eq!(alone["written"][0]["pages"], 1);
    let ring = [&print[..], &["--ring", "80mm"]].concat();
    let ring = markwright_in(folder.path(), &ring).json();
    assert_eq!(ring["written"][0]["pages"], 2);
    assert_eq!(ring["written"][0]["codes"].as_array().unwrap().len(), 1);
    for (size, kind) in [
        ("80", "bare_number"),
        ("20mm", "out_of_range"),
        ("1m", "out_of_range"),
    ] {
        let ran = markwright_in(folder.path(), &[&print[..], &["--ring", size]].concat());
        assert_eq!(
            (ran.code, &ran.error()["kind"]),
            (2, &kind.into()),
            "{size}"
        );
    }
}
