//! A card: one lens, what is sharp at each distance, no paper.

pub(super) mod choice;
mod edge;
pub(super) mod figure;
pub(super) mod foot;
mod morning;

use super::code::Code;
use super::names::Names;
use crate::answers::{DepthRow, Unanswerable, depth};
use crate::gear::DepthSetup;
use crate::units::{FocusDistance, Length, Reach, Unit, show};

use figure::{Miss, limit, miss, outward};
use foot::Notes;

/// The most lines a card has: more cannot be read at arm's length.
pub const MOST_LINES: usize = 12;
/// The most stops the table face has.
pub const MOST_STOPS: usize = 5;

/// What a card needs to know beside the setup.
#[derive(Clone, Debug, PartialEq)]
pub struct CardWish {
    /// What it is called.
    pub names: Names,
    /// The unit of its figures.
    pub unit: Unit,
    /// The unit of the lens's own scale, where known.
    pub engraved: Option<Unit>,
    /// The nearest distance on the lens's own scale.
    pub close_focus: FocusDistance,
    /// The setup at each stop of the table face, the widest first; only the
    /// first [`MOST_STOPS`] are used.
    pub stops: Vec<DepthSetup>,
    /// Which words may be left out.
    pub words: CardWords,
}

/// Words of a card that one may do without. What its figures rest on, how to
/// tape and the cautions always stand there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CardWords {
    /// The morning's check of the scale.
    pub morning: bool,
    /// The recording format and its gate.
    pub gate: bool,
    /// The kit's title.
    pub title: bool,
    /// The hyperfocal distance.
    pub hyperfocal: bool,
}

impl CardWords {
    /// All of them.
    pub const ALL: Self = Self {
        morning: true,
        gate: true,
        title: true,
        hyperfocal: true,
    };
}

/// One line of the dark-set face.
#[derive(Clone, Debug, PartialEq)]
pub struct CardLine {
    /// Focus distance, exact.
    pub focus: String,
    /// Near limit, rounded up.
    pub near: String,
    /// Far limit, rounded down.
    pub far: String,
    /// How far the subject may come nearer, rounded down, as `−2½″` or `−6 cm`; empty
    /// where the focus is at infinity, from which nothing can be measured.
    pub nearer: String,
    /// How far it may go away, rounded down, as `+3″` or `+8 cm`; empty like `nearer`.
    pub farther: String,
    /// Whether the figures are those of the shallowest plausible lens.
    pub cautious: bool,
    /// Whether taping to the frame's edge costs more than a third of the depth
    /// in front.
    pub edge: bool,
    /// How soon it is chosen where not all lines have room: 0 goes first.
    pub rank: usize,
}

/// The table face: how far the subject may miss, at several stops.
#[derive(Clone, Debug, PartialEq)]
pub struct MissTable {
    /// The stops.
    pub stops: Vec<String>,
    /// One line a focus distance, the nearest first.
    pub lines: Vec<MissLine>,
    /// What stands at its foot, paragraph by paragraph.
    pub foot: Vec<String>,
}

/// One line of the table face.
#[derive(Clone, Debug, PartialEq)]
pub struct MissLine {
    /// Focus distance, exact.
    pub focus: String,
    /// Nearer and farther at each stop, rounded down, as `−2½″` and `+3″`.
    pub misses: Vec<(String, String)>,
    /// Whether any of them is that of the shallowest plausible lens.
    pub cautious: bool,
    /// How soon it is chosen where not all lines have room: 0 goes first.
    pub rank: usize,
}

/// A card with its two faces.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// What it is called.
    pub names: Names,
    /// The unit of its figures.
    pub unit: Unit,
    /// The stop of the dark-set face.
    pub stop: String,
    /// The dark-set face's lines, the nearest first.
    pub lines: Vec<CardLine>,
    /// The hyperfocal distance, from the image plane, rounded up; with `≈ `
    /// before it where it is that of the plausible lens that needs most; `None`
    /// where no setting of what is attached is sharp to infinity.
    pub hyperfocal: Option<String>,
    /// The table face.
    pub table: MissTable,
    /// What stands at the foot of the dark-set face, paragraph by paragraph:
    /// what the figures rest on, what was assumed, how to check them.
    pub foot: Vec<String>,
    /// What it was made from.
    pub code: Code,
}

impl Card {
    /// The card of a lens at a stop.
    ///
    /// # Errors
    /// [`Unanswerable`] where the setup, or one of the table's, has no depth at all.
    pub fn new(setup: &DepthSetup, wish: CardWish) -> Result<Self, Unanswerable> {
        let unit = wish.unit;
        let hyperfocal = depth(setup, &[], &[], &mut ())?.hyperfocal_to_trust();
        let ranked = choice::distances(setup, &wish, hyperfocal, true);
        let distances: Vec<FocusDistance> = ranked.iter().map(|(at, _)| *at).collect();
        let answer = depth(setup, &distances, &[], &mut ())?;
        let edges = edge::of_rows(setup, &answer.rows);
        let mut lines: Vec<CardLine> = answer.rows.iter().map(|row| line(row, unit)).collect();
        for ((line, edge), (_, rank)) in lines.iter_mut().zip(&edges).zip(&ranked) {
            line.edge = edge.is_some();
            line.rank = *rank;
        }
        let cautious = answer.cautious_hyperfocal.is_some();
        let mark = if cautious { "≈ " } else { "" };
        let stops = wish.stops.get(..MOST_STOPS).unwrap_or(&wish.stops);
        let check = if wish.words.morning {
            morning::words(&wish)?
        } else {
            None
        };
        let marked = cautious || lines.iter().any(|line| line.cautious);
        let mut card = Self {
            unit,
            stop: setup.exposure.stop.to_string(),
            foot: foot::words(
                setup,
                // The morning's check is on the other face: there is time to turn it.
                Notes {
                    to_tape: true,
                    edge: edge::words(&answer.rows, &edges, unit),
                    gate: wish.words.gate,
                    ..Notes::of(foot::stop(setup), marked)
                },
            ),
            lines,
            hyperfocal: hyperfocal
                .filter(|_| wish.words.hyperfocal)
                .map(|it| format!("{mark}{}", outward(it, unit))),
            table: table(stops, &wish, check)?,
            names: Names {
                title: wish.names.title.filter(|_| wish.words.title),
                ..wish.names
            },
            code: Code::of(""),
        };
        card.code = Code::of(&format!("{card:?}"));
        Ok(card)
    }
}

/// A depth row in figures rounded to the safe side.
fn line(row: &DepthRow, unit: Unit) -> CardLine {
    let (near, far) = row.limits_to_trust();
    let misses = misses(row, unit);
    CardLine {
        focus: show::exact_distance(row.focus, unit),
        near: limit(row, near, unit),
        far: limit(row, far, unit),
        nearer: misses.0,
        farther: misses.1,
        cautious: row.cautious.is_some(),
        edge: false,
        rank: 0,
    }
}

/// How far the subject may come nearer and go away.
fn misses(row: &DepthRow, unit: Unit) -> (String, String) {
    (
        miss(row, Miss::Nearer, unit),
        miss(row, Miss::Farther, unit),
    )
}

/// The table face; its distances suit its widest stop, where least is sharp.
fn table(
    stops: &[DepthSetup],
    wish: &CardWish,
    check: Option<String>,
) -> Result<MissTable, Unanswerable> {
    let Some(widest) = stops.first() else {
        return Ok(MissTable {
            stops: Vec::new(),
            lines: Vec::new(),
            foot: Vec::new(),
        });
    };
    let hyperfocal = depth(widest, &[], &[], &mut ())?.hyperfocal_to_trust();
    let ranked = choice::distances(widest, wish, hyperfocal, false);
    let distances: Vec<FocusDistance> = ranked.iter().map(|(at, _)| *at).collect();
    let columns = stops
        .iter()
        .map(|setup| Ok(depth(setup, &distances, &[], &mut ())?.rows))
        .collect::<Result<Vec<_>, Unanswerable>>()?;
    let line = |(i, &(distance, rank)): (usize, &choice::Ranked)| {
        let rows = || columns.iter().filter_map(|rows| rows.get(i));
        MissLine {
            focus: show::exact_distance(distance, wish.unit),
            misses: rows().map(|row| misses(row, wish.unit)).collect(),
            cautious: rows().any(|row| row.cautious.is_some()),
            rank,
        }
    };
    let lines: Vec<MissLine> = ranked.iter().enumerate().map(line).collect();
    let marked = lines.iter().any(|line| line.cautious);
    Ok(MissTable {
        stops: stops
            .iter()
            .map(|setup| setup.exposure.stop.to_string())
            .collect(),
        foot: foot::words(
            widest,
            Notes {
                to_tape: true,
                check,
                gate: wish.words.gate,
                ..Notes::of(foot::stops(widest), marked)
            },
        ),
        lines,
    })
}

/// From one distance to another; infinite when either is.
fn between(from: Reach<Length>, to: Reach<Length>) -> Reach<Length> {
    match (from, to) {
        (Reach::At(from), Reach::At(to)) => Reach::At(to - from),
        _ => Reach::Infinity,
    }
}
