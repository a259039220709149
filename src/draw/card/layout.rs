//! What a crew may change of its cards: `charts/card.toml` and the files beside it.

use crate::sheets::CardWords;
use crate::units::Length;

/// Everything that is printed on cards and can be chosen there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Column {
    /// Depth card: near and far limit.
    Limits,
    /// Depth card: how far the subject may miss the mark.
    Misses,
    /// Hyperfocal card: the near limit.
    Near,
    /// Hyperfocal card: the place on the lens's own scale.
    Place,
    /// Field card: width of the frame.
    Width,
    /// Field card: height of the frame.
    Height,
    /// Field card: the angle of view across and down.
    Angle,
    /// Conversion card: feet and inches to metres.
    FeetToMetres,
    /// Conversion card: metres to feet and inches.
    MetresToFeet,
    /// Conversion card: T-stops to f-stops.
    Stops,
}

impl Column {
    /// All of them.
    pub const ALL: [Self; 10] = [
        Self::Limits,
        Self::Misses,
        Self::Near,
        Self::Place,
        Self::Width,
        Self::Height,
        Self::Angle,
        Self::FeetToMetres,
        Self::MetresToFeet,
        Self::Stops,
    ];

    /// What layout files call it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Limits => "limits",
            Self::Misses => "misses",
            Self::Near => "near",
            Self::Place => "place",
            Self::Width => "width",
            Self::Height => "height",
            Self::Angle => "angle",
            Self::FeetToMetres => "feet_to_metres",
            Self::MetresToFeet => "metres_to_feet",
            Self::Stops => "stops",
        }
    }
}

/// How one kind of card is laid out.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// Kept free inside the edges of a card, where a printer or a cut allows less.
    pub margin: Length,
    /// Least height of the figures one looks for.
    pub figures: Length,
    /// Least height of the figures beside them.
    pub limits: Length,
    /// Least height of all other figures.
    pub others: Length,
    /// The most lines a face has.
    pub lines: usize,
    /// The most stops across.
    pub stops: usize,
    /// What stands in columns.
    pub columns: Vec<Column>,
    /// Which words stand there that one may do without.
    pub words: CardWords,
    /// Whether a drawing stands there.
    pub drawing: bool,
}

impl Layout {
    /// Whether it has a column.
    #[must_use]
    pub fn has(&self, column: Column) -> bool {
        self.columns.contains(&column)
    }
}

/// The layouts of all kinds of cards.
#[derive(Clone, Debug, PartialEq)]
pub struct Layouts {
    /// Of depth cards, `card.toml`.
    pub card: Layout,
    /// Of hyperfocal cards, `hyperfocals.toml`.
    pub hyperfocals: Layout,
    /// Of field cards, `fields.toml`.
    pub fields: Layout,
    /// Of conversion cards, `conversions.toml`.
    pub conversions: Layout,
}
