//! Distances that say from which plane they are measured.

use super::length::Length;
use super::parse::Unreadable;
use super::range;

/// A value, or the only infinity there is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reach<L> {
    /// A finite value.
    At(L),
    /// Without end.
    Infinity,
}

impl<L> Reach<L> {
    /// The finite value, if it is one.
    pub fn finite(self) -> Option<L> {
        match self {
            Self::At(value) => Some(value),
            Self::Infinity => None,
        }
    }

    /// Applies `change` to a finite value.
    pub fn map<M>(self, change: impl FnOnce(L) -> M) -> Reach<M> {
        match self {
            Self::At(value) => Reach::At(change(value)),
            Self::Infinity => Reach::Infinity,
        }
    }
}

/// From the image plane along the axis to the object: what people tape, what
/// rings say, what sheets print. Unsaid, a distance is this one.
///
/// For a distance from the entrance pupil, what depth formulas want, see
/// [`PupilDistance`]; only a focused lens turns one
/// into the other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FocusDistance(Reach<Length>);

impl FocusDistance {
    /// The far end of the scale.
    pub const INFINITY: Self = Self(Reach::Infinity);

    /// A finite distance from the image plane.
    ///
    /// # Errors
    /// [`Unreadable`] when not above zero or beyond what a distance may be.
    pub fn at(length: Length) -> Result<Self, Unreadable> {
        range::DISTANCE.check(length.to_mm())?;
        Ok(Self(Reach::At(length)))
    }

    /// A result of a formula: positive by construction, of any size.
    pub(crate) const fn computed(reach: Reach<Length>) -> Self {
        Self(reach)
    }

    /// The length, or infinity.
    #[must_use]
    pub const fn reach(self) -> Reach<Length> {
        self.0
    }

    /// Whether this is infinity.
    #[must_use]
    pub const fn is_infinite(self) -> bool {
        matches!(self.0, Reach::Infinity)
    }

    /// Orders distances, infinity last.
    #[must_use]
    pub fn is_nearer_than(self, other: Self) -> bool {
        match (self.0, other.0) {
            (Reach::At(a), Reach::At(b)) => a < b,
            (Reach::At(_), Reach::Infinity) => true,
            (Reach::Infinity, _) => false,
        }
    }
}

/// From the entrance pupil along the axis to the object: what depth formulas want.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PupilDistance(Reach<Length>);

impl PupilDistance {
    /// Built by the bridges of a focused lens alone.
    pub(crate) const fn computed(reach: Reach<Length>) -> Self {
        Self(reach)
    }

    /// The length, or infinity.
    #[must_use]
    pub const fn reach(self) -> Reach<Length> {
        self.0
    }
}
