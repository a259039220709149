//! A row of `lenses.csv` to a lens.

use super::follow::SENSES;
use super::zoom;
use crate::data::fault::{Fault, Kind, Place, shortened};
use crate::data::fields::{Faults, Fields};
use crate::gear::{
    Anamorph, Focal, HardStops, Lens, LensId, LensProblem, LensWritten, Marks, Ring, RingProblem,
    RingWritten, Round, ScaleFrom, Travel, WitnessEdge,
};
use crate::optics::Pupil;
use crate::units::{
    BareUnit, FNumber, FocusDistance, Length, PupilMagnification, Ratio, TNumber, Transmittance,
    Unit, Unreadable, parse, range, show,
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

impl KnownLens {
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
    let hiatus = fields
        .mm("hiatus_mm", &range::HIATUS, faults)
        .map(Pupil::Hiatus);
    let station = fields.mm("entrance_pupil_mm", &range::ENTRANCE_PUPIL, faults);
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

/// Reads a row, with all its faults.
pub(super) fn read(
    fields: &Fields,
    id: Option<LensId>,
    zoom: Vec<zoom::Row>,
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
    let front_distance = fields.mm("front_distance_mm", &range::FRONT_DISTANCE, faults);
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
    let card_focals = fields.list("card_focals", faults, |text| {
        parse::number(text, &range::FOCAL_LENGTH).map(Length::mm)
    });
    let f_number = fields.read("f_number", faults, |text| {
        FNumber::new(parse::number(text, &range::F_NUMBER)?)
    });
    let t_number = fields.read("t_number", faults, |text| {
        TNumber::new(parse::number(text, &range::T_NUMBER)?)
    });
    let transmittance = fields.read("transmittance", faults, |text| {
        Transmittance::new(parse::number(text, &range::TRANSMITTANCE)?)
    });
    let close_focus = fields.distance("close_focus", known.bare(units), faults);
    let pupil = pupil(fields, faults);
    let pupil_magnification = fields.read("pupil_magnification", faults, |text| {
        PupilMagnification::new(parse::number(text, &range::PUPIL_MAGNIFICATION)?)
    });
    let squeeze = fields.read("squeeze", faults, |text| {
        let squeeze = parse::number(text, &range::SQUEEZE)?;
        Ratio::new(squeeze).map_err(|_| Unreadable::NotFinite { name: "squeeze" })
    });
    let anamorph = fields.choice("anamorph", &anamorph, faults);
    let ring = ring(fields, faults);
    let front_diameter = fields.mm("front_diameter_mm", &range::DIAMETER, faults);
    let ring_teeth = fields.count("ring_teeth", &range::TEETH, faults);
    let knob_travel = fields.deg("knob_travel_deg", &range::TRAVEL_ANGLE, faults);
    let rear_filter = fields.mm("rear_filter_mm", &range::REAR_FILTER, faults);
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
    let zoom_places: Vec<Place> = zoom.iter().map(|row| row.place.clone()).collect();
    let lens = Lens::new(LensWritten {
        id,
        label: fields.words("label"),
        serial: fields.words("serial"),
        focal,
        card_focals: card_focals.unwrap_or_default(),
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
            };
            for problem in problems {
                row.tell(&problem, faults);
            }
        }
    }
    known
}

fn stop_missing(fields: &Fields, faults: &mut Faults) {
    let message = "neither t_number nor f_number is there";
    let help = "give the widest stop: t_number 2.1, f_number 1.9 or both".to_owned();
    fields.fault("t_number", Kind::Missing, message, Some(help), faults);
}

fn ring(fields: &Fields, faults: &mut Faults) -> Option<Ring> {
    fields.either("ring_circumference_mm", "ring_diameter_mm", faults);
    fields.either("travel_deg", "travel_mm", faults);
    let round = fields.mm("ring_circumference_mm", &range::CIRCUMFERENCE, faults);
    let across = fields.mm("ring_diameter_mm", &range::DIAMETER, faults);
    let turn = fields.deg("travel_deg", &range::TRAVEL_ANGLE, faults);
    let arc = fields.mm("travel_mm", &range::TRAVEL_LENGTH, faults);
    let stops = [
        ("both", HardStops::Both),
        ("infinity", HardStops::Infinity),
        ("near", HardStops::Near),
        ("none", HardStops::None),
    ];
    let witness = [("rear", WitnessEdge::Rear), ("front", WitnessEdge::Front)];
    let written = RingWritten {
        sense: fields.choice("sense", &SENSES, faults),
        round: round
            .map(Round::Circumference)
            .or(across.map(Round::Diameter)),
        travel: turn.map(Travel::Turn).or(arc.map(Travel::Arc)),
        beyond_infinity: fields.deg("beyond_inf_deg", &range::TURN_BEYOND, faults),
        beyond_near: fields.deg("beyond_near_deg", &range::TURN_BEYOND, faults),
        stops: fields.choice("stops", &stops, faults),
        witness: fields.choice("witness", &witness, faults),
        band: fields.mm("band_mm", &range::BAND, faults),
        marks_diameter: fields.mm("marks_diameter_mm", &range::DIAMETER, faults),
        tape_thickness: fields.mm("tape_thickness_mm", &range::TAPE_THICKNESS, faults),
    };
    match Ring::new(written) {
        Ok(ring) => Some(ring),
        Err(problems) => {
            for problem in problems {
                tell_ring(fields, &problem, faults);
            }
            None
        }
    }
}

fn tell_ring(fields: &Fields, problem: &RingProblem, faults: &mut Faults) {
    let (name, reason) = match problem {
        RingProblem::ArcOnUnknownRing => {
            let unread = fields.has("ring_circumference_mm") || fields.has("ring_diameter_mm");
            if !unread {
                let message = "travel_mm needs ring_circumference_mm or ring_diameter_mm";
                fields.fault("travel_mm", Kind::Missing, message, None, faults);
            }
            return;
        }
        RingProblem::Round(reason) if fields.has("ring_diameter_mm") => {
            ("ring_diameter_mm", reason)
        }
        RingProblem::Round(reason) => ("ring_circumference_mm", reason),
        RingProblem::Travel(reason) if fields.has("travel_mm") => ("travel_mm", reason),
        RingProblem::Travel(reason) => ("travel_deg", reason),
        RingProblem::BeyondInfinity(reason) => ("beyond_inf_deg", reason),
        RingProblem::BeyondNear(reason) => ("beyond_near_deg", reason),
        RingProblem::Band(reason) => ("band_mm", reason),
        RingProblem::MarksDiameter(reason) => ("marks_diameter_mm", reason),
        RingProblem::TapeThickness(reason) => ("tape_thickness_mm", reason),
    };
    fields.fault(
        name,
        Kind::from(reason),
        reason.to_string(),
        reason.help(),
        faults,
    );
}

/// A row whose lens cannot be as written.
struct Written<'a> {
    fields: &'a Fields,
    close_focus: FocusDistance,
    unit: Unit,
    zoom: &'a [Place],
}

impl Written<'_> {
    fn tell(&self, problem: &LensProblem, faults: &mut Faults) {
        let fields = self.fields;
        let mut say = |name: &str, kind: Kind, message: String| {
            fields.fault(name, kind, message, None, faults);
        };
        match problem {
            LensProblem::NoStop => stop_missing(fields, faults),
            LensProblem::TBelowF { f, t } => {
                let message = format!(
                    "T{} is below f/{}: more light would come out than went in",
                    t.value(),
                    f.value()
                );
                say("t_number", Kind::OutOfRange, message);
            }
            LensProblem::LightDisagrees {
                given_by_stops,
                written,
            } => {
                let message = format!(
                    "f- and T-number give a transmittance of {:.3}, which is over a tenth of a \
                     stop from {}",
                    given_by_stops.value(),
                    written.value()
                );
                say("transmittance", Kind::OutOfRange, message);
            }
            LensProblem::Light(reason) => {
                let message = format!("f-number, T-number and transmittance: {reason}");
                say("transmittance", Kind::from(reason), message);
            }
            LensProblem::FocalOrder => {
                let message = "a zoom goes from its shortest to its longest focal length";
                say("focal_mm", Kind::OutOfOrder, message.into());
            }
            LensProblem::CardFocalOutside(_) => {
                let message = "a card's focal length lies outside the zoom's";
                say("card_focals", Kind::OutOfRange, message.into());
            }
            LensProblem::NoZoom => {
                let message = "one focal length, but card_focals or a file in zoom/";
                say("focal_mm", Kind::OutOfRange, message.into());
            }
            LensProblem::ZoomRowOutside(row) => {
                let message = "this focal length lies outside the zoom's";
                let fault = Fault::new(Kind::OutOfRange, message);
                let place = self.zoom.get(*row).cloned();
                faults.push(Fault { place, ..fault });
            }
            LensProblem::CloseFocusInfinite => {
                let message = "close focus must be a finite distance";
                say("close_focus", Kind::NotFinite, message.into());
            }
            LensProblem::Inside4f { limit } => {
                let close = show::exact_distance(self.close_focus, self.unit);
                let (message, help) = inside_4f("close focus", &close, *limit, self.unit);
                let place = fields.place_of("close_focus");
                let fault = Fault::new(Kind::Inside4f, message)
                    .at(place)
                    .with_help(help);
                faults.push(Fault {
                    nearest: Some(limit.to_mm()),
                    ..fault
                });
            }
            LensProblem::FrontUnknown => {
                let message = "a scale that counts from the front needs front_distance_mm";
                say("front_distance_mm", Kind::Missing, message.into());
            }
        }
    }
}

/// A distance nearer than any setting could focus: message and help.
pub(super) fn inside_4f(what: &str, distance: &str, limit: Length, unit: Unit) -> (String, String) {
    let limit = show::rounded(limit, show::Step::TenthsOfMm(10), show::Round::Up)
        + &match unit {
            Unit::Feet => format!(" ({})", show::nearest_16th(limit)),
            Unit::Metres => String::new(),
        };
    (
        format!(
            "{what} {distance} is nearer than four focal lengths and the hiatus, {limit}: no \
             setting of such a lens focuses there"
        ),
        "check the distance, and hiatus_mm or entrance_pupil_mm where the lens has them".into(),
    )
}
