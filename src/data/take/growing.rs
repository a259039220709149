//! A table that grows at its end, line by line, every byte of what was there
//! kept.

use crate::data::fault::{Fault, Kind, Place};
use crate::data::keys::most;
use crate::data::{table, text};

/// A table and the rows added to it, in its own manner: its columns, what stands
/// between them, its decimal commas and its line ends.
#[derive(Clone, Debug)]
pub struct Growing {
    bytes: Vec<u8>,
    columns: Vec<String>,
    header_line: usize,
    separator: char,
    line_end: &'static str,
    /// How long it was before each row that was added.
    before: Vec<usize>,
}

impl Growing {
    /// A table that is there; `None` where it has no header that can be read.
    ///
    /// # Errors
    /// A [`Fault`]: too large, or no text in UTF-8.
    pub fn open(file: &str, bytes: Vec<u8>) -> Result<Option<Self>, Fault> {
        let text = text::text(file, bytes.clone())?;
        Ok(table::head(&text).map(|head| Self {
            line_end: line_end(&bytes),
            columns: head.columns,
            header_line: head.line,
            separator: char::from(head.separator),
            before: Vec::new(),
            bytes,
        }))
    }

    /// A new table: remark lines, each beginning with `#`, and the columns' names.
    #[must_use]
    pub fn begin(remarks: &[&str], columns: &[&str]) -> Self {
        let mut text = String::new();
        for remark in remarks {
            text.push_str(format!("# {remark}").trim_end());
            text.push('\n');
        }
        text.push_str(&columns.join(","));
        text.push('\n');
        Self {
            bytes: text.into_bytes(),
            columns: columns.iter().map(|&name| name.to_owned()).collect(),
            header_line: remarks.len() + 1,
            separator: ',',
            line_end: "\n",
            before: Vec::new(),
        }
    }

    /// Its columns' names, as they stand.
    #[must_use]
    pub fn columns(&self) -> &[String] {
        &self.columns
    }

    /// Whether it has a column.
    #[must_use]
    pub fn has(&self, column: &str) -> bool {
        self.columns.iter().any(|name| name == column)
    }

    /// The line its header stands on.
    #[must_use]
    pub const fn header_line(&self) -> usize {
        self.header_line
    }

    /// What stands between its cells.
    #[must_use]
    pub const fn separator(&self) -> char {
        self.separator
    }

    /// Whether decimals have a comma in it.
    #[must_use]
    pub const fn has_decimal_commas(&self) -> bool {
        self.separator != ','
    }

    /// Its bytes, with every row added.
    #[must_use]
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// How many rows were added and not taken back.
    #[must_use]
    pub fn added(&self) -> usize {
        self.before.len()
    }

    /// The line its last row stands on.
    #[must_use]
    pub fn last_line(&self) -> usize {
        let text = String::from_utf8_lossy(&self.bytes);
        let text = text.replace("\r\n", "\n").replace('\r', "\n");
        text.trim_end_matches('\n').matches('\n').count() + 1
    }

    /// Adds a row: cells by the names of their columns, all others empty. Figures
    /// are given with decimal points and get the table's decimal commas; names
    /// stay as they are.
    ///
    /// Whether it is still small enough to be read; a row too many is not added.
    pub fn add(&mut self, cells: &[(&str, Cell)]) -> bool {
        let row = self.columns.iter().map(|column| {
            let cell = cells.iter().find(|(name, _)| name == column);
            cell.map_or_else(String::new, |(_, cell)| self.written(cell))
        });
        let row: Vec<String> = row.collect();
        let row = row.join(&self.separator.to_string());
        let ends = self.bytes.ends_with(b"\n") || self.bytes.ends_with(b"\r");
        let gap = if ends { "" } else { self.line_end };
        let added = [gap, &row, self.line_end].concat();
        if self.bytes.len() + added.len() > most::BYTES {
            return false;
        }
        self.before.push(self.bytes.len());
        self.bytes.extend(added.into_bytes());
        true
    }

    /// Takes the last row that was added back; whether there was one.
    pub fn take_back(&mut self) -> bool {
        let before = self.before.pop();
        if let Some(length) = before {
            self.bytes.truncate(length);
        }
        before.is_some()
    }

    /// The refusal of a row that needs a column the table has not: rows that are
    /// there are the user's to change.
    #[must_use]
    pub fn lacks(&self, file: &str, column: &str, why: &str) -> Fault {
        let line = self.header_line;
        let separator = match self.separator {
            '\t' => "a tab".to_owned(),
            sign => format!("\"{sign}\""),
        };
        Fault::new(
            Kind::Missing,
            format!("the column {column} is missing: {why}"),
        )
        .at(Place {
            line: Some(line),
            key: Some(column.to_owned()),
            ..Place::in_file(file)
        })
        .with_help(format!(
            "write {separator} and {column} at the end of line {line}, and {separator} at the \
             end of every row under it"
        ))
    }

    fn written(&self, cell: &Cell) -> String {
        let text = match cell {
            Cell::Name(name) => name.clone(),
            Cell::Figure(figure) if self.has_decimal_commas() => with_commas(figure),
            Cell::Figure(figure) => figure.clone(),
        };
        let bare = text.trim() == text && !text.starts_with('"') && !text.contains(self.separator);
        if bare { text } else { quoted(&text) }
    }
}

/// What stands in a cell of a row to be added.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cell {
    /// A name or a word.
    Name(String),
    /// Figures, with decimal points.
    Figure(String),
}

fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('"', "\"\""))
}

/// Decimal points, which stand between figures, as commas.
fn with_commas(text: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let is_figure = |at: Option<usize>| {
        at.and_then(|at| letters.get(at))
            .is_some_and(char::is_ascii_digit)
    };
    let change = |(at, &letter): (usize, &char)| {
        let decimal = letter == '.' && is_figure(at.checked_sub(1)) && is_figure(Some(at + 1));
        if decimal { ',' } else { letter }
    };
    letters.iter().enumerate().map(change).collect()
}

/// How the lines of a file end: as the first one does.
fn line_end(bytes: &[u8]) -> &'static str {
    let at = bytes
        .iter()
        .position(|&byte| byte == b'\n' || byte == b'\r');
    match at.map(|at| (bytes[at], bytes.get(at + 1))) {
        Some((b'\r', Some(b'\n'))) => "\r\n",
        Some((b'\r', _)) => "\r",
        _ => "\n",
    }
}
