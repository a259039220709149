//! The strip that tests a printer round a ring.

use core::fmt;

use super::page::Words;
use super::paper::Paper;
use super::ruler::{Arrangement, Checks};
use super::strip_ruler::{in_words, join, on_pages, upright};
use crate::scene::{Face, Item, Page, Path, Pen, Point, Rect, TextRun, Weight};
use crate::sheets::{LaidStrip, Piece, RingStrip};
use crate::units::Length;

/// Words and figures on the strip, and what to write.
const WORDS: Length = Length::mm(2.0);
const TO_WRITE: Length = Length::mm(2.4);
const OVERLAP: &str = "overlap mm";
/// From the edges to words.
const PAD: Length = Length::mm(2.0);

/// A paper too short for the strip.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TooShort {
    /// The paper's name.
    pub paper: String,
}

impl fmt::Display for TooShort {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} is too short for a strip round this ring", self.paper)
    }
}

impl std::error::Error for TooShort {}

/// Draws the strip, in pieces where the paper is shorter than it, along the
/// long edge as tapes lie.
///
/// # Errors
/// [`TooShort`] where even pieces find no room.
pub fn draw(sheet: &RingStrip, paper: &Paper) -> Result<Vec<Page>, TooShort> {
    let checks = Checks::on(paper, Arrangement::Edge);
    let laid = sheet.laid(checks.free().height()).ok_or_else(|| TooShort {
        paper: paper.name().to_owned(),
    })?;
    let strips = laid.pieces.iter().map(|piece| strip(sheet, &laid, piece));
    let steps = sheet.steps(laid.pieces.len());
    let steps = in_words(&steps);
    let words = Words {
        title: sheet.title(),
        steps: &steps,
        cautions: sheet.cautions(),
    };
    let pages = on_pages(paper, &checks, &words, strips.collect(), sheet.width());
    let code = sheet.code().to_string();
    Ok(pages
        .into_iter()
        .map(|page| page.with_code(&code))
        .collect())
}

/// One piece, its cut end at the origin, the scale along its bottom edge.
fn strip(sheet: &RingStrip, laid: &LaidStrip, piece: &Piece) -> Vec<Item> {
    let (width, length) = (sheet.width(), piece.to - piece.from);
    let outline = Rect::between(Point::ORIGIN, Point::new(length, width));
    let mut items = vec![
        Item::stroked(Path::rectangle(outline), Pen::CUT),
        // The end that is read at, or laid on a line, is cut along a whole line.
        upright(Length::ZERO, Length::ZERO, width, Pen::HEAVY),
    ];
    let name = if piece.from == Length::ZERO {
        "0".to_owned()
    } else {
        format!("strip {}", piece.number)
    };
    let at = Point::new(Length::mm(0.8), width - PAD);
    let name = TextRun::new(&name, WORDS, at);
    let beside = at.x + name.width() + PAD;
    items.push(name.into());
    let on_strip = TextRun::new(&sheet.on_strip(), WORDS, Point::new(beside, width - PAD));
    if let Some(next) = piece.next_at {
        items.extend(join(next - piece.from, width, piece.number + 1));
        items.push(on_strip.into());
        return items;
    }
    items.extend(scale(sheet, laid, piece));
    let first = laid.marks.first().map_or(piece.to, |mark| mark.at) - piece.from;
    let room = first - PAD - beside;
    if on_strip.width() <= room {
        items.push(on_strip.into());
    }
    // The word “overlap” reaches beyond a short scale.
    let overlap = Face::of(Weight::Regular).advance(OVERLAP, WORDS);
    let end = first.min(sheet.round() - piece.from - overlap) - PAD;
    let to_write = sheet
        .to_write()
        .into_iter()
        .flat_map(|words| [TO_WRITE, WORDS].map(|height| (words, height)))
        .map(|(words, height)| {
            let at = Point::new(end, width / 2.0);
            TextRun::new(words, height, at).bold().end()
        })
        .find(|run| run.width() <= end - PAD);
    items.extend(to_write.map(Item::from));
    items
}

/// What 100 mm come out as along the bottom edge, gap and overlap in mm along
/// the top edge, and the long line where a true strip meets itself.
fn scale(sheet: &RingStrip, laid: &LaidStrip, piece: &Piece) -> Vec<Item> {
    let width = sheet.width();
    let at = |on_strip: Length| on_strip - piece.from;
    let mut items = Vec::new();
    for mark in &laid.marks {
        let (long, pen) = match (mark.figure, mark.whole) {
            (true, _) => (4.0, Pen::HEAVY),
            (false, true) => (3.2, Pen::FINE),
            (false, false) => (2.0, Pen::FINE),
        };
        let x = at(mark.at);
        items.push(upright(x, width - Length::mm(long), width, pen));
        if mark.figure {
            let at = Point::new(x, width - Length::mm(4.6));
            let figure = format!("{}", mark.printed.to_mm());
            items.push(TextRun::new(&figure, WORDS, at).middle().into());
        }
    }
    let round = sheet.round();
    // Down to its figure, if it has one.
    let foot = width - Length::mm(5.2) - WORDS;
    items.push(upright(at(round), Length::ZERO, foot, Pen::HEAVY));
    let (first, last) = (
        laid.marks.first().map_or(round, |mark| mark.at),
        laid.marks.last().map_or(round, |mark| mark.at),
    );
    let mut millimetre = (first - round).to_mm().ceil() as i32;
    while f64::from(millimetre) <= (last - round).to_mm() {
        let x = at(round + Length::mm(millimetre.into()));
        let fifth = millimetre % 5 == 0;
        let (long, pen) = if fifth {
            (3.0, Pen::HEAVY)
        } else {
            (1.6, Pen::FINE)
        };
        items.push(upright(x, Length::ZERO, Length::mm(long), pen));
        if fifth && millimetre != 0 {
            let at = Point::new(x, Length::mm(3.6) + WORDS);
            let figure = millimetre.abs().to_string();
            items.push(TextRun::new(&figure, WORDS, at).middle().into());
        }
        millimetre += 1;
    }
    let below = Length::mm(6.4) + WORDS;
    let beside = Length::mm(0.8);
    items.push(
        TextRun::new(OVERLAP, WORDS, Point::new(at(round) - beside, below))
            .end()
            .into(),
    );
    items.push(TextRun::new("gap", WORDS, Point::new(at(round) + beside, below)).into());
    items
}
