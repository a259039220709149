//! Where to put the chart on prep day, so that few readings decide.

use super::limits::{SETTINGS_EACH, TAPE_ZERO_SD};
use super::own_scale::OwnScale;
use super::settle::places_in;
use crate::formula::formula;
use crate::gear::{Lens, Marks};
use crate::numerics::Normal;
use crate::numerics::math::sqrt;
use crate::optics::{Branch, Circle};
use crate::scale::NoLaw;
use crate::scale::errors::{RING_SD, tape_sd};
use crate::scale::fit::{square, travel_per_tape};
use crate::units::{FNumber, FocusDistance, Length};

formula! {
    /// How far one setting by eye may leave the lens from where it is sharp.
    eye_travel(N: f_number, c: mm) -> eye: mm = N * c / 3.0;
    source "set from both sides between where blur shows, N c of travel either way; a third of that, common practice, no source"
}

/// The two charts of a lens stand apart by at least this factor: a scale is not
/// judged in one place.
const APART: f64 = 2.0;
/// A further one by this.
const FURTHER: f64 = 1.25;
/// Either way the ring turns, the chart must be seen to go soft: it stands where
/// the lens has so many times the travel to infinity that blur takes to show.
const BOTH_SIDES: f64 = 2.0;
/// A standard error of this share of what is tolerated decides nearly always;
/// of half of it, it can just decide.
const DECIDES: f64 = 0.25;
const CAN_DECIDE: f64 = 0.5;
/// Readings of a camera must be at this distance or beyond.
const FAR_ENOUGH: Length = Length::m(1.0);

/// Why a chart decides nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotByEye {
    /// Too wide: at 1 m and beyond the ring reaches infinity before the eye sees
    /// anything go soft.
    TooWide,
    /// Within the distances of a prep room what a tape may be off is too much.
    TapeTooCoarse,
}

impl NotByEye {
    /// Its name in the JSON contract.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::TooWide => "too_wide",
            Self::TapeTooCoarse => "tape_too_coarse",
        }
    }
}

/// One place for the chart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlannedReading {
    /// From the image plane.
    pub taped: FocusDistance,
    /// What the image-plane error is known to with it and all before it: one
    /// standard error.
    pub standard_error: Length,
    /// Whether it is only wanted where those before it leave the lens undecided.
    pub if_undecided: bool,
}

/// Where the chart stands for one lens, the most telling place first; or why a
/// chart decides nothing.
pub type LensPlan = Result<Vec<PlannedReading>, NotByEye>;

/// What a plan is made for.
struct ToPlan<'a> {
    lens: &'a Lens,
    scale: OwnScale<'a>,
    /// At the stop the readings are taken at.
    widest: FNumber,
    circle: Circle,
    tolerated: Length,
}

/// Where the chart stands for a lens with its marks on a camera, read at its
/// widest stop: the fewest readings, most telling first, that decide whether its
/// image-plane error is within what is tolerated.
///
/// # Errors
/// [`NoLaw`] where the lens does not reach its close focus.
pub fn plan_for(
    lens: &Lens,
    marks: Option<&Marks>,
    camera: Option<&str>,
    (widest, circle): (FNumber, Circle),
    tolerated: Length,
) -> Result<LensPlan, NoLaw> {
    let to_plan = ToPlan {
        lens,
        scale: OwnScale::of(lens, marks, camera)?,
        widest,
        circle,
        tolerated,
    };
    Ok(to_plan.plan())
}

/// A place that can be read by eye.
#[derive(Clone, Copy)]
struct Place {
    taped: FocusDistance,
    mm: f64,
    /// How a millimetre of the tape's zero goes into it.
    slope: f64,
    sd: f64,
}

impl ToPlan<'_> {
    fn plan(&self) -> LensPlan {
        let places = self.places();
        let far_enough = |place: &&Place| place.mm >= FAR_ENOUGH.to_mm();
        if places.len() < 2 || !places.iter().any(|place| far_enough(&place)) {
            return Err(NotByEye::TooWide);
        }
        let tolerated = self.tolerated.to_mm();
        let pairs: Vec<[Place; 2]> = pairs(&places);
        let decides = |pair: &&[Place; 2]| known_to(*pair) <= DECIDES * tolerated;
        // Of those that decide, the most telling one that needs the least room.
        let known = |pair: &[Place; 2]| known_to(pair);
        let small = pairs.iter().filter(decides).min_by(|a, b| {
            let room = a[1].mm.total_cmp(&b[1].mm);
            room.then(known(a).total_cmp(&known(b)))
        });
        let best = || pairs.iter().min_by(|a, b| known(a).total_cmp(&known(b)));
        let two = *small.or_else(best).ok_or(NotByEye::TooWide)?;
        let third = places
            .iter()
            .filter(|place| two.iter().all(|other| apart(place, other) >= FURTHER))
            .min_by(|a, b| {
                let with = |place: &Place| known_to(&[two[0], two[1], *place]);
                with(a).total_cmp(&with(b))
            });
        let all: Vec<Place> = two.iter().chain(third).copied().collect();
        if known_to(&all) > CAN_DECIDE * tolerated {
            return Err(NotByEye::TapeTooCoarse);
        }
        // The most telling first.
        let mut order = two;
        if known_to(&order[1..]) < known_to(&order[..1]) {
            order.swap(0, 1);
        }
        let order: Vec<Place> = order.iter().chain(third).copied().collect();
        let two_decide = small.is_some();
        let planned = order.iter().enumerate().map(|(at, place)| PlannedReading {
            taped: place.taped,
            standard_error: Length::mm(known_to(&order[..=at])),
            if_undecided: at >= 2 && two_decide,
        });
        Ok(planned.collect())
    }

    fn places(&self) -> Vec<Place> {
        let optics = self.scale.lens();
        let f = optics.focal_length().to_mm();
        let shows = self.widest.value() * self.circle.diameter().to_mm();
        let eye = eye_travel(self.widest.value(), self.circle.diameter().to_mm(), &mut ());
        let each = SETTINGS_EACH as f64;
        let place = |taped: FocusDistance| {
            let m = optics.magnification(taped, Branch::Far, &mut ()).ok()?;
            let m = m.value();
            if f * m < BOTH_SIDES * shows {
                return None;
            }
            let slope = travel_per_tape(m.min(0.999), &mut ());
            let ring = RING_SD.to_deg() / self.scale.gain(f * m);
            let tape = slope * tape_sd(taped).to_mm();
            Some(Place {
                taped,
                mm: taped.reach().finite()?.to_mm(),
                slope,
                sd: sqrt((square(ring) + square(eye)) / each + square(tape)),
            })
        };
        let usual = places_in(self.lens.engraved());
        let reached = usual.filter(|taped| !taped.is_nearer_than(self.lens.close_focus()));
        reached.filter_map(place).collect()
    }
}

fn apart(one: &Place, other: &Place) -> f64 {
    (one.mm / other.mm).max(other.mm / one.mm)
}

/// Two places well apart, the farther one far enough for a camera.
fn pairs(places: &[Place]) -> Vec<[Place; 2]> {
    let mut out = Vec::new();
    for near in places {
        for far in places.iter().filter(|far| far.mm > near.mm) {
            if apart(near, far) >= APART && far.mm >= FAR_ENOUGH.to_mm() {
                out.push([*near, *far]);
            }
        }
    }
    out
}

/// The standard error of an image-plane error after readings at these places,
/// the tape's zero known no better than before.
fn known_to(places: &[Place]) -> f64 {
    let mut normal = Normal::new(2);
    normal.add(&[0.0, 1.0], 0.0, TAPE_ZERO_SD);
    for place in places {
        normal.add(&[1.0, place.slope], 0.0, place.sd);
    }
    let variance = normal.solve().map(|solved| solved.covariance(0, 0));
    variance.map_or(f64::INFINITY, |variance| sqrt(variance.max(0.0)))
}
