//! A zoom at one of its focal lengths.

use core::fmt;

use super::{Focal, Lens, ZoomRow};
use crate::gear::assumption::Assumption;
use crate::gear::setup::LensFigures;
use crate::numerics::Pchip;
use crate::optics::{Branch, Pupil, UnitFocus, cubic, f_number_of, t_number_of};
use crate::units::{FNumber, FocusDistance, Length, PupilMagnification, Stop, TNumber};

/// Why a lens cannot stand at a focal length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NotAFocal {
    /// It has one focal length, and this is not it.
    Prime(Length),
    /// It lies outside the zoom's.
    Outside {
        /// The zoom's shortest.
        wide: Length,
        /// The zoom's longest.
        long: Length,
    },
}

impl fmt::Display for NotAFocal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Prime(focal) => write!(
                f,
                "this lens is no zoom: its focal length is {} mm",
                focal.to_mm()
            ),
            Self::Outside { wide, long } => write!(
                f,
                "this zoom goes from {} mm to {} mm",
                wide.to_mm(),
                long.to_mm()
            ),
        }
    }
}

impl core::error::Error for NotAFocal {}

impl Lens {
    /// The same lens, standing at one of its focal lengths.
    ///
    /// # Errors
    /// [`NotAFocal`] when it has no such focal length.
    pub fn at_focal(&self, focal: Length) -> Result<Self, NotAFocal> {
        match self.focal() {
            Focal::Prime(only) if only != focal => return Err(NotAFocal::Prime(only)),
            Focal::Zoom { wide, long } if focal < wide || focal > long => {
                return Err(NotAFocal::Outside { wide, long });
            }
            Focal::Prime(_) | Focal::Zoom { .. } => {}
        }
        let mut there = self.clone();
        there.stands_at = Some(focal);
        there.open_as_there();
        Ok(there)
    }

    /// The focal length it was told to stand at, if it was.
    #[must_use]
    pub const fn stands_at(&self) -> Option<Length> {
        self.stands_at
    }

    /// The focal length it stands at: a zoom at its longest unless it was told
    /// otherwise.
    #[must_use]
    pub fn focal_length(&self) -> Length {
        self.stands_at.unwrap_or(self.focal().longest())
    }

    /// Its optics at one focal length: as its row says, between rows on a
    /// monotone cubic through them; beyond them, or where they say nothing, as
    /// the lens's own line says.
    #[must_use]
    pub fn figures_at(&self, focal: Length) -> LensFigures {
        let pupil_magnification = self
            .along(focal, |row| Some(row.pupil_magnification?.value()))
            .and_then(|value| PupilMagnification::new(value).ok());
        LensFigures {
            focal_length: focal,
            pupil: self.pupil_at(focal).or(self.pupil()),
            pupil_magnification: pupil_magnification.or(self.pupil_magnification()),
            transmittance: self.transmittance(),
        }
    }

    /// Where the pupil stands, by the rows: they are taken as they are written
    /// where all say the same of it, hiatus or station; else as stations.
    fn pupil_at(&self, focal: Length) -> Option<Pupil> {
        let told = || self.zoom().iter().filter(|row| row.pupil.is_some());
        let by_hiatus = |row: &ZoomRow| match row.pupil? {
            Pupil::Hiatus(hiatus) => Some(hiatus.to_mm()),
            Pupil::Station(_) => None,
        };
        if told().all(|row| by_hiatus(row).is_some()) {
            let hiatus = self.along(focal, by_hiatus)?;
            return Some(Pupil::Hiatus(Length::mm(hiatus)));
        }
        let station = self.along(focal, |row| {
            let p = row.pupil_magnification.or(self.pupil_magnification());
            let p = p.unwrap_or(PupilMagnification::ONE);
            let lens = UnitFocus::new(row.focal, row.pupil?, p, &mut ());
            let set = lens.framing(FocusDistance::INFINITY, Branch::Far, &mut ());
            Some(set.ok()?.pupil_station().to_mm())
        })?;
        Some(Pupil::Station(Length::mm(station)))
    }

    /// What rows say along the zoom, at a focal length; nothing beyond those
    /// that say it.
    fn along(&self, focal: Length, of: impl Fn(&ZoomRow) -> Option<f64>) -> Option<f64> {
        let rows = self.zoom().iter();
        let mut said: Vec<(f64, f64)> = rows
            .filter_map(|row| Some((row.focal.to_mm(), of(row)?)))
            .collect();
        said.sort_by(|a, b| a.0.total_cmp(&b.0));
        let at = focal.to_mm();
        if let Some((_, exactly)) = said.iter().find(|(row, _)| *row == at) {
            return Some(*exactly);
        }
        let (from, to) = (said.first()?.0, said.last()?.0);
        if at < from || at > to {
            return None;
        }
        let (focals, values) = said.into_iter().unzip();
        let curve = Pchip::new(focals, values)?;
        Some(cubic::in_mm::at(&curve, at, &mut ()))
    }

    /// The widest f- and T-number by the rows, where they tell them.
    pub(super) fn open_as_there(&mut self) {
        let focal = self.focal_length();
        let f = self.along(focal, |row| Some(row.f_number?.value()));
        let t = self.along(focal, |row| Some(row.t_number?.value()));
        let f = f.and_then(|f| FNumber::new(f).ok());
        let t = t.and_then(|t| TNumber::new(t).ok());
        // What a row leaves out follows from the other, as in the lens's own line.
        let light = self.transmittance;
        let by_light = |t| Some(f_number_of(t, light?, &mut ()));
        self.f_number = f.or(t.and_then(by_light)).or(self.f_number);
        let by_light = |f| Some(t_number_of(f, light?, &mut ()));
        self.t_number = t.or(f.and_then(by_light)).or(self.t_number);
        self.widest = match (self.widest, self.f_number, self.t_number) {
            (Stop::T(_), _, Some(t)) => Stop::T(t),
            (Stop::F(_), Some(f), _) => Stop::F(f),
            (widest, _, _) => widest,
        };
    }

    /// What its optics rest on where it has more than one focal length.
    #[must_use]
    pub fn zoom_assumption(&self) -> Option<Assumption> {
        let Focal::Zoom { long, .. } = self.focal() else {
            return None;
        };
        let Some(focal) = self.stands_at else {
            return Some(Assumption::new(
                "zoom_longest",
                format!(
                    "a zoom is taken at its longest focal length, {} mm",
                    long.to_mm()
                ),
            ));
        };
        let rows = self.zoom();
        let told = rows.iter().any(|row| row.focal == focal);
        let between =
            rows.iter().any(|row| row.focal < focal) && rows.iter().any(|row| row.focal > focal);
        (!told && between).then(|| {
            Assumption::new(
                "zoom_between",
                format!(
                    "at {} mm the zoom is taken as its rows beside that have it",
                    focal.to_mm()
                ),
            )
        })
    }
}
