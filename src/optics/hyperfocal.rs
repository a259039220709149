//! Hyperfocal distance: the focus whose far limit just reaches infinity.

use core::fmt;

use super::confusion::Circle;
use super::unit_focus::UnitFocus;
use crate::formula::{Record, formula};
use crate::units::{FNumber, Length};

formula! {
    /// From the front focal point.
    hyperfocal_from_focal_point(f: mm, N: f_number, c: mm) -> h: mm = f * f / (N * c);
    source "k = c N / (m f) = 1 (Kingslake, Optics in Photography; from memory)"
}

formula! {
    /// From the front principal plane.
    hyperfocal_from_principal_plane(h: mm, f: mm) -> h_H: mm = h + f;
    source "the front focal point lies f in front of H"
}

formula! {
    /// From the entrance pupil.
    hyperfocal_from_pupil(h: mm, f: mm, p: ratio) -> h_P: mm = h + f / p;
    source "s = f (1/m + 1/p) at m = c N / f"
}

formula! {
    /// From the image plane: the distance to set.
    hyperfocal_from_image_plane(h: mm, f: mm, e: mm, N: f_number, c: mm) -> D_h: mm
        = h + 2.0 * f + e + N * c;
    source "D = e + f (2 + m + 1/m) at m = c N / f"
}

/// The hyperfocal distance from each point it may be measured from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hyperfocal {
    /// From the image plane: the focus distance to set.
    pub from_image_plane: Length,
    /// From the front focal point.
    pub from_front_focal_point: Length,
    /// From the front principal plane.
    pub from_front_principal_plane: Length,
    /// From the entrance pupil; the near limit is half of this, exactly.
    pub from_entrance_pupil: Length,
}

/// The circle is so coarse that the hyperfocal distance lies beyond 1:1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InsideOneToOne {
    /// The largest f-number for which there is a hyperfocal distance.
    pub largest: FNumber,
}

impl fmt::Display for InsideOneToOne {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "circle times f-number exceeds the focal length: everything is sharp at every \
             setting, and there is no hyperfocal distance (the stop would have to be f/{:.4} or \
             wider)",
            self.largest.value()
        )
    }
}

impl core::error::Error for InsideOneToOne {}

impl UnitFocus {
    /// The hyperfocal distance from each reference point.
    ///
    /// # Errors
    /// [`InsideOneToOne`] when c·N exceeds the focal length.
    pub fn hyperfocal(
        &self,
        n: FNumber,
        circle: Circle,
        rec: &mut impl Record,
    ) -> Result<Hyperfocal, InsideOneToOne> {
        let (f, e) = (self.focal_length().to_mm(), self.hiatus().to_mm());
        let (n, c, p) = (
            n.value(),
            circle.diameter().to_mm(),
            self.pupil_magnification().value(),
        );
        if c * n > f {
            return Err(InsideOneToOne {
                largest: FNumber::computed(f / c),
            });
        }
        let h = hyperfocal_from_focal_point(f, n, c, rec);
        Ok(Hyperfocal {
            from_front_focal_point: Length::mm(h),
            from_front_principal_plane: Length::mm(hyperfocal_from_principal_plane(h, f, rec)),
            from_entrance_pupil: Length::mm(hyperfocal_from_pupil(h, f, p, rec)),
            from_image_plane: Length::mm(hyperfocal_from_image_plane(h, f, e, n, c, rec)),
        })
    }
}
