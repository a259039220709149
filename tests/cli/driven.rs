//! `print discs strips`: from a kit, and what is refused.

use std::fs;
use std::path::Path;

use crate::run::markwright_in;

/// The starter kit, its rings with teeth.
fn kit(folder: &Path) {
    assert_eq!(markwright_in(folder, &["new", "kit"]).code, 0);
    let file = folder.join("kit/lenses.csv");
    let text = fs::read_to_string(&file).unwrap();
    let teeth = ["98", "98", "104", "104", "104", "110", "116"];
    let mut cells = std::iter::once("ring_teeth").chain(teeth);
    let lines = text.lines().map(|line| match line {
        line if line.starts_with('#') => format!("{line}\n"),
        line => format!("{line},{}\n", cells.next().unwrap()),
    });
    fs::write(&file, lines.collect::<String>()).unwrap();
}

/// A file of the kit with one text in place of another.
fn changed(folder: &Path, file: &str, from: &str, to: &str) {
    let file = folder.join("kit").join(file);
    let text = fs::read_to_string(&file).unwrap();
    assert!(text.contains(from), "{from}");
    fs::write(&file, text.replace(from, to)).unwrap();
}

const PRINT: [&str; 8] = [
    "print",
    "discs",
    "strips",
    "--kit",
    "kit",
    "--as",
    "json",
    "--replace",
];

fn with(more: &[&'static str]) -> Vec<&'static str> {
    [&PRINT[..], more].concat()
}

#[test]
fn every_lens_of_the_starter_kit_has_a_disc_and_a_strip() {
    let folder = tempfile::tempdir().unwrap();
    kit(folder.path());
    let answer = markwright_in(folder.path(), &PRINT).json();
    let sheets = answer["sheets"].as_array().unwrap();
    let of = |what: &str| {
        sheets
            .iter()
            .filter(|it| it["what"] == what)
            .collect::<Vec<_>>()
    };
    let (discs, strips) = (of("disc"), of("strip"));
    assert_eq!((discs.len(), strips.len()), (7, 7));
    // 104 teeth on 40: 2.6 turns of the knob, 294° of ring 764.4°.
    let fifty = discs.iter().find(|it| it["lens"] == "50").unwrap();
    assert_eq!(fifty["gearing"], 2.6);
    assert_eq!(fifty["speed"], 1);
    // The ring turns clockwise, the gear against it, seen on the left as from behind.
    assert_eq!(fifty["disc_turns"], "counter-clockwise");
    assert_eq!(strips[0]["hand_unit"], "hand unit 1");
    for file in ["discs.pdf", "strips.pdf"] {
        let bytes = fs::read(folder.path().join("markwright-out").join(file)).unwrap();
        assert!(bytes.starts_with(b"%PDF-1.7"));
    }
    for form in ["svg", "png"] {
        let drawn = markwright_in(folder.path(), &with(&["--to", form, "--lens", "50"]));
        assert_eq!(drawn.code, 0, "{}", drawn.err);
        let file = format!("markwright-out/discs-01.{form}");
        assert!(folder.path().join(&file).is_file(), "{file}");
    }
}

#[test]
fn the_knob_of_a_disc_turns_as_ring_and_rack_say() {
    let folder = tempfile::tempdir().unwrap();
    kit(folder.path());
    let disc = markwright_in(folder.path(), &with(&["--lens", "75"])).json();
    let ring = [
        "ring",
        "--kit",
        "kit",
        "--lens",
        "75",
        "--at",
        "inf,2'3\"",
        "--as",
        "json",
    ];
    let ring = markwright_in(folder.path(), &ring).json();
    let knob = |row: usize| ring["rows"][row]["knob_deg"].as_f64().unwrap();
    let turn = disc["sheets"][0]["knob_travel_deg"].as_f64().unwrap();
    assert!((turn - (knob(1) - knob(0))).abs() < 1e-9, "{turn}");
}

#[test]
fn several_speeds_make_several_discs() {
    let folder = tempfile::tempdir().unwrap();
    kit(folder.path());
    changed(
        folder.path(),
        "kit.toml",
        "knob_ratio = 1.0",
        "knob_ratio = [1.0, 0.5]",
    );
    let answer = markwright_in(folder.path(), &with(&["--lens", "50"])).json();
    let sheets = answer["sheets"].as_array().unwrap();
    let speeds: Vec<f64> = sheets
        .iter()
        .filter_map(|it| it["gearing"].as_f64())
        .collect();
    assert_eq!(speeds, [2.6, 1.3]);
    assert_ne!(sheets[0]["code"], sheets[1]["code"]);
}

#[test]
fn a_disc_without_a_gearing_is_refused_with_both_ways_to_find_out() {
    let folder = tempfile::tempdir().unwrap();
    kit(folder.path());
    changed(
        folder.path(),
        "kit.toml",
        "drive_teeth = 40",
        "# drive_teeth = 40",
    );
    let print = [
        "print", "discs", "--kit", "kit", "--lens", "50", "--as", "json",
    ];
    let refused = markwright_in(folder.path(), &print);
    assert_eq!(refused.code, 2);
    let error = refused.error();
    assert_eq!(error["kind"], "missing");
    assert!(
        error["message"]
            .as_str()
            .unwrap()
            .contains("no drive_teeth"),
        "{error}"
    );
    let help = error["help"].as_str().unwrap();
    for way in ["ring_teeth", "drive_teeth", "knob_ratio", "knob_travel_deg"] {
        assert!(help.contains(way), "{way}: {help}");
    }
    // Measured, it needs no teeth.
    changed(
        folder.path(),
        "lenses.csv",
        "ring_teeth\n",
        "knob_travel_deg\n",
    );
    assert_eq!(markwright_in(folder.path(), &print).code, 0);
}

#[test]
fn what_cannot_be_made_of_a_whole_kit_is_skipped_with_the_reason() {
    let folder = tempfile::tempdir().unwrap();
    kit(folder.path());
    changed(
        folder.path(),
        "kit.toml",
        "wheel_diameter =",
        "# wheel_diameter =",
    );
    let answer = markwright_in(folder.path(), &PRINT).json();
    let skipped = answer["skipped"].as_array().unwrap();
    assert_eq!(skipped.len(), 7);
    assert_eq!(skipped[0]["what"], "strip");
    let message = skipped[0]["message"].as_str().unwrap();
    assert!(
        message.contains("of hand unit 1 there is no wheel_diameter"),
        "{message}"
    );
    assert_eq!(answer["files"].as_array().unwrap().len(), 1);
    // More turns than a disc has tracks for.
    changed(
        folder.path(),
        "kit.toml",
        "knob_ratio = 1.0",
        "knob_ratio = 9",
    );
    let print = [
        "print", "discs", "--kit", "kit", "--lens", "50", "--as", "json", "--out", "o",
    ];
    let refused = markwright_in(folder.path(), &print);
    assert_eq!(refused.code, 3);
    assert_eq!(refused.error()["kind"], "does_not_fit");
    assert!(!folder.path().join("o").exists());
}

#[test]
fn a_lens_by_hand_has_neither_knob_nor_wheel() {
    let folder = tempfile::tempdir().unwrap();
    for (what, wanted) in [("discs", "knob_travel_deg"), ("strips", "[[hand_unit]]")] {
        let args = [
            "print",
            what,
            "--focal",
            "50mm",
            "--stop",
            "f/2.8",
            "--circle",
            "0.025mm",
            "--close-focus",
            "2'",
            "--circumference",
            "250mm",
            "--travel-length",
            "200mm",
            "--sense",
            "clockwise",
            "--as",
            "json",
        ];
        let refused = markwright_in(folder.path(), &args);
        assert_eq!(refused.code, 2, "{}", refused.err);
        let error = refused.error();
        assert!(error["help"].as_str().unwrap().contains(wanted), "{error}");
    }
}
