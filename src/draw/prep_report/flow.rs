//! What runs on from page to page.

use crate::scene::{Item, Point, TextRun, Weight, printable};
use crate::units::Length;

use super::super::card::fit::shortened;
use super::super::words::filled;

/// From baseline to baseline, in heights of figures.
pub(super) const LEADING: f64 = 1.5;
/// Between one block and the next, in millimetres.
const BETWEEN: f64 = 3.2;
/// Under a heading.
const UNDER_HEADING: f64 = 1.2;
/// Headings of blocks.
const HEADING: f64 = 3.2;
/// So many slabs of a block stand under its head before a page ends.
const AT_LEAST: usize = 3;
/// Between paragraphs, in heights of figures.
const PARAGRAPH: f64 = 0.45;

/// What is never divided: its items from a top left corner, and its height in
/// millimetres.
#[derive(Clone, Debug, Default)]
pub(super) struct Slab {
    pub(super) items: Vec<Item>,
    pub(super) height: f64,
}

/// Slabs one under the other, with a head that is said again on every page they
/// run on to.
#[derive(Clone, Debug, Default)]
pub(super) struct Block {
    pub(super) head: Slab,
    pub(super) slabs: Vec<Slab>,
}

/// Words of one size.
#[derive(Clone, Debug)]
pub(super) struct Line {
    pub(super) text: String,
    pub(super) height: f64,
    pub(super) weight: Weight,
    pub(super) breaks: Breaks,
}

/// Where words may go on in the next line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Breaks {
    /// Between any two.
    Words,
    /// After a comma: figures with their units.
    Commas,
    /// Nowhere: a figure.
    Never,
}

impl Breaks {
    /// What stays together of a text.
    pub(super) fn parts(self, text: &str) -> Vec<&str> {
        match self {
            Self::Words => text.split_whitespace().collect(),
            Self::Commas => text.split_inclusive(", ").map(str::trim).collect(),
            Self::Never => vec![text],
        }
    }
}

impl Line {
    pub(super) fn regular(text: impl Into<String>, height: f64) -> Self {
        Self {
            text: text.into(),
            height,
            weight: Weight::Regular,
            breaks: Breaks::Words,
        }
    }

    pub(super) fn bold(text: impl Into<String>, height: f64) -> Self {
        Self {
            weight: Weight::Bold,
            ..Self::regular(text, height)
        }
    }

    /// The same, never broken.
    pub(super) fn whole(self) -> Self {
        let breaks = Breaks::Never;
        Self { breaks, ..self }
    }

    /// The same, broken after commas alone.
    pub(super) fn after_commas(self) -> Self {
        let breaks = Breaks::Commas;
        Self { breaks, ..self }
    }

    /// The words in lines no wider than `width`; a longer word is cut.
    pub(super) fn broken(&self, width: f64) -> Vec<String> {
        let (height, width) = (Length::mm(self.height), Length::mm(width));
        let text = printable(&self.text);
        let parts = self.breaks.parts(&text).into_iter();
        let lines = filled(parts, self.weight, height, width);
        let fitting = |line: &String| shortened(line, self.weight, height, width);
        lines.iter().map(fitting).collect()
    }

    /// One of its broken lines, from a left end.
    pub(super) fn run(&self, text: &str, at: Point) -> TextRun {
        let run = TextRun::new(text, Length::mm(self.height), at);
        match self.weight {
            Weight::Regular => run,
            Weight::Bold => run.bold(),
        }
    }
}

/// Words as slabs, a paragraph each.
pub(super) fn words(lines: &[Line], width: f64) -> Vec<Slab> {
    let paragraph = |line: &Line| {
        let texts = line.broken(width);
        let foot = |number: usize| line.height * (1.0 + LEADING * number as f64);
        let runs = texts.iter().enumerate();
        let runs = runs.map(|(number, text)| line.run(text, Point::mm(0.0, foot(number))).into());
        Slab {
            items: runs.collect(),
            height: line.height * (LEADING * texts.len() as f64 + PARAGRAPH),
        }
    };
    lines.iter().map(paragraph).collect()
}

/// Slabs that stay together as one.
pub(super) fn together(slabs: Vec<Slab>) -> Slab {
    let mut whole = Slab::default();
    for slab in slabs {
        let at = Point::mm(0.0, whole.height);
        whole.items.push(Item::moved(at, slab.items));
        whole.height += slab.height;
    }
    whole
}

/// A heading.
pub(super) fn heading(text: &str, width: f64) -> Slab {
    let mut slab = together(words(&[Line::bold(text, HEADING)], width));
    slab.height += UNDER_HEADING;
    slab
}

impl Block {
    /// A heading with words under it.
    pub(super) fn words(title: &str, paragraphs: &[String], height: f64, width: f64) -> Self {
        let lines = paragraphs.iter().map(|text| Line::regular(text, height));
        Self {
            head: heading(title, width),
            slabs: words(&lines.collect::<Vec<_>>(), width),
        }
    }

    /// What is never divided, without a head.
    pub(super) fn whole(slab: Slab) -> Self {
        Self {
            head: Slab::default(),
            slabs: vec![slab],
        }
    }
}

/// Blocks on pages of a height in millimetres; `None` where one thing is higher
/// than a page.
pub(super) fn flow(blocks: Vec<Block>, room: f64) -> Option<Vec<Vec<Item>>> {
    let mut pages = vec![Vec::new()];
    let mut down = 0.0;
    let before = |down: f64| if down > 0.0 { BETWEEN } else { 0.0 };
    for Block { head, slabs } in blocks {
        let mut begun = false;
        let first: f64 = slabs.iter().take(AT_LEAST).map(|slab| slab.height).sum();
        for (number, slab) in slabs.into_iter().enumerate() {
            let headed = if begun {
                0.0
            } else {
                before(down) + head.height
            };
            let wished = if number == 0 { first } else { slab.height };
            if down > 0.0 && down + headed + wished > room {
                pages.push(Vec::new());
                (down, begun) = (0.0, false);
            }
            let page = pages.last_mut()?;
            if !begun {
                down += before(down);
                page.push(Item::moved(Point::mm(0.0, down), head.items.clone()));
                down += head.height;
                begun = true;
            }
            page.push(Item::moved(Point::mm(0.0, down), slab.items));
            down += slab.height;
            if down > room {
                return None;
            }
        }
    }
    Some(pages)
}
