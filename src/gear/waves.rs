//! What wave optics is to be asked with: a light, a wanted contrast, photosites.

use super::assumption::Assumption;
use crate::optics::{Detail, finest_told_apart};
use crate::units::{Contrast, ContrastAt, DetectorPitch, Light};

/// A light, and what is to count as sharp in it.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Waves {
    /// The light.
    pub light: Light,
    /// Whether nobody said which; answers say so among their assumptions.
    #[cfg_attr(feature = "serde", serde(skip))]
    pub light_assumed: bool,
    /// The contrast that counts as sharp, in place of a circle.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub contrast: Option<ContrastAt>,
    /// The distance of photosites, if they count.
    #[cfg_attr(
        feature = "serde",
        serde(rename = "photosite_mm", skip_serializing_if = "Option::is_none")
    )]
    pub pitch: Option<DetectorPitch>,
}

impl Waves {
    /// The wanted contrast and the detail it is wanted in, if one is.
    #[must_use]
    pub fn wanted(&self) -> Option<(Contrast, Detail)> {
        let wanted = self.contrast?;
        let detail = Detail {
            frequency: wanted.frequency,
            light: self.light.clone(),
            pitch: self.pitch,
        };
        Some((wanted.contrast, detail))
    }

    /// What else is to be said of it: a light nobody chose, detail finer than
    /// photosites can tell.
    pub(super) fn assumptions(&self) -> Vec<Assumption> {
        let mut notes = Vec::new();
        if self.light_assumed {
            let nm = self.light.longest().length().to_mm() * 1e6;
            let message =
                format!("wavelength not said: {nm:.0} nm, the middle of the visible, is assumed");
            notes.push(Assumption::new("wavelength_assumed", message));
        }
        if let (Some(wanted), Some(pitch)) = (self.contrast, self.pitch) {
            let finest = finest_told_apart(pitch, &mut ());
            if wanted.frequency > finest {
                let message = format!(
                    "{} cycles/mm is finer than photosites {:.2} µm apart can tell from coarser \
                     detail, {:.1} cycles/mm: what is there may be a false pattern",
                    wanted.frequency.value(),
                    pitch.length().to_mm() * 1e3,
                    libm::floor(finest.value() * 10.0) / 10.0,
                );
                notes.push(Assumption::new("beyond_nyquist", message));
            }
        }
        notes
    }
}
