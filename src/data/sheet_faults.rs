//! Sheets that cannot be made, as a user reads of it.

use super::fault::{Fault, Kind};
use crate::sheets::{NoDisc, NoStrip};

impl From<NoStrip> for Fault {
    fn from(reason: NoStrip) -> Self {
        let message = reason.to_string();
        match reason {
            NoStrip::Unknown { keys, .. } => Self::new(Kind::Missing, message).with_help(format!(
                "add {} to its [[hand_unit]] in kit.toml",
                keys.join(" and ")
            )),
            NoStrip::BeyondOnce { .. } => Self::new(Kind::DoesNotFit, message).with_help(
                "usable_deg is how much of a turn the wheel goes between its two ends, at most 360",
            ),
            NoStrip::NoScale(reason) => reason.into(),
        }
    }
}

impl From<NoDisc> for Fault {
    fn from(reason: NoDisc) -> Self {
        match reason {
            NoDisc::NoGearing { wanting } => {
                let wanting = if wanting.is_empty() {
                    String::new()
                } else {
                    format!(" (there is no {})", wanting.join(", no "))
                };
                Self::new(
                    Kind::Missing,
                    format!("how far the knob turns for a turn of the ring is not known{wanting}"),
                )
                .with_help(
                    "either count teeth: ring_teeth in lenses.csv, drive_teeth and knob_ratio \
                     (knob turns for one turn of that gear) under [follow] in kit.toml; or measure: \
                     knob_travel_deg in lenses.csv is the knob's turn from infinity to close focus",
                )
            }
            NoDisc::NoScale(reason) => reason.into(),
        }
    }
}

#[cfg(feature = "scene")]
impl From<crate::draw::disc::NoRoom> for Fault {
    fn from(reason: crate::draw::disc::NoRoom) -> Self {
        Self::new(Kind::DoesNotFit, reason.to_string())
    }
}
