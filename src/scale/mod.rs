//! What one concludes about the ring: where each distance stands on it, and by
//! how much it may be off.

mod blend;
mod bodies;
mod corrected;
mod curve;
mod engraved;
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
mod ring_strip;
mod settings;
mod sharp_ring;
mod tolerance;

pub use bodies::Moved;
pub use engraved::{OnScale, Part};
pub use errors::tape_sd;
pub use law::{LawFault, OffScale, RingGiven, RingLaw, Standing, Zero};
pub use marks::{LineSums, ThroughMark, ThroughMarks};
pub use marks_law::OddMark;
pub use of_lens::{LensLaw, NoLaw, turn_between_numbers};
pub use position::{Measure, RingPosition, angle_on_wheel, arc_on_wheel, strip_excess};
pub use pull::{
    PathEnd, PathFault, PathKind, Spot, SteadyPull, SubjectPath, Untold, speed_for, time_of,
};
pub use ring_strip::{strip_meets_itself, strip_round};
pub use settings::usual_spread;
pub use sharp_ring::SharpRing;
pub use tolerance::{RingDepth, blur_at_mark, real_focus};
