//! The title block at the foot of a plot or a report.

use super::card::fit::shortened;
use super::words::broken;
use crate::scene::{Face, Item, Path, Pen, Point, Rect, TextRun, Weight, printable};
use crate::sheets::{Code, Names};
use crate::units::Length;

/// Around words in a cell.
const PAD: Length = Length::mm(2.0);
/// From baseline to baseline, in heights of figures.
const LEADING: f64 = 1.5;
/// Where the block is narrower, its foot stands below title and code.
const WIDE: Length = Length::mm(170.0);
/// Where it is still narrower, they stand all below one another.
const MIDDLING: Length = Length::mm(80.0);
/// The title's part of a wide block, and of the first line of a middling one.
const TITLE_PART: [f64; 2] = [0.36, 0.7];
/// The cell with the code in a wide block.
const CODE_CELL: Length = Length::mm(30.0);
/// A blank to write a date into.
const BLANK: Length = Length::mm(16.0);

/// What stands in a title block.
#[derive(Clone, Copy)]
pub(super) struct Titled<'a> {
    /// What the sheet is.
    pub(super) title: &'a str,
    /// Of what.
    pub(super) subject: &'a str,
    /// The production, under what the sheet is of; else where `names` have it.
    pub(super) production: Option<&'a str>,
    /// Lens, camera, production and date.
    pub(super) names: &'a Names,
    /// What its figures rest on, paragraph by paragraph.
    pub(super) foot: &'a [String],
    /// Its code.
    pub(super) code: Code,
    /// Which page of how many it is, where there are several.
    pub(super) page: Option<(usize, usize)>,
}

/// Heights of the words in a title block.
#[derive(Clone, Copy)]
pub(super) struct Heights {
    pub(super) title: Length,
    pub(super) subject: Length,
    pub(super) code: Length,
    /// Of all else.
    pub(super) foot: Length,
}

/// A title block as wide as asked, its top left corner at the origin.
pub(super) struct Block {
    pub(super) items: Vec<Item>,
    pub(super) width: Length,
    pub(super) height: Length,
}

/// Lines of words below one another, from a baseline height down.
struct Cell {
    items: Vec<Item>,
    down: Length,
}

impl Cell {
    fn new() -> Self {
        Self {
            items: Vec::new(),
            down: PAD,
        }
    }

    fn line(&mut self, words: &str, weight: Weight, height: Length) {
        let at = Point::new(Length::ZERO, self.down + height);
        let run = TextRun::new(words, height, at);
        self.items.push(match weight {
            Weight::Bold => run.bold().into(),
            Weight::Regular => run.into(),
        });
        self.down = self.down + height * LEADING;
    }

    /// From the top of the block to the foot of its last line.
    fn height(&self) -> Length {
        self.down + PAD / 2.0
    }

    fn at(self, left: Length, top: Length) -> Item {
        Item::moved(Point::new(left, top), self.items)
    }
}

/// What fills a cell of a width.
type Fill = fn(&Titled<'_>, Length, &Heights) -> Cell;

/// The title block of a sheet.
pub(super) fn block(sheet: &Titled<'_>, width: Length, sizes: &Heights) -> Block {
    let [title, foot, code]: [Fill; 3] = [title, foot, code];
    let part = |index: usize| width * TITLE_PART[index];
    // Rows of cells, each with the part of the width it takes.
    let rows: Vec<Vec<(Fill, Length)>> = if width >= WIDE {
        let between = width - part(0) - CODE_CELL;
        vec![vec![(title, part(0)), (foot, between), (code, CODE_CELL)]]
    } else if width >= MIDDLING {
        vec![
            vec![(title, part(1)), (code, width - part(1))],
            vec![(foot, width)],
        ]
    } else {
        vec![
            vec![(title, width)],
            vec![(foot, width)],
            vec![(code, width)],
        ]
    };
    let mut items = Vec::new();
    let mut top = Length::ZERO;
    for row in rows {
        let cells: Vec<(Cell, Length)> = row
            .into_iter()
            .map(|(cell, width)| (cell(sheet, width - PAD * 2.0, sizes), width))
            .collect();
        let height = cells.iter().map(|(cell, _)| cell.height());
        let bottom = top + height.fold(Length::ZERO, Length::max);
        let mut left = Length::ZERO;
        for (cell, width) in cells {
            let outline = Rect::between(Point::new(left, top), Point::new(left + width, bottom));
            items.push(Item::stroked(Path::rectangle(outline), Pen::HEAVY));
            items.push(cell.at(left + PAD, top));
            left = left + width;
        }
        top = bottom;
    }
    Block {
        items,
        width,
        height: top,
    }
}

fn title(sheet: &Titled<'_>, width: Length, sizes: &Heights) -> Cell {
    let mut cell = Cell::new();
    let fitting = |words: &str, height: Length| shortened(words, Weight::Bold, height, width);
    for (words, height) in [(sheet.title, sizes.title), (sheet.subject, sizes.subject)] {
        for line in broken(&printable(words), Weight::Bold, height, width) {
            cell.line(&fitting(&line, height), Weight::Bold, height);
        }
    }
    if let Some(production) = sheet.production {
        let lines = broken(&printable(production), Weight::Regular, sizes.foot, width);
        let (first, rest) = lines.split_at(lines.len().min(1));
        for line in [first.concat(), rest.join(" ")] {
            let line = shortened(&line, Weight::Regular, sizes.foot, width);
            if !line.is_empty() {
                cell.line(&line, Weight::Regular, sizes.foot);
            }
        }
    }
    let names = names(sheet.names);
    if !names.is_empty() {
        let names = shortened(&names, Weight::Regular, sizes.foot, width);
        cell.line(&names, Weight::Regular, sizes.foot);
    }
    cell
}

/// Label, number and camera.
fn names(names: &Names) -> String {
    let label = names.label.as_ref().or(names.id.as_ref());
    let parts = [
        ("", label),
        ("no. ", names.serial.as_ref()),
        ("camera ", names.camera.as_ref()),
    ];
    let parts = parts
        .into_iter()
        .filter_map(|(word, name)| Some(format!("{word}{}", printable(name?))));
    parts
        .filter(|part| !part.trim().is_empty())
        .collect::<Vec<_>>()
        .join(" · ")
}

/// Code, date or room for one, and whose it is.
fn code(sheet: &Titled<'_>, width: Length, sizes: &Heights) -> Cell {
    let mut cell = Cell::new();
    cell.line(&sheet.code.to_string(), Weight::Bold, sizes.code);
    let small = |words: &str| shortened(words, Weight::Regular, sizes.foot, width);
    match &sheet.names.prepared {
        Some(day) => cell.line(&small(day), Weight::Regular, sizes.foot),
        None => {
            cell.line("date", Weight::Regular, sizes.foot);
            let foot = cell.down - sizes.foot * (LEADING - 1.0);
            let left = Face::of(Weight::Regular).advance("date ", sizes.foot);
            let right = width.min(left + BLANK);
            let ends = [left, right].map(|x| Point::new(x, foot));
            cell.items.push(Item::line(ends[0], ends[1], Pen::FINE));
        }
    }
    if let Some(title) = sheet
        .names
        .title
        .as_ref()
        .filter(|_| sheet.production.is_none())
    {
        cell.line(&small(title), Weight::Regular, sizes.foot);
    }
    if let Some((number, of)) = sheet.page {
        let page = format!("page {number} of {of}");
        cell.line(&small(&page), Weight::Regular, sizes.foot);
    }
    cell
}

/// What the figures rest on.
fn foot(sheet: &Titled<'_>, width: Length, sizes: &Heights) -> Cell {
    let mut cell = Cell::new();
    for paragraph in sheet.foot {
        let paragraph = printable(paragraph);
        for line in broken(&paragraph, Weight::Regular, sizes.foot, width) {
            let line = shortened(&line, Weight::Regular, sizes.foot, width);
            cell.line(&line, Weight::Regular, sizes.foot);
        }
    }
    cell
}
