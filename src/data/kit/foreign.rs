//! Marks that are to be put into a kit, judged by the reader of the kit's own.

use super::lens::KnownLens;
use super::marks::{self, Placed, Rows, Sheet};
use super::{Known, text};
use crate::data::faults::Faults;
use crate::data::fields::Fields;
use crate::gear::{Kit, Lens, Mark, MarkKind, MarkPosition, Marks};
use crate::units::{BareUnit, FocusDistance, Unit};

/// The lens that marks are for, in its kit.
pub(in crate::data) struct Foreign {
    known: Known,
    own: KnownLens,
    /// The lens with what a bare number is in the other table.
    lens: KnownLens,
}

impl Foreign {
    /// The lens of a kit; `bare`: what distances without a unit are in the other
    /// table, where that is said.
    pub fn of(kit: &Kit, lens: &Lens, bare: Option<Unit>) -> Self {
        let cameras = kit.cameras.iter();
        let known = |engraved| KnownLens {
            id: Some(lens.id().clone()),
            engraved,
            scale_offset: lens.scale_offset(),
            lens: Some(lens.clone()),
            marks: None,
        };
        Self {
            known: Known {
                units: Some(kit.units),
                cameras: cameras.filter_map(|camera| camera.name.clone()).collect(),
                lenses: Vec::new(),
                by_id: std::collections::BTreeMap::new(),
                all_lenses: true,
            },
            own: known(lens.engraved()),
            lens: known(bare.or(lens.engraved())),
        }
    }

    /// What a number without unit is in the other table.
    pub fn bare(&self) -> BareUnit {
        self.lens.bare(self.known.units)
    }

    /// The rows of the marks file that is there.
    pub fn own_rows(&self, file: &str, bytes: &[u8], faults: &mut Faults) -> Option<Rows> {
        match text::text(file, bytes.to_vec()) {
            Ok(text) => marks::rows(file, &text, &self.own, &self.known, faults),
            Err(fault) => {
                faults.push(fault);
                None
            }
        }
    }

    /// A row of the other table that has a position.
    pub fn mark(&self, fields: &Fields, column: &str, faults: &mut Faults) -> Option<Placed> {
        marks::mark(fields, column, &self.lens, &self.known, faults)
    }

    /// The kind of a row; one that says none is read.
    pub fn kind(&self, fields: &Fields, faults: &mut Faults) -> Option<MarkKind> {
        marks::kind(fields, faults)
    }

    /// The camera of a row, if it names one.
    pub fn camera(&self, fields: &Fields, faults: &mut Faults) -> Option<String> {
        self.known.camera(fields, faults)
    }

    /// A distance of the engraved scale, from the image plane.
    pub fn engraved(&self, distance: FocusDistance) -> FocusDistance {
        marks::from_image_plane(distance, &self.own)
    }

    /// What all rows are together.
    pub fn judge(&self, file: &str, rows: Rows, faults: &mut Faults) -> Option<Marks> {
        marks::judge(file, rows, &self.own, &self.known, faults)
    }

    /// Holds distances of the engraved scale, which have no positions yet,
    /// against what the lens can focus.
    pub fn check_engraved(
        &self,
        distances: &[(FocusDistance, String)],
        place: &crate::data::Place,
        faults: &mut Faults,
    ) {
        let Ok(nowhere) = MarkPosition::new(0.0) else {
            return;
        };
        let placed = distances.iter().map(|(distance, written)| Placed {
            mark: Mark {
                distance: self.engraved(*distance),
                written: written.clone(),
                position: nowhere,
                settings: Vec::new(),
                kind: MarkKind::Engraved,
                sd: None,
                camera: None,
            },
            distance: place.clone(),
            position: place.clone(),
        });
        let placed: Vec<Placed> = placed.collect();
        let sheet = Sheet {
            file: "",
            lens: &self.lens,
            unit: match self.bare() {
                BareUnit::Engraved(unit) => unit,
                BareUnit::Refused(unit) => unit.unwrap_or(Unit::Metres),
            },
        };
        sheet.check_distances(&placed, faults);
    }
}
