//! `breathing/ID.csv`: what a lens is at some of its settings.

use crate::data::fault::{Fault, Kind, Place};
use crate::data::faults::Faults;
use crate::data::fields::Fields;
use crate::data::keys::{BREATHING, most};
use crate::data::table;
use crate::gear::rounding;
use crate::optics::{BreathingRow, Gate, Squeeze, magnification_of_framed};
use crate::units::{BareUnit, Length, Reach, Unit};

/// How large the image is at a setting, as it was written.
enum Size {
    /// As a magnification.
    Magnification(f64),
    /// As the width that fills the gate's.
    Framed(Length),
}

/// A row, and where it stands.
pub(super) struct Row {
    size: Size,
    /// By what share the figure may be off, as it was rounded.
    share: f64,
    distance: Length,
    pupil_station: Option<Length>,
    pub place: Place,
}

/// The rows, in the order of the file.
pub(super) fn read(file: &str, text: &str, units: Option<Unit>, faults: &mut Faults) -> Vec<Row> {
    let table = table::rows(file, text, &BREATHING, Some(most::MARKS), faults);
    let rows = table.rows.into_iter();
    rows.filter_map(|row| one(&row.fields, units, faults))
        .collect()
}

fn one(fields: &Fields, units: Option<Unit>, faults: &mut Faults) -> Option<Row> {
    fields.either("magnification", "field_width_mm", faults);
    let magnification = fields.number("magnification", faults);
    let framed = fields.mm("field_width_mm", faults);
    let (name, size) = match (magnification, framed) {
        (Some(m), _) => ("magnification", Some(Size::Magnification(m))),
        (None, Some(width)) => ("field_width_mm", Some(Size::Framed(width))),
        (None, None) => ("magnification", None),
    };
    if !fields.has("magnification") && !fields.has("field_width_mm") {
        let message = "neither magnification nor field_width_mm is there";
        let help = "what fills the frame's width at that distance, or image size over object size";
        fields.fault(name, Kind::Missing, message, Some(help.into()), faults);
    }
    let distance = fields.distance("distance", BareUnit::Refused(units), faults)?;
    let pupil_station = fields.mm("entrance_pupil_mm", faults);
    let Reach::At(distance) = distance.reach() else {
        let message = "at infinity the focal length says it all: leave the row out";
        fields.fault("distance", Kind::NotFinite, message, None, faults);
        return None;
    };
    Some(Row {
        size: size?,
        share: fields.get(name).map_or(0.0, |field| rounding(&field.text)),
        distance,
        pupil_station,
        place: fields.place_of(name),
    })
}

/// The rows as the optics wants them; what fills a frame needs the frame.
pub(super) fn rows(
    rows: &[Row],
    gates: &[Gate],
    squeeze: Option<Squeeze>,
    faults: &mut Faults,
) -> Vec<BreathingRow> {
    let width = |gate: &Gate| gate.width();
    let one = gates.first().filter(|first| {
        let mut others = gates.iter().map(width);
        others.all(|other| other == width(first))
    });

    let of_gate = |row: &Row| {
        let magnification = match row.size {
            Size::Magnification(m) => m,
            Size::Framed(width) => magnification_of_framed(*one?, squeeze, width).value(),
        };
        Some(BreathingRow {
            magnification,
            rounding: magnification * row.share,
            distance: row.distance,
            pupil_station: row.pupil_station,
        })
    };
    let framed = rows.iter().find(|row| matches!(row.size, Size::Framed(_)));
    // Where no camera could be read, that is told already.
    if let (Some(row), None, false) = (framed, one, gates.is_empty()) {
        let message = "the kit's cameras record different widths, and nobody said in which this \
                       was framed";
        let fault = Fault::new(Kind::OutOfRange, message);
        let fault = fault.with_help("give magnification: image size over object size");
        faults.push(fault.at(row.place.clone()));
    }
    rows.iter().filter_map(of_gate).collect()
}
