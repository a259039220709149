//! What one concludes about the ring: where each distance stands on it, and by
//! how much it may be off.

mod curve;
mod law;
mod marks;
mod of_lens;
mod position;
mod pull;
mod tolerance;

pub use law::{LawFault, OffScale, RingGiven, RingLaw, Standing, Zero};
pub use marks::{LineSums, ThroughMark, ThroughMarks};
pub use of_lens::{LensLaw, NoLaw};
pub use position::{Measure, RingPosition, strip_excess};
pub use pull::{seconds_of, speed_for};
pub use tolerance::{RingDepth, real_focus};
