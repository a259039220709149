//! A card: one lens, what is sharp at each distance, no paper.

use super::code::Code;
use super::names::Names;
use super::worth::usual_marks;
use crate::answers::{DepthRow, Unanswerable, depth};
use crate::gear::{Assumption, ChosenCircle, DepthSetup, Exposure};
use crate::units::show::{Round, Step, step_for};
use crate::units::{FocusDistance, Length, Reach, Stop, Unit, show};

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
    /// The nearest distance the lens goes to.
    pub close_focus: FocusDistance,
    /// The setup at each stop of the table face, the widest first.
    pub stops: Vec<DepthSetup>,
}

/// One line of the dark-set face.
#[derive(Clone, Debug, PartialEq)]
pub struct CardLine {
    /// Focus distance.
    pub focus: String,
    /// Near limit, rounded up.
    pub near: String,
    /// Far limit, rounded down.
    pub far: String,
    /// How far the subject may come nearer, rounded down, as `−2½″`.
    pub nearer: String,
    /// How far it may go away, rounded down, as `+3″`.
    pub farther: String,
    /// Whether the figures are those of the shallowest plausible lens.
    pub cautious: bool,
}

/// The table face: how far the subject may miss, at several stops.
#[derive(Clone, Debug, PartialEq)]
pub struct MissTable {
    /// The stops.
    pub stops: Vec<String>,
    /// Focus distance, then nearer and farther at each stop.
    pub lines: Vec<(String, Vec<(String, String)>)>,
    /// Whether any figure is that of the shallowest plausible lens.
    pub cautious: bool,
}

/// A card with its two faces.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// What it is called.
    pub names: Names,
    /// The stop of the dark-set face.
    pub stop: String,
    /// The dark-set face's lines, the nearest first.
    pub lines: Vec<CardLine>,
    /// The hyperfocal distance, rounded up.
    pub hyperfocal: String,
    /// The table face.
    pub table: MissTable,
    /// What stands at the foot of both.
    pub foot: Vec<String>,
    /// What it rests on that nobody said.
    pub assumptions: Vec<Assumption>,
    /// What it was made from.
    pub code: Code,
}

impl Card {
    /// The card of a lens at a stop.
    ///
    /// # Errors
    /// [`Unanswerable`] where the setup has no depth at all.
    pub fn new(setup: &DepthSetup, wish: CardWish) -> Result<Self, Unanswerable> {
        let distances = distances(setup, &wish);
        let answer = depth(setup, &distances, &[], &mut ())?;
        let lines = answer.rows.iter().map(|row| line(row, wish.unit)).collect();
        let hyperfocal = Reach::At(answer.hyperfocal);
        let step = step_for(hyperfocal, wish.unit, Reach::Infinity);
        let stops: Vec<&DepthSetup> = wish.stops.iter().take(MOST_STOPS).collect();
        let mut card = Self {
            names: wish.names.clone(),
            stop: setup.exposure.stop.to_string(),
            lines,
            hyperfocal: show::rounded(answer.hyperfocal, step, Round::Up),
            table: table(&stops, &distances, wish.unit)?,
            foot: foot(setup, &wish)?,
            assumptions: answer.assumptions,
            code: Code::of(""),
        };
        card.code = Code::of(&format!("{card:?}"));
        Ok(card)
    }
}

/// The distances a card has lines for: the worthiest of the usual ones the lens
/// goes to, no two so near each other that their ranges nearly coincide, and
/// infinity left to the hyperfocal line.
fn distances(setup: &DepthSetup, wish: &CardWish) -> Vec<FocusDistance> {
    let lens = setup.setup.lens;
    let can = |distance: FocusDistance| {
        !distance.is_infinite()
            && !distance.is_nearer_than(wish.close_focus)
            && lens
                .magnification(distance, setup.setup.branch, &mut ())
                .is_ok()
    };
    let mut usual: Vec<_> = usual_marks(wish.unit)
        .iter()
        .filter(|mark| can(mark.0))
        .collect();
    // The table runs from far to near; a stable sort keeps that order among equals.
    usual.sort_by_key(|mark| core::cmp::Reverse(mark.1));
    let mut chosen: Vec<FocusDistance> = Vec::new();
    if can(wish.close_focus) {
        chosen.push(wish.close_focus);
    }
    for mark in usual {
        if chosen.len() < MOST_LINES && !chosen.contains(&mark.0) {
            chosen.push(mark.0);
        }
    }
    chosen.sort_by(|a, b| {
        if a.is_nearer_than(*b) {
            core::cmp::Ordering::Less
        } else {
            core::cmp::Ordering::Greater
        }
    });
    chosen
}

/// A depth row in figures rounded to the safe side.
fn line(row: &DepthRow, unit: Unit) -> CardLine {
    let (near, far) = row.limits_to_trust();
    let (near, far, focus) = (near.reach(), far.reach(), row.focus.reach());
    let step = step_for(focus, unit, between(near, far));
    CardLine {
        focus: show::exact_distance(row.focus, unit),
        near: rounded(near, step, Round::Up),
        far: rounded(far, step, Round::Down),
        nearer: format!("−{}", rounded(between(near, focus), step, Round::Down)),
        farther: format!("+{}", rounded(between(focus, far), step, Round::Down)),
        cautious: row.cautious.is_some(),
    }
}

fn between(from: Reach<Length>, to: Reach<Length>) -> Reach<Length> {
    match (from, to) {
        (Reach::At(from), Reach::At(to)) => Reach::At(to - from),
        _ => Reach::Infinity,
    }
}

fn rounded(length: Reach<Length>, step: Step, round: Round) -> String {
    match length {
        Reach::At(length) => show::rounded(length, step, round),
        Reach::Infinity => "∞".into(),
    }
}

fn table(
    stops: &[&DepthSetup],
    distances: &[FocusDistance],
    unit: Unit,
) -> Result<MissTable, Unanswerable> {
    let columns = stops
        .iter()
        .map(|setup| depth(setup, distances, &[], &mut ()))
        .collect::<Result<Vec<_>, _>>()?;
    let lines = distances
        .iter()
        .enumerate()
        .map(|(i, &distance)| {
            let cells = columns.iter().map(|column| {
                let line = line(&column.rows[i], unit);
                (line.nearer, line.farther)
            });
            (show::exact_distance(distance, unit), cells.collect())
        })
        .collect();
    let cautious = columns
        .iter()
        .any(|column| column.rows.iter().any(|row| row.cautious.is_some()));
    Ok(MissTable {
        stops: stops
            .iter()
            .map(|setup| setup.exposure.stop.to_string())
            .collect(),
        lines,
        cautious,
    })
}

/// What both faces say at the foot.
fn foot(setup: &DepthSetup, wish: &CardWish) -> Result<Vec<String>, Unanswerable> {
    let mut lines = vec![
        format!("{}{}", gate_words(setup), circle_words(&setup.circle)),
        format!(
            "{} · from the ⌀ mark (image plane) to the eyes",
            stop_words(&setup.exposure)
        ),
    ];
    if let Some(words) = morning(wish)? {
        lines.push(words);
    }
    lines.push("check against a tape before use; limits rest on the chosen circle".into());
    Ok(lines)
}

fn gate_words(setup: &DepthSetup) -> String {
    setup.setup.frame.as_ref().map_or(String::new(), |frame| {
        format!(
            "{}, gate {:.2} × {:.2} mm · ",
            frame.name,
            frame.gate.width().to_mm(),
            frame.gate.height().to_mm()
        )
    })
}

fn circle_words(circle: &ChosenCircle) -> String {
    let diameter = circle.circle.diameter();
    format!(
        "circle {:.4} mm ({:.5} in), {}",
        diameter.to_mm(),
        diameter.to_inches(),
        circle.in_words()
    )
}

fn stop_words(exposure: &Exposure) -> String {
    match (exposure.stop, exposure.transmittance) {
        (Stop::F(n), _) => format!("depth by f/{}", n.value()),
        (Stop::T(_), Some(tau)) => format!(
            "{}: depth by f/{:.2} (transmittance {:.2})",
            exposure.stop,
            exposure.f_number.value(),
            tau.value()
        ),
        (Stop::T(_), None) => format!("{}", exposure.stop),
    }
}

/// The line to read each morning: what the scale must say for a chart at the
/// usual checking distance, wide open.
fn morning(wish: &CardWish) -> Result<Option<String>, Unanswerable> {
    let Some(widest) = wish.stops.first() else {
        return Ok(None);
    };
    let usual = match wish.unit {
        Unit::Feet => Length::inches(72.0),
        Unit::Metres => Length::m(2.0),
    };
    let chart = match wish.close_focus.reach() {
        Reach::At(close) if close <= usual => usual,
        // A lens that does not come so near is checked at twice its close focus.
        Reach::At(close) => close * 2.0,
        Reach::Infinity => return Ok(None),
    };
    let distance = FocusDistance::computed(Reach::At(chart));
    let answer = depth(widest, &[distance], &[], &mut ())?;
    Ok(answer.rows.first().map(|row| {
        let line = line(row, wish.unit);
        format!(
            "chart at {}, wide open: the scale must read between {} and {}, else do not trust \
             this card",
            line.focus, line.near, line.far
        )
    }))
}
