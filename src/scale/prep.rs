//! Prep day: what the readings of a set of lenses on one camera say.
//!
//! Each lens was focused on a chart at taped distances and its scale read. From
//! that follow one image-plane error for each lens as it reads on this camera,
//! the tape's zero that all readings share, which readings were misread, and
//! what of it is the camera's. Everything is weighed by what it may be off, and
//! every verdict is a test of equivalence: a scale is true where it is shown to
//! be, not where nothing was seen.
//!
//! Focal length and hiatus are taken from the data, for no reading tells them
//! apart from the rest; what they may be off is in the standard errors.

mod body;
mod conclude;
mod evenness;
mod figures;
mod judge;
mod judged;
mod limits;
mod own_scale;
mod plan;
mod reading;
mod settle;
mod stops;
mod suspects;
mod verdict;

pub use judged::{BodyJudged, Judged, LensJudged, OnTest, PointJudged, PrepDay, PrepFault, Remark};
pub use limits::SETTINGS_EACH;
pub use plan::{LensPlan, NotByEye, PlannedReading, plan_for};
pub use reading::{BadReading, Unusable};
pub use settle::{Because, SettledBy, Settling};
pub use verdict::{BodyVerdict, Displacement, LensVerdict};

pub(crate) use verdict::tolerated_error;
