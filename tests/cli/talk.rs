//! Data to standard output, talk to standard error, and what -q leaves.

use std::fs;

use serde_json::Value;

use crate::run::{markwright, markwright_in};

#[test]
fn print_and_new_talk_to_standard_error_alone() {
    let folder = tempfile::tempdir().unwrap();
    let new = markwright_in(folder.path(), &["new", "kit"]);
    assert_eq!((new.code, new.out.as_str()), (0, ""));
    assert!(new.err.contains("check --kit kit"), "{}", new.err);
    let print = ["print", "cards", "--kit", "kit", "--lens", "50"];
    let print = markwright_in(folder.path(), &print);
    assert_eq!((print.code, print.out.as_str()), (0, ""), "{}", print.err);
    assert!(print.err.contains("cards.pdf"), "{}", print.err);
}

#[test]
fn quiet_print_and_new_say_nothing() {
    let folder = tempfile::tempdir().unwrap();
    for args in [
        &["new", "kit", "-q"][..],
        &["print", "cards", "--kit", "kit", "--lens", "50", "-q"],
        &["print", "ruler", "--out", "r", "--quiet"],
    ] {
        let ran = markwright_in(folder.path(), args);
        assert_eq!(
            (ran.code, ran.out.as_str(), ran.err.as_str()),
            (0, "", ""),
            "{args:?}"
        );
    }
    assert!(folder.path().join("markwright-out/cards.pdf").exists());
}

#[test]
fn print_tells_programs_each_file_with_its_pages_and_codes() {
    let folder = tempfile::tempdir().unwrap();
    markwright_in(folder.path(), &["new", "."]);
    let args = ["print", "--lens", "40", "50", "--as", "json"];
    let ran = markwright_in(folder.path(), &args);
    assert_eq!(ran.err, "");
    let answer = ran.json();
    let codes = |what: &str| -> Vec<Value> {
        let sheets = answer["sheets"].as_array().unwrap().iter();
        let own = sheets.filter(|sheet| sheet["what"] == what);
        own.map(|sheet| sheet["code"].clone()).collect()
    };
    let written = answer["written"].as_array().unwrap();
    assert_eq!(written.len(), 2);
    for (file, (name, what)) in written
        .iter()
        .zip([("tapes.pdf", "tape"), ("cards.pdf", "card")])
    {
        assert!(file["file"].as_str().unwrap().ends_with(name));
        assert!(file["pages"].as_u64().unwrap() >= 1);
        assert_eq!(file["codes"].as_array().unwrap(), &codes(what));
        assert_eq!(codes(what).len(), 2);
    }
    let files: Vec<&Value> = written.iter().map(|file| &file["file"]).collect();
    let listed: Vec<&Value> = answer["files"].as_array().unwrap().iter().collect();
    assert_eq!(files, listed, "the older key stays");
}

#[test]
fn a_table_without_rows_shows_its_columns() {
    let depth = ["depth", "--focal", "50mm", "--stop", "f/2"];
    let field = ["field", "--focal", "50mm", "--format", "s35-3perf"];
    for question in [&depth[..], &field] {
        let csv = |more: &[&str]| {
            let ran = markwright(&[question, more, &["--as", "csv"]].concat());
            assert_eq!(ran.code, 0, "{}", ran.err);
            ran.out.lines().map(str::to_owned).collect::<Vec<_>>()
        };
        let (without, with) = (csv(&[]), csv(&["--at", "3m"]));
        assert_eq!(without.len(), 1, "{question:?}");
        assert_eq!(without[0], with[0], "{question:?}");
    }
    let folder = tempfile::tempdir().unwrap();
    let ruler = ["print", "ruler", "--as", "csv"];
    let ruler = markwright_in(folder.path(), &ruler);
    markwright_in(folder.path(), &["new", "."]);
    let cards = [
        "print", "cards", "--lens", "50", "--out", "c", "--as", "csv",
    ];
    let cards = markwright_in(folder.path(), &cards);
    assert_eq!(ruler.out.lines().next(), cards.out.lines().next());
    assert_eq!(ruler.out.lines().count(), 1);
    let new = markwright(&["new", "kit", "--as", "csv"]);
    assert_eq!(new.out.lines().next(), Some("file"));
}

#[test]
fn new_says_what_it_can_do_where_a_file_is_in_the_way() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("lenses.csv"), "my own").unwrap();
    let ran = markwright_in(folder.path(), &["new", ".", "--as", "json"]);
    let error = ran.error();
    assert_eq!(error["kind"], "exists");
    let help = error["help"].as_str().unwrap();
    assert!(!help.contains("--"), "new has no such option: {help}");
    assert!(help.contains("another folder"), "{help}");
    let own = fs::read_to_string(folder.path().join("lenses.csv")).unwrap();
    assert_eq!(own, "my own");
    assert!(!folder.path().join("kit.toml").exists());
}

#[test]
fn a_fraction_of_a_foot_is_answered_with_what_can_be_typed() {
    let ask = |at: &str| {
        markwright(&[
            "depth", "--focal", "50mm", "--stop", "f/2", "--at", at, "--as", "json",
        ])
    };
    let error = ask("6½'").error();
    assert_eq!(error["kind"], "ambiguous_feet");
    let help = error["help"].as_str().unwrap();
    assert_eq!(help, "write 6′6″ or 6½″ as you mean it");
    assert_eq!(ask("6′6″").code, 0);
    // 6½″ is nearer than 4 × 50 mm: understood, and no lens does it.
    assert_eq!(ask("6½″").error()["kind"], "inside_4f");
}
