//! Which column of a table from elsewhere holds what.

use super::answer::Taken;
use super::sheet::{Line, Sheet};
use crate::data::fault::{Fault, Kind, shortened};
use crate::data::fields::with_points;
use crate::data::kit::POSITIONS;
use crate::data::nearest::nearest;
use crate::gear::PositionUnit;
use crate::units::{BareUnit, Unit, parse, range};

/// What was said of the columns of a table; each by its name, or its number
/// from 1.
#[derive(Clone, Copy, Debug, Default)]
pub struct Named<'a> {
    /// Where the distances stand.
    pub distance: Option<&'a str>,
    /// Where the positions stand.
    pub position: Option<&'a str>,
    /// Where the kinds stand; or the kind of all rows.
    pub kind: Option<&'a str>,
    /// Where the cameras stand; or the camera of all rows.
    pub camera: Option<&'a str>,
    /// Where the standard deviations stand, in degrees.
    pub sd: Option<&'a str>,
}

/// Where something stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Where {
    /// In a column, counted from 0.
    Column(usize),
    /// Nowhere: it is this for all rows.
    Same(String),
}

/// The columns, found.
#[derive(Clone, Debug)]
pub(super) struct Found {
    /// The distances' column.
    pub distance: usize,
    /// The positions' column.
    pub position: usize,
    /// The kinds.
    pub kind: Option<Where>,
    /// The cameras.
    pub camera: Option<Where>,
    /// The standard deviations' column.
    pub sd: Option<usize>,
    /// The unit the positions' column is named after.
    pub unit: Option<PositionUnit>,
    /// The names of all columns; empty where the table has no header.
    pub names: Vec<String>,
    /// The line of the header.
    pub header_line: Option<usize>,
}

impl Found {
    /// The name of a column, empty where it has none.
    pub fn name(&self, column: usize) -> &str {
        self.names.get(column).map_or("", String::as_str)
    }

    /// What was taken from where, to be said.
    pub fn taken(&self) -> Vec<Taken> {
        let column = |what, column: usize| Taken {
            what,
            column: Some(column + 1),
            name: self.name(column).to_owned(),
        };
        let either = |what, at: &Option<Where>| match at {
            Some(Where::Column(at)) => Some(column(what, *at)),
            Some(Where::Same(name)) => Some(Taken {
                what,
                column: None,
                name: name.clone(),
            }),
            None => None,
        };
        let mut all = vec![
            column("distance", self.distance),
            column("position", self.position),
        ];
        all.extend(either("kind", &self.kind));
        all.extend(either("camera", &self.camera));
        all.extend(self.sd.map(|at| column("sd", at)));
        all
    }
}

/// The first line, while columns are looked for in it.
struct First<'a> {
    sheet: &'a Sheet,
    line: &'a Line,
    names: Vec<String>,
    faults: Vec<Fault>,
}

/// Finds the columns by the first line of a table.
pub(super) fn find(
    sheet: &Sheet,
    line: &Line,
    named: Named<'_>,
    cameras: &[&str],
) -> Result<Found, Vec<Fault>> {
    let names = line.cells.iter().map(|cell| cell.text.trim().to_owned());
    let mut first = First {
        sheet,
        line,
        names: names.collect(),
        faults: Vec::new(),
    };
    let headless = first.is_a_row(named);
    if headless {
        first.names.clear();
    }
    // A table with a kit's own names is taken as a kit's, with all of them.
    let as_in_a_kit = named.distance.is_none() && named.position.is_none();
    let own = |name: &'static str| first.names.iter().any(|n| n == name).then_some(name);
    let own_position = || POSITIONS.iter().find_map(|(name, _)| own(name));
    let distance = named.distance.or_else(|| own("distance"));
    let position = named.position.or_else(own_position);
    let kind = named.kind.or_else(|| own("kind").filter(|_| as_in_a_kit));
    let camera = named
        .camera
        .or_else(|| own("camera").filter(|_| as_in_a_kit));
    let sd = named.sd.or_else(|| own("sd_deg").filter(|_| as_in_a_kit));
    let distance = first.needed("--distance", distance, "the distances");
    let position = first.needed("--position", position, "what the ring read");
    let kind = first.column_or_word("--kind", kind, &["engraved", "eye", "read"]);
    let camera = first.column_or_word("--camera", camera, cameras);
    let sd = sd.and_then(|name| first.column("--sd", name));
    let (Some(distance), Some(position)) = (distance, position) else {
        return Err(first.faults);
    };
    if distance == position {
        let message = "distances and positions cannot stand in one column";
        let fault = Fault::new(Kind::Usage, message).at_flag("--position");
        first.faults.push(fault);
    }
    if !first.faults.is_empty() {
        return Err(first.faults);
    }
    let name = first.names.get(position);
    let unit = POSITIONS
        .iter()
        .find(|(own, _)| name.is_some_and(|name| name == own));
    Ok(Found {
        distance,
        position,
        kind,
        camera,
        sd,
        unit: unit.map(|(_, unit)| *unit),
        header_line: (!headless).then_some(line.number),
        names: first.names,
    })
}

impl First<'_> {
    /// Whether the first line is a row already: columns are told by number, and
    /// a distance or a number stands there. A row with one bad cell must not pass
    /// for a line of names.
    fn is_a_row(&self, named: Named<'_>) -> bool {
        let cell = |name: Option<&str>| {
            let number: usize = name?.trim().parse().ok()?;
            let cell = self.line.cells.get(number.checked_sub(1)?)?;
            Some(match self.sheet.has_decimal_commas() {
                true => with_points(&cell.text),
                false => cell.text.clone(),
            })
        };
        let (Some(distance), Some(position)) = (cell(named.distance), cell(named.position)) else {
            return false;
        };
        let any = BareUnit::Engraved(Unit::Metres);
        let number = position.split_whitespace().next().unwrap_or_default();
        parse::distance(&distance, any).is_ok()
            || parse::looks_like_a_date(&distance)
            || parse::number(number, &range::COUNTS).is_ok()
    }

    fn needed(&mut self, flag: &str, name: Option<&str>, what: &str) -> Option<usize> {
        if let Some(name) = name {
            return self.column(flag, name);
        }
        let message = format!("nobody said in which column {what} stand");
        let help = format!("name it with {flag}, by its name or number: {}", self.all());
        self.faults.push(
            Fault::new(Kind::Missing, message)
                .at_flag(flag)
                .with_help(help),
        );
        None
    }

    /// The column of a name, else of a number.
    fn column(&mut self, flag: &str, name: &str) -> Option<usize> {
        match self.look(name) {
            Ok(Some(column)) => return Some(column),
            Ok(None) => {
                let fault = self.unknown(flag, name);
                self.faults.push(fault);
            }
            Err(fault) => self.faults.push(fault.at_flag(flag)),
        }
        None
    }

    /// A column, else a word that stands for all rows.
    fn column_or_word(&mut self, flag: &str, name: Option<&str>, words: &[&str]) -> Option<Where> {
        let name = name?;
        match self.look(name) {
            Ok(Some(column)) => return Some(Where::Column(column)),
            Ok(None) if words.contains(&name.trim()) => {
                return Some(Where::Same(name.trim().to_owned()));
            }
            Ok(None) if words.is_empty() && flag == "--camera" => {
                return Some(Where::Same(name.trim().to_owned()));
            }
            Ok(None) => {
                let fault = self.unknown(flag, name);
                let help = fault.help.clone().unwrap_or_default();
                let words = words.join(", ");
                let help = format!("{help}; or one for all rows: {words}");
                self.faults.push(fault.with_help(help));
            }
            Err(fault) => self.faults.push(fault.at_flag(flag)),
        }
        None
    }

    fn look(&self, name: &str) -> Result<Option<usize>, Fault> {
        let name = name.trim();
        let alike = |same: &dyn Fn(&str) -> bool| -> Vec<usize> {
            let names = self.names.iter().enumerate();
            names
                .filter(|(_, own)| same(own))
                .map(|(at, _)| at)
                .collect()
        };
        let exact = alike(&|own| !name.is_empty() && own == name);
        let found = match exact.is_empty() {
            true => alike(&|own| !name.is_empty() && own.to_lowercase() == name.to_lowercase()),
            false => exact,
        };
        match found[..] {
            [column] => return Ok(Some(column)),
            [] => {}
            [one, other, ..] => {
                let message = format!(
                    "columns {} and {} are both called {}",
                    one + 1,
                    other + 1,
                    shortened(name)
                );
                return Err(
                    Fault::new(Kind::Duplicate, message).with_help("name the column by its number")
                );
            }
        }
        let Ok(number) = name.parse::<usize>() else {
            return Ok(None);
        };
        let count = self.line.cells.len();
        match number.checked_sub(1).filter(|column| *column < count) {
            Some(column) => Ok(Some(column)),
            None => {
                let message = format!("there is no column {number}: the first line has {count}");
                Err(Fault::new(Kind::OutOfRange, message).with_help(self.all()))
            }
        }
    }

    fn unknown(&self, flag: &str, name: &str) -> Fault {
        let names: Vec<&str> = self.names.iter().map(String::as_str).collect();
        let help = match nearest(name, &names).filter(|near| !near.is_empty()) {
            Some(near) => format!("did you mean {}?", shortened(near)),
            None => self.all(),
        };
        let message = format!(
            "no column of {} is called \"{}\"",
            self.sheet.file,
            shortened(name)
        );
        Fault::new(Kind::UnknownKey, message)
            .at_flag(flag)
            .with_help(help)
    }

    /// The columns there are, with their numbers.
    fn all(&self) -> String {
        const MOST: usize = 20;
        let cells = self.line.cells.iter().enumerate().take(MOST);
        let each = cells.map(|(at, cell)| {
            format!("{} {}", at + 1, shortened(cell.text.trim()))
                .trim()
                .to_owned()
        });
        let each: Vec<String> = each.collect();
        format!("the first line has: {}", each.join(", "))
    }
}
