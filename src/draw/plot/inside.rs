//! What is written inside the frame: across it, and in its corners, wherever no
//! curve runs.

use super::bars;
use super::on_page;
use super::rule::Rule;
use super::trace::Place;
use crate::scene::{Face, Item, Pen, Rect, TextRun, Weight};
use crate::sheets::{Corner, Plot};
use crate::units::Length;

/// Kept free around words.
const CLEAR: f64 = 1.0;
/// From the frame to words in a corner.
const IN: f64 = 3.0;
/// From the bottom edge to words along it, with the letters that reach down.
const LOW: f64 = 2.0;
/// From a bar to words beside it.
const OFF_A_BAR: f64 = 2.2;
/// So many half lines up and down words stand from the mark they are about.
const BESIDE_A_BAR: u32 = 8;
/// How finely a place along a level is looked for.
const STEP: f64 = 2.0;

/// Words within the frame: what they cover, in millimetres from its lower left
/// corner, with what is kept free around them.
#[derive(Clone, Debug)]
pub(super) struct Words {
    text: String,
    pub(super) across: (f64, f64),
    pub(super) up: (f64, f64),
}

impl Words {
    fn of(text: &str, left: f64, foot: f64, height: f64) -> Self {
        let wide = Face::of(Weight::Regular).advance(text, Length::mm(height));
        Self {
            text: text.to_owned(),
            across: (left - CLEAR, left + wide.to_mm() + CLEAR),
            // Letters such as g reach under their line.
            up: (foot - CLEAR - height * 0.2, foot + height + CLEAR),
        }
    }

    /// Whether they stand over a place of the level axis.
    pub(super) fn across(&self, at: f64) -> bool {
        self.across.0 < at && at < self.across.1
    }

    /// Whether they stand beside a place of the upright axis.
    pub(super) fn beside(&self, at: f64) -> bool {
        self.up.0 < at && at < self.up.1
    }

    /// Whether a straight line runs through them.
    fn crossed(&self, from: Place, to: Place) -> bool {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let (mut first, mut last) = (0.0_f64, 1.0_f64);
        for (step, low, high) in [
            (dx, self.across.0 - from.0, self.across.1 - from.0),
            (dy, self.up.0 - from.1, self.up.1 - from.1),
        ] {
            if step == 0.0 {
                if low > 0.0 || high < 0.0 {
                    return false;
                }
            } else {
                let (one, other) = (low / step, high / step);
                first = first.max(one.min(other));
                last = last.min(one.max(other));
            }
        }
        first < last
    }

    fn overlaps(&self, other: &Self) -> bool {
        self.across.0 < other.across.1
            && other.across.0 < self.across.1
            && self.up.0 < other.up.1
            && other.up.0 < self.up.1
    }
}

/// The words inside the frame that find a place: levels' on their lines, those
/// of bars, then remarks.
pub(super) fn words(
    plot: &Plot,
    curves: &[&[Place]],
    verticals: &[f64],
    x: &Rule,
    y: &Rule,
    height: f64,
) -> Vec<Words> {
    let mut placed: Vec<Words> = Vec::new();
    let lines: Vec<f64> = plot
        .levels
        .iter()
        .filter_map(|level| y.on(level.at))
        .collect();
    let free = |words: &Words, placed: &[Words]| {
        let inside = words.across.0 >= 0.0
            && words.across.1 <= x.length
            && words.up.0 >= 0.0
            && words.up.1 <= y.length;
        inside
            && !placed.iter().any(|other| other.overlaps(words))
            // Words of a level begin where its own line is.
            && !lines
                .iter()
                .any(|&at| words.up.0 + 1e-6 < at && at < words.up.1 - 1e-6)
            && !verticals.iter().any(|&at| words.across(at))
            && !curves
                .iter()
                .any(|line| line.windows(2).any(|pair| words.crossed(pair[0], pair[1])))
    };
    for level in plot.levels.iter().filter(|level| !level.words.is_empty()) {
        let Some(at) = y.on(level.at) else { continue };
        let last = x.length - Words::of(&level.words, 0.0, 0.0, height).across.1;
        let count = (last / STEP).max(0.0) as u32;
        // Above the line or below it, from the right to the left.
        let spots = (0..=count).flat_map(|step| {
            let left = last - f64::from(step) * STEP;
            let above = at + CLEAR + height * 0.2;
            [above, at - CLEAR - height].map(|foot| (left, foot))
        });
        let found = spots
            .map(|(left, foot)| Words::of(&level.words, left, foot, height))
            .find(|words| free(words, &placed));
        placed.extend(found);
    }
    for bar in &plot.bars {
        let Some((words, (across, up))) = bar.words.as_ref().zip(bars::place(bar, x, y)) else {
            continue;
        };
        let wide = Words::of(words, 0.0, 0.0, height).across.1 - CLEAR;
        // Beside its mark, right or left, the nearest height that is free.
        let spots = (0..=2 * BESIDE_A_BAR).flat_map(|step| {
            let away = f64::from(step.div_ceil(2)) * height / 2.0;
            let foot = up - height / 2.0 + if step % 2 == 0 { away } else { -away };
            [across + OFF_A_BAR, across - OFF_A_BAR - wide].map(|left| (left, foot))
        });
        let found = spots
            .map(|(left, foot)| Words::of(words, left, foot, height))
            .find(|words| free(words, &placed));
        placed.extend(found);
    }
    for remark in &plot.remarks {
        let wide = Words::of(&remark.words, 0.0, 0.0, height).across.1 - CLEAR;
        let right = x.length - IN - wide;
        let spots = match remark.corner {
            Corner::TopLeft => vec![(IN, y.length - IN - height)],
            Corner::BottomRight => vec![(right, IN)],
            Corner::Bottom => {
                let count = ((right - IN) / STEP).max(0.0) as u32;
                let spot = |step| (right - f64::from(step) * STEP, LOW);
                (0..=count).map(spot).collect()
            }
        };
        let found = spots
            .into_iter()
            .map(|(left, foot)| Words::of(&remark.words, left, foot, height))
            .find(|words| free(words, &placed));
        placed.extend(found);
    }
    placed
}

/// The levels and all words inside the frame.
pub(super) fn draw(plot: &Plot, words: &[Words], y: &Rule, frame: Rect, height: f64) -> Vec<Item> {
    let mut items = Vec::new();
    for level in &plot.levels {
        if let Some(at) = y.on(level.at) {
            let width = frame.width().to_mm();
            let [one, other] = [(0.0, at), (width, at)].map(|at| on_page(frame, at));
            items.push(Item::line(one, other, Pen::HEAVY));
        }
    }
    for words in words {
        let foot = words.up.1 - CLEAR - height;
        let at = on_page(frame, (words.across.0 + CLEAR, foot));
        items.push(TextRun::new(&words.text, Length::mm(height), at).into());
    }
    items
}
