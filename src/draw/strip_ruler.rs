//! The page of blank strips.

use super::page::Words;
use super::paper::Paper;
use super::ruler::{Arrangement, Checks};
use super::words::Block;
use crate::scene::{Item, Page, Path, Pen, Point, Rect, TextRun, Turn};
use crate::sheets::{Piece, StripRuler};
use crate::units::Length;

/// Between two strips, so that each has a cut line of its own.
const BETWEEN: Length = Length::mm(2.0);
/// Figures at every centimetre.
const FIGURES: Length = Length::mm(2.2);
/// Words of instructions: sizes to try.
const TEXT: [f64; 4] = [2.5, 2.3, 2.1, 2.0];
/// What to do with a reading.
const READING: Length = Length::mm(2.4);
/// Words on the strip.
const WORDS: Length = Length::mm(2.0);

/// Draws strips side by side along the page: as many whole sets of pieces as
/// one page takes, or one set on several pages.
///
/// They lie along the length of the paper, to be read with its right edge toward
/// one; a paper too small for any gives a page with rulers only.
#[must_use]
pub fn draw(sheet: &StripRuler, paper: &Paper) -> Vec<Page> {
    let checks = Checks::on(paper, Arrangement::Edge);
    let free = checks.free();
    let pieces = sheet.pieces(free.height());
    let most = most_beside(&checks, sheet.width());
    let sets = most.checked_div(pieces.len()).unwrap_or(0).max(1);
    let pieces = core::iter::repeat_n(&pieces, sets).flatten();
    let strips = pieces.map(|piece| strip(sheet, piece)).collect();
    let (steps, cautions) = (sheet.steps(), sheet.cautions());
    let (steps, cautions) = (in_words(&steps), in_words(&cautions));
    let words = Words {
        title: sheet.title(),
        steps: &steps,
        cautions: &cautions,
    };
    on_pages(paper, &checks, &words, strips, sheet.width())
}

/// Strips of one width side by side along the page, with the words beside them
/// or on pages of their own; a page with rulers only where there are none.
pub(super) fn on_pages(
    paper: &Paper,
    checks: &Checks,
    words: &Words<'_>,
    strips: Vec<Vec<Item>>,
    width: Length,
) -> Vec<Page> {
    let pitch = width + BETWEEN;
    let most = most_beside(checks, width);
    let beside = words.beside(checks, Turn::THREE_QUARTERS);
    let mut flow = Flow {
        paper,
        title: words.title,
        checks,
        beside: beside.unwrap_or_default(),
        pages: Vec::new(),
        left: checks.free().left(),
    };
    for (number, strip) in strips.into_iter().enumerate() {
        if number % most == 0 {
            flow.turn_over();
        }
        flow.put(strip, pitch);
    }
    if flow.pages.is_empty() {
        flow.turn_over();
    }
    if flow.beside.is_empty() {
        flow.words(words);
    }
    flow.pages
}

/// How many strips of a width lie side by side on a page, one at least.
fn most_beside(checks: &Checks, width: Length) -> usize {
    let room = (checks.free().width() + BETWEEN).to_mm();
    let most = (room / (width + BETWEEN).to_mm()).floor() as usize;
    most.max(1)
}

/// Pages that are filled from left to right, as they are held upright.
struct Flow<'a> {
    paper: &'a Paper,
    title: &'a str,
    checks: &'a Checks,
    /// What stands on each page beside the strips.
    beside: Vec<Item>,
    pages: Vec<Page>,
    left: Length,
}

impl Flow<'_> {
    fn turn_over(&mut self) {
        let mut page = self.paper.page().with_title(self.title);
        page.extend(self.checks.items());
        page.extend(self.beside.clone());
        self.pages.push(page);
        self.left = self.checks.free().left();
    }

    /// Puts something on the page, its top left corner where the last ended.
    fn put(&mut self, items: Vec<Item>, height: Length) {
        let foot = Point::new(self.left, self.checks.free().bottom());
        if let Some(page) = self.pages.last_mut() {
            page.push(Item::placed(foot, Turn::THREE_QUARTERS, items));
        }
        self.left = self.left + height;
    }

    fn has_room(&self, height: Length) -> bool {
        self.left + height <= self.checks.free().right()
    }

    /// The words on one page, this one or the next, as large as that allows;
    /// else from here on as many as it takes.
    fn words(&mut self, words: &Words<'_>) {
        let width = self.checks.free().height();
        let of_size = |size| words.blocks(Length::mm(size), width);
        let height = |blocks: &Vec<Block>| {
            let heights = blocks.iter().map(|block| block.height);
            heights.fold(Length::ZERO, |sum, height| sum + height)
        };
        let fits = |blocks: &Vec<Block>, left| left + height(blocks) <= self.checks.free().right();
        let here = TEXT
            .into_iter()
            .map(of_size)
            .find(|blocks| fits(blocks, self.left));
        let fresh = self.checks.free().left();
        let [.., smallest] = TEXT;
        let blocks = match here {
            Some(blocks) => blocks,
            None => match TEXT
                .into_iter()
                .map(of_size)
                .find(|blocks| fits(blocks, fresh))
            {
                Some(blocks) => {
                    self.turn_over();
                    blocks
                }
                None => of_size(smallest),
            },
        };
        for block in blocks {
            if !self.has_room(block.height) {
                self.turn_over();
            }
            self.put(block.items, block.height);
        }
    }
}

pub(super) fn in_words(lines: &[String]) -> Vec<&str> {
    lines.iter().map(String::as_str).collect()
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
    let below = Point::new(Length::mm(2.0), Length::mm(5.0) + READING);
    items.push(
        TextRun::new(&sheet.on_strip(), READING, below)
            .bold()
            .into(),
    );
    if let Some(reading) = piece.next_at {
        items.extend(join(at(reading), width, piece.number + 1));
    }
    items
}

pub(super) fn upright(x: Length, top: Length, bottom: Length, pen: Pen) -> Item {
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
pub(super) fn join(x: Length, width: Length, next: usize) -> Vec<Item> {
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
        TextRun::new(&format!("strip {next} here"), WORDS, place)
            .end()
            .into(),
    ]
}
