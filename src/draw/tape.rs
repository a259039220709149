//! Tapes on pages, true to scale.
//!
//! ```text
//!      small figures, the other unit              │ 50 mm   who, when
//!      ├─ how much of the ring is sharp ─┤        │ measured · code
//!   ∞    20   10  8   6    5     4       3      2 │ ◀── turn this way
//!   │ ' │ ' | │ | │ ' │ '  │  '  │   '   │   '  │ │
//!   ────────────── witness edge ───────────────────
//! ```
//!
//! Tapes lie along the length of the paper, to be read with its right edge
//! toward one; under each stands what to do with it. A tape longer than the
//! paper comes in pieces. See `lie` for which way it grows.

mod arrow;
mod caption;
mod figures;
mod frame;
mod identity;
mod lie;
mod line;
mod piece;
mod plan;
mod rows;
mod sharp;

use core::fmt;

use self::caption::{PITCH, Words};
use self::figures::Collision;
use self::identity::Identity;
use self::lie::Lie;
use self::piece::{Drawn, Whole};
use self::plan::{Plan, Room};
use self::rows::Rows;
use super::page;
use super::paper::Paper;
use super::ruler::{Arrangement, Checks};
use crate::gear::Side;
use crate::scene::{Correction, Item, Page, Point, Turn, Weight};
use crate::sheets::Tape;
use crate::units::Length;

/// Between one tape with its words and the next.
const BETWEEN: Length = Length::mm(4.5);
/// Between a piece and what belongs to it.
const BELOW: Length = Length::mm(1.6);

/// Room to try beyond the last marks, and whether hard stops are drawn: more
/// where required figures need it, and at last the stops in words only.
const ENDS: [(Length, bool); 4] = [
    (plan::END, true),
    (Length::mm(9.0), true),
    (Length::mm(14.0), true),
    (Length::mm(14.0), false),
];

/// What to do, for all tapes of a page.
const STEPS: [&str; 4] = [
    "Hold a ruler to the rulers of this page. Not true? Give what they measure as printed_100mm and print again.",
    "Cut along the dashed outlines; a piece that says “cut off” also along its whole line.",
    "Set the ring as the words under the tape say, lay the filled triangle's tip on the witness mark, ticks toward it, and stick the tape down without stretching it.",
    "Turn to the open triangle: the ring must agree there too. Then tape a distance, focus by eye, and read the tape.",
];
/// What can go wrong.
const CAUTIONS: [&str; 3] = [
    "Check every tape against a tape measure before use. A tape holds for one lens, one side and, where it names one, one camera.",
    "Numbers are aids, not guarantees: what is sharp rests on the circle that was chosen.",
    "Nothing sticky on glass, scales or gear teeth.",
];

/// Why a tape cannot be drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum NoRoom {
    /// The ring leaves less than ticks and figures of 2 mm need.
    Band {
        /// Which tape.
        tape: String,
        /// The width that is free.
        free: Length,
        /// The least that would do.
        least: Length,
    },
    /// The paper is too small.
    Paper {
        /// Which tape.
        tape: String,
        /// Id of the smallest paper of the table that would do.
        would_do: Option<String>,
    },
    /// Figures that must be there do not fit beside each other.
    Figures {
        /// Which tape.
        tape: String,
        /// The figure nearer infinity.
        one: String,
        /// The other; `None` when the one alone finds no place.
        other: Option<String>,
    },
}

impl fmt::Display for NoRoom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Band { tape, free, least } => write!(
                f,
                "{tape}: {free} of free width is too little for a tape; it needs {least}"
            ),
            Self::Paper { tape, would_do } => {
                write!(f, "{tape}: the paper is too small for this tape")?;
                match would_do {
                    Some(paper) => write!(f, "; {paper} would do"),
                    None => Ok(()),
                }
            }
            Self::Figures { tape, one, other } => match other {
                Some(other) => write!(
                    f,
                    "{tape}: the figures {one} and {other} must both be there and do not fit \
                     beside each other"
                ),
                None => write!(f, "{tape}: the figure {one} must be there and does not fit"),
            },
        }
    }
}

impl core::error::Error for NoRoom {}

/// What the tapes are drawn for.
#[derive(Clone, Copy, Debug)]
struct Asked<'a> {
    side: Side,
    paper: &'a Paper,
    correction: Correction,
}

impl Asked<'_> {
    /// The correction in words, if there is one.
    fn corrected(&self) -> Option<String> {
        if self.correction.is_none() {
            return None;
        }
        let page = self.paper.page().with_correction(self.correction);
        let [across, _, _, down, ..] = page.to_paper().coefficients();
        Some(format!(
            "drawn for a printer whose 100 mm measure {:.1} mm across and {:.1} mm along the paper",
            100.0 / across,
            100.0 / down
        ))
    }
}

/// Tapes on as many pages as they need, in their order, true to scale.
///
/// `side` is the side of the camera from which they will be read; `correction`
/// is for the printer. Every page has rulers on both axes. Under each tape
/// stands what to do with it, what it rests on and its code.
///
/// # Errors
/// [`NoRoom`] for the first tape that cannot be drawn: its ring leaves under
/// 4.8 mm, the paper does not take it even in pieces, or marks that must have
/// their figures are too close for them.
pub fn draw(
    tapes: &[Tape],
    side: Side,
    paper: &Paper,
    correction: Correction,
) -> Result<Vec<Page>, NoRoom> {
    let asked = Asked {
        side,
        paper,
        correction,
    };
    let blocks = tapes
        .iter()
        .map(|tape| block(tape, &asked))
        .collect::<Result<Vec<_>, _>>()?;
    Ok(Pages::new(&asked).with(blocks).done())
}

/// A tape and the words under it.
struct Block {
    pieces: Vec<Drawn>,
    caption: Vec<Words>,
    code: String,
}

impl Block {
    fn height(&self) -> Length {
        let pieces = self
            .pieces
            .iter()
            .fold(Length::ZERO, |sum, piece| sum + piece.height + BELOW);
        pieces + PITCH * self.caption.len() as f64
    }
}

fn name(tape: &Tape) -> String {
    let names = &tape.names;
    let label = names.label.as_ref().or(names.id.as_ref());
    label.map_or_else(|| format!("{} mm", names.focal), Clone::clone)
}

fn block(tape: &Tape, asked: &Asked<'_>) -> Result<Block, NoRoom> {
    laid_out(tape, asked).map_err(|fault| match fault {
        NoRoom::Paper { tape: name, .. } => NoRoom::Paper {
            tape: name,
            would_do: smallest_paper(tape, asked),
        },
        other => other,
    })
}

/// Id of the smallest paper that takes a tape.
fn smallest_paper(tape: &Tape, asked: &Asked<'_>) -> Option<String> {
    let takes = |paper: &&Paper| laid_out(tape, &Asked { paper, ..*asked }).is_ok();
    let area = |paper: &&Paper| {
        let page = paper.page();
        page.width().to_mm() * page.height().to_mm()
    };
    Paper::all()
        .iter()
        .filter(takes)
        .min_by(|one, other| area(one).total_cmp(&area(other)))
        .map(|paper| paper.id().to_owned())
}

fn laid_out(tape: &Tape, asked: &Asked<'_>) -> Result<Block, NoRoom> {
    let mut first_fault = None;
    for (end, stops) in ENDS {
        match laid_out_with(tape, asked, end, stops) {
            Ok(block) => return Ok(block),
            Err(fault @ NoRoom::Band { .. }) => return Err(fault),
            Err(fault) => {
                first_fault.get_or_insert(fault);
            }
        }
    }
    // There is at least one try, and each that fails has a fault.
    Err(first_fault.unwrap_or_else(|| NoRoom::Paper {
        tape: name(tape),
        would_do: None,
    }))
}

fn laid_out_with(
    tape: &Tape,
    asked: &Asked<'_>,
    end: Length,
    stops: bool,
) -> Result<Block, NoRoom> {
    let free = Checks::on(asked.paper, Arrangement::Edge).free();
    let paper = || NoRoom::Paper {
        tape: name(tape),
        would_do: None,
    };
    // A tape may be lower than the ring's free width, as on a narrow roll.
    let band = tape.band.unwrap_or(rows::USUAL);
    let height = band.min(free.width());
    let lie = Lie::of(tape.sense, asked.side, tape.witness);
    let identity = Identity::of(tape);
    let too_low = || {
        if band < rows::LEAST {
            NoRoom::Band {
                tape: name(tape),
                free: band,
                least: rows::LEAST,
            }
        } else {
            paper()
        }
    };
    // With a tail for its words a tape has room for the other unit.
    let of = |words: bool| -> Result<(Rows, Plan), NoRoom> {
        let rows = Rows::of(height, words).ok_or_else(too_low)?;
        let room = Room {
            tail: identity.natural_tail(rows.height),
            least_tail: identity.least_tail(rows.height),
            piece: free.height(),
            end,
            stops,
        };
        Ok((rows, Plan::of(tape, room)))
    };
    let (mut rows, plan) = of(false)?;
    if plan.tail.is_none() {
        rows = of(true)?.0;
    }
    let pieces = plan::pieces(tape, &plan, free.height()).ok_or_else(paper)?;
    let whole = Whole {
        tape,
        lie,
        rows,
        plan,
        identity: &identity,
    };
    let drawn = pieces
        .iter()
        .map(|piece| whole.piece(piece))
        .collect::<Result<Vec<_>, Collision>>()
        .map_err(|collision| NoRoom::Figures {
            tape: name(tape),
            one: collision.one,
            other: collision.other,
        })?;
    let caption = caption::caption(tape, lie, &plan, &rows, &pieces, asked);
    Ok(Block {
        pieces: drawn,
        caption: caption::lines(&caption, free.height()),
        code: tape.code.to_string(),
    })
}

/// The pages as they are filled.
struct Pages<'a> {
    asked: &'a Asked<'a>,
    checks: Checks,
    full: Vec<Page>,
    marks: Vec<Item>,
    cuts: Vec<Item>,
    codes: Vec<String>,
    left: Length,
}

impl<'a> Pages<'a> {
    fn new(asked: &'a Asked<'a>) -> Self {
        let checks = Checks::on(asked.paper, Arrangement::Edge);
        Self {
            asked,
            left: checks.free().left(),
            checks,
            full: Vec::new(),
            marks: Vec::new(),
            cuts: Vec::new(),
            codes: Vec::new(),
        }
    }

    fn title(&self) -> &'static str {
        match self.asked.side {
            Side::Left => "Tapes, camera left",
            Side::Right => "Tapes, camera right",
        }
    }

    fn with(mut self, blocks: Vec<Block>) -> Self {
        for block in blocks {
            if !self.is_fresh() && !self.has_room(block.height()) {
                self.turn_over();
            }
            for piece in block.pieces {
                self.make_room(piece.height);
                self.codes.push(block.code.clone());
                let foot = Point::new(self.left, self.checks.free().bottom());
                let place = |items| Item::placed(foot, Turn::THREE_QUARTERS, items);
                self.marks.push(place(piece.marks));
                self.cuts.push(place(piece.cuts));
                self.left = self.left + piece.height + BELOW;
            }
            self.words(&block.caption);
            self.left = self.left + BETWEEN - BELOW;
        }
        self
    }

    fn words(&mut self, lines: &[Words]) {
        for line in lines {
            self.make_room(PITCH);
            let foot = Point::new(self.left, self.checks.free().bottom());
            let item = line.at(Point::ORIGIN);
            self.marks
                .push(Item::placed(foot, Turn::THREE_QUARTERS, vec![item]));
            self.left = self.left + PITCH;
        }
    }

    fn is_fresh(&self) -> bool {
        self.left == self.checks.free().left()
    }

    fn has_room(&self, width: Length) -> bool {
        // The last line's leading may lie outside.
        self.left + width <= self.checks.free().right() + Length::mm(0.5)
    }

    fn make_room(&mut self, width: Length) {
        if !self.is_fresh() && !self.has_room(width) {
            self.turn_over();
        }
    }

    fn turn_over(&mut self) {
        self.codes.dedup();
        let mut page = self
            .asked
            .paper
            .page()
            .with_title(self.title())
            .with_code(&self.codes.join(" "))
            .with_correction(self.asked.correction);
        page.extend(self.checks.items());
        let words = page::Words {
            title: self.title(),
            steps: &STEPS,
            cautions: &CAUTIONS,
        };
        page.extend(
            words
                .beside(&self.checks, Turn::THREE_QUARTERS)
                .unwrap_or_default(),
        );
        page.push(Item::layer("cut lines", core::mem::take(&mut self.cuts)));
        page.push(Item::layer("tapes", core::mem::take(&mut self.marks)));
        self.full.push(page);
        self.codes.clear();
        self.left = self.checks.free().left();
    }

    fn done(mut self) -> Vec<Page> {
        if self.checks.notes().is_none() && !(self.is_fresh() && self.full.is_empty()) {
            let how: Vec<(String, Weight)> = (1..)
                .zip(STEPS)
                .map(|(number, step)| (format!("{number}. {step}"), Weight::Regular))
                .chain(CAUTIONS.map(|caution| (caution.to_owned(), Weight::Regular)))
                .collect();
            let lines = caption::lines(&how, self.checks.free().height());
            self.words(&lines);
        }
        if !self.is_fresh() {
            self.turn_over();
        }
        self.full
    }
}
