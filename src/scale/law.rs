//! The ring's law: distance ↔ position.
//!
//! The coordinate is the magnification m, in which a helicoid is a straight
//! line and infinity an ordinary point: position = a + b·m. Measured marks are
//! the truth; between them runs the fitted line plus a monotone cubic of what
//! is left, and never a curve in distance.

use crate::formula::{Record, formula};
use crate::numerics::{Pchip, root_between};
use crate::optics::{Branch, Magnification, UnitFocus};
use crate::units::{Angle, FocusDistance, Gain, Length};

formula! {
    /// Position of a helicoid from infinity.
    helicoid_position(G: deg_per_mm, f: mm, m: ratio) -> position: deg = G * f * m;
    source "the lens moves f m from infinity focus (Newton), the ring G degrees a millimetre"
}

formula! {
    /// The gain of a helicoid from its travel.
    gain_of_travel(travel: deg, f: mm, m_close: ratio) -> G: deg_per_mm = travel / (f * m_close);
    source "the lens moves f m from infinity to close focus"
}

formula! {
    /// Arc on the bare ring.
    ring_arc(circumference: mm, position: deg) -> arc: mm = circumference * position / 360.0;
    source "definition of the arc"
}

formula! {
    /// Length of a tape of thickness h wrapped on the ring, at its mid-thickness.
    tape_arc(circumference: mm, h: mm, position: deg) -> tape: mm
        = (circumference + pi * h) * position / 360.0;
    source "pi (d + h) theta / 360 with the ring's circumference pi d"
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

/// What the marks' positions are counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// Degrees of ring.
    Turn,
    /// Millimetres along the surface they were read on.
    Arc,
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
    zero: Zero,
    standing: Standing,
    /// What a reading is at the zero, and the direction readings grow in.
    reading: (f64, f64),
}

/// Position as a function of magnification.
#[derive(Clone, Debug, PartialEq)]
enum Curve {
    /// A helicoid that was computed.
    Helicoid(Gain),
    /// Through marks: start + rate · m + rest(m).
    Marks {
        start: f64,
        rate: f64,
        rest: Pchip<f64>,
    },
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
            zero: Zero::Infinity,
            standing: Standing::Computed,
            reading: (0.0, 1.0),
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
        let m = lens
            .magnification(close_focus, Branch::Far, &mut ())
            .map_err(|_| LawFault::TooFew)?;
        let f = lens.focal_length().to_mm();
        let gain = gain_of_travel(travel.to_deg(), f, m.value(), &mut ());
        let gain = Gain::new(gain).map_err(|_| LawFault::TooFew)?;
        Ok(Self::helicoid(
            lens,
            gain,
            RingGiven {
                close_focus: Some(close_focus),
                ..ring
            },
        ))
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
                    .map_err(|_| LawFault::TooFew)?;
                Ok((m.value(), position))
            })
            .collect::<Result<Vec<_>, _>>()?;
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (Some(&first), Some(&last)) = (points.first(), points.last()) else {
            return Err(LawFault::TooFew);
        };
        if points.len() < 2 {
            return Err(LawFault::TooFew);
        }
        // Positions count from the farthest mark and grow toward close focus.
        let sign = if last.1 < first.1 { -1.0 } else { 1.0 };
        for point in &mut points {
            point.1 = sign * (point.1 - first.1);
        }
        if !points
            .windows(2)
            .all(|pair| pair[0].0 < pair[1].0 && pair[0].1 < pair[1].1)
        {
            return Err(LawFault::NotMonotone);
        }
        let zero = if first.0 == 0.0 {
            Zero::Infinity
        } else {
            Zero::FarthestMark
        };
        let curve = fit(&points).ok_or(LawFault::NotMonotone)?;
        Ok(Self {
            lens,
            ring,
            measure,
            curve,
            told: told(&points, nearest_magnification(lens, ring.close_focus)),
            zero,
            standing,
            reading: (first.1, sign),
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
            Curve::Marks { .. } => None,
        }
    }

    /// What stands behind the law.
    #[must_use]
    pub const fn standing(&self) -> Standing {
        self.standing
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

    /// Position of a distance on the ring, with its steps: the magnification,
    /// and for a helicoid the position itself.
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
        if let Curve::Helicoid(gain) = self.curve {
            helicoid_position(gain.value(), self.lens.focal_length().to_mm(), m, rec);
        }
        Ok(self.at_magnification(m))
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
    pub(super) fn at_magnification(&self, m: f64) -> RingPosition {
        RingPosition {
            raw: self.raw(m),
            measure: self.measure,
            circumference: self.ring.circumference,
        }
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
        let round = self.ring.circumference?.to_mm();
        Some(Length::mm(tape_arc(
            round,
            thickness.to_mm(),
            360.0,
            &mut (),
        )))
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

    fn raw(&self, m: f64) -> f64 {
        match &self.curve {
            Curve::Helicoid(gain) => {
                helicoid_position(gain.value(), self.lens.focal_length().to_mm(), m, &mut ())
            }
            Curve::Marks { start, rate, rest } => start + rate * m + rest.at(m),
        }
    }
}

/// A place on the ring, counted from the law's zero toward close focus.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RingPosition {
    raw: f64,
    measure: Measure,
    circumference: Option<Length>,
}

impl RingPosition {
    /// As an angle; `None` where marks are in mm on a ring of unknown size.
    #[must_use]
    pub fn turn(self) -> Option<Angle> {
        match (self.measure, self.circumference) {
            (Measure::Turn, _) => Some(Angle::deg(self.raw)),
            (Measure::Arc, Some(round)) => Some(Angle::deg(self.raw * 360.0 / round.to_mm())),
            (Measure::Arc, None) => None,
        }
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

    /// The turn from `other` to here.
    #[must_use]
    pub fn minus(self, other: Self) -> Self {
        Self {
            raw: self.raw - other.raw,
            ..self
        }
    }

    /// The same turn, whichever way.
    #[must_use]
    pub(super) fn without_sign(self) -> Self {
        Self {
            raw: self.raw.abs(),
            ..self
        }
    }

    /// Whether this place lies nearer to close focus than `other`.
    #[must_use]
    pub fn is_nearer_than(self, other: Self) -> bool {
        self.raw > other.raw
    }
}

/// The line a + b·m nearest to the points and the monotone cubic of the rest.
///
/// Where a wild rest would make the sum turn back, the cubic goes through the
/// points themselves, which never does.
fn fit(points: &[(f64, f64)]) -> Option<Curve> {
    let n = points.len() as f64;
    let (sum_m, sum_y) = points
        .iter()
        .fold((0.0, 0.0), |(m, y), p| (m + p.0, y + p.1));
    let (mean_m, mean_y) = (sum_m / n, sum_y / n);
    let (mut cross, mut square) = (0.0, 0.0);
    for (m, y) in points {
        cross += (m - mean_m) * (y - mean_y);
        square += (m - mean_m) * (m - mean_m);
    }
    let rate = cross / square;
    let start = mean_y - rate * mean_m;
    let m: Vec<f64> = points.iter().map(|p| p.0).collect();
    let rest = points.iter().map(|p| p.1 - start - rate * p.0).collect();
    let rest = Pchip::new(m.clone(), rest)?;
    if rate > 0.0 && rest.least_slope() > -rate {
        return Some(Curve::Marks { start, rate, rest });
    }
    let through = Pchip::new(m, points.iter().map(|p| p.1).collect())?;
    Some(Curve::Marks {
        start: 0.0,
        rate: 0.0,
        rest: through,
    })
}

/// How far the law may be carried beyond the marks: one interval, never beyond
/// infinity or nearer than the lens goes.
fn told(points: &[(f64, f64)], nearest: f64) -> (f64, f64) {
    let n = points.len();
    let (first, last) = (points[0].0, points[n - 1].0);
    let far = (first - (points[1].0 - first)).max(0.0);
    let near = (last + (last - points[n - 2].0)).min(nearest.max(last));
    (far, near)
}

/// The magnification at close focus, or 1:1 where that is unknown.
fn nearest_magnification(lens: UnitFocus, close_focus: Option<FocusDistance>) -> f64 {
    close_focus
        .and_then(|close| lens.magnification(close, Branch::Far, &mut ()).ok())
        .map_or(1.0, Magnification::value)
}
