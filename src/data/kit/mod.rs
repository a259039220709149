//! A kit's files to a [`Kit`], or every fault of every file.

mod breathing;
mod follow;
mod foreign;
mod lens;
mod lens_faults;
mod marks;
mod paperwork;
mod ring;
mod settings;
mod toml;
mod zoom;

use std::collections::BTreeMap;

use super::fault::{Fault, Kind, Place, Severity, shortened};
use super::faults::Faults;
use super::files::Files;
use super::keys::{LENSES, most};
use super::nearest::nearest;
use super::{table, text};
use crate::data::doubts;
use crate::gear::{Kit, LensId};
use crate::units::Unit;

/// A kit that could be read, with what deserves a look; or every fault, the
/// warnings among them.
pub type Read = Result<(Kit, Vec<Fault>), Vec<Fault>>;

pub(super) use foreign::Foreign;
pub(super) use marks::{POSITIONS, Placed, Rows};
pub(super) use paperwork::distances;

/// What rows of other files are read against.
struct Known {
    /// The unit of output: `8-6` is feet where it is feet.
    units: Option<Unit>,
    /// The names of the cameras, where they have any.
    cameras: Vec<String>,
    /// The lenses.
    lenses: Vec<lens::KnownLens>,
    /// The place of each among them, by its id in small letters.
    by_id: BTreeMap<String, usize>,
    /// Whether every lens of the kit is among them: a name that is not known
    /// cannot be judged before that.
    all_lenses: bool,
}

/// Reads a kit.
///
/// # Errors
/// Every fault of every file, with its place; warnings stand among them.
pub fn read(files: &dyn Files) -> Read {
    let mut faults = Faults::default();
    let settings = content(files, "kit.toml", true, &mut faults)
        .and_then(|text| settings::read(&text, &mut faults));
    let mut known = Known {
        units: settings.as_ref().and_then(|settings| settings.units),
        cameras: settings
            .as_ref()
            .map_or_else(Vec::new, settings::Settings::camera_names),
        lenses: Vec::new(),
        by_id: BTreeMap::new(),
        all_lenses: false,
    };
    if let Some(text) = content(files, "lenses.csv", true, &mut faults) {
        let table = table::rows(
            "lenses.csv",
            &text,
            &LENSES,
            Some(most::LENSES),
            &mut faults,
        );
        known.all_lenses = table.complete;
        if table.complete && table.rows.is_empty() {
            let fault = Fault::new(Kind::TooFew, "no lens stands in the file")
                .at(Place::in_file("lenses.csv"));
            faults.push(fault);
        }
        let zooms = Folder::list(files, "zoom", &mut faults);
        let marks = Folder::list(files, "marks", &mut faults);
        let breathing = Folder::list(files, "breathing", &mut faults);
        let gates = settings.as_ref().map_or_else(Vec::new, |read| read.gates());
        let mut ids = lens::Ids::default();
        for row in table.rows {
            let id = ids.read(&row.fields, &mut faults);
            known.all_lenses &= id.is_some();
            let zoom = id.as_ref().map_or_else(Vec::new, |id| {
                zooms
                    .read(files, id, &mut faults)
                    .map_or_else(Vec::new, |(name, text)| {
                        zoom::read(&name, &text, &mut faults)
                    })
            });
            let settings = id
                .as_ref()
                .and_then(|id| breathing.read(files, id, &mut faults))
                .map_or_else(Vec::new, |(name, text)| {
                    breathing::read(&name, &text, known.units, &mut faults)
                });
            let varying = lens::Varying {
                zoom,
                settings,
                gates: &gates,
            };
            let mut lens = lens::read(&row.fields, id, varying, known.units, &mut faults);
            if let Some(id) = &lens.id
                && let Some((name, text)) = marks.read(files, id, &mut faults)
            {
                lens.marks = marks::read(&name, &text, &lens, &known, &mut faults);
            }
            known.add(lens);
        }
        zooms.without_lens(&known, &mut faults);
        breathing.without_lens(&known, &mut faults);
        marks.without_lens(&known, &mut faults);
    }
    let prep = content(files, "prep.csv", false, &mut faults)
        .map_or_else(Vec::new, |text| paperwork::prep(&text, &known, &mut faults));
    let shots = content(files, "shots.csv", false, &mut faults).map_or_else(Vec::new, |text| {
        paperwork::shots(&text, &known, &mut faults)
    });
    let lenses = known.lenses.into_iter();
    let lenses = lenses
        .filter_map(|known| Some((known.lens?, known.marks)))
        .collect();
    let kit = settings.and_then(|settings| settings.kit(lenses, prep, shots));
    let faults = faults.into_list();
    match kit {
        Some(kit)
            if faults
                .iter()
                .all(|fault| fault.severity == Severity::Warning) =>
        {
            let doubts = doubts::doubts(&kit);
            Ok((kit, [faults, doubts].concat()))
        }
        _ => Err(faults),
    }
}

/// The text of a file; a fault where it is needed and absent, or damaged.
fn content(files: &dyn Files, name: &str, needed: bool, faults: &mut Faults) -> Option<String> {
    let bytes = match files.read(name) {
        Ok(Some(bytes)) => bytes,
        Ok(None) => {
            if needed {
                let fault = Fault::new(Kind::Missing, format!("the kit has no {name}"))
                    .at(Place::in_file(name))
                    .with_help("`markwright new DIR` writes a kit to begin with");
                faults.push(fault);
            }
            return None;
        }
        Err(fault) => {
            faults.push(fault);
            return None;
        }
    };
    match text::text(name, bytes) {
        Ok(text) => Some(text),
        Err(fault) => {
            faults.push(fault);
            None
        }
    }
}

/// A folder of tables named after lenses.
struct Folder {
    name: &'static str,
    /// Names of the tables, by their stem in small letters.
    tables: BTreeMap<String, Vec<String>>,
}

impl Folder {
    fn list(files: &dyn Files, name: &'static str, faults: &mut Faults) -> Self {
        let mut names = match files.list(name) {
            Ok(names) => names,
            Err(fault) => {
                faults.push(fault);
                Vec::new()
            }
        };
        names.sort();
        let mut tables: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for name in names {
            // Whatever else lies there, hidden files too, is not ours to judge.
            if let Some(stem) = stem(&name) {
                tables.entry(stem.to_lowercase()).or_default().push(name);
            }
        }
        Self { name, tables }
    }

    /// The table of a lens: its name within the kit, and its text.
    fn read(
        &self,
        files: &dyn Files,
        id: &LensId,
        faults: &mut Faults,
    ) -> Option<(String, String)> {
        let (first, others) = self
            .tables
            .get(&id.as_str().to_lowercase())?
            .split_first()?;
        let name = format!("{}/{first}", self.name);
        for other in others {
            let message = format!("this file and {name} are both those of lens {id}");
            let place = Place::in_file(&format!("{}/{other}", self.name));
            faults.push(Fault::new(Kind::Duplicate, message).at(place));
        }
        let text = content(files, &name, true, faults)?;
        Some((name, text))
    }

    /// Tables that belong to no lens.
    fn without_lens(&self, known: &Known, faults: &mut Faults) {
        let strays = self
            .tables
            .iter()
            .filter(|(stem, _)| !known.by_id.contains_key(*stem));
        for name in strays.flat_map(|(_, names)| names).take(most::FAULTS) {
            let place = Place::in_file(&format!("{}/{name}", self.name));
            let id = stem(name).unwrap_or(name);
            let Some(fault) = known.no_such_lens(id, place) else {
                return;
            };
            faults.push(match known.renamed(id, |lens| !self.is_for(lens)) {
                Some(lens) => fault.with_help(format!(
                    "did you mean {lens}? then rename the file to {}/{lens}.csv",
                    self.name
                )),
                None => fault,
            });
        }
    }

    /// Whether a lens has a table here.
    fn is_for(&self, lens: &LensId) -> bool {
        self.tables.contains_key(&lens.as_str().to_lowercase())
    }
}

/// The table of a lens among the names in a folder.
pub(super) fn table_of<'a>(names: &'a [String], id: &str) -> Option<&'a str> {
    let id = id.trim().to_lowercase();
    let own = |name: &&String| stem(name).is_some_and(|stem| stem.to_lowercase() == id);
    names.iter().find(own).map(String::as_str)
}

/// The name of a table without its ending.
fn stem(name: &str) -> Option<&str> {
    let (stem, ending) = name.rsplit_once('.')?;
    let hidden = stem.is_empty() || stem.starts_with('.');
    (ending.eq_ignore_ascii_case("csv") && !hidden).then_some(stem)
}

impl Known {
    fn add(&mut self, lens: lens::KnownLens) {
        if let Some(id) = &lens.id {
            self.by_id
                .insert(id.as_str().to_lowercase(), self.lenses.len());
        }
        self.lenses.push(lens);
    }

    fn ids(&self) -> Vec<&str> {
        let ids = self.lenses.iter().filter_map(|lens| lens.id.as_ref());
        ids.map(LensId::as_str).collect()
    }

    /// The fault of a name no lens has; none where the lenses are not all known.
    fn no_such_lens(&self, id: &str, place: Place) -> Option<Fault> {
        if !self.all_lenses {
            return None;
        }
        let ids = self.ids();
        let message = format!("no lens in lenses.csv is called \"{}\"", shortened(id));
        let fault = Fault::new(Kind::UnknownId, message).at(place);
        Some(match nearest(id, &ids) {
            Some(near) => fault.with_help(format!("did you mean {near}?")),
            None if ids.len() <= 12 => fault.with_help(format!("there are: {}", ids.join(", "))),
            None => fault,
        })
    }

    /// The lens among those that are wanting that may once have had a name: the
    /// nearest, or the only one that holds it or is held by it, as 50 and 50mm.
    fn renamed(&self, was: &str, wanting: impl Fn(&LensId) -> bool) -> Option<&str> {
        let ids = self.lenses.iter().filter_map(|lens| lens.id.as_ref());
        let ids: Vec<&str> = ids.filter(|id| wanting(id)).map(LensId::as_str).collect();
        let was = was.to_lowercase();
        let alike = |id: &&str| {
            let id = id.to_lowercase();
            id.contains(&was) || was.contains(&id)
        };
        nearest(&was, &ids).or_else(|| {
            let mut alike = ids.iter().copied().filter(alike);
            alike.next().filter(|_| alike.next().is_none())
        })
    }
}
