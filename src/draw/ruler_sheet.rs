//! The page that tests a printer.

use super::page::{CARD_MARKS, Words};
use super::paper::Paper;
use super::ruler::{Arrangement, Checks};
use super::words::block;
use crate::scene::{Dash, Item, Page, Path, Pen, Point, Rect, TextRun, Turn, Weight};
use crate::sheets::RulerSheet;
use crate::units::Length;

/// Sizes to try for the words, the first that fits being taken.
const SIZES: [f64; 4] = [2.8, 2.5, 2.2, 2.0];
const DIAGONAL: Pen = Pen {
    dash: Dash::Broken {
        mark: Length::mm(6.0),
        gap: Length::mm(2.0),
    },
    ..Pen::FINE
};

/// Draws the test page of a paper.
#[must_use]
pub fn draw(sheet: &RulerSheet, paper: &Paper) -> Page {
    let checks = Checks::on(paper, Arrangement::Foot);
    let free = checks.free();
    let mut page = paper.page().with_title(sheet.title());
    page.extend(checks.items());
    let [.., smallest] = SIZES;
    let of_size = |size| body(sheet, &checks, Length::mm(size));
    let fitting = SIZES
        .into_iter()
        .map(of_size)
        .find(|body| body.height <= free.height() && body.width <= free.width());
    let body = fitting.unwrap_or_else(|| of_size(smallest));
    let down = free.top() + body.height;
    page.push(Item::moved(Point::new(free.left(), free.top()), body.items));
    page.extend(square(
        sheet,
        free.inset(Length::ZERO, down - free.top(), Length::ZERO, Length::ZERO),
    ));
    let words = Words {
        title: "Card check",
        steps: &[],
        cautions: sheet.cautions(),
    };
    page.extend(words.beside(&checks, Turn::NONE).unwrap_or_default());
    page
}

struct Body {
    items: Vec<Item>,
    width: Length,
    height: Length,
}

/// Title, steps, what to write into the kit, and blanks, at one size of words.
fn body(sheet: &RulerSheet, checks: &Checks, size: Length) -> Body {
    let width = checks.free().width();
    let mut items = Vec::new();
    let mut down = size * 2.0;
    let title = TextRun::new(sheet.title(), size * 2.0, Point::new(Length::ZERO, down));
    items.push(title.bold().into());
    down = down + size * 2.0;
    let (across, along) = checks.scales();
    let steps = sheet.steps(across, along);
    let steps: Vec<&str> = steps.iter().map(String::as_str).collect();
    let words = Words {
        title: sheet.title(),
        steps: &steps,
        cautions: &[],
    };
    let steps = words.numbered(size, width);
    items.push(Item::moved(Point::new(Length::ZERO, down), steps.items));
    down = down + steps.height;
    for line in sheet.kit_lines() {
        down = down + size * 2.2;
        let run = TextRun::new(line, size * 1.2, Point::new(size, down));
        items.push(run.bold().into());
    }
    down = down + size;
    let mut notes = vec![
        (sheet.kit_note(), Weight::Regular),
        (sheet.blanks(), Weight::Regular),
    ];
    if checks.card().is_none() {
        // There is no outline to write in.
        let cautions = sheet.cautions().iter().chain([&CARD_MARKS]);
        notes.extend(cautions.map(|&words| (words, Weight::Regular)));
    }
    let notes = block(&notes, size, width - size);
    items.push(Item::moved(Point::new(size, down), notes.items));
    let ink = items.iter().filter_map(Item::bounds).reduce(Rect::around);
    Body {
        width: ink.map_or(Length::ZERO, |ink| ink.right()),
        items,
        height: down + notes.height,
    }
}

/// The largest rectangle there is room for, whose diagonals show whether the
/// paper ran askew.
fn square(sheet: &RulerSheet, room: Rect) -> Vec<Item> {
    let below = Length::mm(8.0);
    let fitting = sheet.rectangles().into_iter().find(|rectangle| {
        let (width, height) = rectangle.sides;
        room.width() >= width && room.height() >= height + below
    });
    let Some(rectangle) = fitting else {
        return Vec::new();
    };
    let (width, height) = rectangle.sides;
    let corner = Point::new(room.left(), room.bottom() - below - height);
    let rect = Rect::between(corner, corner.moved(width, height));
    let [top_left, top_right, bottom_right, bottom_left] = rect.corners();
    let note = rectangle.note();
    let baseline = rect.bottom() + Length::mm(4.5);
    let note = [2.5, 2.2, 2.0]
        .map(|size| TextRun::new(&note, Length::mm(size), Point::new(rect.left(), baseline)))
        .into_iter()
        .find(|run| run.width() <= room.width());
    let mut items = vec![
        Item::stroked(Path::rectangle(rect), Pen::FINE),
        Item::line(top_left, bottom_right, DIAGONAL),
        Item::line(top_right, bottom_left, DIAGONAL),
    ];
    items.extend(note.map(Item::from));
    items
}
