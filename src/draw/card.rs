//! Cards on paper: to be cut out of a large sheet and folded, or one face a
//! page on a paper as small as a card.
//!
//! ```text
//!  ┌ ○ ───────┬─────── ○ ┐   left: the dark-set face, one line a distance
//!  │          ┆          │   right: the table face, one column a stop
//!  │          ┆          │   folded backward along ┆, both holes meet
//!  └──────────┴──────────┘
//! ```

mod dark;
mod face;
pub(super) mod fit;
mod table;

use core::fmt;

use super::page::Words;
use super::paper::Paper;
use super::ruler::{Arrangement, Checks};
use super::words;
use crate::scene::{
    Correction, Dash, Group, Ink, Item, Page, Path, Pen, Point, Rect, Shape, Turn, Weight,
};
use crate::sheets::Card;
use crate::units::Length;

use face::Space;

/// A card cut out of a larger sheet is as large as A6 (ISO 216).
const WIDTH: Length = Length::mm(105.0);
/// See [`WIDTH`].
const HEIGHT: Length = Length::mm(148.0);
/// Kept free inside a cut edge, where lamination needs it and thumbs hold it.
const MARGIN: Length = Length::mm(8.0);
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

const STEPS: [&str; 4] = [
    "Cut along the outer line.",
    "Fold backward on the broken line, so that both faces are outside.",
    "Punch the holes through both layers; laminate if it may get wet.",
    "Check it against a tape on this camera before use.",
];
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

/// A face that does not fit on its paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoRoom {
    /// The paper's name.
    pub paper: String,
    /// The card's lens and stop.
    pub card: String,
}

impl fmt::Display for NoRoom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "the card of {} does not fit on {} with figures one can read",
            self.card, self.paper
        )
    }
}

impl std::error::Error for NoRoom {}

/// Draws cards: each on a page of its own with both faces side by side where
/// the paper has room for two (A4, Letter), else each face on a page. A table
/// face without stops is left out of small papers and blank on large ones.
///
/// # Errors
/// [`NoRoom`] where a face's figures would be smaller than can be read: on a
/// roll, or with more at the foot than a card holds.
pub fn draw(
    cards: &[Card],
    paper: &Paper,
    ground: Ground,
    correction: Correction,
) -> Result<Vec<Page>, NoRoom> {
    let mut pages = Vec::new();
    for card in cards {
        let sheets = match Sheet::of(paper) {
            Some(sheet) => sheet.folded(card, paper, ground).map(|page| vec![page]),
            None => single(card, paper, ground),
        };
        let sheets = sheets.ok_or_else(|| NoRoom {
            paper: paper.name().to_owned(),
            card: format!("{} mm {}", card.names.focal, card.stop),
        })?;
        pages.extend(sheets.into_iter().map(|page| {
            page.with_title(&format!("Card {} mm {}", card.names.focal, card.stop))
                .with_code(&card.code.to_string())
                .with_correction(correction)
        }));
    }
    Ok(pages)
}

/// A large sheet with rulers, from which a folded card is cut.
struct Sheet {
    checks: Checks,
    /// The bottom left corner of the card as the page is held upright: the top
    /// left one as the card is read, with the page's right edge toward one.
    corner: Point,
}

impl Sheet {
    fn of(paper: &Paper) -> Option<Self> {
        let (across, along) = (HEIGHT + MARK, WIDTH * 2.0 + MARK * 2.0);
        [Arrangement::Foot, Arrangement::Corner]
            .into_iter()
            .map(|arrangement| Checks::on(paper, arrangement))
            .find(|checks| {
                let free = checks.free();
                free.width() >= across && free.height() >= along
            })
            .map(|checks| {
                let free = checks.free();
                let corner = Point::new(free.left() + MARK, free.top() + along - MARK);
                Self { checks, corner }
            })
    }

    fn folded(&self, card: &Card, paper: &Paper, ground: Ground) -> Option<Page> {
        let outline = Rect::between(Point::ORIGIN, Point::new(WIDTH, HEIGHT));
        let inner = outline.inset(MARGIN, MARGIN, MARGIN, MARGIN);
        let space = Space::of(outline, inner, None);
        let mut faces = dark::draw(card, &space)?;
        if !card.table.stops.is_empty() {
            let table = table::draw(card, &space.mirrored())?;
            faces.push(Item::moved(Point::new(WIDTH, Length::ZERO), table));
        }
        let both = Rect::between(Point::ORIGIN, Point::new(WIDTH * 2.0, HEIGHT));
        faces.push(Item::line(
            Point::new(WIDTH, Length::ZERO),
            Point::new(WIDTH, HEIGHT),
            FOLD,
        ));
        let mut items = on_ground(both, ground, faces);
        items.push(Item::stroked(Path::rectangle(both), Pen::FINE));
        items.extend(marks());
        let mut page = paper.page();
        page.extend(self.checks.items());
        page.push(Item::placed(self.corner, Turn::THREE_QUARTERS, items));
        page.extend(self.how_to());
        Some(page)
    }

    /// What to do with it: beside the card outline, or else beside the card.
    fn how_to(&self) -> Vec<Item> {
        let steps = Words {
            title: "Depth card",
            steps: &STEPS,
            cautions: &CAUTIONS,
        };
        steps.beside(&self.checks, Turn::NONE).unwrap_or_else(|| {
            let lines: Vec<_> = STEPS
                .iter()
                .chain(&CAUTIONS)
                .map(|&line| (line, Weight::Regular))
                .collect();
            let block = words::block(&lines, TEXT, WIDTH * 2.0);
            let beside = Point::new(self.corner.x + HEIGHT + MARK, self.corner.y);
            vec![Item::placed(beside, Turn::THREE_QUARTERS, block.items)]
        })
    }
}

/// Short lines outside the corners and at both ends of the fold.
fn marks() -> Vec<Item> {
    let gap = Length::mm(1.0);
    [0.0, 1.0, 2.0]
        .into_iter()
        .flat_map(|count| {
            let x = WIDTH * count;
            [(-MARK, -gap), (HEIGHT + gap, HEIGHT + MARK)]
                .map(|(from, to)| Item::line(Point::new(x, from), Point::new(x, to), Pen::FINE))
        })
        .collect()
}

/// Each face as large as the paper.
fn single(card: &Card, paper: &Paper, ground: Ground) -> Option<Vec<Page>> {
    let safe = paper.safe();
    let area = paper.page().area();
    let note = format!(
        "{} at 100 %: heavy line {:.1} mm",
        paper.name(),
        safe.width().to_mm()
    );
    let space = Space::of(area, safe, Some(note));
    let mut faces = vec![dark::draw(card, &space)?];
    if !card.table.stops.is_empty() {
        faces.push(table::draw(card, &space.mirrored())?);
    }
    let page = |items| {
        let mut page = paper.page();
        page.extend(on_ground(area, ground, items));
        page
    };
    Some(faces.into_iter().map(page).collect())
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
