//! The page of blank strips.

use super::page::Words;
use super::paper::Paper;
use super::ruler::{Arrangement, Checks};
use crate::scene::{Item, Page, Path, Pen, Point, Rect, TextRun, Turn};
use crate::sheets::{Piece, StripRuler};
use crate::units::Length;

/// Between two strips, so that each has a cut line of its own.
const BETWEEN: Length = Length::mm(2.0);
/// Figures at every centimetre.
const FIGURES: Length = Length::mm(2.2);
/// Words on the strip.
const WORDS: Length = Length::mm(2.0);

/// Draws strips side by side along the page, pieces 1 and 2 in turn.
///
/// They lie along the length of the paper, to be read with its right edge
/// toward one; a paper too small for any gives a page with rulers only.
#[must_use]
pub fn draw(sheet: &StripRuler, paper: &Paper) -> Page {
    let checks = Checks::on(paper, Arrangement::Edge);
    let free = checks.free();
    let mut page = paper.page().with_title(sheet.title());
    page.extend(checks.items());

    let words = Words {
        title: sheet.title(),
        steps: sheet.steps(),
        cautions: sheet.cautions(),
    };
    let reserved = match words.beside(&checks, Turn::THREE_QUARTERS) {
        Some(items) => {
            page.extend(items);
            Length::ZERO
        }
        None => {
            let small = words.cautions_only(free.height());
            // The last half line of the block may be blank.
            let left = free.right() - small.height + BETWEEN / 2.0;
            page.push(Item::placed(
                Point::new(left, free.bottom()),
                Turn::THREE_QUARTERS,
                small.items,
            ));
            small.height
        }
    };

    let pieces = sheet.pieces(free.height());
    let mut left = free.left();
    for piece in pieces.iter().cycle() {
        if left + sheet.width() > free.right() - reserved {
            break;
        }
        let foot = Point::new(left, free.bottom());
        page.push(Item::placed(
            foot,
            Turn::THREE_QUARTERS,
            strip(sheet, piece),
        ));
        left = left + sheet.width() + BETWEEN;
    }
    page
}

/// One strip, its cut end at the origin, its graduated edge along the bottom.
fn strip(sheet: &StripRuler, piece: &Piece) -> Vec<Item> {
    let (width, length) = (sheet.width(), piece.to - piece.from);
    let at = |reading: Length| reading - piece.from;
    let outline = Rect::between(Point::ORIGIN, Point::new(length, width));
    let mut items = vec![
        Item::stroked(Path::rectangle(outline), Pen::CUT),
        // The end that is laid on a reading is a whole line, cut along it.
        upright(Length::ZERO, Length::ZERO, width, Pen::HEAVY),
    ];
    let step = sheet.figure_step().to_mm();
    let mut millimetre = piece.from.to_mm();
    while millimetre <= piece.to.to_mm() {
        let reading = Length::mm(millimetre);
        let (long, pen) = if millimetre % step == 0.0 {
            (5.0, Pen::HEAVY)
        } else if millimetre % 5.0 == 0.0 {
            (3.6, Pen::FINE)
        } else {
            (2.2, Pen::FINE)
        };
        if at(reading).is_positive() {
            items.push(upright(at(reading), width - Length::mm(long), width, pen));
        }
        if millimetre % step == 0.0 {
            let joined = piece.next_at == Some(reading);
            items.extend(figure(at(reading), length, width, millimetre, joined));
        }
        millimetre += 1.0;
    }
    items.push(identity(piece));
    if let Some(reading) = piece.next_at {
        items.extend(join(at(reading), width));
    }
    items
}

fn upright(x: Length, top: Length, bottom: Length, pen: Pen) -> Item {
    Item::line(Point::new(x, top), Point::new(x, bottom), pen)
}

/// The reading over its tick; at the ends it moves inside the strip, and where
/// the next strip is laid it leaves the line free.
fn figure(x: Length, length: Length, width: Length, millimetre: f64, joined: bool) -> Option<Item> {
    let baseline = width - Length::mm(5.6);
    let run = TextRun::new(&format!("{millimetre}"), FIGURES, Point::new(x, baseline));
    let half = run.width() / 2.0;
    let inset = Length::mm(0.8);
    let run = if x - half < inset {
        TextRun::new(run.words(), FIGURES, Point::new(inset, baseline))
    } else if joined {
        TextRun::new(run.words(), FIGURES, Point::new(x - inset, baseline)).end()
    } else if x + half > length - inset {
        return None;
    } else {
        run.middle()
    };
    Some(run.into())
}

/// Which strip this is, and blanks for what it was wrapped round.
fn identity(piece: &Piece) -> Item {
    let baseline = Length::mm(1.2) + WORDS;
    let words = format!(
        "strip {}   lens ____________   camera ____   date __________",
        piece.number
    );
    TextRun::new(&words, WORDS, Point::new(Length::mm(2.0), baseline)).into()
}

/// The line on which the end of the next strip is laid.
fn join(x: Length, width: Length) -> Vec<Item> {
    let baseline = Length::mm(1.2) + WORDS;
    let side = Length::mm(1.6);
    let tip = Point::new(x, Length::ZERO);
    let triangle = [
        tip,
        tip.moved(-side, Length::ZERO),
        tip.moved(Length::ZERO, side),
    ];
    let place = Point::new(x - Length::mm(2.2), baseline);
    vec![
        upright(x, Length::ZERO, width, Pen::HEAVY),
        Item::filled(Path::polygon(&triangle), crate::scene::Ink::Black),
        TextRun::new("strip 2 here", WORDS, place).end().into(),
    ]
}
