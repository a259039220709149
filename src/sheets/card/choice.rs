//! Which distances a card has lines for.

use core::cmp::Ordering;

use super::{CardWish, MOST_LINES};
use crate::gear::{DepthSetup, Setup};
use crate::sheets::worth::{FINE, Worth, fine_marks, usual_marks};
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

/// So many lines are chosen before close focus where not all have room: what is
/// played that near is rare.
const BEFORE_CLOSE_FOCUS: usize = 4;

/// A distance that has a line, and how soon it is chosen where not all have room:
/// 0 goes first.
pub(in crate::sheets) type Ranked = (FocusDistance, usize);

/// The distances of a face, the nearest first: close focus, the worthiest of
/// the usual ones, and where `infinity` is wanted and the hyperfocal distance
/// lies among them, that.
pub(super) fn distances(
    setup: &DepthSetup,
    wish: &CardWish,
    hyperfocal: Option<Length>,
    infinity: bool,
) -> Vec<Ranked> {
    let marks = usual_marks(wish.unit);
    let can = |distance: FocusDistance| reachable(setup, wish, distance);
    let past = |distance: Reach<Length>| match distance {
        Reach::At(length) => hyperfocal.is_some_and(|hyperfocal| length >= hyperfocal),
        Reach::Infinity => true,
    };

    let mut chosen: Vec<FocusDistance> = Vec::new();
    let close = nearest(setup, wish).find(|&nearest| can(nearest));
    chosen.extend(close);
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
        let allowed = usual.iter();
        let allowed = allowed.filter(|(mark, _)| !past(mark.reach()) || beyond < BEYOND);
        let Some(mark) = best(allowed, &chosen) else {
            break;
        };
        chosen.push(mark);
    }
    if with_infinity {
        chosen.push(FocusDistance::INFINITY);
    }
    ranked(chosen, close)
}

/// In the order in which they lie before the camera, each with its rank.
fn ranked(mut chosen: Vec<FocusDistance>, close: Option<FocusDistance>) -> Vec<Ranked> {
    if close.is_some() {
        // Chosen first, so that no other line stands beside it.
        let later = BEFORE_CLOSE_FOCUS.min(chosen.len() - 1);
        chosen[..=later].rotate_left(1);
    }
    let mut ranked: Vec<Ranked> = (0..).zip(chosen).map(|(rank, at)| (at, rank)).collect();
    ranked.sort_by(|a, b| {
        if a.0.is_nearer_than(b.0) {
            Ordering::Less
        } else {
            Ordering::Greater
        }
    });
    ranked
}

/// Whether the lens can be set there.
pub(super) fn reachable(setup: &DepthSetup, wish: &CardWish, distance: FocusDistance) -> bool {
    reaches(&setup.setup, wish.close_focus, distance)
}

/// Whether a lens of some close focus can be set to a distance.
pub(in crate::sheets) fn reaches(
    setup: &Setup,
    close_focus: FocusDistance,
    distance: FocusDistance,
) -> bool {
    // Close focus is that of the lens's own scale.
    let mark = setup.scale_reads(distance);
    mark.is_some_and(|mark| !mark.is_nearer_than(close_focus))
}

/// The worthiest of the usual distances that stand well apart and that one
/// can be set to, the nearest first; at most so many, infinity not among them.
pub(in crate::sheets) fn worthiest(
    unit: Unit,
    most: usize,
    can: impl Fn(FocusDistance) -> bool,
) -> Vec<Ranked> {
    let marks = usual_marks(unit).iter();
    let usual: Vec<_> = marks
        .filter(|(mark, _)| !mark.is_infinite() && can(*mark))
        .copied()
        .collect();
    let mut chosen: Vec<FocusDistance> = Vec::new();
    while chosen.len() < most {
        let Some(mark) = best(usual.iter(), &chosen) else {
            break;
        };
        chosen.push(mark);
    }
    ranked(chosen, None)
}

/// The mark that says most beside those chosen; among equals the farthest, for
/// the table runs from far to near.
fn best<'a>(
    usual: impl Iterator<Item = &'a (FocusDistance, Worth)>,
    chosen: &[FocusDistance],
) -> Option<FocusDistance> {
    usual
        .map(|(mark, worth)| (*mark, f64::from(worth.points()) * freshness(*mark, chosen)))
        .filter(|(_, value)| *value > 0.0)
        .reduce(|best, next| if next.1 > best.1 { next } else { best })
        .map(|(mark, _)| mark)
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
