//! Close-up lenses: thin lenses in front, through which object and pupil are
//! seen.

use super::Numbers;
use crate::formula::{Record, formula};
use crate::units::Length;

formula! {
    /// A close-up lens seen from the entrance pupil, before the object.
    pupil_behind_close_up(z: mm, t: mm) -> d: mm = z - t;
    source "geometry: the close-up lens stands z in front of the image plane, the pupil t"
}

formula! {
    /// Beam at the close-up lens: the object's distance from it times m.
    beam_at_close_up(q: mm, m: ratio, d: mm) -> w: mm = q - m * d;
    source "m (s - d) with m s = q, s from the pupil to the object"
}

formula! {
    /// The power of a close-up lens in 1/mm.
    power_in_mm(dioptres: per_m) -> phi: per_mm = dioptres / 1000.0;
    source "one dioptre is one over a metre"
}

formula! {
    /// Magnification with a close-up lens.
    magnification_with_close_up(m: ratio, phi: per_mm, w: mm) -> m_c: ratio = m + phi * w;
    source "thin lens: 1/o = 1/(s - d) + phi and m_c = m (s - d)/o"
}

formula! {
    /// The magnification without the close-up lens.
    magnification_without_close_up(m_c: ratio, phi: per_mm, w: mm) -> m: ratio = m_c - phi * w;
    source "m_c = m + phi w, solved for m; w is that of this m"
}

formula! {
    /// Where the pupil is seen through a close-up lens.
    pupil_through_close_up(d: mm, phi: per_mm) -> d_c: mm = d / (1.0 - phi * d);
    source "thin lens: the pupil imaged by the close-up lens"
}

formula! {
    /// How large the pupil is seen through a close-up lens.
    pupil_width_through_close_up(A: mm, phi: per_mm, d: mm) -> A_c: mm = A / (1.0 - phi * d);
    source "thin lens: lateral magnification of the pupil's image"
}

formula! {
    /// The camera constant with a close-up lens.
    camera_constant_with_close_up(w: mm, m_c: ratio, d_c: mm) -> q_c: mm = w + m_c * d_c;
    source "q = m s with s = o + d_c and m_c o = w"
}

formula! {
    /// The station of the pupil seen through a close-up lens.
    pupil_station_with_close_up(z: mm, d_c: mm) -> t_c: mm = z - d_c;
    source "geometry: the pupil's image stands d_c behind the close-up lens"
}

formula! {
    /// From the close-up lens instead of the image plane.
    from_close_up_lens(D: mm, z: mm) -> o: mm = D - z;
    source "geometry: the close-up lens stands z in front of the image plane"
}

/// A close-up lens.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct CloseUp {
    /// Its power in dioptres, above 0.
    pub dioptres: f64,
    /// Where it stands at this focus, from the image plane.
    #[cfg_attr(feature = "serde", serde(rename = "at_mm"))]
    pub at: Length,
}

/// The most that power times the pupil's distance may be: at 1 the pupil is
/// seen at infinity, and limits from it mean nothing.
const MOST: f64 = 0.95;

impl CloseUp {
    /// A distance from the image plane, from this lens.
    #[must_use]
    pub fn from_here(&self, distance: Length, rec: &mut impl Record) -> Length {
        Length::mm(from_close_up_lens(distance.to_mm(), self.at.to_mm(), rec))
    }

    /// The numbers behind it, seen through it.
    pub(super) fn before(&self, now: Numbers, rec: &mut impl Record) -> Numbers {
        let phi = power_in_mm(self.dioptres, rec);
        let z = self.at.to_mm();
        let d = pupil_behind_close_up(z, now.t, rec);
        let w = beam_at_close_up(now.q, now.m, d, rec);
        let m = magnification_with_close_up(now.m, phi, w, rec);
        let d_c = pupil_through_close_up(d, phi, rec);
        Numbers {
            m,
            a: pupil_width_through_close_up(now.a, phi, d, rec),
            q: camera_constant_with_close_up(w, m, d_c, rec),
            t: pupil_station_with_close_up(z, d_c, rec),
        }
    }

    /// The magnification behind it, from the one through it: the numbers behind
    /// it, found already, say where the beam is.
    pub(super) fn undone(&self, m: f64, behind: Numbers, rec: &mut impl Record) -> f64 {
        let phi = power_in_mm(self.dioptres, &mut ());
        let d = pupil_behind_close_up(self.at.to_mm(), behind.t, &mut ());
        let w = beam_at_close_up(behind.q, behind.m, d, &mut ());
        magnification_without_close_up(m, phi, w, rec)
    }

    /// Whether it is too strong for a pupil at that station.
    pub(super) fn is_too_strong(&self, pupil: f64) -> bool {
        self.dioptres / 1000.0 * (self.at.to_mm() - pupil) >= MOST
    }
}
