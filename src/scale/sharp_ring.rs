//! The stretch of the ring on which a subject stays sharp.

use super::law::RingLaw;
use super::position::RingPosition;
use crate::formula::Record;
use crate::optics::{Branch, Circle, Magnification, Way};
use crate::units::{FNumber, FocusDistance};

/// The stretch of the ring on which a subject at a distance stays within the circle,
/// the entrance pupil moving with the ring; its ends are not alike.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SharpRing {
    /// Its end toward infinity; `None` where even with the ring at infinity the
    /// subject is sharp.
    pub toward_infinity: Option<RingPosition>,
    /// Its end toward close focus; `None` where even there the subject is sharp (at
    /// 1:1, where close focus is not known).
    pub toward_close_focus: Option<RingPosition>,
}

impl RingLaw {
    /// The stretch of the ring that keeps a subject at `distance` sharp.
    pub fn sharp_ring(
        &self,
        distance: FocusDistance,
        n: FNumber,
        circle: Circle,
        rec: &mut impl Record,
    ) -> SharpRing {
        let lens = self.lens();
        let nearest = self.ring().close_focus;
        let nearest =
            nearest.and_then(|close| lens.magnification(close, Branch::Far, &mut ()).ok());
        let nearest = nearest.map_or(1.0, Magnification::value);
        let mut edge = |way| {
            let m = lens.softened(distance, n, circle, way, rec)?.value();
            if !(0.0..=nearest).contains(&m) {
                return None;
            }
            let place = self.at_magnification(m, rec);
            Some(self.counted(place, rec))
        };
        SharpRing {
            toward_infinity: edge(Way::Farther),
            toward_close_focus: edge(Way::Nearer),
        }
    }
}
