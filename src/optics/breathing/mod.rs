//! Lenses whose focal length changes with focus: internal focusing, breathing.
//!
//! From a few rows of a data sheet or a measurement (the magnification at a
//! distance, and where the entrance pupil then is) each setting gets its own
//! focal length. Between infinity and a single row it runs straight in the
//! magnification; through more rows on a monotone cubic. So does the pupil's
//! station where a row tells it; where none does the hiatus is taken as fixed.
//! It is a model, and answers say so.

mod curve;

use core::fmt;

use super::conjugate::{Branch, Magnification, OutOfReach, focal_length_for, focus_of, in_focus};
use super::focus::Focus;
use super::focused::{Focused, object_from_pupil};
use super::unit_focus::{UnitFocus, camera_constant, pupil_diameter, pupil_station};
use crate::formula::{How, Record, Told, formula};
use crate::numerics::root_between;
use crate::units::{FNumber, FocusDistance, Length, Reach};
use curve::{Curve, Tells};

formula! {
    /// The focal length at a setting whose pupil's station is known.
    focal_length_of_row(m: ratio, s: mm, p: ratio) -> f: mm = m * s / (1.0 + m / p);
    source "q = m s = f (1 + m/p), solved for f"
}

/// What a data sheet or a measurement says of one setting.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct BreathingRow {
    /// Image size over object size there, above 0.
    pub magnification: f64,
    /// By how much that figure may be off, as it was rounded.
    #[cfg_attr(feature = "serde", serde(skip))]
    pub rounding: f64,
    /// The focus distance, from the image plane.
    #[cfg_attr(feature = "serde", serde(rename = "distance_mm"))]
    pub distance: Length,
    /// The entrance pupil's distance in front of the image plane, if known.
    #[cfg_attr(feature = "serde", serde(rename = "entrance_pupil_mm"))]
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
    focal_length: Curve,
    /// Where no row tells the pupil's station, the hiatus stays.
    station: Option<Curve>,
    closest: Length,
    last: f64,
}

impl Breathing {
    /// A lens from what it is at infinity focus and rows in any order.
    ///
    /// # Errors
    /// [`NoBreathing`] when the rows describe no lens.
    pub fn new(
        at_infinity: UnitFocus,
        rows: &[BreathingRow],
        rec: &mut impl Record,
    ) -> Result<Self, NoBreathing> {
        let mut rows = rows.to_vec();
        rows.sort_by(|a, b| a.magnification.total_cmp(&b.magnification));
        let (first, last) = match &rows[..] {
            [] => return Err(NoBreathing::TooFew),
            [first, .., last] => (*first, *last),
            [only] => (*only, *only),
        };
        let nearer = |pair: &[BreathingRow]| {
            pair[0].magnification < pair[1].magnification && pair[0].distance > pair[1].distance
        };
        if !rows.windows(2).all(nearer) {
            return Err(NoBreathing::NotMonotone);
        }
        if first.magnification.is_nan() || first.magnification <= 0.0 {
            return Err(NoBreathing::NotPossible);
        }
        let (f, e) = (
            at_infinity.focal_length().to_mm(),
            at_infinity.hiatus().to_mm(),
        );
        let p = at_infinity.pupil_magnification().value();
        let told = rows.iter().any(|row| row.pupil_station.is_some());
        let (mut m, mut focal, mut station) = (vec![0.0], vec![f], Vec::new());
        if told {
            station.push(pupil_station(e, f, 0.0, p, rec));
        }
        for row in &rows {
            let (of_row, d) = (row.magnification, row.distance.to_mm());
            let f_row = match row.pupil_station {
                None => focal_length_for(d, e, of_row, rec),
                Some(t) => {
                    let s = object_from_pupil(d, t.to_mm(), rec);
                    focal_length_of_row(of_row, s, p, rec)
                }
            };
            if f_row.is_nan() || f_row <= 0.0 {
                return Err(NoBreathing::NotPossible);
            }
            m.push(of_row);
            focal.push(f_row);
            if told {
                let t = row.pupil_station.map(Length::to_mm);
                station.push(t.unwrap_or_else(|| pupil_station(e, f_row, of_row, p, rec)));
            }
        }
        let focal_length = Curve::through(Tells::FocalLength, &m, &focal, rec);
        let lens = Self {
            at_infinity,
            focal_length,
            station: told.then(|| Curve::through(Tells::Station, &m, &station, rec)),
            closest: last.distance,
            last: last.magnification,
        };
        match (lens.draws_nearer(), rows.len()) {
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
            let (q, t) = self.standing(m, &mut ());
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

    /// The distance of the last row: the lens is not told nearer.
    #[must_use]
    pub const fn closest(&self) -> Length {
        self.closest
    }

    /// Its focal length at a setting, in mm.
    pub(super) fn focal_length(&self, m: f64, rec: &mut impl Record) -> f64 {
        self.focal_length.at(m, rec)
    }

    /// Camera constant and pupil station at a setting, in mm.
    fn standing(&self, m: f64, rec: &mut impl Record) -> (f64, f64) {
        let p = self.at_infinity.pupil_magnification().value();
        let f = self.focal_length(m, rec);
        let q = camera_constant(f, m, p, rec);
        let t = match &self.station {
            Some(station) => station.at(m, rec),
            None => pupil_station(self.at_infinity.hiatus().to_mm(), f, m, p, rec),
        };
        (q, t)
    }
}

impl Focus for Breathing {
    fn set(&self, setting: Magnification, n: FNumber, rec: &mut impl Record) -> Focused {
        let m = setting.value();
        let (q, t) = self.standing(m, rec);
        // The iris keeps its size: the pupil is that of infinity focus.
        let pupil = pupil_diameter(self.at_infinity.focal_length().to_mm(), n.value(), rec);
        let focus = if m > 0.0 {
            let distance = focus_of(q, m, t, rec);
            FocusDistance::computed(Reach::At(Length::mm(distance)))
        } else {
            FocusDistance::INFINITY
        };
        Focused {
            camera_constant: Length::mm(q),
            magnification: setting,
            pupil: Length::mm(pupil),
            pupil_station: Length::mm(t),
            focus,
        }
    }

    fn setting(
        &self,
        distance: FocusDistance,
        branch: Branch,
        rec: &mut impl Record,
    ) -> Result<Magnification, OutOfReach> {
        let nearest = self.closest;
        let Reach::At(distance) = distance.reach() else {
            return match branch {
                Branch::Far => Ok(Magnification::computed(0.0)),
                Branch::Macro => Err(OutOfReach::MacroAtInfinity),
            };
        };
        // Beyond its rows nothing is known of it.
        if distance < nearest || branch == Branch::Macro {
            return Err(OutOfReach::InsideRows { nearest });
        }
        let d = distance.to_mm();
        let excess = |m: f64| {
            let (q, t) = self.standing(m, &mut ());
            m * (d - t) - q
        };
        let found = root_between(excess, 0.0, self.last).unwrap_or(self.last);
        let how = How::Solved {
            bracket: (0.0, self.last),
            residual: excess(found),
        };
        let (q, t) = self.standing(found, &mut ());
        let m = in_focus(q, d, t, &mut Told { rec, how });
        Ok(Magnification::computed(m))
    }

    fn last_setting(&self) -> Magnification {
        Magnification::computed(self.last)
    }

    fn closest(&self) -> Length {
        self.closest
    }
}
