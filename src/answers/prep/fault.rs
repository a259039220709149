//! Why there is nothing to say of a prep day.

use crate::gear::{LensId, NoDepth};
use crate::scale::NoLaw;
use crate::scale::prep::BadReading;

/// Why a prep day cannot be answered.
#[derive(Clone, Debug, PartialEq)]
pub enum NoPrep {
    /// The kit has no reading at all.
    NoReadings,
    /// No reading on the camera asked about; those that have some.
    NotOnCamera {
        /// The camera asked about.
        camera: String,
        /// Cameras with readings.
        there: Vec<String>,
    },
    /// No reading of a lens on the camera.
    NotRead(LensId),
    /// A row is no reading.
    Reading(BadReading),
    /// The ring of a lens has no law.
    Law {
        /// The lens.
        lens: LensId,
        /// Why.
        why: NoLaw,
    },
    /// What is sharp on this camera cannot be told.
    Sharpness {
        /// The lens.
        lens: LensId,
        /// Why.
        why: NoDepth,
    },
}
