//! What the edge of the frame is to a tape: the plane of sharp focus is taken
//! as flat, and a tape to somebody at the edge runs on the slant.
//!
//! ```text
//!   subject at the edge ●─────── y ───────┤
//!                        \                │
//!               taped, L  \               │ D along the axis
//!                          \              │
//!                           \             + entrance pupil, t in front
//!   ─────────────────────────\────────────⌀ image plane
//! ```

use super::focused::Focused;
use crate::formula::{Record, formula};
use crate::units::Length;

formula! {
    /// How far the frame's edge lies off the axis, a mm in front of the pupil.
    edge_slope(w: mm, q: mm) -> k: ratio = w / (2.0 * q);
    source "tangent of half the angle of view at the entrance pupil"
}

formula! {
    /// Along the axis, a subject at the frame's edge that was taped on the slant.
    edge_along_axis(L: mm, k: ratio, t: mm) -> D: mm
        = (k * k * t + sqrt((1.0 + k * k) * L * L - k * k * t * t)) / (1.0 + k * k);
    source "the farther root of D^2 + k^2 (D - t)^2 = L^2"
}

formula! {
    /// On the slant, a place of the frame's edge in the plane at D.
    edge_on_slant(D: mm, k: ratio, t: mm) -> L: mm = sqrt(D * D + k * k * (D - t) * (D - t));
    source "Pythagoras, with y = k (D - t) off the axis"
}

/// The edge of the frame, half its width off the axis.
///
/// Get one from [`Focused::frame_edge`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrameEdge {
    slope: f64,
    station: Length,
}

impl Focused {
    /// The edge of a frame so wide on the image plane.
    #[must_use]
    pub fn frame_edge(&self, width: Length, rec: &mut impl Record) -> FrameEdge {
        let slope = edge_slope(width.to_mm(), self.camera_constant().to_mm(), rec);
        FrameEdge {
            slope,
            station: self.pupil_station(),
        }
    }
}

impl FrameEdge {
    /// How far along the axis somebody stands at the edge who was taped straight
    /// from the image plane; `None` where no place of the edge is so near.
    #[must_use]
    pub fn along_axis(&self, taped: Length, rec: &mut impl Record) -> Option<Length> {
        let (l, k, t) = (taped.to_mm(), self.slope, self.station.to_mm());
        if (1.0 + k * k) * l * l < k * k * t * t {
            return None;
        }
        Some(Length::mm(edge_along_axis(l, k, t, rec)))
    }

    /// What a tape straight from the image plane reads to the edge in the plane
    /// at a distance along the axis.
    #[must_use]
    pub fn on_slant(&self, along_axis: Length, rec: &mut impl Record) -> Length {
        let (d, t) = (along_axis.to_mm(), self.station.to_mm());
        Length::mm(edge_on_slant(d, self.slope, t, rec))
    }
}
