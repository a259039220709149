//! A row of `lenses.csv` to a lens.

use super::lens_faults::{Written, stop_missing};
use super::{breathing, ring, zoom};
use crate::data::fault::{Kind, Place, shortened};
use crate::data::faults::Faults;
use crate::data::fields::Fields;
use crate::gear::{Anamorph, Focal, Lens, LensId, LensWritten, Marks, ScaleFrom};
use crate::optics::{Gate, Pupil, Squeeze};
use crate::units::{
    BareUnit, FNumber, Length, PupilMagnification, Ratio, TNumber, Transmittance, Unit, Unreadable,
    parse, range,
};

/// A lens as far as its row could be read, and its marks.
pub(super) struct KnownLens {
    /// Its id.
    pub id: Option<LensId>,
    /// The unit of its own scale.
    pub engraved: Option<Unit>,
    /// What its own scale's distances want added.
    pub scale_offset: Length,
    /// The lens.
    pub lens: Option<Lens>,
    /// Its marks.
    pub marks: Option<Marks>,
}

/// What a number without unit is on a scale nobody knows: anything, for the fault
/// is told where the lens is.
pub(super) const UNJUDGED: BareUnit = BareUnit::Engraved(Unit::Metres);

impl KnownLens {
    /// What a number without unit is on the scale of a lens that was read, or of
    /// one that could not be.
    pub fn bare_on_scale(&self, units: Option<Unit>) -> BareUnit {
        match (&self.lens, self.engraved) {
            (None, None) => UNJUDGED,
            _ => self.bare(units),
        }
    }

    /// What a number without unit is on its own scale.
    pub fn bare(&self, units: Option<Unit>) -> BareUnit {
        match self.engraved {
            Some(unit) => BareUnit::Engraved(unit),
            None => BareUnit::Refused(units),
        }
    }
}

/// The ids read so far.
#[derive(Default)]
pub(super) struct Ids(std::collections::BTreeMap<String, (LensId, Option<usize>)>);

impl Ids {
    /// The id of a row; a fault where it is none or stands twice.
    pub fn read(&mut self, fields: &Fields, faults: &mut Faults) -> Option<LensId> {
        let field = fields.get("id")?;
        let id = match LensId::new(&field.text) {
            Ok(id) => id,
            Err(reason) => {
                let message = format!("\"{}\" is no lens id", shortened(&field.text));
                fields.fault(
                    "id",
                    Kind::OutOfRange,
                    message,
                    Some(reason.to_string()),
                    faults,
                );
                return None;
            }
        };
        let folded = id.as_str().to_lowercase();
        if let Some((other, line)) = self.0.get(&folded) {
            let line = line.map_or_else(String::new, |line| format!(" on line {line}"));
            let (message, help) = if *other == id {
                (
                    format!("lens {id} stands already{line}"),
                    "give each lens an id of its own",
                )
            } else {
                (
                    format!("lens {id} and lens {other}{line} differ by capitals only"),
                    "ids become names of files, which some machines do not tell apart",
                )
            };
            fields.fault("id", Kind::Duplicate, message, Some(help.into()), faults);
            return None;
        }
        self.0.insert(folded, (id.clone(), field.place.line));
        Some(id)
    }
}

/// Where pupils or principal planes stand.
pub(super) fn pupil(fields: &Fields, faults: &mut Faults) -> Option<Pupil> {
    fields.either("hiatus_mm", "entrance_pupil_mm", faults);
    let hiatus = fields.mm("hiatus_mm", faults).map(Pupil::Hiatus);
    let station = fields.mm("entrance_pupil_mm", faults);
    hiatus.or(station.map(Pupil::Station))
}

fn focal(text: &str) -> Result<Focal, Unreadable> {
    let figure = |text: &str| parse::number(text, &range::FOCAL_LENGTH).map(Length::mm);
    match text.split_once("..") {
        None => figure(text).map(Focal::Prime),
        Some((wide, long)) => Ok(Focal::Zoom {
            wide: figure(wide)?,
            long: figure(long)?,
        }),
    }
}

/// What other files say of a lens that one line cannot.
pub(super) struct Varying<'a> {
    /// What it is at its focal lengths.
    pub zoom: Vec<zoom::Row>,
    /// What it is at its focus distances.
    pub settings: Vec<breathing::Row>,
    /// What the cameras record.
    pub gates: &'a [Gate],
}

/// Reads a row, with all its faults.
pub(super) fn read(
    fields: &Fields,
    id: Option<LensId>,
    varying: Varying<'_>,
    units: Option<Unit>,
    faults: &mut Faults,
) -> KnownLens {
    let unit_names = [("feet", Unit::Feet), ("metres", Unit::Metres)];
    let engraved = fields.choice("engraved", &unit_names, faults);
    let scale_names = [
        ("image-plane", ScaleFrom::ImagePlane),
        ("front", ScaleFrom::Front),
    ];
    let scale_from = fields
        .choice("scale_from", &scale_names, faults)
        .unwrap_or_default();
    let front_distance = fields.mm("front_distance_mm", faults);
    let mut known = KnownLens {
        id: id.clone(),
        engraved,
        scale_offset: match (scale_from, front_distance) {
            (ScaleFrom::Front, Some(front)) => front,
            _ => Length::ZERO,
        },
        lens: None,
        marks: None,
    };
    let anamorph = [("front", Anamorph::Front), ("rear", Anamorph::Rear)];
    let focal = fields.read("focal_mm", faults, focal);
    let card_focals = fields.numbers("card_focals", faults).unwrap_or_default();
    let f_number = fields.number_as("f_number", faults, FNumber::new);
    let t_number = fields.number_as("t_number", faults, TNumber::new);
    let transmittance = fields.number_as("transmittance", faults, Transmittance::new);
    let close_focus = fields.distance("close_focus", known.bare(units), faults);
    let pupil = pupil(fields, faults);
    let pupil_magnification =
        fields.number_as("pupil_magnification", faults, PupilMagnification::new);
    // In range, so it is finite.
    let squeeze = fields.number("squeeze", faults);
    let squeeze = squeeze.and_then(|squeeze| Ratio::new(squeeze).ok());
    let anamorph = fields.choice("anamorph", &anamorph, faults);
    let ring = ring::ring(fields, faults);
    let front_diameter = fields.mm("front_diameter_mm", faults);
    let ring_teeth = fields.count("ring_teeth", faults);
    let knob_travel = fields.deg("knob_travel_deg", faults);
    let rear_filter = fields.mm("rear_filter_mm", faults);
    let no_stop = !fields.has("f_number") && !fields.has("t_number");
    if no_stop {
        stop_missing(fields, faults);
    }
    let (Some(id), Some(focal), Some(close_focus)) = (id, focal, close_focus) else {
        return known;
    };
    if f_number.is_none() && t_number.is_none() {
        return known;
    }
    let Varying {
        zoom,
        settings,
        gates,
    } = varying;
    let zoom_places: Vec<Place> = zoom.iter().map(|row| row.place.clone()).collect();
    let breathing_place = settings.first().map(|row| row.place.clone());
    let squeezes = squeeze.filter(|ratio| ratio.value() > 1.0);
    let squeezes = squeezes.map(|ratio| Squeeze {
        ratio,
        part: anamorph.unwrap_or(Anamorph::Front),
    });
    let breathing = breathing::rows(&settings, gates, squeezes, faults);
    // A row that could not be read is told already; fewer say something else.
    let breathing = if breathing.len() == settings.len() {
        breathing
    } else {
        Vec::new()
    };
    let lens = Lens::new(LensWritten {
        id,
        label: fields.words("label"),
        serial: fields.words("serial"),
        focal,
        card_focals: card_focals.into_iter().map(Length::mm).collect(),
        zoom: zoom.into_iter().map(|row| row.row).collect(),
        f_number,
        t_number,
        transmittance,
        close_focus,
        engraved,
        pupil,
        pupil_magnification,
        ring: ring.unwrap_or_default(),
        mount: fields.words("mount"),
        front_diameter,
        front_distance,
        ring_teeth,
        knob_travel,
        hand_unit_preset: fields.words("hand_unit_preset"),
        squeeze,
        anamorph,
        scale_from,
        rear_filter,
        breathing,
    });
    match lens {
        Ok(lens) => known.lens = Some(lens),
        Err(problems) => {
            let unit = engraved.or(units).unwrap_or(Unit::Metres);
            let row = Written {
                fields,
                close_focus,
                unit,
                zoom: &zoom_places,
                breathing: breathing_place,
            };
            for problem in problems {
                row.tell(&problem, faults);
            }
        }
    }
    known
}
