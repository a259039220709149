//! A lens's own scale: what a turn of its ring is in lens travel.

use crate::gear::{Lens, MarkKind, Marks, PositionUnit};
use crate::optics::{Branch, Magnification, UnitFocus};
use crate::scale::knot::moves;
use crate::scale::marks_law::TYPICAL_TRAVEL;
use crate::scale::of_lens::given;
use crate::scale::{LensLaw, NoLaw, RingLaw, RingPosition, Standing};
use crate::units::{Angle, Length};

/// Nowhere is a law taken as flatter than this share of its mean gain: a
/// reading there would count for nothing.
const FLATTEST: f64 = 0.05;

/// How a ring's turn and the lens's travel go together.
#[derive(Clone, Debug)]
struct Turning {
    law: RingLaw,
    /// Degrees for one unit of the law's measure.
    degrees: f64,
}

/// What the lens's own scale says, as travel from infinity.
#[derive(Clone, Debug)]
pub(super) struct OwnScale<'a> {
    lens: UnitFocus,
    close: f64,
    gain: Turning,
    /// What readings in degrees are held against, with the zero of its marks
    /// where those are in degrees.
    reference: Option<(LensLaw<'a>, Turning, bool)>,
    /// Whether nobody measured how far the ring turns.
    pub turn_assumed: bool,
    /// Whether readings in degrees are held against marks found by eye.
    pub by_eye: bool,
}

impl<'a> OwnScale<'a> {
    /// The scale of a lens as its marks or its travel tell it, else with a
    /// travel as most have it.
    ///
    /// # Errors
    /// [`NoLaw`] where the lens does not reach its close focus (a zoom at its
    /// longest focal length may not).
    pub fn of(lens: &Lens, marks: Option<&'a Marks>, camera: Option<&str>) -> Result<Self, NoLaw> {
        let optics = lens.figures().unit_focus(&mut ());
        let close = optics
            .magnification(lens.close_focus(), Branch::Far, &mut ())
            .map_or(1.0, Magnification::value);
        let travel = lens.ring().travel();
        let known = LensLaw::of(lens, marks, camera).ok();
        let (law, turn_assumed) = match known {
            Some(known) => {
                let unknown = known.law.degrees().is_none() && travel.is_none();
                (known.law, unknown)
            }
            None => (typical(lens, optics)?, true),
        };
        let turn = travel.unwrap_or(TYPICAL_TRAVEL).to_deg();
        let turning = |law: RingLaw| {
            let span = law.raw(close) - law.raw(0.0);
            let degrees = law.degrees().unwrap_or(turn / span);
            Turning { law, degrees }
        };
        let own = marks.and_then(|marks| Some((marks, marks.own_scale(camera)?)));
        let reference = own.and_then(|(marks, set)| {
            let law = LensLaw::through(lens, marks, set).ok()?;
            let shares_zero = marks.unit() == PositionUnit::Deg;
            Some((law.clone(), turning(law.law), shares_zero))
        });
        let by_eye = reference.as_ref().is_some_and(|(law, ..)| {
            law.marks
                .as_ref()
                .is_some_and(|set| set.kind == MarkKind::Eye)
        });
        Ok(Self {
            lens: optics,
            close,
            gain: turning(law),
            reference,
            turn_assumed,
            by_eye,
        })
    }

    /// Degrees of ring for each millimetre of travel, at a travel.
    pub fn gain(&self, travel: f64) -> f64 {
        let Turning { law, degrees } = &self.gain;
        let f = self.lens.focal_length().to_mm();
        let place = |m: f64| law.raw(m) * degrees;
        let mean = (place(self.close) - place(0.0)) / (f * self.close);
        let (m, h) = (travel / f, self.close * 1e-4);
        let here = (place(m + h) - place(m - h)) / (2.0 * h * f);
        here.max(FLATTEST * mean)
    }

    /// The turn from the infinity mark to a travel.
    pub fn turn(&self, travel: f64) -> f64 {
        let (law, degrees) = (&self.gain.law, self.gain.degrees);
        let place = |m| law.raw(m);
        degrees * (place(travel / self.lens.focal_length().to_mm()) - place(0.0))
    }

    /// The travel at close focus.
    pub fn close_travel(&self) -> f64 {
        self.lens.focal_length().to_mm() * self.close
    }

    /// The travel at a reading in degrees; `None` where the scale is level
    /// there.
    pub fn travel_at(&self, reading: Angle) -> Option<Length> {
        let m = match &self.reference {
            Some((marks, _, true)) => marks
                .law
                .magnification_at(marks.at_number(reading.to_deg()))?,
            Some((_, turning, false)) => turning.at_turn(reading)?,
            None => self.gain.at_turn(reading)?,
        };
        Some(self.lens.focal_length() * m)
    }

    /// The lens.
    pub const fn lens(&self) -> UnitFocus {
        self.lens
    }

    /// How far a reading in degrees at `m` is moved, in mm of travel, by each
    /// mark it is held against that says what it may be off: its number and the
    /// move.
    pub fn moved_by_marks(&self, m: f64) -> Vec<(usize, f64)> {
        let Some((law, turning, _)) = &self.reference else {
            return Vec::new();
        };
        let written = law.marks.iter().flat_map(|set| &set.rows);
        let said: Vec<bool> = written.map(|mark| mark.sd.is_some()).collect();
        if !said.contains(&true) {
            return Vec::new();
        }
        let gain = self.gain(self.lens.focal_length().to_mm() * m) / turning.degrees;
        let moves = moves(law.law.knots(), m).unwrap_or_default();
        moves
            .into_iter()
            .filter(|(number, ..)| said.get(*number) == Some(&true))
            .map(|(number, up, down)| (number, (up - down) / 2.0 / gain))
            .collect()
    }

    /// What the zero of readings in degrees is worth where figures of the lens
    /// are off: only marks tie degrees to distances whatever the figures are.
    pub fn stands_on_figures(&self) -> bool {
        self.reference.is_none() && self.gain.law.standing() == Standing::Computed
    }
}

impl Turning {
    /// The magnification a turn from the infinity mark leads to.
    fn at_turn(&self, turn: Angle) -> Option<f64> {
        let start = self.law.at_magnification(0.0, &mut ());
        let place = RingPosition {
            raw: start.raw + turn.to_deg() / self.degrees,
            ..start
        };
        self.law.magnification_at(place)
    }
}

/// A helicoid with the travel most lenses have.
fn typical(lens: &Lens, optics: UnitFocus) -> Result<RingLaw, NoLaw> {
    RingLaw::of_travel(optics, lens.close_focus(), TYPICAL_TRAVEL, given(lens))
        .map_err(NoLaw::Marks)
}
