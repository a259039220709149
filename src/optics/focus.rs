//! What every kind of lens can do: be set.

use super::conjugate::{Branch, Magnification, OutOfReach};
use super::focused::Focused;
use crate::formula::Record;
use crate::units::{FNumber, FocusDistance, Length};

/// A lens that can be set; each setting gives it its four numbers ([`Focused`]).
///
/// A setting is named by the magnification the lens itself has there: zero at
/// its infinity mark, growing toward close focus. Whatever is screwed to it, a
/// setting stays one place of the ring.
pub trait Focus {
    /// The lens at a setting and a stop.
    fn set(&self, setting: Magnification, n: FNumber, rec: &mut impl Record) -> Focused;

    /// The setting that focuses on a distance from the image plane.
    ///
    /// # Errors
    /// [`OutOfReach`] when none does.
    fn setting(
        &self,
        distance: FocusDistance,
        branch: Branch,
        rec: &mut impl Record,
    ) -> Result<Magnification, OutOfReach>;

    /// The lens focused at a distance from the image plane, at a stop.
    ///
    /// # Errors
    /// [`OutOfReach`] when no setting focuses there.
    fn at(
        &self,
        distance: FocusDistance,
        branch: Branch,
        n: FNumber,
        rec: &mut impl Record,
    ) -> Result<Focused, OutOfReach> {
        let setting = self.setting(distance, branch, rec)?;
        let set = self.set(setting, n, rec);
        // What was asked for is what it is focused at, to the last digit.
        Ok(Focused {
            focus: distance,
            ..set
        })
    }

    /// The setting at which the whole has a magnification: that itself, but for
    /// what is attached. `found` is that setting to within rounding.
    fn setting_with(
        &self,
        m: Magnification,
        found: Magnification,
        rec: &mut impl Record,
    ) -> Magnification {
        let _ = (found, rec);
        m
    }

    /// The last setting of the ordinary range.
    fn last_setting(&self) -> Magnification;

    /// The nearest distance any setting of the ordinary range focuses on, from
    /// the image plane.
    fn closest(&self) -> Length;
}
