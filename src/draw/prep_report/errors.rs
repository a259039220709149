//! The errors of camera and lenses, each as a dimensioned line about nought.
//!
//! ```text
//!             ┌────────┆───────┬───────┆────────┐
//!   25 mm     │        ┆       │  ├──●─┆──┤     │   ┆ tolerated
//!   camera A  │        ┆     ├─┼●─┤   ┆        │
//!             └────────┆───────┴───────┆────────┘
//!               −0.05        0       0.05   mm
//! ```

use super::super::card::fit::shortened;
use super::super::plot::axes;
use super::super::plot::callouts::{arrowhead, dot};
use super::super::plot::rule::Rule;
use super::super::plot::ticks::{Set, ticks};
use super::flow::Slab;
use crate::scene::{Dash, Face, Item, Path, Pen, Point, Rect, TextRun, Weight};
use crate::sheets::{Axis, Displaced, Figures, PrepSetSheet, Scale, Value};
use crate::units::Length;

/// The height of words and figures.
const TEXT: f64 = 2.5;
/// From one line to the next.
const PITCH: f64 = 5.6;
/// Half the height of the ends of a line.
const END: f64 = 1.1;
/// The widest names, as a part of the whole.
const NAMES: f64 = 0.3;
/// Between names and the frame.
const BESIDE: f64 = 2.0;
/// What lies farther out than so many times the widest tolerance runs out of the
/// frame: it would press the others together.
const FARTHEST: f64 = 4.0;
/// The frame reaches so many times as far as what it shows.
const AROUND: f64 = 1.08;
/// Where what is tolerated ends.
const TOLERATED: Pen = Pen {
    dash: Dash::Broken {
        mark: Length::mm(1.4),
        gap: Length::mm(0.8),
    },
    ..Pen::HEAVY
};

/// One line of the drawing.
struct Row<'a> {
    name: &'a str,
    weight: Weight,
    found: Displaced,
    tolerated: Length,
}

/// The lines of a sheet, so many on a drawing as fit in a height, all at one
/// scale; `None` where there is no room for any.
pub(super) fn draw(sheet: &PrepSetSheet, width: f64, room: f64) -> Option<Vec<Slab>> {
    let lenses = sheet.rows.iter().map(|row| Row {
        name: &row.label,
        weight: Weight::Regular,
        found: row.as_read,
        tolerated: row.tolerated,
    });
    let camera = sheet.camera.found.map(|found| Row {
        name: sheet.camera.who.first().map_or("", String::as_str),
        weight: Weight::Bold,
        found,
        tolerated: sheet.camera.tolerated,
    });
    let rows: Vec<Row<'_>> = lenses.chain(camera).collect();
    let most = ((room - axes::below(TEXT) - TEXT / 2.0) / PITCH).floor();
    if most < 1.0 {
        return None;
    }
    let axis = axis(&rows)?;
    let names = names_width(&rows, width * NAMES);
    let each = rows.chunks(most as usize);
    each.map(|rows| drawing(rows, &axis, names, width))
        .collect()
}

/// The axis that shows all rows, but for what lies too far out.
fn axis(rows: &[Row<'_>]) -> Option<Axis> {
    let reach = |row: &Row<'_>| (row.found.error.abs() + row.found.standard_error * 2.0).to_mm();
    let tolerated = rows.iter().map(|row| row.tolerated.to_mm());
    let tolerated = tolerated.fold(0.0, f64::max);
    let reach = rows.iter().map(reach).fold(tolerated, f64::max);
    let end = reach.min(FARTHEST * tolerated) * AROUND;
    Some(Axis {
        name: "image plane too near the lens (−) or too far from it (+), mm".into(),
        scale: Scale::Linear,
        figures: Figures::Numbers,
        from: Value::new(-end)?,
        to: Value::new(end)?,
    })
}

fn names_width(rows: &[Row<'_>], most: f64) -> f64 {
    let wide = |row: &Row<'_>| {
        let name = crate::scene::printable(row.name.trim());
        Face::of(row.weight)
            .advance(&name, Length::mm(TEXT))
            .to_mm()
    };
    rows.iter().map(wide).fold(0.0, f64::max).min(most)
}

fn drawing(rows: &[Row<'_>], axis: &Axis, names: f64, width: f64) -> Option<Slab> {
    let left = names + BESIDE;
    // Half a figure reaches over the end of the axis.
    let right = width - TEXT * 2.0;
    let height = PITCH * rows.len() as f64;
    let frame = Rect::between(Point::mm(left, 0.0), Point::mm(right, height));
    let rule = Rule::of(axis, right - left)?;
    let at = |mm: f64| Some(left + rule.place(Value::new(mm)?)?);
    let zero = at(0.0)?;
    let mut items = vec![Item::line(
        Point::mm(zero, 0.0),
        Point::mm(zero, height),
        Pen::FINE,
    )];
    for (number, row) in rows.iter().enumerate() {
        let top = PITCH * number as f64;
        for mm in [-row.tolerated.to_mm(), row.tolerated.to_mm()] {
            let along = at(mm)?;
            let ends = [top, top + PITCH].map(|down| Point::mm(along, down));
            items.push(Item::line(ends[0], ends[1], TOLERATED));
        }
        let middle = top + PITCH / 2.0;
        let height = Length::mm(TEXT);
        let name = shortened(row.name, row.weight, height, Length::mm(names));
        let foot = Point::mm(names, middle + TEXT / 2.0);
        let run = TextRun::new(&name, height, foot).end();
        items.push(match row.weight {
            Weight::Regular => run.into(),
            Weight::Bold => run.bold().into(),
        });
        let either_way = row.found.standard_error.to_mm() * 2.0;
        let error = row.found.error.to_mm();
        let ends = (at(error - either_way)?, at(error + either_way)?);
        items.extend(line(ends, at(error)?, middle, (left, right)));
    }
    let ticks = ticks(axis, &rule, Set::Level, TEXT, (left, TEXT * 2.0));
    items.extend(axes::level(&ticks, frame, TEXT));
    items.push(axes::level_name(&axis.name, frame, right - left, TEXT));
    items.push(Item::stroked(Path::rectangle(frame), Pen::HEAVY));
    Some(Slab {
        items,
        height: height + axes::below(TEXT) + TEXT / 2.0,
    })
}

/// A line with its ends, or with an arrow where it runs out of the frame, and a
/// dot on what was found.
fn line((from, to): (f64, f64), found: f64, down: f64, (left, right): (f64, f64)) -> Vec<Item> {
    let point = |along: f64| Point::mm(along, down);
    let within = |along: f64| along > left && along < right;
    let inside = |along: f64| along.clamp(left, right);
    let mut items = vec![Item::line(
        point(inside(from)),
        point(inside(to)),
        Pen::HEAVY,
    )];
    for end in [from, to] {
        if within(end) {
            let ends = [down - END, down + END].map(|at| Point::mm(end, at));
            items.push(Item::line(ends[0], ends[1], Pen::HEAVY));
        } else {
            items.push(arrowhead(point(inside(end)), end >= right));
        }
    }
    if within(found) {
        items.push(dot(point(found)));
    }
    items
}
