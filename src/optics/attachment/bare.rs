//! The lens itself, of whatever kind, under what is attached to it.

use super::Numbers;
use crate::formula::Record;
use crate::optics::breathing::Breathing;
use crate::optics::conjugate::{Branch, Magnification, OutOfReach};
use crate::optics::focus::Focus;
use crate::optics::unit_focus::UnitFocus;
use crate::units::{FNumber, FocusDistance};

/// The lens itself, without what is attached.
#[derive(Clone, Debug, PartialEq)]
pub enum Bare {
    /// One that focuses by moving as a whole.
    Unit(UnitFocus),
    /// One that breathes.
    Breathing(Box<Breathing>),
}

impl Bare {
    /// What it is focused at infinity.
    #[must_use]
    pub const fn at_infinity(&self) -> UnitFocus {
        match self {
            Self::Unit(lens) => *lens,
            Self::Breathing(lens) => lens.at_infinity(),
        }
    }

    /// Its focal length at a setting, in mm.
    pub(super) fn focal_length(&self, setting: f64) -> f64 {
        match self {
            Self::Unit(lens) => lens.focal_length().to_mm(),
            Self::Breathing(lens) => lens.focal_length(setting, &mut ()),
        }
    }

    pub(super) fn numbers(&self, setting: f64, n: FNumber, rec: &mut impl Record) -> Numbers {
        let setting = Magnification::computed(setting);
        let set = match self {
            Self::Unit(lens) => lens.set(setting, n, rec),
            Self::Breathing(lens) => lens.set(setting, n, rec),
        };
        Numbers {
            q: set.camera_constant().to_mm(),
            m: set.magnification().value(),
            a: set.pupil().to_mm(),
            t: set.pupil_station().to_mm(),
        }
    }

    pub(super) fn setting(
        &self,
        distance: FocusDistance,
        rec: &mut impl Record,
    ) -> Result<Magnification, OutOfReach> {
        match self {
            Self::Unit(lens) => lens.setting(distance, Branch::Far, rec),
            Self::Breathing(lens) => lens.setting(distance, Branch::Far, rec),
        }
    }

    /// What its scale reads at a setting.
    #[must_use]
    pub fn mark_at(&self, setting: Magnification) -> FocusDistance {
        match self {
            Self::Unit(lens) => lens.distance_at(setting, &mut ()),
            Self::Breathing(lens) => lens.set(setting, super::F1, &mut ()).focus(),
        }
    }

    /// The last setting it is told for, in its ordinary range.
    pub(super) fn last(&self) -> f64 {
        match self {
            Self::Unit(lens) => lens.last_setting().value(),
            Self::Breathing(lens) => lens.last_setting().value(),
        }
    }
}
