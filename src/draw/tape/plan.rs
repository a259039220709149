//! How long a tape is, what stands at its ends, and where it is divided.

use crate::sheets::Tape;
use crate::units::Length;

/// Between the last mark and the end or the tail.
pub(super) const END: Length = Length::mm(4.0);
/// Between a joint and the end of the scale, so that figures have room.
const FROM_END: Length = Length::mm(12.0);
/// Hatched beyond a hard stop.
pub(super) const HATCH: Length = Length::mm(2.4);
/// Kept beyond a joint, to be stuck under the next piece.
pub(super) const TAB: Length = Length::mm(9.0);
/// Before a joint, to be cut off.
pub(super) const FLAP: Length = Length::mm(9.0);
/// A piece with less scale than this is not worth a joint.
const LEAST_PIECE: Length = Length::mm(20.0);

/// A tape from end to end; places along the scale, growing toward close focus.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Plan {
    /// The end nearer infinity.
    pub(super) from: Length,
    /// The other end.
    pub(super) to: Length,
    /// Where the ring stops beyond infinity, if it is drawn.
    pub(super) far_stop: Option<Length>,
    /// Where it stops beyond close focus, if it is drawn.
    pub(super) near_stop: Option<Length>,
    /// Where the tail begins; it ends with the tape.
    pub(super) tail: Option<Length>,
    /// Whether the two ends meet round the ring.
    pub(super) closes: bool,
}

/// What a plan is made to fit.
#[derive(Clone, Copy, Debug)]
pub(super) struct Room {
    /// The length of tail wished for.
    pub(super) tail: Length,
    /// The shortest tail that says anything.
    pub(super) least_tail: Length,
    /// The longest piece that can be printed.
    pub(super) piece: Length,
    /// Room beyond the first and the last mark, where there is any.
    pub(super) end: Length,
    /// Whether hard stops are drawn.
    pub(super) stops: bool,
}

impl Plan {
    pub(super) fn of(tape: &Tape, room: Room) -> Self {
        let (far, near) = reach(tape);
        let drawn = |beyond: Option<Length>| beyond.filter(|_| room.stops);
        let mut far_stop = drawn(tape.before).map(|beyond| far.min(-beyond));
        let mut near_stop = drawn(tape.after).map(|beyond| near.max(tape.length + beyond));
        let core = |far_stop: Option<Length>, near_stop: Option<Length>| {
            near_stop.unwrap_or(near) - far_stop.unwrap_or(far)
        };
        // A stop that would come to lie on the tape itself is left to the words.
        if tape
            .round
            .is_some_and(|round| core(far_stop, near_stop) > round)
        {
            near_stop = None;
        }
        if tape
            .round
            .is_some_and(|round| core(far_stop, near_stop) > round)
        {
            far_stop = None;
        }
        let core = core(far_stop, near_stop);
        let end = |stop: Option<Length>| if stop.is_some() { HATCH } else { room.end };
        let (mut far_end, mut near_end) = (end(far_stop), end(near_stop));
        let spare = tape.round.map(|round| Length::ZERO.max(round - core));
        if let Some(spare) = spare.filter(|&spare| far_end + near_end > spare) {
            (far_end, near_end) = (spare / 2.0, spare / 2.0);
        }
        let left = spare.map(|spare| spare - far_end - near_end);
        let mut tail = Some(left.map_or(room.tail, |left| left.min(room.tail)))
            .filter(|&tail| tail >= room.least_tail);
        let length = |tail: Option<Length>| core + far_end + near_end + tail.unwrap_or_default();
        // Rather a slimmer tail than a joint.
        let over = length(tail) - room.piece;
        // The last piece has the whole tail and a little of the scale.
        let beyond = near_stop.unwrap_or(near) - near + near_end;
        let longest = room.piece - FLAP - FROM_END - beyond;
        tail = match tail {
            Some(tail) if over.is_positive() && tail - over >= room.least_tail => Some(tail - over),
            // Rather the words in the rows of the tape.
            Some(_) if over.is_positive() && length(None) <= room.piece => None,
            Some(tail) if over.is_positive() => {
                Some(tail.min(longest)).filter(|&tail| tail >= room.least_tail)
            }
            other => other,
        };
        let natural = length(tail);
        // Ends that meet prove the circumference; worth a longer tail, not a joint.
        let closing = tape.round.filter(|&round| {
            let in_pieces = natural > room.piece;
            let tail = tail.map_or(Length::ZERO, |tail| tail + round - natural);
            natural >= round * 0.75
                && (in_pieces || round <= room.piece)
                && (!in_pieces || tail <= longest)
        });
        if let Some(round) = closing {
            let more = round - natural;
            match &mut tail {
                Some(tail) => *tail = *tail + more,
                None => {
                    far_end = far_end + more / 2.0;
                    near_end = near_end + more / 2.0;
                }
            }
        }
        let from = far_stop.unwrap_or(far) - far_end;
        let scale_end = near_stop.unwrap_or(near) + near_end;
        let to = match (closing, tail) {
            // Exactly once round, whatever the sums above have lost.
            (Some(round), _) => from + round,
            (None, Some(tail)) => scale_end + tail,
            (None, None) => scale_end,
        };
        Self {
            from,
            to,
            far_stop,
            near_stop,
            tail: tail.map(|_| scale_end),
            closes: closing.is_some(),
        }
    }

    pub(super) fn length(&self) -> Length {
        self.to - self.from
    }
}

/// The first and the last mark, alignment included unless that stands so far
/// off that the tape would cover itself.
fn reach(tape: &Tape) -> (Length, Length) {
    let first = tape.marks.first().map_or(Length::ZERO, |tick| tick.at);
    let last = tape.marks.last().map_or(tape.length, |tick| tick.at);
    let (far, near) = (first.min(tape.length), last.max(tape.length));
    let lined_up = [
        Some(tape.align.at),
        tape.check.as_ref().map(|check| check.at),
    ];
    let (wide_far, wide_near) = lined_up
        .into_iter()
        .flatten()
        .fold((far, near), |(low, high), at| (low.min(at), high.max(at)));
    match tape.round {
        Some(round) if wide_near - wide_far > round => (far, near),
        _ => (wide_far, wide_near),
    }
}

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
    if plan.length() <= longest {
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
