//! `sensors/formats.csv`: every row loads and says where it comes from.

use std::collections::BTreeSet;

use markwright::data::formats;
use markwright::gear::circle_rule;

const FILE: &str = include_str!("../../sensors/formats.csv");

fn rows() -> Vec<csv::StringRecord> {
    let mut reader = csv::Reader::from_reader(FILE.as_bytes());
    reader
        .records()
        .map(|row| row.expect("a row of formats.csv reads"))
        .collect()
}

#[test]
fn every_row_of_the_formats_loads() {
    let formats = formats::all();
    assert_eq!(formats.len(), rows().len());
    for (format, row) in formats.iter().zip(rows()) {
        assert_eq!(format.id, row[0]);
        assert!(format.frame().is_some(), "{} gives no frame", format.id);
        let frame = formats::frame(&format.id).expect("a format is found by its id");
        assert_eq!(
            frame.gate.width().to_mm().to_string(),
            row[2],
            "{}",
            format.id
        );
        assert_eq!(
            frame.gate.height().to_mm().to_string(),
            row[3],
            "{}",
            format.id
        );
    }
}

#[test]
fn format_ids_are_unique_and_can_be_typed() {
    let ids: Vec<String> = formats::all()
        .iter()
        .map(|format| format.id.clone())
        .collect();
    let set: BTreeSet<&String> = ids.iter().collect();
    assert_eq!(set.len(), ids.len());
    let small = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-' || c == '.';
    for id in &ids {
        assert!(id.chars().all(small), "{id}");
    }
}

#[test]
fn every_format_names_its_source_and_says_whether_it_was_read() {
    for row in rows() {
        assert!(!row[1].trim().is_empty(), "{} has no name", &row[0]);
        assert!(!row[7].trim().is_empty(), "{} has no source", &row[0]);
        assert!(
            !row[7].contains(".md"),
            "{}: a source is no file of ours",
            &row[0]
        );
        assert!(
            ["yes", "memory"].contains(&&row[8]),
            "{}: {}",
            &row[0],
            &row[8]
        );
        assert!(
            ["film", "still", "digital"].contains(&&row[5]),
            "{}: {}",
            &row[0],
            &row[5]
        );
        assert!(
            ["camera", "projected"].contains(&&row[6]),
            "{}: {}",
            &row[0],
            &row[6]
        );
    }
}

#[test]
fn every_format_has_a_circle_that_reads_and_is_one_on_its_gate() {
    for (format, row) in formats::all().iter().zip(rows()) {
        let rule = circle_rule(&row[9]).unwrap_or_else(|why| panic!("{}: {why}", &row[0]));
        let frame = format.frame().expect("a format is a frame");
        rule.circle(frame.gate, frame.picture(None, &mut ()), &mut ())
            .unwrap_or_else(|why| panic!("{}: {why}", &row[0]));
        assert!(
            !row[10].trim().is_empty(),
            "{} has a circle without a source",
            &row[0]
        );
    }
}
