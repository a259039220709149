//! Near and far limits, and how much is sharp in front and behind.

use super::confusion::Circle;
use super::focused::{Focused, far_from_image_plane, near_from_image_plane};
use crate::formula::{Record, formula};
use crate::units::{FocusDistance, Length, Reach};

formula! {
    /// The blur the circle allows, as a share of the entrance pupil.
    kappa(c: mm, A: mm) -> kappa: ratio = c / A;
    source "blur m A (s_o - s) / s_o set to c, divided by A"
}

formula! {
    /// Near limit from the entrance pupil.
    near_from_pupil(q: mm, m: ratio, kappa: ratio) -> s_near: mm = q / (m + kappa);
    source "similar triangles at the entrance pupil: s / (1 + k), k = kappa / m"
}

formula! {
    /// Far limit from the entrance pupil, where there is one.
    far_from_pupil(q: mm, m: ratio, kappa: ratio) -> s_far: mm = q / (m - kappa);
    source "similar triangles at the entrance pupil: s / (1 - k), k = kappa / m"
}

formula! {
    /// Sharp depth in front of the subject.
    in_front(q: mm, m: ratio, kappa: ratio) -> front: mm = q * kappa / (m * (m + kappa));
    source "s - s / (1 + k) = s k / (1 + k)"
}

formula! {
    /// Sharp depth behind the subject.
    behind(q: mm, m: ratio, kappa: ratio) -> behind: mm = q * kappa / (m * (m - kappa));
    source "s / (1 - k) - s = s k / (1 - k)"
}

formula! {
    /// The whole sharp range.
    total(q: mm, m: ratio, kappa: ratio) -> total: mm = 2.0 * q * kappa / (m * m - kappa * kappa);
    source "s k / (1 + k) + s k / (1 - k) = 2 s k / (1 - k^2)"
}

/// The two distances between which everything is sharp enough.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Near limit, from the image plane.
    pub near: FocusDistance,
    /// Far limit, from the image plane.
    pub far: FocusDistance,
}

/// How far a subject may miss the focus distance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Depth {
    /// Toward the camera.
    pub in_front: Reach<Length>,
    /// Away from the camera.
    pub behind: Reach<Length>,
    /// Both together.
    pub total: Reach<Length>,
}

/// Whether everything behind the subject is sharp: m ≤ c/A.
///
/// At the hyperfocal distance itself the last digit of m would decide; a part in
/// 10¹⁴ short of it the far limit lies about a light year away. Both count as there.
fn reaches_infinity(m: f64, kappa: f64) -> bool {
    m <= kappa * (1.0 + 1e-14)
}

impl Focused {
    /// Near and far limit from the image plane.
    ///
    /// The far limit is infinite where m ≤ c/A, that is at and beyond the
    /// hyperfocal distance.
    #[must_use]
    pub fn limits(&self, circle: Circle, rec: &mut impl Record) -> Limits {
        let (q, m, kappa) = self.depth_letters(circle, rec);
        let t = self.pupil_station.to_mm();
        let distance = |mm| FocusDistance::computed(Reach::At(Length::mm(mm)));
        let s_near = near_from_pupil(q, m, kappa, rec);
        let near = distance(near_from_image_plane(s_near, t, rec));
        let far = if reaches_infinity(m, kappa) {
            FocusDistance::INFINITY
        } else {
            let s_far = far_from_pupil(q, m, kappa, rec);
            distance(far_from_image_plane(s_far, t, rec))
        };
        Limits { near, far }
    }

    /// How much is sharp in front of the subject and behind.
    #[must_use]
    pub fn depth(&self, circle: Circle, rec: &mut impl Record) -> Depth {
        let m = self.magnification.value();
        if m <= 0.0 {
            return Depth {
                in_front: Reach::Infinity,
                behind: Reach::Infinity,
                total: Reach::Infinity,
            };
        }
        let q = self.camera_constant.to_mm();
        let kappa = kappa(circle.diameter().to_mm(), self.pupil.to_mm(), rec);
        let in_front = Reach::At(Length::mm(in_front(q, m, kappa, rec)));
        if reaches_infinity(m, kappa) {
            return Depth {
                in_front,
                behind: Reach::Infinity,
                total: Reach::Infinity,
            };
        }
        Depth {
            in_front,
            behind: Reach::At(Length::mm(behind(q, m, kappa, rec))),
            total: Reach::At(Length::mm(total(q, m, kappa, rec))),
        }
    }

    fn depth_letters(&self, circle: Circle, rec: &mut impl Record) -> (f64, f64, f64) {
        let kappa = kappa(circle.diameter().to_mm(), self.pupil.to_mm(), rec);
        (
            self.camera_constant.to_mm(),
            self.magnification.value(),
            kappa,
        )
    }
}
