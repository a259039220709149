//! `kit.toml`, and the layouts of cards, as tables of texts with their places.

use ::toml::Spanned;
use ::toml::de::{DeTable, DeValue, Error};

use crate::data::fault::{Fault, Kind, Place, shortened};
use crate::data::faults::Faults;
use crate::data::fields::{Fields, Told, clean, unknown};
use crate::data::keys::{Section, most};

/// The file being read.
pub(in crate::data) struct Source<'a> {
    /// What it is called.
    file: &'static str,
    text: &'a str,
    /// Where its lines begin, so that a place costs no walk through the file.
    lines: Vec<usize>,
}

/// One table of the file.
pub(in crate::data) struct Table<'a> {
    pub table: &'a DeTable<'a>,
    pub place: Place,
}

impl<'a> Source<'a> {
    pub fn new(file: &'static str, text: &'a str) -> Self {
        let ends = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
        let lines = core::iter::once(0).chain(ends.map(|(at, _)| at + 1));
        Self {
            file,
            text,
            lines: lines.collect(),
        }
    }

    /// The file's tables; what is not TOML is a fault each.
    pub fn parse(&self, faults: &mut Faults) -> Spanned<DeTable<'a>> {
        let (table, errors) = DeTable::parse_recoverable(self.text);
        // Beyond the bound nothing is told, and each place costs time.
        for error in errors.iter().take(most::FAULTS + 1) {
            faults.push(self.no_toml(error));
        }
        table
    }

    fn no_toml(&self, error: &Error) -> Fault {
        let kind = if error.message().starts_with("duplicate key") {
            Kind::Duplicate
        } else {
            Kind::Usage
        };
        let place = match error.span() {
            Some(span) => self.place(span.start, None),
            None => Place::in_file(self.file),
        };
        Fault::new(kind, shortened(error.message())).at(place)
    }

    /// The place of a byte of the file.
    pub fn place(&self, at: usize, key: Option<&str>) -> Place {
        let mut at = at.min(self.text.len());
        while !self.text.is_char_boundary(at) {
            at -= 1;
        }
        // The first line begins at 0, so at least one begins by here.
        let line = self.lines.partition_point(|&start| start <= at).max(1);
        let start = self.lines.get(line - 1).copied().unwrap_or(0);
        Place {
            line: Some(line),
            column: Some(self.text[start..at].chars().count() + 1),
            key: key.map(str::to_owned),
            ..Place::in_file(self.file)
        }
    }

    /// The fields of a table; `tables` are the names of tables that may stand
    /// in it, read elsewhere.
    pub fn fields(
        &self,
        table: &Table<'_>,
        section: &'static Section,
        tables: &[&str],
        faults: &mut Faults,
    ) -> Fields {
        let mut fields = Vec::new();
        for (name, value) in self.in_order(table.table) {
            // Thousands of keys nobody knows are not told one by one.
            if section.key(name.get_ref()).is_none() && faults.are_enough(self.file) {
                continue;
            }
            let place = self.place(value.span().start, Some(name.get_ref().as_ref()));
            if let Some(key) = section.key(name.get_ref()) {
                let told = match self.words(value.get_ref(), &place, faults) {
                    Some(text) => clean(key, &text, false, place, faults),
                    None => Some(Told::Refused),
                };
                fields.extend(told.map(|told| (key.name, told)));
            } else if !tables.contains(&name.get_ref().as_ref()) {
                let mut known: Vec<&str> = section.keys.iter().map(|key| key.name).collect();
                known.extend(tables);
                let place = self.place(name.span().start, Some(name.get_ref().as_ref()));
                let meant = unknown("key", name.get_ref(), &known, place, faults);
                // What was meant is not missing: one fault for one slip.
                let meant = meant.and_then(|meant| section.key(meant));
                fields.extend(meant.map(|key| (key.name, Told::Refused)));
            }
        }
        Fields::new(section, table.place.clone(), fields, faults)
    }

    /// Keys and values in the order of the file.
    pub fn in_order<'t>(
        &self,
        table: &'t DeTable<'a>,
    ) -> Vec<(
        &'t Spanned<::toml::de::DeString<'a>>,
        &'t Spanned<DeValue<'a>>,
    )> {
        let mut pairs: Vec<_> = table.iter().collect();
        pairs.sort_by_key(|(name, _)| name.span().start);
        pairs
    }

    /// A table within a table; a fault where something else stands.
    pub fn table<'t>(
        &self,
        table: &'t DeTable<'a>,
        name: &str,
        faults: &mut Faults,
    ) -> Option<Table<'t>> {
        let (key, value) = table.iter().find(|(key, _)| key.get_ref() == name)?;
        self.as_table(name, key.span().start, value.get_ref(), faults)
    }

    /// A value that must be a table.
    pub fn as_table<'t>(
        &self,
        name: &str,
        at: usize,
        value: &'t DeValue<'a>,
        faults: &mut Faults,
    ) -> Option<Table<'t>> {
        let place = self.place(at, Some(name));
        match value {
            DeValue::Table(table) => Some(Table { table, place }),
            _ => {
                let message = format!("{name} is a table: write [{name}] above its keys");
                faults.push(Fault::new(Kind::Usage, message).at(place));
                None
            }
        }
    }

    /// The tables of a list of tables, `[[name]]`.
    pub fn tables<'t>(
        &self,
        table: &'t DeTable<'a>,
        name: &str,
        faults: &mut Faults,
    ) -> Vec<Table<'t>> {
        let Some((key, value)) = table.iter().find(|(key, _)| key.get_ref() == name) else {
            return Vec::new();
        };
        match value.get_ref() {
            DeValue::Array(list) => list
                .iter()
                .filter_map(|one| {
                    let at = one.span().start;
                    self.as_table(name, at, one.get_ref(), faults)
                })
                .collect(),
            _ => {
                let message = format!("{name} may stand several times: write [[{name}]]");
                let place = self.place(key.span().start, Some(name));
                faults.push(Fault::new(Kind::Usage, message).at(place));
                Vec::new()
            }
        }
    }

    /// The words of a value; a list's stand side by side.
    fn words(&self, value: &DeValue<'a>, place: &Place, faults: &mut Faults) -> Option<String> {
        match value {
            DeValue::String(text) => Some(text.to_string()),
            DeValue::Integer(number) => Some(number.to_string()),
            DeValue::Float(number) => Some(number.as_str().to_owned()),
            DeValue::Boolean(truth) => Some(truth.to_string()),
            DeValue::Datetime(date) => Some(date.to_string()),
            DeValue::Array(list) => {
                let parts: Option<Vec<String>> = list
                    .iter()
                    .map(|part| match part.get_ref() {
                        DeValue::Array(_) | DeValue::Table(_) => {
                            self.no_value(place, faults);
                            None
                        }
                        single => self.words(single, place, faults),
                    })
                    .collect();
                Some(parts?.join(" "))
            }
            DeValue::Table(_) => {
                self.no_value(place, faults);
                None
            }
        }
    }

    fn no_value(&self, place: &Place, faults: &mut Faults) {
        let message = "a value is wanted here, not a table or a list of lists";
        faults.push(Fault::new(Kind::Usage, message).at(place.clone()));
    }
}
