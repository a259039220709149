//! Lenses whose focal length changes with focus: internal focusing, breathing.
//!
//! From a few rows of a data sheet or a measurement (the magnification at a
//! distance, and where the entrance pupil then is) each setting gets its own
//! focal length and hiatus. Between infinity and a single row they run straight
//! in the magnification; through more rows on a monotone cubic. It is a model,
//! and answers say so.

use core::fmt;

use super::conjugate::{Branch, Magnification, OutOfReach, focal_length_for, in_focus};
use super::cubic::cubic_between;
use super::focus::Focus;
use super::focused::Focused;
use super::unit_focus::{Pupil, UnitFocus, pupil_diameter};
use crate::formula::{How, Record, Told, formula};
use crate::numerics::{Pchip, root_between};
use crate::units::{FNumber, FocusDistance, Length, Reach};

formula! {
    /// From the entrance pupil to the object of a row.
    object_of_row(D: mm, t: mm) -> s: mm = D - t;
    source "geometry: both distances run along the axis"
}

formula! {
    /// The focal length at a setting whose pupil's station is known.
    focal_length_of_row(m: ratio, s: mm, p: ratio) -> f: mm = m * s / (1.0 + m / p);
    source "q = m s = f (1 + m/p), solved for f"
}

formula! {
    /// The hiatus at a setting whose pupil's station is known.
    hiatus_of_row(t: mm, f: mm, m: ratio, p: ratio) -> e: mm = t - f * (2.0 + m - 1.0 / p);
    source "t = e + f (2 + m - 1/p), solved for e"
}

formula! {
    /// The focal length at a setting of a lens told by one row.
    focal_length_of_two_points(f_inf: mm, f_row: mm, m: ratio, m_row: ratio) -> f: mm
        = f_inf + (f_row - f_inf) * m / m_row;
    source "two-point model: the focal length runs straight in m from infinity to the row"
}

formula! {
    /// The hiatus at a setting of a lens told by one row.
    hiatus_of_two_points(e_inf: mm, e_row: mm, m: ratio, m_row: ratio) -> e: mm
        = e_inf + (e_row - e_inf) * m / m_row;
    source "two-point model: the hiatus runs straight in m from infinity to the row"
}

cubic_between! {
    /// The focal length between two rows, as the monotone cubic runs.
    focal_length_between(f_0, f_1: mm) -> f
}

cubic_between! {
    /// The hiatus between two rows, as the monotone cubic runs.
    hiatus_between(e_0, e_1: mm) -> e
}

/// What a data sheet or a measurement says of one setting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BreathingRow {
    /// Image size over object size there, above 0.
    pub magnification: f64,
    /// By how much that figure may be off, as it was rounded.
    pub rounding: f64,
    /// The focus distance, from the image plane.
    pub distance: Length,
    /// The entrance pupil's distance in front of the image plane, if known.
    pub pupil_station: Option<Length>,
}

/// Why rows describe no lens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoBreathing {
    /// There is no row.
    TooFew,
    /// A row's magnification or distance cannot be.
    NotPossible,
    /// Where the magnification grows the distance does not shrink.
    NotMonotone,
}

impl fmt::Display for NoBreathing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::TooFew => "at least one row is needed",
            Self::NotPossible => "no lens has that magnification at that distance",
            Self::NotMonotone => "nearer distances must have larger magnifications",
        })
    }
}

impl core::error::Error for NoBreathing {}

/// A lens that breathes, from its rows.
#[derive(Clone, Debug, PartialEq)]
pub struct Breathing {
    at_infinity: UnitFocus,
    focal_length: Pchip<f64>,
    hiatus: Pchip<f64>,
    closest: Length,
    last: f64,
    rows: usize,
}

impl Breathing {
    /// A lens from what it is at infinity focus and rows in any order.
    ///
    /// # Errors
    /// [`NoBreathing`] when the rows describe no lens.
    pub fn new(at_infinity: UnitFocus, rows: &[BreathingRow]) -> Result<Self, NoBreathing> {
        let mut rows = rows.to_vec();
        rows.sort_by(|a, b| a.magnification.total_cmp(&b.magnification));
        let last = rows.last().ok_or(NoBreathing::TooFew)?;
        let nearer = |pair: &[BreathingRow]| {
            pair[0].magnification < pair[1].magnification && pair[0].distance > pair[1].distance
        };
        if !rows.windows(2).all(nearer) {
            return Err(NoBreathing::NotMonotone);
        }
        let (f, e) = (at_infinity.focal_length(), at_infinity.hiatus());
        let p = at_infinity.pupil_magnification().value();
        let (mut m, mut focal, mut hiatus) = (vec![0.0], vec![f.to_mm()], vec![e.to_mm()]);
        for row in &rows {
            let (of_row, d) = (row.magnification, row.distance.to_mm());
            let (f_row, e_row) = match row.pupil_station {
                None => (focal_length_for(d, e.to_mm(), of_row, &mut ()), e.to_mm()),
                Some(t) => {
                    let s = object_of_row(d, t.to_mm(), &mut ());
                    let f = focal_length_of_row(of_row, s, p, &mut ());
                    (f, hiatus_of_row(t.to_mm(), f, of_row, p, &mut ()))
                }
            };
            if of_row <= 0.0 || f_row <= 0.0 {
                return Err(NoBreathing::NotPossible);
            }
            m.push(of_row);
            focal.push(f_row);
            hiatus.push(e_row);
        }
        let curve = |y| Pchip::new(m.clone(), y).ok_or(NoBreathing::NotMonotone);
        let lens = Self {
            at_infinity,
            focal_length: curve(focal)?,
            hiatus: curve(hiatus)?,
            closest: last.distance,
            last: last.magnification,
            rows: rows.len(),
        };
        match (lens.draws_nearer(), lens.rows) {
            (true, _) => Ok(lens),
            (false, 1) => Err(NoBreathing::NotPossible),
            (false, _) => Err(NoBreathing::NotMonotone),
        }
    }

    /// Whether the focus draws nearer all the way from infinity to the last row.
    fn draws_nearer(&self) -> bool {
        const LOOKS: i32 = 200;
        let vergence = |look: i32| {
            let m = self.last * f64::from(look) / f64::from(LOOKS);
            let set = self.set(Magnification::computed(m), FNumber::computed(1.0), &mut ());
            let (q, t) = (set.camera_constant().to_mm(), set.pupil_station().to_mm());
            // 1/D, zero at infinity.
            m / (q + m * t)
        };
        let rising = (0..LOOKS).all(|look| vergence(look) < vergence(look + 1));
        rising && vergence(LOOKS) > 0.0
    }

    /// What it is focused at infinity.
    #[must_use]
    pub const fn at_infinity(&self) -> UnitFocus {
        self.at_infinity
    }

    /// How many rows it was made from.
    #[must_use]
    pub const fn rows(&self) -> usize {
        self.rows
    }

    /// The distance of the last row: the lens is not told nearer.
    #[must_use]
    pub const fn closest(&self) -> Length {
        self.closest
    }

    /// What it is at a setting, as a lens that would focus by moving as a whole.
    fn at_setting(&self, m: f64, rec: &mut impl Record) -> UnitFocus {
        let (f, e) = (self.focal_length.piece(m), self.hiatus.piece(m));
        let (f, e) = if self.rows == 1 {
            (
                focal_length_of_two_points(f.y[0], f.y[1], m, f.h, rec),
                hiatus_of_two_points(e.y[0], e.y[1], m, e.h, rec),
            )
        } else {
            let ([f0, f1], [d0, d1]) = (f.y, f.slope);
            let ([e0, e1], [s0, s1]) = (e.y, e.slope);
            (
                focal_length_between(f0, f1, d0, d1, f.h, f.part, rec),
                hiatus_between(e0, e1, s0, s1, e.h, e.part, rec),
            )
        };
        let ratio = self.at_infinity.pupil_magnification();
        UnitFocus::new(Length::mm(f), Pupil::Hiatus(Length::mm(e)), ratio, &mut ())
    }
}

impl Focus for Breathing {
    fn set(&self, setting: Magnification, n: FNumber, rec: &mut impl Record) -> Focused {
        let here = self.at_setting(setting.value(), rec);
        let focus = here.distance_at(setting, rec);
        // The iris keeps its size: the pupil is that of infinity focus.
        let pupil = pupil_diameter(self.at_infinity.focal_length().to_mm(), n.value(), rec);
        here.stand(setting, focus, Length::mm(pupil), rec)
    }

    fn setting(
        &self,
        distance: FocusDistance,
        _: Branch,
        rec: &mut impl Record,
    ) -> Result<Magnification, OutOfReach> {
        let Reach::At(distance) = distance.reach() else {
            return Ok(Magnification::computed(0.0));
        };
        if distance < self.closest {
            return Err(OutOfReach::InsideRows {
                nearest: self.closest,
            });
        }
        let excess = |m: f64| {
            let set = self.set(Magnification::computed(m), FNumber::computed(1.0), &mut ());
            m * (distance - set.pupil_station()).to_mm() - set.camera_constant().to_mm()
        };
        let found = root_between(excess, 0.0, self.last).unwrap_or(self.last);
        let how = How::Solved {
            bracket: (0.0, self.last),
            residual: excess(found),
        };
        let set = self.set(
            Magnification::computed(found),
            FNumber::computed(1.0),
            &mut (),
        );
        let (q, t) = (set.camera_constant().to_mm(), set.pupil_station().to_mm());
        let told = &mut Told { rec, how };
        Ok(Magnification::computed(in_focus(
            q,
            distance.to_mm(),
            t,
            told,
        )))
    }

    fn last_setting(&self) -> Magnification {
        Magnification::computed(self.last)
    }

    fn closest(&self) -> Length {
        self.closest
    }
}
