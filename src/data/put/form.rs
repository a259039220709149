//! The form of a new `marks/ID.csv`: the distances usually engraved, their
//! positions still to be read.

use super::as_written;
use crate::data::starter::starter;
use crate::data::take::{Cell, Growing};
use crate::gear::{Kit, Lens, MarkKind, PositionUnit, ScaleFrom};
use crate::sheets::usual_marks;
use crate::units::{FocusDistance, Reach, Unit};

/// The position column of a unit.
pub(super) const fn column_of(unit: PositionUnit) -> &'static str {
    match unit {
        PositionUnit::Mm => "position_mm",
        PositionUnit::Deg => "position_deg",
        PositionUnit::Fraction => "position_fraction",
        PositionUnit::Counts => "position_counts",
    }
}

/// The remarks over the marks of the starter kit, which explain every column.
fn explained() -> Vec<&'static str> {
    let files = starter().iter();
    let marks = files
        .filter(|(name, _)| name.starts_with("marks/"))
        .take(1)
        .flat_map(|(_, text)| text.lines());
    let remarks = marks.map_while(|line| line.strip_prefix('#'));
    remarks
        .map(|line| line.strip_prefix(' ').unwrap_or(line))
        .collect()
}

/// A new file of marks without rows.
pub(super) fn begin(
    kit: &Kit,
    lens: &Lens,
    from: Option<&str>,
    unit: PositionUnit,
    with_sd: bool,
    with_camera: bool,
) -> Growing {
    let mut columns = vec!["distance", column_of(unit), "kind"];
    columns.extend(with_sd.then_some("sd_deg"));
    let named = kit.cameras.iter().any(|camera| camera.name.is_some());
    columns.extend((with_camera || named).then_some("camera"));
    let about = format!(
        "Where distances stand on the ring of lens {}{}.",
        lens.id(),
        from.map_or_else(String::new, |from| format!(", from {from}"))
    );
    match (from, unit) {
        (None, PositionUnit::Mm) => Growing::begin(&explained(), &columns),
        _ => Growing::begin(
            &[
                &about,
                "Several settings of the ring stand in one cell; an empty one is not read yet.",
            ],
            &columns,
        ),
    }
}

/// Adds a distance of the engraved scale that waits for its position.
pub(super) fn ask(table: &mut Growing, written: &str) -> bool {
    table.add(&[
        ("distance", Cell::Figure(written.to_owned())),
        ("kind", Cell::Name(MarkKind::Engraved.name().to_owned())),
    ])
}

/// The unit of a lens's own scale; the kit's where nobody said.
pub(super) fn own_unit(kit: &Kit, lens: &Lens) -> Unit {
    lens.engraved().unwrap_or(kit.units)
}

/// The distances usually engraved on such a lens, as its scale reads them, from
/// infinity down to close focus.
pub(super) fn engraved(kit: &Kit, lens: &Lens) -> Vec<FocusDistance> {
    let Reach::At(close) = lens.close_focus().reach() else {
        return Vec::new();
    };
    let nearest = close - lens.scale_offset();
    let usual = usual_marks(own_unit(kit, lens)).iter();
    let mut own: Vec<FocusDistance> = usual
        .map(|(distance, _)| *distance)
        .filter(|distance| match distance.reach() {
            Reach::At(length) => length >= nearest,
            Reach::Infinity => true,
        })
        .collect();
    // The last mark of a scale is close focus, whatever its figure.
    if lens.scale_from() == ScaleFrom::ImagePlane && own.last() != Some(&lens.close_focus()) {
        own.push(lens.close_focus());
    }
    own
}

/// The form as `lens add` writes it, and the distances it asks for.
pub(super) fn form(kit: &Kit, lens: &Lens) -> (Vec<u8>, Vec<FocusDistance>) {
    let mut table = begin(kit, lens, None, PositionUnit::Mm, false, false);
    let asked = engraved(kit, lens);
    for distance in &asked {
        ask(&mut table, &as_written(*distance, own_unit(kit, lens)));
    }
    (table.bytes().to_vec(), asked)
}
