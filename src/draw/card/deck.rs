//! The faces of cards on paper: two side by side on a sheet from which a folded
//! card is cut, or each on a page of its own.
//!
//! ```text
//!  upright: faces side by side     on its side: one below the other, the second
//!  ┌ ○ ───┬─── ○ ┐  folded along ┆ ┌ ○ ──────┐  upside down, so that it reads
//!  │      ┆      │                 ├┄┄┄┄┄┄┄┄┄┤  upright when the card is turned
//!  └──────┴──────┘                 └ ○ ──────┘  over like a page
//! ```

use super::super::page::Words;
use super::super::paper::Paper;
use super::super::plot::Lie;
use super::super::ruler::{Arrangement, Checks};
use super::super::words;
use super::face::Space;
use super::{CardStyle, Ground};
use crate::scene::{Dash, Group, Ink, Item, Page, Path, Pen, Point, Rect, Shape, Turn, Weight};
use crate::units::Length;

/// A card cut out of a larger sheet is as large as A6 (ISO 216).
const SHORT: Length = Length::mm(105.0);
/// See [`SHORT`].
const LONG: Length = Length::mm(148.0);
/// How far the marks for cutting and folding reach out of the card.
const MARK: Length = Length::mm(4.0);
/// Words beside the card.
const TEXT: Length = Length::mm(2.5);
/// Where to fold.
const FOLD: Pen = Pen {
    dash: Dash::Broken {
        mark: Length::mm(4.0),
        gap: Length::mm(1.5),
    },
    ..Pen::FINE
};

/// What is done with a sheet, whatever card it is.
pub(super) const STEPS: [&str; 4] = [
    "Cut along the outer line.",
    "Fold backward on the broken line, so that both faces are outside.",
    "Punch the holes through both layers; laminate if it may get wet.",
    "Check it against a tape on this camera before use.",
];

/// A paper, and where on it faces stand.
pub(super) struct Deck<'a> {
    paper: Paper,
    /// A large sheet from which folded cards are cut.
    sheet: Option<Sheet>,
    style: &'a CardStyle<'a>,
    lies: bool,
}

impl<'a> Deck<'a> {
    /// Two faces on a sheet where the paper has room for them, unless each is
    /// wanted alone.
    pub(super) fn of(paper: &Paper, style: &'a CardStyle<'a>, alone: bool) -> Self {
        let lies = style.lie == Lie::Landscape;
        let sheet = Sheet::of(paper).filter(|_| !alone);
        let paper = if lies && sheet.is_none() {
            paper.laid()
        } else {
            paper.clone()
        };
        Self {
            paper,
            sheet,
            style,
            lies,
        }
    }

    /// Where a face may print: the first, third … of a card has its hole at the
    /// left, those behind them at the right.
    pub(super) fn space(&self, face: usize) -> Space {
        let margin = self.style.layout.margin;
        let space = match &self.sheet {
            Some(_) => {
                let (width, height) = if self.lies {
                    (LONG, SHORT)
                } else {
                    (SHORT, LONG)
                };
                let outline = Rect::between(Point::ORIGIN, Point::new(width, height));
                let inner = outline.inset(margin, margin, margin, margin);
                Space::of(outline, inner, None)
            }
            None => {
                let area = self.paper.page().area();
                let free = area.inset(margin, margin, margin, margin);
                let safe = self.paper.safe();
                let inner = Rect::between(
                    Point::new(safe.left().max(free.left()), safe.top().max(free.top())),
                    Point::new(
                        safe.right().min(free.right()),
                        safe.bottom().min(free.bottom()),
                    ),
                );
                let note = format!(
                    "{} at 100 %: heavy line {:.1} mm",
                    self.paper.name(),
                    inner.width().to_mm()
                );
                Space::of(area, inner, Some(note))
            }
        };
        if face.is_multiple_of(2) {
            space
        } else {
            space.mirrored()
        }
    }

    /// The pages of some faces, drawn in black in their spaces; `words` are those
    /// beside a card that is cut out.
    pub(super) fn pages(&self, faces: Vec<Vec<Item>>, words: &Words<'_>) -> Vec<Page> {
        let Some(sheet) = &self.sheet else {
            let area = self.paper.page().area();
            let page = |items| {
                let mut page = self.paper.page();
                page.extend(on_ground(area, self.style.ground, items));
                page
            };
            return faces.into_iter().map(page).collect();
        };
        let mut pages = Vec::new();
        let mut faces = faces.into_iter();
        while let Some(front) = faces.next() {
            let back = faces.next().unwrap_or_default();
            let card = self.folded(front, back);
            // Upright faces lie across the page, with its right edge toward one.
            let card = if self.lies {
                Item::moved(sheet.corner, card)
            } else {
                Item::placed(sheet.below(), Turn::THREE_QUARTERS, card)
            };
            let mut page = self.paper.page();
            page.extend(sheet.checks.items());
            page.push(card);
            page.extend(sheet.how_to(words));
            pages.push(page);
        }
        pages
    }

    /// Both faces in one outline, as they lie on the sheet before it is folded.
    fn folded(&self, front: Vec<Item>, back: Vec<Item>) -> Vec<Item> {
        let (whole, fold, turned) = if self.lies {
            let fold = [Point::new(Length::ZERO, SHORT), Point::new(LONG, SHORT)];
            (Point::new(LONG, SHORT * 2.0), fold, Turn::HALF)
        } else {
            let fold = [Point::new(SHORT, Length::ZERO), Point::new(SHORT, LONG)];
            (Point::new(SHORT * 2.0, LONG), fold, Turn::NONE)
        };
        let mut items = front;
        if !back.is_empty() {
            let at = if self.lies {
                whole
            } else {
                Point::new(SHORT, Length::ZERO)
            };
            items.push(Item::placed(at, turned, back));
        }
        items.push(Item::line(fold[0], fold[1], FOLD));
        let outline = Rect::between(Point::ORIGIN, whole);
        let mut items = on_ground(outline, self.style.ground, items);
        items.push(Item::stroked(Path::rectangle(outline), Pen::FINE));
        items.extend(marks(self.lies));
        items
    }
}

/// A large sheet with rulers, from which a folded card is cut.
struct Sheet {
    checks: Checks,
    /// The top left corner of the card as the page is held upright.
    corner: Point,
}

impl Sheet {
    fn of(paper: &Paper) -> Option<Self> {
        let (across, along) = (LONG + MARK, SHORT * 2.0 + MARK * 2.0);
        [Arrangement::Foot, Arrangement::Corner]
            .into_iter()
            .map(|arrangement| Checks::on(paper, arrangement))
            .find(|checks| {
                let free = checks.free();
                free.width() >= across && free.height() >= along
            })
            .map(|checks| {
                let free = checks.free();
                let corner = Point::new(free.left() + MARK, free.top() + MARK);
                Self { checks, corner }
            })
    }

    /// The bottom left corner of the card as the page is held upright.
    fn below(&self) -> Point {
        Point::new(self.corner.x, self.corner.y + SHORT * 2.0)
    }

    /// What to do with it: beside the card outline, or else beside the card.
    fn how_to(&self, words: &Words<'_>) -> Vec<Item> {
        words.beside(&self.checks, Turn::NONE).unwrap_or_else(|| {
            let lines: Vec<_> = words
                .steps
                .iter()
                .chain(words.cautions)
                .map(|&line| (line, Weight::Regular))
                .collect();
            let block = words::block(&lines, TEXT, SHORT * 2.0);
            let below = self.below();
            let beside = Point::new(below.x + LONG + MARK, below.y);
            vec![Item::placed(beside, Turn::THREE_QUARTERS, block.items)]
        })
    }
}

/// Short lines outside the corners and at both ends of the fold.
fn marks(lies: bool) -> Vec<Item> {
    let gap = Length::mm(1.0);
    let at = |along: Length, across: Length| {
        if lies {
            Point::new(across, along)
        } else {
            Point::new(along, across)
        }
    };
    [0.0, 1.0, 2.0]
        .into_iter()
        .flat_map(|count| {
            let along = SHORT * count;
            [(-MARK, -gap), (LONG + gap, LONG + MARK)]
                .map(|(from, to)| Item::line(at(along, from), at(along, to), Pen::FINE))
        })
        .collect()
}

/// Faces are drawn in black; on a dark ground every ink is turned over.
fn on_ground(area: Rect, ground: Ground, items: Vec<Item>) -> Vec<Item> {
    match ground {
        Ground::Light => items,
        Ground::Dark => {
            let black = Item::filled(Path::rectangle(area), Ink::Black);
            let turned = items.into_iter().map(turned_over);
            core::iter::once(black).chain(turned).collect()
        }
    }
}

fn turned_over(item: Item) -> Item {
    match item {
        Item::Shape(shape) => Item::Shape(Shape {
            fill: shape.fill.map(Ink::opposite),
            stroke: shape.stroke.map(|pen| pen.inked(pen.ink.opposite())),
            path: shape.path,
        }),
        Item::Text(run) => {
            let ink = run.ink().opposite();
            run.inked(ink).into()
        }
        Item::Group(group) => Item::Group(Group {
            items: group.items.into_iter().map(turned_over).collect(),
            ..group
        }),
    }
}
