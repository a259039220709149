//! Conjugate distances: where the lens stands for an object at D.
//!
//! 1/u + 1/v = 1/f and D = u + e + v give a quadratic with one root for the
//! camera's ordinary range (m ≤ 1) and one for the macro range (m ≥ 1). The
//! magnification comes from the longer root alone, in Newton's form: the shorter
//! one as a difference would lose half the digits at long distances.

use core::fmt;

use crate::formula::{How, Record, Told, formula};
use crate::units::{FocusDistance, Length, Reach};

/// Image size over object size, at or above zero; zero is infinity focus.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Magnification(f64);

impl Magnification {
    /// That of infinity focus.
    pub const INFINITY_FOCUS: Self = Self(0.0);

    /// A result of a formula.
    pub(crate) const fn computed(value: f64) -> Self {
        Self(value)
    }

    /// The plain ratio.
    #[must_use]
    pub const fn value(self) -> f64 {
        self.0
    }
}

#[cfg(feature = "serde")]
impl serde::Serialize for Magnification {
    fn serialize<S: serde::Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        out.serialize_f64(self.0)
    }
}

/// Which of the two settings that focus on one distance is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Branch {
    /// m ≤ 1: the camera's ordinary range.
    #[default]
    Far,
    /// m ≥ 1: larger than life.
    Macro,
}

/// No setting of this lens focuses there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OutOfReach {
    /// Nearer than four focal lengths and the hiatus: no image can be formed
    /// on the image plane at all.
    Inside4f {
        /// The nearest distance any setting could focus, from the image plane.
        nearest: Length,
    },
    /// The macro setting for infinity does not exist.
    MacroAtInfinity,
    /// Nearer than what is known of the lens, or than it goes with what is
    /// attached.
    InsideRows {
        /// The nearest distance it is told for, from the image plane.
        nearest: Length,
    },
    /// Farther than the lens reaches with what is attached.
    BeyondFarthest {
        /// The farthest distance any setting focuses on, from the image plane.
        farthest: Length,
    },
    /// A mark of the lens's own scale lies beyond infinity with what is attached.
    MarkBeyondInfinity {
        /// The farthest mark that still has a focus, if one has.
        farthest: Option<Length>,
    },
}

impl fmt::Display for OutOfReach {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Inside4f { nearest } => write!(
                f,
                "no lens of this focal length and hiatus can focus nearer than {:.2} mm from the \
                 image plane (four focal lengths and the hiatus)",
                nearest.to_mm()
            ),
            Self::MacroAtInfinity => f.write_str("there is no macro setting for infinity"),
            Self::InsideRows { nearest } => write!(
                f,
                "this lens, with what is attached to it, goes no nearer than {:.2} mm from the \
                 image plane, as far as it is told",
                nearest.to_mm()
            ),
            Self::BeyondFarthest { farthest } => write!(
                f,
                "with what is attached the lens focuses no farther than {:.2} mm from the image \
                 plane",
                farthest.to_mm()
            ),
            Self::MarkBeyondInfinity { farthest } => {
                f.write_str("with what is attached that mark lies beyond infinity")?;
                match farthest {
                    Some(mark) => write!(
                        f,
                        "; the farthest mark that still focuses is {:.0} mm",
                        libm::floor(mark.to_mm())
                    ),
                    None => f.write_str(", as all marks do"),
                }
            }
        }
    }
}

impl core::error::Error for OutOfReach {}

formula! {
    /// The conjugate distances' sum, object to H plus H' to image.
    conjugate_sum(D: mm, e: mm) -> L: mm = D - e;
    source "thick lens: D = u + e + v (Hecht, Optics, ch. 6)"
}

formula! {
    /// The longer of the two conjugate distances.
    longer_conjugate(L: mm, f: mm) -> long: mm = (L + sqrt(L * (L - 4.0 * f))) / 2.0;
    source "root of u^2 - L u + f L = 0, from 1/u + 1/v = 1/f"
}

formula! {
    /// Magnification in the ordinary range: the object stands at the longer one.
    magnification_far(f: mm, long: mm) -> m: ratio = f / (long - f);
    source "m = f / (u - f) (Newton's form of the lens equation), u the longer one"
}

formula! {
    /// Magnification in the macro range: the image stands at the longer one.
    magnification_macro(long: mm, f: mm) -> m: ratio = (long - f) / f;
    source "m = (v - f) / f (Newton's form of the lens equation), v the longer one"
}

formula! {
    /// The distance between object and image at a magnification.
    distance_at(e: mm, f: mm, m: ratio) -> D: mm = e + f * (2.0 + m + 1.0 / m);
    source "u = f (1 + 1/m), v = f (1 + m) (Newton's form of the lens equation)"
}

formula! {
    /// The focal length that gives a magnification at a distance.
    focal_length_for(D: mm, e: mm, m: ratio) -> f: mm = (D - e) / (2.0 + m + 1.0 / m);
    source "D = e + f (2 + m + 1/m), solved for f"
}

formula! {
    /// Magnification at a setting when the image plane is y farther from the
    /// lens.
    displaced_magnification(m: ratio, y: mm, f: mm) -> m_y: ratio = m + y / f;
    source "Newton: the image distance from the focal point, f m, grows by y"
}

formula! {
    /// Magnification at a setting before the image plane moved y farther from the
    /// lens.
    undisplaced_magnification(m: ratio, y: mm, f: mm) -> m_0: ratio = m - y / f;
    source "Newton: the image distance from the focal point is f m; f is that of this m_0"
}

formula! {
    /// The magnification of a lens in focus, whatever its kind.
    in_focus(q: mm, D: mm, t: mm) -> m: ratio = q / (D - t);
    source "q = m s with s = D - t; q and t are those of this m"
}

formula! {
    /// Where a lens is focused, whatever its kind.
    focus_of(q: mm, m: ratio, t: mm) -> D: mm = q / m + t;
    source "s = q/m from the entrance pupil, and the pupil's station"
}

formula! {
    /// The magnification that makes a width fill the gate.
    magnification_for_width(w: mm, framed: mm) -> m: ratio = w / framed;
    source "definition of magnification"
}

formula! {
    /// At the closest distance the conjugates are equal.
    closest_sum(f: mm) -> L: mm = 4.0 * f;
    source "the roots of u^2 - L u + f L = 0 meet at L = 4 f"
}

/// The magnification of a lens (f, e) focused at `distance`.
pub(super) fn magnification(
    f: Length,
    e: Length,
    distance: FocusDistance,
    branch: Branch,
    rec: &mut impl Record,
) -> Result<Magnification, OutOfReach> {
    let (f, e) = (f.to_mm(), e.to_mm());
    let Reach::At(distance) = distance.reach() else {
        return match branch {
            Branch::Far => Ok(Magnification(0.0)),
            Branch::Macro => Err(OutOfReach::MacroAtInfinity),
        };
    };
    let mut sum = conjugate_sum(distance.to_mm(), e, rec);
    let least = 4.0 * f;
    if sum < least {
        // What is typed as exactly the closest distance may fall a rounding short.
        if sum < least * (1.0 - 1e-12) {
            return Err(OutOfReach::Inside4f {
                nearest: Length::mm(e + least),
            });
        }
        let how = How::Chosen {
            because: "the closest distance, to the last digits",
        };
        sum = closest_sum(f, &mut Told { rec, how });
    }
    let long = longer_conjugate(sum, f, rec);
    let m = match branch {
        Branch::Far => magnification_far(f, long, rec),
        Branch::Macro => magnification_macro(long, f, rec),
    };
    Ok(Magnification(m))
}
