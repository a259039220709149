//! From a tape reading to the axis: people tape on the slant, the ring counts
//! along the axis.

use crate::formula::{Record, formula};
use crate::units::Length;

formula! {
    /// Along the axis, from a reading to a subject beside it.
    axial_of_taped(taped: mm, across: mm) -> D: mm = sqrt(taped * taped - across * across);
    source "Pythagoras: the tape runs from the image-plane mark straight to the eyes"
}

formula! {
    /// From the image-plane mark to the eyes, from a reading along the floor.
    taped_of_floor(floor: mm, camera: mm, eye: mm) -> taped: mm
        = sqrt(floor * floor + (camera - eye) * (camera - eye));
    source "Pythagoras: the camera, tilted to the eyes, looks along the slant"
}

/// The distance along the axis of a subject taped straight from the image-plane
/// mark, standing `across` beside the axis; `None` where the tape is not longer
/// than that.
#[must_use]
pub fn axial_distance(taped: Length, across: Length, rec: &mut impl Record) -> Option<Length> {
    if taped <= across.abs() {
        return None;
    }
    let distance = axial_of_taped(taped.to_mm(), across.to_mm(), rec);
    (distance > 0.0).then(|| Length::mm(distance))
}

/// The straight distance from the image-plane mark to the eyes, from the
/// distance along the floor and both heights over it: where a camera tilted to
/// the eyes is to be focused.
#[must_use]
pub fn slant_distance(floor: Length, camera: Length, eye: Length, rec: &mut impl Record) -> Length {
    Length::mm(taped_of_floor(
        floor.to_mm(),
        camera.to_mm(),
        eye.to_mm(),
        rec,
    ))
}
