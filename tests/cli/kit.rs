//! A kit from `new` to paper; nothing written over, nothing half-written.

use std::fs;

use crate::run::{markwright, markwright_in};

#[test]
fn two_commands_lead_from_nothing_to_tapes_and_cards() {
    let folder = tempfile::tempdir().unwrap();
    assert_eq!(markwright_in(folder.path(), &["new", "kit"]).code, 0);
    let again = markwright_in(folder.path(), &["new", "kit", "--as", "json"]);
    assert_eq!(again.error()["kind"], "exists");
    let check = markwright_in(folder.path(), &["check", "--kit", "kit", "--as", "json"]).json();
    assert_eq!(check["ok"], true);
    assert_eq!(check["faults"].as_array().unwrap().len(), 0);
    assert!(!check["understood"].as_array().unwrap().is_empty());
    let print = markwright_in(folder.path(), &["print", "--kit", "kit"]);
    assert_eq!(print.code, 0, "{}", print.err);
    for file in ["markwright-out/tapes.pdf", "markwright-out/cards.pdf"] {
        assert!(print.err.contains(file), "{}", print.err);
        assert!(
            fs::read(folder.path().join(file))
                .unwrap()
                .starts_with(b"%PDF-1.7")
        );
    }
}

#[test]
fn nothing_is_written_over_unasked_and_one_refusal_stops_all() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    fs::create_dir(&out).unwrap();
    fs::write(out.join("ruler.pdf"), "my own notes").unwrap();
    let args = [
        "print",
        "strip-ruler",
        "ruler",
        "--out",
        "out",
        "--as",
        "json",
    ];
    assert_eq!(
        markwright_in(folder.path(), &args).error()["kind"],
        "exists"
    );
    assert!(
        !out.join("strip-ruler.pdf").exists(),
        "if one may not be written, none is"
    );
    let replaced = markwright_in(folder.path(), &[&args[..], &["--replace"]].concat());
    assert_eq!(replaced.error()["kind"], "exists", "not a sheet of ours");
    assert_eq!(
        fs::read_to_string(out.join("ruler.pdf")).unwrap(),
        "my own notes"
    );
    fs::remove_file(out.join("ruler.pdf")).unwrap();
    assert_eq!(markwright_in(folder.path(), &args).code, 0);
    let first = fs::read(out.join("ruler.pdf")).unwrap();
    let again = markwright_in(folder.path(), &[&args[..], &["--replace"]].concat());
    assert_eq!(again.code, 0, "{}", again.err);
    assert_eq!(
        fs::read(out.join("ruler.pdf")).unwrap(),
        first,
        "same bytes twice"
    );
    assert_eq!(
        fs::read_dir(&out).unwrap().count(),
        2,
        "no temporary file is left"
    );
}

#[test]
fn drawings_and_pictures_are_written_page_by_page() {
    for (form, file, start) in [
        ("svg", "strip-ruler-01.svg", &b"<svg"[..]),
        ("png", "strip-ruler-01.png", &b"\x89PNG"[..]),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let args = ["print", "strip-ruler", "--to", form, "--out", "o"];
        assert_eq!(markwright_in(folder.path(), &args).code, 0);
        let bytes = fs::read(folder.path().join("o").join(file)).unwrap();
        assert!(bytes.starts_with(start));
        let replaced = markwright_in(folder.path(), &[&args[..], &["--replace"]].concat());
        assert_eq!(replaced.code, 0, "{}", replaced.err);
    }
}

#[test]
fn an_unwritable_place_is_the_machines_failure() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("file"), "").unwrap();
    let ran = markwright_in(folder.path(), &["print", "ruler", "--out", "file/below"]);
    assert_eq!(ran.code, 1, "{}", ran.err);
    assert_eq!(ran.out, "");
}

#[test]
fn six_values_make_a_tape_without_a_kit() {
    let folder = tempfile::tempdir().unwrap();
    let args = [
        "print",
        "tapes",
        "--focal",
        "35mm",
        "--stop",
        "T2.8",
        "--close-focus",
        "1'2\"",
        "--circumference",
        "263mm",
        "--travel-length",
        "214mm",
        "--sense",
        "clockwise",
        "--as",
        "json",
    ];
    let answer = markwright_in(folder.path(), &args).json();
    assert_eq!(answer["sheets"][0]["standing"], "computed");
    let missing = markwright(&["print", "tapes", "--focal", "35mm", "--as", "json"]);
    assert_eq!(missing.code, 2);
    assert!(missing.err.contains("--travel-length"), "{}", missing.err);
}

#[test]
fn a_bare_stop_on_a_lens_of_the_kit_means_its_own_kind() {
    let folder = tempfile::tempdir().unwrap();
    markwright_in(folder.path(), &["new", "."]);
    let args = [
        "depth", "--lens", "50", "--stop", "2.8", "--at", "6'", "--as", "json",
    ];
    let answer = markwright_in(folder.path(), &args).json();
    assert_eq!(answer["t_number"], 2.8);
    let inside = ["depth", "--lens", "50", "--at", "1ft", "--as", "json"];
    assert_eq!(
        markwright_in(folder.path(), &inside).error()["kind"],
        "inside_close_focus"
    );
    let unknown = ["depth", "--lens", "51", "--at", "6'", "--as", "json"];
    assert_eq!(
        markwright_in(folder.path(), &unknown).error()["kind"],
        "unknown_id"
    );
}

#[test]
fn the_ring_of_a_measured_lens_says_so() {
    let folder = tempfile::tempdir().unwrap();
    markwright_in(folder.path(), &["new", "."]);
    let args = ["ring", "--lens", "50", "--at", "inf,6',3'", "--as", "json"];
    let answer = markwright_in(folder.path(), &args).json();
    let rows = answer["rows"].as_array().unwrap();
    assert!(rows.iter().all(|row| row["standing"] == "measured"));
    let at = |i: usize| rows[i]["position_deg"].as_f64().unwrap();
    assert!(
        at(0) < at(1) && at(1) < at(2),
        "positions grow toward close focus"
    );
    let arc = rows[1]["ring_mm"].as_f64().unwrap();
    let inverse = [
        "ring",
        "--lens",
        "50",
        "--at-mm",
        &arc.to_string(),
        "--as",
        "json",
    ];
    let back = markwright_in(folder.path(), &inverse).json();
    let distance = back["rows"][0]["distance_mm"].as_f64().unwrap();
    assert!((distance - 1828.8).abs() < 1e-6 * 1828.8, "{distance}");
}

#[test]
fn a_card_by_hand_needs_nothing_of_the_ring() {
    let args = [
        "print",
        "cards",
        "--focal",
        "35mm",
        "--stop",
        "T2.8",
        "--close-focus",
        "0.35m",
        "--as",
        "json",
    ];
    let answer = markwright(&args).json();
    assert_eq!(answer["sheets"][0]["what"], "card");
    assert!(!answer["assumptions"].as_array().unwrap().is_empty());
}

#[test]
fn a_fault_met_by_every_lens_is_told_once() {
    let folder = tempfile::tempdir().unwrap();
    markwright_in(folder.path(), &["new", "."]);
    let ran = markwright_in(folder.path(), &["print", "--stop", "zz", "--as", "json"]);
    assert_eq!(ran.error()["kind"], "usage");
}

#[test]
fn a_position_carried_on_beyond_the_marks_says_so() {
    let folder = tempfile::tempdir().unwrap();
    markwright_in(folder.path(), &["new", "."]);
    let path = folder.path().join("marks/50.csv");
    let marks = fs::read_to_string(&path).unwrap();
    let rows: Vec<&str> = marks
        .lines()
        .filter(|row| !row.starts_with("inf,"))
        .collect();
    fs::write(&path, rows.join("\n")).unwrap();
    let kinds = |at: &str| {
        let args = ["ring", "--lens", "50", "--at", at, "--as", "json"];
        let answer = markwright_in(folder.path(), &args).json();
        assert_eq!(answer["zero"], "farthest_mark");
        answer["assumptions"].to_string()
    };
    assert!(kinds("inf").contains("beyond_marks"));
    assert!(!kinds("6'").contains("beyond_marks"));
}
