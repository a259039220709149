//! A strip that says by a ring of known size how true a printer is.

use super::position::tape_arc;
use crate::formula::formula;
use crate::gear::Round;
use crate::units::Length;

formula! {
    /// Where on a strip it meets its own end round the ring, when 100 mm come out
    /// as `printed` from a page drawn for a printer whose 100 mm come out as
    /// `drawn_for`.
    strip_meets(length: mm, drawn_for: mm, printed: mm) -> x: mm = length * drawn_for / printed;
    source "the strip comes out printed/drawn_for times as long as it is drawn, and x of it is the way round"
}

/// How long a strip of some thickness is that just meets itself round a ring:
/// π (d + h).
#[must_use]
pub fn strip_round(diameter: Length, thickness: Length) -> Length {
    let bare = Round::Diameter(diameter).circumference();
    Length::mm(tape_arc(bare.to_mm(), thickness.to_mm(), 360.0, &mut ()))
}

/// Where such a strip meets its own end when 100 mm come out as `printed`, as
/// drawn, on a page drawn for a printer whose 100 mm come out as `drawn_for`.
#[must_use]
pub fn strip_meets_itself(round: Length, drawn_for: Length, printed: Length) -> Length {
    Length::mm(strip_meets(
        round.to_mm(),
        drawn_for.to_mm(),
        printed.to_mm(),
        &mut (),
    ))
}
