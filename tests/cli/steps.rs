//! `steps`: the contract, the ends of a chain, what cannot be asked.

use serde_json::Value;

use crate::arithmetic::assert_steps_hold;
use crate::run::{Ran, in_json, markwright, markwright_in};

/// 135 mm, thin, f/2.8 at 0.025 mm.
const LENS: [&str; 10] = [
    "steps",
    "--focal",
    "135mm",
    "--hiatus=0mm",
    "--pupil-magnification",
    "1",
    "--circle",
    "0.025mm",
    "--stop",
    "f/2.8",
];

fn ask(more: &[&str]) -> Ran {
    in_json(&[&LENS[..], more].concat())
}

fn rows(answer: &Value) -> Vec<(f64, f64, f64)> {
    let mm = |value: &Value| value.as_f64().unwrap_or(f64::INFINITY);
    let row = |row: &Value| {
        (
            mm(&row["focus_mm"]),
            mm(&row["near_mm"]),
            mm(&row["far_mm"]),
        )
    };
    answer["rows"].as_array().unwrap().iter().map(row).collect()
}

#[test]
fn steps_go_from_far_to_near_and_overlap_unless_they_are_to_touch() {
    let overlapping = ask(&["--from", "20m", "--to", "5m"]).json();
    assert_eq!(overlapping["chain"], "overlapping");
    assert_eq!(
        ask(&["--from", "20m", "--to", "5m", "--overlapping"]).json(),
        overlapping
    );
    let chain = rows(&overlapping);
    assert_eq!(chain[0].0, 20_000.0);
    for pair in chain.windows(2) {
        assert_eq!(pair[1].0, pair[0].1, "each focus at the near limit before");
    }
    assert!(chain[chain.len() - 1].1 <= 5000.0 && chain[chain.len() - 2].1 > 5000.0);
    let touching = rows(&ask(&["--from", "20m", "--to", "5m", "--touching"]).json());
    assert!((touching[0].2 - 20_000.0).abs() < 1e-6);
    for pair in touching.windows(2) {
        assert!(
            (pair[1].2 - pair[0].1).abs() < 1e-6,
            "each far limit at the near limit before"
        );
    }
    // Trade notes: touching zones go twice as fast (H, H/3, H/5 against H, H/2, H/3).
    assert_eq!(touching.len(), chain.len().div_ceil(2));
}

#[test]
fn from_infinity_the_chain_begins_there() {
    let answer = ask(&["--to", "60m"]).json();
    assert_eq!(answer["from_mm"], "infinity");
    let first = &answer["rows"][0];
    assert_eq!(
        (&first["focus_mm"], &first["far_mm"]),
        (&"infinity".into(), &"infinity".into())
    );
    // f²/(N c) from the entrance pupil, which stands 135 mm before the image plane.
    let h = 135.0 * 135.0 / (2.8 * 0.025);
    assert!((rows(&answer)[0].1 - (h + 135.0)).abs() < 1e-6);
    // Touching, the first step is the hyperfocal focus (optics specification b7).
    let touching = ask(&["--to", "60m", "--touching"]).json();
    assert!((rows(&touching)[0].0 - (h + 2.0 * 135.0 + 2.8 * 0.025)).abs() < 1e-6);
    assert_eq!(touching["rows"][0]["far_mm"], "infinity");
}

#[test]
fn a_lens_of_the_kit_goes_down_to_its_close_focus() {
    let folder = tempfile::tempdir().unwrap();
    markwright_in(folder.path(), &["new", "."]);
    let steps = |more: &[&str]| {
        let lens = ["steps", "--lens", "50", "--stop", "T8", "--as", "json"];
        markwright_in(folder.path(), &[&lens[..], more].concat())
    };
    let close_focus = 18.0 * 25.4;
    for more in [&[][..], &["--touching"]] {
        let answer = steps(more).json();
        let last = *rows(&answer).last().unwrap();
        assert!(
            last.0 >= close_focus && last.1 <= close_focus,
            "{more:?}: {last:?}"
        );
        assert!(
            !answer["assumptions"]
                .to_string()
                .contains("steps_end_early")
        );
    }
    let inside = steps(&["--to", "1'"]);
    assert_eq!(
        (inside.code, &inside.error()["kind"]),
        (3, &"inside_close_focus".into())
    );
    let begins_inside = steps(&["--from", "1'5", "--to", "1'4"]);
    assert_eq!(begins_inside.error()["kind"], "inside_close_focus");
}

#[test]
fn by_hand_a_chain_that_cannot_go_on_says_so() {
    let answer = ask(&["--from", "560mm", "--to", "500mm"]).json();
    assert!(
        answer["assumptions"]
            .to_string()
            .contains("steps_end_early")
    );
    // Touching, the last one stands where the lens goes no nearer.
    let args = ["--from", "541mm", "--to", "540.5mm", "--touching"];
    let last = rows(&ask(&args).json()).last().copied().unwrap();
    assert!(last.0 >= 540.0 - 1e-9, "{last:?}");
}

#[test]
fn what_cannot_be_asked_has_its_kind_and_exit_code() {
    let wrong: [(&[&str], &str, i32); 7] = [
        (&["--from", "5m", "--to", "20m"], "far_not_beyond_near", 2),
        (&["--from", "5m", "--to", "5m"], "far_not_beyond_near", 2),
        (&["--from", "5m", "--to", "inf"], "far_not_beyond_near", 2),
        (&["--from", "539mm"], "inside_4f", 3),
        (&["--from", "539mm", "--touching"], "inside_4f", 3),
        (&["--touching", "--overlapping"], "usage", 2),
        (&["--macro"], "usage", 2),
    ];
    for (args, kind, code) in wrong {
        let ran = ask(args);
        assert_eq!(ran.error()["kind"], kind, "{args:?}");
        assert_eq!(ran.code, code, "{args:?}");
    }
    let endless = [
        "steps", "--focal", "1200mm", "--stop", "f/1", "--circle", "0.0001mm",
    ];
    assert_eq!(in_json(&endless).error()["kind"], "too_large");
    let no_stop = in_json(&["steps", "--focal", "135mm", "--to", "5m"]).error();
    assert_eq!(
        (&no_stop["kind"], &no_stop["place"]["key"]),
        (&"usage".into(), &"--stop".into())
    );
}

#[test]
fn words_and_csv_have_a_row_a_step() {
    let args = [&LENS[..], &["--from", "20m", "--to", "15m"]].concat();
    let count = rows(&in_json(&args).json()).len();
    let csv = markwright(&[&args[..], &["--as", "csv"]].concat()).out;
    assert_eq!(csv.lines().next(), Some("focus_mm,near_mm,far_mm"));
    assert_eq!(csv.lines().count(), count + 1);
    let text = markwright(&args).out;
    assert!(text.contains(&format!("{count} steps, ")), "{text}");
    let one = markwright(&[&LENS[..], &["--from", "20m", "--to", "19.9m"]].concat()).out;
    assert!(one.contains("1 step, "), "{one}");
}

#[test]
fn explained_steps_give_their_values_and_end_at_the_answer() {
    for more in [
        &["--from", "20m", "--to", "15m"][..],
        &["--from", "20m", "--to", "15m", "--touching"],
        &["--to", "60m", "--touching"],
        &["--from", "560mm", "--to", "500mm"],
        &["--from", "541mm", "--to", "540.5mm", "--touching"],
    ] {
        let answer = ask(&[more, &["--explain"]].concat()).json();
        assert_steps_hold(&answer, &["near_mm"]);
        let last = answer["steps"].as_array().unwrap().last().unwrap().clone();
        let row = answer["rows"].as_array().unwrap().last().unwrap().clone();
        assert_eq!(last["value"], row["far_mm"], "{more:?}");
    }
}
