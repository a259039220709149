//! `zoom/ID.csv`: what varies along a zoom.

use super::lens::pupil;
use crate::data::faults::Faults;
use crate::data::keys::{ZOOM, most};
use crate::data::table;
use crate::gear::ZoomRow;
use crate::units::{FNumber, PupilMagnification, TNumber};

/// A row of a zoom, and the line it stands on.
pub(super) struct Row {
    pub row: ZoomRow,
    pub place: crate::data::Place,
}

/// The rows of a zoom, in the order of the file.
pub(super) fn read(file: &str, text: &str, faults: &mut Faults) -> Vec<Row> {
    let table = table::rows(file, text, &ZOOM, Some(most::MARKS), faults);
    let row = |row: table::Row| {
        let fields = row.fields;
        let focal = fields.mm("focal_mm", faults);
        let pupil = pupil(&fields, faults);
        let pupil_magnification =
            fields.number_as("pupil_magnification", faults, PupilMagnification::new);
        let f_number = fields.number_as("f_number", faults, FNumber::new);
        let t_number = fields.number_as("t_number", faults, TNumber::new);
        Some(Row {
            row: ZoomRow {
                focal: focal?,
                pupil,
                pupil_magnification,
                f_number,
                t_number,
            },
            place: fields.place_of("focal_mm"),
        })
    };
    table.rows.into_iter().filter_map(row).collect()
}
