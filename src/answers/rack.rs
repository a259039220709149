//! The turn of the ring from one distance to another, or along the path of a moving
//! subject, and how fast.

mod moments;
mod path;

pub use moments::{MOST_MOMENTS, Moment, SharpEdge, USUAL_MOMENTS, count_of_moments};
pub use path::PathAnswer;

use super::unanswerable::RingEnd;
use super::{RingAnswer, RingRow, Unanswerable, ring};
use crate::formula::{Once, Record, formula};
use crate::gear::{Assumption, DepthSetup, Gearing, Sense, Speed, knob_turn};
use crate::scale::{OffScale, RingLaw, SteadyPull, SubjectPath, Untold, speed_for, time_of};
use crate::units::{Angle, FocusDistance, Length, Reach, Time};

formula! {
    /// The turn of the ring.
    ring_turn(position_to: deg, position_from: deg) -> turn: deg
        = sqrt((position_to - position_from) * (position_to - position_from));
    source "the difference of the positions"
}

formula! {
    /// What the ring turns there and back.
    whole_turn(there: deg, back: deg) -> turning: deg = there + back;
    source "the turn to where the focus turns round, and the turn from there"
}

/// How long a pull takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pull {
    /// Nobody said.
    Unsaid,
    /// So long.
    Within(Time),
    /// As long as a subject at this speed along its path.
    At(Speed),
}

/// A rack: from one distance to another.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct RackAnswer {
    /// How far the ring turns from begin to end; absent where marks are in mm on a
    /// ring of unknown size. What it turns on the way is `turning`.
    #[cfg_attr(feature = "serde", serde(rename = "turn_deg"))]
    pub turn: Option<Angle>,
    /// `toward_close_focus`, `toward_infinity` or `none`.
    pub direction: &'static str,
    /// The way the ring turns, seen from behind the camera, where known.
    pub ring_turns: Option<&'static str>,
    /// The same along the bare ring.
    #[cfg_attr(feature = "serde", serde(rename = "ring_mm"))]
    pub arc: Option<Length>,
    /// How far the knob of the follow focus turns, where known.
    #[cfg_attr(feature = "serde", serde(rename = "knob_deg"))]
    pub knob: Option<Angle>,
    /// All the turning on the way, there and back.
    #[cfg_attr(feature = "serde", serde(rename = "turning_deg"))]
    pub turning: Option<Angle>,
    /// The same along the bare ring.
    #[cfg_attr(feature = "serde", serde(rename = "turning_mm"))]
    pub turning_arc: Option<Length>,
    /// The same of the knob.
    #[cfg_attr(feature = "serde", serde(rename = "knob_turning_deg"))]
    pub knob_turning: Option<Angle>,
    /// How long it takes, where said or following from the speed.
    pub seconds: Option<Time>,
    /// How fast the subject goes, where said or following from the time.
    #[cfg_attr(feature = "serde", serde(rename = "speed_mm_per_s"))]
    pub speed: Option<Length>,
    /// The fastest the ring turns on the way, in one second, the subject going
    /// at a constant speed along its path.
    #[cfg_attr(feature = "serde", serde(rename = "peak_deg_per_s"))]
    pub fastest: Option<Angle>,
    /// The same along the bare ring.
    #[cfg_attr(feature = "serde", serde(rename = "peak_mm_per_s"))]
    pub fastest_arc: Option<Length>,
    /// The focus distance then.
    #[cfg_attr(feature = "serde", serde(rename = "fastest_at_mm"))]
    pub fastest_at: Option<FocusDistance>,
    /// Where the subject then is, straight from the image-plane mark.
    #[cfg_attr(feature = "serde", serde(rename = "fastest_taped_mm"))]
    pub fastest_taped: Option<Length>,
    /// When that is.
    pub fastest_s: Option<Time>,
    /// How late the ring may be there before the subject is softer than the circle;
    /// absent where it stays sharp however late.
    pub late_s: Option<Time>,
    /// How early the ring may be there; absent where it stays sharp however early.
    pub early_s: Option<Time>,
    /// The nearest focus on the way.
    #[cfg_attr(feature = "serde", serde(rename = "nearest_focus_mm"))]
    pub nearest_focus: FocusDistance,
    /// The subject's path.
    pub path: PathAnswer,
    /// The ring moment by moment, at equal times with the closest point and the
    /// fastest turn between; none where no speed is known.
    pub moments: Vec<Moment>,
    /// Where it begins.
    pub from: RingRow,
    /// Where it ends.
    pub to: RingRow,
    /// The answer both rows belong to, with the turning point of the focus between
    /// them where there is one, and what it rests on.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub ring: RingAnswer,
}

/// What is asked of a rack.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RackWish {
    /// The way of the subject.
    pub path: SubjectPath,
    /// How long it takes.
    pub pull: Pull,
    /// How often the ring is to be told; `None` for the usual count of moments, of
    /// which there are at most [`MOST_MOMENTS`].
    pub every: Option<Time>,
    /// The way the ring turns from infinity to close focus.
    pub sense: Option<Sense>,
    /// Knob turns for each turn of the ring.
    pub gearing: Option<Gearing>,
}

/// The turn from one distance to another, and the ring along the way.
///
/// # Errors
/// [`Unanswerable`] for a distance the lens does not reach or no mark tells.
pub fn rack(
    law: &RingLaw,
    setup: &DepthSetup,
    wish: &RackWish,
    rec: &mut impl Record,
) -> Result<RackAnswer, Unanswerable> {
    let rec = &mut Once::new(rec);
    let path = wish.path;
    let gearing = wish.gearing;
    let told_path = PathAnswer::of(&path, rec);
    let (seconds, speed) = timing(told_path.length, wish.pull, rec);
    let steady = speed.and_then(|speed| SteadyPull::new(law, path, speed));
    if let Some((pull, untold)) = steady
        .as_ref()
        .and_then(|pull| Some((pull, pull.untold()?)))
    {
        return Err(on_the_way(law, pull, untold));
    }
    let (from, to) = path.ends();
    let foci = match &steady {
        Some(pull) => pull.turns().into_iter().map(|(_, focus)| focus).collect(),
        None => vec![from, to],
    };
    let mut answer = ring(law, setup, &foci, (None, gearing), rec)?;
    let [begin, .., end] = &answer.rows[..] else {
        return Err(Unanswerable::BeyondInfinity);
    };
    let (begin, end) = (begin.clone(), end.clone());
    let turn = turn_between(&begin, &end, rec);
    let turning = match &answer.rows[..] {
        [one, middle, other] => {
            let there = turn_between(one, middle, rec);
            let back = turn_between(middle, other, rec);
            let both = there.zip(back);
            both.map(|(one, other)| Angle::deg(whole_turn(one.to_deg(), other.to_deg(), rec)))
        }
        _ => turn,
    };
    let mut knob_of = |turn: Option<Angle>| {
        let both = turn.zip(gearing);
        both.map(|(turn, gearing)| knob_turn(turn, gearing, rec))
    };
    let (knob, knob_turning) = (knob_of(turn), knob_of(turning));
    let arcs = answer
        .rows
        .windows(2)
        .map(|pair| arc_between(&pair[0], &pair[1]));
    let turning_arc = arcs.reduce(|one, next| Some(one? + next?)).flatten();
    let told = match (&steady, seconds) {
        (Some(pull), Some(whole)) => moments::told(pull, setup, (whole, wish.every), gearing, rec),
        _ => moments::Told::default(),
    };
    answer.assumptions.extend(notes(wish.pull, speed, &path));
    let direction = direction(begin.distance, end.distance);
    let nearest = foci.iter().copied().fold(begin.distance, |best, next| {
        if next.is_nearer_than(best) {
            next
        } else {
            best
        }
    });
    let fastest = told.fastest.as_ref();
    Ok(RackAnswer {
        turn,
        direction,
        ring_turns: wish.sense.and_then(|sense| match direction {
            "toward_close_focus" => Some(sense.name()),
            "toward_infinity" => Some(sense.reversed().name()),
            _ => None,
        }),
        arc: arc_between(&begin, &end),
        knob,
        turning,
        turning_arc,
        knob_turning,
        seconds,
        speed,
        fastest: fastest.and_then(|moment| moment.turn_in_a_second.map(Angle::abs)),
        fastest_arc: fastest.and_then(|moment| moment.arc_in_a_second.map(Length::abs)),
        fastest_at: fastest.map(|moment| moment.focus),
        fastest_taped: fastest.map(|moment| moment.taped),
        fastest_s: fastest.map(|moment| moment.seconds),
        late_s: told.late,
        early_s: told.early,
        nearest_focus: nearest,
        path: told_path,
        moments: told.moments,
        from: begin,
        to: end,
        ring: answer,
    })
}

/// How long it takes and how fast the subject goes, as far as either is known.
fn timing(
    length: Option<Length>,
    pull: Pull,
    rec: &mut impl Record,
) -> (Option<Time>, Option<Length>) {
    match pull {
        Pull::Unsaid => (None, None),
        Pull::Within(time) => {
            let speed = length.and_then(|length| speed_for(length, time, rec));
            (Some(time), speed)
        }
        Pull::At(speed) => {
            let each_second = speed.in_one_second();
            let time = length.map(|length| time_of(length, each_second, rec));
            (time, Some(each_second))
        }
    }
}

fn on_the_way(law: &RingLaw, pull: &SteadyPull, untold: Untold) -> Unanswerable {
    let (nearest, end) = match untold.why {
        // Where no close focus was given, optics set the limit.
        OffScale::InsideCloseFocus(_) if law.ring().close_focus.is_none() => {
            let closest = Reach::At(law.lens().closest());
            (FocusDistance::computed(closest), RingEnd::Optics)
        }
        OffScale::InsideCloseFocus(close) => (close, RingEnd::CloseFocus),
        OffScale::OutsideMarks(nearest) => (nearest, RingEnd::Marks),
    };
    Unanswerable::OnTheWay {
        time: pull.time(untold.spot.way, &mut ()),
        taped: untold.spot.taped,
        nearest,
        end,
    }
}

fn turn_between(one: &RingRow, other: &RingRow, rec: &mut impl Record) -> Option<Angle> {
    let both = one.position.zip(other.position);
    both.map(|(one, other)| Angle::deg(ring_turn(other.to_deg(), one.to_deg(), rec)))
}

fn arc_between(one: &RingRow, other: &RingRow) -> Option<Length> {
    let both = one.arc.zip(other.arc);
    both.map(|(one, other)| (other - one).abs())
}

fn direction(from: FocusDistance, to: FocusDistance) -> &'static str {
    if to.is_nearer_than(from) {
        "toward_close_focus"
    } else if from.is_nearer_than(to) {
        "toward_infinity"
    } else {
        "none"
    }
}

/// What is to be said of a moving subject: how to keep out of a vehicle's way, and
/// what a frame that stands means.
fn notes(pull: Pull, speed: Option<Length>, path: &SubjectPath) -> Vec<Assumption> {
    let speed = match pull {
        Pull::At(speed) => Some(speed),
        Pull::Unsaid | Pull::Within(_) => speed.and_then(Speed::each_second),
    };
    let vehicle = speed.filter(|speed| speed.is_a_vehicles());
    let vehicle = vehicle.map(|_| Assumption::new("vehicle", VEHICLE));
    let frame = path.frame_stands().then(|| {
        Assumption::new(
            "frame_stands",
            "the frame stands still: focus counts along its axis, and each moment says how far \
             beside it the subject is",
        )
    });
    vehicle.into_iter().chain(frame).collect()
}

/// The caution that goes with a vehicle, and with whatever is as fast.
pub const VEHICLE: &str = "caution, a vehicle or as fast as one: nobody stands or tapes in its way \
    or beside it; measure only while nothing moves, on the first assistant director's word; local \
    rules and the stunt and safety people come first";
