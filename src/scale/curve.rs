//! Position as a function of magnification: a helicoid, or a curve through marks.

use super::marks::Through;
use crate::formula::{Record, formula};
use crate::optics::UnitFocus;
use crate::units::Gain;

formula! {
    /// Position of a helicoid from infinity.
    helicoid_position(G: deg_per_mm, f: mm, m: ratio) -> position: deg = G * f * m;
    source "the lens moves f m from infinity focus (Newton), the ring G degrees a millimetre"
}

/// Position as a function of magnification.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Curve {
    /// A helicoid that was computed.
    Helicoid(Gain),
    /// Through marks.
    Marks(Through),
}

impl Curve {
    /// The position at a magnification of a lens.
    pub(super) fn at(&self, m: f64, lens: UnitFocus, rec: &mut impl Record) -> f64 {
        match self {
            Self::Helicoid(gain) => {
                helicoid_position(gain.value(), lens.focal_length().to_mm(), m, rec)
            }
            Self::Marks(through) => through.at(m, lens, rec),
        }
    }

    /// The same without its steps, and so at once.
    pub(super) fn place(&self, m: f64, lens: UnitFocus) -> f64 {
        match self {
            Self::Helicoid(gain) => {
                helicoid_position(gain.value(), lens.focal_length().to_mm(), m, &mut ())
            }
            Self::Marks(through) => through.place(m),
        }
    }
}
