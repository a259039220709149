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

formula! {
    /// The gearing at another speed than the one it is known at.
    gearing_at_speed(gearing: ratio, knob_ratio: ratio, first_ratio: ratio) -> gearing: ratio
        = gearing * knob_ratio / first_ratio;
    source "knob_ratio: knob turns for each turn of the drive gear, one a speed"
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

impl Follow {
    /// The way the disc turns, seen from outside, the knob's side, while the ring
    /// goes from infinity to close focus.
    ///
    /// Seen from behind the camera the drive gear turns against the ring, as
    /// meshing gears do. From there a shaft across carries the turn to the knob:
    /// one on the left, seen from the left, turns as the gear does seen from
    /// behind; one on the right, the other end of the same shaft, is seen from
    /// its other side. `reversed` turns either the other way. A knob of which
    /// nobody said where it is counts as on the left.
    #[must_use]
    pub const fn disc_sense(&self, ring: Sense) -> Sense {
        let gear = ring.reversed();
        let knob = match self.knob_side {
            Some(Side::Left) | None => gear,
            Some(Side::Right) => gear.reversed(),
        };
        if self.reversed { knob.reversed() } else { knob }
    }
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

/// How a knob drives a lens's ring at each of its speeds, in their order; one at
/// least where anything is known. What was measured over the whole scale was
/// measured at the first speed.
#[must_use]
pub fn gearings(
    lens: &Lens,
    follow: Option<&Follow>,
    travel: Option<Angle>,
    rec: &mut impl Record,
) -> Vec<Gearing> {
    let Some(first) = gearing(lens, follow, travel, rec) else {
        return Vec::new();
    };
    let ratios = follow.map_or(&[][..], |follow| &follow.knob_ratios);
    let Some((usual, others)) = ratios.split_first() else {
        return vec![first];
    };
    let mut at = |&ratio: &Ratio| {
        let turns = gearing_at_speed(first.ratio.value(), ratio.value(), usual.value(), rec);
        let known_by = match first.known_by {
            GearingKnownBy::Travel { knob, ring } => GearingKnownBy::Travel { knob, ring },
            GearingKnownBy::Teeth {
                ring_teeth,
                drive_teeth,
                ..
            } => GearingKnownBy::Teeth {
                ring_teeth,
                drive_teeth,
                knob_ratio: ratio,
            },
        };
        let ratio = Ratio::new(turns).ok()?;
        Some(Gearing { ratio, known_by })
    };
    let others: Vec<Gearing> = others.iter().filter_map(&mut at).collect();
    core::iter::once(first).chain(others).collect()
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

#[cfg(test)]
mod tests {
    use super::*;

    const SENSES: [Sense; 2] = [Sense::Clockwise, Sense::CounterClockwise];

    /// Ring, knob's side, reversed: the disc as it is seen from outside.
    const TRUTH: [(Sense, Side, bool, Sense); 8] = {
        use Sense::{Clockwise, CounterClockwise};
        use Side::{Left, Right};
        [
            (Clockwise, Left, false, CounterClockwise),
            (Clockwise, Left, true, Clockwise),
            (Clockwise, Right, false, Clockwise),
            (Clockwise, Right, true, CounterClockwise),
            (CounterClockwise, Left, false, Clockwise),
            (CounterClockwise, Left, true, CounterClockwise),
            (CounterClockwise, Right, false, CounterClockwise),
            (CounterClockwise, Right, true, Clockwise),
        ]
    };

    fn follow(side: Option<Side>, reversed: bool) -> Follow {
        Follow {
            knob_side: side,
            reversed,
            ..Follow::default()
        }
    }

    #[test]
    fn the_disc_turns_as_the_table_says() {
        for (ring, side, reversed, disc) in TRUTH {
            let found = follow(Some(side), reversed).disc_sense(ring);
            assert_eq!(found, disc, "{ring:?} {side:?} {reversed}");
        }
    }

    /// The same by axes of rotation: x right, y up, z forward. Seen along an
    /// axis it is clockwise by the right-hand rule.
    #[test]
    fn the_disc_turns_as_axes_of_rotation_say() {
        let sign = |clockwise: bool| if clockwise { 1.0 } else { -1.0 };
        for ring in SENSES {
            for side in [Side::Left, Side::Right] {
                for reversed in [false, true] {
                    // From behind one looks along +z; meshing gears turn against each other.
                    let ring_z = sign(ring == Sense::Clockwise);
                    let gear_z = -ring_z;
                    // The shaft across: what turns about +z there turns about +x here.
                    let shaft_x = if reversed { -gear_z } else { gear_z };
                    // From the left one looks along +x, from the right along -x.
                    let looking_x = match side {
                        Side::Left => 1.0,
                        Side::Right => -1.0,
                    };
                    let disc = if shaft_x * looking_x > 0.0 {
                        Sense::Clockwise
                    } else {
                        Sense::CounterClockwise
                    };
                    assert_eq!(follow(Some(side), reversed).disc_sense(ring), disc);
                }
            }
        }
    }

    #[test]
    fn a_knob_of_unknown_side_counts_as_on_the_left() {
        for ring in SENSES {
            let left = follow(Some(Side::Left), false).disc_sense(ring);
            assert_eq!(follow(None, false).disc_sense(ring), left);
        }
    }
}
