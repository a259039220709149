//! The take-down at the bench: lines of a distance and its readings become rows of
//! a kit's file, one by one, each judged before it is written.
//!
//! A session knows no terminal and writes no file: it hears lines, says what it
//! understood, and holds what the file must be. A row is taken where the kit can
//! be read with it, for the reader of kits is the only judge of what a kit may say.

mod answer;
mod growing;
mod line;
mod marks;
mod open;
mod overlay;
mod scale;

pub use answer::{Expected, Figure, Refused, TakeAnswer, Taken};
pub use growing::{Cell, Growing};
pub use open::Wish;

use super::fault::{Fault, Kind, Severity};
use super::fields::with_points;
use super::kit;
use crate::gear::{Assumption, Kit, Lens, MarkPosition, Marks, PositionUnit};
use crate::scale::{tape_sd, usual_spread};
use crate::units::{Angle, BareUnit, FocusDistance, Reach, Stop, Unit, parse, show};
use line::Line;

pub(in crate::data) use marks::{in_one_cell, not_read_back, without_unit};
pub(in crate::data) use open::unreadable;
pub(in crate::data) use overlay::Overlay;

/// What readings are, and where they go.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Into {
    /// Positions of marks found by eye.
    Marks(PositionUnit),
    /// What the engraved scale reads.
    Scale(Stop),
    /// The same as an angle of the ring.
    Turn(Stop),
}

/// A session: one lens on one camera, one file that grows.
pub struct Session<'a> {
    overlay: Overlay<'a>,
    /// The kit as it was last read.
    kit: Kit,
    lens: Lens,
    /// The lens's marks, where there are enough.
    marks: Option<Marks>,
    camera: Option<String>,
    unit: Unit,
    into: Into,
    column: &'static str,
    /// The stop as rows have it; empty for marks.
    stop_as_typed: String,
    file: String,
    table: Growing,
    was_there: bool,
    /// Warnings that the file gave before.
    known: Vec<Fault>,
    kit_warnings: Vec<Fault>,
    heard: usize,
    taken: Vec<Taken>,
    undone: usize,
    refused: Vec<Refused>,
    assumptions: Vec<Assumption>,
}

/// What a session says to a line.
#[derive(Clone, Debug, PartialEq)]
pub enum Heard {
    /// Nothing was said.
    Nothing,
    /// A line was taken: the file is to be written.
    Took(Box<Taken>),
    /// A line was not taken, and why.
    Refused(Vec<Fault>),
    /// The last line was taken back: the file is to be written.
    Undid(Box<Taken>),
    /// There is no line of this session to take back.
    NothingToUndo,
    /// What was taken is asked for.
    List,
    /// How a line is written is asked for.
    Help,
    /// That was all.
    Done,
}

/// A tape at close focus is no slip up to so many standard deviations.
const TAPE_OFF: f64 = 4.0;

impl Session<'_> {
    /// Hears a line.
    pub fn hear(&mut self, text: &str) -> Heard {
        self.heard += 1;
        let pointed = match self.table.has_decimal_commas() {
            true => with_points(text),
            false => text.to_owned(),
        };
        let read = line::line(&pointed, self.example());
        let taken = match read {
            Ok(Line::Blank) => return Heard::Nothing,
            Ok(Line::List) => return Heard::List,
            Ok(Line::Help) => return Heard::Help,
            Ok(Line::Done) => return Heard::Done,
            Ok(Line::Undo) => return self.undo(),
            Ok(Line::Figures { distance, readings }) => self.take(&distance, &readings),
            Err(fault) => Err(vec![fault]),
        };
        match taken {
            Ok(taken) => {
                self.taken.push(taken.clone());
                Heard::Took(Box::new(taken))
            }
            Err(faults) => {
                self.refused.push(Refused {
                    line: self.heard,
                    text: super::shortened(text.trim()),
                    faults: faults.clone(),
                });
                Heard::Refused(faults)
            }
        }
    }

    fn take(&mut self, distance: &str, readings: &[String]) -> Result<Taken, Vec<Fault>> {
        let bare = BareUnit::Refused(Some(self.kit.units));
        let taped = parse::distance(distance, bare);
        let taped = taped.map_err(|reason| vec![Fault::unreadable(distance, &reason)])?;
        self.check_reach(taped).map_err(|fault| vec![fault])?;
        match self.into {
            Into::Marks(unit) => self.take_mark((taped, distance), readings, unit),
            Into::Scale(stop) | Into::Turn(stop) => {
                self.take_scale((taped, distance), readings, stop)
            }
        }
    }

    fn undo(&mut self) -> Heard {
        let Some(taken) = self.taken.pop() else {
            return Heard::NothingToUndo;
        };
        self.table.take_back();
        self.undone += 1;
        // It was read so before.
        let _ = self.reread();
        Heard::Undid(Box::new(taken))
    }

    /// Refuses what is nearer than close focus by more than a tape may be off.
    fn check_reach(&self, taped: FocusDistance) -> Result<(), Fault> {
        let close = self.lens.close_focus();
        let (Reach::At(at), Reach::At(nearest)) = (taped.reach(), close.reach()) else {
            return Ok(());
        };
        if at >= nearest - tape_sd(taped) * TAPE_OFF {
            return Ok(());
        }
        let message = format!(
            "{} is nearer than lens {} goes: its close focus is {}",
            self.shown(taped),
            self.lens.id(),
            self.shown(close)
        );
        let fault = Fault::new(Kind::InsideCloseFocus, message)
            .with_help("tape again; or is close_focus in lenses.csv a slip?");
        Err(Fault {
            nearest: Some(nearest.to_mm()),
            ..fault
        })
    }

    /// Adds a row and reads the kit with it; what stands against it is told, and
    /// the row is gone again.
    fn add(&mut self, cells: &[(&str, Cell)]) -> Result<Vec<Fault>, Vec<Fault>> {
        if !self.table.add(cells) {
            let message = format!("{} is as large as a file of a kit may be", self.file);
            return Err(vec![Fault::new(Kind::TooLarge, message)]);
        }
        self.reread().map_err(|faults| {
            let line = self.table.last_line();
            self.withdraw();
            let faults = faults.into_iter();
            faults.map(|fault| self.of_line(fault, line)).collect()
        })
    }

    /// Takes a row back that was added a moment ago.
    fn withdraw(&mut self) {
        self.table.take_back();
        let _ = self.reread();
    }

    /// Reads the kit with the file as it stands; the warnings it had not before.
    fn reread(&mut self) -> Result<Vec<Fault>, Vec<Fault>> {
        self.overlay.set(self.content().map(<[u8]>::to_vec));
        let (marks, warnings) = match kit::read(&self.overlay) {
            Ok((kit, warnings)) => {
                let marks = kit.lens(self.lens.id().as_str());
                let marks = marks.and_then(|(_, marks)| marks.clone());
                self.kit = kit;
                (marks, warnings)
            }
            Err(faults) => {
                let (errors, warnings): (Vec<Fault>, Vec<Fault>) = faults
                    .into_iter()
                    .partition(|fault| fault.severity == Severity::Error);
                // One mark is the first of two.
                let waits = |fault: &Fault| fault.kind == Kind::TooFew && self.is_own(fault);
                if !errors.iter().all(waits) {
                    return Err(errors);
                }
                (None, warnings)
            }
        };
        self.marks = marks;
        let own: Vec<Fault> = warnings.into_iter().filter(|w| self.is_own(w)).collect();
        let new = own.iter().filter(|fault| !self.known.contains(fault));
        let new = new.cloned().collect();
        self.known = own;
        Ok(new)
    }

    /// Whether a fault stands in the file that grows.
    fn is_own(&self, fault: &Fault) -> bool {
        let place = fault.place.as_ref();
        place.and_then(|place| place.file.as_deref()) == Some(&self.file)
    }

    /// A fault of a row that was never written: it has no place, and repeats are
    /// written otherwise than the reader of a whole file advises.
    fn of_line(&self, fault: Fault, line: usize) -> Fault {
        let own = self.is_own(&fault);
        let place = fault.place.clone();
        let place = place.filter(|place| !own || place.line != Some(line));
        let fault = Fault { place, ..fault };
        match fault.kind {
            Kind::Duplicate => fault.with_help(ONE_LINE),
            _ => fault,
        }
    }

    /// What one more line may look like.
    fn example(&self) -> &'static str {
        let example = |feet, metres| match self.kit.units {
            Unit::Feet => feet,
            Unit::Metres => metres,
        };
        match self.into {
            Into::Marks(_) | Into::Turn(_) => example("6' 41.2 41.5 41.3", "2m 41.2 41.5 41.3"),
            Into::Scale(_) => example("6' 5'11 6' 6'1", "2m 2.02m 2.05m 2.03m"),
        }
    }

    fn shown(&self, distance: FocusDistance) -> String {
        show::exact_distance(distance, self.unit)
    }

    /// How far the ring turned between the ends of its settings, and whether that
    /// is more than settings ordinarily differ.
    fn spread(turn: Option<Angle>, settings: usize) -> (Option<Angle>, Option<bool>) {
        let turn = turn.map(Angle::abs);
        let usual = usual_spread(settings);
        (turn, turn.map(|turn| turn > usual))
    }

    /// The file, within the kit.
    #[must_use]
    pub fn file(&self) -> &str {
        &self.file
    }

    /// What the file must hold; `None` where it is to be none.
    #[must_use]
    pub fn content(&self) -> Option<&[u8]> {
        let there = self.was_there || self.table.added() > 0;
        there.then(|| self.table.bytes())
    }

    /// The lens.
    #[must_use]
    pub const fn lens(&self) -> &Lens {
        &self.lens
    }

    /// The unit distances are shown in.
    #[must_use]
    pub const fn unit(&self) -> Unit {
        self.unit
    }

    /// What deserved a look in the kit before anything was taken.
    #[must_use]
    pub fn kit_warnings(&self) -> &[Fault] {
        &self.kit_warnings
    }

    /// How a line is written here, for one who asks.
    #[must_use]
    pub fn how(&self) -> String {
        let readings = match self.into {
            Into::Marks(unit) => match unit {
                PositionUnit::Mm => "what the witness mark points at, mm",
                PositionUnit::Deg => "what the ring reads, degrees",
                PositionUnit::Fraction => "parts of the travel",
                PositionUnit::Counts => "counts of the encoder",
            },
            Into::Turn(_) => "what the ring reads, degrees",
            Into::Scale(_) => "what the engraved scale says",
        };
        format!(
            "DISTANCE READING [READING …], as {}: taped from the image plane, then {readings}",
            self.example()
        )
    }

    /// What was taken down so far.
    #[must_use]
    pub fn answer(&self) -> TakeAnswer {
        let (unit, stop) = match self.into {
            Into::Marks(unit) => (unit.name(), None),
            Into::Scale(stop) => ("mm", Some(stop.to_string())),
            Into::Turn(stop) => ("deg", Some(stop.to_string())),
        };
        TakeAnswer {
            file: self.file.clone(),
            lens: self.lens.id().as_str().to_owned(),
            camera: self.camera.clone(),
            stop,
            column: self.column,
            unit,
            taken: self.taken.clone(),
            undone: self.undone,
            refused: self.refused.clone(),
            assumptions: self.assumptions.clone(),
        }
    }
}

/// What to do with several readings of one distance.
const ONE_LINE: &str =
    "write all readings of a distance in one line; undo takes the last line back";

/// The lowest and the highest of several numbers.
fn ends(numbers: &[MarkPosition]) -> Option<(MarkPosition, MarkPosition)> {
    let by_value = |a: &&MarkPosition, b: &&MarkPosition| a.value().total_cmp(&b.value());
    let low = numbers.iter().min_by(by_value)?;
    Some((*low, *numbers.iter().max_by(by_value)?))
}

/// The way from one number to another.
fn way(from: MarkPosition, to: MarkPosition) -> Option<MarkPosition> {
    MarkPosition::new(to.value() - from.value()).ok()
}
