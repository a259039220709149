//! What one writes down: formats, lenses, rings, marks, and the setup of them.

mod assumption;
mod attach;
mod circle;
mod fitted;
mod follow;
mod frame;
mod kit;
mod lens;
mod marks;
mod paperwork;
mod reads;
mod ring;
mod setup;
mod speed;
mod waves;

pub use crate::optics::Anamorph;
pub use assumption::Assumption;
pub use attach::{breathing_row, close_up, extender, filter, rounding, tube};
pub use circle::{circle_rule, circle_rule_in_words};
pub use fitted::{Fitted, FittedFigures, LensItself, NoLens, behind_in_words, close_up_in_words};
pub use follow::{
    Follow, Front, Gearing, GearingKnownBy, HandUnit, Rods, gearing, gearings, knob_turn,
};
pub use frame::{CircleOn, Frame};
pub use kit::{Camera, Kit, PrintPrefs};
pub use lens::{
    Focal, Lens, LensId, LensProblem, LensWritten, NoLensId, NotAFocal, ScaleFrom, ZoomRow,
};
pub use marks::{Mark, MarkKind, MarkPosition, MarkSet, Marks, MarksProblem, PositionUnit};
pub use paperwork::{PrepRow, Reading, ShotRow};
pub use ring::{
    HardStops, OFFICE_PAPER, Ring, RingProblem, RingWritten, Round, Sense, Side, Sides, Travel,
    WitnessEdge,
};
pub use setup::{
    ChosenCircle, DepthSetup, Exposure, HoldSetup, LensFigures, NoDepth, PupilsKnown, Setup, Wanted,
};
pub use speed::{Speed, speed_in_words};
pub use waves::Waves;
