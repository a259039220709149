//! What every kind of lens can do: be set.

use super::conjugate::{Branch, Magnification, OutOfReach};
use super::focused::Focused;
use crate::formula::Record;
use crate::units::{FNumber, FocusDistance};

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

    /// The last setting of the ordinary range.
    fn last_setting(&self) -> Magnification;
}
