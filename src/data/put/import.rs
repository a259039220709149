//! `import`: marks from a table that is not a kit's, or from a pasted line, into
//! `marks/ID.csv`.

use super::answer::{Change, Columns, ImportAnswer, ImportRow};
use super::columns::{self, Found, Named};
use super::form::{self, column_of};
use super::line;
use super::rows::{Got, Reading};
use super::sheet::Sheet;
use super::there::{How, exists, free_name};
use super::{as_written, errors, in_a_cell, told, understood_of};
use crate::data::fault::{Fault, Kind, Place, shortened};
use crate::data::faults::Faults;
use crate::data::files::Files;
use crate::data::keys::most;
use crate::data::kit::{self, Foreign, Rows};
use crate::data::no_such_lens;
use crate::data::take::{Cell, Growing, Overlay, in_one_cell, not_read_back, unreadable};
use crate::gear::{Assumption, Kit, Lens, MarkKind, Marks, PositionUnit};
use crate::units::{BareUnit, Unit, parse};

/// Where marks come from.
#[derive(Clone, Copy, Debug)]
pub enum From<'a> {
    /// A table.
    Table {
        /// What the user calls it.
        name: &'a str,
        /// Its bytes.
        bytes: &'a [u8],
        /// What was said of its columns.
        columns: Named<'a>,
    },
    /// The lens's own engraved distances, in one line.
    Line(&'a str),
}

/// What to do where the lens has a file of marks already.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum IfThere {
    /// Leave it, and write nothing.
    #[default]
    Refuse,
    /// Put rows at its end.
    Append,
    /// Write it anew, and keep the old one under another name.
    Replace,
}

/// What is to be imported.
#[derive(Clone, Copy, Debug)]
pub struct ImportWish<'a> {
    /// The lens.
    pub lens: &'a str,
    /// Where marks come from.
    pub from: From<'a>,
    /// What positions are counted in.
    pub unit: Option<PositionUnit>,
    /// What distances without a unit are.
    pub distances_in: Option<Unit>,
    /// What to do with marks that are there.
    pub if_there: IfThere,
}

/// What an import comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Imported {
    /// What is said of it.
    pub answer: ImportAnswer,
    /// The files to be written.
    pub changes: Vec<Change>,
}

/// Reads marks for a lens of a kit.
///
/// # Errors
/// Every fault of the kit without these marks, of what was asked, and of the
/// table: of its rows the first hundred, and how many more there are.
pub fn import(files: &dyn Files, wish: ImportWish<'_>) -> Result<Imported, Vec<Fault>> {
    let one = |fault: Fault| vec![fault];
    let names = files.list("marks").map_err(one)?;
    let found = kit::table_of(&names, wish.lens).map(|name| format!("marks/{name}"));
    let own = found.clone().unwrap_or_default();
    let (kit, _) = kit::read(&Overlay::without(files, &own)).map_err(|f| errors(&f))?;
    let Some((lens, _)) = kit.lens(wish.lens) else {
        return Err(one(no_such_lens(&kit, wish.lens).at_flag("--lens")));
    };
    let there = match &found {
        Some(name) => files.read(name).map_err(one)?,
        None => None,
    };
    let file = found.unwrap_or_else(|| format!("marks/{}.csv", lens.id()));
    let how = How::of(&there, &kit, lens, wish.if_there);
    let Some(how) = how else {
        return Err(one(exists(&file, &names)));
    };
    let mut work = Work {
        files,
        foreign: Foreign::of(&kit, lens, wish.distances_in),
        kit: &kit,
        lens,
        file,
        wish,
        old: there.filter(|_| how == How::Append),
        assumptions: Vec::new(),
    };
    let (got, table) = match wish.from {
        From::Line(text) => (work.of_line(text)?, None),
        From::Table {
            name,
            bytes,
            columns,
        } => {
            let sheet = Sheet::open(name, bytes.to_vec()).map_err(one)?;
            let (got, found) = work.of_table(&sheet, columns)?;
            let columns = Columns {
                separator: sheet.separator_name(),
                decimal_comma: sheet.has_decimal_commas(),
                header_line: found.header_line,
                taken: found.taken(),
            };
            (got, Some((name, columns)))
        }
    };
    let written = work.write(&got, table.as_ref().map(|(name, _)| *name))?;
    let (kit, warnings, marks) = work.read_back(&written, &got)?;
    let (from, columns) = table.unzip();
    let keep = (how == How::Replace).then(|| free_name(&work.file, &names));
    let before = files.read(&work.file).map_err(one)?;
    let mut changes = Vec::new();
    if let (Some(keep), Some(old)) = (&keep, &before) {
        changes.push(Change {
            file: keep.clone(),
            before: None,
            after: old.clone(),
        });
    }
    changes.push(Change {
        file: work.file.clone(),
        before,
        after: written,
    });
    let about = ["marks", "standing", "sense", "tape"];
    let answer = ImportAnswer {
        lens: lens.id().as_str().to_owned(),
        file: work.file,
        how: how.name(),
        kept_as: keep,
        from: from.map(str::to_owned),
        columns,
        shown_in: kit.units,
        unit: got.unit.name(),
        rows: got.rows,
        left_out: got.left_out,
        grow_toward_close_focus: marks.as_ref().map(Marks::grow_toward_close_focus),
        understood: understood_of(&kit, lens.id().as_str(), &about),
        warnings,
        assumptions: work.assumptions,
    };
    Ok(Imported { answer, changes })
}

/// An import under way.
struct Work<'a> {
    files: &'a dyn Files,
    foreign: Foreign,
    kit: &'a Kit,
    lens: &'a Lens,
    /// The lens's file of marks.
    file: String,
    wish: ImportWish<'a>,
    /// What it holds, where rows are put at its end.
    old: Option<Vec<u8>>,
    assumptions: Vec<Assumption>,
}

impl Work<'_> {
    /// The distances of a pasted line.
    fn of_line(&mut self, text: &str) -> Result<Got, Vec<Fault>> {
        let bare = self.foreign.bare();
        let read = line::read(text, bare)?;
        let place = Place {
            key: Some(line::FLAG.into()),
            ..Place::default()
        };
        let mut faults = Faults::default();
        self.foreign.check_engraved(&read, &place, &mut faults);
        let faults = errors(&faults.into_list());
        if !faults.is_empty() {
            return Err(faults);
        }
        if self.wish.distances_in.is_none() {
            self.note_bare(read.iter().map(|(_, typed)| typed.as_str()));
        }
        let rows = read.iter().map(|(distance, typed)| ImportRow {
            line: None,
            distance: self.foreign.engraved(*distance),
            positions: Vec::new(),
            kind: MarkKind::Engraved.name(),
            camera: None,
            sd: None,
            written: in_a_cell(typed, *distance, self.shown()),
        });
        Ok(Got {
            unit: self.unit(None)?,
            rows: rows.collect(),
            marks: Vec::new(),
            left_out: 0,
            refused: 0,
        })
    }

    /// The unit of distances that are written with one.
    fn shown(&self) -> Unit {
        match self.foreign.bare() {
            BareUnit::Engraved(unit) => unit,
            BareUnit::Refused(_) => self.kit.units,
        }
    }

    /// Says what bare distances were taken for, where the lens said it.
    fn note_bare<'b>(&mut self, mut typed: impl Iterator<Item = &'b str>) {
        let bare = self.foreign.bare();
        let needs_it = |text: &str| {
            parse::distance(text, bare).is_ok()
                && parse::distance(text, BareUnit::Refused(None)).is_err()
        };
        if let (BareUnit::Engraved(unit), true) = (bare, typed.any(needs_it)) {
            let unit = match unit {
                Unit::Feet => "feet",
                Unit::Metres => "metres",
            };
            let message = format!(
                "distances without a unit are taken as {unit}, as the scale of lens {} has them: \
                 --distances-in says otherwise",
                self.lens.id()
            );
            self.assumptions
                .push(Assumption::new("unit_of_scale", message));
        }
    }

    /// What positions are counted in: as the file has it that is there, as was
    /// said, as the column is called.
    fn unit(&self, named: Option<PositionUnit>) -> Result<PositionUnit, Vec<Fault>> {
        let fault = |kind, message: String, help: &str| {
            Err(vec![
                Fault::new(kind, message).at_flag("--unit").with_help(help),
            ])
        };
        let said = self.wish.unit.or(named);
        if let (Some(said), Some(named)) = (self.wish.unit, named)
            && said != named
        {
            let message = format!(
                "the column is called {}, and --unit asks for {}",
                column_of(named),
                said.name()
            );
            return fault(
                Kind::Usage,
                message,
                "leave --unit out, or name another column",
            );
        }
        if let Some(own) = self.old_unit() {
            return match said {
                Some(said) if said != own => fault(
                    Kind::Usage,
                    format!(
                        "{} counts in {}, and these positions are in {}",
                        self.file,
                        column_of(own),
                        said.name()
                    ),
                    "a file counts in one unit: --replace writes it anew",
                ),
                _ => Ok(own),
            };
        }
        match (said, self.wish.from) {
            (Some(said), _) => Ok(said),
            (None, From::Line(_)) => Ok(PositionUnit::Mm),
            (None, From::Table { .. }) => fault(
                Kind::Missing,
                "nobody said what positions are counted in".into(),
                "add --unit mm (along the ring), deg, fraction (of the travel) or counts (of an \
                 encoder)",
            ),
        }
    }

    /// What the file counts in that rows are put to.
    fn old_unit(&self) -> Option<PositionUnit> {
        let table = Growing::open(&self.file, self.old.clone()?).ok()??;
        let mut units = kit::POSITIONS.iter();
        units
            .find(|(column, _)| table.has(column))
            .map(|(_, unit)| *unit)
    }

    /// The marks of a table.
    fn of_table(&mut self, sheet: &Sheet, named: Named<'_>) -> Result<(Got, Found), Vec<Fault>> {
        let one = |fault: Fault| vec![fault];
        let cameras = self.kit.cameras.iter();
        let cameras: Vec<&str> = cameras.filter_map(|c| c.name.as_deref()).collect();
        let mut lines = sheet.lines();
        let first = match lines.next() {
            Some(first) => first.map_err(one)?,
            None => return Err(Vec::new()),
        };
        let found = columns::find(sheet, &first, named, &cameras)?;
        let unit = self.unit(found.unit)?;
        let headless = found.header_line.is_none().then_some(Ok(first));
        let mut reading = Reading {
            sheet,
            found: &found,
            unit,
            foreign: &self.foreign,
            shown: self.shown(),
            got: Got {
                unit,
                rows: Vec::new(),
                marks: Vec::new(),
                left_out: 0,
                refused: 0,
            },
            typed: Vec::new(),
            faults: Vec::new(),
        };
        for (at, line) in headless.into_iter().chain(lines).enumerate() {
            if at >= most::MARKS {
                let message = format!("more than {} rows", most::MARKS);
                let place = line.map_or_else(
                    |_| Place::in_file(&sheet.file),
                    |line| sheet.place(line.number, 1, ""),
                );
                reading
                    .faults
                    .push(Fault::new(Kind::TooLarge, message).at(place));
                break;
            }
            match line {
                Ok(line) => reading.row(&line),
                Err(fault) => {
                    reading.got.refused += 1;
                    reading.faults.push(fault);
                }
            }
        }
        let Reading {
            got,
            mut faults,
            typed,
            ..
        } = reading;
        faults.extend(self.judge(&got, sheet));
        if !faults.is_empty() {
            return Err(told(faults));
        }
        if self.wish.distances_in.is_none() {
            self.note_bare(typed.iter().map(String::as_str));
        }
        if cameras.len() >= 2 && found.camera.is_none() {
            let message = format!(
                "these rows stand for every camera: --camera {} says for which one",
                cameras.join(" or --camera ")
            );
            self.assumptions
                .push(Assumption::new("camera_unsaid", message));
        }
        Ok((got, found))
    }

    /// What stands against all marks together, those that are there among them.
    fn judge(&self, got: &Got, sheet: &Sheet) -> Vec<Fault> {
        if got.rows.is_empty() && got.refused == 0 {
            let fault = Fault::new(Kind::TooFew, "no row with a distance stands in it");
            return vec![fault.at(Place::in_file(&sheet.file))];
        }
        let mut faults = Faults::default();
        let mut all = Rows {
            unit: got.unit,
            placed: Vec::new(),
            skipped: 0,
            rows: 0,
        };
        if let Some(old) = &self.old {
            let Some(own) = self.foreign.own_rows(&self.file, old, &mut faults) else {
                return errors(&faults.into_list());
            };
            all.rows = own.rows;
            all.skipped = own.skipped;
            all.placed = own.placed;
            for placed in &mut all.placed {
                // Whatever a bare number in it means, it was read.
                placed.mark.written = as_written(placed.mark.distance, self.kit.units);
            }
        }
        all.rows += got.rows.len() + got.refused;
        all.skipped += got.rows.len() - got.marks.len();
        all.placed.extend(got.marks.iter().cloned());
        let _ = self.foreign.judge(&sheet.file, all, &mut faults);
        errors(&faults.into_list())
    }

    /// The file as it is to be.
    fn write(&self, got: &Got, from: Option<&str>) -> Result<Vec<u8>, Vec<Fault>> {
        let one = |fault: Fault| vec![fault];
        let with_sd = got.rows.iter().any(|row| row.sd.is_some());
        let with_camera = got.rows.iter().any(|row| row.camera.is_some());
        let with_kind = got.rows.iter().any(|row| row.kind != MarkKind::Read.name());
        let mut table = match &self.old {
            None => {
                // A path says where it lay; a control character ends a line.
                let name =
                    from.map(|from| shortened(from.rsplit(['/', '\\']).next().unwrap_or(from)));
                let name = name.filter(|name| name != "-");
                form::begin(
                    self.kit,
                    self.lens,
                    name.as_deref(),
                    got.unit,
                    with_sd,
                    with_camera,
                )
            }
            Some(bytes) => match Growing::open(&self.file, bytes.clone()).map_err(one)? {
                Some(table) => table,
                None => {
                    let mut overlay = Overlay::without(self.files, &self.file);
                    return Err(unreadable(&mut overlay, self.files, &self.file));
                }
            },
        };
        let needed = [
            (
                "kind",
                with_kind,
                "some of these rows are engraved or found by eye",
            ),
            ("camera", with_camera, "these rows name a camera"),
            ("sd_deg", with_sd, "these rows have standard deviations"),
        ];
        let lacking: Vec<Fault> = needed
            .into_iter()
            .filter(|(column, needed, _)| *needed && !table.has(column))
            .map(|(column, _, why)| table.lacks(&self.file, column, why))
            .collect();
        if !lacking.is_empty() {
            return Err(lacking);
        }
        for row in &got.rows {
            let mut cells = vec![
                ("distance", Cell::Figure(row.written.clone())),
                (
                    column_of(got.unit),
                    Cell::Figure(in_one_cell(&row.positions)),
                ),
                ("kind", Cell::Name(row.kind.to_owned())),
            ];
            cells.extend(row.camera.clone().map(|name| ("camera", Cell::Name(name))));
            let sd = row.sd.map(|sd| Cell::Figure(sd.to_deg().to_string()));
            cells.extend(sd.map(|sd| ("sd_deg", sd)));
            if !table.add(&cells) {
                let message = format!("{} would be larger than a kit's file may be", self.file);
                return Err(one(Fault::new(Kind::TooLarge, message)));
            }
        }
        Ok(table.bytes().to_vec())
    }

    /// Reads the kit with the file as it is to be: the kit, what deserves a look
    /// in that file, and the lens's marks, which must be those that were meant.
    fn read_back(
        &self,
        written: &[u8],
        got: &Got,
    ) -> Result<(Kit, Vec<Fault>, Option<Marks>), Vec<Fault>> {
        let mut overlay = Overlay::without(self.files, &self.file);
        overlay.set(Some(written.to_vec()));
        let (kit, warnings) = kit::read(&overlay).map_err(|faults| told(errors(&faults)))?;
        let marks = kit.lens(self.lens.id().as_str());
        let marks = marks.and_then(|(_, marks)| marks.clone());
        let read = marks.as_ref().map_or(&[][..], Marks::rows);
        let tail = read.len().checked_sub(got.marks.len());
        let meant = tail.is_some_and(|at| {
            read[at..].iter().zip(&got.marks).all(|(read, meant)| {
                let meant = &meant.mark;
                read.distance == meant.distance
                    && read.position == meant.position
                    && (read.kind, read.sd) == (meant.kind, meant.sd)
                    && read.camera == meant.camera
            })
        });
        if !meant {
            return Err(vec![not_read_back(&self.file)]);
        }
        // Of distances that wait for their positions none is read, as was meant.
        let waits = |fault: &Fault| fault.kind == Kind::TooFew && got.marks.is_empty();
        let of_file = |fault: &Fault| {
            let place = fault.place.as_ref();
            place.and_then(|place| place.file.as_ref()) == Some(&self.file) && !waits(fault)
        };
        let warnings = warnings.into_iter().filter(of_file).collect();
        Ok((kit, warnings, marks))
    }
}
