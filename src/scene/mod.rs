//! A flat drawing in millimetres, and how wide its letters are.
//!
//! A [`Page`] holds a handful of kinds of [`Item`]. The origin is the top left
//! corner of the paper, x runs right, y runs **down**, and 1 mm here is 1 mm on
//! paper. Nothing here knows optics or a file format; back ends match [`Item`]
//! without a wildcard, so that a new kind of item breaks them at compile time.
//!
//! ```text
//! Page ── items ── Shape  a path, filled or stroked
//!               ├─ TextRun  one line of words, already placed
//!               └─ Group  items moved and turned together, perhaps a layer
//! ```

mod face;
mod geometry;
mod item;
mod page;
mod path;
mod text;

pub use face::{Face, Glyph, Weight, printable};
pub use geometry::{Affine, Point, Rect, Turn};
pub use item::{Dash, Group, Ink, Item, Pen, Shape};
pub use page::{Correction, CorrectionFault, Page, PageFault};
pub use path::{Path, Segment};
pub use text::{Anchor, TextRun};
