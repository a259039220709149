//! What drives the ring, and what stands in front of the lens.

use super::lens::Lens;
use super::ring::{Sense, Side};
use crate::formula::{Record, formula};
use crate::units::{Angle, Length, Ratio};

formula! {
    /// Knob turns for each turn of the ring, by what the knob turned over the
    /// whole scale.
    gearing_of_travel(knob: deg, travel: deg) -> gearing: ratio = knob / travel;
    source "measured over the whole scale"
}

formula! {
    /// Knob turns for each turn of the ring, by the teeth of the gears.
    gearing_of_teeth(ring_teeth: ratio, drive_teeth: ratio, knob_ratio: ratio) -> gearing: ratio
        = ring_teeth / drive_teeth * knob_ratio;
    source "meshing gears pass as many teeth; knob_ratio: knob turns for each turn of the drive gear"
}

formula! {
    /// The turn of the knob that drives the ring.
    knob_of_turn(turn: deg, gearing: ratio) -> knob: deg = turn * gearing;
    source "gearing: knob turns for each turn of the ring"
}

/// The turn of the knob for a turn of the ring.
#[must_use]
pub fn knob_turn(turn: Angle, gearing: Gearing, rec: &mut impl Record) -> Angle {
    Angle::deg(knob_of_turn(turn.to_deg(), gearing.ratio.value(), rec))
}

/// A follow focus; what is `None` or empty is not known.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Follow {
    /// Teeth of the gear that drives the lens's ring.
    pub drive_teeth: Option<u32>,
    /// Knob turns per turn of the drive gear, one a speed.
    pub knob_ratios: Vec<Ratio>,
    /// The side of the camera the knob is on.
    pub knob_side: Option<Side>,
    /// Whether the knob turns against the drive gear.
    pub reversed: bool,
    /// Outer diameter of the disc.
    pub disc_outer: Option<Length>,
    /// Diameter of its hole.
    pub disc_inner: Option<Length>,
}

/// How a knob drives a ring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gearing {
    /// Knob turns for each turn of the ring.
    pub ratio: Ratio,
    /// From what that is known.
    pub known_by: GearingKnownBy,
}

/// From what a gearing is known.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[cfg_attr(feature = "serde", serde(untagged))]
pub enum GearingKnownBy {
    /// By what the knob turned over the whole scale.
    Travel {
        /// The turn of the knob.
        #[cfg_attr(feature = "serde", serde(rename = "knob_travel_deg"))]
        knob: Angle,
        /// The turn of the ring.
        #[cfg_attr(feature = "serde", serde(rename = "ring_travel_deg"))]
        ring: Angle,
    },
    /// By the teeth of the gears.
    Teeth {
        /// Of the lens's ring.
        ring_teeth: u32,
        /// Of the gear that drives it.
        drive_teeth: u32,
        /// Knob turns for each turn of the drive gear.
        knob_ratio: Ratio,
    },
}

/// How a knob drives a lens's ring: measured over the scale, whose travel is
/// given, where that is known; else by the teeth, at the knob's first speed.
/// `None` where neither is known.
#[must_use]
pub fn gearing(
    lens: &Lens,
    follow: Option<&Follow>,
    travel: Option<Angle>,
    rec: &mut impl Record,
) -> Option<Gearing> {
    if let (Some(knob), Some(ring)) = (lens.knob_travel(), travel) {
        let turns = gearing_of_travel(knob.to_deg(), ring.to_deg(), rec);
        return Some(Gearing {
            ratio: Ratio::new(turns).ok()?,
            known_by: GearingKnownBy::Travel { knob, ring },
        });
    }
    let follow = follow?;
    let (ring_teeth, drive_teeth) = (lens.ring_teeth()?, follow.drive_teeth?);
    let knob_ratio = *follow.knob_ratios.first()?;
    let (ring, drive) = (f64::from(ring_teeth), f64::from(drive_teeth));
    let turns = gearing_of_teeth(ring, drive, knob_ratio.value(), rec);
    Some(Gearing {
        ratio: Ratio::new(turns).ok()?,
        known_by: GearingKnownBy::Teeth {
            ring_teeth,
            drive_teeth,
            knob_ratio,
        },
    })
}

/// A hand unit's wheel.
#[derive(Clone, Debug, PartialEq)]
pub struct HandUnit {
    /// What it is called.
    pub name: String,
    /// Diameter of the wheel a strip goes on.
    pub wheel_diameter: Option<Length>,
    /// How much of a turn is used.
    pub usable: Option<Angle>,
    /// The way it turns from infinity to close focus, seen by the hand's owner.
    pub sense: Option<Sense>,
}

/// Rods of the front end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rods {
    /// 15 mm, 60 mm apart.
    Light15,
    /// 15 mm, 100 mm apart.
    Studio15,
    /// 19 mm, 104 mm apart.
    Studio19,
}

/// What stands in front of the lens.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Front {
    /// Diameter of the lens front the matte box clips on.
    pub back_diameter: Option<Length>,
    /// How many filters it takes one behind the other.
    pub stages: Option<u32>,
    /// Width and height of a filter.
    pub filter: Option<(Length, Length)>,
    /// The rods it stands on.
    pub rods: Option<Rods>,
}
