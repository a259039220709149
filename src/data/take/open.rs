//! How a session begins: the lens, the camera, the file and its columns.

use super::growing::Growing;
use super::overlay::Overlay;
use super::{Into, Session};
use crate::data::fault::{Fault, Kind, Place};
use crate::data::files::Files;
use crate::data::kit::{self, POSITIONS};
use crate::data::{camera_assumed, no_camera, no_such_lens};
use crate::gear::{Assumption, Kit, Lens, MarkPosition, PositionUnit};
use crate::scale::turn_between_numbers;
use crate::units::{Stop, StopKind, Unit, parse};

/// What is to be taken down.
#[derive(Clone, Copy, Debug, Default)]
pub struct Wish<'a> {
    /// The lens.
    pub lens: &'a str,
    /// The camera it stands on; the first, unless said.
    pub camera: Option<&'a str>,
    /// What the engraved scale reads, for `prep.csv`, rather than marks.
    pub scale: bool,
    /// What readings are counted in: mm or degrees.
    pub unit: Option<PositionUnit>,
    /// The stop the scale is read at; the widest, unless said.
    pub stop: Option<&'a str>,
    /// The unit distances are shown in; the kit's, unless said.
    pub shown_in: Option<Unit>,
}

impl<'a> Session<'a> {
    /// Begins a session in the kit of these files.
    ///
    /// # Errors
    /// Every fault of the kit; a lens or camera it does not have; a file whose
    /// header has not the columns that rows need.
    pub fn open(files: &'a dyn Files, wish: Wish<'_>) -> Result<Self, Vec<Fault>> {
        let one = |fault: Fault| vec![fault];
        let found = match wish.scale {
            true => Some("prep.csv".to_owned()),
            false => {
                let names = files.list("marks").map_err(one)?;
                kit::table_of(&names, wish.lens).map(|name| format!("marks/{name}"))
            }
        };
        let content = match &found {
            Some(name) => files.read(name).map_err(one)?,
            None => None,
        };
        let own = found.unwrap_or_else(|| format!("marks/{}.csv", wish.lens.trim()));
        let mut overlay = Overlay::without(files, &own);
        let (kit, kit_warnings) = kit::read(&overlay)?;
        let Some((lens, _)) = kit.lens(wish.lens).cloned() else {
            return Err(one(no_such_lens(&kit, wish.lens)));
        };
        // A new file is called as the kit calls the lens.
        let file = match (&content, wish.scale) {
            (None, false) => format!("marks/{}.csv", lens.id()),
            _ => own,
        };
        overlay.rename(&file);
        let mut assumptions = Vec::new();
        let camera = camera(&kit, wish.camera, &mut assumptions)?;
        let stop = match wish.scale {
            true => Some(stop(&lens, wish.stop, &mut assumptions).map_err(one)?),
            false => None,
        };
        let was_there = content.is_some();
        let table = match content {
            Some(bytes) => Growing::open(&file, bytes).map_err(one)?,
            None => None,
        };
        let table = match table {
            Some(table) => table,
            // The reader of kits tells what a file without header lacks.
            None if was_there => return Err(unreadable(&mut overlay, files, &file)),
            None => begin(&lens, camera.as_deref(), wish),
        };
        let (into, column) = into(&table, &file, wish, stop).map_err(one)?;
        let mut session = Self {
            overlay,
            unit: wish.shown_in.unwrap_or(kit.units),
            kit,
            lens,
            marks: None,
            camera,
            into,
            column,
            stop_as_typed: stop.map_or_else(String::new, |stop| as_typed(stop, wish.stop)),
            file,
            table,
            was_there,
            known: Vec::new(),
            kit_warnings,
            heard: 0,
            taken: Vec::new(),
            undone: 0,
            refused: Vec::new(),
            assumptions,
        };
        let own = session.reread()?;
        session.kit_warnings.extend(own);
        session.check_columns()?;
        session.note_unknown_turn();
        Ok(session)
    }

    /// Refuses a file without the columns that rows need.
    fn check_columns(&mut self) -> Result<(), Vec<Fault>> {
        let names = self.kit.cameras.iter();
        let named = names.filter(|camera| camera.name.is_some()).count();
        let mut needed = Vec::new();
        if let Into::Marks(_) = self.into {
            needed.push(("kind", "rows taken here are of kind eye"));
        }
        if named >= 2 {
            needed.push(("camera", "the kit has several cameras"));
        }
        let lacking: Vec<Fault> = needed
            .into_iter()
            .filter(|(column, _)| !self.table.has(column))
            .map(|(column, why)| self.table.lacks(&self.file, column, why))
            .collect();
        if !lacking.is_empty() {
            return Err(lacking);
        }
        if let (1, Some(name), false) = (named, &self.camera, self.table.has("camera")) {
            let message = format!(
                "{} has no column camera: rows stand for camera {name}, the only one",
                self.file
            );
            self.assumptions
                .push(Assumption::new("camera_unsaid", message));
        }
        Ok(())
    }

    /// Says where repeats cannot be held against what a ring may be off.
    fn note_unknown_turn(&mut self) {
        let Into::Marks(unit) = self.into else {
            return;
        };
        let one = |value| MarkPosition::new(value).ok();
        let turn = one(0.0)
            .zip(one(1.0))
            .and_then(|(from, to)| turn_between_numbers(&self.lens, unit, from, to));
        let lacks = match (turn, unit) {
            (Some(_), _) | (None, PositionUnit::Counts | PositionUnit::Deg) => return,
            (None, PositionUnit::Mm) => "ring_circumference_mm",
            (None, PositionUnit::Fraction) => "travel_deg",
        };
        let message = format!(
            "{lacks} of lens {} is not known: nobody can say how many degrees repeats are apart",
            self.lens.id()
        );
        self.assumptions
            .push(Assumption::new("ring_size_unknown", message));
    }
}

/// What the reader of kits tells of a file that has no header.
pub(in crate::data) fn unreadable(
    overlay: &mut Overlay<'_>,
    files: &dyn Files,
    file: &str,
) -> Vec<Fault> {
    overlay.set(files.read(file).ok().flatten());
    match kit::read(overlay) {
        Err(faults) => faults,
        Ok(_) => {
            vec![Fault::new(Kind::Missing, "the file has no header line").at(Place::in_file(file))]
        }
    }
}

/// The camera, said aloud where nobody chose.
fn camera(
    kit: &Kit,
    asked: Option<&str>,
    assumptions: &mut Vec<Assumption>,
) -> Result<Option<String>, Vec<Fault>> {
    let Some(camera) = kit.camera(asked) else {
        return Err(vec![no_camera(kit, asked.unwrap_or_default())]);
    };
    if let (None, Some(name)) = (asked, &camera.name) {
        assumptions.extend(camera_assumed(kit, name));
    }
    Ok(camera.name.clone())
}

/// The stop the scale is read at.
fn stop(
    lens: &Lens,
    typed: Option<&str>,
    assumptions: &mut Vec<Assumption>,
) -> Result<Stop, Fault> {
    let widest = lens.widest();
    let Some(typed) = typed else {
        let message = format!("{widest} is assumed, the widest of this lens: --stop says another");
        assumptions.push(Assumption::new("widest_assumed", message));
        return Ok(widest);
    };
    let stop = parse::stop(typed, Some(lens.stop_kind()));
    let stop = stop.map_err(|reason| Fault::unreadable(typed, &reason).at_flag("--stop"))?;
    if lens.opens_to(stop) {
        return Ok(stop);
    }
    let message = format!("{stop} is wider than this lens opens, {widest}");
    Err(Fault {
        nearest: Some(widest.number()),
        ..Fault::new(Kind::OutOfRange, message).at_flag("--stop")
    })
}

/// A stop as a cell holds it: as it was typed, else to the last digit.
fn as_typed(stop: Stop, typed: Option<&str>) -> String {
    match (typed, stop.kind()) {
        (Some(typed), _) => typed.trim().to_owned(),
        (None, StopKind::F) => format!("f/{}", stop.number()),
        (None, StopKind::T) => format!("T{}", stop.number()),
    }
}

/// A new file, saying what it is.
fn begin(lens: &Lens, camera: Option<&str>, wish: Wish<'_>) -> Growing {
    let degrees = wish.unit == Some(PositionUnit::Deg);
    let mut columns = match (wish.scale, degrees) {
        (false, false) => vec!["distance", "position_mm", "kind"],
        (false, true) => vec!["distance", "position_deg", "kind"],
        (true, false) => vec!["lens", "stop", "taped", "reading"],
        (true, true) => vec!["lens", "stop", "taped", "reading_deg"],
    };
    columns.extend(camera.map(|_| "camera"));
    let about = match wish.scale {
        true => "Prep day: what each scale said when the chart was sharp at the taped distance."
            .to_owned(),
        false => format!(
            "Where distances stand on the ring of lens {}, found by eye on a chart at taped \
             distances.",
            lens.id()
        ),
    };
    Growing::begin(&[&about, "Repeats stand in one cell."], &columns)
}

/// What readings are, by the columns of the file and what was asked for.
fn into(
    table: &Growing,
    file: &str,
    wish: Wish<'_>,
    stop: Option<Stop>,
) -> Result<(Into, &'static str), Fault> {
    let degrees = wish.unit == Some(PositionUnit::Deg);
    if let Some(stop) = stop {
        if wish.unit == Some(PositionUnit::Mm) {
            let message = "what a scale reads is a distance, or degrees of its ring";
            return Err(Fault::new(Kind::Usage, message)
                .at_flag("--in")
                .with_help("leave --in out, or write --in deg"));
        }
        let (into, column) = match degrees {
            true => (Into::Turn(stop), "reading_deg"),
            false => (Into::Scale(stop), "reading"),
        };
        return match table.has(column) {
            true => Ok((into, column)),
            false => Err(no_reading(table, file, column)),
        };
    }
    let mut there = POSITIONS.iter().filter(|(column, _)| table.has(column));
    // A file without one is told of by the reader of kits.
    let &(column, unit) = there.next().unwrap_or(&POSITIONS[0]);
    match wish.unit {
        Some(asked) if asked != unit => Err(Fault::new(
            Kind::Usage,
            format!(
                "{file} counts in {column}, and --in asks for {}",
                asked.name()
            ),
        )
        .at_flag("--in")
        .with_help("leave --in out: it is for a new file")),
        _ => Ok((Into::Marks(unit), column)),
    }
}

fn no_reading(table: &Growing, file: &str, column: &str) -> Fault {
    let other = match column {
        "reading" => "reading_deg",
        _ => "reading",
    };
    let way_out = match (table.has(other), column) {
        (true, "reading") => "; or take degrees with --in deg, as the file has them",
        (true, _) => "; or leave --in out and take what the scale says",
        _ => "",
    };
    let line = table.header_line();
    Fault::new(Kind::Missing, format!("the column {column} is missing"))
        .at(Place {
            line: Some(line),
            key: Some(column.to_owned()),
            ..Place::in_file(file)
        })
        .with_help(format!(
            "add {column} at the end of line {line}, and an empty cell to every row under \
             it{way_out}"
        ))
}
