//! What is said of a lens and of a camera, and when.

use crate::formula::formula;
use crate::units::Length;

formula! {
    /// The error of the image plane that is tolerated.
    tolerated_error(N: f_number, c: mm) -> tau: mm = N * c;
    source "half the depth of focus 2 N c at infinity focus: there the blur is c"
}

/// What is said of a lens's scale as it reads on one camera.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LensVerdict {
    /// Its error is shown to be within what is tolerated.
    TrueScale,
    /// All of it is off the same way by more than its error leaves open.
    Shifted,
    /// It is wrong in places.
    Uneven,
    /// Its focus depends on the stop.
    MovesWithStop,
    /// The readings do not settle it.
    Undecided,
}

impl LensVerdict {
    /// Its name in the JSON contract.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::TrueScale => "true_scale",
            Self::Shifted => "shifted",
            Self::Uneven => "uneven",
            Self::MovesWithStop => "moves_with_stop",
            Self::Undecided => "undecided",
        }
    }
}

/// What is said of a camera's image plane.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BodyVerdict {
    /// Its error is shown to be within what is tolerated.
    TruePlane,
    /// It is off by more than its error leaves open.
    Off,
    /// The readings do not settle it.
    Undecided,
}

impl BodyVerdict {
    /// Its name in the JSON contract.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::TruePlane => "true_plane",
            Self::Off => "off",
            Self::Undecided => "undecided",
        }
    }
}

/// An image-plane error and how well it is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Displacement {
    /// Positive: the image plane is too far from the lens.
    pub error: Length,
    /// Its standard error.
    pub standard_error: Length,
}

/// What a test of equivalence says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Held {
    Within,
    Beyond,
    Open,
}

impl Displacement {
    /// Holds the displacement against what is tolerated. Two standard errors
    /// are on the safe side either way: within is what is shown to be within,
    /// never what merely could not be shown to be beyond.
    pub(super) fn held_against(self, tolerated: Length) -> Held {
        let off = self.error.abs();
        let either_way = self.standard_error * 2.0;
        if off + either_way <= tolerated {
            Held::Within
        } else if off > either_way {
            Held::Beyond
        } else {
            Held::Open
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Displacement, Held};
    use crate::units::Length;

    fn held(error: f64, standard_error: f64) -> Held {
        let found = Displacement {
            error: Length::mm(error),
            standard_error: Length::mm(standard_error),
        };
        found.held_against(Length::mm(0.05))
    }

    #[test]
    fn true_is_what_is_shown_to_be_within() {
        assert_eq!(held(0.0, 0.02), Held::Within);
        assert_eq!(held(-0.029, 0.01), Held::Within);
        // Nothing is seen, and nothing is known: not true.
        assert_eq!(held(0.0, 0.03), Held::Open);
        assert_eq!(held(-0.08, 0.02), Held::Beyond);
        // Sure not to be nought, not sure to be within.
        assert_eq!(held(0.04, 0.01), Held::Beyond);
        assert_eq!(held(0.02, 0.02), Held::Open);
    }
}
