//! What one writes down: formats, lenses, rings, marks, and the setup of them.

mod circle;
mod sense;
mod setup;

pub use circle::circle_rule;
pub use sense::{Sense, Side, WitnessEdge};
pub use setup::{
    Assumption, ChosenCircle, DepthSetup, Exposure, Frame, LensFigures, NoDepth, PupilsKnown,
    Setup, Wanted,
};
