//! Rulers and a card outline, by which a print is known to be true.
//!
//! Printers stretch one axis and not the other, and drivers shrink pages to
//! fit; so every 1:1 page carries, on both axes, a ruler of 100 mm and one of
//! 4 in, and the outline of a bank card (ISO/IEC 7810 ID-1, 85.60 × 53.98 mm)
//! for whoever has no ruler at hand. The rulers meet at a zero in the bottom
//! left corner of the safe area.
//!
//! ```text
//!  left edge        vertical    free for content
//!  ├ ruler, upward      │
//!  └ zero ── ruler ─────┘  card outline, where there is room
//! ```

use super::paper::Paper;
use super::words;
use crate::scene::{Dash, Item, Path, Pen, Point, Rect, TextRun, Turn, Weight};
use crate::units::Length;

/// The long side of a bank card (ISO/IEC 7810, ID-1).
pub const CARD_LONG: Length = Length::mm(85.60);
/// The short side of a bank card (ISO/IEC 7810, ID-1).
pub const CARD_SHORT: Length = Length::mm(53.98);

/// Figures and words of the rulers, the smallest we print.
const SMALL: Length = Length::mm(2.0);
/// From the base line to the far end of the outer (millimetre) side.
const OUTER: Length = Length::mm(5.0);
/// From the base line to the far end of the inner (inch) side, words included.
const INNER: Length = Length::mm(7.5);
/// Between the rulers or the card and the content.
const GAP: Length = Length::mm(1.5);
/// Below this width between the margins a paper is a roll of tape.
const NARROW: Length = Length::mm(45.0);
const CARD_PEN: Pen = Pen {
    dash: Dash::Broken {
        mark: Length::mm(1.0),
        gap: Length::mm(1.0),
    },
    ..Pen::FINE
};

/// Where the card outline goes, which shapes the space left for content.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Arrangement {
    /// Lying, at the foot of the page: for content that is wide.
    Foot,
    /// Upright, at the right edge: for strips as long as the page.
    Edge,
    /// As two marks on the rulers, for a card whose corner is laid on their
    /// zero: for small papers.
    Corner,
}

/// The rulers and the card outline of a page, and what they leave.
#[derive(Clone, Debug, PartialEq)]
pub struct Checks {
    items: Vec<Item>,
    free: Rect,
    card: Option<Rect>,
    notes: Option<Rect>,
    /// Millimetres of the scales across and along.
    scales: (u32, u32),
}

/// How long the rulers of one axis are.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Extent {
    millimetres: u32,
    inches: u32,
}

impl Extent {
    /// 100 mm and 4 in where they fit, else 50 mm and 2 in, else none.
    fn within(room: Length) -> Option<Self> {
        [(100, 4), (50, 2)]
            .into_iter()
            .map(|(millimetres, inches)| Self {
                millimetres,
                inches,
            })
            .find(|extent| extent.length() <= room)
    }

    fn length(self) -> Length {
        Length::mm(self.millimetres.into()).max(Length::inches(self.inches.into()))
    }
}

impl Checks {
    /// Rulers and card for a paper, the card arranged as asked if there is room
    /// for it, else as marks on the rulers.
    ///
    /// On an axis too short for 100 mm and 4 in the rulers are of 50 mm and
    /// 2 in; on one too short for those there are none.
    /// A roll carries its one ruler on a piece of its own below the content.
    #[must_use]
    pub fn on(paper: &Paper, arrangement: Arrangement) -> Self {
        let safe = paper.safe();
        if safe.width() < NARROW {
            return Self::on_roll(paper);
        }
        let zero = Point::new(safe.left() + OUTER, safe.bottom() - OUTER);
        let across = Extent::within(safe.right() - zero.x);
        let along = Extent::within(zero.y - safe.top());
        let [horizontal, vertical] = paper.directions();
        let mut items = Vec::new();
        if let Some(extent) = across {
            items.push(Item::moved(zero, ruler(extent, horizontal, Side::Below)));
        }
        if let Some(extent) = along {
            let upward = ruler(extent, vertical, Side::Above);
            items.push(Item::placed(zero, Turn::THREE_QUARTERS, upward));
        }
        let taken = |extent: Option<Extent>| extent.map_or(Length::ZERO, |_| OUTER + INNER + GAP);
        let inside = safe.inset(taken(along), Length::ZERO, Length::ZERO, taken(across));
        let beside = zero.x + across.map_or(Length::ZERO, Extent::length) + Length::mm(1.0);

        let (card, free, notes) = match arrangement {
            Arrangement::Foot if beside <= safe.right() - CARD_LONG => {
                let card = card_at(safe, CARD_LONG, CARD_SHORT);
                let up = Length::ZERO.max(inside.bottom() - card.top() + GAP);
                let free = inside.inset(Length::ZERO, Length::ZERO, Length::ZERO, up);
                let corner = Point::new(card.left() - GAP, inside.bottom());
                let notes = Rect::between(Point::new(inside.left(), card.top()), corner);
                (Some(card), free, Some(notes))
            }
            Arrangement::Edge if beside <= safe.right() - CARD_SHORT => {
                let card = card_at(safe, CARD_SHORT, CARD_LONG);
                let in_from_right = CARD_SHORT + GAP;
                let free = inside.inset(Length::ZERO, Length::ZERO, in_from_right, Length::ZERO);
                let corner = Point::new(safe.right(), card.top() - GAP);
                let notes = Rect::between(Point::new(card.left(), safe.top()), corner);
                (Some(card), free, Some(notes))
            }
            Arrangement::Foot | Arrangement::Edge | Arrangement::Corner => (None, inside, None),
        };
        match card {
            Some(card) => items.push(Item::stroked(Path::rectangle(card), CARD_PEN)),
            None => items.extend(card_marks(zero, safe, across)),
        }
        items.extend(paper_line(paper, zero, across, along));
        Self {
            items: vec![Item::layer("rulers", items)],
            free,
            card,
            notes,
            scales: (millimetres(across), millimetres(along)),
        }
    }

    /// A ruler along the length only, then a line to cut, then the content;
    /// nothing on a roll too narrow for a ruler or too short for it.
    fn on_roll(paper: &Paper) -> Self {
        let safe = paper.safe();
        let zero = Point::new(safe.left() + OUTER, safe.bottom());
        let extent = Extent::within(safe.height() / 2.0);
        let (mut items, mut free) = (Vec::new(), safe);
        if let (Some(extent), true) = (extent, safe.width() >= OUTER + INNER) {
            let upward = ruler(extent, "length", Side::Above);
            items.push(Item::placed(zero, Turn::THREE_QUARTERS, upward));
            let beside = Point::new(zero.x + INNER + GAP, safe.bottom());
            let words = [
                (paper.name(), Weight::Regular),
                ("100 %, no scaling", Weight::Bold),
            ];
            let words = words::block(&words, SMALL, extent.length());
            if beside.x + words.height <= safe.right() + SMALL {
                items.push(Item::placed(beside, Turn::THREE_QUARTERS, words.items));
            }
            let cut = zero.y - extent.length() - GAP * 2.0;
            items.push(Item::line(
                Point::new(safe.left(), cut),
                Point::new(safe.right(), cut),
                Pen::CUT,
            ));
            free = safe.inset(
                Length::ZERO,
                Length::ZERO,
                Length::ZERO,
                safe.bottom() - cut + GAP,
            );
        }
        Self {
            items: vec![Item::layer("rulers", items)],
            free,
            card: None,
            notes: None,
            scales: (0, millimetres(extent)),
        }
    }

    /// The rulers and the outline, to be put on the page.
    #[must_use]
    pub fn items(&self) -> Vec<Item> {
        self.items.clone()
    }

    /// The rectangle left for content.
    #[must_use]
    pub const fn free(&self) -> Rect {
        self.free
    }

    /// The card outline, which may serve as the sheet's title block; `None`
    /// when there are only marks on the rulers.
    #[must_use]
    pub const fn card(&self) -> Option<Rect> {
        self.card
    }

    /// How many millimetres the scales across and along the paper have; 0 for
    /// one that is not there.
    #[must_use]
    pub const fn scales(&self) -> (u32, u32) {
        self.scales
    }

    /// A rectangle beside the outline for instructions, where there is one.
    #[must_use]
    pub const fn notes(&self) -> Option<Rect> {
        self.notes
    }
}

fn millimetres(extent: Option<Extent>) -> u32 {
    extent.map_or(0, |extent| extent.millimetres)
}

/// A card in the bottom right corner of the safe area.
fn card_at(safe: Rect, width: Length, height: Length) -> Rect {
    let corner = Point::new(safe.right(), safe.bottom());
    Rect::between(corner.moved(-width, -height), corner)
}

/// On which side of its base line a ruler's outer scale lies, as it reads.
#[derive(Clone, Copy, PartialEq)]
enum Side {
    Above,
    Below,
}

/// A ruler along the x axis from the origin: millimetres on the outer side,
/// inches and words on the inner.
fn ruler(extent: Extent, axis: &str, outer: Side) -> Vec<Item> {
    let out = match outer {
        Side::Above => -1.0,
        Side::Below => 1.0,
    };
    let tick = |x: Length, height: Length| {
        Item::line(
            Point::new(x, Length::ZERO),
            Point::new(x, height),
            Pen::FINE,
        )
    };
    // Where figures stand so that their near edge is `away` from the base line.
    let baseline = |away: Length, direction: f64| {
        if direction > 0.0 { away + SMALL } else { -away }
    };
    let end = extent.length();
    let mut items = vec![Item::line(
        Point::ORIGIN,
        Point::new(end, Length::ZERO),
        Pen::FINE,
    )];
    for mark in 0..=extent.millimetres {
        let x = Length::mm(mark.into());
        let height = match mark {
            mark if mark % 10 == 0 => 3.0,
            mark if mark % 5 == 0 => 2.0,
            _ => 1.2,
        };
        items.push(tick(x, Length::mm(out * height)));
        if mark % 10 == 0 && mark > 0 {
            let at = Point::new(x - Length::mm(0.5), baseline(Length::mm(2.4), out));
            items.push(TextRun::new(&mark.to_string(), SMALL, at).end().into());
        }
    }
    for eighth in 0..=extent.inches * 8 {
        let x = Length::from_inch_64ths(i64::from(eighth) * 8);
        let height = match eighth {
            eighth if eighth % 8 == 0 => 3.0,
            eighth if eighth % 4 == 0 => 2.0,
            _ => 1.2,
        };
        items.push(tick(x, Length::mm(-out * height)));
        if eighth % 8 == 0 && eighth > 0 {
            let figure = (eighth / 8).to_string();
            let at = Point::new(x - Length::mm(0.5), baseline(Length::mm(2.0), -out));
            items.push(TextRun::new(&figure, SMALL, at).end().into());
        }
    }
    for (unit, x, direction) in [("mm", 1.0, out), ("in", 7.2, -out)] {
        let away = if direction == out { 2.4 } else { 2.0 };
        let at = Point::new(Length::mm(x), baseline(Length::mm(away), direction));
        items.push(TextRun::new(unit, SMALL, at).into());
    }
    // Right of where the other ruler's words cross.
    let at = Point::new(Length::mm(9.0), baseline(Length::mm(5.0), -out));
    items.extend(words_and_box(extent, axis, at));
    items
}

/// "must measure …", and a box for what it did measure.
fn words_and_box(extent: Extent, axis: &str, at: Point) -> Vec<Item> {
    let Extent {
        millimetres,
        inches,
    } = extent;
    let words = if millimetres == 100 {
        format!("{axis}: must measure {millimetres} mm and {inches} in · measured")
    } else {
        format!("{axis}: {millimetres} mm are")
    };
    let run = TextRun::new(&words, SMALL, at);
    let left = at.x + run.width() + Length::mm(1.0);
    let blank = Rect::between(
        Point::new(left, at.y + Length::mm(0.5)),
        Point::new(left + Length::mm(14.0), at.y - SMALL - Length::mm(0.5)),
    );
    let unit = Point::new(blank.right() + Length::mm(1.0), at.y);
    vec![
        run.into(),
        Item::stroked(Path::rectangle(blank), Pen::FINE),
        TextRun::new("mm", SMALL, unit).into(),
    ]
}

/// On both rulers, where the far edges of an upright card come to lie whose
/// corner is laid on the zero; nothing is drawn into the content.
fn card_marks(zero: Point, safe: Rect, across: Option<Extent>) -> Vec<Item> {
    if zero.x + CARD_SHORT > safe.right() || zero.y - CARD_LONG < safe.top() {
        return Vec::new();
    }
    let mark = |along: Length, down: f64| {
        let tick = Length::mm(4.0);
        let beside = Point::new(along + Length::mm(0.8), Length::mm(down));
        vec![
            Item::line(
                Point::new(along, -tick),
                Point::new(along, tick),
                Pen::HEAVY,
            ),
            TextRun::new("card", SMALL, beside).into(),
        ]
    };
    // Where the ruler has no figures: beside a short one outside, else inside.
    let beside_end = across.is_none_or(|extent| extent.length() < CARD_SHORT);
    let down = if beside_end { 4.4 } else { -2.0 };
    vec![
        Item::moved(zero, mark(CARD_SHORT, down)),
        Item::placed(zero, Turn::THREE_QUARTERS, mark(CARD_LONG, 4.0)),
    ]
}

/// The paper's name and how to print it, up the left edge above the vertical
/// ruler or, on a small paper, right of the horizontal one.
fn paper_line(
    paper: &Paper,
    zero: Point,
    across: Option<Extent>,
    along: Option<Extent>,
) -> Vec<Item> {
    let safe = paper.safe();
    let room = |axis: Option<Extent>, whole: Length| {
        whole - axis.map_or(Length::ZERO, Extent::length) - GAP
    };
    let upward = room(along, zero.y - safe.top());
    let rightward = room(across, safe.right() - zero.x);
    let how = "print at 100 %, no scaling";
    if upward >= rightward {
        let begin = Point::new(safe.left(), safe.top() + upward);
        let size = paper.size_in_words();
        let lines = words::block(
            &[(&size, Weight::Regular), (how, Weight::Bold)],
            SMALL,
            upward,
        );
        vec![Item::placed(begin, Turn::THREE_QUARTERS, lines.items)]
    } else {
        let at = |below: f64| Point::new(safe.right(), zero.y + Length::mm(below));
        vec![
            TextRun::new(&format!("paper {}", paper.name()), SMALL, at(-2.4))
                .end()
                .into(),
            TextRun::new("100 %, no scaling", SMALL, at(1.1))
                .bold()
                .end()
                .into(),
        ]
    }
}
