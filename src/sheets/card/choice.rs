//! Which distances a card has lines for.

use core::cmp::Ordering;

use super::{CardWish, MOST_LINES};
use crate::gear::DepthSetup;
use crate::sheets::worth::{FINE, fine_marks, usual_marks};
use crate::units::show::{Round, Step, rounded_length};
use crate::units::{FocusDistance, Length, Reach, Unit};

/// Two lines stand at least so far apart, as a factor: nearer together, one
/// says what the other does and takes the place of a third.
const APART: f64 = 1.08;
/// So far apart, a line is worth all it can be.
const FULLY_APART: f64 = 1.25;
/// With fewer usual distances in reach than this, the range is divided finer.
const FEW: usize = 5;
/// So many lines from the hyperfocal distance on: their far limit is infinity,
/// and the near limit moves little.
const BEYOND: usize = 1;

/// The distances of a face, the nearest first: close focus, the worthiest of
/// the usual ones, and where `infinity` is wanted and the hyperfocal distance
/// lies among them, that.
pub(super) fn distances(
    setup: &DepthSetup,
    wish: &CardWish,
    hyperfocal: Option<Length>,
    infinity: bool,
) -> Vec<FocusDistance> {
    let marks = usual_marks(wish.unit);
    let can = |distance: FocusDistance| reachable(setup, wish, distance);
    let past = |distance: Reach<Length>| match distance {
        Reach::At(length) => hyperfocal.is_some_and(|hyperfocal| length >= hyperfocal),
        Reach::Infinity => true,
    };

    let mut chosen: Vec<FocusDistance> = Vec::new();
    chosen.extend(nearest(setup, wish).filter(|&nearest| can(nearest)));
    let with_infinity = infinity
        && can(FocusDistance::INFINITY)
        && marks.iter().any(|(mark, _)| {
            let finite = !mark.is_infinite();
            finite && past(mark.reach()) && can(*mark)
        });
    let room = MOST_LINES - usize::from(with_infinity);

    let mut usual: Vec<_> = marks
        .iter()
        .copied()
        .filter(|(mark, _)| !mark.is_infinite() && can(*mark))
        .collect();
    if usual.len() < FEW {
        let fine = fine(setup, wish).into_iter().filter(|mark| can(*mark));
        usual.extend(fine.map(|mark| (mark, FINE)));
    }
    while chosen.len() < room {
        let beyond = chosen.iter().filter(|mark| past(mark.reach())).count();
        let best = usual
            .iter()
            .filter(|(mark, _)| !past(mark.reach()) || beyond < BEYOND)
            .map(|(mark, worth)| (*mark, f64::from(worth.points()) * freshness(*mark, &chosen)))
            .filter(|(_, value)| *value > 0.0)
            // Among equals the farthest, for the table runs from far to near.
            .reduce(|best, next| if next.1 > best.1 { next } else { best });
        let Some((mark, _)) = best else { break };
        chosen.push(mark);
    }
    if with_infinity {
        chosen.push(FocusDistance::INFINITY);
    }
    chosen.sort_by(|a, b| {
        if a.is_nearer_than(*b) {
            Ordering::Less
        } else {
            Ordering::Greater
        }
    });
    chosen
}

/// Whether the lens can be set there.
pub(super) fn reachable(setup: &DepthSetup, wish: &CardWish, distance: FocusDistance) -> bool {
    // Close focus is that of the lens's own scale.
    let mark = setup.setup.scale_reads(distance);
    mark.is_some_and(|mark| !mark.is_nearer_than(wish.close_focus))
}

/// Round distances in the range that something attached leaves the lens.
fn fine(setup: &DepthSetup, wish: &CardWish) -> Vec<FocusDistance> {
    let setup = &setup.setup;
    if !setup.fitted.voids_the_scale() {
        return Vec::new();
    }
    let of_mark = |mark| setup.focus_at_mark(mark)?.reach().finite();
    let ends = of_mark(wish.close_focus).zip(of_mark(FocusDistance::INFINITY));
    ends.map_or(Vec::new(), |(near, far)| fine_marks(wish.unit, near, far))
}

/// Close focus, or the next whole step beyond it: what stands on the card is
/// then what was reckoned with, whatever unit the lens is engraved in.
fn nearest(setup: &DepthSetup, wish: &CardWish) -> impl Iterator<Item = FocusDistance> {
    let close = setup.setup.focus_at_mark(wish.close_focus);
    let close = close.and_then(|close| close.reach().finite());
    let next = close.map(|close| rounded_length(close, step(close, wish.unit), Round::Up));
    next.into_iter()
        .map(|length| FocusDistance::computed(Reach::At(length)))
}

/// The step of the first line: as fine as the figures there deserve, and such
/// that a long lens begins at a distance people call.
fn step(close: Length, unit: Unit) -> Step {
    let under = |inches: f64| close <= Length::inches(inches);
    match unit {
        Unit::Feet if under(12.0) => Step::Inch64ths(16),
        Unit::Feet if under(72.0) => Step::Inch64ths(64),
        Unit::Feet if under(120.0) => Step::Inch64ths(6 * 64),
        Unit::Feet => Step::Inch64ths(12 * 64),
        Unit::Metres if under(12.0) => Step::TenthsOfMm(50),
        Unit::Metres if under(72.0) => Step::TenthsOfMm(100),
        Unit::Metres if under(120.0) => Step::TenthsOfMm(1000),
        Unit::Metres => Step::TenthsOfMm(5000),
    }
}

/// How much a line says that those chosen do not, from 0 to 1, by how far it
/// stands from the next.
fn freshness(mark: FocusDistance, chosen: &[FocusDistance]) -> f64 {
    let apart = |other: &FocusDistance| match (mark.reach(), other.reach()) {
        (Reach::At(one), Reach::At(other)) => {
            let ratio = one.max(other).ratio_to(one.min(other));
            ratio.map_or(f64::MAX, |ratio| ratio.value())
        }
        _ => f64::MAX,
    };
    let apart = chosen.iter().map(apart).fold(f64::MAX, f64::min);
    if apart < APART {
        0.0
    } else {
        ((apart - 1.0) / (FULLY_APART - 1.0)).min(1.0)
    }
}
