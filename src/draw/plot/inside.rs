//! What is written inside the frame: across it, and in its corners, wherever no
//! curve runs.

use super::bars;
use super::on_page;
use super::rule::Rule;
use super::trace::Place;
use crate::numerics::math;
use crate::scene::{Face, Item, Pen, Rect, TextRun, Weight};
use crate::sheets::{Corner, Plot};
use crate::units::Length;

/// Kept free around words.
const CLEAR: f64 = 1.0;
/// From the frame to words in a corner.
const IN: f64 = 3.0;
/// From the bottom edge to words along it, with the letters that reach down.
const LOW: f64 = 2.0;
/// What a leader that crosses a curve counts as, in millimetres of its length.
const CROSSING: f64 = 12.0;
/// How far from its point words may stand, in heights of figures.
const RINGS: u32 = 30;
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
    /// The point a leader comes from.
    from: Option<Place>,
    pub(super) across: (f64, f64),
    pub(super) up: (f64, f64),
}

impl Words {
    fn of(text: &str, left: f64, foot: f64, height: f64) -> Self {
        let wide = Face::of(Weight::Regular).advance(text, Length::mm(height));
        Self {
            text: text.to_owned(),
            from: None,
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

    /// The leader to the nearest place of the words, where they have one.
    fn leader(&self) -> Option<(Place, Place)> {
        let from = self.from?;
        let to = (
            from.0
                .clamp(self.across.0 + CLEAR / 2.0, self.across.1 - CLEAR / 2.0),
            from.1.clamp(self.up.0, self.up.1 - CLEAR / 2.0),
        );
        Some((from, to))
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
            Corner::Beside(across, up) => {
                let Some(at) = x.on(across).zip(y.on(up)) else {
                    continue;
                };
                let spots = around(at, wide, height).into_iter();
                let tied = spots.map(|(left, foot)| Words {
                    from: Some(at),
                    ..Words::of(&remark.words, left, foot, height)
                });
                let found = tied
                    .filter(|words| free(words, &placed) && clear(words, &placed))
                    .map(|words| (cost(&words, curves), words))
                    .min_by(|one, other| one.0.total_cmp(&other.0));
                placed.extend(found.map(|(_, words)| words));
                continue;
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

/// Whether neither leader of two runs through the other's words, nor the words
/// over the other's point.
fn clear(words: &Words, placed: &[Words]) -> bool {
    placed.iter().all(|other| {
        let own = words.leader();
        let through = own.is_some_and(|(from, to)| other.crossed(from, to));
        let under = other
            .leader()
            .is_some_and(|(from, to)| words.crossed(from, to));
        !through && !under
    })
}

/// What a leader costs: its length, and every curve it crosses beside its own point.
fn cost(words: &Words, curves: &[&[Place]]) -> f64 {
    let Some((from, to)) = words.leader() else {
        return 0.0;
    };
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let long = math::sqrt(dx * dx + dy * dy);
    // Its own curve runs through the point itself.
    let begin = (1.0 / long.max(1.0)).min(1.0);
    let from = (from.0 + dx * begin, from.1 + dy * begin);
    let pairs = curves.iter().flat_map(|line| line.windows(2));
    let crossings = pairs
        .filter(|pair| cross((from, to), (pair[0], pair[1])))
        .count();
    long + CROSSING * crossings as f64
}

/// Whether two straight stretches cross.
fn cross((a, b): (Place, Place), (c, d): (Place, Place)) -> bool {
    let side = |one: Place, two: Place, at: Place| {
        (two.0 - one.0) * (at.1 - one.1) - (two.1 - one.1) * (at.0 - one.0)
    };
    let apart = |one: f64, other: f64| (one > 0.0) != (other > 0.0);
    apart(side(a, b, c), side(a, b, d)) && apart(side(c, d, a), side(c, d, b))
}

/// Where words may begin that are tied to a point, the nearest places first: beside
/// it, over and under it.
fn around(at: Place, wide: f64, height: f64) -> Vec<Place> {
    let mut spots = Vec::new();
    for ring in 1..=RINGS {
        let off = f64::from(ring) * height;
        let (right, left) = (at.0 + off, at.0 - off - wide);
        let (over, under) = (at.1 + off, at.1 - off - height);
        let middle = at.1 - height / 2.0;
        spots.extend([
            (right, over),
            (right, under),
            (left, over),
            (left, under),
            (right, middle),
            (left, middle),
            (at.0 - wide / 2.0, over),
            (at.0 - wide / 2.0, under),
        ]);
    }
    spots
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
        if let Some((from, to)) = words.leader() {
            let [one, other] = [from, to].map(|at| on_page(frame, at));
            items.push(Item::line(one, other, Pen::FINE));
        }
        let foot = words.up.1 - CLEAR - height;
        let at = on_page(frame, (words.across.0 + CLEAR, foot));
        items.push(TextRun::new(&words.text, Length::mm(height), at).into());
    }
    items
}
