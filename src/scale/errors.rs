//! What tapes and readings may be off, where nobody said.

use crate::units::{Angle, FocusDistance, Length, Reach};

/// A reading or mark this many standard deviations off what the others say was
/// misread.
///
/// About 4.5 in the literature of the job; at 4.25 a good reading of fifteen is
/// still named in one clean day of a thousand, and of misreadings from 6 σ up
/// more than 99 in a hundred are (both counted in `tests/prep`).
pub(super) const STRANGE: f64 = 4.25;

/// What one setting or reading of a ring may be off.
pub(super) const RING_SD: Angle = Angle::deg(0.3);

/// What a tape may be off: 5 mm under 1 m, 10 mm to 2 m, 25 mm beyond; infinity
/// is not taped.
#[must_use]
pub fn tape_sd(taped: FocusDistance) -> Length {
    match taped.reach() {
        Reach::At(length) if length < Length::m(1.0) => Length::mm(5.0),
        Reach::At(length) if length <= Length::m(2.0) => Length::mm(10.0),
        Reach::At(_) => Length::mm(25.0),
        Reach::Infinity => Length::ZERO,
    }
}
