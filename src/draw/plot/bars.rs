//! Points with what they may be off: a mark and a bar with ends.

use super::callouts::dot;
use super::on_page;
use super::rule::Rule;
use super::trace::Place;
use crate::scene::{Ink, Item, Path, Pen, Rect};
use crate::sheets::{Bar, Plot};

/// Half the width of a bar's ends, in millimetres.
const END: f64 = 0.9;
/// Half the width and height of a cross.
const CROSS: f64 = 1.1;
/// An arrow at an end of the upright axis: its length and half its width.
const ARROW: (f64, f64) = (2.1, 0.7);
/// The lines of a cross.
const CROSS_PEN: Pen = Pen::HEAVY;

/// Where a bar's point stands; one beyond an end of the upright axis at its
/// arrow there. `None` where it is not on the level axis.
pub(super) fn place(bar: &Bar, x: &Rule, y: &Rule) -> Option<Place> {
    let across = x.on(bar.across)?;
    let (long, _) = ARROW;
    Some((across, y.place(bar.up)?.clamp(long, y.length - long)))
}

/// The stretch of a bar within the axis.
fn stretch(bar: &Bar, y: &Rule) -> Option<(f64, f64)> {
    let [high, low] = bar.ends;
    let (low, high) = (y.place(low)?.max(0.0), y.place(high)?.min(y.length));
    (low < high).then_some((low, high))
}

/// What the bars cover, as lines that words keep clear of.
pub(super) fn lines(plot: &Plot, x: &Rule, y: &Rule) -> Vec<Vec<Place>> {
    let mut lines = Vec::new();
    for bar in &plot.bars {
        let Some((across, up)) = place(bar, x, y) else {
            continue;
        };
        if let Some((low, high)) = stretch(bar, y) {
            lines.push(vec![(across, low), (across, high)]);
            lines.extend([low, high].map(|at| vec![(across - END, at), (across + END, at)]));
        }
        lines.push(vec![
            (across - CROSS, up - CROSS),
            (across + CROSS, up + CROSS),
        ]);
        lines.push(vec![
            (across - CROSS, up + CROSS),
            (across + CROSS, up - CROSS),
        ]);
    }
    lines
}

/// The bars: a dot where one counts, a cross where it does not, an arrow where
/// its point lies beyond the axis.
pub(super) fn draw(plot: &Plot, frame: Rect, x: &Rule, y: &Rule) -> Vec<Item> {
    let mut items = Vec::new();
    for bar in &plot.bars {
        let Some((across, up)) = place(bar, x, y) else {
            continue;
        };
        let mut line = |from: Place, to: Place, pen: Pen| {
            items.push(Item::line(on_page(frame, from), on_page(frame, to), pen));
        };
        if let Some((low, high)) = stretch(bar, y) {
            line((across, low), (across, high), Pen::FINE);
            // An end that is cut off at the frame is none.
            for at in [low, high] {
                if at > 0.0 && at < y.length {
                    line((across - END, at), (across + END, at), Pen::FINE);
                }
            }
        }
        if y.on(bar.up).is_none() {
            items.push(arrow(frame, across, up > y.length / 2.0, y.length));
        } else if bar.counts {
            items.push(dot(on_page(frame, (across, up))));
        } else {
            line(
                (across - CROSS, up - CROSS),
                (across + CROSS, up + CROSS),
                CROSS_PEN,
            );
            line(
                (across - CROSS, up + CROSS),
                (across + CROSS, up - CROSS),
                CROSS_PEN,
            );
        }
    }
    items
}

/// An arrow at the upper or the lower end of the frame, pointing out of it.
fn arrow(frame: Rect, across: f64, upward: bool, height: f64) -> Item {
    let (long, half) = ARROW;
    let (tip, back) = if upward {
        (height, height - long)
    } else {
        (0.0, long)
    };
    let corners = [(across, tip), (across - half, back), (across + half, back)];
    let corners = corners.map(|at| on_page(frame, at));
    Item::filled(Path::polygon(&corners), Ink::Black)
}
