//! How long a tape is, and what stands at its ends.

use super::division::FLAP;
use crate::sheets::Tape;
use crate::units::Length;

/// Between the last mark and the end or the tail.
pub(super) const END: Length = Length::mm(4.0);
/// Between a joint and the end of the scale, so that figures have room.
pub(super) const FROM_END: Length = Length::mm(12.0);
/// Hatched beyond a hard stop.
pub(super) const HATCH: Length = Length::mm(2.4);

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

/// What a tail is worth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tail {
    /// No joint, where the tape's rows take the words.
    Usual,
    /// A joint.
    Joint,
    /// Nothing.
    None,
}

/// What a plan is made to fit.
#[derive(Clone, Copy, Debug)]
pub(super) struct Room {
    /// The length of tail wished for.
    pub(super) tail: Length,
    /// The shortest tail that says what it must.
    pub(super) least_tail: Length,
    /// What a tail is worth.
    pub(super) wish: Tail,
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
            .filter(|&tail| tail >= room.least_tail && room.wish != Tail::None);
        let length = |tail: Option<Length>| core + far_end + near_end + tail.unwrap_or_default();
        // Rather a slimmer tail than a joint.
        let over = length(tail) - room.piece;
        // The last piece has the whole tail and a little of the scale.
        let beyond = near_stop.unwrap_or(near) - near + near_end;
        let longest = room.piece - FLAP - FROM_END - beyond;
        tail = match tail {
            Some(tail) if over.is_positive() && tail - over >= room.least_tail => Some(tail - over),
            // Rather the words in the rows of the tape.
            Some(_)
                if over.is_positive() && length(None) <= room.piece && room.wish == Tail::Usual =>
            {
                None
            }
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
pub(super) fn reach(tape: &Tape) -> (Length, Length) {
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
