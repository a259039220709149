//! The law of a lens of the kit: from its marks, or from its travel.

use super::law::{LawFault, RingGiven, RingLaw, Standing};
use super::position::{Measure, RingPosition};
use super::prep::Displacement;
use crate::gear::{HardStops, Lens, Mark, MarkKind, MarkPosition, MarkSet, Marks, PositionUnit};
use crate::optics::{Branch, Magnification, UnitFocus};
use crate::units::{Angle, FocusDistance};

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
    pub(super) factor: f64,
}

impl<'a> LensLaw<'a> {
    /// The law of a lens: through its marks taken on `camera` where there are
    /// any, with the engraved scale's help between those found by eye; else a
    /// helicoid from its travel.
    ///
    /// # Errors
    /// [`NoLaw`] where neither is known or the marks do not follow one another.
    pub fn of(lens: &Lens, marks: Option<&'a Marks>, camera: Option<&str>) -> Result<Self, NoLaw> {
        if let Some(marks) = marks
            && let Some(set) = marks.best(camera)
        {
            return Self::through(lens, marks, set)?.helped_by_engraving(lens, marks, camera);
        }
        let optics = lens.figures().unit_focus(&mut ());
        let travel = lens.ring().travel().ok_or(NoLaw::NothingKnown)?;
        let law = RingLaw::of_travel(optics, lens.close_focus(), travel, given(lens))
            .map_err(NoLaw::Marks)?;
        Ok(Self {
            law,
            marks: None,
            factor: 1.0,
        })
    }

    /// The law of a lens's own scale: through its engraved marks where there are
    /// any, before those read and those found by eye; else as [`of`](Self::of).
    ///
    /// # Errors
    /// [`NoLaw`] where neither is known or the marks do not follow one another.
    pub fn of_scale(
        lens: &Lens,
        marks: Option<&'a Marks>,
        camera: Option<&str>,
    ) -> Result<Self, NoLaw> {
        match marks.and_then(|marks| Some((marks, marks.own_scale(camera)?))) {
            Some((marks, set)) => Self::through(lens, marks, set),
            None => Self::of(lens, marks, camera),
        }
    }

    /// The law through one set of a lens's marks.
    pub(super) fn through(lens: &Lens, marks: &Marks, set: MarkSet<'a>) -> Result<Self, NoLaw> {
        let optics = lens.figures().unit_focus(&mut ());
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
        let law = RingLaw::through_marks(optics, &points, measure, standing, given(lens))
            .map_err(NoLaw::Marks)?;
        let mut through = Self {
            law,
            marks: Some(set),
            factor,
        };
        let knots = through.knots_of(lens);
        through.law = through.law.with_knots(knots);
        Ok(through)
    }

    /// The place of a number read in the marks' own unit, zero and direction.
    pub(super) fn at_number(&self, number: f64) -> RingPosition {
        self.law.at_reading(number * self.factor)
    }

    /// The law on a camera whose image plane is off by what was found there with
    /// this lens: for a scale that was engraved or computed. Marks found there by
    /// eye have it in them, and are left as they are; so are marks of which nobody
    /// said whether they were engraved.
    #[must_use]
    pub fn corrected(self, lens: &Lens, found: Displacement) -> Self {
        if self.takes_a_correction() {
            self.displaced(lens, found)
        } else {
            self
        }
    }

    /// The law on a camera whose image plane is farther from the lens by so much
    /// than where its marks were taken.
    #[must_use]
    pub fn displaced(self, lens: &Lens, found: Displacement) -> Self {
        let hard = [HardStops::Both, HardStops::Infinity];
        let ring = lens.ring();
        let stopped = ring.stops().is_none_or(|given| hard.contains(&given));
        let stop = ring.beyond_infinity().filter(|_| stopped);
        let law = self.law.corrected(found, stop);
        Self { law, ..self }
    }

    /// Whether its marks were found by eye, and say where the lens focuses.
    #[must_use]
    pub fn by_eye(&self) -> bool {
        let marks = self.marks.as_ref();
        marks.is_some_and(|set| set.kind == MarkKind::Eye)
    }

    /// Whether its marks say what the lens's own scale says, or nothing.
    #[must_use]
    pub fn takes_a_correction(&self) -> bool {
        let marks = self.marks.as_ref();
        marks.is_none_or(|set| set.kind == MarkKind::Engraved)
    }

    /// Where the law puts a distance, in its marks' own unit, zero and direction;
    /// `None` where it is computed or does not tell the distance.
    #[must_use]
    pub fn number_at(&self, distance: FocusDistance) -> Option<MarkPosition> {
        self.marks.as_ref()?;
        let place = self.law.position(distance).ok()?;
        let (zero, sign) = self.law.reading();
        MarkPosition::new((zero + sign * place.raw) / self.factor).ok()
    }

    /// The camera its marks were taken on, where that is another than `camera`;
    /// marks of which nobody said on which camera are no other's.
    #[must_use]
    pub fn of_another_camera(&self, camera: Option<&str>) -> Option<&'a str> {
        let own = self.marks.as_ref()?.camera?;
        (Some(own) != camera).then_some(own)
    }

    /// The place of a mark, whether the law goes through it or not.
    #[must_use]
    pub fn place_of(&self, mark: &Mark) -> RingPosition {
        self.at_number(mark.position.value())
    }
}

/// What is written down of a lens's ring.
pub(super) fn given(lens: &Lens) -> RingGiven {
    RingGiven {
        circumference: lens.ring().circumference(),
        close_focus: Some(lens.close_focus()),
    }
}

/// A mark this share of the scale from where the law puts its distance is no
/// place to line a tape up on.
const FAR_OFF: f64 = 0.05;

impl<'a> LensLaw<'a> {
    /// How far a mark stands from where the law puts its distance, as a share of
    /// the whole scale; `None` where the law does not tell that distance.
    fn off(&self, mark: &Mark) -> Option<f64> {
        let (far, near) = self.law.reach();
        let place = |distance| self.law.position(distance).ok();
        let whole = place(near)?.minus(place(far)?);
        let here = self.at_number(mark.position.value());
        // The ring's own marks stand where they are engraved.
        let own = self.law.clone().uncorrected();
        here.minus(own.position(mark.distance).ok()?)
            .share_of(whole)
    }

    /// Whether a mark stands so far from the law that one of both is wrong.
    #[must_use]
    pub fn is_far_off(&self, mark: &Mark) -> bool {
        self.off(mark).is_some_and(|share| share > FAR_OFF)
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
    Ok(match marks.unit() {
        PositionUnit::Deg | PositionUnit::Mm | PositionUnit::Fraction => {
            measure_of(lens, marks.unit()).ok_or(NoLaw::TravelUnknown)?
        }
        PositionUnit::Counts => {
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

/// The measure of a unit of positions and what one of it is there, whatever the
/// marks are; `None` for parts of a travel that is not known, and for counts.
fn measure_of(lens: &Lens, unit: PositionUnit) -> Option<(Measure, f64)> {
    Some(match (unit, lens.ring().marks_diameter()) {
        (PositionUnit::Deg, _) => (Measure::Turn, 1.0),
        (PositionUnit::Mm, None) => (Measure::Arc, 1.0),
        // Read on another surface than the tape will sit on.
        (PositionUnit::Mm, Some(across)) => (
            Measure::Turn,
            360.0 / (across.to_mm() * core::f64::consts::PI),
        ),
        (PositionUnit::Fraction, _) => (Measure::Turn, lens.ring().travel()?.to_deg()),
        (PositionUnit::Counts, _) => return None,
    })
}

/// How far the ring turns from one number to another in a unit of positions;
/// `None` where the ring's size or travel is not known, and for counts.
#[must_use]
pub fn turn_between_numbers(
    lens: &Lens,
    unit: PositionUnit,
    from: MarkPosition,
    to: MarkPosition,
) -> Option<Angle> {
    let (measure, factor) = measure_of(lens, unit)?;
    let place = RingPosition {
        raw: (to.value() - from.value()) * factor,
        measure,
        circumference: lens.ring().circumference(),
    };
    place.turn()
}
