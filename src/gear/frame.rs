//! The recorded frame: gate, what is seen of it, and where its circle is round.

use crate::formula::Record;
use crate::optics::{CircleRule, Gate, Squeeze, squeezed_ratio};
use crate::units::{AspectRatio, Ratio};

/// The recorded frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Frame {
    /// What sheets and answers call it.
    pub name: String,
    /// The area the camera records.
    pub gate: Gate,
    /// The aspect ratio that will be seen on the screen, if it was said.
    pub extraction: Option<AspectRatio>,
    /// How much a lens for this format squeezes the width; 1 for most.
    pub squeeze: Ratio,
    /// The format's customary circle.
    pub convention: Option<CircleRule>,
    /// Whether the figures were seen in a source or come from memory.
    pub verified: bool,
}

impl Frame {
    /// With an aspect ratio taken out of it.
    #[must_use]
    pub fn extracted(self, ratio: AspectRatio) -> Self {
        Self {
            extraction: Some(ratio),
            name: format!("{}, {} extraction", self.name, ratio.value()),
            ..self
        }
    }

    /// The part of the gate that will be seen, under a lens that squeezes: the
    /// largest of its aspect ratio.
    #[must_use]
    pub fn picture(&self, squeeze: Option<Squeeze>, rec: &mut impl Record) -> Gate {
        match self.extraction {
            None => self.gate,
            Some(ratio) => {
                let ratio = squeezed_ratio(ratio, squeeze, rec);
                self.gate.extract(ratio, rec)
            }
        }
    }
}

/// Where a circle of confusion is round, for a lens that squeezes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum CircleOn {
    /// On the image plane.
    #[default]
    Sensor,
    /// On the screen, where the width is spread again.
    Screen,
}
