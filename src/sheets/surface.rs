//! What a scale is laid on, and how long a turn of the ring is there.

use super::tape::NoTape;
use crate::scale::{RingLaw, RingPosition, angle_on_wheel, arc_on_wheel};
use crate::units::{Angle, Length};

/// What a scale is laid on.
#[derive(Clone, Debug, PartialEq)]
pub enum Surface {
    /// The focus ring, by a tape of some thickness.
    Ring {
        /// Thickness of the tape.
        thickness: Length,
    },
    /// The wheel of a hand unit.
    Wheel(Wheel),
    /// The knob of a follow focus.
    Knob(Knob),
}

/// The wheel of a hand unit, which maps its whole usable angle to the calibrated
/// travel of the lens.
#[derive(Clone, Debug, PartialEq)]
pub struct Wheel {
    /// The hand unit.
    pub hand_unit: String,
    /// What it calls the lens.
    pub preset: Option<String>,
    /// Diameter of the wheel.
    pub diameter: Length,
    /// Thickness of the strip.
    pub thickness: Length,
    /// How much of a turn is used.
    pub usable: Angle,
    /// The ring's turn over the whole scale.
    pub whole: RingPosition,
}

impl Wheel {
    /// Length of the whole scale along the strip.
    #[must_use]
    pub fn scale(&self) -> Length {
        arc_on_wheel(self.diameter, self.thickness, self.usable)
    }

    /// Once round the wheel.
    fn round(&self) -> Length {
        arc_on_wheel(self.diameter, self.thickness, Angle::deg(360.0))
    }
}

/// The knob of a follow focus; places are arcs along the rim of its disc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Knob {
    /// Radius of the disc.
    pub radius: Length,
    /// The knob's turn over the whole scale.
    pub turn: Angle,
    /// The ring's turn over the whole scale.
    pub whole: RingPosition,
}

impl Knob {
    /// The whole scale along the rim.
    #[must_use]
    pub fn scale(&self) -> Length {
        arc_on_wheel(self.radius * 2.0, Length::ZERO, self.turn)
    }

    /// The turn of the knob for a place along the rim.
    #[must_use]
    pub fn angle(&self, along: Length) -> Angle {
        angle_on_wheel(self.radius * 2.0, along)
    }
}

impl Surface {
    /// Where a place on the ring comes to lie.
    pub(super) fn along(&self, place: RingPosition) -> Option<Length> {
        match self {
            Self::Ring { thickness } => place.along_tape(*thickness),
            Self::Wheel(wheel) => place.spread(wheel.whole, wheel.scale()),
            Self::Knob(knob) => place.spread(knob.whole, knob.scale()),
        }
    }

    /// How long a turn of the ring is here.
    pub(super) fn of_turn(&self, law: &RingLaw, turn: Angle) -> Option<Length> {
        match self {
            Self::Ring { thickness } => law.turn_along_tape(turn, *thickness),
            Self::Wheel(_) | Self::Knob(_) => self.along(law.turned(turn)?),
        }
    }

    /// Once round, where a scale must not go on over itself.
    pub(super) fn round(&self, law: &RingLaw) -> Option<Length> {
        match self {
            Self::Ring { thickness } => law.round_tape(*thickness),
            Self::Wheel(wheel) => Some(wheel.round()),
            // Its further turns are numbered.
            Self::Knob(_) => None,
        }
    }

    /// What is done with the line it is lined up by, and what the other does.
    pub(super) const fn meeting(&self) -> [&'static str; 2] {
        match self {
            Self::Ring { .. } => [
                "put this line on the witness mark",
                "this line meets it too",
            ],
            Self::Wheel(_) | Self::Knob(_) => {
                ["put this line at the index", "this line stands there too"]
            }
        }
    }

    /// Half of what is sharp, cut and never rounded up: a puller acts on it.
    pub(super) fn half_in_figures(&self, half: Length) -> String {
        let (figure, unit) = match self {
            Self::Ring { .. } | Self::Wheel(_) => (half.to_mm(), " mm"),
            Self::Knob(knob) => (knob.angle(half).to_deg(), "°"),
        };
        if figure >= 1.0 {
            format!("±{:.1}{unit}", libm::floor(figure * 10.0) / 10.0)
        } else {
            format!("±{:.2}{unit}", libm::floor(figure * 100.0) / 100.0)
        }
    }

    /// What half of what is sharp is a part of.
    pub(super) const fn name(&self) -> &'static str {
        match self {
            Self::Ring { .. } => "ring",
            Self::Wheel(_) => "strip",
            Self::Knob(_) => "knob",
        }
    }

    /// What it is laid on, in words, with the length of the scale.
    pub(super) fn in_words(&self, law: &RingLaw, scale: Length) -> String {
        let scale = scale.to_mm();
        match (self, law.ring().circumference) {
            (Self::Ring { thickness }, Some(round)) => format!(
                "for a ring {:.1} mm round (⌀ {:.1} mm), tape {:.2} mm thick · scale {scale:.1} mm",
                round.to_mm(),
                round.to_mm() / core::f64::consts::PI,
                thickness.to_mm()
            ),
            (Self::Ring { .. }, None) => {
                format!("1:1 with the marks as they were read · scale {scale:.1} mm")
            }
            (Self::Wheel(wheel), _) => format!(
                "for a wheel ⌀ {:.1} mm, {:.1}° of it used, strip {:.2} mm thick · scale \
                 {scale:.1} mm",
                wheel.diameter.to_mm(),
                wheel.usable.to_deg(),
                wheel.thickness.to_mm()
            ),
            (Self::Knob(knob), _) => format!(
                "over the whole scale the knob turns {:.1}°",
                knob.turn.to_deg()
            ),
        }
    }

    /// Refuses what would lie on itself.
    pub(super) fn takes(&self, law: &RingLaw, scale: Length) -> Result<(), NoTape> {
        match self.round(law).filter(|&round| scale > round) {
            Some(round) => Err(NoTape::CoversItself { scale, round }),
            None => Ok(()),
        }
    }
}
