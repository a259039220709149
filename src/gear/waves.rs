//! What wave optics is to be asked with: a light, a wanted contrast, photosites.

use crate::optics::Detail;
use crate::units::{Contrast, ContrastAt, DetectorPitch, Light};

/// A light, and what is to count as sharp in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Waves {
    /// The light.
    pub light: Light,
    /// Whether nobody said which.
    pub light_assumed: bool,
    /// The contrast that counts as sharp, in place of a circle.
    pub contrast: Option<ContrastAt>,
    /// The distance of photosites, if they count.
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
}
