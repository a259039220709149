//! The page that tests a printer.

use super::page::Words;
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
    let fitting = SIZES
        .into_iter()
        .map(|size| body(sheet, Length::mm(size), free.width()))
        .find(|body| body.height <= free.height() && body.width <= free.width());
    let body = fitting.unwrap_or_else(|| body(sheet, Length::mm(smallest), free.width()));
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
fn body(sheet: &RulerSheet, size: Length, width: Length) -> Body {
    let mut items = Vec::new();
    let mut down = size * 2.0;
    let title = TextRun::new(sheet.title(), size * 2.0, Point::new(Length::ZERO, down));
    items.push(title.bold().into());
    down = down + size * 2.0;
    let words = Words {
        title: sheet.title(),
        steps: sheet.steps(),
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
    let notes = [
        (sheet.kit_note(), Weight::Regular),
        (sheet.blanks(), Weight::Regular),
    ];
    let notes = block(&notes, size, width - size);
    items.push(Item::moved(Point::new(size, down), notes.items));
    let ink = items.iter().filter_map(Item::bounds).reduce(Rect::around);
    Body {
        width: ink.map_or(Length::ZERO, |ink| ink.right()),
        items,
        height: down + notes.height,
    }
}

/// A rectangle whose diagonals show whether the paper ran askew, if there is room.
fn square(sheet: &RulerSheet, room: Rect) -> Vec<Item> {
    let (width, height) = sheet.rectangle();
    let below = Length::mm(8.0);
    if room.width() < width || room.height() < height + below {
        return Vec::new();
    }
    let corner = Point::new(room.left(), room.bottom() - below - height);
    let rect = Rect::between(corner, corner.moved(width, height));
    let [top_left, top_right, bottom_right, bottom_left] = rect.corners();
    let note = TextRun::new(
        sheet.rectangle_note(),
        Length::mm(2.5),
        Point::new(rect.left(), rect.bottom() + Length::mm(5.0)),
    );
    vec![
        Item::stroked(Path::rectangle(rect), Pen::FINE),
        Item::line(top_left, bottom_right, DIAGONAL),
        Item::line(top_right, bottom_left, DIAGONAL),
        note.into(),
    ]
}
