//! Reads the committed tables.

use std::collections::HashMap;
use std::path::Path;

/// One row: column name to text.
#[derive(Debug)]
pub struct Row(HashMap<String, String>);

impl Row {
    /// A row from `key=value;key=value`.
    pub fn of_pairs(text: &str) -> Self {
        let pair = |part: &str| {
            let (key, value) = part
                .split_once('=')
                .unwrap_or_else(|| panic!("no pair: {part}"));
            (key.to_owned(), value.to_owned())
        };
        Self(text.split(';').map(pair).collect())
    }

    pub fn has(&self, column: &str) -> bool {
        self.0.contains_key(column)
    }

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

    /// A figure, or what stands for one that is not given.
    pub fn figure_or(&self, column: &str, other: f64) -> f64 {
        if self.has(column) {
            self.figure(column)
        } else {
            other
        }
    }

    /// The same row with some of its figures replaced.
    pub fn with(&self, changes: &[(&str, &str)]) -> Self {
        let mut all = self.0.clone();
        for (key, value) in changes {
            all.insert((*key).to_owned(), (*value).to_owned());
        }
        Self(all)
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
    assert!(rows.len() > 10, "{file} has only {} rows", rows.len());
    rows
}

/// Fails unless `ours` is `theirs` to the relative tolerance; infinities must
/// be the same.
pub fn same(ours: f64, theirs: f64, relative: f64, what: &str, row: &Row) {
    within(ours, theirs, relative * theirs.abs(), what, row);
}

/// Fails unless `ours` is `theirs` to the absolute tolerance; infinities must
/// be the same.
pub fn within(ours: f64, theirs: f64, tolerance: f64, what: &str, row: &Row) {
    let close = if theirs.is_infinite() {
        ours == theirs
    } else {
        (ours - theirs).abs() <= tolerance
    };
    assert!(
        close,
        "{what}: {ours} against {theirs} (off by {:e}, allowed {tolerance:e}) in {:?}",
        ours - theirs,
        row.0
    );
}
