//! How far the ring may be off.
//!
//! Two numbers, both useful and named differently: the offsets from a mark to
//! the places of its near and far limits, which are not alike; and the ring
//! tolerance, the largest error of the ring that keeps a subject AT the mark
//! within the circle, the entrance pupil moving with the ring.

use super::law::RingLaw;
use super::position::RingPosition;
use crate::formula::{How, Record, Told};
use crate::optics::{
    Branch, Circle, Magnification, OutOfReach, UnitFocus, Way, displaced_magnification,
};
use crate::units::{FNumber, FocusDistance, Length, Reach};

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
        self.depth_with(distance, n, circle, &mut ())
    }

    /// The same with its steps, those of the tolerance last.
    ///
    /// # Errors
    /// [`OutOfReach`] when the lens cannot focus there.
    pub fn depth_with(
        &self,
        distance: FocusDistance,
        n: FNumber,
        circle: Circle,
        rec: &mut impl Record,
    ) -> Result<RingDepth, OutOfReach> {
        let lens = self.lens();
        let set = lens.at(distance, Branch::Far, n, rec)?;
        let here = self.at_magnification(set.magnification().value(), rec);
        let limits = set.limits(circle, rec);
        let near_offset = self.limit(limits.near, rec).minus_with(here, rec);
        let far_offset = self.limit(limits.far, rec).minus_with(here, rec);
        let softened = |way| lens.softened(distance, n, circle, way, &mut ());
        let turn = |way| {
            let edge = self.at_magnification(softened(way)?.value(), &mut ());
            Some(apart(edge, here, way, &mut ()))
        };
        let way = match (turn(Way::Nearer), turn(Way::Farther)) {
            (Some(nearer), Some(farther)) if nearer.is_nearer_than(farther) => Some(Way::Farther),
            (Some(_), _) => Some(Way::Nearer),
            (None, Some(_)) => Some(Way::Farther),
            (None, None) => None,
        };
        let edge = way.and_then(|way| Some((way, lens.softened(distance, n, circle, way, rec)?)));
        let tolerance = match edge {
            Some((way, edge)) => {
                let edge = self.at_magnification(edge.value(), rec);
                let because = match way {
                    Way::Nearer => "the smaller of two turns: toward close focus",
                    Way::Farther => "the smaller of two turns: toward infinity",
                };
                let how = How::Chosen { because };
                apart(edge, here, way, &mut Told { rec, how })
            }
            // Down to 1:1 the subject stays sharp whichever way the ring is turned.
            None => near_offset,
        };
        Ok(RingDepth {
            near_offset,
            far_offset,
            tolerance,
        })
    }

    /// The place of a limit; one inside 1:1 has none on the ring: 1:1 is the end.
    fn limit(&self, limit: FocusDistance, rec: &mut impl Record) -> RingPosition {
        let lens = self.lens();
        let reached = lens.magnification(limit, Branch::Far, &mut ()).is_ok();
        let m = if reached {
            let m = lens.magnification(limit, Branch::Far, rec);
            m.map_or(1.0, Magnification::value)
        } else {
            1.0
        };
        self.at_magnification(m, rec)
    }
}

/// How far the ring is turned from `here` to `edge`, at or above zero.
fn apart(edge: RingPosition, here: RingPosition, way: Way, rec: &mut impl Record) -> RingPosition {
    match way {
        Way::Nearer => edge.minus_with(here, rec),
        Way::Farther => here.minus_with(edge, rec),
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

/// How soft a subject is that stands at the ring's mark, when the image plane
/// is off by `delta`: positive where the lens focuses in front of it. `None`
/// where the lens does not reach the mark.
#[must_use]
pub fn blur_at_mark(
    lens: UnitFocus,
    mark: FocusDistance,
    delta: Length,
    n: FNumber,
    rec: &mut impl Record,
) -> Option<Length> {
    let m = lens.magnification(mark, Branch::Far, rec).ok()?.value();
    let f = lens.focal_length().to_mm();
    let real = Magnification::computed(displaced_magnification(m, delta.to_mm(), f, rec));
    let set = lens.at_magnification(real, mark, n, rec);
    set.blur(mark, rec).ok()
}
