//! The figures of a card: depth rounded to the safe side.

use super::between;
use crate::answers::DepthRow;
use crate::units::show::{Round, Step, rounded, rounded_length, step_for};
use crate::units::{FocusDistance, Length, Reach, Unit};

/// Limits beyond this, or farther than [`LONG_WAY`] from the focus, go in whole
/// feet or metres: no tape is longer, and few digits are read at a glance.
const LONG_TAPE: Length = Length::m(30.0);
/// See [`LONG_TAPE`].
const LONG_WAY: Length = Length::m(6.0);
/// A finite far limit beyond this, and beyond four times the focus, is shown as
/// the larger of them: it is still true.
const FARTHEST: Length = Length::m(300.0);
/// From here on, misses go in whole inches or centimetres.
const LONG_MISS: Length = Length::inches(12.0);

/// To which side of the focus.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Miss {
    /// Toward the camera.
    Nearer,
    /// Away from it.
    Farther,
}

/// A limit of a row, rounded toward its focus.
pub(in crate::sheets) fn limit(row: &DepthRow, limit: FocusDistance, unit: Unit) -> String {
    let Reach::At(length) = limit.reach() else {
        return "∞".into();
    };
    if limit.is_nearer_than(row.focus) {
        figure(length, step(row, length, unit), Round::Up)
    } else {
        figure(shown_far(row, length), step(row, length, unit), Round::Down)
    }
}

/// The nearest taped distance that is sharp at the frame's edge, rounded up.
pub(super) fn near_at_edge(row: &DepthRow, near: Length, unit: Unit) -> String {
    figure(near, step(row, near, unit), Round::Up)
}

/// A far limit, or as much of it as is shown.
fn shown_far(row: &DepthRow, far: Length) -> Length {
    let focus = row.focus.reach().finite().unwrap_or(Length::ZERO);
    far.min(FARTHEST.max(focus * 4.0))
}

/// How far the subject may be off the mark, rounded down, with its sign: in feet
/// and inches, or in centimetres.
pub(super) fn miss(row: &DepthRow, miss: Miss, unit: Unit) -> String {
    let (near, far) = row.limits_to_trust();
    let Reach::At(focus) = row.focus.reach() else {
        return String::new();
    };
    let (sign, limit) = match miss {
        Miss::Nearer => ('−', near.reach()),
        Miss::Farther => ('+', far.reach()),
    };
    let Reach::At(limit) = limit else {
        return format!("{sign}∞");
    };
    let size = match miss {
        Miss::Nearer => focus - limit,
        Miss::Farther => shown_far(row, limit) - focus,
    };
    let mut step = step(row, limit, unit);
    if size >= LONG_MISS && step.length() < whole_step(unit).length() {
        step = whole_step(unit);
    }
    match unit {
        Unit::Feet => format!("{sign}{}", figure(size, step, Round::Down)),
        Unit::Metres => format!("{sign}{}", in_cm(size, step)),
    }
}

/// A miss in centimetres, or in metres where the step is one; rounded down.
fn in_cm(size: Length, step: Step) -> String {
    if step == long_step(Unit::Metres) {
        return figure(size, step, Round::Down);
    }
    let size = rounded_length(size, step, Round::Down);
    // Steps are whole tenths of a millimetre.
    format!("{} cm", libm::round(size.to_mm() * 10.0) / 100.0)
}

/// The step of a figure that stands alone.
fn step_alone(length: Length, unit: Unit) -> Step {
    if length > LONG_TAPE {
        long_step(unit)
    } else {
        step_for(Reach::At(length), unit, Reach::Infinity)
    }
}

/// A hyperfocal distance, rounded up.
pub(in crate::sheets) fn outward(length: Length, unit: Unit) -> String {
    figure(length, step_alone(length, unit), Round::Up)
}

/// The length that [`outward`] shows.
pub(in crate::sheets) fn outward_length(length: Length, unit: Unit) -> Length {
    rounded_length(length, step_alone(length, unit), Round::Up)
}

/// A width or height that is surely in the frame, rounded down.
pub(in crate::sheets) fn inward(length: Length, unit: Unit) -> String {
    figure(length, step_alone(length, unit), Round::Down)
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
    let long_way = match row.focus.reach() {
        Reach::At(focus) => (limit - focus).abs() > LONG_WAY,
        Reach::Infinity => false,
    };
    let long = long_step(unit);
    if (limit > LONG_TAPE || long_way) && enough(&long) {
        long
    } else {
        usual
    }
}

const fn whole_step(unit: Unit) -> Step {
    match unit {
        Unit::Feet => Step::Inch64ths(64),
        Unit::Metres => Step::TenthsOfMm(100),
    }
}

const fn long_step(unit: Unit) -> Step {
    match unit {
        Unit::Feet => Step::Inch64ths(12 * 64),
        Unit::Metres => Step::TenthsOfMm(10_000),
    }
}

fn figure(length: Length, step: Step, round: Round) -> String {
    let figure = rounded(length, step, round);
    match step {
        // Whole metres without decimals that would claim more.
        Step::TenthsOfMm(10_000) => figure.replace(".00 m", " m"),
        _ => figure,
    }
}
