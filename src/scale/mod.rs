//! What one concludes about the ring: where each distance stands on it, and by
//! how much it may be off.

mod law;
mod of_lens;
mod tolerance;

pub use law::{LawFault, Measure, OffScale, RingGiven, RingLaw, RingPosition, Standing, Zero};
pub use of_lens::{LensLaw, NoLaw};
pub use tolerance::{RingDepth, real_focus};
