//! The texts that stand together, a row or a table of keys, read one by one;
//! every fault is kept.

use super::fault::{Fault, Kind, Place, shortened};
use super::faults::Faults;
use super::keys::{Form, Key, Section};
use super::nearest::nearest;
use crate::units::parse::looks_like_a_date;
use crate::units::range::Range;
use crate::units::{Angle, BareUnit, FocusDistance, Length, Unreadable, parse};

/// One text and where it stands.
#[derive(Clone, Debug)]
pub(super) struct Field {
    /// The text, trimmed, not empty.
    pub text: String,
    /// Where it stands.
    pub place: Place,
}

/// What became of one key.
pub(super) enum Told {
    /// Its text.
    Text(Field),
    /// A fault was told: it is not missing, and there is nothing to read.
    Refused,
}

/// The texts of one row, or of one table of `kit.toml`.
pub(super) struct Fields {
    section: &'static Section,
    /// Where the row or table begins.
    pub place: Place,
    fields: Vec<(&'static str, Told)>,
}

impl Fields {
    /// Fields of a section; every needed one that is absent is a fault.
    pub fn new(
        section: &'static Section,
        place: Place,
        fields: Vec<(&'static str, Told)>,
        faults: &mut Faults,
    ) -> Self {
        let fields = Self {
            section,
            place,
            fields,
        };
        for key in section.keys.iter().filter(|key| key.is_needed()) {
            if !fields.has(key.name) {
                faults.push(fields.absent(key));
            }
        }
        fields
    }

    fn absent(&self, key: &Key) -> Fault {
        let place = Place {
            key: Some(key.name.into()),
            ..self.place.clone()
        };
        Fault::new(Kind::Missing, format!("{} is missing", key.name))
            .at(place)
            .with_help(format!("{}, as {}", key.meaning, key.example))
    }

    fn told(&self, name: &str) -> Option<&Told> {
        debug_assert!(self.section.key(name).is_some(), "no key {name}");
        let found = self.fields.iter().find(|(key, _)| *key == name);
        found.map(|(_, told)| told)
    }

    /// A field, if it is there and was not refused.
    pub fn get(&self, name: &str) -> Option<&Field> {
        match self.told(name)? {
            Told::Text(field) => Some(field),
            Told::Refused => None,
        }
    }

    /// Whether something stands there, refused or not.
    pub fn has(&self, name: &str) -> bool {
        self.told(name).is_some()
    }

    /// Where a key stands, or the row where it does not.
    pub fn place_of(&self, name: &str) -> Place {
        match self.get(name) {
            Some(field) => field.place.clone(),
            None => Place {
                key: Some(name.into()),
                ..self.place.clone()
            },
        }
    }

    /// A text as it stands.
    pub fn words(&self, name: &str) -> Option<String> {
        self.get(name).map(|field| field.text.clone())
    }

    /// What `read` makes of a field, or a fault.
    pub fn read<T>(
        &self,
        name: &str,
        faults: &mut Faults,
        read: impl FnOnce(&str) -> Result<T, Unreadable>,
    ) -> Option<T> {
        self.read_or_tell(name, false, faults, read)
    }

    /// As [`Self::read`]; with `bare_help` a number without unit is offered as
    /// each distance it may be.
    fn read_or_tell<T>(
        &self,
        name: &str,
        bare_help: bool,
        faults: &mut Faults,
        read: impl FnOnce(&str) -> Result<T, Unreadable>,
    ) -> Option<T> {
        let field = self.get(name)?;
        let reason = match read(&field.text) {
            Ok(value) => return Some(value),
            Err(reason) => reason,
        };
        let fault = Fault::unreadable(&field.text, &reason).at(field.place.clone());
        faults.push(match &reason {
            Unreadable::NotThis { .. } => Fault {
                // Whatever the quantity: the text is none.
                kind: Kind::NotADistance,
                help: self.help(name),
                ..fault
            },
            Unreadable::BareNumber { .. } => Fault {
                help: reason.help().filter(|_| bare_help).or(self.help(name)),
                ..fault
            },
            _ => fault,
        });
        None
    }

    fn help(&self, name: &str) -> Option<String> {
        let key = self.section.key(name)?;
        Some(format!("{}; write it like {}", key.meaning, key.example))
    }

    /// What a number of a key may be, as its definition says.
    fn range(&self, name: &str) -> Option<&'static Range> {
        let range = self.section.key(name)?.form.range();
        debug_assert!(range.is_some(), "{name} is no number");
        range
    }

    /// Several plain numbers, separated by spaces.
    pub fn numbers(&self, name: &str, faults: &mut Faults) -> Option<Vec<f64>> {
        let range = self.range(name)?;
        self.read(name, faults, |text| {
            let parts = text.split_whitespace();
            parts.map(|part| parse::number(part, range)).collect()
        })
    }

    /// A plain number.
    pub fn number(&self, name: &str, faults: &mut Faults) -> Option<f64> {
        self.number_as(name, faults, Ok)
    }

    /// What `make` makes of a plain number.
    pub fn number_as<T>(
        &self,
        name: &str,
        faults: &mut Faults,
        make: impl FnOnce(f64) -> Result<T, Unreadable>,
    ) -> Option<T> {
        let range = self.range(name)?;
        self.read(name, faults, |text| make(parse::number(text, range)?))
    }

    /// A length written as a number of millimetres.
    pub fn mm(&self, name: &str, faults: &mut Faults) -> Option<Length> {
        self.number(name, faults).map(Length::mm)
    }

    /// An angle written as a number of degrees.
    pub fn deg(&self, name: &str, faults: &mut Faults) -> Option<Angle> {
        self.number(name, faults).map(Angle::deg)
    }

    /// A length with its unit.
    pub fn length(&self, name: &str, faults: &mut Faults) -> Option<Length> {
        let range = self.range(name)?;
        self.read(name, faults, |text| parse::length(text, range))
    }

    /// An angle with its unit.
    pub fn angle(&self, name: &str, faults: &mut Faults) -> Option<Angle> {
        let range = self.range(name)?;
        self.read(name, faults, |text| parse::angle(text, range))
    }

    /// A distance with its unit, or without where `bare` allows it.
    pub fn distance(
        &self,
        name: &str,
        bare: BareUnit,
        faults: &mut Faults,
    ) -> Option<FocusDistance> {
        self.read_or_tell(name, true, faults, |text| parse::distance(text, bare))
    }

    /// A whole number.
    pub fn count(&self, name: &str, faults: &mut Faults) -> Option<u32> {
        self.number_as(name, faults, |number| {
            let whole = number as u32;
            if f64::from(whole) == number {
                Ok(whole)
            } else {
                Err(Unreadable::NotThis {
                    wanted: "a whole number",
                    example: "40",
                })
            }
        })
    }

    /// One of a few words.
    pub fn choice<T: Copy>(
        &self,
        name: &str,
        choices: &[(&str, T)],
        faults: &mut Faults,
    ) -> Option<T> {
        debug_assert!(self.are_words_of(name, choices), "other words of {name}");
        let field = self.get(name)?;
        let word = field.text.to_lowercase();
        if let Some((_, value)) = choices.iter().find(|(choice, _)| *choice == word) {
            return Some(*value);
        }
        let words: Vec<&str> = choices.iter().map(|(choice, _)| *choice).collect();
        let all = words.join(", ");
        let help = match nearest(&word, &words) {
            Some(near) => format!("did you mean {near}? it is one of: {all}"),
            None => format!("it is one of: {all}"),
        };
        let message = format!("{name} cannot be \"{}\"", shortened(&field.text));
        self.fault(name, Kind::UnknownId, message, Some(help), faults);
        None
    }

    /// Whether choices are those of a key's definition.
    fn are_words_of<T>(&self, name: &str, choices: &[(&str, T)]) -> bool {
        match self.section.key(name).map(|key| key.form) {
            Some(Form::OneOf(words)) => words.iter().eq(choices.iter().map(|(word, _)| word)),
            _ => false,
        }
    }

    /// Says that a field is wrong.
    pub fn fault(
        &self,
        name: &str,
        kind: Kind,
        message: impl Into<String>,
        help: Option<String>,
        faults: &mut Faults,
    ) {
        let fault = Fault::new(kind, message).at(self.place_of(name));
        faults.push(Fault { help, ..fault });
    }

    /// At most one of two ways to say the same thing.
    pub fn either(&self, one: &str, other: &str, faults: &mut Faults) {
        if self.has(one) && self.has(other) {
            let message = format!("{one} and {other} say the same thing: keep one");
            self.fault(other, Kind::Duplicate, message, None, faults);
        }
    }
}

/// A text as its key reads it, nothing where it is empty; a fault where a
/// spreadsheet has been at it.
pub(super) fn clean(
    key: &Key,
    text: &str,
    decimal_comma: bool,
    place: Place,
    faults: &mut Faults,
) -> Option<Told> {
    let text = text.trim();
    if text.is_empty() {
        return None;
    }
    if text.chars().any(|c| c.is_control() && c != '\t') {
        // It would act on a terminal, or break a page.
        let message = format!("a control character stands in \"{}\"", shortened(text));
        let fault = Fault::new(Kind::NotText, message).at(place);
        faults.push(fault.with_help("write it again without"));
        return Some(Told::Refused);
    }
    if !matches!(key.form, Form::Words) && looks_like_a_date(text) {
        let fault = Fault::unreadable(text, &Unreadable::SpreadsheetDate).at(place);
        faults.push(fault.with_help(format!(
            "format the column as text and write it again, as {}",
            key.example
        )));
        return Some(Told::Refused);
    }
    let text = if decimal_comma && !matches!(key.form, Form::Words | Form::Name) {
        with_points(text)
    } else {
        text.to_owned()
    };
    Some(Told::Text(Field { text, place }))
}

/// Decimal commas, which stand between figures, as points.
pub(super) fn with_points(text: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let is_figure = |at: Option<usize>| {
        at.and_then(|at| letters.get(at))
            .is_some_and(char::is_ascii_digit)
    };
    let change = |(at, &letter): (usize, &char)| {
        let decimal = letter == ',' && is_figure(at.checked_sub(1)) && is_figure(Some(at + 1));
        if decimal { '.' } else { letter }
    };
    letters.iter().enumerate().map(change).collect()
}

/// Tells a key or column nobody knows, and gives back the known one that was
/// meant, if that can be guessed: it is not missing then.
pub(super) fn unknown<'a>(
    what: &str,
    name: &str,
    known: &[&'a str],
    place: Place,
    faults: &mut Faults,
) -> Option<&'a str> {
    let meant = nearest(name, known);
    let help = match meant {
        Some(near) => format!("did you mean {near}?"),
        None => format!("known here: {}", known.join(", ")),
    };
    let message = format!("no {what} is called \"{}\"", shortened(name));
    let fault = Fault::new(Kind::UnknownKey, message).at(place);
    faults.push(fault.with_help(help));
    meant
}
