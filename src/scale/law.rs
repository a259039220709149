//! The ring's law: distance ↔ position.
//!
//! The coordinate is the magnification m, in which a helicoid is a straight
//! line and infinity an ordinary point: position = a + b·m. Measured marks are
//! the truth; between them runs the fitted line plus a monotone cubic of what
//! is left, and never a curve in distance.

use super::curve::Curve;
use super::knot::Knot;
use super::marks::{Marked, Through, ThroughMarks};
use super::position::{Measure, RingPosition, ring_arc, tape_arc};
use super::prep::Displacement;
use crate::formula::{Record, formula};
use crate::numerics::root_between;
use crate::optics::{Branch, Magnification, UnitFocus};
use crate::units::{Angle, FocusDistance, Gain, Length};

formula! {
    /// The gain of a helicoid from its travel.
    gain_of_travel(travel: deg, f: mm, m_close: ratio) -> G: deg_per_mm = travel / (f * m_close);
    source "the lens moves f m from infinity to close focus"
}

/// What stands behind a ring's law; everything printed from it says so.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Marks that were measured.
    Measured,
    /// The maker's engraving, taken on trust.
    Engraved,
    /// Computed from focal length, close focus and travel.
    Computed,
}

impl Standing {
    /// Its name in the JSON contract and on sheets.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Engraved => "engraved",
            Self::Computed => "computed",
        }
    }
}

/// Where positions count from; they grow toward close focus.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Zero {
    /// The infinity mark.
    Infinity,
    /// The farthest mark there is.
    FarthestMark,
}

/// What is given of the ring itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RingGiven {
    /// Round the bare ring, over what is stuck on already.
    pub circumference: Option<Length>,
    /// The nearest distance the lens goes to.
    pub close_focus: Option<FocusDistance>,
}

/// Distance ↔ position on one lens's ring; strictly monotone.
#[derive(Clone, Debug, PartialEq)]
pub struct RingLaw {
    lens: UnitFocus,
    ring: RingGiven,
    measure: Measure,
    curve: Curve,
    /// The magnifications between which positions can be told.
    told: (f64, f64),
    /// The same without a correction.
    told_by_scale: (f64, f64),
    zero: Zero,
    standing: Standing,
    /// The travel the gain came from, where it did.
    travel: Option<(Angle, FocusDistance)>,
    /// What a reading is at the zero, and the direction readings grow in.
    reading: (f64, f64),
    /// The points it goes through, with what they may be off.
    knots: Vec<Knot>,
    /// The image-plane error it is corrected for.
    correction: Option<Displacement>,
}

/// Why marks make no law.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LawFault {
    /// Fewer than two marks, or a mark nearer than the lens can focus.
    TooFew,
    /// Two marks do not follow one another on the ring.
    NotMonotone,
}

/// A distance or position the law cannot tell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OffScale {
    /// Nearer than the lens goes; the nearest it does go to.
    InsideCloseFocus(FocusDistance),
    /// Farther or nearer than the marks allow to tell; the nearest that can be.
    OutsideMarks(FocusDistance),
}

impl RingLaw {
    /// A helicoid of known gain: position = G·f·m.
    #[must_use]
    pub fn helicoid(lens: UnitFocus, gain: Gain, ring: RingGiven) -> Self {
        let nearest = nearest_magnification(lens, ring.close_focus);
        Self {
            lens,
            ring,
            measure: Measure::Turn,
            curve: Curve::Helicoid(gain),
            told: (0.0, nearest),
            told_by_scale: (0.0, nearest),
            zero: Zero::Infinity,
            standing: Standing::Computed,
            travel: None,
            reading: (0.0, 1.0),
            knots: Vec::new(),
            correction: None,
        }
    }

    /// A helicoid from its travel between the infinity and the close-focus mark.
    ///
    /// # Errors
    /// [`LawFault::TooFew`] when the close focus is none for this lens.
    pub fn of_travel(
        lens: UnitFocus,
        close_focus: FocusDistance,
        travel: Angle,
        ring: RingGiven,
    ) -> Result<Self, LawFault> {
        let gain = gain_from_travel(lens, travel, close_focus, &mut ());
        let gain = gain.and_then(|gain| Gain::new(gain).ok());
        let ring = RingGiven {
            close_focus: Some(close_focus),
            ..ring
        };
        Ok(Self {
            travel: Some((travel, close_focus)),
            ..Self::helicoid(lens, gain.ok_or(LawFault::TooFew)?, ring)
        })
    }

    /// A law through marks, whose positions have any zero and either direction.
    ///
    /// # Errors
    /// [`LawFault`] with fewer than two marks or where they do not strictly
    /// follow one another.
    pub fn through_marks(
        lens: UnitFocus,
        marks: &[(FocusDistance, f64)],
        measure: Measure,
        standing: Standing,
        ring: RingGiven,
    ) -> Result<Self, LawFault> {
        let mut points = marks
            .iter()
            .map(|&(distance, position)| {
                let m = lens
                    .magnification(distance, Branch::Far, &mut ())
                    .map_err(|_| LawFault::TooFew)?
                    .value();
                Ok(Marked {
                    distance,
                    m,
                    position,
                })
            })
            .collect::<Result<Vec<_>, _>>()?;
        points.sort_by(|a, b| a.m.total_cmp(&b.m));
        let (Some(&first), Some(&last)) = (points.first(), points.last()) else {
            return Err(LawFault::TooFew);
        };
        if points.len() < 2 {
            return Err(LawFault::TooFew);
        }
        // Positions count from the farthest mark and grow toward close focus.
        let sign = if last.position < first.position {
            -1.0
        } else {
            1.0
        };
        for point in &mut points {
            point.position = sign * (point.position - first.position);
        }
        let rises = |pair: &[Marked]| pair[0].m < pair[1].m && pair[0].position < pair[1].position;
        if !points.windows(2).all(rises) {
            return Err(LawFault::NotMonotone);
        }
        let zero = if first.m == 0.0 {
            Zero::Infinity
        } else {
            Zero::FarthestMark
        };
        let told = told(&points, nearest_magnification(lens, ring.close_focus));
        let through = Through::new(points, measure).ok_or(LawFault::NotMonotone)?;
        Ok(Self {
            lens,
            ring,
            measure,
            curve: Curve::Marks(through),
            told,
            told_by_scale: told,
            zero,
            standing,
            travel: None,
            reading: (first.position, sign),
            knots: Vec::new(),
            correction: None,
        })
    }

    /// Where positions count from.
    #[must_use]
    pub const fn zero(&self) -> Zero {
        self.zero
    }

    /// The gain of a helicoid that was computed; `None` for marks.
    #[must_use]
    pub const fn gain(&self) -> Option<Gain> {
        match self.curve {
            Curve::Helicoid(gain) => Some(gain),
            Curve::Marks(_) => None,
        }
    }

    /// The travel a computed gain came from, from infinity to close focus.
    #[must_use]
    pub fn travel(&self) -> Option<Angle> {
        self.travel.map(|(turn, _)| turn)
    }

    /// The curve through marks as figures; `None` where the law was computed.
    #[must_use]
    pub fn through(&self) -> Option<ThroughMarks> {
        match &self.curve {
            Curve::Helicoid(_) => None,
            Curve::Marks(through) => Some(through.figures()),
        }
    }

    /// The steps of the law itself: the gain from the travel, or the line
    /// nearest to the marks.
    pub fn explain(&self, rec: &mut impl Record) {
        match (&self.curve, self.travel) {
            (Curve::Marks(through), _) => through.explain(rec),
            (Curve::Helicoid(_), Some((travel, close_focus))) => {
                gain_from_travel(self.lens, travel, close_focus, rec);
            }
            (Curve::Helicoid(_), None) => {}
        }
    }

    /// What positions are counted in.
    #[must_use]
    pub(super) const fn measure(&self) -> Measure {
        self.measure
    }

    /// What stands behind the law.
    #[must_use]
    pub const fn standing(&self) -> Standing {
        self.standing
    }

    /// What stands behind the position of one distance: beyond the marks the law
    /// is carried on from them, which is computed.
    #[must_use]
    pub fn standing_at(&self, distance: FocusDistance) -> Standing {
        let m = self.lens.magnification(distance, Branch::Far, &mut ());
        match (&self.curve, m) {
            (Curve::Marks(through), Ok(m)) if through.holds(self.on_scale(m.value(), &mut ())) => {
                self.standing
            }
            _ => Standing::Computed,
        }
    }

    /// The lens whose ring this is.
    #[must_use]
    pub const fn lens(&self) -> UnitFocus {
        self.lens
    }

    /// The ring.
    #[must_use]
    pub const fn ring(&self) -> RingGiven {
        self.ring
    }

    /// The farthest and the nearest distance that can be told.
    #[must_use]
    pub fn reach(&self) -> (FocusDistance, FocusDistance) {
        let distance = |m| self.lens.distance_at(Magnification::computed(m), &mut ());
        let near = match self.ring.close_focus {
            // The lens's own figure comes back as it was given.
            Some(close) if self.told.1 >= nearest_magnification(self.lens, Some(close)) => close,
            _ => distance(self.told.1),
        };
        (distance(self.told.0), near)
    }

    /// Position of a distance on the ring.
    ///
    /// # Errors
    /// [`OffScale`] when the lens does not go there or no mark tells.
    pub fn position(&self, distance: FocusDistance) -> Result<RingPosition, OffScale> {
        self.position_with(distance, &mut ())
    }

    /// Position of a distance on the ring, with its steps.
    ///
    /// # Errors
    /// [`OffScale`] when the lens does not go there or no mark tells.
    pub fn position_with(
        &self,
        distance: FocusDistance,
        rec: &mut impl Record,
    ) -> Result<RingPosition, OffScale> {
        let (far, near) = self.reach();
        if let Some(close) = self
            .ring
            .close_focus
            .filter(|&close| distance.is_nearer_than(close))
        {
            return Err(OffScale::InsideCloseFocus(close));
        }
        let m = self
            .lens
            .magnification(distance, Branch::Far, rec)
            .map_err(|_| OffScale::InsideCloseFocus(near))?
            .value();
        // A mark's own distance must be told though its last digits may differ.
        let slack = 1e-12;
        if m > self.told.1 * (1.0 + slack) {
            return Err(OffScale::OutsideMarks(near));
        }
        if m < self.told.0 - slack * self.told.0.abs() {
            return Err(OffScale::OutsideMarks(far));
        }
        Ok(self.at_magnification(m, rec))
    }

    /// Distance at a position; `None` beyond infinity or off the scale.
    #[must_use]
    pub fn distance(&self, position: RingPosition) -> Option<FocusDistance> {
        let (from, to) = self.told;
        let excess = |m: f64| self.raw(m) - position.raw;
        let end = |m: f64| excess(m).abs() <= 1e-9 * self.raw(to).abs().max(1.0);
        let m = if end(from) {
            from
        } else if end(to) {
            to
        } else {
            root_between(excess, from, to)?
        };
        Some(self.lens.distance_at(Magnification::computed(m), &mut ()))
    }

    /// Position at a magnification, which may lie beyond infinity (below zero):
    /// there the law runs on as a straight line.
    pub(super) fn at_magnification(&self, m: f64, rec: &mut impl Record) -> RingPosition {
        let m = self.on_scale(m, rec);
        self.place(self.curve.at(m, self.lens, rec))
    }

    /// A place in the law's measure.
    pub(super) const fn place(&self, raw: f64) -> RingPosition {
        RingPosition {
            raw,
            measure: self.measure,
            circumference: self.ring.circumference,
        }
    }

    /// A place of this ring in degrees, where they are known.
    pub(super) fn counted(&self, place: RingPosition, rec: &mut impl Record) -> RingPosition {
        match place.turn_with(rec) {
            Some(turn) => RingPosition {
                raw: turn.to_deg(),
                measure: Measure::Turn,
                circumference: place.circumference,
            },
            None => place,
        }
    }

    /// Degrees for one unit of the law's measure; `None` for marks in mm on a
    /// ring of unknown size.
    pub(super) fn degrees(&self) -> Option<f64> {
        match (self.measure, self.ring.circumference) {
            (Measure::Turn, _) => Some(1.0),
            (Measure::Arc, Some(round)) => Some(360.0 / round.to_mm()),
            (Measure::Arc, None) => None,
        }
    }

    /// The magnification at a position, which may lie beyond infinity (below
    /// zero) or close focus: there the law runs on as a straight line. `None`
    /// where the law is level there.
    pub(super) fn magnification_at(&self, position: RingPosition) -> Option<f64> {
        let excess = |m: f64| self.raw(m) - position.raw;
        let mut reach = self.told.1.max(1e-6);
        for _ in 0..20 {
            if let Some(m) = root_between(excess, self.told.0 - reach, self.told.1 + reach) {
                return Some(m);
            }
            reach *= 2.0;
        }
        None
    }

    /// A turn of the ring in what positions are counted in; `None` where marks
    /// are in mm on a ring of unknown size.
    #[must_use]
    pub fn turned(&self, turn: Angle) -> Option<RingPosition> {
        let raw = match (self.measure, self.ring.circumference) {
            (Measure::Turn, _) => turn.to_deg(),
            (Measure::Arc, Some(round)) => ring_arc(round.to_mm(), turn.to_deg(), &mut ()),
            (Measure::Arc, None) => return None,
        };
        Some(RingPosition {
            raw,
            measure: self.measure,
            circumference: self.ring.circumference,
        })
    }

    /// The turn from the farthest to the nearest distance that can be told.
    ///
    /// # Errors
    /// [`OffScale`] where the law does not reach its own ends.
    pub fn whole(&self) -> Result<RingPosition, OffScale> {
        let (far, near) = self.reach();
        Ok(self.position(near)?.minus(self.position(far)?))
    }

    /// A turn of the ring as a length along a tape of the given thickness.
    #[must_use]
    pub fn turn_along_tape(&self, turn: Angle, thickness: Length) -> Option<Length> {
        let round = self.ring.circumference?.to_mm();
        Some(Length::mm(tape_arc(
            round,
            thickness.to_mm(),
            turn.to_deg(),
            &mut (),
        )))
    }

    /// Once round the ring, for a tape of the given thickness.
    #[must_use]
    pub fn round_tape(&self, thickness: Length) -> Option<Length> {
        self.turn_along_tape(Angle::deg(360.0), thickness)
    }

    /// What a reading is at the zero, and the direction readings grow in.
    pub(super) const fn reading(&self) -> (f64, f64) {
        self.reading
    }

    /// The position of a reading in the measure, zero and direction of the marks.
    #[must_use]
    pub(super) fn at_reading(&self, reading: f64) -> RingPosition {
        let (zero, sign) = self.reading;
        RingPosition {
            raw: sign * (reading - zero),
            measure: self.measure,
            circumference: self.ring.circumference,
        }
    }

    /// Whether a distance can be told at all.
    #[must_use]
    pub fn tells(&self, distance: FocusDistance) -> bool {
        self.position(distance).is_ok()
    }

    /// A position from its arc along the bare ring.
    #[must_use]
    pub fn from_arc(&self, arc: Length) -> Option<RingPosition> {
        let raw = match (self.measure, self.ring.circumference) {
            (Measure::Arc, _) => arc.to_mm(),
            (Measure::Turn, Some(round)) => arc.to_mm() * 360.0 / round.to_mm(),
            (Measure::Turn, None) => return None,
        };
        Some(RingPosition {
            raw,
            measure: self.measure,
            circumference: self.ring.circumference,
        })
    }

    /// The place at a magnification, in the law's measure.
    pub(super) fn raw(&self, m: f64) -> f64 {
        self.curve.place(self.on_scale(m, &mut ()), self.lens)
    }

    /// The magnifications between which positions can be told.
    pub(super) const fn told(&self) -> (f64, f64) {
        self.told
    }

    /// The points it goes through; none where it was computed.
    pub(super) fn knots(&self) -> &[Knot] {
        &self.knots
    }

    /// The law with the points it goes through.
    pub(super) fn with_knots(self, knots: Vec<Knot>) -> Self {
        Self { knots, ..self }
    }

    /// The image-plane error it is corrected for.
    #[must_use]
    pub const fn correction(&self) -> Option<Displacement> {
        self.correction
    }

    /// The law corrected for an image-plane error, telling magnifications
    /// between these.
    pub(super) fn moved(self, found: Displacement, told: (f64, f64)) -> Self {
        let scale = self.uncorrected();
        Self {
            told_by_scale: scale.told,
            told,
            correction: Some(found),
            ..scale
        }
    }

    /// The law as the ring's own scale has it.
    #[must_use]
    pub fn uncorrected(self) -> Self {
        Self {
            told: self.told_by_scale,
            correction: None,
            ..self
        }
    }
}

/// How far the law may be carried beyond the marks: one interval, never beyond
/// infinity or nearer than the lens goes.
fn told(points: &[Marked], nearest: f64) -> (f64, f64) {
    let n = points.len();
    let (first, last) = (points[0].m, points[n - 1].m);
    let far = (first - (points[1].m - first)).max(0.0);
    let near = (last + (last - points[n - 2].m)).min(nearest.max(last));
    (far, near)
}

/// The magnification at close focus, or 1:1 where that is unknown.
fn nearest_magnification(lens: UnitFocus, close_focus: Option<FocusDistance>) -> f64 {
    close_focus
        .and_then(|close| lens.magnification(close, Branch::Far, &mut ()).ok())
        .map_or(1.0, Magnification::value)
}

fn gain_from_travel(
    lens: UnitFocus,
    travel: Angle,
    close_focus: FocusDistance,
    rec: &mut impl Record,
) -> Option<f64> {
    let m = lens.magnification(close_focus, Branch::Far, rec).ok()?;
    let f = lens.focal_length().to_mm();
    Some(gain_of_travel(travel.to_deg(), f, m.value(), rec))
}
