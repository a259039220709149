//! Reads the committed tables.

use std::collections::HashMap;
use std::path::Path;

/// One row: column name to text.
pub struct Row(HashMap<String, String>);

impl Row {
    pub fn text(&self, column: &str) -> &str {
        self.0
            .get(column)
            .unwrap_or_else(|| panic!("no column {column}"))
    }

    /// A figure; `infinity` is infinite.
    pub fn figure(&self, column: &str) -> f64 {
        match self.text(column) {
            "infinity" => f64::INFINITY,
            text => text.parse().unwrap_or_else(|_| panic!("{column}: {text}")),
        }
    }
}

pub fn rows(file: &str) -> Vec<Row> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/oracle")
        .join(file);
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(&path)
        .unwrap();
    let header = reader.headers().unwrap().clone();
    let rows: Vec<Row> = reader
        .records()
        .map(|record| {
            let record = record.unwrap();
            Row(header
                .iter()
                .map(str::to_owned)
                .zip(record.iter().map(str::to_owned))
                .collect())
        })
        .collect();
    assert!(rows.len() > 50, "{file} has only {} rows", rows.len());
    rows
}

/// Fails unless `ours` is `theirs` to the relative tolerance; infinities must
/// be the same.
pub fn same(ours: f64, theirs: f64, relative: f64, what: &str, row: &Row) {
    let close = if theirs.is_infinite() {
        ours == theirs
    } else {
        (ours - theirs).abs() <= relative * theirs.abs().max(1e-300)
    };
    assert!(close, "{what}: {ours} against {theirs} in {:?}", row.0);
}
