//! Tables of a kit, as editors and spreadsheets write them.
//!
//! Accepted as they come: byte-order mark, any line end, `#` comment lines,
//! blank lines, quoted cells, rows padded with empty cells, and `;` or tab
//! between cells where the header shows them (then with decimal commas).
//! Refused with a place: what a spreadsheet or editor has damaged.

use super::fault::{Fault, Kind, Place, shortened};
use super::faults::Faults;
use super::fields::{Fields, Told, clean, unknown};
use super::keys::{Key, Section, most};

/// A column of one table.
enum Column {
    Known(&'static Key),
    /// A column of notes that is carried through, by its own name.
    Note(&'static Key, String),
    /// Nothing stands above it.
    Nameless,
    /// A fault was told.
    Refused,
}

/// The first line that is no comment.
struct Header {
    columns: Vec<Column>,
    /// Columns whose absence has been told, once and not in every row.
    absent: Vec<&'static str>,
}

/// One row.
pub(super) struct Row {
    /// The line it stands on.
    pub line: usize,
    /// Its cells of known columns.
    pub fields: Fields,
    /// Its cells of note columns, by their name.
    pub notes: Vec<(String, String)>,
}

/// A table as far as it could be read.
#[derive(Default)]
pub(super) struct Table {
    /// Its rows, in order.
    pub rows: Vec<Row>,
    /// Whether every row of the file is among them.
    pub complete: bool,
    /// Its known columns, where their names stand.
    header: Vec<(&'static str, Place)>,
    header_line: Option<usize>,
}

impl Table {
    /// Where a column's name stands, if the table has it.
    pub fn place_of(&self, column: &str) -> Option<&Place> {
        let own = self.header.iter().find(|(name, _)| *name == column);
        own.map(|(_, place)| place)
    }

    /// The line of the header, where there is one.
    pub fn header_line(&self) -> Option<usize> {
        self.header_line
    }
}

/// A table's lines with what separates its cells.
struct Sheet<'a> {
    file: &'a str,
    separator: u8,
}

/// One cell and the column, in characters, where it begins.
pub(super) struct Cell {
    /// Its text, without quotes.
    pub text: String,
    /// Where it begins.
    pub column: usize,
}

/// Reads the rows of a table: at most `at_most` of them.
pub(super) fn rows(
    file: &str,
    text: &str,
    section: &'static Section,
    at_most: Option<usize>,
    faults: &mut Faults,
) -> Table {
    let mut lines = lines_that_count(text);
    let Some((at, header)) = lines.next() else {
        let fault = Fault::new(Kind::Missing, "the file has no header line")
            .at(Place::in_file(file))
            .with_help(format!(
                "its first line names the columns: {}",
                needed(section)
            ));
        faults.push(fault);
        return Table::default();
    };
    let sheet = Sheet {
        file,
        separator: separator(header),
    };
    let mut table = Table::default();
    let Some(header) = sheet.header(at + 1, header, section, &mut table.header, faults) else {
        return table;
    };
    table.header_line = Some(at + 1);
    table.complete = true;
    for (at, line) in lines {
        if faults.are_enough(file) {
            table.complete = false;
            break;
        }
        let Some(cells) = sheet.cells(at + 1, line, faults) else {
            table.complete = false;
            continue;
        };
        if cells.iter().all(|cell| cell.text.trim().is_empty()) {
            continue;
        }
        if at_most.is_some_and(|most| table.rows.len() >= most) {
            let message = format!("more than {} rows", table.rows.len());
            faults.push(Fault::new(Kind::TooLarge, message).at(sheet.place(at + 1, 1, None)));
            table.complete = false;
            break;
        }
        table
            .rows
            .push(sheet.row(at + 1, cells, &header, section, faults));
    }
    table
}

/// The lines that are no remark and not blank, counted from 0.
fn lines_that_count(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.split('\n').enumerate().filter(|(_, line)| {
        let start = line.trim_start().trim_start_matches('"');
        !line.trim().is_empty() && !start.starts_with('#')
    })
}

/// The head of a table: where it stands, the names of all columns as they stand,
/// and what separates cells.
pub(super) struct Head {
    /// The line of the header.
    pub line: usize,
    /// The columns' names, empty ones among them.
    pub columns: Vec<String>,
    /// What stands between cells.
    pub separator: u8,
}

/// Reads the head of a table whose rows are read elsewhere; `None` where there is
/// none, or none that can be read.
pub(super) fn head(text: &str) -> Option<Head> {
    let (at, header) = lines_that_count(text).next()?;
    let separator = separator(header);
    let sheet = Sheet {
        file: "",
        separator,
    };
    let cells = sheet.cells(at + 1, header, &mut Faults::default())?;
    let names = cells.iter().map(|cell| cell.text.trim().to_owned());
    Some(Head {
        line: at + 1,
        columns: names.collect(),
        separator,
    })
}

/// Cells of a line of a table that is no kit's; `None` and a fault where a quote
/// is not closed.
pub(super) fn cells(
    file: &str,
    separator: u8,
    (line, text): (usize, &str),
    faults: &mut Faults,
) -> Option<Vec<Cell>> {
    Sheet { file, separator }.cells(line, text, faults)
}

fn needed(section: &Section) -> String {
    let names = section
        .keys
        .iter()
        .filter(|key| key.is_needed())
        .map(|key| key.name);
    names.collect::<Vec<_>>().join(", ")
}

/// What the header shows between its names: the most frequent of the three.
fn separator(header: &str) -> u8 {
    let count = |separator: &u8| header.bytes().filter(|byte| byte == separator).count();
    // On a tie the last wins: comma.
    [b'\t', b';', b',']
        .into_iter()
        .max_by_key(count)
        .unwrap_or(b',')
}

impl Sheet<'_> {
    fn place(&self, line: usize, column: usize, key: Option<&str>) -> Place {
        Place {
            line: Some(line),
            column: Some(column),
            key: key.map(str::to_owned),
            ..Place::in_file(self.file)
        }
    }

    fn header(
        &self,
        line: usize,
        header: &str,
        section: &'static Section,
        known: &mut Vec<(&'static str, Place)>,
        faults: &mut Faults,
    ) -> Option<Header> {
        let cells = self.cells(line, header, faults)?;
        if cells.len() > most::COLUMNS {
            let message = format!(
                "{} columns; at most {} are read",
                cells.len(),
                most::COLUMNS
            );
            faults.push(Fault::new(Kind::TooLarge, message).at(self.place(line, 1, None)));
            return None;
        }
        let mut seen: Vec<String> = Vec::new();
        let (mut columns, mut absent) = (Vec::new(), Vec::new());
        for cell in cells {
            let name = cell.text.trim();
            let place = self.place(line, cell.column, Some(name));
            if name.is_empty() {
                columns.push(Column::Nameless);
            } else if seen.iter().any(|other| other == name) {
                let message = format!("two columns are called {}", shortened(name));
                faults.push(Fault::new(Kind::Duplicate, message).at(place));
                columns.push(Column::Refused);
            } else if let Some(key) = section.key(name).filter(|key| key.name != "note") {
                known.push((key.name, place));
                columns.push(Column::Known(key));
            } else if let Some(key) = section.key("note").filter(|_| name.starts_with("note")) {
                columns.push(Column::Note(key, name.to_owned()));
            } else {
                let names: Vec<&str> = section.keys.iter().map(|key| key.name).collect();
                absent.extend(unknown("column", name, &names, place, faults));
                columns.push(Column::Refused);
            }
            seen.push(name.to_owned());
        }
        for key in section.keys.iter().filter(|key| key.is_needed()) {
            let there = columns.iter().any(|column| match column {
                Column::Known(known) => known.name == key.name,
                Column::Note(_, name) => name == key.name,
                Column::Refused | Column::Nameless => false,
            });
            if !there && !absent.contains(&key.name) {
                let message = format!("the column {} is missing", key.name);
                let fault = Fault::new(Kind::Missing, message)
                    .at(self.place(line, 1, Some(key.name)))
                    .with_help(format!("{}, as {}", key.meaning, key.example));
                faults.push(fault);
                absent.push(key.name);
            }
        }
        Some(Header { columns, absent })
    }

    /// Cells of a line; `None` and a fault where a quote is not closed.
    fn cells(&self, line: usize, text: &str, faults: &mut Faults) -> Option<Vec<Cell>> {
        let starts = match self.starts(text) {
            Ok(starts) => starts,
            Err(column) => {
                let fault = Fault::new(Kind::Usage, "a quoted cell is not closed on its line")
                    .at(self.place(line, column, None))
                    .with_help("write the cell without quotes, or double each quote inside it");
                faults.push(fault);
                return None;
            }
        };
        let mut record = csv::StringRecord::new();
        let read = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(self.separator)
            .buffer_capacity(text.len().max(1))
            .from_reader(text.as_bytes())
            .read_record(&mut record);
        // Text in, one line, any number of cells: nothing is left to go wrong.
        read.ok()?;
        let cells = record.iter().zip(starts);
        Some(
            cells
                .map(|(text, column)| Cell {
                    text: text.to_owned(),
                    column,
                })
                .collect(),
        )
    }

    /// The columns where cells begin, or that of a quote that is not closed.
    fn starts(&self, text: &str) -> Result<Vec<usize>, usize> {
        #[derive(Clone, Copy)]
        enum At {
            Start,
            Plain,
            Quoted,
            QuoteInQuoted,
        }
        let separator = char::from(self.separator);
        let mut starts = vec![1];
        let mut state = At::Start;
        for (at, letter) in text.chars().enumerate() {
            state = match (state, letter) {
                (At::Quoted, '"') => At::QuoteInQuoted,
                (At::Start | At::QuoteInQuoted, '"') | (At::Quoted, _) => At::Quoted,
                (_, letter) if letter == separator => {
                    starts.push(at + 2);
                    At::Start
                }
                _ => At::Plain,
            };
        }
        match (state, starts.last()) {
            (At::Quoted, Some(&start)) => Err(start),
            _ => Ok(starts),
        }
    }

    fn row(
        &self,
        line: usize,
        cells: Vec<Cell>,
        header: &Header,
        section: &'static Section,
        faults: &mut Faults,
    ) -> Row {
        self.check_length(line, &cells, &header.columns, faults);
        let decimal_comma = self.separator != b',';
        let (mut fields, mut notes) = (Vec::new(), Vec::new());
        // What a short row leaves out has been told.
        let told = header.columns.iter().skip(cells.len());
        fields.extend(told.filter_map(|column| match column {
            Column::Known(key) => Some((key.name, Told::Refused)),
            Column::Note(..) | Column::Nameless | Column::Refused => None,
        }));
        for (cell, column) in cells.into_iter().zip(&header.columns) {
            match column {
                Column::Known(key) => {
                    let place = self.place(line, cell.column, Some(key.name));
                    let told = clean(key, &cell.text, decimal_comma, place, faults);
                    fields.extend(told.map(|told| (key.name, told)));
                }
                Column::Note(key, name) => {
                    let place = self.place(line, cell.column, Some(name));
                    if let Some(Told::Text(note)) = clean(key, &cell.text, false, place, faults) {
                        notes.push((name.clone(), note.text));
                    }
                }
                Column::Nameless | Column::Refused => {}
            }
        }
        fields.extend(header.absent.iter().map(|name| (*name, Told::Refused)));
        let place = self.place(line, 1, None);
        Row {
            line,
            fields: Fields::new(section, place, fields, faults),
            notes,
        }
    }

    /// A row must have a cell for each column; empty ones may follow.
    fn check_length(&self, line: usize, cells: &[Cell], columns: &[Column], faults: &mut Faults) {
        if cells.len() < columns.len() {
            let absent = columns[cells.len()..]
                .iter()
                .filter_map(|column| match column {
                    Column::Known(key) => Some(key.name),
                    Column::Note(_, name) => Some(name.as_str()),
                    Column::Nameless | Column::Refused => None,
                });
            let absent: Vec<&str> = absent.collect();
            if absent.is_empty() {
                return;
            }
            let message = format!(
                "the row ends after {} of {} cells; missing: {}",
                cells.len(),
                columns.len(),
                absent.join(", ")
            );
            let end = cells.last().map_or(1, |cell| cell.column);
            let fault = Fault::new(Kind::Missing, message).at(self.place(line, end, None));
            faults.push(fault.with_help("leave a cell empty rather than out"));
        }
        let extra = cells.iter().skip(columns.len());
        if let Some(first) = extra.into_iter().find(|cell| !cell.text.trim().is_empty()) {
            let message = format!(
                "the row has {} cells under {} column names: \"{}\" is one too many",
                cells.len(),
                columns.len(),
                shortened(first.text.trim())
            );
            let fault = Fault::new(Kind::Usage, message).at(self.place(line, first.column, None));
            faults.push(fault.with_help(
                "put a text that holds the separator between quotes; write decimals with a point",
            ));
        }
    }
}
