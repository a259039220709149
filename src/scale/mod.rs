//! What one concludes about the ring: where each distance stands on it, and by
//! how much it may be off.

mod blend;
mod bodies;
mod corrected;
mod curve;
mod errors;
pub mod fit;
mod knot;
mod law;
mod marks;
mod marks_law;
mod of_lens;
mod position;
pub mod prep;
mod pull;
mod settings;
mod tolerance;

pub use bodies::Moved;
pub use errors::tape_sd;
pub use law::{LawFault, OffScale, RingGiven, RingLaw, Standing, Zero};
pub use marks::{LineSums, ThroughMark, ThroughMarks};
pub use marks_law::OddMark;
pub use of_lens::{LensLaw, NoLaw, turn_between_numbers};
pub use position::{Measure, RingPosition, angle_on_wheel, arc_on_wheel, strip_excess};
pub use pull::{FastestTurn, seconds_of, speed_for};
pub use settings::usual_spread;
pub use tolerance::{RingDepth, blur_at_mark, real_focus};
