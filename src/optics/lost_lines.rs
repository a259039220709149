//! Lines so fine that a blur as large as the circle of confusion takes them.
//!
//! For a focus target: lines that are seen to vanish when focus is off by the
//! circle, and not before. By geometry alone, the blur disc of diameter c leaves
//! of lines p' apart the contrast 2 J1(a)/a with a = π c/p'; the period on the
//! object is p'/m.
//!
//! - Bars with sharp edges keep a little more than a wave of the same period:
//!   4/π of it where what is left of their overtones is small (Coltman, J. Opt.
//!   Soc. Am. 44, 1954; from memory). Of a tenth that is 0.127, and they are gone at 1.14 circles.
//! - Diffraction fills in what a blur takes: in green light and with a circle of
//!   0.025 mm a tenth is left at 1.03 circles at f/1.4, at 1.10 at f/4, at 1.22 at
//!   f/8 (`tests/print/target.rs`). So eyes focus wide open.
//! - The magnification is that of the sharp focus. With the ring set off by the
//!   circle the image is a few thousandths larger or smaller; the stop does not
//!   matter otherwise, for blur is counted in the image.
//! - Of a lens that squeezes the vertical meridian counts, and lines both ways
//!   are the same: as blur on the object its disc is round.

use super::confusion::Circle;
use super::detail::defocus;
use super::focused::Focused;
use super::otf::{FIRST_LOBE, otf};
use crate::formula::{How, Record, Told, formula};
use crate::numerics::root_between;
use crate::units::{Length, Ratio, SpatialFrequency};

formula! {
    /// The frequency whose contrast a blur b brings down to what is wanted.
    lost_frequency(a: ratio, b: mm) -> nu: per_mm = a / (pi * b);
    source "a = pi b nu turned round; a is where the blur disc's transfer function 2 J1(a)/a first comes down to the contrast (Goodman, Fourier Optics, 6.4, far out of focus; from memory)"
}

formula! {
    /// The period on the object of lines of some frequency in the image.
    object_period(nu: per_mm, m: ratio) -> period: mm = 1.0 / (nu * m);
    source "similar triangles: the image is m times as large as the object, 1/nu is its period"
}

/// The frequency of lines of which a blur as large as the circle leaves so much
/// contrast and no more, by geometry alone.
///
/// - `left`: the contrast, between 0 and 1.
/// - Source: the transfer function of a uniform disc, 2 J1(a)/a with a = π b ν,
///   whose first crossing of a contrast is the only one before its first zero.
#[must_use]
pub fn frequency_lost_at(circle: Circle, left: Ratio, rec: &mut impl Record) -> SpatialFrequency {
    let b = circle.diameter().to_mm();
    let short = |a: f64| otf(a, 0.0) - left.value();
    // It is 1 at 0 and below zero at the end of the first lobe: there is a root.
    let a = root_between(short, 0.0, FIRST_LOBE).unwrap_or(FIRST_LOBE);
    let how = How::Solved {
        bracket: (0.0, FIRST_LOBE),
        residual: short(a),
    };
    let nu = lost_frequency(a, b, &mut ());
    defocus(b, nu, &mut Told { rec, how });
    SpatialFrequency::computed(lost_frequency(a, b, rec))
}

impl Focused {
    /// How far apart lines stand on the object whose image has a frequency;
    /// `None` at infinity focus, whose image is no size of the object's.
    #[must_use]
    pub fn object_period(
        &self,
        frequency: SpatialFrequency,
        rec: &mut impl Record,
    ) -> Option<Length> {
        let m = self.magnification().value();
        (m > 0.0).then(|| Length::mm(object_period(frequency.value(), m, rec)))
    }
}
