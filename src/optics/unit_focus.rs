//! A lens that focuses by moving as a whole: fixed f, hiatus and pupils.

use super::conjugate::{self, Branch, Magnification, OutOfReach};
use super::focus::Focus;
use super::focused::Focused;
use crate::formula::{Record, formula};
use crate::units::{FNumber, FocusDistance, Length, PupilMagnification, Reach};

formula! {
    /// Entrance-pupil diameter.
    pupil_diameter(f: mm, N: f_number) -> A: mm = f / N;
    source "definition of the f-number, ISO 517"
}

formula! {
    /// Camera constant q = m s of a unit-focusing lens.
    camera_constant(f: mm, m: ratio, p: ratio) -> q: mm = f * (1.0 + m / p);
    source "q = m s with s = f (1/m + 1/p) (pupil stations of a Gaussian lens)"
}

formula! {
    /// Entrance pupil to image plane.
    pupil_station(e: mm, f: mm, m: ratio, p: ratio) -> t: mm = e + f * (2.0 + m - 1.0 / p);
    source "t = D - s (pupil stations of a Gaussian lens)"
}

formula! {
    /// The hiatus that puts the entrance pupil where it was measured.
    hiatus_from_pupil(t_inf: mm, f: mm, p: ratio) -> e: mm = t_inf - f * (2.0 - 1.0 / p);
    source "t = e + f (2 + m - 1/p) at infinity focus, solved for e"
}

/// What is known of the pupils and principal planes beside the focal length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pupil {
    /// The hiatus is known.
    Hiatus(Length),
    /// The entrance pupil's distance in front of the image plane at infinity
    /// focus is known.
    Station(Length),
}

/// A unit-focusing lens: focal length, hiatus, pupil magnification.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UnitFocus {
    focal_length: Length,
    hiatus: Length,
    pupil_magnification: PupilMagnification,
}

impl UnitFocus {
    /// A lens from its focal length, its pupils' place and their ratio.
    #[must_use]
    pub fn new(
        focal_length: Length,
        pupil: Pupil,
        pupil_magnification: PupilMagnification,
        rec: &mut impl Record,
    ) -> Self {
        let hiatus = match pupil {
            Pupil::Hiatus(e) => e,
            Pupil::Station(t) => {
                let (f, p) = (focal_length.to_mm(), pupil_magnification.value());
                Length::mm(hiatus_from_pupil(t.to_mm(), f, p, rec))
            }
        };
        Self {
            focal_length,
            hiatus,
            pupil_magnification,
        }
    }

    /// The focal length.
    #[must_use]
    pub const fn focal_length(&self) -> Length {
        self.focal_length
    }

    /// H to H', positive when H' is nearer the image.
    #[must_use]
    pub const fn hiatus(&self) -> Length {
        self.hiatus
    }

    /// Exit pupil over entrance pupil.
    #[must_use]
    pub const fn pupil_magnification(&self) -> PupilMagnification {
        self.pupil_magnification
    }

    /// The nearest distance any setting could focus: four focal lengths and the
    /// hiatus, where the image is as large as the object.
    #[must_use]
    pub fn closest(&self) -> Length {
        self.hiatus + self.focal_length * 4.0
    }

    /// The lens focused at `distance`, at the stop `n`.
    ///
    /// # Errors
    /// [`OutOfReach`] when no setting focuses there.
    pub fn at(
        &self,
        distance: FocusDistance,
        branch: Branch,
        n: FNumber,
        rec: &mut impl Record,
    ) -> Result<Focused, OutOfReach> {
        let m = self.magnification(distance, branch, rec)?;
        Ok(self.at_magnification(m, distance, n, rec))
    }

    /// The magnification when focused at `distance`.
    ///
    /// # Errors
    /// [`OutOfReach`] when no setting focuses there.
    pub fn magnification(
        &self,
        distance: FocusDistance,
        branch: Branch,
        rec: &mut impl Record,
    ) -> Result<Magnification, OutOfReach> {
        conjugate::magnification(self.focal_length, self.hiatus, distance, branch, rec)
    }

    /// The lens focused at `distance` for fields of view, which do not depend
    /// on the stop: the pupil is as wide as f/1 makes it.
    ///
    /// # Errors
    /// [`OutOfReach`] when no setting focuses there.
    pub fn framing(
        &self,
        distance: FocusDistance,
        branch: Branch,
        rec: &mut impl Record,
    ) -> Result<Focused, OutOfReach> {
        let m = self.magnification(distance, branch, rec)?;
        Ok(self.stand(m, distance, self.focal_length, rec))
    }

    /// The four numbers at a magnification that belongs to `focus`.
    pub(crate) fn at_magnification(
        &self,
        m: Magnification,
        focus: FocusDistance,
        n: FNumber,
        rec: &mut impl Record,
    ) -> Focused {
        let pupil = pupil_diameter(self.focal_length.to_mm(), n.value(), rec);
        self.stand(m, focus, Length::mm(pupil), rec)
    }

    pub(super) fn stand(
        &self,
        m: Magnification,
        focus: FocusDistance,
        pupil: Length,
        rec: &mut impl Record,
    ) -> Focused {
        let (f, e) = (self.focal_length.to_mm(), self.hiatus.to_mm());
        let p = self.pupil_magnification.value();
        Focused {
            camera_constant: Length::mm(camera_constant(f, m.value(), p, rec)),
            magnification: m,
            pupil,
            pupil_station: Length::mm(pupil_station(e, f, m.value(), p, rec)),
            focus,
        }
    }

    /// The focus distance at a magnification: infinity at zero.
    #[must_use]
    pub fn distance_at(&self, m: Magnification, rec: &mut impl Record) -> FocusDistance {
        if m.value() <= 0.0 {
            return FocusDistance::INFINITY;
        }
        let (f, e) = (self.focal_length.to_mm(), self.hiatus.to_mm());
        let distance = conjugate::distance_at(e, f, m.value(), rec);
        FocusDistance::computed(Reach::At(Length::mm(distance)))
    }
}

impl Focus for UnitFocus {
    fn set(&self, setting: Magnification, n: FNumber, rec: &mut impl Record) -> Focused {
        let focus = self.distance_at(setting, rec);
        self.at_magnification(setting, focus, n, rec)
    }

    fn setting(
        &self,
        distance: FocusDistance,
        branch: Branch,
        rec: &mut impl Record,
    ) -> Result<Magnification, OutOfReach> {
        self.magnification(distance, branch, rec)
    }

    fn at(
        &self,
        distance: FocusDistance,
        branch: Branch,
        n: FNumber,
        rec: &mut impl Record,
    ) -> Result<Focused, OutOfReach> {
        Self::at(self, distance, branch, n, rec)
    }

    fn closest(&self) -> Length {
        Self::closest(self)
    }

    /// 1:1, where the distance between object and image is the shortest.
    fn last_setting(&self) -> Magnification {
        Magnification::computed(1.0)
    }
}
