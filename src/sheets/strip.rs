//! A strip: a straight scale for the wheel of a hand unit.

use core::fmt;

use super::code::Code;
use super::names::Names;
use super::surface::{Surface, Wheel};
use super::tape::{NoTape, Tape, TapeWish};
use crate::gear::{Assumption, DepthSetup, HandUnit, Lens, Marks, WitnessEdge};
use crate::scale::{LensLaw, OffScale};
use crate::units::Unit;

/// A strip for a lens and a hand unit.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// What stands on it; its sense is the wheel's, its code the strip's.
    pub scale: Tape,
    /// The wheel it goes on.
    pub wheel: Wheel,
}

/// Why there is no strip.
#[derive(Clone, Debug, PartialEq)]
pub enum NoStrip {
    /// Nobody said these keys of the hand unit.
    Unknown {
        /// The hand unit.
        hand_unit: String,
        /// The keys.
        keys: Vec<&'static str>,
    },
    /// The wheel turns farther than once round: the strip would cover itself.
    BeyondOnce {
        /// The hand unit.
        hand_unit: String,
    },
    /// The lens has no scale to lay on anything.
    NoScale(NoTape),
}

impl fmt::Display for NoStrip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unknown { hand_unit, keys } => {
                write!(f, "of {hand_unit} there is no {}", keys.join(" and no "))
            }
            Self::BeyondOnce { hand_unit } => write!(
                f,
                "{hand_unit} uses more than one turn of its wheel: a strip would cover itself"
            ),
            Self::NoScale(_) => f.write_str("the lens has no scale"),
        }
    }
}

impl core::error::Error for NoStrip {}

impl From<NoTape> for NoStrip {
    fn from(reason: NoTape) -> Self {
        Self::NoScale(reason)
    }
}

impl From<OffScale> for NoStrip {
    fn from(_: OffScale) -> Self {
        Self::NoScale(NoTape::NoRing)
    }
}

impl Strip {
    /// The strip of a kit's lens for a hand unit: the whole usable angle of the
    /// wheel is the ring's turn from infinity to close focus, spread evenly.
    ///
    /// # Errors
    /// [`NoStrip`] where the wheel or the lens's scale is not known.
    pub fn new(
        (lens, marks): (&Lens, Option<&Marks>),
        law: &LensLaw<'_>,
        setup: &DepthSetup,
        hand_unit: &HandUnit,
        (names, unit): (Names, Unit),
    ) -> Result<Self, NoStrip> {
        let (Some(diameter), Some(usable), Some(sense)) =
            (hand_unit.wheel_diameter, hand_unit.usable, hand_unit.sense)
        else {
            let keys = [
                ("wheel_diameter", hand_unit.wheel_diameter.is_none()),
                ("usable_deg", hand_unit.usable.is_none()),
                ("sense", hand_unit.sense.is_none()),
            ];
            let unknown = keys.into_iter().filter(|key| key.1).map(|key| key.0);
            return Err(NoStrip::Unknown {
                hand_unit: hand_unit.name.clone(),
                keys: unknown.collect(),
            });
        };
        if usable.to_deg() > 360.0 {
            return Err(NoStrip::BeyondOnce {
                hand_unit: hand_unit.name.clone(),
            });
        }
        // It is calibrated to the ring's own marks, wherever it really focuses there.
        let own = law.law.clone().uncorrected();
        let wheel = Wheel {
            hand_unit: hand_unit.name.clone(),
            preset: lens.hand_unit_preset().map(str::to_owned),
            diameter,
            thickness: lens.ring().tape_thickness(),
            usable,
            whole: own.whole()?,
        };
        let surface = Surface::Wheel(wheel.clone());
        let wish = TapeWish::on((&surface, sense), (lens, marks), law, names, unit);
        let stops_beyond = wish.beyond_infinity.is_some() || wish.beyond_near.is_some();
        let wish = TapeWish {
            // Of the ring, not of the wheel.
            band: None,
            witness: WitnessEdge::Front,
            beyond_infinity: None,
            beyond_near: None,
            ..wish
        };
        let mut scale = Tape::on(&surface, &law.law, setup, wish)?;
        let (far, near) = own.reach();
        let ends = [far, near].map(|end| scale.named(end, lens.engraved()));
        let beyond = if stops_beyond {
            ", not to the hard stops, which lie beyond"
        } else {
            ""
        };
        let message = format!(
            "the {:.0}° of the wheel are the ring from {} to {}: calibrate its travel to these \
             two{beyond}",
            usable.to_deg(),
            ends[0],
            ends[1]
        );
        scale
            .assumptions
            .push(Assumption::new("whole_wheel_is_the_scale", message));
        scale.code = Code::of(&format!("{scale:?}{wheel:?}"));
        Ok(Self { scale, wheel })
    }
}
