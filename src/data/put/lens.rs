//! `lens add`: a row of `lenses.csv`, and the form for the lens's marks.

use super::{Change, LensAddAnswer, errors, form, understood_of};
use crate::data::fault::{Fault, Kind, Place, shortened};
use crate::data::files::Files;
use crate::data::keys::{Form, Key, LENSES};
use crate::data::kit;
use crate::data::take::{Cell, Growing, Overlay, not_read_back, unreadable};
use crate::gear::Kit;
use crate::units::range::Range;
use crate::units::{Length, Unreadable, parse};

const FILE: &str = "lenses.csv";

/// A lens to be added: its id, and what is said of it by columns.
#[derive(Clone, Copy, Debug)]
pub struct NewLens<'a> {
    /// What it is called in the kit.
    pub id: &'a str,
    /// The columns of `lenses.csv` and what was typed for each.
    pub columns: &'a [(&'static Key, String)],
}

/// What adding a lens comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct LensAdded {
    /// What is said of it.
    pub answer: LensAddAnswer,
    /// The files to be written.
    pub changes: Vec<Change>,
}

/// The option that says a column: its name with dashes. A column of millimetres
/// loses its ending, for an option's length carries its unit; the ring's are
/// called as where a ring is told by hand.
#[must_use]
pub fn option_of(key: &Key) -> String {
    let name = match key.name {
        "ring_circumference_mm" => "circumference",
        "travel_mm" => "travel_length",
        name => name.strip_suffix("_mm").unwrap_or(name),
    };
    name.replace('_', "-")
}

/// Adds a lens to a kit.
///
/// # Errors
/// Every fault of what was typed, and every fault of the kit with the new row.
pub fn add_lens(files: &dyn Files, new: NewLens<'_>) -> Result<LensAdded, Vec<Fault>> {
    let one = |fault: Fault| vec![fault];
    let id = new.id.trim();
    let mut lenses = Overlay::without(files, FILE);
    let before = files.read(FILE).map_err(one)?;
    let table = match before.clone() {
        Some(bytes) => Growing::open(FILE, bytes).map_err(one)?,
        None => None,
    };
    // The reader of kits tells what a file lacks that has no header.
    let Some(mut table) = table else {
        return Err(unreadable(&mut lenses, files, FILE));
    };
    let mut refused = Refused::default();
    let mut cells = vec![("id", Cell::Name(id.to_owned()))];
    if id.chars().any(char::is_control) {
        return Err(one(control_character(id).at_flag("ID")));
    }
    for (key, typed) in new.columns {
        if !table.has(key.name) {
            let why = format!("--{} has no place", option_of(key));
            let fault = table.lacks(FILE, key.name, &why);
            refused.push(key, fault);
        }
        match cell(key, typed) {
            Ok(cell) => cells.push((key.name, cell)),
            Err(fault) => refused.push(key, fault.at_flag(&flag(key))),
        }
    }
    if !table.add(&cells) {
        let message = format!("{FILE} is as large as a file of a kit may be");
        return Err(one(Fault::new(Kind::TooLarge, message)));
    }
    let line = table.last_line();
    let of_option = |faults: Vec<Fault>| -> Vec<Fault> {
        faults.into_iter().map(|f| typed_there(f, line)).collect()
    };
    lenses.set(Some(table.bytes().to_vec()));
    let read = kit::read(&lenses).map_err(|faults| of_option(errors(&faults)));
    let (kit, _) = match read {
        Ok(read) if refused.faults.is_empty() => read,
        Ok(_) => return Err(refused.faults),
        Err(faults) => return Err(refused.and(faults)),
    };
    let names = lenses.list("marks").map_err(one)?;
    let there = kit::table_of(&names, id).map(|name| format!("marks/{name}"));
    let (form, asked) = new_form(&kit, id).ok_or_else(|| one(not_read_back(FILE)))?;
    let marks_file = there.clone().unwrap_or_else(|| format!("marks/{id}.csv"));
    let mut changes = vec![Change {
        file: FILE.into(),
        before,
        after: table.bytes().to_vec(),
    }];
    let (kit, warnings) = match &there {
        Some(_) => kit::read(&lenses),
        None => {
            let mut marks = Overlay::without(&lenses, &marks_file);
            marks.set(Some(form.clone()));
            changes.push(Change {
                file: marks_file.clone(),
                before: None,
                after: form,
            });
            kit::read(&marks)
        }
    }
    .map_err(|faults| of_option(errors(&faults)))?;
    // That nothing is read yet is what the form is for.
    let is_own = |place: &Place| {
        place.file.as_deref() == Some(FILE) && place.line == Some(line)
            || there.is_some() && place.file.as_ref() == Some(&marks_file)
    };
    let warnings = warnings.into_iter();
    let warnings = warnings.filter(|warning| warning.place.as_ref().is_some_and(is_own));
    let warnings = warnings.collect();
    let answer = LensAddAnswer {
        lens: id.to_owned(),
        file: FILE.into(),
        line,
        marks_written: there.is_none(),
        asked: if there.is_none() { asked } else { Vec::new() },
        marks_file,
        understood: understood_of(&kit, id, &[]),
        warnings,
        assumptions: Vec::new(),
    };
    Ok(LensAdded { answer, changes })
}

/// What was refused before the reader of kits saw it.
#[derive(Default)]
struct Refused {
    flags: Vec<String>,
    faults: Vec<Fault>,
}

impl Refused {
    fn push(&mut self, key: &Key, fault: Fault) {
        self.flags.push(flag(key));
        // Either number is a stop.
        if key.name == "f_number" {
            self.flags.push("--t-number".into());
        }
        self.faults.push(fault);
    }

    /// With what the reader of kits says of the rest.
    fn and(mut self, faults: Vec<Fault>) -> Vec<Fault> {
        let told = |fault: &Fault| {
            let place = fault.place.as_ref().and_then(|place| place.key.as_ref());
            fault.kind == Kind::Missing && place.is_some_and(|key| self.flags.contains(key))
        };
        let more = faults.into_iter().filter(|fault| !told(fault));
        let more: Vec<Fault> = more.collect();
        self.faults.extend(more);
        self.faults
    }
}

/// A column's option as it is typed.
fn flag(key: &Key) -> String {
    format!("--{}", option_of(key))
}

fn new_form(kit: &Kit, id: &str) -> Option<(Vec<u8>, Vec<crate::units::FocusDistance>)> {
    // An id that only differs by capitals was refused as a duplicate.
    let (lens, _) = kit.lens(id).filter(|(lens, _)| lens.id().as_str() == id)?;
    Some(form::form(kit, lens))
}

/// What was typed for a column, as its cell holds it.
fn cell(key: &Key, typed: &str) -> Result<Cell, Fault> {
    if typed.chars().any(char::is_control) {
        return Err(control_character(typed));
    }
    let typed = typed.trim();
    if typed.is_empty() {
        let message = format!("nothing is said for {}", key.name);
        return Err(Fault::new(Kind::Missing, message)
            .with_help(format!("leave the option out, or write {}", key.example)));
    }
    let in_mm = match key.form {
        Form::Number(range) if key.name.ends_with("_mm") => Some(range),
        Form::Other(_) if key.name == "focal_mm" => Some(&crate::units::range::FOCAL_LENGTH),
        _ => None,
    };
    match (in_mm, key.form) {
        (Some(range), _) => millimetres(typed, range)
            .map(Cell::Figure)
            .map_err(|reason| Fault::unreadable(typed, &reason)),
        (None, Form::Words | Form::Name | Form::OneOf(_)) => Ok(Cell::Name(typed.to_owned())),
        (None, _) => Ok(Cell::Figure(typed.to_owned())),
    }
}

/// A length with its unit as a number of millimetres; `25..250mm` as two.
fn millimetres(typed: &str, range: &'static Range) -> Result<String, Unreadable> {
    let figure = |length: Length| length.to_mm().to_string();
    let Some((wide, long)) = typed.split_once("..") else {
        return parse::length(typed, range).map(figure);
    };
    let longest = parse::length(long, range)?;
    // In 25..250mm the one unit stands for both.
    let unit = long.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.');
    let shortest = match parse::length(wide, range) {
        Err(Unreadable::BareNumber { .. }) => parse::length(&format!("{wide}{unit}"), range)?,
        other => other?,
    };
    Ok(format!("{}..{}", figure(shortest), figure(longest)))
}

fn control_character(text: &str) -> Fault {
    let message = format!("a control character stands in \"{}\"", shortened(text));
    Fault::new(Kind::NotText, message).with_help("type it again without")
}

/// A fault of the new row stands at the option it was typed with.
fn typed_there(fault: Fault, line: usize) -> Fault {
    let key = match &fault.place {
        Some(Place {
            file: Some(file),
            line: Some(at),
            key,
            ..
        }) if file == FILE && *at == line => key.clone(),
        _ => return fault,
    };
    let flag = key.as_deref().map_or("ID".to_owned(), |key| {
        match LENSES.key(key).filter(|key| key.name != "id") {
            Some(key) => flag(key),
            None => "ID".into(),
        }
    });
    fault.at_flag(&flag)
}
