//! Rows of a table from elsewhere, read one by one as the kit's reader reads its
//! own.

use super::answer::ImportRow;
use super::columns::{Found, Where};
use super::form::column_of;
use super::line::in_what_unit;
use super::sheet::{Line, Sheet, not_worked_out, thousands};
use super::{errors, in_a_cell};
use crate::data::fault::{Fault, Kind, shortened};
use crate::data::faults::Faults;
use crate::data::fields::{Field, Fields, Told, clean};
use crate::data::keys::{Key, MARKS};
use crate::data::kit::{Foreign, Placed};
use crate::data::take::without_unit;
use crate::gear::{MarkKind, PositionUnit};
use crate::units::{FocusDistance, Unit, parse};

/// Rows that are to be written.
pub(super) struct Got {
    /// What positions are counted in.
    pub unit: PositionUnit,
    /// All of them, those that wait for a position among them.
    pub rows: Vec<ImportRow>,
    /// The marks among them, as the reader of kits understands them.
    pub marks: Vec<Placed>,
    /// How many rows hold neither distance nor position.
    pub left_out: usize,
    /// How many rows cannot be read.
    pub refused: usize,
}

/// A table while its rows are read.
pub(super) struct Reading<'a> {
    /// The table.
    pub sheet: &'a Sheet,
    /// Its columns.
    pub found: &'a Found,
    /// What positions are counted in.
    pub unit: PositionUnit,
    /// The lens they are for.
    pub foreign: &'a Foreign,
    /// The unit distances are written in that had none.
    pub shown: Unit,
    /// What was read.
    pub got: Got,
    /// The distances as they were typed.
    pub typed: Vec<String>,
    /// What stands against rows.
    pub faults: Vec<Fault>,
}

impl Reading<'_> {
    /// Reads a row, with all its faults.
    pub fn row(&mut self, line: &Line) {
        let empty = |column: usize| {
            let cell = line.cells.get(column);
            cell.is_none_or(|cell| cell.text.trim().is_empty())
        };
        let (distance, position) = (self.found.distance, self.found.position);
        if empty(distance) && empty(position) {
            self.got.left_out += 1;
            return;
        }
        let mut faults = Faults::default();
        let column = column_of(self.unit);
        let mut told: Vec<(&'static str, Told)> = Vec::new();
        let columns = [
            ("distance", Some(Where::Column(distance))),
            (column, Some(Where::Column(position))),
            ("kind", self.found.kind.clone()),
            ("camera", self.found.camera.clone()),
            ("sd_deg", self.found.sd.map(Where::Column)),
        ];
        for (name, at) in columns {
            let Some(key) = MARKS.key(name) else { continue };
            let cell = match at {
                None => None,
                Some(Where::Column(at)) => self.cell(key, line, at, &mut faults),
                Some(Where::Same(text)) => Some(Told::Text(Field {
                    text,
                    place: self.sheet.place(line.number, 1, ""),
                })),
            };
            told.extend(cell.map(|cell| (key.name, cell)));
        }
        let place = self.sheet.place(line.number, 1, "");
        let fields = Fields::new(&MARKS, place, told, &mut faults);
        self.read(&fields, line.number, &mut faults);
        let found = errors(&faults.into_list());
        self.got.refused += usize::from(!found.is_empty());
        self.faults
            .extend(found.into_iter().map(|fault| match fault.kind {
                Kind::BareNumber => Fault {
                    help: Some(in_what_unit(fault.help.as_deref())),
                    ..fault
                },
                _ => fault,
            }));
    }

    fn read(&mut self, fields: &Fields, line: usize, faults: &mut Faults) {
        let column = column_of(self.unit);
        let typed = fields.words("distance");
        let bare = self.foreign.bare();
        let distance = typed
            .as_ref()
            .and_then(|typed| parse::distance(typed, bare).ok());
        let written = |distance: FocusDistance| {
            typed
                .as_deref()
                .map_or_else(String::new, |typed| in_a_cell(typed, distance, self.shown))
        };
        if !fields.has(column) {
            // It waits for its position, and must be a distance.
            let distance = fields.distance("distance", bare, faults);
            let kind = self.foreign.kind(fields, faults);
            let camera = self.foreign.camera(fields, faults);
            if let (Some(distance), Some(kind)) = (distance, kind) {
                let row = ImportRow {
                    line: Some(line),
                    distance: match kind {
                        MarkKind::Engraved => self.foreign.engraved(distance),
                        MarkKind::Eye | MarkKind::Read => distance,
                    },
                    positions: Vec::new(),
                    kind: kind.name(),
                    camera,
                    sd: None,
                    written: written(distance),
                };
                self.got.rows.push(row);
                self.typed.extend(typed);
            }
            return;
        }
        let placed = self.foreign.mark(fields, column, faults);
        let (Some(mut placed), Some(distance)) = (placed, distance) else {
            return;
        };
        let written = written(distance);
        placed.mark.written.clone_from(&written);
        let mark = &placed.mark;
        let positions = match mark.settings.is_empty() {
            true => vec![mark.position],
            false => mark.settings.clone(),
        };
        self.got.rows.push(ImportRow {
            line: Some(line),
            distance: mark.distance,
            positions,
            kind: mark.kind.name(),
            camera: mark.camera.clone(),
            sd: mark.sd,
            written,
        });
        self.got.marks.push(placed);
        self.typed.extend(typed);
    }

    /// A cell as the reader of kits takes it.
    fn cell(&self, key: &'static Key, line: &Line, at: usize, faults: &mut Faults) -> Option<Told> {
        let cell = line.cells.get(at)?;
        let place = self
            .sheet
            .place(line.number, cell.column, self.found.name(at));
        let decimal_commas = self.sheet.has_decimal_commas();
        let figure = key.name.starts_with("position") || key.name == "sd_deg";
        let whole = key.name == "position_counts";
        let strange = not_worked_out(&cell.text)
            .or_else(|| thousands(&cell.text, decimal_commas, whole).filter(|_| figure));
        if let Some(fault) = strange {
            faults.push(fault.at(place));
            return Some(Told::Refused);
        }
        // A cell that holds a comma where cells are separated by one was quoted:
        // what it holds between figures is a decimal's.
        let told = clean(key, &cell.text, true, place.clone(), faults);
        match told {
            Some(Told::Text(field)) if key.name.starts_with("position") => {
                match self.without_its_unit(&field.text) {
                    Ok(text) => Some(Told::Text(Field { text, ..field })),
                    Err(fault) => {
                        faults.push(fault.at(place));
                        Some(Told::Refused)
                    }
                }
            }
            other => other,
        }
    }

    /// A position without the unit behind it, which must be the right one.
    fn without_its_unit(&self, text: &str) -> Result<String, Fault> {
        let (bare, unit) = without_unit(text);
        match unit {
            Some(unit) if unit != self.unit => {
                let message = format!(
                    "\"{}\" is in {}, and positions here are in {}",
                    shortened(text),
                    unit.name(),
                    self.unit.name()
                );
                Err(Fault::new(Kind::Usage, message)
                    .with_help("a file counts in one unit: --unit says which"))
            }
            _ => Ok(bare.to_owned()),
        }
    }
}
