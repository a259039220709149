//! Several cameras: which one is meant, and whose marks are used.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::run::{Ran, markwright_in};

/// The starter kit with its camera named, and with more cameras of the same kind.
fn kit(folder: &Path, names: &[&str]) {
    assert_eq!(markwright_in(folder, &["new", "."]).code, 0);
    let path = folder.join("kit.toml");
    let text = fs::read_to_string(&path).unwrap();
    let (head, tail) = text.split_once("[recording]\n").unwrap();
    let (camera, tail) = tail.split_once("\n[sharpness]").unwrap();
    let cameras: String = names
        .iter()
        .map(|name| format!("[camera.{name}]\n{camera}\n"))
        .collect();
    fs::write(path, format!("{head}{cameras}[sharpness]{tail}")).unwrap();
}

/// The marks of the 50, taken on a camera.
fn marks_on(folder: &Path, camera: &str) {
    let path = folder.join("marks/50.csv");
    let text = fs::read_to_string(&path).unwrap();
    let row = |line: &str| match line {
        line if line.starts_with('#') => line.to_owned(),
        line if line.starts_with("distance") => format!("{line},camera"),
        line => format!("{line},{camera}"),
    };
    let text: Vec<String> = text.lines().map(row).collect();
    fs::write(path, text.join("\n")).unwrap();
}

fn note(ran: &Ran, kind: &str) -> Option<String> {
    let answer: Value = serde_json::from_str(&ran.out).unwrap();
    let notes = answer["assumptions"].as_array().unwrap();
    let note = notes.iter().find(|note| note["kind"] == kind)?;
    Some(note["message"].as_str().unwrap().to_owned())
}

#[test]
fn a_camera_nobody_chose_is_named_with_how_to_choose() {
    let folder = tempfile::tempdir().unwrap();
    kit(folder.path(), &["A", "B"]);
    let questions: [&[&str]; 6] = [
        &["depth", "--lens", "40", "--at", "6'"],
        &["field", "--lens", "40", "--at", "6'"],
        &["field", "--at", "6'", "--width", "1m"],
        &["ring", "--lens", "40", "--at", "6'"],
        &["hold", "--lens", "40", "--near", "6'", "--far", "9'"],
        &["steps", "--lens", "40", "--from", "9'", "--to", "6'"],
    ];
    for question in questions {
        let ask = |more: &[&str]| {
            let ran = markwright_in(
                folder.path(),
                &[question, more, &["--as", "json"][..]].concat(),
            );
            assert_eq!(ran.code, 0, "{question:?}: {}", ran.err);
            note(&ran, "camera_assumed")
        };
        let said = ask(&[]).unwrap_or_else(|| panic!("{question:?} says nothing"));
        assert!(
            said.contains("camera A") && said.contains("--camera B"),
            "{said}"
        );
        assert_eq!(ask(&["--camera", "A"]), None, "{question:?}");
    }
    let by_hand = [
        "depth",
        "--focal",
        "50mm",
        "--stop",
        "f/2",
        "--circle",
        "0.025mm",
        "--format",
        "s35-3perf",
        "--at",
        "2m",
        "--as",
        "json",
    ];
    let ran = markwright_in(folder.path(), &by_hand);
    assert_eq!(
        note(&ran, "camera_assumed"),
        None,
        "nothing of a camera is used"
    );
}

#[test]
fn one_camera_needs_no_choice() {
    let folder = tempfile::tempdir().unwrap();
    kit(folder.path(), &["A"]);
    let ran = markwright_in(
        folder.path(),
        &["depth", "--lens", "40", "--at", "6'", "--as", "json"],
    );
    assert_eq!(note(&ran, "camera_assumed"), None);
}

#[test]
fn print_says_the_assumed_camera_beside_the_files() {
    let folder = tempfile::tempdir().unwrap();
    kit(folder.path(), &["A", "B"]);
    let print = |out: &str, more: &[&str]| {
        let args = ["print", "cards", "--lens", "40", "--out", out];
        markwright_in(folder.path(), &[&args[..], more].concat())
    };
    let assumed = print("a", &[]);
    assert!(
        assumed.err.contains("camera A is assumed"),
        "{}",
        assumed.err
    );
    let chosen = print("b", &["--camera", "B"]);
    assert!(!chosen.err.contains("assumed"), "{}", chosen.err);
    let answer = print("c", &["--as", "json"]);
    assert!(note(&answer, "camera_assumed").is_some());
    // Rulers are nobody's.
    let ruler = markwright_in(folder.path(), &["print", "ruler", "--out", "d"]);
    assert!(!ruler.err.contains("camera A"), "{}", ruler.err);
}

#[test]
fn marks_of_another_camera_are_told_wherever_they_are_used() {
    let folder = tempfile::tempdir().unwrap();
    kit(folder.path(), &["A", "B"]);
    marks_on(folder.path(), "B");
    for question in [
        &["ring", "--lens", "50", "--at", "6'"][..],
        &["hold", "--lens", "50", "--near", "6'", "--far", "9'"],
    ] {
        let ask = |camera: &str| {
            let more = ["--camera", camera, "--as", "json"];
            note(
                &markwright_in(folder.path(), &[question, &more[..]].concat()),
                "marks_of_another_camera",
            )
        };
        let said = ask("A").unwrap_or_else(|| panic!("{question:?} says nothing"));
        assert!(
            said.contains("camera B") && said.contains("camera A"),
            "{said}"
        );
        assert_eq!(ask("B"), None, "{question:?}");
    }
    let check = markwright_in(folder.path(), &["check", "--as", "json"]).json();
    let warnings = check["faults"].as_array().unwrap();
    let of_50: Vec<&Value> = warnings
        .iter()
        .filter(|fault| fault["place"]["file"] == "marks/50.csv")
        .collect();
    assert_eq!(of_50.len(), 1, "{warnings:#?}");
    assert_eq!(of_50[0]["severity"], "warning");
    let said = of_50[0]["message"].as_str().unwrap();
    assert!(
        said.contains("camera A") && said.contains("camera B"),
        "{said}"
    );
}

#[test]
fn a_tape_names_the_camera_its_marks_were_taken_on() {
    let folder = tempfile::tempdir().unwrap();
    kit(folder.path(), &["A", "B"]);
    marks_on(folder.path(), "B");
    let args = [
        "print", "tapes", "--lens", "50", "--camera", "A", "--to", "svg",
    ];
    let ran = markwright_in(folder.path(), &args);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.err.contains("taken on camera B"), "{}", ran.err);
    let page = fs::read_to_string(folder.path().join("markwright-out/tapes-01.svg")).unwrap();
    assert!(page.contains("measured on camera B only"), "the caption");
    assert!(!page.contains("measured on camera A"));
}

#[test]
fn a_camera_named_in_a_kit_whose_camera_has_no_name_is_told() {
    let folder = tempfile::tempdir().unwrap();
    assert_eq!(markwright_in(folder.path(), &["new", "."]).code, 0);
    marks_on(folder.path(), "B");
    let check = markwright_in(folder.path(), &["check"]);
    assert_eq!(check.code, 0, "{}", check.err);
    assert!(check.err.contains("marks/50.csv"), "{}", check.err);
    assert!(check.err.contains("[camera.B]"), "{}", check.err);
    assert_eq!(check.err.matches("warning").count(), 1, "{}", check.err);
    let ring = ["ring", "--lens", "50", "--at", "6'", "--as", "json"];
    let ran = markwright_in(folder.path(), &ring);
    assert!(note(&ran, "marks_of_another_camera").is_some());
}
