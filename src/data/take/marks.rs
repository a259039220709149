//! Marks found by eye: a row of `marks/ID.csv`.

use super::{Cell, Expected, Figure, ONE_LINE, Session, Taken, ends, way};
use crate::data::fault::{Fault, Kind, shortened};
use crate::gear::{Mark, MarkKind, MarkPosition, PositionUnit};
use crate::scale::{LensLaw, turn_between_numbers};
use crate::units::range::{self, Range};
use crate::units::{BareUnit, FocusDistance, parse};

impl Session<'_> {
    /// Takes a mark: judged against the other marks, then written and read.
    pub(super) fn take_mark(
        &mut self,
        (taped, typed): (FocusDistance, &str),
        readings: &[String],
        unit: PositionUnit,
    ) -> Result<Taken, Vec<Fault>> {
        let numbers = self.numbers(readings, unit)?;
        let mean = MarkPosition::mean(&numbers).ok_or_else(|| vec![no_number("")])?;
        self.check_order(taped, mean).map_err(|fault| vec![fault])?;
        let expected = self.expected_mark(taped, mean, unit);
        let mut cells = vec![
            ("distance", Cell::Figure(typed.to_owned())),
            (self.column, Cell::Figure(in_one_cell(&numbers))),
            ("kind", Cell::Name(MarkKind::Eye.name().to_owned())),
        ];
        if let Some(camera) = self.camera.as_ref().filter(|_| self.table.has("camera")) {
            cells.push(("camera", Cell::Name(camera.clone())));
        }
        let warnings = self.add(&cells)?;
        let file_line = self.table.last_line();
        let read = |marks: &crate::gear::Marks| {
            marks.rows().last().is_some_and(|row| {
                row.distance == taped && row.position == mean && row.kind == MarkKind::Eye
            })
        };
        if self.marks.as_ref().is_some_and(|marks| !read(marks)) {
            self.withdraw();
            return Err(vec![not_read_back(&self.file)]);
        }
        let range = ends(&numbers).filter(|_| numbers.len() > 1);
        let turn = range.and_then(|(low, high)| turn_between_numbers(&self.lens, unit, low, high));
        let (spread_turn, wide) = Self::spread(turn, numbers.len());
        Ok(Taken {
            distance: taped,
            mean: Some(Figure::Number(mean)),
            spread: range.and_then(|(low, high)| way(low, high).map(Figure::Number)),
            readings: numbers.into_iter().map(Figure::Number).collect(),
            spread_turn,
            wide,
            expected,
            line: self.heard,
            file_line,
            warnings,
        })
    }

    /// Readings as numbers of the file's unit; a unit that was typed is checked
    /// against it.
    pub(super) fn numbers(
        &self,
        readings: &[String],
        unit: PositionUnit,
    ) -> Result<Vec<MarkPosition>, Vec<Fault>> {
        let mut faults = Vec::new();
        let mut numbers = Vec::with_capacity(readings.len());
        for text in readings {
            match self.number(text, unit) {
                Ok(number) => numbers.push(number),
                Err(fault) => faults.push(fault),
            }
        }
        match faults.is_empty() {
            true => Ok(numbers),
            false => Err(faults),
        }
    }

    fn number(&self, text: &str, unit: PositionUnit) -> Result<MarkPosition, Fault> {
        let range = range_of(unit);
        let (bare, typed) = without_unit(text);
        let counted = match unit {
            PositionUnit::Mm => Some(PositionUnit::Mm),
            PositionUnit::Deg => Some(PositionUnit::Deg),
            PositionUnit::Fraction | PositionUnit::Counts => None,
        };
        if let (Some(typed), true) = (typed, typed != counted)
            && parse::number(bare, range).is_ok()
        {
            let message = format!(
                "\"{}\" is in {}, and {} counts in {}",
                shortened(text),
                typed.name(),
                self.file,
                self.column
            );
            return Err(Fault::new(Kind::Usage, message)
                .with_help(format!("read the ring in {}", unit.name())));
        }
        match parse::number(bare, range) {
            Ok(number) => MarkPosition::new(number).map_err(|_| no_number(text)),
            Err(_) if parse::distance(text, BareUnit::Refused(None)).is_ok() => Err(Fault::new(
                Kind::Usage,
                format!(
                    "\"{}\" is a distance; a reading here is a number of {}",
                    shortened(text),
                    unit.name()
                ),
            )
            .with_help("what the engraved scale says is taken with --scale")),
            Err(reason) => {
                let fault = Fault::unreadable(text, &reason);
                match reason {
                    crate::units::Unreadable::NotThis { .. } => Err(no_number(text)),
                    _ => Err(fault),
                }
            }
        }
    }

    /// Refuses a distance that stands already, and a position that does not go on
    /// the way the others do.
    fn check_order(&self, taped: FocusDistance, mean: MarkPosition) -> Result<(), Fault> {
        let Some(marks) = &self.marks else {
            return Ok(());
        };
        let column = self.table.has("camera");
        let camera = self.camera.as_deref().filter(|_| column);
        let group = marks.of(MarkKind::Eye, camera);
        if let Some(same) = group.iter().find(|mark| mark.distance == taped) {
            let message = format!(
                "{} stands already, at {}",
                self.shown(taped),
                rounded(same.position)
            );
            return Err(Fault::new(Kind::Duplicate, message).with_help(ONE_LINE));
        }
        let grows = marks.grow_toward_close_focus();
        let (farther, nearer) = marks.beside(MarkKind::Eye, camera, taped);
        let (below, above) = match grows {
            true => (farther, nearer),
            false => (nearer, farther),
        };
        let low = below.is_none_or(|mark| mark.position < mean);
        let high = above.is_none_or(|mark| mean < mark.position);
        if low && high {
            return Ok(());
        }
        let stands = |mark: &Mark| {
            format!(
                "{} at {}",
                self.shown(mark.distance),
                rounded(mark.position)
            )
        };
        let between = match (below, above) {
            (Some(below), Some(above)) => {
                format!("between {} and {}", stands(below), stands(above))
            }
            (Some(below), None) => format!("above {}", stands(below)),
            (None, Some(above)) => format!("below {}", stands(above)),
            (None, None) => return Ok(()),
        };
        let message = format!(
            "{} cannot stand at {}: it belongs {between}",
            self.shown(taped),
            rounded(mean)
        );
        Err(Fault::new(Kind::OutOfOrder, message).with_help(
            "read the ring again; where the other mark is the slip, correct its line first",
        ))
    }

    /// Where the marks so far put a distance.
    fn expected_mark(
        &self,
        taped: FocusDistance,
        mean: MarkPosition,
        unit: PositionUnit,
    ) -> Option<Expected> {
        let camera = self.camera.as_deref();
        let law = LensLaw::of(&self.lens, self.marks.as_ref(), camera).ok()?;
        let reading = law.number_at(taped)?;
        let turn = turn_between_numbers(&self.lens, unit, reading, mean);
        Some(Expected {
            reading: Figure::Number(reading),
            by: law.marks.as_ref()?.kind.name(),
            camera: law.of_another_camera(camera).map(str::to_owned),
            off: way(reading, mean).map(Figure::Number),
            off_turn: turn.map(crate::units::Angle::abs),
        })
    }
}

/// A row that a reader would pass over or take for another.
pub(in crate::data) fn not_read_back(file: &str) -> Fault {
    Fault::new(
        Kind::Usage,
        format!("a row of this kind would not be read back from {file} as it was meant"),
    )
    .with_help("write the row in an editor; `markwright check` says how it is read")
}

/// Numbers as one cell holds them.
pub(in crate::data) fn in_one_cell(numbers: &[MarkPosition]) -> String {
    let numbers = numbers.iter().map(|number| number.value().to_string());
    numbers.collect::<Vec<_>>().join(" ")
}

fn no_number(text: &str) -> Fault {
    Fault::new(
        Kind::Usage,
        format!("\"{}\" is no reading of the ring", shortened(text)),
    )
    .with_help("a reading is a plain number, as 41.2; several stand with spaces between")
}

const fn range_of(unit: PositionUnit) -> &'static Range {
    match unit {
        PositionUnit::Mm => &range::RING_ARC,
        PositionUnit::Deg => &range::RING_ANGLE,
        PositionUnit::Fraction => &range::FRACTION,
        PositionUnit::Counts => &range::COUNTS,
    }
}

/// A reading without the unit that was typed behind it.
pub(in crate::data) fn without_unit(text: &str) -> (&str, Option<PositionUnit>) {
    let units = [
        ("mm", PositionUnit::Mm),
        ("degrees", PositionUnit::Deg),
        ("degree", PositionUnit::Deg),
        ("deg", PositionUnit::Deg),
        ("°", PositionUnit::Deg),
    ];
    for (name, unit) in units {
        if let Some(bare) = text.strip_suffix(name) {
            return (bare.trim_end(), Some(unit));
        }
    }
    (text, None)
}

/// A mean as a message has it.
fn rounded(mean: MarkPosition) -> String {
    let hundredths = libm::round(mean.value() * 100.0) / 100.0;
    hundredths.to_string()
}
