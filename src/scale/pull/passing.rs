//! A subject that passes on a straight line.
//!
//! ```text
//!      x < 0       x = 0      x > 0
//!   ─────●───────────┼──────────────→   the way, x counted from its closest point
//!         ╲          │ closest
//!     taped ╲        │
//!             ⌀ (image-plane mark)
//! ```

use super::path::Seen;
use crate::formula::{Record, formula};

formula! {
    /// From the closest point to a place of the line.
    beside_closest(taped: mm, closest: mm) -> side: mm
        = sqrt((taped - closest) * (taped + closest));
    source "Pythagoras: the closest distance stands square on the line"
}

formula! {
    /// The straight distance to the subject.
    panned_distance(closest: mm, x: mm) -> D: mm = sqrt(closest * closest + x * x);
    source "Pythagoras: the closest distance stands square on the line"
}

formula! {
    /// How fast the straight distance shrinks.
    approach_panned(v: mm_per_s, x: mm, D: mm) -> approach: mm_per_s = -v * x / D;
    source "derivative of sqrt(closest^2 + x^2), x growing by v a second"
}

formula! {
    /// The distance along an axis aimed at one place of the line.
    framed_distance(closest: mm, x: mm, x_frame: mm, frame_at: mm) -> D: mm
        = (closest * closest + x * x_frame) / frame_at;
    source "the subject's place projected on the line of sight to the place framed"
}

formula! {
    /// How fast that distance shrinks.
    approach_framed(v: mm_per_s, x_frame: mm, frame_at: mm) -> approach: mm_per_s
        = -v * x_frame / frame_at;
    source "derivative of (closest^2 + x x_frame) / frame_at, x growing by v a second"
}

formula! {
    /// How far beside that axis the subject is, positive where it has passed it.
    aside_framed(closest: mm, x: mm, x_frame: mm, frame_at: mm) -> aside: mm
        = (x - x_frame) * closest / frame_at;
    source "the subject's place projected square to the line of sight to the place framed"
}

/// The subject at a place, from a camera that pans.
pub(super) fn panned(closest: f64, x: f64, v: f64, rec: &mut impl Record) -> Seen {
    let taped = panned_distance(closest, x, rec);
    Seen {
        focus: taped,
        taped,
        approach: approach_panned(v, x, taped, rec),
        aside: None,
    }
}

/// The subject at a place, in a frame that stands aimed at `x_frame`.
pub(super) fn framed(
    closest: f64,
    (x_frame, frame_at): (f64, f64),
    x: f64,
    v: f64,
    rec: &mut impl Record,
) -> Seen {
    Seen {
        focus: framed_distance(closest, x, x_frame, frame_at, rec),
        taped: panned_distance(closest, x, rec),
        approach: approach_framed(v, x_frame, frame_at, rec),
        aside: Some(aside_framed(closest, x, x_frame, frame_at, rec)),
    }
}
