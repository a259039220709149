//! The figures of a card: depth rounded to the safe side.

use super::between;
use crate::answers::DepthRow;
use crate::units::show::{Round, Step, rounded, rounded_length, step_for};
use crate::units::{FocusDistance, Length, Reach, Unit};

/// Beyond this, figures go in whole feet or metres: no tape is longer, and a
/// figure of few digits is read at a glance.
const LONG_TAPE: Length = Length::m(30.0);
/// A finite far limit beyond this is shown as this: it is still true.
const FARTHEST: Length = Length::m(9000.0);

/// To which side of the focus.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Miss {
    /// Toward the camera.
    Nearer,
    /// Away from it.
    Farther,
}

/// A limit of a row, rounded toward its focus.
pub(super) fn limit(row: &DepthRow, limit: FocusDistance, unit: Unit) -> String {
    let Reach::At(length) = limit.reach() else {
        return "∞".into();
    };
    let round = if limit.is_nearer_than(row.focus) {
        Round::Up
    } else {
        Round::Down
    };
    figure(length.min(FARTHEST), step(row, length, unit), round)
}

/// How far the subject may be off the mark, rounded down, with its sign: in feet
/// and inches, or in centimetres.
pub(super) fn miss(row: &DepthRow, miss: Miss, unit: Unit) -> String {
    let (near, far) = row.limits_to_trust();
    let focus = row.focus.reach();
    if row.focus.is_infinite() {
        return String::new();
    }
    let (sign, limit, size) = match miss {
        Miss::Nearer => ('−', near.reach(), between(near.reach(), focus)),
        Miss::Farther => ('+', far.reach(), between(focus, far.reach())),
    };
    match (limit, size) {
        (Reach::At(limit), Reach::At(size)) => {
            let (size, step) = (size.min(FARTHEST), step(row, limit, unit));
            match unit {
                Unit::Feet => format!("{sign}{}", figure(size, step, Round::Down)),
                Unit::Metres => format!("{sign}{}", in_cm(size, step)),
            }
        }
        _ => format!("{sign}∞"),
    }
}

/// A miss in centimetres, from 10 m in whole metres; rounded down.
fn in_cm(size: Length, step: Step) -> String {
    let size = rounded_length(size, step, Round::Down);
    if size >= Length::m(10.0) {
        return figure(size, Step::TenthsOfMm(10_000), Round::Down);
    }
    // Steps are whole tenths of a millimetre.
    format!("{} cm", libm::round(size.to_mm() * 10.0) / 100.0)
}

/// A hyperfocal distance, rounded up.
pub(super) fn outward(length: Length, unit: Unit) -> String {
    let step = long_step(length, unit)
        .unwrap_or_else(|| step_for(Reach::At(length), unit, Reach::Infinity));
    figure(length, step, Round::Up)
}

/// The step of a row's figures on the side of one limit: that of the limit or
/// of the focus, whichever is coarser, if the depth has four of it.
fn step(row: &DepthRow, limit: Length, unit: Unit) -> Step {
    let (near, far) = row.limits_to_trust();
    let depth = between(near.reach(), far.reach());
    let enough = |step: &Step| match depth {
        Reach::At(depth) => depth >= step.length() * 4.0,
        Reach::Infinity => true,
    };
    let of_focus = step_for(row.focus.reach(), unit, depth);
    let of_limit = step_for(Reach::At(limit), unit, depth);
    let usual = if of_limit.length() > of_focus.length() {
        of_limit
    } else {
        of_focus
    };
    long_step(limit, unit).filter(enough).unwrap_or(usual)
}

fn long_step(length: Length, unit: Unit) -> Option<Step> {
    (length > LONG_TAPE).then_some(match unit {
        Unit::Feet => Step::Inch64ths(12 * 64),
        Unit::Metres => Step::TenthsOfMm(10_000),
    })
}

fn figure(length: Length, step: Step, round: Round) -> String {
    let figure = rounded(length, step, round);
    match step {
        // Whole metres without decimals that would claim more.
        Step::TenthsOfMm(10_000) => figure.replace(".00 m", " m"),
        _ => figure,
    }
}
