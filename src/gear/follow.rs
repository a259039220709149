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

/// Knob turns for each turn of a lens's ring, and what that follows from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gearing {
    /// Knob turns for each turn of the ring.
    pub turns: Ratio,
    /// What it follows from.
    pub from: GearingFrom,
}

/// What a gearing follows from: the turns over the whole scale, or the teeth.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct GearingFrom {
    /// What the knob turned over the whole scale.
    #[cfg_attr(feature = "serde", serde(rename = "knob_travel_deg"))]
    pub knob_travel: Option<Angle>,
    /// What the ring turns over it.
    #[cfg_attr(feature = "serde", serde(rename = "travel_deg"))]
    pub travel: Option<Angle>,
    /// Teeth of the lens's ring.
    pub ring_teeth: Option<u32>,
    /// Teeth of the gear that drives it.
    pub drive_teeth: Option<u32>,
    /// Knob turns per turn of that gear.
    pub knob_ratio: Option<Ratio>,
}

/// Knob turns for each turn of a lens's ring: measured over the scale, whose
/// travel is given, where that is known; else by the teeth, at the knob's first
/// speed. `None` where neither is known.
#[must_use]
pub fn gearing(
    lens: &Lens,
    follow: Option<&Follow>,
    travel: Option<Angle>,
    rec: &mut impl Record,
) -> Option<Gearing> {
    if let (Some(knob), Some(travel)) = (lens.knob_travel(), travel) {
        let turns = gearing_of_travel(knob.to_deg(), travel.to_deg(), rec);
        return Some(Gearing {
            turns: Ratio::new(turns).ok()?,
            from: GearingFrom {
                knob_travel: Some(knob),
                travel: Some(travel),
                ..GearingFrom::default()
            },
        });
    }
    let follow = follow?;
    let teeth = |count: u32| f64::from(count);
    let (ring, drive) = (lens.ring_teeth()?, follow.drive_teeth?);
    let ratio = *follow.knob_ratios.first()?;
    let turns = gearing_of_teeth(teeth(ring), teeth(drive), ratio.value(), rec);
    Some(Gearing {
        turns: Ratio::new(turns).ok()?,
        from: GearingFrom {
            ring_teeth: Some(ring),
            drive_teeth: Some(drive),
            knob_ratio: Some(ratio),
            ..GearingFrom::default()
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
