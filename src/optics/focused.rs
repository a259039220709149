//! A lens set to one focus: four numbers, and the only bridges between planes.

use core::fmt;

use super::conjugate::Magnification;
use crate::formula::{Record, formula};
use crate::units::{FNumber, FocusDistance, Length, PupilDistance, Reach};

/// A lens set to one focus.
///
/// The camera constant q = m·s sets the angle of view and is the focal length
/// at infinity focus; with the magnification m, the entrance-pupil diameter A
/// and the pupil's station t in front of the image plane it gives depth, blur
/// and field of any lens. All four are finite whatever the focus.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Focused {
    pub(super) camera_constant: Length,
    pub(super) magnification: Magnification,
    pub(super) pupil: Length,
    pub(super) pupil_station: Length,
    pub(super) focus: FocusDistance,
}

/// The object stands at or behind the entrance pupil, where nothing is seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BehindPupil {
    /// The entrance pupil's distance in front of the image plane.
    pub pupil_station: Length,
}

impl fmt::Display for BehindPupil {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "the object stands at or behind the entrance pupil, which is {:.2} mm in front of the \
             image plane",
            self.pupil_station.to_mm()
        )
    }
}

impl core::error::Error for BehindPupil {}

formula! {
    /// The bridge from the image plane to the entrance pupil.
    object_from_pupil(D_object: mm, t: mm) -> s_object: mm = D_object - t;
    source "geometry: both distances run along the axis"
}

formula! {
    /// The bridge from the entrance pupil to the image plane.
    near_from_image_plane(s_near: mm, t: mm) -> D_near: mm = s_near + t;
    source "geometry: the lens does not move between the limits"
}

formula! {
    /// The bridge from the entrance pupil to the image plane.
    far_from_image_plane(s_far: mm, t: mm) -> D_far: mm = s_far + t;
    source "geometry: the lens does not move between the limits"
}

formula! {
    /// Blur of an object at a finite distance, + behind the focus, − in front.
    blur_at(A: mm, m: ratio, q: mm, s_object: mm) -> b: mm = A * (m - q / s_object);
    source "similar triangles at the entrance pupil: b = m A (s_o - s) / s_o"
}

formula! {
    /// Blur of an object at infinity.
    blur_at_infinity(A: mm, m: ratio) -> b: mm = A * m;
    source "limit of b = m A (s_o - s) / s_o for s_o without end"
}

formula! {
    /// The f-number of the light cone at the image.
    working_f_number(q: mm, A: mm) -> N_w: f_number = q / A;
    source "N_w = m s / A = N (1 + m/p) for unit focusing"
}

impl Focused {
    /// The distance the lens is focused at, from the image plane.
    #[must_use]
    pub const fn focus(&self) -> FocusDistance {
        self.focus
    }

    /// q = m·s: the distance behind the pupil that sets the angle of view.
    #[must_use]
    pub const fn camera_constant(&self) -> Length {
        self.camera_constant
    }

    /// The magnification; zero at infinity focus.
    #[must_use]
    pub const fn magnification(&self) -> Magnification {
        self.magnification
    }

    /// The entrance-pupil diameter.
    #[must_use]
    pub const fn pupil(&self) -> Length {
        self.pupil
    }

    /// The entrance pupil's distance in front of the image plane; negative when
    /// it lies behind.
    #[must_use]
    pub const fn pupil_station(&self) -> Length {
        self.pupil_station
    }

    /// The bridge from the image plane to the entrance pupil.
    ///
    /// # Errors
    /// [`BehindPupil`] when the object stands at or behind it.
    pub fn from_pupil(
        &self,
        object: FocusDistance,
        rec: &mut impl Record,
    ) -> Result<PupilDistance, BehindPupil> {
        let Reach::At(distance) = object.reach() else {
            return Ok(PupilDistance::computed(Reach::Infinity));
        };
        let t = self.pupil_station;
        if distance <= t {
            return Err(BehindPupil { pupil_station: t });
        }
        let s = object_from_pupil(distance.to_mm(), t.to_mm(), rec);
        Ok(PupilDistance::computed(Reach::At(Length::mm(s))))
    }

    /// The bridge from the entrance pupil to the image plane.
    #[must_use]
    pub fn from_image_plane(&self, object: PupilDistance) -> FocusDistance {
        let t = self.pupil_station;
        FocusDistance::computed(object.reach().map(|s| s + t))
    }

    /// How soft an object is: the diameter of its blur on the image plane,
    /// positive behind the focus and negative in front.
    ///
    /// # Errors
    /// [`BehindPupil`] when the object stands at or behind the entrance pupil.
    pub fn blur(
        &self,
        object: FocusDistance,
        rec: &mut impl Record,
    ) -> Result<Length, BehindPupil> {
        let (a, m) = (self.pupil.to_mm(), self.magnification.value());
        Ok(Length::mm(match self.from_pupil(object, rec)?.reach() {
            Reach::At(s) => blur_at(a, m, self.camera_constant.to_mm(), s.to_mm(), rec),
            Reach::Infinity => blur_at_infinity(a, m, rec),
        }))
    }

    /// The f-number of the light cone at the image: N (1 + m/p) for unit
    /// focusing; twice the engraved one at 1:1 with equal pupils.
    #[must_use]
    pub fn working_f_number(&self, rec: &mut impl Record) -> FNumber {
        let n = working_f_number(self.camera_constant.to_mm(), self.pupil.to_mm(), rec);
        FNumber::computed(n)
    }
}
