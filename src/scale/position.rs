//! A place on the ring, as a turn, an arc or a length along a tape.

use crate::formula::{Record, formula};
use crate::units::{Angle, Length};

formula! {
    /// Arc on the bare ring.
    ring_arc(circumference: mm, position: deg) -> arc: mm = circumference * position / 360.0;
    source "definition of the arc"
}

formula! {
    /// Turn of an arc on the bare ring.
    turn_of_arc(arc: mm, circumference: mm) -> position: deg = arc * 360.0 / circumference;
    source "definition of the arc"
}

formula! {
    /// From one place on the ring to another.
    turn_between(there: deg, here: deg) -> turn: deg = there - here;
    source "difference of two positions"
}

formula! {
    /// From one place on the ring to another, as an arc.
    arc_between(there: mm, here: mm) -> arc: mm = there - here;
    source "difference of two positions"
}

formula! {
    /// Length of a tape of thickness h wrapped on the ring, at its mid-thickness.
    tape_arc(circumference: mm, h: mm, position: deg) -> tape: mm
        = (circumference + pi * h) * position / 360.0;
    source "pi (d + h) theta / 360 with the ring's circumference pi d"
}

formula! {
    /// Place of a mark on something that a whole scale is spread over evenly.
    spread(onto: mm, place: ratio, whole: ratio) -> along: mm = onto * place / whole;
    source "the same share of both"
}

/// What the marks' positions are counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// Degrees of ring.
    Turn,
    /// Millimetres along the surface they were read on.
    Arc,
}

/// A place on the ring, counted from the law's zero toward close focus.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RingPosition {
    pub(super) raw: f64,
    pub(super) measure: Measure,
    pub(super) circumference: Option<Length>,
}

impl RingPosition {
    /// As an angle; `None` where marks are in mm on a ring of unknown size.
    #[must_use]
    pub fn turn(self) -> Option<Angle> {
        self.turn_with(&mut ())
    }

    /// The same with its step, where it takes one.
    #[must_use]
    pub fn turn_with(self, rec: &mut impl Record) -> Option<Angle> {
        Some(Angle::deg(match (self.measure, self.circumference) {
            (Measure::Turn, _) => self.raw,
            (Measure::Arc, Some(round)) => turn_of_arc(self.raw, round.to_mm(), rec),
            (Measure::Arc, None) => return None,
        }))
    }

    /// As an arc on the bare ring; `None` where the ring's size is unknown.
    #[must_use]
    pub fn arc(self, rec: &mut impl Record) -> Option<Length> {
        match self.measure {
            Measure::Arc => Some(Length::mm(self.raw)),
            Measure::Turn => {
                let round = self.circumference?.to_mm();
                Some(Length::mm(ring_arc(round, self.raw, rec)))
            }
        }
    }

    /// As a length along a tape of the given thickness wrapped on the ring.
    ///
    /// Marks read in mm were read on a strip of the same paper: a tape is 1:1
    /// with them.
    #[must_use]
    pub fn along_tape(self, thickness: Length) -> Option<Length> {
        match self.measure {
            Measure::Arc => Some(Length::mm(self.raw)),
            Measure::Turn => {
                let round = self.circumference?.to_mm();
                Some(Length::mm(tape_arc(
                    round,
                    thickness.to_mm(),
                    self.raw,
                    &mut (),
                )))
            }
        }
    }

    /// As a length along something over which `whole`, a turn of the same ring,
    /// is spread evenly to a length `onto`: a geared knob's rim, a hand unit's
    /// wheel. `None` where `whole` is no turn at all.
    #[must_use]
    pub fn spread(self, whole: Self, onto: Length) -> Option<Length> {
        let along = spread(onto.to_mm(), self.raw, whole.raw, &mut ());
        Length::try_mm(along).ok()
    }

    /// The turn from `other` to here.
    #[must_use]
    pub fn minus(self, other: Self) -> Self {
        self.minus_with(other, &mut ())
    }

    /// The same with its step.
    #[must_use]
    pub(super) fn minus_with(self, other: Self, rec: &mut impl Record) -> Self {
        let raw = match self.measure {
            Measure::Turn => turn_between(self.raw, other.raw, rec),
            Measure::Arc => arc_between(self.raw, other.raw, rec),
        };
        Self { raw, ..self }
    }

    /// What share of another turn this one is, whichever way.
    pub(super) fn share_of(self, whole: Self) -> Option<f64> {
        let share = (self.raw / whole.raw).abs();
        share.is_finite().then_some(share)
    }

    /// Whether this place lies nearer to close focus than `other`.
    #[must_use]
    pub fn is_nearer_than(self, other: Self) -> bool {
        self.raw > other.raw
    }
}

/// How much longer a strip of some thickness reads, wrapped once round a ring
/// until it meets itself, than the ring is round: it lies half its thickness
/// above it.
#[must_use]
pub fn strip_excess(thickness: Length) -> Length {
    Length::mm(tape_arc(0.0, thickness.to_mm(), 360.0, &mut ()))
}

/// Length of what goes over an angle of a wheel of some diameter, at the
/// mid-thickness of a strip so thick.
#[must_use]
pub fn arc_on_wheel(diameter: Length, thickness: Length, angle: Angle) -> Length {
    let round = diameter.to_mm() * core::f64::consts::PI;
    Length::mm(tape_arc(round, thickness.to_mm(), angle.to_deg(), &mut ()))
}

/// The angle of an arc on a wheel of some diameter.
#[must_use]
pub fn angle_on_wheel(diameter: Length, arc: Length) -> Angle {
    let round = diameter.to_mm() * core::f64::consts::PI;
    Angle::deg(turn_of_arc(arc.to_mm(), round, &mut ()))
}
