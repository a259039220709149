//! The axes with their ticks, figures and names, and the grid.

use super::super::card::fit::shortened;
use super::callouts;
use super::inside::Words;
use super::rule::Rule;
use super::spans;
use super::ticks::{Set, Tick, ticks, width};
use super::{Sizes, on_page};
use crate::scene::{Dash, Item, Pen, Point, Rect, TextRun, Turn, Weight};
use crate::sheets::{Axis, Edge, Plot};
use crate::units::Length;

/// The length of a tick with a figure, and of one without.
const TICK: [f64; 2] = [2.0, 1.1];
/// Between a tick and its figure.
const BESIDE: f64 = 1.0;
/// Between figures and the name of their axis.
const BEFORE_NAME: f64 = 2.2;
/// Letters such as g reach so far under their line, in heights of figures.
const UNDER: f64 = 0.34;
/// The grid: dots that tell no more than they must.
const GRID: Pen = Pen {
    dash: Dash::Broken {
        mark: Length::mm(0.25),
        gap: Length::mm(1.05),
    },
    ..Pen::FINE
};

/// What the frame leaves free for figures, in millimetres.
#[derive(Clone, Copy, Debug)]
pub(super) struct Margins {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) top: f64,
    pub(super) bottom: f64,
    /// The widest figures of the left and of the right axis.
    widest: (f64, f64),
}

impl Margins {
    /// Margins within an area; the top's without callouts and dimensions.
    pub(super) fn of(plot: &Plot, area: Rect, sizes: &Sizes) -> Self {
        let figures = sizes.figures;
        // The frame is lower than the area, so no more figures than these.
        let height = area.height().to_mm();
        let widest = |axis: &Axis| {
            let ticks = Rule::of(axis, height)
                .map(|rule| ticks(axis, &rule, Set::Stacked, figures, (figures, figures)));
            let figures = ticks.unwrap_or_default();
            let figures = figures.iter().filter_map(|tick| tick.figure.as_ref());
            figures
                .map(|figure| width(figure, sizes.figures).to_mm())
                .fold(0.0, f64::max)
        };
        let [long, _] = TICK;
        let beside = |widest: f64| long + BESIDE + widest + BEFORE_NAME + figures * (1.0 + UNDER);
        let left = widest(&plot.y);
        let right = plot.opposite.as_ref().map(widest);
        let callouts = callouts::depth(&plot.callouts, Edge::Right, sizes.words);
        let spans = spans::room(&plot.spans, &plot.x, sizes.words);
        Self {
            left: beside(left),
            right: right.map_or(figures * 1.5, beside).max(callouts).max(spans),
            top: figures,
            bottom: below(figures),
            widest: (left, right.unwrap_or(0.0)),
        }
    }
}

/// Grid, ticks, figures and names around a frame; the grid keeps out of words
/// inside it.
pub(super) fn draw(
    plot: &Plot,
    frame: Rect,
    (x, y): (&Rule, &Rule),
    words: &[Words],
    margins: &Margins,
    sizes: &Sizes,
) -> Vec<Item> {
    let figures = sizes.figures;
    let beyond = (margins.left * 0.8, margins.right * 0.8);
    let across = ticks(&plot.x, x, Set::Level, figures, beyond);
    let upright = |axis: &Axis, rule: &Rule| {
        ticks(
            axis,
            rule,
            Set::Stacked,
            figures,
            (figures / 2.0, figures / 2.0),
        )
    };
    let up = upright(&plot.y, y);
    let mut items = Vec::new();
    for tick in across.iter().filter(|tick| inner(tick, x)) {
        let gaps = gaps(words, |words| words.across(tick.at).then_some(words.up));
        let ends = |from, to| [(tick.at, from), (tick.at, to)];
        items.extend(grid(frame, y.length, gaps, ends));
    }
    // A level's own line is the better one.
    let levels: Vec<f64> = plot
        .levels
        .iter()
        .filter_map(|level| y.on(level.at))
        .collect();
    let free = |tick: &&Tick| levels.iter().all(|level| (tick.at - level).abs() > 0.1);
    for tick in up.iter().filter(|tick| inner(tick, y)).filter(free) {
        let gaps = gaps(words, |words| words.beside(tick.at).then_some(words.across));
        let ends = |from, to| [(from, tick.at), (to, tick.at)];
        items.extend(grid(frame, x.length, gaps, ends));
    }
    items.extend(level(&across, frame, figures));
    let mut side = |ticks: &[Tick], edge: f64, out: f64| {
        for tick in ticks {
            let ends = [0.0, out * long(tick)].map(|out| on_page(frame, (edge + out, tick.at)));
            items.push(Item::line(ends[0], ends[1], Pen::FINE));
            if let Some(figure) = &tick.figure {
                let along = edge + out * (TICK[0] + BESIDE);
                let at = on_page(frame, (along, tick.at - figures / 2.0));
                let run = TextRun::new(figure, Length::mm(figures), at);
                items.push(if out < 0.0 { run.end() } else { run }.into());
            }
        }
    };
    side(&up, 0.0, -1.0);
    if let Some((axis, rule)) = opposite(plot, y.length) {
        side(&upright(axis, &rule), x.length, 1.0);
    }
    items.extend(names(plot, frame, (x, y), margins, sizes));
    items
}

fn long(tick: &Tick) -> f64 {
    TICK[usize::from(tick.figure.is_none())]
}

/// What a level axis takes below the frame, in millimetres, its name included.
pub(in crate::draw) fn below(figures: f64) -> f64 {
    let [long, _] = TICK;
    long + BESIDE + BEFORE_NAME + figures * (2.0 + UNDER)
}

/// Ticks and figures of a level axis, below the frame.
pub(in crate::draw) fn level(ticks: &[Tick], frame: Rect, figures: f64) -> Vec<Item> {
    let mut items = Vec::new();
    for tick in ticks {
        let ends = [0.0, -long(tick)].map(|up| on_page(frame, (tick.at, up)));
        items.push(Item::line(ends[0], ends[1], Pen::FINE));
        if let Some(figure) = &tick.figure {
            let at = on_page(frame, (tick.at, -TICK[0] - BESIDE - figures));
            let run = TextRun::new(figure, Length::mm(figures), at);
            items.push(run.middle().into());
        }
    }
    items
}

/// The name of a level axis, under its figures.
pub(in crate::draw) fn level_name(name: &str, frame: Rect, room: f64, figures: f64) -> Item {
    let below = -TICK[0] - BESIDE - BEFORE_NAME - figures * 2.0;
    let at = on_page(frame, (frame.width().to_mm() / 2.0, below));
    named(name, at, room, figures).into()
}

/// A name within some room, its middle at a place.
fn named(name: &str, at: Point, room: f64, figures: f64) -> TextRun {
    let height = Length::mm(figures);
    let name = shortened(name, Weight::Regular, height, Length::mm(room));
    TextRun::new(&name, height, at).middle()
}

fn opposite(plot: &Plot, length: f64) -> Option<(&Axis, Rule)> {
    let axis = plot.opposite.as_ref()?;
    Some((axis, Rule::of(axis, length)?))
}

/// Whether a tick with a figure stands off the ends of its axis.
fn inner(tick: &Tick, rule: &Rule) -> bool {
    tick.figure.is_some() && tick.at > 0.5 && tick.at < rule.length - 0.5
}

/// Where a line is broken for words, in ascending order.
fn gaps(words: &[Words], gap: impl Fn(&Words) -> Option<(f64, f64)>) -> Vec<(f64, f64)> {
    let mut gaps: Vec<(f64, f64)> = words.iter().filter_map(gap).collect();
    gaps.sort_by(|one, other| one.0.total_cmp(&other.0));
    gaps
}

/// A grid line from one end of the frame to the other, but for gaps.
fn grid(
    frame: Rect,
    length: f64,
    gaps: Vec<(f64, f64)>,
    ends: impl Fn(f64, f64) -> [(f64, f64); 2],
) -> Vec<Item> {
    let mut from = 0.0;
    let mut items = Vec::new();
    for (low, high) in gaps.into_iter().chain([(length, length)]) {
        if low > from {
            let [one, other] = ends(from, low).map(|at| on_page(frame, at));
            items.push(Item::line(one, other, GRID));
        }
        from = high.max(from);
    }
    items
}

/// The names of the axes: below, at the left upward, at the right upward.
fn names(
    plot: &Plot,
    frame: Rect,
    (x, y): (&Rule, &Rule),
    margins: &Margins,
    sizes: &Sizes,
) -> Vec<Item> {
    let figures = sizes.figures;
    let [long, _] = TICK;
    let room = x.length + margins.left.min(margins.right);
    let mut items = vec![level_name(&plot.x.name, frame, room, figures)];
    // Above the frame stand dimensions.
    let room = y.length + 2.0;
    let mut upward = |name: &str, across: f64| {
        let at = on_page(frame, (across, y.length / 2.0));
        let run = named(name, at, room, figures);
        items.push(run.turned(Turn::THREE_QUARTERS).into());
    };
    let beside = |widest: f64| long + BESIDE + widest + BEFORE_NAME;
    upward(&plot.y.name, -beside(margins.widest.0) - figures * UNDER);
    if let Some(axis) = &plot.opposite {
        let out = beside(margins.widest.1) + figures;
        upward(&axis.name, x.length + out);
    }
    items
}
