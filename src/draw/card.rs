//! Cards on paper: to be cut out of a large sheet and folded, or one face a
//! page on a paper as small as a card.
//!
//! ```text
//!  ┌ ○ ───────┬─────── ○ ┐   left: the dark-set face, one line a distance
//!  │          ┆          │   right: the table face, one column a stop
//!  │          ┆          │   folded backward along ┆, both holes meet
//!  └──────────┴──────────┘
//! ```
//!
//! The other cards of a set (hyperfocal distances, fields, conversions) are
//! tables of their own on the same faces.

mod conversions;
mod dark;
mod deck;
mod face;
mod fields;
pub(super) mod fit;
mod grid;
mod hyperfocals;
mod layout;
mod sides;
mod table;

use core::fmt;

use super::page::Words;
use super::paper::Paper;
use super::plot::Lie;
use crate::scene::{Correction, Page};
use crate::sheets::Card;

use deck::{Deck, STEPS};
use face::Title;

pub use conversions::draw as draw_conversions;
pub use fields::{draw as draw_field, draw_set as draw_field_set};
pub use hyperfocals::draw as draw_hyperfocals;
pub use layout::{Column, Layout, Layouts};

/// By so much the figures of the large look are higher than those of the others
/// on the same paper.
const LARGER: f64 = 1.4;

const CAUTIONS: [&str; 2] = [
    "Limits rest on the circle named at the foot of each face.",
    "≈ marks figures of a lens whose pupils are unknown.",
];

/// What a card is printed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Ground {
    /// Black on white.
    #[default]
    Light,
    /// White on black: no bright page on a dark set.
    Dark,
}

/// Which faces of a depth card are printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Faces {
    /// Both.
    #[default]
    Both,
    /// The dark-set face, on a page of its own.
    Dark,
    /// The table face, on a page of its own.
    Table,
}

/// How cards are drawn.
#[derive(Clone, Copy, Debug)]
pub struct CardStyle<'a> {
    /// What on.
    pub ground: Ground,
    /// Whether figures are 1.4 times as high, in fewer lines.
    pub large: bool,
    /// How the card lies.
    pub lie: Lie,
    /// Which faces.
    pub faces: Faces,
    /// What a crew has chosen.
    pub layout: &'a Layout,
    /// What the printer is corrected for.
    pub correction: Correction,
}

impl<'a> CardStyle<'a> {
    /// Both faces upright, not corrected.
    #[must_use]
    pub const fn new(ground: Ground, layout: &'a Layout) -> Self {
        Self {
            ground,
            large: false,
            lie: Lie::Portrait,
            faces: Faces::Both,
            layout,
            correction: Correction::NONE,
        }
    }

    /// Whether a face has a page of its own, as large as the paper.
    fn alone(&self) -> bool {
        self.faces != Faces::Both
    }

    /// A page with what every page of a card has.
    fn finished(&self, page: Page, title: &str, code: &str) -> Page {
        page.with_title(title)
            .with_code(code)
            .with_correction(self.correction)
    }
}

/// A face that does not fit on its paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoRoom {
    /// The paper's name.
    pub paper: String,
    /// What the card is of.
    pub card: String,
    /// Whether its figures were wanted large.
    pub large: bool,
}

impl NoRoom {
    fn of(card: String, paper: &Paper, style: &CardStyle<'_>) -> Self {
        Self {
            paper: paper.name().to_owned(),
            card,
            large: style.large,
        }
    }
}

impl fmt::Display for NoRoom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let figures = if self.large {
            "large figures"
        } else {
            "figures one can read"
        };
        write!(
            f,
            "the card of {} does not fit on {} with {figures}",
            self.card, self.paper
        )
    }
}

impl std::error::Error for NoRoom {}

/// Draws depth cards: each on a page of its own with both faces side by side where
/// the paper has room for two (A4, Letter), else each face on a page. A table
/// face without stops is left out of small papers and blank on large ones.
/// Where not all lines have room, those worth most are kept.
///
/// # Errors
/// [`NoRoom`] where not one line of a face can be read: on a roll, or with more
/// at the foot than a card holds.
pub fn draw(cards: &[Card], paper: &Paper, style: &CardStyle<'_>) -> Result<Vec<Page>, NoRoom> {
    let mut pages = Vec::new();
    for card in cards {
        let deck = Deck::of(paper, style, style.alone());
        let faces = faces(card, &deck, style).ok_or_else(|| {
            let card = format!("{} mm {}", card.names.focal, card.stop);
            NoRoom::of(card, paper, style)
        })?;
        let words = Words {
            title: "Depth card",
            steps: &STEPS,
            cautions: &CAUTIONS,
        };
        let title = format!("Card {} mm {}", card.names.focal, card.stop);
        let code = card.code.to_string();
        let drawn = deck.pages(faces, &words).into_iter();
        pages.extend(drawn.map(|page| style.finished(page, &title, &code)));
    }
    Ok(pages)
}

/// The faces of a card that are wanted.
fn faces(
    card: &Card,
    deck: &Deck<'_>,
    style: &CardStyle<'_>,
) -> Option<Vec<Vec<crate::scene::Item>>> {
    let mut faces = Vec::new();
    if style.faces != Faces::Table {
        faces.push(dark::draw(card, &deck.space(0), style)?);
    }
    if style.faces == Faces::Table {
        // Nothing to show is nothing that fits.
        card.table.stops.first()?;
        faces.push(table::draw(card, &deck.space(0), style)?);
    } else if style.faces == Faces::Both && !card.table.stops.is_empty() {
        faces.push(table::draw(card, &deck.space(1), style)?);
    }
    Some(faces)
}

/// Whose card it is.
fn title(card: &Card, date: bool) -> Title<'_> {
    Title {
        names: &card.names,
        code: card.code,
        large: &card.names.focal,
        unit: "mm",
        date,
    }
}
