//! Exact Gaussian optics of a lens in air, from the image plane.
//!
//! A lens set to one focus is four numbers ([`Focused`]): the camera constant
//! q = m·s, the magnification m, the entrance-pupil diameter A and the pupil's
//! station t. None is ever infinite, so infinity focus needs no special case.
//! Every kind of lens is a way to get the four; [`UnitFocus`] is the first.
//!
//! ```text
//!            s (entrance pupil to object)                t
//!   object |<------------------------------->|<------------------->| image plane
//!          |<--------------- D (focus distance) ------------------>|
//! ```
//!
//! Letters: f focal length, N f-number, A entrance-pupil diameter, p pupil
//! magnification, e hiatus, m magnification, D from the image plane, s from the
//! entrance pupil, t entrance pupil to image plane, c circle of confusion.
//!
//! Light is taken as rays, but for [`Detail`]: contrast of fine detail, with
//! diffraction and defocus together, gives the circle that stands for it, says
//! which of the two limits, and finds the stop that is best for a range.
//!
//! Sources: Hecht, *Optics*, ch. 6 (thick lens, from memory); ISO 517 (f-number);
//! the depth formulas are derived from similar triangles at the entrance pupil
//! and are checked against an independent high-precision table (`tests/oracle`).

mod anamorphic;
mod attachment;
mod breathing;
mod confusion;
mod conjugate;
mod contrast;
pub(crate) mod cubic;
mod depth_steps;
mod detail;
mod diffraction;
mod edge;
mod equation;
mod exposure;
mod field;
mod focus;
mod focused;
mod hold;
mod hyperfocal;
mod lens;
mod limits;
mod lost_lines;
mod optimum;
mod otf;
mod plausible;
mod remedy;
mod slant;
mod softened;
mod through_focus;
mod unit_focus;

pub use anamorphic::{
    Anamorph, Squeeze, circle_on_screen, desqueezed, magnification_of_framed, squeezed_ratio,
};
pub use attachment::{Attached, Bare, Behind, CannotAttach, CloseUp, image_moved_by_filter};
pub use breathing::{Breathing, BreathingRow, NoBreathing};
pub use confusion::{Circle, CircleRule, CircleSize, Gate};
pub use conjugate::{Branch, Magnification, OutOfReach};
pub(crate) use conjugate::{displaced_magnification, undisplaced_magnification};
pub use contrast::{MtfUnreachable, NoHyperfocal, hyperfocal_at_contrast, one_cycle};
pub use depth_steps::{Chain, DepthStep, DepthSteps};
pub use detail::{Detail, Limiting};
pub use diffraction::{airy, cut_off, finest_told_apart};
pub use edge::FrameEdge;
pub use exposure::{f_number_of, t_number_of, transmittance_of};
pub use field::{AngleOfView, Field, FieldSize, focal_length_for_width};
pub use focus::Focus;
pub use focused::{BehindPupil, Focused};
pub use hold::{NoSuchLimit, Split, focused_for_far, focused_for_near, split};
pub use hyperfocal::{Hyperfocal, InsideOneToOne};
pub use lens::AnyLens;
pub use limits::{Depth, Limits};
pub use lost_lines::frequency_lost_at;
pub use optimum::{NoOptimum, Optimum};
pub use otf::defocused_transfer;
pub use plausible::plausible;
pub use remedy::{
    Moved, Pair, held_at_the_same_framing, held_by_a_shorter_lens, held_farther_back,
};
pub use slant::{axial_distance, slant_distance};
pub(crate) use softened::Way;
pub use through_focus::ContrastPoint;
pub use unit_focus::{Pupil, UnitFocus};
