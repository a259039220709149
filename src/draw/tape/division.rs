//! Where a tape longer than the paper is divided.

use super::plan::{FROM_END, Plan, reach};
use crate::sheets::Tape;
use crate::units::Length;

/// Kept beyond a joint, to be stuck under the next piece.
pub(super) const TAB: Length = Length::mm(9.0);
/// Before a joint, to be cut off.
pub(super) const FLAP: Length = Length::mm(9.0);
/// A piece with less scale than this is not worth a joint.
const LEAST_PIECE: Length = Length::mm(20.0);

/// One piece of a tape.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Piece {
    /// Which it is, from 0.
    pub(super) number: usize,
    /// Of how many.
    pub(super) of: usize,
    /// Where its part of the scale begins: a joint but for the first.
    pub(super) from: Length,
    /// Where its part of the scale ends: a joint but for the last.
    pub(super) to: Length,
}

impl Piece {
    pub(super) const fn is_first(&self) -> bool {
        self.number == 0
    }

    pub(super) const fn is_last(&self) -> bool {
        self.number + 1 == self.of
    }

    /// Its cut ends, flap and tab included.
    pub(super) fn ends(&self) -> (Length, Length) {
        let flap = if self.is_first() { Length::ZERO } else { FLAP };
        let tab = if self.is_last() { Length::ZERO } else { TAB };
        (self.from - flap, self.to + tab)
    }

    /// The letter of the joint it begins or ends with.
    pub(super) fn letter(number: usize) -> char {
        (b'A'..=b'Z').nth(number).map_or('?', char::from)
    }
}

/// The fewest pieces no longer than `longest`, joints clear of every tick and of
/// the sharp dimension; `None` where there is no such division.
pub(super) fn pieces(tape: &Tape, plan: &Plan, longest: Length) -> Option<Vec<Piece>> {
    let whole = Piece {
        number: 0,
        of: 1,
        from: plan.from,
        to: plan.to,
    };
    // A tape made to fit exactly must not be cut for a rounding.
    if plan.length() <= longest + Length::mm(1e-6) {
        return Some(vec![whole]);
    }
    (2..=26).find_map(|count| {
        let joints = joints(tape, plan, longest, count)?;
        let ends: Vec<Length> = core::iter::once(plan.from)
            .chain(joints)
            .chain([plan.to])
            .collect();
        let pieces = ends.windows(2).enumerate().map(|(number, pair)| Piece {
            number,
            of: count,
            from: pair[0],
            to: pair[1],
        });
        Some(pieces.collect())
    })
}

fn joints(tape: &Tape, plan: &Plan, longest: Length, count: usize) -> Option<Vec<Length>> {
    let mut joints: Vec<Length> = Vec::new();
    let mut from = plan.from;
    for number in 1..count {
        let rest = (count - number) as f64;
        let flap = if number == 1 { Length::ZERO } else { FLAP };
        let even = from + (plan.to - from) / (rest + 1.0);
        // What is left must fit into the pieces that are left.
        let most_left = (longest - FLAP - TAB) * (rest - 1.0) + longest - FLAP;
        let low = (plan.to - most_left).max(from + LEAST_PIECE);
        // Never beyond the scale, where the ends and the tail are.
        let (far, near) = reach(tape);
        let low = low.max(far + FROM_END);
        let high = (from + longest - TAB - flap).min(near - FROM_END);
        let joint = clearest(tape, low, high, even)?;
        joints.push(joint);
        from = joint;
    }
    Some(joints)
}

/// The place between two others that is farthest from any tick, near the middle.
fn clearest(tape: &Tape, low: Length, high: Length, middle: Length) -> Option<Length> {
    const STEP: Length = Length::mm(0.25);
    const ENOUGH: Length = Length::mm(5.0);
    const LEAST: Length = Length::mm(0.7);
    let sharp = tape.sharp.as_ref().map(|sharp| {
        let wide = sharp.half + Length::mm(3.5);
        (sharp.at - wide, sharp.at + wide)
    });
    let ticks = || {
        let marks = tape
            .marks
            .iter()
            .chain(&tape.other_marks)
            .map(|tick| tick.at);
        let check = tape.check.as_ref().map(|check| check.at);
        marks.chain([tape.align.at]).chain(check)
    };
    let steps = ((high - low).to_mm() / STEP.to_mm()).floor();
    if steps < 0.0 {
        return None;
    }
    (0..=steps as u32)
        .map(|step| low + STEP * f64::from(step))
        .filter_map(|at| {
            let clear = ticks()
                .map(|tick| (tick - at).abs())
                .fold(ENOUGH, Length::min);
            let through = sharp.is_some_and(|(from, to)| at > from && at < to);
            // Rather no dimension than no tape.
            let cost = (at - middle).abs() * 0.05 + if through { ENOUGH } else { Length::ZERO };
            (clear >= LEAST).then(|| (clear - cost, at))
        })
        .max_by(|one, other| one.0.to_mm().total_cmp(&other.0.to_mm()))
        .map(|(_, at)| at)
}
