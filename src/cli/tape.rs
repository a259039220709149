//! `--taped` and `--floor`: a tape reading becomes a focus distance.

use super::args::TapeArgs;
use super::kit::Opened;
use super::wish::Reader;
use crate::data::{Fault, Kind};
use crate::formula::Steps;
use crate::gear::Assumption;
use crate::optics::{axial_distance, slant_distance};
use crate::units::{FocusDistance, Length, Reach, parse, range, show};

/// A tape reading, and what it is along the axis.
pub(super) struct Taped {
    /// The focus distance.
    pub focus: FocusDistance,
    /// What it rests on, in words.
    pub note: Assumption,
}

impl Reader {
    /// The focus distance of a tape reading, if one was typed.
    pub fn taped(
        &mut self,
        typed: &TapeArgs,
        opened: Option<&Opened>,
        steps: &mut Steps,
    ) -> Option<Taped> {
        let across = self.size("--across", typed.across.as_ref());
        let camera = self.size("--camera-height", typed.camera_height.as_ref());
        let eye = self.size("--eye-height", typed.eye_height.as_ref());
        let (flag, reading) = match (&typed.taped, &typed.floor) {
            (None, None) => {
                if typed.across.is_some() {
                    self.faults.push(
                        Fault::new(Kind::Usage, "--across belongs to a tape reading")
                            .at_flag("--across")
                            .with_help("add --taped D"),
                    );
                }
                return None;
            }
            (Some(_), _) => ("--taped", self.finite("--taped", typed.taped.as_ref())?),
            (None, Some(_)) => ("--floor", self.finite("--floor", typed.floor.as_ref())?),
        };
        let slant = match (flag, camera, eye) {
            ("--floor", Some(camera), Some(eye)) => slant_distance(reading, camera, eye, steps),
            ("--floor", _, _) => return None,
            _ => reading,
        };
        let hook = opened
            .and_then(Opened::camera)
            .filter(|_| flag == "--taped")
            .map_or(Length::ZERO, |camera| camera.hook_offset);
        let beside = across.unwrap_or(Length::ZERO);
        let axial = |taped: Length, beside: Length, steps: &mut Steps| {
            if beside == Length::ZERO {
                Some(taped)
            } else {
                axial_distance(taped, beside, steps)
            }
        };
        let found = axial(slant, hook, steps)
            .and_then(|slant| axial(slant, beside, steps))
            .and_then(|axial| FocusDistance::at(axial).ok());
        let Some(focus) = found else {
            let message = "the subject cannot stand farther beside the axis than the tape is long";
            self.faults.push(
                Fault::new(Kind::OutOfRange, message)
                    .at_flag(if across.is_some() { "--across" } else { flag })
                    .with_help("--across is the distance beside the axis, --taped the whole tape"),
            );
            return None;
        };
        let told =
            |length: Length| format!("{:.1} mm ({})", length.to_mm(), show::nearest_16th(length));
        let mut message = format!(
            "{flag} {} is {} along the axis from the image plane",
            told(reading),
            told(focus.reach().finite().unwrap_or(reading))
        );
        if flag == "--floor" {
            message.push_str("; the camera is taken as tilted to the eyes");
        }
        if hook != Length::ZERO {
            message.push_str("; the tape hook's offset beside the axis is taken off");
            if beside != Length::ZERO {
                message.push_str(", as square to the subject's");
            }
        }
        Some(Taped {
            focus,
            note: Assumption::new("tape_to_axis", message),
        })
    }

    fn size(&mut self, flag: &str, text: Option<&String>) -> Option<Length> {
        self.take(flag, text, |text| parse::length(text, &range::BESIDE))
    }

    fn finite(&mut self, flag: &str, text: Option<&String>) -> Option<Length> {
        match self.distance(flag, text)?.reach() {
            Reach::At(length) => Some(length),
            Reach::Infinity => {
                self.faults
                    .push(Fault::new(Kind::NotFinite, "no tape reaches infinity").at_flag(flag));
                None
            }
        }
    }
}
