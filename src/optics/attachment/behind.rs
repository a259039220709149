//! Extenders, reducers, tubes and filters behind a lens.
//!
//! Whatever their order, together they do what one tube before one extender
//! does: added length behind an extender is less length before it, and a little
//! more factor.

use super::{CannotAttach, Numbers};
use crate::formula::{Record, formula};
use crate::optics::conjugate::{displaced_magnification, undisplaced_magnification};
use crate::units::Length;

formula! {
    /// The focal length of a lens with its extender.
    focal_length_extended(f: mm, E: ratio) -> f_E: mm = E * f;
    source "the image of the far world is E times as large"
}

formula! {
    /// The f-number of a lens with its extender.
    f_number_extended(N: f_number, E: ratio) -> N_E: f_number = E * N;
    source "E times the focal length behind the same pupil"
}

formula! {
    /// The T-number of a lens with its extender.
    t_number_extended(T: t_number, E: ratio) -> T_E: t_number = E * T;
    source "as the f-number; what light an extender itself loses is not counted"
}

formula! {
    /// An extender's factor on the magnification.
    magnification_extended(m: ratio, E: ratio) -> m_E: ratio = E * m;
    source "the image is E times as large"
}

formula! {
    /// The magnification before an extender.
    magnification_before_extender(m: ratio, E: ratio) -> m_0: ratio = m / E;
    source "the image is E times as large, solved for the one before it"
}

formula! {
    /// An extender's factor on the camera constant.
    camera_constant_extended(q: mm, E: ratio) -> q_E: mm = E * q;
    source "q = m s: the object's distance does not change"
}

formula! {
    /// The pupil's station behind an added length.
    pupil_station_lengthened(t: mm, y: mm) -> t_y: mm = t + y;
    source "the image plane is farther from the lens by y"
}

formula! {
    /// The camera constant when the image plane moves back by y.
    camera_constant_lengthened(q: mm, y: mm, p: ratio) -> q_y: mm = q + y / p;
    source "q = f (1 + m/p) with m grown by y/f"
}

formula! {
    /// How far a plate behind the lens moves the image back.
    plate_shift(thick: mm, index: ratio) -> y: mm = thick * (1.0 / index - 1.0);
    source "paraxial plate: thickness (1 - 1/n); the image plane is then too near by as much"
}

formula! {
    /// Two added lengths, one behind the other.
    lengths_together(y_1: mm, y_2: mm) -> y: mm = y_1 + y_2;
    source "lengths along the axis add"
}

formula! {
    /// Two extenders, one behind the other.
    factors_together(E_1: ratio, E_2: ratio) -> E: ratio = E_1 * E_2;
    source "each makes the image of the one before it E times as large"
}

formula! {
    /// An extender's factor when the image is taken y farther back.
    factor_with_length_behind(E: ratio, y: mm, L: mm) -> E_y: ratio
        = E + (E - 1.0) * (E - 1.0) * y / (E * L);
    source "thin extender that makes the whole longer by L: it stands a = L/(E - 1) before the lens's image and takes it E a behind itself; 1/v = 1/a + 1/f_E"
}

formula! {
    /// The length before an extender that does what y behind it does.
    length_before_extender(y: mm, E: ratio, E_y: ratio) -> y_0: mm = y / (E * E_y);
    source "thin extender: 1/a' = 1/(E a + y) - 1/f_E and y_0 = a' - a"
}

/// Something behind a lens, named from the lens to the image plane.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(
    feature = "serde",
    derive(serde::Serialize),
    serde(tag = "kind", rename_all = "snake_case")
)]
pub enum Behind {
    /// An extender (factor above 1) or reducer (below 1), and how much longer
    /// it makes the whole.
    Extender {
        /// Its factor.
        factor: f64,
        /// How much farther the lens stands from the image plane.
        #[cfg_attr(feature = "serde", serde(rename = "length_mm"))]
        length: Length,
    },
    /// An extension tube.
    Tube {
        /// How long it is.
        #[cfg_attr(feature = "serde", serde(rename = "length_mm"))]
        length: Length,
    },
    /// A filter the lens was not made for.
    Filter {
        /// Its thickness.
        #[cfg_attr(feature = "serde", serde(rename = "thickness_mm"))]
        thickness: Length,
        /// Its refractive index.
        index: f64,
    },
}

impl Behind {
    /// How much longer it makes the whole.
    const fn length(self) -> Length {
        match self {
            Self::Extender { length, .. } | Self::Tube { length } => length,
            Self::Filter { .. } => Length::ZERO,
        }
    }
}

/// How far a filter behind a lens moves its image back.
#[must_use]
pub fn image_moved_by_filter(thickness: Length, index: f64) -> Length {
    Length::ZERO - Length::mm(plate_shift(thickness.to_mm(), index, &mut ()))
}

/// What everything behind the lens does: a tube, then an extender.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Rear {
    /// How far the lens's image is taken behind its own place, in mm.
    pub length: f64,
    /// How many times as large it becomes.
    pub factor: f64,
}

impl Rear {
    /// Parts named from the lens to the image plane.
    pub fn of(parts: &[Behind], rec: &mut impl Record) -> Result<Self, CannotAttach> {
        let (mut length, mut factor) = (0.0, 1.0);
        for part in parts.iter().rev() {
            match *part {
                Behind::Tube { length: tube } => length = together(tube.to_mm(), length, rec),
                Behind::Filter { thickness, index } => {
                    let shift = plate_shift(thickness.to_mm(), index, rec);
                    length = together(shift, length, rec);
                }
                Behind::Extender {
                    factor: e,
                    length: l,
                } => {
                    let e = if length == 0.0 || e == 1.0 {
                        e
                    } else {
                        let l = l.to_mm();
                        // It stands l/(e - 1) before the lens's image.
                        if l / (e - 1.0) <= 0.0 {
                            return Err(CannotAttach::PlaceUnknown(*part));
                        }
                        let with = factor_with_length_behind(e, length, l, rec);
                        if with <= 0.0 {
                            return Err(CannotAttach::NoRealFocus);
                        }
                        length = length_before_extender(length, e, with, rec);
                        with
                    };
                    factor = if factor == 1.0 {
                        e
                    } else {
                        factors_together(e, factor, rec)
                    };
                }
            }
        }
        Ok(Self { length, factor })
    }

    /// The numbers of the lens, with focal length f and pupil magnification p
    /// at its setting, behind which these parts stand.
    pub fn behind(
        self,
        parts: &[Behind],
        lens: Numbers,
        (f, p): (f64, f64),
        rec: &mut impl Record,
    ) -> Numbers {
        let Numbers {
            mut q, mut m, a, ..
        } = lens;
        if self.length != 0.0 {
            m = displaced_magnification(m, self.length, f, rec);
            q = camera_constant_lengthened(q, self.length, p, rec);
        }
        if self.factor != 1.0 {
            m = magnification_extended(m, self.factor, rec);
            q = camera_constant_extended(q, self.factor, rec);
        }
        let lengths = parts.iter().map(|part| part.length().to_mm());
        let t = lengths
            .filter(|length| *length != 0.0)
            .fold(lens.t, |t, length| pupil_station_lengthened(t, length, rec));
        Numbers { q, m, a, t }
    }

    /// The lens's own magnification, from the one behind these parts.
    pub fn undone(self, m: f64, f: f64, rec: &mut impl Record) -> f64 {
        let m = if self.factor == 1.0 {
            m
        } else {
            magnification_before_extender(m, self.factor, rec)
        };
        if self.length == 0.0 {
            m
        } else {
            undisplaced_magnification(m, self.length, f, rec)
        }
    }
}

fn together(this: f64, behind: f64, rec: &mut impl Record) -> f64 {
    if behind == 0.0 {
        this
    } else {
        lengths_together(this, behind, rec)
    }
}
