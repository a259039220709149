//! Strips for hand units on pages, true to scale.
//!
//! A strip is a tape for a wheel: it is drawn, divided and packed as one (see
//! `tape`). Which way it grows is what `tape/lie.rs` derives for a ring, the face
//! of the wheel standing for the rear of the ring.

use super::paper::Paper;
use super::tape::{self, NoRoom};
use crate::scene::{Correction, Page};
use crate::sheets::Strip;

/// Strips on as many pages as they need, in their order, true to scale.
///
/// # Errors
/// [`NoRoom`] for the first strip that cannot be drawn.
pub fn draw(strips: &[Strip], paper: &Paper, correction: Correction) -> Result<Vec<Page>, NoRoom> {
    tape::strips(strips, paper, correction)
}
