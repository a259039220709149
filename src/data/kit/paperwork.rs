//! `prep.csv` and `shots.csv`.

use core::time::Duration;

use super::Known;
use super::lens::{KnownLens, UNJUDGED};
use crate::data::fault::{Fault, Kind, Place, shortened};
use crate::data::faults::Faults;
use crate::data::fields::Fields;
use crate::data::keys::{PREP, SHOTS};
use crate::data::table;
use crate::gear::{PrepRow, Reading, ShotRow, Speed};
use crate::units::{Angle, BareUnit, FocusDistance, Stop, Unreadable, parse};

/// So many unknown lenses are named.
const NAMED: usize = 6;

/// Rows of a file that name lenses no kit has: they are left out, for tapes and
/// cards need neither file, and one warning tells them all.
#[derive(Default)]
struct Strays {
    rows: usize,
    names: Vec<String>,
    first: Option<Fault>,
}

impl Strays {
    /// Whether a row is to be left out.
    fn take(&mut self, fields: &Fields, known: &Known) -> bool {
        let Some(field) = fields.get("lens") else {
            return false;
        };
        if known.by_id.contains_key(&field.text.to_lowercase()) {
            return false;
        }
        let Some(fault) = known.no_such_lens(&field.text, field.place.clone()) else {
            return false;
        };
        self.rows += 1;
        let name = shortened(&field.text);
        if self.names.len() <= NAMED && !self.names.contains(&name) {
            self.names.push(name);
        }
        self.first.get_or_insert(fault);
        true
    }

    /// What is told of them.
    fn warning(self) -> Option<Fault> {
        let first = self.first?;
        let message = if self.rows == 1 {
            format!("{}: the row is left out", first.message)
        } else {
            let more = if self.names.len() > NAMED { " …" } else { "" };
            let named = self.names[..self.names.len().min(NAMED)].join(", ");
            format!(
                "{} rows name lenses that are not in lenses.csv ({named}{more}) and are left out",
                self.rows
            )
        };
        // What the first may have been says nothing of the others.
        let own = first.help.filter(|_| self.names.len() == 1);
        let own = own.map_or(String::new(), |help| format!("; {help}"));
        let help = format!(
            "rows of lenses you have not may be deleted, or the whole file: no tape and no card \
             needs it{own}"
        );
        let warning = Fault::warning(first.kind, message).with_help(help);
        Some(Fault {
            place: first.place,
            ..warning
        })
    }
}

impl Known {
    /// The lens a row names, where it is known.
    fn lens(&self, fields: &Fields) -> Option<&KnownLens> {
        let name = &fields.get("lens")?.text;
        let place = self.by_id.get(&name.to_lowercase())?;
        self.lenses.get(*place)
    }

    /// The camera a row names; a fault where the kit's cameras have other names.
    pub(super) fn camera(&self, fields: &Fields, faults: &mut Faults) -> Option<String> {
        let name = fields.words("camera")?;
        if !self.cameras.is_empty() && !self.cameras.contains(&name) {
            let message = format!("no camera of kit.toml is called \"{name}\"");
            let help = format!("there are: {}", self.cameras.join(", "));
            fields.fault("camera", Kind::UnknownId, message, Some(help), faults);
            return None;
        }
        Some(name)
    }

    /// A stop; one without f/ or T is of the lens's kind, and cannot be judged
    /// where the lens could not be read.
    fn stop(
        &self,
        name: &str,
        fields: &Fields,
        lens: Option<&KnownLens>,
        faults: &mut Faults,
    ) -> Option<Stop> {
        let kind = lens
            .and_then(|lens| lens.lens.as_ref())
            .map(|lens| lens.stop_kind());
        let text = &fields.get(name)?.text;
        if kind.is_none()
            && matches!(
                parse::stop(text, None),
                Err(Unreadable::AmbiguousStop { .. })
            )
        {
            return None;
        }
        fields.read(name, faults, |text| parse::stop(text, kind))
    }

    fn taped(&self) -> BareUnit {
        BareUnit::Refused(self.units)
    }
}

/// Reads prep day.
pub(super) fn prep(text: &str, known: &Known, faults: &mut Faults) -> Vec<PrepRow> {
    let table = table::rows("prep.csv", text, &PREP, None, faults);
    let (mut rows, mut strays) = (Vec::new(), Strays::default());
    let is_form = table.place_of("reading").is_some() || table.place_of("reading_deg").is_some();
    let mut empty = 0;
    for row in &table.rows {
        if faults.are_enough("prep.csv") {
            break;
        }
        let fields = &row.fields;
        if strays.take(fields, known) {
            continue;
        }
        // A form is filled in little by little.
        if is_form && !fields.has("reading") && !fields.has("reading_deg") {
            empty += 1;
            continue;
        }
        let lens = known.lens(fields);
        let stop = known.stop("stop", fields, lens, faults);
        let taped = fields.distance("taped", known.taped(), faults);
        let reading = reading(fields, lens, known, faults);
        let camera = known.camera(fields, faults);
        let taped_sd = fields.length("taped_sd", faults);
        let reading_sd = fields.deg("reading_sd_deg", faults);
        let parts = (lens.and_then(|lens| lens.id.clone()), stop, taped, reading);
        if let (Some(lens), Some(stop), Some(taped), Some(reading)) = parts {
            rows.push(PrepRow {
                line: row.line,
                lens,
                stop,
                taped,
                reading,
                camera,
                taped_sd,
                reading_sd,
                temperature: fields.words("temperature"),
                note: row.notes.first().map(|(_, text)| text.clone()),
            });
        }
    }
    if let Some(warning) = strays.warning() {
        faults.push(warning);
    }
    if empty > 0 {
        let message = format!("{empty} readings are still to be taken: those rows are left out");
        faults.push(Fault::warning(Kind::Missing, message).at(Place::in_file("prep.csv")));
    }
    rows
}

fn reading(
    fields: &Fields,
    lens: Option<&KnownLens>,
    known: &Known,
    faults: &mut Faults,
) -> Option<Reading> {
    fields.either("reading", "reading_deg", faults);
    if !fields.has("reading") && !fields.has("reading_deg") {
        let message = "neither reading nor reading_deg is there";
        fields.fault("reading", Kind::Missing, message, None, faults);
        return None;
    }
    let bare = lens.map_or(UNJUDGED, |lens| lens.bare_on_scale(known.units));
    let scale = fields.read("reading", faults, |text| {
        let parts = distances(text);
        parts
            .iter()
            .map(|part| parse::distance(part, bare))
            .collect()
    });
    let turn = fields.numbers("reading_deg", faults);
    let turn = turn.map(|turn| turn.into_iter().map(Angle::deg).collect());
    let scale: Option<Vec<FocusDistance>> = scale;
    scale.map(Reading::Scale).or(turn.map(Reading::Turn))
}

/// Distances that stand in one cell: `5'10 5'11 6'`, `5 m 5.1 m`, `8'6 1/2" 9'`.
/// A part that cannot begin a distance goes on with the one before.
pub(in crate::data) fn distances(text: &str) -> Vec<String> {
    let mut parts: Vec<String> = Vec::new();
    let separated = text.replace([';', '|'], " ").replace(", ", " ");
    for part in separated.split_whitespace() {
        let begins = !part.contains('/')
            && (part.starts_with(|c: char| c.is_ascii_digit() || c == '.' || c == '-')
                || part.starts_with("inf")
                || part.starts_with('∞'));
        // 8' 6" is one distance: inches follow feet that have none yet.
        let inches = part.ends_with(['"', '″', '”']) && !part.contains(['\'', '′', '’']);
        match parts.last_mut() {
            Some(last) if !begins || (inches && last.ends_with(['\'', '′', '’'])) => {
                last.push(' ');
                last.push_str(part);
            }
            _ => parts.push(part.to_owned()),
        }
    }
    parts
}

/// Reads the day's shots.
pub(super) fn shots(text: &str, known: &Known, faults: &mut Faults) -> Vec<ShotRow> {
    let table = table::rows("shots.csv", text, &SHOTS, None, faults);
    let (mut rows, mut strays) = (Vec::new(), Strays::default());
    let mut ended: std::collections::BTreeSet<String> = std::collections::BTreeSet::new();
    let mut current: Option<String> = None;
    for row in table.rows {
        if faults.are_enough("shots.csv") {
            break;
        }
        let fields = &row.fields;
        if strays.take(fields, known) {
            continue;
        }
        let shot = fields.words("shot");
        if shot.is_some() && shot != current {
            ended.extend(current.take());
            current.clone_from(&shot);
            if let Some(shot) = shot.as_ref().filter(|shot| ended.contains(*shot)) {
                let message = format!("shot {shot} goes on here after another began");
                let help = Some("let the lines of one shot stand together".to_owned());
                fields.fault("shot", Kind::OutOfOrder, message, help, faults);
            }
        }
        let lens = known.lens(fields);
        let stop = known.stop("stop", fields, lens, faults);
        let distance = fields.distance("distance", known.taped(), faults);
        let camera = known.camera(fields, faults);
        let seconds = fields.number("seconds", faults);
        let speed = fields.read("speed", faults, Speed::parse);
        let across = fields.length("across", faults);
        let height = fields.length("height", faults);
        let tilt = fields.angle("tilt", faults);
        let shot_distance = fields.distance("shot_distance", known.taped(), faults);
        let shot_stop = known.stop("shot_stop", fields, lens, faults);
        let parts = (shot, lens.and_then(|lens| lens.id.clone()), stop, distance);
        if let (Some(shot), Some(lens), Some(stop), Some(distance)) = parts
            && let Some(cue) = fields.words("cue")
        {
            rows.push(ShotRow {
                line: row.line,
                shot,
                lens,
                stop,
                cue,
                distance,
                camera,
                day: fields.words("day"),
                scene: fields.words("scene"),
                // In range, so it is a duration.
                seconds: seconds.and_then(|seconds| Duration::try_from_secs_f64(seconds).ok()),
                speed,
                across,
                attachment: fields.words("attachment"),
                height,
                tilt,
                shot_distance,
                shot_stop,
                notes: row.notes,
            });
        }
    }
    if let Some(warning) = strays.warning() {
        faults.push(warning);
    }
    rows
}
