//! The ring moment by moment for a subject on its way, and where it turns fastest.

use crate::formula::Record;
use crate::gear::{DepthSetup, Gearing, knob_turn};
use crate::scale::{RingPosition, SteadyPull};
use crate::units::{Angle, FocusDistance, Length, Ratio, Time};

/// Unasked, a pull is told at so many equal times.
pub const USUAL_MOMENTS: u32 = 11;
/// At the most equal times at which a pull is told.
pub const MOST_MOMENTS: u32 = 1000;

/// An end of the stretch of ring that keeps a subject sharp: a place, or the word for
/// an end of the scale where the subject is sharp up to that and beyond.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SharpEdge<T> {
    /// A place.
    At(T),
    /// The infinity end: `infinity`.
    Infinity,
    /// The close-focus end, or 1:1 where that is not known: `close_focus`.
    CloseFocus,
}

#[cfg(feature = "serde")]
impl<T: serde::Serialize> serde::Serialize for SharpEdge<T> {
    fn serialize<S: serde::Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::At(place) => place.serialize(out),
            Self::Infinity => out.serialize_str("infinity"),
            Self::CloseFocus => out.serialize_str("close_focus"),
        }
    }
}

/// The ring at one moment of a pull. Positions grow toward close focus; degrees are
/// absent where marks are in mm on a ring of unknown size, millimetres of ring where
/// its size is not known.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Moment {
    /// When.
    pub seconds: Time,
    /// What it is, of `begin`, `closest`, `fastest`, `end`; empty for another.
    pub what: String,
    /// The way gone along the path.
    #[cfg_attr(feature = "serde", serde(rename = "way_mm"))]
    pub way: Length,
    /// Straight from the image-plane mark to the subject.
    #[cfg_attr(feature = "serde", serde(rename = "taped_mm"))]
    pub taped: Length,
    /// Where the lens is to be focused.
    #[cfg_attr(feature = "serde", serde(rename = "focus_mm"))]
    pub focus: FocusDistance,
    /// The ring's position.
    #[cfg_attr(feature = "serde", serde(rename = "position_deg"))]
    pub position: Option<Angle>,
    /// The knob's, counted from the ring's zero.
    #[cfg_attr(feature = "serde", serde(rename = "knob_deg"))]
    pub knob: Option<Angle>,
    /// Toward infinity the subject stays sharp as far as here.
    #[cfg_attr(feature = "serde", serde(rename = "sharp_from_deg"))]
    pub sharp_from: Option<SharpEdge<Angle>>,
    /// Toward close focus the subject stays sharp as far as here.
    #[cfg_attr(feature = "serde", serde(rename = "sharp_to_deg"))]
    pub sharp_to: Option<SharpEdge<Angle>>,
    /// How far the ring turns in a second, below zero toward infinity.
    #[cfg_attr(feature = "serde", serde(rename = "deg_per_s"))]
    pub turn_in_a_second: Option<Angle>,
    /// The position as an arc on the bare ring.
    #[cfg_attr(feature = "serde", serde(rename = "ring_mm"))]
    pub arc: Option<Length>,
    /// The same of the end toward infinity.
    #[cfg_attr(feature = "serde", serde(rename = "sharp_from_mm"))]
    pub sharp_from_arc: Option<SharpEdge<Length>>,
    /// The same of the end toward close focus.
    #[cfg_attr(feature = "serde", serde(rename = "sharp_to_mm"))]
    pub sharp_to_arc: Option<SharpEdge<Length>>,
    /// The arc the ring turns in a second, below zero toward infinity.
    #[cfg_attr(feature = "serde", serde(rename = "mm_per_s"))]
    pub arc_in_a_second: Option<Length>,
    /// How far beside the axis of a frame that stands still, positive where the
    /// subject has passed it.
    #[cfg_attr(feature = "serde", serde(rename = "aside_mm"))]
    pub aside: Option<Length>,
}

/// A pull told moment by moment.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Told {
    pub(super) moments: Vec<Moment>,
    /// Which of them is the fastest.
    pub(super) fastest: Option<Moment>,
    /// How late and how early the ring may be there.
    pub(super) late: Option<Time>,
    pub(super) early: Option<Time>,
}

/// A moment before it is worked out.
struct Wished {
    time: Time,
    way: Length,
    what: Vec<&'static str>,
}

/// The moments of a pull that takes `whole`, at equal times `every` so often, with
/// the closest point and the fastest turn.
pub(super) fn told(
    pull: &SteadyPull,
    setup: &DepthSetup,
    (whole, every): (Time, Option<Time>),
    gearing: Option<Gearing>,
    rec: &mut impl Record,
) -> Told {
    let fastest = pull.fastest();
    let mut found = Told::default();
    for wished in wished(pull, whole, every, fastest, rec) {
        let Some(moment) = moment(pull, setup, &wished, gearing, rec) else {
            continue;
        };
        if wished.what.contains(&"fastest") {
            (found.late, found.early) = room(pull, setup, wished.way, rec);
            found.fastest = Some(moment.clone());
        }
        found.moments.push(moment);
    }
    found
}

/// At how many equal times a pull is told, both ends among them.
#[must_use]
pub fn count_of_moments(whole: Time, every: Option<Time>) -> Ratio {
    let every = every.map_or(0.0, Time::to_seconds);
    let steps = if every > 0.0 {
        // A step that comes out whole but for its last digits is no other moment.
        libm::ceil(whole.to_seconds() / every * (1.0 - 1e-12))
    } else {
        f64::from(USUAL_MOMENTS - 1)
    };
    Ratio::computed(steps + 1.0)
}

fn wished(
    pull: &SteadyPull,
    whole: Time,
    every: Option<Time>,
    fastest: Option<Length>,
    rec: &mut impl Record,
) -> Vec<Wished> {
    let count = count_of_moments(whole, every).value();
    let count = count.min(f64::from(MOST_MOMENTS)) as u32;
    let step = every.map_or(
        whole.to_seconds() / f64::from(USUAL_MOMENTS - 1),
        Time::to_seconds,
    );
    let mut wished = vec![Wished {
        time: Time::ZERO,
        way: Length::ZERO,
        what: vec!["begin"],
    }];
    for number in 1..count.saturating_sub(1) {
        let time = Time::computed(step * f64::from(number));
        wished.push(Wished {
            time,
            way: pull.way(time, rec),
            what: Vec::new(),
        });
    }
    wished.push(Wished {
        time: whole,
        way: pull.length(),
        what: vec!["end"],
    });
    let closest = pull.path().way_to_closest(rec);
    for (way, what) in [(closest, "closest"), (fastest, "fastest")] {
        let Some(way) = way else { continue };
        let same = |one: &&mut Wished| (one.way - way).abs() <= pull.length() * 1e-7;
        if let Some(there) = wished.iter_mut().find(same) {
            there.what.push(what);
            continue;
        }
        let time = pull.time(way, rec);
        let place = wished.partition_point(|one| one.way < way);
        let what = vec![what];
        wished.insert(place, Wished { time, way, what });
    }
    wished
}

fn moment(
    pull: &SteadyPull,
    setup: &DepthSetup,
    wished: &Wished,
    gearing: Option<Gearing>,
    rec: &mut impl Record,
) -> Option<Moment> {
    let spot = pull.spot(wished.way, rec)?;
    let position = pull.position(&spot, rec)?;
    let (n, circle) = (setup.exposure.f_number, setup.circle.circle);
    let sharp = pull.law().sharp_ring(spot.focus, n, circle, rec);
    let rate = pull.rate(&spot, rec);
    let turn = position.turn_with(rec);
    let knob = turn
        .zip(gearing)
        .map(|(turn, gearing)| knob_turn(turn, gearing, rec));
    let arc = position.arc(rec);
    let ends = [
        (sharp.toward_infinity, true),
        (sharp.toward_close_focus, false),
    ];
    let [from, to] = ends.map(|(end, far)| {
        let none = (edge(None, far), edge(None, far));
        end.map_or(none, |end| {
            let (turn, arc) = (end.turn_with(rec), end.arc(rec));
            (edge(turn, far), edge(arc, far))
        })
    });
    Some(Moment {
        seconds: wished.time,
        what: wished.what.join(" "),
        way: wished.way,
        taped: spot.taped,
        focus: spot.focus,
        position: turn,
        knob,
        sharp_from: turn.map(|_| from.0),
        sharp_to: turn.map(|_| to.0),
        turn_in_a_second: rate.and_then(|rate| rate.turn_with(rec)),
        arc,
        sharp_from_arc: arc.map(|_| from.1),
        sharp_to_arc: arc.map(|_| to.1),
        arc_in_a_second: rate.and_then(|rate| rate.arc(rec)),
        aside: spot.aside,
    })
}

fn edge<T>(place: Option<T>, far: bool) -> SharpEdge<T> {
    match (place, far) {
        (Some(place), _) => SharpEdge::At(place),
        (None, true) => SharpEdge::Infinity,
        (None, false) => SharpEdge::CloseFocus,
    }
}

/// How late and how early the ring may be; `None` where the subject stays sharp
/// however far the ring is off that way.
fn room(
    pull: &SteadyPull,
    setup: &DepthSetup,
    way: Length,
    rec: &mut impl Record,
) -> (Option<Time>, Option<Time>) {
    let Some(spot) = pull.spot(way, rec) else {
        return (None, None);
    };
    let (Some(position), Some(rate)) = (pull.position(&spot, rec), pull.rate(&spot, rec)) else {
        return (None, None);
    };
    let (n, circle) = (setup.exposure.f_number, setup.circle.circle);
    let sharp = pull.law().sharp_ring(spot.focus, n, circle, rec);
    let mut room = |edge: Option<RingPosition>| {
        edge.and_then(|edge| pull.room_in_time((edge, position), rate, rec))
    };
    // A ring that is late lags toward where it comes from.
    if spot.approach.is_positive() {
        (room(sharp.toward_infinity), room(sharp.toward_close_focus))
    } else {
        (room(sharp.toward_close_focus), room(sharp.toward_infinity))
    }
}
