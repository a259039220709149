//! The law of a lens of the kit: from its marks, or from its travel.

use super::law::{LawFault, RingGiven, RingLaw, Standing};
use super::position::Measure;
use crate::gear::{Lens, Mark, MarkKind, MarkSet, Marks, PositionUnit};
use crate::optics::{Branch, Magnification, UnitFocus};
use crate::units::Length;

/// Why the ring of a lens has no law.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoLaw {
    /// Neither marks nor a travel are known.
    NothingKnown,
    /// Positions are parts of a travel that is not known.
    TravelUnknown,
    /// The marks make no law.
    Marks(LawFault),
}

/// A lens's law with the marks it stands on.
#[derive(Clone, Debug, PartialEq)]
pub struct LensLaw<'a> {
    /// The law.
    pub law: RingLaw,
    /// The marks it goes through; `None` where it is computed.
    pub marks: Option<MarkSet<'a>>,
    /// What one unit of a mark's position is in the law's measure.
    factor: f64,
}

impl<'a> LensLaw<'a> {
    /// The law of a lens: through its marks taken on `camera` where there are
    /// any, else a helicoid from its travel.
    ///
    /// # Errors
    /// [`NoLaw`] where neither is known or the marks do not follow one another.
    pub fn of(lens: &Lens, marks: Option<&'a Marks>, camera: Option<&str>) -> Result<Self, NoLaw> {
        let optics = lens.figures().unit_focus(&mut ());
        let given = RingGiven {
            circumference: lens.ring().circumference(),
            close_focus: Some(lens.close_focus()),
        };
        let Some((marks, set)) = marks.and_then(|marks| Some((marks, marks.best(camera)?))) else {
            let travel = lens.ring().travel().ok_or(NoLaw::NothingKnown)?;
            let law = RingLaw::of_travel(optics, lens.close_focus(), travel, given)
                .map_err(NoLaw::Marks)?;
            return Ok(Self {
                law,
                marks: None,
                factor: 1.0,
            });
        };
        let (measure, factor) = counted_in(lens, optics, marks, &set)?;
        let points: Vec<_> = set
            .rows
            .iter()
            .map(|mark| (mark.distance, mark.position.value() * factor))
            .collect();
        let standing = match set.kind {
            MarkKind::Eye | MarkKind::Read => Standing::Measured,
            MarkKind::Engraved => Standing::Engraved,
        };
        let law = RingLaw::through_marks(optics, &points, measure, standing, given)
            .map_err(NoLaw::Marks)?;
        Ok(Self {
            law,
            marks: Some(set),
            factor,
        })
    }

    /// The place along a tape of a mark, whether the law goes through it or not.
    #[must_use]
    pub fn along_tape(&self, mark: &Mark, thickness: Length) -> Option<Length> {
        self.law
            .at_reading(mark.position.value() * self.factor)
            .along_tape(thickness)
    }
}

/// The measure positions are in, and what one of their units is in it.
fn counted_in(
    lens: &Lens,
    optics: UnitFocus,
    marks: &Marks,
    set: &MarkSet<'_>,
) -> Result<(Measure, f64), NoLaw> {
    let travel = || lens.ring().travel().ok_or(NoLaw::TravelUnknown);
    Ok(match (marks.unit(), lens.ring().marks_diameter()) {
        (PositionUnit::Deg, _) => (Measure::Turn, 1.0),
        (PositionUnit::Mm, None) => (Measure::Arc, 1.0),
        // Read on another surface than the tape will sit on.
        (PositionUnit::Mm, Some(across)) => (
            Measure::Turn,
            360.0 / (across.to_mm() * core::f64::consts::PI),
        ),
        (PositionUnit::Fraction, _) => (Measure::Turn, travel()?.to_deg()),
        (PositionUnit::Counts, _) => {
            // The marks span the share of the travel that a helicoid gives them.
            let m = |distance| {
                optics
                    .magnification(distance, Branch::Far, &mut ())
                    .map(Magnification::value)
            };
            let (Some(first), Some(last)) = (set.rows.first(), set.rows.last()) else {
                return Err(NoLaw::Marks(LawFault::TooFew));
            };
            let ends = (m(first.distance), m(last.distance), m(lens.close_focus()));
            let (Ok(from), Ok(to), Ok(close)) = ends else {
                return Err(NoLaw::Marks(LawFault::TooFew));
            };
            let counts = (last.position.value() - first.position.value()).abs();
            (
                Measure::Turn,
                travel()?.to_deg() * (to - from) / close / counts,
            )
        }
    })
}
