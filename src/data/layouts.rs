//! The layouts of cards: those of `charts/`, and those a crew puts in their place.

use ::toml::de::DeValue;

use super::fault::{Fault, Kind, Place, shortened};
use super::faults::Faults;
use super::fields::{Fields, unknown};
use super::files::Files;
use super::keys::{CARD_LAYOUT, CONVERSION_LAYOUT, FIELD_LAYOUT, HYPERFOCAL_LAYOUT, Section};
use super::kit::toml::{Source, Table};
use super::nearest::nearest;
use super::text;
use crate::draw::card::{Column, Layout, Layouts};
use crate::sheets::CardWords;
use crate::units::Length;

/// What is embedded, with what each file may say.
const FILES: [(&str, &Section); 4] = [
    (include_str!("../../charts/card.toml"), &CARD_LAYOUT),
    (
        include_str!("../../charts/hyperfocals.toml"),
        &HYPERFOCAL_LAYOUT,
    ),
    (include_str!("../../charts/fields.toml"), &FIELD_LAYOUT),
    (
        include_str!("../../charts/conversions.toml"),
        &CONVERSION_LAYOUT,
    ),
];

/// What stands where a file says nothing: as little as can be.
fn bare() -> Layout {
    Layout {
        margin: Length::mm(8.0),
        figures: Length::mm(4.0),
        limits: Length::mm(4.0),
        others: Length::mm(2.5),
        lines: 1,
        stops: 1,
        columns: Vec::new(),
        words: CardWords {
            morning: false,
            gate: false,
            title: false,
            hyperfocal: false,
        },
        drawing: false,
    }
}

/// The layouts, those files of a folder in place of the embedded ones; a key
/// that a file leaves out is as in the embedded one.
///
/// # Errors
/// Every fault of every file, and one where the folder holds none of them.
pub fn layouts(folder: Option<&dyn Files>) -> Result<Layouts, Vec<Fault>> {
    let mut faults = Faults::default();
    let mut any = folder.is_none();
    let [card, hyperfocals, fields, conversions] = FILES.map(|(embedded, section)| {
        let mut layout = bare();
        over(&mut layout, embedded, section, &mut faults);
        if let Some(text) = folder.and_then(|files| own(files, section.file, &mut any, &mut faults))
        {
            over(&mut layout, &text, section, &mut faults);
        }
        layout
    });
    if !any {
        let all = FILES.map(|(_, section)| section.file).join(", ");
        let fault = Fault::new(Kind::Missing, "no layout stands in this folder");
        let fault = fault.at_flag("--layouts");
        faults.push(fault.with_help(format!("a layout is one of {all}")));
    }
    if let Some(files) = folder {
        slips(files, &mut faults);
    }
    let faults = faults.into_list();
    if !faults.is_empty() {
        return Err(faults);
    }
    Ok(Layouts {
        card,
        hyperfocals,
        fields,
        conversions,
    })
}

/// Tells files that were meant to be layouts and are called something else.
fn slips(files: &dyn Files, faults: &mut Faults) {
    let known = FILES.map(|(_, section)| section.file);
    let there = match files.list(".") {
        Ok(there) => there,
        Err(fault) => return faults.push(fault),
    };
    let others = there.iter().filter(|name| !known.contains(&name.as_str()));
    for name in others.filter(|name| name.ends_with(".toml")) {
        if let Some(near) = nearest(name, &known) {
            let message = format!("no layout is called \"{}\"", shortened(name));
            let fault = Fault::new(Kind::UnknownId, message).at_flag("--layouts");
            faults.push(fault.with_help(format!("did you mean {near}?")));
        }
    }
}

/// A file of the folder, where it is there.
fn own(
    files: &dyn Files,
    name: &'static str,
    any: &mut bool,
    faults: &mut Faults,
) -> Option<String> {
    let bytes = match files.read(name) {
        Ok(bytes) => bytes?,
        Err(fault) => {
            faults.push(fault);
            return None;
        }
    };
    *any = true;
    text::text(name, bytes)
        .map_err(|fault| faults.push(fault))
        .ok()
}

/// What a file says, over what stood there before.
fn over(layout: &mut Layout, text: &str, section: &'static Section, faults: &mut Faults) {
    let source = Source::new(section.file, text);
    let parsed = source.parse(faults);
    let table = Table {
        table: parsed.get_ref(),
        place: Place::in_file(section.file),
    };
    let fields = source.fields(&table, section, &[], faults);
    let lengths = [
        ("margin_mm", &mut layout.margin),
        ("figure_mm", &mut layout.figures),
        ("limit_mm", &mut layout.limits),
        ("other_mm", &mut layout.others),
    ];
    for (key, target) in lengths {
        if let Some(length) = fields.mm(key, faults) {
            *target = length;
        }
    }
    let counts = [("lines", &mut layout.lines), ("stops", &mut layout.stops)];
    for (key, target) in counts {
        // Not every card has stops across.
        let number = section.key(key).and_then(|_| fields.count(key, faults));
        if let Some(number) = number.and_then(|number| usize::try_from(number).ok()) {
            *target = number;
        }
    }
    let listed = |key: &str, faults: &mut Faults| {
        if empty_list(&source, &table, key).is_some() {
            return Some(Vec::new());
        }
        listed(&fields, key, section, faults)
    };
    if let Some(names) = listed("columns", faults) {
        let chosen = |column: &Column| names.contains(&column.name());
        layout.columns = Column::ALL.into_iter().filter(chosen).collect();
    }
    if let Some(place) = empty_list(&source, &table, "columns") {
        let known = section.words_of("columns").join(", ");
        let fault = Fault::new(Kind::TooFew, "a card without columns says nothing").at(place);
        faults.push(fault.with_help(format!("name one or more of {known}")));
    }
    if let Some(names) = listed("words", faults) {
        let says = |word: &str| names.contains(&word);
        layout.words = CardWords {
            morning: says("morning"),
            gate: says("gate"),
            title: says("title"),
            hyperfocal: says("hyperfocal"),
        };
        layout.drawing = says("drawing");
    }
}

/// Where a key holds a list of nothing.
fn empty_list(source: &Source<'_>, table: &Table<'_>, name: &str) -> Option<Place> {
    let mut keys = table.table.iter();
    let (_, value) = keys.find(|(key, _)| key.get_ref() == name)?;
    match value.get_ref() {
        DeValue::Array(list) if list.is_empty() => {
            Some(source.place(value.span().start, Some(name)))
        }
        _ => None,
    }
}

/// The names a list holds; `None` where it is not there, or one is not known,
/// which is a fault.
fn listed(
    fields: &Fields,
    key: &str,
    section: &'static Section,
    faults: &mut Faults,
) -> Option<Vec<&'static str>> {
    let known = section.words_of(key);
    let text = fields.words(key)?;
    let mut names = Some(Vec::new());
    for name in text.split_whitespace() {
        match known.iter().find(|word| **word == name) {
            Some(word) => names.iter_mut().for_each(|names| names.push(*word)),
            None => {
                unknown("word", name, known, fields.place_of(key), faults);
                names = None;
            }
        }
    }
    names
}
