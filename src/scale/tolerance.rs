//! How far the ring may be off.
//!
//! Two numbers, both useful and named differently: the offsets from a mark to
//! the places of its near and far limits, which are not alike; and the ring
//! tolerance, the largest error of the ring that keeps a subject AT the mark
//! within the circle, the entrance pupil moving with the ring.

use super::law::RingLaw;
use super::position::RingPosition;
use crate::formula::{Record, formula};
use crate::numerics::root_between;
use crate::optics::{Branch, Circle, Magnification, OutOfReach, UnitFocus};
use crate::units::{FNumber, FocusDistance, Length, Reach};

formula! {
    /// Magnification at a ring setting when the image plane is off by delta.
    displaced_magnification(m: ratio, delta: mm, f: mm) -> m_real: ratio = m + delta / f;
    source "the image distance grows by delta: f m' = f m + delta (Newton)"
}

/// Where the limits stand on the ring, and how far the ring may be off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RingDepth {
    /// From the mark to the place of the near limit, toward close focus.
    pub near_offset: RingPosition,
    /// From the mark to the place of the far limit, at most to infinity.
    pub far_offset: RingPosition,
    /// The largest error of the ring, either way, that keeps the subject sharp.
    pub tolerance: RingPosition,
}

impl RingLaw {
    /// Ring offsets of the limits and the ring tolerance for a subject at
    /// `distance`.
    ///
    /// # Errors
    /// [`OutOfReach`] when the lens cannot focus there.
    pub fn depth(
        &self,
        distance: FocusDistance,
        n: FNumber,
        circle: Circle,
    ) -> Result<RingDepth, OutOfReach> {
        let lens = self.lens();
        let set = lens.at(distance, Branch::Far, n, &mut ())?;
        let m = set.magnification().value();
        let here = self.at_magnification(m);
        let limits = set.limits(circle, &mut ());
        let place = |limit: FocusDistance| {
            // A near limit inside 1:1 has no place on the ring: 1:1 is the end.
            let m = lens
                .magnification(limit, Branch::Far, &mut ())
                .map_or(1.0, Magnification::value);
            self.at_magnification(m)
        };
        let tolerance = {
            let either = [1.0, -1.0].map(|side| {
                let edge = ring_error(lens, distance, n, circle, m, side);
                edge.map(|m| self.at_magnification(m).minus(here))
            });
            smaller(either).unwrap_or_else(|| place(limits.near).minus(here))
        };
        Ok(RingDepth {
            near_offset: place(limits.near).minus(here),
            far_offset: place(limits.far).minus(here),
            tolerance,
        })
    }
}

/// The magnification the ring may stand at, on one side of `m`, before a
/// subject at `distance` is softer than the circle.
fn ring_error(
    lens: UnitFocus,
    distance: FocusDistance,
    n: FNumber,
    circle: Circle,
    m: f64,
    side: f64,
) -> Option<f64> {
    let excess = |at: f64| {
        let set = lens.at_magnification(Magnification::computed(at), distance, n, &mut ());
        match set.blur(distance, &mut ()) {
            Ok(blur) => side * blur.to_mm() - circle.diameter().to_mm(),
            Err(_) => f64::NAN,
        }
    };
    // First order: the lens may move N_w c along the axis.
    let p = lens.pupil_magnification().value();
    let c = circle.diameter().to_mm() * n.value() * (1.0 + m / p);
    let mut reach = 2.0 * c / lens.focal_length().to_mm();
    for _ in 0..20 {
        if let Some(root) = root_between(excess, m, m + side * reach) {
            return Some(root);
        }
        reach *= 2.0;
    }
    None
}

fn smaller([one, other]: [Option<RingPosition>; 2]) -> Option<RingPosition> {
    let one = one.map(RingPosition::without_sign);
    let other = other.map(RingPosition::without_sign);
    match (one, other) {
        (Some(one), Some(other)) if other.is_nearer_than(one) => Some(one),
        (one, None) => one,
        (_, other) => other,
    }
}

/// Where the ring's mark really focuses when the image plane is off by `delta`
/// (positive: too far from the lens); `None` beyond infinity.
#[must_use]
pub fn real_focus(
    lens: UnitFocus,
    mark: FocusDistance,
    delta: Length,
    rec: &mut impl Record,
) -> Option<FocusDistance> {
    let m = lens.magnification(mark, Branch::Far, rec).ok()?.value();
    let f = lens.focal_length().to_mm();
    let real = displaced_magnification(m, delta.to_mm(), f, rec);
    if real < 0.0 {
        return None;
    }
    let focus = lens.distance_at(Magnification::computed(real), rec);
    match focus.reach() {
        // Beyond 1:1 the distance grows again; such a setting is no camera's.
        Reach::At(_) if real > 1.0 => None,
        _ => Some(focus),
    }
}
