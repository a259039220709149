//! What many sheets share: a title block, and instructions beside it.

use super::ruler::Checks;
use super::words::{Block, block};
use crate::scene::{Item, Point, Rect, TextRun, Turn, Weight};
use crate::units::Length;

/// Words of instructions.
const TEXT: Length = Length::mm(2.5);
/// Smallest words, for cautions.
const SMALL: Length = Length::mm(2.0);
/// Figures of a title.
const TITLE: Length = Length::mm(4.0);
/// Around words in a block.
const PAD: Length = Length::mm(3.0);

/// What the marks on the rulers of a small paper are for.
pub(super) const CARD_MARKS: &str = "A bank card laid with a corner on the rulers' common zero must just reach the two lines “card”.";

/// A rectangle seen the way its words are read: origin at its own top left.
struct Area {
    origin: Point,
    turn: Turn,
    width: Length,
    height: Length,
}

impl Area {
    /// A rectangle whose words read upright ([`Turn::NONE`]) or else upward.
    fn of(rect: Rect, turn: Turn) -> Self {
        if turn == Turn::NONE {
            Self {
                origin: Point::new(rect.left(), rect.top()),
                turn,
                width: rect.width(),
                height: rect.height(),
            }
        } else {
            Self {
                origin: Point::new(rect.left(), rect.bottom()),
                turn: Turn::THREE_QUARTERS,
                width: rect.height(),
                height: rect.width(),
            }
        }
    }

    fn place(&self, items: Vec<Item>) -> Item {
        Item::placed(self.origin, self.turn, items)
    }
}

/// The words of a sheet.
pub(super) struct Words<'a> {
    /// What it is called.
    pub(super) title: &'a str,
    /// What to do; numbered when printed.
    pub(super) steps: &'a [&'a str],
    /// What can go wrong.
    pub(super) cautions: &'a [&'a str],
}

impl Words<'_> {
    /// The steps, numbered.
    pub(super) fn numbered(&self, height: Length, width: Length) -> Block {
        let numbered = self.numbered_lines();
        let lines: Vec<(&str, Weight)> = numbered
            .iter()
            .map(|step| (step.as_str(), Weight::Regular))
            .collect();
        block(&lines, height, width)
    }

    fn numbered_lines(&self) -> Vec<String> {
        let numbered = (1..).zip(self.steps);
        let numbered = numbered.map(|(number, step)| format!("{number}. {step}"));
        numbered.collect()
    }

    /// Title and cautions inside the card outline, steps in the notes; `None`
    /// on a page without them.
    pub(super) fn beside(&self, checks: &Checks, turn: Turn) -> Option<Vec<Item>> {
        let card = Area::of(checks.card()?, turn);
        let notes = Area::of(checks.notes()?, turn);
        let title = TextRun::new(self.title, TITLE, Point::new(PAD, PAD + TITLE)).bold();
        let below_title = Point::new(PAD, PAD * 2.0 + TITLE);
        let hint = TextRun::new(
            "a bank card must just cover this outline",
            SMALL,
            Point::new(PAD, card.height - PAD),
        );
        let cautions = self.cautions(card.width - PAD * 2.0);
        Some(vec![
            notes.place(self.numbered(TEXT, notes.width - PAD).items),
            card.place(vec![
                title.into(),
                Item::moved(below_title, cautions.items),
                hint.into(),
            ]),
        ])
    }

    /// Title, steps, cautions and the card check of a paper without an outline,
    /// each in a block of its own.
    pub(super) fn blocks(&self, height: Length, width: Length) -> Vec<Block> {
        let steps = self.numbered_lines();
        core::iter::once((self.title, Weight::Bold))
            .chain(steps.iter().map(|step| (step.as_str(), Weight::Regular)))
            .chain(self.cautions.iter().map(|&line| (line, Weight::Regular)))
            .chain([(CARD_MARKS, Weight::Regular)])
            .map(|paragraph| block(&[paragraph], height, width))
            .collect()
    }

    fn cautions(&self, width: Length) -> Block {
        let lines: Vec<(&str, Weight)> = self
            .cautions
            .iter()
            .map(|&caution| (caution, Weight::Regular))
            .collect();
        block(&lines, SMALL, width)
    }
}
