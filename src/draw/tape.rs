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
pub(super) mod caption;
mod division;
pub(super) mod figures;
pub(super) mod fittings;
pub(super) mod frame;
pub(super) mod identity;
pub(super) mod lie;
pub(super) mod line;
mod pages;
mod piece;
mod plan;
mod rows;
mod sharp;
mod tail;
mod ticks;
pub(super) mod unit;
mod words;

use core::fmt;

use self::identity::Identity;
use self::lie::Lie;
use self::pages::{Block, Pages};
use self::piece::Whole;
use self::plan::{Plan, Room, Tail};
use self::rows::Rows;
use super::paper::Paper;
use super::ruler::{Arrangement, Checks};
use crate::gear::Side;
use crate::scene::{Correction, Page};
use crate::sheets::{Strip, Tape, Wheel};
use crate::units::Length;

/// Room to try beyond the last marks, and whether hard stops are drawn: more
/// where required figures need it, and at last the stops in words only.
const ENDS: [(Length, bool); 4] = [
    (plan::END, true),
    (Length::mm(9.0), true),
    (Length::mm(14.0), true),
    (Length::mm(14.0), false),
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

/// What a tape goes on.
#[derive(Clone, Copy, Debug)]
pub(super) enum On<'a> {
    /// The ring, to be read from a side of the camera.
    Ring(Side),
    /// The wheel of a hand unit.
    Wheel(&'a Wheel),
}

impl On<'_> {
    /// The side it is read from. A wheel is one that is seen on its face as a
    /// ring is from behind; its strip has the tops of its figures toward that
    /// face, as a tape read from the camera's right has them toward its rear.
    const fn side(self) -> Side {
        match self {
            Self::Ring(side) => side,
            Self::Wheel(_) => Side::Right,
        }
    }
}

/// What the tapes are drawn for.
#[derive(Clone, Copy, Debug)]
struct Asked<'a> {
    on: On<'a>,
    paper: &'a Paper,
    correction: Correction,
}

impl Asked<'_> {
    /// The correction in words, if there is one.
    fn corrected(&self) -> Option<String> {
        corrected(self.paper, self.correction)
    }
}

/// A printer's correction in words, if there is one.
pub(super) fn corrected(paper: &Paper, correction: Correction) -> Option<String> {
    if correction.is_none() {
        return None;
    }
    let page = paper.page().with_correction(correction);
    let [across, _, _, down, ..] = page.to_paper().coefficients();
    let [horizontal, vertical] = paper.directions();
    Some(format!(
        "drawn for a printer whose 100 mm measure {:.1} mm {horizontal} and {:.1} mm {vertical}",
        100.0 / across,
        100.0 / down
    ))
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
        on: On::Ring(side),
        paper,
        correction,
    };
    let blocks = tapes
        .iter()
        .map(|tape| block(tape, &asked))
        .collect::<Result<Vec<_>, _>>()?;
    let words = pages::of_tapes(side);
    Ok(Pages::new(words, paper, correction).with(blocks).done())
}

/// Strips for hand units on as many pages as they need, as [`draw`] does tapes.
pub(super) fn strips(
    strips: &[Strip],
    paper: &Paper,
    correction: Correction,
) -> Result<Vec<Page>, NoRoom> {
    let asked = |strip| Asked {
        on: On::Wheel(strip),
        paper,
        correction,
    };
    let blocks = strips
        .iter()
        .map(|strip| block(&strip.scale, &asked(&strip.wheel)))
        .collect::<Result<Vec<_>, _>>()?;
    let words = pages::of_strips();
    Ok(Pages::new(words, paper, correction).with(blocks).done())
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
    let mut first_block = None;
    for wish in [Tail::Usual, Tail::Joint, Tail::None] {
        for (end, stops) in ENDS {
            match laid_out_with(tape, asked, (end, stops), wish) {
                Ok((block, true)) => return Ok(block),
                Ok((block, false)) => {
                    first_block.get_or_insert(block);
                    break;
                }
                Err(fault @ NoRoom::Band { .. }) => return Err(fault),
                Err(fault) => {
                    first_fault.get_or_insert(fault);
                }
            }
        }
    }
    // Rather a tape whose caption alone says all than none.
    if let Some(block) = first_block {
        return Ok(block);
    }
    // There is at least one try, and each that fails has a fault.
    Err(first_fault.unwrap_or_else(|| NoRoom::Paper {
        tape: name(tape),
        would_do: None,
    }))
}

/// A tape on paper, and whether its face says all it must.
fn laid_out_with(
    tape: &Tape,
    asked: &Asked<'_>,
    (end, stops): (Length, bool),
    wish: Tail,
) -> Result<(Block, bool), NoRoom> {
    let free = Checks::on(asked.paper, Arrangement::Edge).free();
    let paper = || NoRoom::Paper {
        tape: name(tape),
        would_do: None,
    };
    // A tape may be lower than the ring's free width, as on a narrow roll.
    let band = tape.band.unwrap_or(rows::USUAL);
    let height = band.min(free.width());
    let lie = Lie::of(tape.sense, asked.on.side(), tape.witness);
    let identity = Identity::of(tape, lie, asked.on);
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
            wish,
        };
        Ok((rows, Plan::of(tape, room)))
    };
    let (mut rows, plan) = of(false)?;
    if plan.tail.is_none() {
        rows = of(true)?.0;
    }
    let pieces = division::pieces(tape, &plan, free.height()).ok_or_else(paper)?;
    let whole = Whole {
        tape,
        lie,
        rows,
        plan,
        identity: &identity,
    };
    let drawn = whole.pieces(&pieces).map_err(|collision| NoRoom::Figures {
        tape: name(tape),
        one: collision.one,
        other: collision.other,
    })?;
    let caption = caption::caption(tape, lie, &plan, &rows, &pieces, asked);
    let block = Block {
        pieces: drawn.drawn,
        caption: caption::lines(&caption, free.height()),
        code: tape.code.to_string(),
    };
    Ok((block, drawn.complete))
}
