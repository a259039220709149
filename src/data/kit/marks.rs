//! `marks/ID.csv`: where distances stand on a lens's ring.

use super::Known;
use super::lens::KnownLens;
use super::lens_faults::inside_4f;
use crate::data::fault::{Fault, Kind, Place};
use crate::data::faults::Faults;
use crate::data::fields::Fields;
use crate::data::keys::{MARKS, most};
use crate::data::table::{self, Table};
use crate::gear::{Mark, MarkKind, MarkPosition, Marks, MarksProblem, PositionUnit};
use crate::units::{FocusDistance, Reach, Unit, parse, show};

/// The position columns, of which a file has one, and what each counts.
pub(in crate::data) const POSITIONS: [(&str, PositionUnit); 4] = [
    ("position_mm", PositionUnit::Mm),
    ("position_deg", PositionUnit::Deg),
    ("position_fraction", PositionUnit::Fraction),
    ("position_counts", PositionUnit::Counts),
];

/// A mark and where it stands in its file.
#[derive(Clone)]
pub(in crate::data) struct Placed {
    /// The mark.
    pub mark: Mark,
    /// Where its distance stands.
    pub distance: Place,
    /// Where its position stands.
    pub position: Place,
}

/// The rows of a file of marks, as far as each could be read alone.
pub(in crate::data) struct Rows {
    /// What positions are counted in.
    pub unit: PositionUnit,
    /// The rows with a position.
    pub placed: Vec<Placed>,
    /// How many have none yet.
    pub skipped: usize,
    /// How many rows there are.
    pub rows: usize,
}

/// Reads the marks of a lens; `None` where there are none yet or a fault was
/// told.
pub(super) fn read(
    file: &str,
    text: &str,
    lens: &KnownLens,
    known: &Known,
    faults: &mut Faults,
) -> Option<Marks> {
    let rows = rows(file, text, lens, known, faults)?;
    judge(file, rows, lens, known, faults)
}

/// Reads the rows of a file of marks one by one.
pub(super) fn rows(
    file: &str,
    text: &str,
    lens: &KnownLens,
    known: &Known,
    faults: &mut Faults,
) -> Option<Rows> {
    let table = table::rows(file, text, &MARKS, Some(most::MARKS), faults);
    let (column, unit) = counted(file, &table, faults)?;
    let mut read = Rows {
        unit,
        placed: Vec::new(),
        skipped: 0,
        rows: table.rows.len(),
    };
    for row in &table.rows {
        if !row.fields.has(column) {
            read.skipped += 1;
            continue;
        }
        let mark = mark(&row.fields, column, lens, known, faults);
        read.placed.extend(mark);
    }
    Some(read)
}

/// What rows are together: marks of a ring, or what stands against it.
pub(super) fn judge(
    file: &str,
    read: Rows,
    lens: &KnownLens,
    known: &Known,
    faults: &mut Faults,
) -> Option<Marks> {
    let Rows {
        unit: counted,
        placed,
        skipped,
        rows,
    } = read;
    let unit = lens.engraved.or(known.units).unwrap_or(Unit::Metres);
    let sheet = Sheet { file, lens, unit };
    sheet.check_distances(&placed, faults);
    if skipped > 0 && skipped == rows {
        let message = format!("none of the {rows} positions has been read yet");
        faults.push(Fault::warning(Kind::TooFew, message).at(Place::in_file(file)));
        return None;
    }
    // Distances without a unit, on a scale nobody knows, have no order.
    let meant = |placed: &Placed| {
        let bare = lens.bare(known.units);
        parse::distance(&placed.mark.written, bare).is_ok()
    };
    if !placed.iter().all(meant) {
        return None;
    }
    let unread = rows - skipped - placed.len();
    let marks = placed.iter().map(|placed| placed.mark.clone()).collect();
    match Marks::new(counted, marks, skipped) {
        Ok(marks) => Some(marks),
        Err(problems) => {
            for problem in problems {
                // Rows that could not be read may be the ones that are missing.
                if unread == 0 || !matches!(problem, MarksProblem::TooFew { .. }) {
                    faults.push(sheet.problem(problem, &placed));
                }
            }
            None
        }
    }
}

/// The one position column of the file.
fn counted(file: &str, table: &Table, faults: &mut Faults) -> Option<(&'static str, PositionUnit)> {
    let mut there = POSITIONS
        .into_iter()
        .filter(|(column, _)| table.place_of(column).is_some());
    let Some((column, unit)) = there.next() else {
        if let Some(line) = table.header_line() {
            let fault = Fault::new(Kind::Missing, "no column says where the marks stand")
                .at(Place {
                    line: Some(line),
                    column: Some(1),
                    key: Some("position_mm".into()),
                    ..Place::in_file(file)
                })
                .with_help("one of position_mm, position_deg, position_fraction, position_counts");
            faults.push(fault);
        }
        return None;
    };
    for (other, _) in there {
        let message = format!("{column} and {other} say the same thing: keep one");
        let place = table.place_of(other).cloned();
        faults.push(Fault {
            place,
            ..Fault::new(Kind::Duplicate, message)
        });
    }
    Some((column, unit))
}

/// Reads a row that has a position.
pub(super) fn mark(
    fields: &Fields,
    column: &str,
    lens: &KnownLens,
    known: &Known,
    faults: &mut Faults,
) -> Option<Placed> {
    let distance = fields.distance("distance", lens.bare_on_scale(known.units), faults);
    let settings = fields.numbers(column, faults).map(|numbers| {
        let settings = numbers.into_iter().map(MarkPosition::new);
        settings.filter_map(Result::ok).collect::<Vec<_>>()
    });
    let kind = kind(fields, faults);
    let sd = fields.deg("sd_deg", faults);
    let camera = known.camera(fields, faults);
    let (kind, mut settings) = (kind?, settings?);
    let position = MarkPosition::mean(&settings)?;
    if settings.len() == 1 {
        settings.clear();
    }
    let distance = match kind {
        MarkKind::Engraved => from_image_plane(distance?, lens),
        MarkKind::Read | MarkKind::Eye => distance?,
    };
    Some(Placed {
        mark: Mark {
            distance,
            written: fields.words("distance")?,
            position,
            settings,
            kind,
            sd,
            camera,
        },
        distance: fields.place_of("distance"),
        position: fields.place_of(column),
    })
}

/// The kind of a row; one that says none is read.
pub(super) fn kind(fields: &Fields, faults: &mut Faults) -> Option<MarkKind> {
    let kinds = [
        ("engraved", MarkKind::Engraved),
        ("eye", MarkKind::Eye),
        ("read", MarkKind::Read),
    ];
    match fields.has("kind") {
        true => fields.choice("kind", &kinds, faults),
        false => Some(MarkKind::Read),
    }
}

/// What a lens's own scale says, from the image plane.
pub(super) fn from_image_plane(distance: FocusDistance, lens: &KnownLens) -> FocusDistance {
    match distance.reach() {
        Reach::At(length) => FocusDistance::at(length + lens.scale_offset).unwrap_or(distance),
        Reach::Infinity => distance,
    }
}

/// The file, for what it says of the lens.
pub(super) struct Sheet<'a> {
    pub file: &'a str,
    pub lens: &'a KnownLens,
    pub unit: Unit,
}

impl Sheet<'_> {
    fn shown(&self, distance: FocusDistance) -> String {
        show::exact_distance(distance, self.unit)
    }

    /// No mark may be nearer than any setting could focus; one nearer than
    /// close focus deserves a look.
    pub(super) fn check_distances(&self, placed: &[Placed], faults: &mut Faults) {
        let Some(lens) = &self.lens.lens else { return };
        let limit = lens.nearest_possible();
        let mut nearest: Option<&Placed> = None;
        for one in placed {
            let distance = one.mark.distance;
            if distance.reach().finite().is_some_and(|at| at < limit) {
                let (message, help) =
                    inside_4f("the mark", &self.shown(distance), limit, self.unit);
                let fault = Fault::new(Kind::Inside4f, message).at(one.distance.clone());
                let nearest = Some(limit.to_mm());
                faults.push(Fault {
                    nearest,
                    ..fault.with_help(help)
                });
            }
            if nearest.is_none_or(|other| distance.is_nearer_than(other.mark.distance)) {
                nearest = Some(one);
            }
        }
        if let Some(one) = nearest
            && one.mark.distance.is_nearer_than(lens.close_focus())
        {
            let message = format!(
                "the mark {} is nearer than close focus, {} in lenses.csv",
                self.shown(one.mark.distance),
                self.shown(lens.close_focus())
            );
            let fault = Fault::warning(Kind::InsideCloseFocus, message);
            faults.push(
                fault
                    .at(one.distance.clone())
                    .with_help("one of the two is a slip"),
            );
        }
    }

    fn problem(&self, problem: MarksProblem, placed: &[Placed]) -> Fault {
        // Rows of two files may meet, where marks are put to others.
        let line = |row: usize, seen_from: usize| {
            let (own, from) = (&placed[row].distance, &placed[seen_from].distance);
            let line = own.line.unwrap_or(0);
            match &own.file {
                Some(file) if own.file != from.file => format!("{line} of {file}"),
                _ => line.to_string(),
            }
        };
        let shown = |row: usize| self.shown(placed[row].mark.distance);
        match problem {
            MarksProblem::TooFew { rows } => {
                let message = match rows {
                    0 => "no mark stands in the file".to_owned(),
                    _ => "a ring needs two marks of one kind, and there is one".to_owned(),
                };
                Fault::new(Kind::TooFew, message).at(Place::in_file(self.file))
            }
            MarksProblem::Duplicate { row, first } => {
                let (row, first) = (row.max(first), row.min(first));
                let message = format!(
                    "{} stands already on line {} as {}",
                    shown(row),
                    line(first, row),
                    placed[row].mark.kind.name()
                );
                let fault = Fault::new(Kind::Duplicate, message);
                fault.at(placed[row].distance.clone()).with_help(
                    "keep one of the two lines, or let the column kind tell them apart: engraved \
                     and eye may stand for one distance",
                )
            }
            MarksProblem::OutOfOrder { row, neighbour } => {
                let message = format!(
                    "position {} of {} does not go on from {} of {} on line {} the way the \
                     others do",
                    placed[row].mark.position.value(),
                    shown(row),
                    placed[neighbour].mark.position.value(),
                    shown(neighbour),
                    line(neighbour, row)
                );
                let fault = Fault::new(Kind::OutOfOrder, message).at(placed[row].position.clone());
                fault.with_help(
                    "from infinity to close focus positions go one way; one of the two is a slip",
                )
            }
        }
    }
}
