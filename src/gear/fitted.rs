//! What a lens is beyond its figures at infinity focus, and what is screwed to
//! it.

use core::fmt;

use crate::optics::{
    AnyLens, Attached, Bare, Behind, Breathing, BreathingRow, CannotAttach, CloseUp, NoBreathing,
    Squeeze, UnitFocus,
};

/// Breathing, squeeze and attachments; empty for a plain lens.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fitted {
    /// What is known of its settings, for a lens that breathes.
    pub breathing: Vec<BreathingRow>,
    /// How it squeezes, for an anamorphic one.
    pub squeeze: Option<Squeeze>,
    /// What is behind it, from the lens to the image plane.
    pub behind: Vec<Behind>,
    /// Close-up lenses before it.
    pub front: Vec<CloseUp>,
    /// Whether the close-up lens covers half the frame only.
    pub half: bool,
}

/// Why figures and attachments make no lens.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoLens {
    /// The rows of a breathing lens describe none.
    Breathing(NoBreathing),
    /// Something cannot be attached.
    Attach(CannotAttach),
}

impl fmt::Display for NoLens {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Breathing(reason) => reason.fmt(f),
            Self::Attach(reason) => reason.fmt(f),
        }
    }
}

impl core::error::Error for NoLens {}

impl Fitted {
    /// Whether anything moves the focus away from the lens's own scale.
    #[must_use]
    pub fn voids_the_scale(&self) -> bool {
        !self.behind.is_empty() || !self.front.is_empty()
    }

    /// The same without the close-up lenses.
    #[must_use]
    pub fn without_front(&self) -> Self {
        Self {
            front: Vec::new(),
            ..self.clone()
        }
    }

    /// The whole lens around what it is at infinity focus.
    ///
    /// # Errors
    /// [`NoLens`] when the rows or the attachments cannot be.
    pub fn lens(&self, at_infinity: UnitFocus) -> Result<AnyLens, NoLens> {
        let bare = if self.breathing.is_empty() {
            Bare::Unit(at_infinity)
        } else {
            let lens = Breathing::new(at_infinity, &self.breathing);
            Bare::Breathing(lens.map_err(NoLens::Breathing)?)
        };
        if !self.voids_the_scale() {
            return Ok(bare.into());
        }
        Attached::new(bare, self.behind.clone(), self.front.clone())
            .map(|whole| AnyLens::Attached(Box::new(whole)))
            .map_err(NoLens::Attach)
    }
}
