//! How far marks made on one body stand elsewhere on another.

use super::law::RingLaw;
use super::of_lens::LensLaw;
use super::position::RingPosition;
use super::prep::Displacement;
use crate::formula::formula;
use crate::gear::{Lens, MarkKind, MarkSet, Marks};
use crate::numerics::math::sqrt;
use crate::optics::Branch;
use crate::units::FocusDistance;

formula! {
    /// How far a mark stands toward close focus on a body whose image plane is
    /// nearer to the lens.
    turn_of_plane(slope: deg_per_mm, nearer: mm) -> turn: deg = slope * nearer;
    source "theta = theta_0 + G (f m - delta): every mark moves by -G times what delta changes"
}

/// How far the place of a distance is another on another body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moved {
    /// Toward close focus.
    pub by: RingPosition,
    /// Its standard error, at or above zero.
    pub standard_error: RingPosition,
}

impl RingLaw {
    /// The law's slope at a magnification: degrees, or what else it is counted
    /// in, for each millimetre of lens travel.
    pub(super) fn slope(&self, m: f64) -> f64 {
        // Near enough that the law is straight, far enough that its digits count.
        let (far, near) = self.told();
        let step = (near - far) * 1e-4;
        let rise = self.raw(m + step) - self.raw(m - step);
        rise / (2.0 * step * self.lens().focal_length().to_mm())
    }

    /// How far a distance stands elsewhere on a body whose image plane is nearer
    /// to the lens by so much; `None` where the law does not tell it.
    #[must_use]
    pub fn moved_by_plane(&self, distance: FocusDistance, nearer: Displacement) -> Option<Moved> {
        let place = self.position(distance).ok()?;
        let m = self.lens().magnification(distance, Branch::Far, &mut ());
        let slope = self.slope(m.ok()?.value());
        let turn = |mm: f64| RingPosition {
            raw: turn_of_plane(slope, mm, &mut ()),
            ..place
        };
        Some(Moved {
            by: turn(nearer.error.to_mm()),
            standard_error: turn(nearer.standard_error.to_mm()),
        })
    }

    /// How far a distance stands elsewhere by marks found on another body and
    /// read from the same zero; `None` where either law does not tell it.
    #[must_use]
    pub fn moved_by_marks(&self, distance: FocusDistance, other: &Self) -> Option<Moved> {
        let (here, there) = (
            self.position(distance).ok()?,
            other.position(distance).ok()?,
        );
        let (zero, sign) = other.reading();
        // The number that is read there, counted from here.
        let there = self.at_reading(zero + sign * there.raw);
        let sd = |law: &Self| Some(law.standard_error(distance)?.raw);
        let (one, two) = (sd(self)?, sd(other)?);
        Some(Moved {
            by: there.minus(here),
            standard_error: RingPosition {
                raw: sqrt(one * one + two * two),
                ..here
            },
        })
    }
}

impl<'a> LensLaw<'a> {
    /// The law through marks found by eye on one camera alone; `None` with fewer
    /// than two.
    #[must_use]
    pub fn found_by_eye_on(lens: &Lens, marks: &'a Marks, camera: &'a str) -> Option<Self> {
        let rows = marks.of(MarkKind::Eye, Some(camera));
        let set = MarkSet {
            kind: MarkKind::Eye,
            camera: Some(camera),
            rows,
        };
        (set.rows.len() >= 2).then_some(())?;
        Self::through(lens, marks, set).ok()
    }
}
