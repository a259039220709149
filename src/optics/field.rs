//! Field of view: angles, and the size of what is framed.

use super::confusion::Gate;
use super::conjugate::{Magnification, distance_at, focal_length_for, magnification_for_width};
use super::focused::{BehindPupil, Focused};
use super::unit_focus::UnitFocus;
use crate::formula::{Record, formula};
use crate::units::{Angle, FocusDistance, Length, Reach};

formula! {
    /// Diagonal of the gate; never the sum of angles.
    diagonal(w: mm, h: mm) -> d: mm = sqrt(w * w + h * h);
    source "Pythagoras"
}

formula! {
    /// Angle at the entrance pupil that one side of the gate takes in.
    angle_of_view(w: mm, q: mm) -> angle: deg = 2.0 * atan(w / (2.0 * q)) * 180.0 / pi;
    source "2 atan(w / (2 m s)): the perspective angle; q is f at infinity focus"
}

formula! {
    /// Size of what one side of the gate frames, in a plane at D.
    framed_size(w: mm, s_object: mm, q: mm) -> framed: mm = w * s_object / q;
    source "similar triangles at the entrance pupil: W = w (D - t) / (m s)"
}

/// Angles of view at the entrance pupil.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AngleOfView {
    /// Across the width.
    pub horizontal: Angle,
    /// Across the height.
    pub vertical: Angle,
    /// From corner to corner.
    pub diagonal: Angle,
}

/// What the frame takes in, in one plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FieldSize {
    /// Width of the plane that is framed.
    pub width: Reach<Length>,
    /// Height of it.
    pub height: Reach<Length>,
}

/// Angles and the framed size together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Field {
    /// Angles at the entrance pupil.
    pub angles: AngleOfView,
    /// Size in the plane asked for.
    pub size: FieldSize,
}

impl Focused {
    /// Angles of view at the entrance pupil.
    #[must_use]
    pub fn angles(&self, gate: Gate, rec: &mut impl Record) -> AngleOfView {
        angles(gate, self.camera_constant, rec)
    }

    /// Angles and framed size in the plane at `at`, sharp or not.
    ///
    /// Distances are along the axis, not on the slant.
    ///
    /// # Errors
    /// [`BehindPupil`] when the plane lies at or behind the entrance pupil.
    pub fn field(
        &self,
        gate: Gate,
        at: FocusDistance,
        rec: &mut impl Record,
    ) -> Result<Field, BehindPupil> {
        let angles = angles(gate, self.camera_constant, rec);
        let size = match self.from_pupil(at, rec)?.reach() {
            Reach::Infinity => FieldSize {
                width: Reach::Infinity,
                height: Reach::Infinity,
            },
            Reach::At(s) => {
                let (s, q) = (s.to_mm(), self.camera_constant.to_mm());
                let mut side = |w: Length| Reach::At(Length::mm(framed_size(w.to_mm(), s, q, rec)));
                FieldSize {
                    width: side(gate.width()),
                    height: side(gate.height()),
                }
            }
        };
        Ok(Field { angles, size })
    }
}

impl UnitFocus {
    /// Angles of view at infinity focus, 2·atan(w / 2f).
    #[must_use]
    pub fn angles_at_infinity(&self, gate: Gate, rec: &mut impl Record) -> AngleOfView {
        angles(gate, self.focal_length(), rec)
    }

    /// The focus distance at which `width` fills the gate's width.
    #[must_use]
    pub fn distance_for_width(
        &self,
        gate: Gate,
        width: Length,
        rec: &mut impl Record,
    ) -> (FocusDistance, Magnification) {
        let m = magnification_for_width(gate.width().to_mm(), width.to_mm(), rec);
        let (f, e) = (self.focal_length().to_mm(), self.hiatus().to_mm());
        let distance = Length::mm(distance_at(e, f, m, rec));
        (
            FocusDistance::computed(Reach::At(distance)),
            Magnification::computed(m),
        )
    }
}

/// The focal length with which `width` fills the gate's width at a focus distance.
#[must_use]
pub fn focal_length_for_width(
    gate: Gate,
    width: Length,
    distance: Length,
    hiatus: Length,
    rec: &mut impl Record,
) -> (Length, Magnification) {
    let m = magnification_for_width(gate.width().to_mm(), width.to_mm(), rec);
    let f = focal_length_for(distance.to_mm(), hiatus.to_mm(), m, rec);
    (Length::mm(f), Magnification::computed(m))
}

fn angles(gate: Gate, camera_constant: Length, rec: &mut impl Record) -> AngleOfView {
    let q = camera_constant.to_mm();
    let (w, h) = (gate.width().to_mm(), gate.height().to_mm());
    let horizontal = Angle::deg(angle_of_view(w, q, rec));
    let vertical = Angle::deg(angle_of_view(h, q, rec));
    let d = diagonal(w, h, rec);
    AngleOfView {
        horizontal,
        vertical,
        diagonal: Angle::deg(angle_of_view(d, q, rec)),
    }
}
