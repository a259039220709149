//! The report of a prep day on paper: a form that runs on from page to page, with
//! a title block at the foot of each.

mod errors;
mod flow;
mod lens;
mod set;
mod table;

use core::fmt;

use super::block::{self, Titled};
use super::paper::Paper;
use super::plot::Sizes;
use crate::scene::{Item, Page, Point};
use crate::sheets::{Code, Names, PrepHead, PrepLensSheet, PrepSetSheet};
use crate::units::Length;

use flow::{Block, Line, flow};

/// Between what is said and the title block.
const BETWEEN: Length = Length::mm(3.0);
/// Accents of the first line reach so far over it.
const ACCENTS: Length = Length::mm(1.5);
/// Who it is, and what was found.
const PRIMARY: f64 = 4.2;
/// What is read next.
const SECONDARY: f64 = 3.0;
/// All else.
const TEXT: f64 = 2.5;

/// A report that does not fit on its paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoRoom {
    /// The paper's name.
    pub paper: String,
    /// The camera or lens it is of.
    pub of: String,
}

impl fmt::Display for NoRoom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "the prep report of {} does not fit on {} with figures one can read",
            self.of, self.paper
        )
    }
}

impl std::error::Error for NoRoom {}

/// What every page of a sheet has in common.
struct Form<'a> {
    names: &'a Names,
    subject: &'a str,
    cautions: &'a [String],
    code: Code,
    of: &'a str,
}

/// Draws the sheet of a camera and its lenses.
///
/// # Errors
/// [`NoRoom`] where the paper is too small for its table.
pub fn draw_set(sheet: &PrepSetSheet, paper: &Paper) -> Result<Vec<Page>, NoRoom> {
    let form = Form {
        names: &sheet.names,
        subject: &sheet.subject,
        cautions: &sheet.cautions,
        code: sheet.code,
        of: &sheet.subject,
    };
    form.pages(paper, |width, room| set::blocks(sheet, width, room))
}

/// Draws the sheet of one lens.
///
/// # Errors
/// [`NoRoom`] where the paper is too small for its tables or its drawing.
pub fn draw_lens(sheet: &PrepLensSheet, paper: &Paper) -> Result<Vec<Page>, NoRoom> {
    let form = Form {
        names: &sheet.names,
        subject: &sheet.subject,
        cautions: &sheet.cautions,
        code: sheet.code,
        of: sheet.lens.who.first().map_or("a lens", String::as_str),
    };
    form.pages(paper, |width, room| lens::blocks(sheet, width, room))
}

impl Form<'_> {
    /// Pages of the blocks that a width and a height are filled with.
    fn pages(
        &self,
        paper: &Paper,
        blocks: impl FnOnce(f64, f64) -> Option<Vec<Block>>,
    ) -> Result<Vec<Page>, NoRoom> {
        let area = paper.safe();
        let heights = Sizes::of(area).block;
        let titled = |page| Titled {
            title: "Prep report",
            subject: self.subject,
            production: self.names.title.as_deref(),
            names: self.names,
            foot: self.cautions,
            code: self.code,
            page: Some(page),
        };
        let width = area.width();
        let foot = block::block(&titled((1, 1)), width, &heights).height;
        let room = (area.height() - foot - BETWEEN - ACCENTS).to_mm();
        let filled = blocks(width.to_mm(), room).and_then(|blocks| flow(blocks, room));
        let filled = filled.ok_or_else(|| NoRoom {
            paper: paper.name().to_owned(),
            of: self.of.to_owned(),
        })?;
        let count = filled.len();
        let title = format!("Prep report: {}", self.of);
        let pages = filled.into_iter().enumerate().map(|(number, items)| {
            let block = block::block(&titled((number + 1, count)), width, &heights);
            let corner = Point::new(area.left(), area.bottom() - block.height);
            let mut page = paper
                .page()
                .not_to_scale()
                .with_title(&title)
                .with_code(&self.code.to_string());
            page.push(Item::moved(
                Point::new(area.left(), area.top() + ACCENTS),
                items,
            ));
            page.push(Item::moved(corner, block.items));
            page
        });
        Ok(pages.collect())
    }
}

/// What is said before all else: who, how far and which way, the verdict.
fn head(head: &PrepHead, width: f64) -> Block {
    let found = match &head.found {
        Some(found) => {
            let way = found.way().unwrap_or("neither way");
            let (error, either_way) = (found.hundredths(), found.either_way());
            format!("{}: {error} mm {way} ± {either_way} mm", head.verdict)
        }
        None => head.verdict.clone(),
    };
    let lines = [head.who.join(" · "), found].map(|text| Line::bold(text, PRIMARY));
    let first = flow::together(flow::words(&lines, width));
    let words: Vec<Line> = head
        .words
        .iter()
        .map(|text| Line::regular(text, TEXT))
        .collect();
    Block {
        head: first,
        slabs: flow::words(&words, width),
    }
}
