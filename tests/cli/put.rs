//! `lens add` and `import` as a program calls them: what is written and said,
//! exit codes, and that a fault leaves every file as it was.

use std::fs;
use std::path::Path;

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
40,40,2,0.5m,metres,0,300,250,clockwise
";

fn kit() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("kit.toml"), KIT).unwrap();
    fs::write(folder.path().join("lenses.csv"), LENSES).unwrap();
    folder
}

fn run(folder: &TempDir, args: &[&str]) -> Ran {
    markwright_in(folder.path(), args)
}

fn read(folder: &TempDir, name: &str) -> String {
    fs::read_to_string(folder.path().join(name)).unwrap()
}

/// Every file of a folder with its content.
fn all(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files.push((path.display().to_string(), Vec::new()));
            files.extend(all(&path));
        } else {
            files.push((path.display().to_string(), fs::read(&path).unwrap()));
        }
    }
    files.sort();
    files
}

const ADD: [&str; 19] = [
    "lens",
    "add",
    "50",
    "--focal",
    "50mm",
    "--f-number",
    "2",
    "--close-focus",
    "0.6m",
    "--engraved",
    "metres",
    "--hiatus",
    "0mm",
    "--travel-deg",
    "300",
    "--circumference",
    "250mm",
    "--sense",
    "clockwise",
];

/// The strip's number where a 50 mm helicoid puts a distance: 250 mm round, 300°
/// from infinity to 0.6 m (m from u² − D u + f D = 0).
fn strip(mm: f64) -> f64 {
    let m = |mm: f64| 50.0 / ((mm + libm::sqrt(mm * (mm - 200.0))) / 2.0 - 50.0);
    20.0 + 250.0 * 300.0 / 360.0 * m(mm) / m(600.0)
}

#[test]
fn from_a_lens_and_a_spreadsheet_to_a_tape() {
    let folder = kit();
    let added = run(&folder, &ADD);
    assert_eq!(added.code, 0, "{}", added.err);
    for said in [
        "lens 50 stands on line 3 of lenses.csv",
        "next: markwright import --lens 50",
    ] {
        assert!(added.err.contains(said), "{}", added.err);
    }
    assert!(added.out.contains("goes clockwise"), "{}", added.out);
    assert!(read(&folder, "lenses.csv").starts_with(LENSES));
    assert!(read(&folder, "marks/50.csv").contains("\n0.7m,,engraved\n"));

    let scale = "0.6 0.7 0.8 1 1.2 1.5 2 3 5 10 inf";
    let pasted = run(&folder, &["import", "--lens", "50", "--line", scale]);
    assert_eq!(pasted.code, 0, "{}", pasted.err);
    assert!(
        pasted.err.contains("11 distances that wait"),
        "{}",
        pasted.err
    );

    let mut sheet = "Abstand;Ring\r\n".to_owned();
    for mm in [600.0, 1000.0, 2000.0, 5000.0] {
        let at = format!("{:.2}", strip(mm)).replace('.', ",");
        sheet.push_str(&format!("{mm} mm;{at}\r\n"));
    }
    sheet.push_str("inf;20,00\r\n");
    fs::write(folder.path().join("r.csv"), &sheet).unwrap();
    let before = read(&folder, "marks/50.csv");
    let args = [
        "import",
        "r.csv",
        "--lens",
        "50",
        "--distance",
        "Abstand",
        "--position",
        "Ring",
        "--unit",
        "mm",
        "--kind",
        "eye",
        "--append",
    ];
    let imported = run(&folder, &args);
    assert_eq!(imported.code, 0, "{}", imported.err);
    for said in [
        "decimal commas",
        "5 marks put at its end",
        "positions grow from infinity to close focus",
        "next: markwright print tapes",
    ] {
        assert!(imported.err.contains(said), "{said}: {}", imported.err);
    }
    assert_eq!(imported.out.lines().count(), 6, "{}", imported.out);
    assert!(read(&folder, "marks/50.csv").starts_with(&before));

    let ring = ["ring", "--lens", "50", "--at", "1m", "--as", "json"];
    let row = run(&folder, &ring).json()["rows"][0].clone();
    assert_eq!(row["standing"], "measured");
    let arc = strip(1000.0) - 20.0;
    assert!((row["ring_mm"].as_f64().unwrap() - arc).abs() < 0.005 + 1e-9);
    let tapes = run(&folder, &["print", "tapes", "--lens", "50"]);
    assert_eq!(tapes.code, 0, "{}", tapes.err);
    assert_eq!(run(&folder, &["check"]).code, 0);
}

#[test]
fn programs_are_answered_in_json_and_spreadsheets_in_rows() {
    let folder = kit();
    let added = run(&folder, &[&ADD[..], &["--as", "json"]].concat());
    assert_eq!(added.err, "");
    let added = added.json();
    assert_eq!(added["line"], 3);
    assert_eq!(added["marks_file"], "marks/50.csv");
    assert_eq!(added["marks_written"], true);
    assert_eq!(added["asked_mm"][0], "infinity");
    assert_eq!(added["assumptions"].as_array().unwrap().len(), 0);
    let table = b"distance,position_deg,kind\ninf,0,eye\n1m,150,eye\n0.6m,,eye\n";
    let args = ["import", "-", "--lens", "50", "--as", "json"];
    let imported = markwright_hears(folder.path(), &args, table);
    assert_eq!(imported.err, "");
    let imported = imported.json();
    assert_eq!(imported["how"], "form", "nobody wrote into the form");
    assert_eq!(imported["unit"], "deg");
    assert_eq!(imported["from"], "-");
    assert_eq!(imported["columns"]["separator"], ",");
    assert_eq!(imported["columns"]["header_line"], 1);
    assert_eq!(imported["rows"][0]["distance_mm"], "infinity");
    assert_eq!(imported["rows"][1]["distance_mm"], 1000.0);
    assert_eq!(imported["rows"][1]["positions"][0], 150.0);
    assert_eq!(imported["rows"][2]["line"], 4);
    assert_eq!(imported["grow_toward_close_focus"], true);
    let about: Vec<_> = imported["understood"].as_array().unwrap().iter().collect();
    assert!(about.iter().any(|said| said["about"] == "sense"));
    let args = [
        "import",
        "-",
        "--lens",
        "50",
        "--replace",
        "--as",
        "csv",
        "-q",
    ];
    let rows = markwright_hears(folder.path(), &args, table);
    assert_eq!((rows.code, rows.err.as_str()), (0, ""));
    assert_eq!(
        rows.out.lines().next(),
        Some("line,distance_mm,positions,kind,camera,sd_deg,written")
    );
    assert_eq!(rows.out.lines().nth(2), Some("3,1000.0,150,eye,,,1m"));
    assert!(folder.path().join("marks/50.csv.1").exists());
}

#[test]
fn a_fault_leaves_every_file_as_it_was() {
    let folder = kit();
    fs::create_dir(folder.path().join("marks")).unwrap();
    let marks = "distance,position_mm,kind\ninf,20,eye\n1m,80,eye\n";
    fs::write(folder.path().join("marks/40.csv"), marks).unwrap();
    let good = "d,p\n2m,60\n1m,80\n";
    fs::write(folder.path().join("good.csv"), good).unwrap();
    fs::write(folder.path().join("bad.csv"), "d,p\n8-Jun,10\n1m,=A1\n").unwrap();
    fs::write(folder.path().join("not.csv"), b"d,p\n\xff,1\n").unwrap();
    let before = all(folder.path());
    let columns = ["--distance", "d", "--position", "p", "--unit", "mm"];
    let import = |file: &'static str, more: &[&'static str]| {
        [&["import", file, "--lens", "40"], &columns[..], more].concat()
    };
    let twice = [&["lens", "add", "40"], &ADD[3..]].concat();
    let no_column = [&ADD[..], &["--mount", "x"]].concat();
    for (args, kinds) in [
        (twice, &["duplicate"][..]),
        (no_column, &["missing"]),
        (
            vec!["lens", "add", "x", "--focal", "35"],
            &["bare_number", "missing", "missing"],
        ),
        (import("good.csv", &[]), &["exists"]),
        (
            import("bad.csv", &["--replace"]),
            &["spreadsheet_date", "usage"],
        ),
        (import("not.csv", &["--replace"]), &["not_text"]),
        (import("none.csv", &[]), &["missing"]),
        (import("marks", &[]), &["missing"]),
        (
            import("good.csv", &["--append", "--kind", "eye"]),
            &["duplicate"],
        ),
        (import("good.csv", &["--append", "--replace"]), &["usage"]),
        (vec!["import", "--lens", "40"], &["usage"]),
        (
            vec!["import", "good.csv", "--lens", "41", "--line", "1 2"],
            &["usage"],
        ),
        (vec!["import", "good.csv", "--lens", "99"], &["unknown_id"]),
        (
            vec!["import", "good.csv", "--lens", "40", "--replace"],
            &["missing", "missing"],
        ),
        (
            vec!["import", "--lens", "40", "--replace", "--line", "3 1 2"],
            &["out_of_order"],
        ),
    ] {
        let args = [&args[..], &["--as", "json"]].concat();
        let ran = run(&folder, &args);
        let value: serde_json::Value = serde_json::from_str(&ran.err).unwrap();
        let errors = match &value["errors"] {
            serde_json::Value::Array(errors) => errors.clone(),
            _ => vec![value["error"].clone()],
        };
        let told: Vec<&str> = errors.iter().map(|e| e["kind"].as_str().unwrap()).collect();
        assert_eq!(told, kinds, "{args:?}: {}", ran.err);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{args:?}");
        assert_eq!(all(folder.path()), before, "{args:?}");
    }
}

#[test]
fn a_bad_row_says_file_line_column_and_what_would_be_right() {
    let folder = kit();
    let table = "Abstand;Ring\n8-Jun;10\n1m;=A1\n";
    let args = [
        "import",
        "-",
        "--lens",
        "40",
        "--distance",
        "Abstand",
        "--position",
        "2",
        "--unit",
        "mm",
    ];
    let ran = markwright_hears(folder.path(), &args, table.as_bytes());
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    for said in [
        "-:2:1: Abstand: \"8-Jun\": a spreadsheet has turned this into a date",
        "format the column as text",
        "-:3:4: Ring: \"=A1\" is a formula, and its value is wanted",
        "save the table with values",
    ] {
        assert!(ran.err.contains(said), "{said}: {}", ran.err);
    }
    assert!(!folder.path().join("marks").exists());
}

#[test]
fn without_a_kit_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    for args in [&["lens", "add", "50"][..], &["import", "-", "--lens", "50"]] {
        let ran = markwright_in(folder.path(), &[args, &["--as", "json"]].concat());
        assert_eq!(ran.error()["kind"], "missing");
    }
    assert_eq!(all(folder.path()), []);
}

#[cfg(unix)]
#[test]
fn what_cannot_be_written_is_the_machines_fault_and_half_is_taken_back() {
    let folder = kit();
    // A file where the folder of marks should be made.
    fs::write(folder.path().join("marks"), "in the way").unwrap();
    let before = all(folder.path());
    let ran = run(&folder, &ADD);
    assert_eq!((ran.code, ran.out.as_str()), (1, ""), "{}", ran.err);
    assert_eq!(all(folder.path()), before);
    // A link to nowhere is met only when the second of the two files is written:
    // the first must become what it was.
    fs::remove_file(folder.path().join("marks")).unwrap();
    std::os::unix::fs::symlink("nowhere", folder.path().join("marks")).unwrap();
    let ran = run(&folder, &ADD);
    assert_eq!((ran.code, ran.out.as_str()), (1, ""), "{}", ran.err);
    assert_eq!(read(&folder, "lenses.csv"), LENSES);
}

#[test]
fn help_shows_examples_and_exit_codes() {
    for args in [&["lens", "add", "--help"][..], &["import", "--help"]] {
        let help = crate::run::markwright(args);
        assert_eq!(help.code, 0);
        assert!(help.out.contains("markwright "), "{}", help.out);
        assert!(help.out.contains("Exit codes:"), "{}", help.out);
    }
}
