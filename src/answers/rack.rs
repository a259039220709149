//! The turn of the ring from one distance to another, and how fast.

use core::time::Duration;

use super::{RingAnswer, RingRow, Unanswerable, ring};
use crate::formula::{Record, formula};
use crate::gear::{DepthSetup, Gearing, Sense, Speed, knob_turn};
use crate::scale::{RingLaw, seconds_of, speed_for};
use crate::units::{Angle, FocusDistance, Length};

formula! {
    /// The turn of the ring.
    ring_turn(position_to: deg, position_from: deg) -> turn: deg
        = sqrt((position_to - position_from) * (position_to - position_from));
    source "the difference of the positions"
}

/// How long a pull takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pull {
    /// Nobody said.
    Unsaid,
    /// So long.
    Within(Duration),
    /// As long as a subject at this speed along the axis.
    At(Speed),
}

/// A rack: from one distance to another.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct RackAnswer {
    /// How far the ring turns; absent where marks are in mm on a ring of unknown
    /// size.
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
    /// How long it takes, where said or following from the speed.
    pub seconds: Option<f64>,
    /// How fast the subject goes, where said or following from the time.
    #[cfg_attr(feature = "serde", serde(rename = "speed_mm_per_s"))]
    pub speed: Option<Length>,
    /// The fastest the ring turns on the way, in one second, the subject going
    /// at a constant speed along the axis.
    #[cfg_attr(feature = "serde", serde(rename = "peak_deg_per_s"))]
    pub fastest: Option<Angle>,
    /// Where the subject then is.
    #[cfg_attr(feature = "serde", serde(rename = "fastest_at_mm"))]
    pub fastest_at: Option<FocusDistance>,
    /// Where it begins.
    pub from: RingRow,
    /// Where it ends.
    pub to: RingRow,
    /// The answer both rows belong to, with what it rests on.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub ring: RingAnswer,
}

/// The turn from one distance to another.
///
/// # Errors
/// [`Unanswerable`] for a distance the lens does not reach or no mark tells.
pub fn rack(
    law: &RingLaw,
    setup: &DepthSetup,
    (from, to): (FocusDistance, FocusDistance),
    pull: Pull,
    (sense, gearing): (Option<Sense>, Option<Gearing>),
    rec: &mut impl Record,
) -> Result<RackAnswer, Unanswerable> {
    let answer = ring(law, setup, &[from, to], (None, gearing), rec)?;
    let [begin, end] = &answer.rows[..] else {
        return Err(Unanswerable::BeyondInfinity);
    };
    let (begin, end) = (begin.clone(), end.clone());
    let turn = begin
        .position
        .zip(end.position)
        .map(|(begin, end)| Angle::deg(ring_turn(end.to_deg(), begin.to_deg(), rec)));
    let knob = turn
        .zip(gearing)
        .map(|(turn, gearing)| knob_turn(turn, gearing, rec));
    let direction = if to.is_nearer_than(from) {
        "toward_close_focus"
    } else if from.is_nearer_than(to) {
        "toward_infinity"
    } else {
        "none"
    };
    let (seconds, speed) = match pull {
        Pull::Unsaid => (None, None),
        Pull::Within(time) => {
            let seconds = time.as_secs_f64();
            (Some(seconds), speed_for(from, to, seconds, rec))
        }
        Pull::At(speed) => {
            let each_second = speed.in_one_second();
            (seconds_of(from, to, each_second, rec), Some(each_second))
        }
    };
    let fastest = speed.and_then(|speed| law.fastest_turn(from, to, speed, rec));
    Ok(RackAnswer {
        turn,
        direction,
        ring_turns: sense.and_then(|sense| match direction {
            "toward_close_focus" => Some(sense.name()),
            "toward_infinity" => Some(sense.reversed().name()),
            _ => None,
        }),
        arc: begin
            .arc
            .zip(end.arc)
            .map(|(begin, end)| (end - begin).abs()),
        knob,
        seconds,
        speed,
        fastest: fastest.map(|fastest| fastest.turn),
        fastest_at: fastest.map(|fastest| fastest.at),
        from: begin,
        to: end,
        ring: answer,
    })
}
