//! Why there is nothing to say of a prep day, as faults with their place.

use super::fault::{Fault, Kind, Place, shortened};
use crate::answers::NoPrep;
use crate::scale::prep::{BadReading, Unusable};
use crate::units::{FocusDistance, Length};

impl From<NoPrep> for Fault {
    fn from(reason: NoPrep) -> Self {
        match reason {
            NoPrep::NoReadings => Self::new(Kind::Missing, "the kit has no prep readings")
                .at(Place::in_file("prep.csv"))
                .with_help(
                    "print the form to fill in at the chart with `markwright prep --plan`; then \
                     write prep.csv: lens, stop, taped and reading, a line for each chart",
                ),
            NoPrep::NotOnCamera { camera, there } => Self::new(
                Kind::Missing,
                format!("prep.csv has no reading on camera {}", shortened(&camera)),
            )
            .at_flag("--camera")
            .with_help(if there.is_empty() {
                "its rows name no camera: leave --camera out".to_owned()
            } else {
                format!("there are readings on {}", there.join(", "))
            }),
            NoPrep::NotRead(id) => Self::new(
                Kind::Missing,
                format!("prep.csv has no reading of lens {}", id.as_str()),
            )
            .at_flag("--lens"),
            NoPrep::Reading(bad) => bad.into(),
            NoPrep::Law { lens, why } => {
                let fault = Self::from(why);
                let message = format!("lens {}: {}", lens.as_str(), fault.message);
                Self { message, ..fault }
            }
            NoPrep::Sharpness { lens, why } => {
                let fault = Self::from(why);
                let message = format!("lens {}: {}", lens.as_str(), fault.message);
                Self { message, ..fault }
            }
        }
    }
}

impl From<BadReading> for Fault {
    fn from(bad: BadReading) -> Self {
        let place = |key: &str| Place {
            line: Some(bad.line),
            key: Some(key.to_owned()),
            ..Place::in_file("prep.csv")
        };
        let lens = bad.lens.as_str();
        let mm = |distance: FocusDistance| distance.reach().finite().map(Length::to_mm);
        let far = |distance| mm(distance).map_or_else(String::new, |mm| format!(" ({mm:.0} mm)"));
        match bad.why {
            Unusable::InsideHook { hook } => Self::new(
                Kind::OutOfRange,
                format!(
                    "the tape is no longer than the hook sits beside the axis ({} mm)",
                    hook.to_mm()
                ),
            )
            .at(place("taped"))
            .with_help("tape again, or correct hook_offset_mm in kit.toml"),
            Unusable::ChartTooNear(close) => Self {
                nearest: mm(close),
                ..Self::new(
                    Kind::InsideCloseFocus,
                    format!(
                        "lens {lens} does not focus that near: its close focus is{}",
                        far(close)
                    ),
                )
                .at(place("taped"))
                .with_help("tape again, or correct close_focus in lenses.csv")
            },
            Unusable::OffScale {
                close_focus,
                travel,
            } => Self {
                nearest: mm(close_focus),
                ..Self::new(
                    Kind::OutsideMarks,
                    format!(
                        "the scale of lens {lens} goes nowhere near that reading: it ends at its \
                         close focus{}, {:.0}° from infinity",
                        far(close_focus),
                        travel.to_deg()
                    ),
                )
                .at(place("reading"))
                .with_help("read it again; leave the row out where nobody knows what it was")
            },
        }
    }
}
