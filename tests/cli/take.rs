//! `marks take`: lines in, rows saved one by one, and what goes wrong.

use std::fs;
use std::io::Write as _;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::Value;
use tempfile::TempDir;

use crate::run::{Ran, markwright_hears, markwright_in};

const KIT: &str = "\
title = \"bench\"
units = \"metres\"
[recording]
format = \"s35-3perf\"
[sharpness]
circle = \"0.025 mm\"
working_stop = \"f/2.8\"
";

const LENSES: &str = "\
id,focal_mm,f_number,close_focus,engraved,hiatus_mm,travel_deg,ring_circumference_mm,sense
50,50,2,0.6m,metres,0,300,250,clockwise
";

const FILE: &str = "marks/50.csv";

/// A kit with further files.
fn kit(files: &[(&str, &str)]) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    let base = [("kit.toml", KIT), ("lenses.csv", LENSES)];
    for (name, text) in base.iter().chain(files) {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    folder
}

fn take(folder: &TempDir, args: &[&str], input: &str) -> Ran {
    let args = [&["marks", "take", "50"], args].concat();
    markwright_hears(folder.path(), &args, input.as_bytes())
}

fn read(folder: &TempDir, name: &str) -> String {
    fs::read_to_string(folder.path().join(name)).unwrap()
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// Numbers of a strip where a 50 mm helicoid puts distances: 250 mm round, 300°
/// from infinity to 0.6 m (trade facts: m from u² − D u + f D = 0).
fn strip(mm: f64) -> String {
    let m = |mm: f64| 50.0 / ((mm + libm::sqrt(mm * (mm - 200.0))) / 2.0 - 50.0);
    format!("{:.2}", 20.0 + 250.0 * 300.0 / 360.0 * m(mm) / m(600.0))
}

#[test]
fn marks_are_taken_and_the_kit_prints_and_answers_from_them() {
    let folder = kit(&[]);
    let at: Vec<String> = [5000.0, 2000.0, 1000.0, 600.0].map(strip).into();
    let lines = format!(
        "inf 20\n5m {}\n2m {} {}\n1m {}\n0.6m {}\n",
        at[0], at[1], at[1], at[2], at[3]
    );
    let ran = take(&folder, &[], &lines);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(
        ran.err.contains("next: markwright print tapes"),
        "{}",
        ran.err
    );
    let text = read(&folder, FILE);
    let header = text
        .lines()
        .position(|line| line == "distance,position_mm,kind");
    assert_eq!(header, Some(2), "{text}");
    assert_eq!(text.lines().count(), 8);
    assert_eq!(
        ran.out.lines().count(),
        6,
        "data on standard output: {}",
        ran.out
    );
    let check = markwright_in(folder.path(), &["check"]);
    assert_eq!(check.code, 0, "{}", check.err);
    let ring = ["ring", "--lens", "50", "--at", "1m", "--as", "json"];
    let ring = markwright_in(folder.path(), &ring).json();
    let row = &ring["rows"][0];
    assert_eq!(row["standing"], "measured");
    // What was typed for 1 m, from the 20 mm of infinity.
    let arc = at[2].parse::<f64>().unwrap() - 20.0;
    assert!((row["ring_mm"].as_f64().unwrap() - arc).abs() < 1e-9);
    let tapes = markwright_in(folder.path(), &["print", "tapes", "--lens", "50"]);
    assert_eq!(tapes.code, 0, "{}", tapes.err);
}

#[test]
fn the_scale_is_taken_and_prep_judges_it() {
    let folder = kit(&[]);
    // A plane 0.05 mm too far, read without error: what the scale says is where
    // m is larger by δ/f (optics: x = f m − δ).
    let said = |mm: f64| {
        let m = 50.0 / ((mm + libm::sqrt(mm * (mm - 200.0))) / 2.0 - 50.0) - 0.05 / 50.0;
        format!("{:.1}mm", 50.0 * (2.0 + m + 1.0 / m))
    };
    let lines: String = [1000.0, 1500.0, 2000.0, 3000.0]
        .iter()
        .map(|&mm| format!("{mm}mm {} {}\n", said(mm), said(mm)))
        .collect();
    let ran = take(&folder, &["--scale", "--stop", "2"], &lines);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.err.contains("farther than the tape"), "{}", ran.err);
    assert!(ran.err.contains("next: markwright prep"), "{}", ran.err);
    let text = read(&folder, "prep.csv");
    assert!(
        text.contains("lens,stop,taped,reading\n50,2,1000mm,"),
        "{text}"
    );
    let prep = markwright_in(folder.path(), &["prep", "--as", "json"]).json();
    let lens = &prep["lenses"][0];
    assert!((lens["image_plane_error_mm"].as_f64().unwrap() - 0.05).abs() < 1e-3);
    assert_eq!(lens["points"][0]["settings"], 2);
}

#[test]
fn programs_get_one_object_and_the_lines_that_were_refused() {
    let folder = kit(&[]);
    let lines = "inf 20\n\n5m 28.5 28.7\n5 28\n2m 5\n2m 45\nundo\n";
    let ran = take(&folder, &["--as", "json"], lines);
    assert_eq!(ran.code, 2);
    let answer: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(answer["file"], FILE);
    assert_eq!(
        (&answer["unit"], &answer["undone"]),
        (&"mm".into(), &1.into())
    );
    let taken = answer["taken"].as_array().unwrap();
    assert_eq!(taken.len(), 2);
    assert_eq!(taken[0]["distance_mm"], "infinity");
    assert_eq!(taken[1]["distance_mm"], 5000.0);
    assert_eq!(taken[1]["readings"], serde_json::json!([28.5, 28.7]));
    assert!((taken[1]["mean"].as_f64().unwrap() - 28.6).abs() < 1e-12);
    assert!((taken[1]["spread"].as_f64().unwrap() - 0.2).abs() < 1e-12);
    // 0.2 mm of 250 mm round are 0.288°.
    assert!((taken[1]["spread_deg"].as_f64().unwrap() - 0.288).abs() < 1e-9);
    assert_eq!(
        (&taken[1]["line"], &taken[1]["file_line"]),
        (&3.into(), &5.into())
    );
    let refused = answer["refused"].as_array().unwrap();
    let kinds: Vec<(&Value, &Value)> = refused
        .iter()
        .map(|one| (&one["line"], &one["faults"][0]["kind"]))
        .collect();
    assert_eq!(
        kinds,
        [
            (&4.into(), &"bare_number".into()),
            (&5.into(), &"out_of_order".into())
        ]
    );
    assert!(answer["assumptions"].is_array());
    let error: Value = serde_json::from_str(&ran.err).unwrap();
    assert_eq!(error["error"]["kind"], "usage");
    let message = error["error"]["message"].as_str().unwrap();
    assert!(message.contains("4, 5"), "{message}");
}

#[test]
fn a_bad_line_does_not_stop_the_others_and_is_named_at_the_end() {
    let folder = kit(&[(
        FILE,
        "distance,position_mm,kind\ninf,20,eye\n0.6m,228,eye\n",
    )]);
    let ran = take(&folder, &["-q"], "2m fifty\n5m 29\ndone\n1m 99\n");
    assert_eq!(ran.code, 2);
    assert!(
        ran.err.contains("line 1 of the input was refused"),
        "{}",
        ran.err
    );
    assert!(!ran.err.contains("saved"), "-q: {}", ran.err);
    let text = read(&folder, FILE);
    assert!(text.ends_with("\n5m,29,eye\n"), "done ends it: {text}");
    let csv = take(&folder, &["--as", "csv"], "2m 50\n");
    assert_eq!(csv.code, 0, "{}", csv.err);
    assert_eq!(csv.out.lines().count(), 2);
    let none = take(&folder, &["--as", "csv"], "");
    assert_eq!(none.code, 0, "{}", none.err);
    assert_eq!(none.out.lines().next(), csv.out.lines().next());
}

#[test]
fn a_table_of_a_spreadsheet_stays_one() {
    let before =
        "\u{feff}# am Tisch\r\nkind;distance;position_mm;\r\neye;inf;20,0;\r\neye;0,6m;228,5;";
    let folder = kit(&[(FILE, before)]);
    let ran = take(&folder, &[], "2,5m 40,2 40,4\n");
    assert_eq!(ran.code, 0, "{}", ran.err);
    let added = "\r\neye;2,5m;40,2 40,4;\r\n";
    assert_eq!(read(&folder, FILE), format!("{before}{added}"));
    assert_eq!(markwright_in(folder.path(), &["check"]).code, 0);
}

#[test]
fn one_mark_is_kept_and_told_to_be_too_few() {
    let folder = kit(&[]);
    let ran = take(&folder, &[], "2m 50\n");
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("too_few"), "{}", ran.err);
    let ran = take(&folder, &[], "5m 29\n");
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(read(&folder, FILE).ends_with("\n2m,50,eye\n5m,29,eye\n"));
    // What was begun and taken back leaves nothing behind.
    fs::remove_file(folder.path().join(FILE)).unwrap();
    let ran = take(&folder, &[], "2m 50\nundo\n");
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(names(&folder.path().join("marks")).is_empty());
}

#[test]
fn what_cannot_begin_says_so() {
    let folder = kit(&[]);
    let error = |args: &[&str]| {
        let ran = markwright_hears(folder.path(), &[args, &["--as", "json"]].concat(), b"");
        ran.error()
    };
    let unknown = error(&["marks", "take", "5O"]);
    assert_eq!(unknown["kind"], "unknown_id");
    assert!(unknown["help"].as_str().unwrap().contains("50"));
    assert_eq!(
        error(&["marks", "take", "50", "--camera", "B"])["kind"],
        "unknown_id"
    );
    assert_eq!(
        error(&["marks", "take", "50", "--stop", "2"])["kind"],
        "usage"
    );
    assert_eq!(
        error(&["marks", "take", "50", "--scale", "--in", "mm"])["kind"],
        "usage"
    );
    assert_eq!(
        error(&["marks", "take", "50", "--kit", "none"])["kind"],
        "missing"
    );
    assert_eq!(error(&["marks"])["kind"], "usage");
    let nowhere = tempfile::tempdir().unwrap();
    let ran = markwright_in(nowhere.path(), &["marks", "take", "50"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("--kit"), "{}", ran.err);
    let help = markwright_in(nowhere.path(), &["marks", "take", "--help"]);
    assert_eq!(help.code, 0);
    assert!(help.out.contains("Exit codes") && help.out.contains("--scale"));
}

/// A session that stays open.
fn begin(folder: &TempDir) -> Child {
    Command::new(env!("CARGO_BIN_EXE_markwright"))
        .args(["marks", "take", "50"])
        .current_dir(folder.path())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

fn say(child: &mut Child, line: &str) {
    let input = child.stdin.as_mut().unwrap();
    input.write_all(line.as_bytes()).unwrap();
    input.flush().unwrap();
}

/// Waits until the file ends so.
fn wait_for(folder: &TempDir, end: &str) {
    let begun = Instant::now();
    while !fs::read_to_string(folder.path().join(FILE)).is_ok_and(|text| text.ends_with(end)) {
        assert!(begun.elapsed() < Duration::from_secs(60), "never saved");
        std::thread::sleep(Duration::from_millis(20));
    }
}

#[test]
fn what_somebody_else_wrote_meanwhile_is_left_alone() {
    let folder = kit(&[]);
    let mut child = begin(&folder);
    say(&mut child, "inf 20\n");
    wait_for(&folder, "\ninf,20,eye\n");
    let theirs = "distance,position_mm,kind\ninf,21,eye\n3m,40,eye\n";
    fs::write(folder.path().join(FILE), theirs).unwrap();
    say(&mut child, "2m 50\n5m 29\n");
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(1));
    let talk = String::from_utf8(output.stderr).unwrap();
    assert!(talk.contains("changed by somebody else"), "{talk}");
    assert_eq!(read(&folder, FILE), theirs);
    assert_eq!(
        names(&folder.path().join("marks")),
        ["50.csv"],
        "nothing is left over"
    );
}

#[test]
fn a_session_that_is_killed_leaves_a_whole_file() {
    let folder = kit(&[]);
    let mut child = begin(&folder);
    say(&mut child, "inf 20\n2m 50\n5m 2");
    wait_for(&folder, "\n2m,50,eye\n");
    child.kill().unwrap();
    child.wait().unwrap();
    assert!(read(&folder, FILE).ends_with("\ninf,20,eye\n2m,50,eye\n"));
    assert_eq!(markwright_in(folder.path(), &["check"]).code, 0);
}

#[cfg(unix)]
#[test]
fn links_folders_and_files_that_may_not_be_written_are_the_machines_faults() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let rows = "distance,position_mm,kind\ninf,20,eye\n0.6m,228,eye\n";
    let folder = kit(&[("elsewhere.csv", rows)]);
    let path = folder.path().join(FILE);
    fs::create_dir(folder.path().join("marks")).unwrap();
    symlink(folder.path().join("elsewhere.csv"), &path).unwrap();
    let refused = |words: &str| {
        let ran = take(&folder, &[], "2m 50\n");
        assert_eq!((ran.code, ran.out.as_str()), (1, ""), "{}", ran.err);
        assert!(ran.err.contains(words), "{}", ran.err);
    };
    refused("is a link");
    assert_eq!(read(&folder, "elsewhere.csv"), rows);
    fs::remove_file(&path).unwrap();
    fs::write(&path, rows).unwrap();
    fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).unwrap();
    refused("read-only");
    // What it may be read by stays as it was.
    fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    assert_eq!(take(&folder, &[], "2m 50\n").code, 0);
    let mode = fs::metadata(&path).unwrap().permissions().mode();
    assert_eq!(mode & 0o777, 0o640);
}

#[test]
fn input_that_is_no_text_or_endless_is_no_panic() {
    let folder = kit(&[]);
    let args = ["marks", "take", "50"];
    let ran = markwright_hears(folder.path(), &args, b"\xff\xfe 41\n\0\0\n2m 50\n5m 29");
    assert_eq!(ran.code, 2, "{}", ran.err);
    assert!(read(&folder, FILE).ends_with("\n2m,50,eye\n5m,29,eye\n"));
    let ran = markwright_hears(folder.path(), &args, &vec![b'7'; 100_000]);
    assert_eq!(ran.code, 2, "{}", ran.err);
    assert!(ran.err.contains("too_large"), "{}", ran.err);
}

#[test]
fn each_line_is_said_back_as_it_was_understood() {
    let folder = kit(&[(
        FILE,
        "distance,position_mm,kind\ninf,20,eye\n2m,62,eye\n0.6m,228,eye\n",
    )]);
    let lines = "1m 119 119.2 119.1\n5m 35 37\nundo\nundo\nundo\nlist\nhelp\n1m 119.4\n";
    let ran = take(&folder, &[], lines);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let said: Vec<&str> = ran.err.lines().collect();
    // 250 mm are 360°: 0.2 mm is 0.3°, 2 mm is 2.9°.
    for words in [
        "saved  1 m: 119.1 mm, the mean of 3 (0.2 mm = 0.3° apart, as usual); the marks found by eye so far put it at",
        "saved  5 m: 36 mm, the mean of 2 (2 mm = 2.9° apart, more than the usual 0.8°: set it again)",
        "taken back  5 m: 36 mm",
        "taken back  1 m: 119.1 mm",
        "nothing of this session is left to take back",
        "nothing was taken yet",
        "undo takes the last line back",
        "1 taken into marks/50.csv, 2 taken back, 0 refused; next: markwright print tapes",
    ] {
        let there = said.iter().filter(|line| line.starts_with(words));
        assert_eq!(there.count(), 1, "{words}: {}", ran.err);
    }
    assert!(
        !ran.err.contains("laser"),
        "care is for people at a terminal"
    );
    assert!(ran.out.contains("119.4 mm") && !ran.out.contains("saved"));
}

#[test]
fn a_stop_and_a_camera_nobody_chose_are_said_aloud() {
    let two = KIT.replace(
        "[recording]",
        "[camera.B]\nformat = \"s35-3perf\"\n[camera.A]",
    );
    let folder = kit(&[]);
    fs::write(folder.path().join("kit.toml"), two).unwrap();
    let ran = take(&folder, &["--scale", "--as", "json"], "2m 2.02\n");
    let answer = ran.json();
    let kinds: Vec<&str> = answer["assumptions"]
        .as_array()
        .unwrap()
        .iter()
        .map(|note| note["kind"].as_str().unwrap())
        .collect();
    assert_eq!(kinds, ["camera_assumed", "widest_assumed"]);
    let text = read(&folder, "prep.csv");
    assert!(
        text.ends_with("lens,stop,taped,reading,camera\n50,f/2,2m,2.02,B\n"),
        "{text}"
    );
    let on_a = ["--scale", "--stop", "f/2.8", "--camera", "A"];
    let ran = take(&folder, &on_a, "2m 2.01\n");
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(!ran.out.contains("assumed"), "{}", ran.out);
    assert!(read(&folder, "prep.csv").ends_with("\n50,f/2.8,2m,2.01,A\n"));
}
