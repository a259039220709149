//! The sheet of one lens.

use super::super::plot::{self, Sizes};
use super::flow::{self, Block, Line, Slab};
use super::table::{Column, Table};
use super::{SECONDARY, TEXT, head};
use crate::scene::{Point, Rect};
use crate::sheets::{PrepLensSheet, PrepMark, PrepReading};

/// How high the drawing of residuals is, in parts of its width, and of the page.
const DRAWING: (f64, f64) = (0.42, 0.45);

pub(super) fn blocks(sheet: &PrepLensSheet, width: f64, room: f64) -> Option<Vec<Block>> {
    let mut blocks = vec![head(&sheet.lens, width)];
    if let Some(plot) = &sheet.residuals {
        let height = (width * DRAWING.0).min(room * DRAWING.1);
        let area = Rect::between(Point::ORIGIN, Point::mm(width, height));
        let drawing = Slab {
            items: plot::figure(plot, area, &Sizes::of(area))?,
            height: height + 1.0,
        };
        let caption = plot.foot.iter().map(|text| Line::regular(text, TEXT));
        let caption = flow::words(&caption.collect::<Vec<_>>(), width);
        let title = flow::heading("What each reading differs by", width);
        let whole = core::iter::once(title).chain([drawing]).chain(caption);
        blocks.push(Block::whole(flow::together(whole.collect())));
    }
    blocks.push(headed(
        "Readings as taken",
        &readings(&sheet.readings),
        width,
    )?);
    blocks.push(Block::words("The law of the ring", &sheet.law, TEXT, width));
    let title = "Where its engraved marks really focus on this camera";
    blocks.push(headed(title, &marks(sheet), width)?);
    let title = "What this rests on, and what cannot be told apart";
    blocks.push(Block::words(title, &sheet.rests_on, TEXT, width));
    Some(blocks)
}

fn headed(title: &str, table: &Table, width: f64) -> Option<Block> {
    let (head, slabs) = table.slabs(width)?;
    let title = flow::heading(title, width);
    Some(Block {
        head: flow::together(vec![title, head]),
        slabs,
    })
}

fn readings(readings: &[PrepReading]) -> Table {
    let columns = vec![
        Column::right("line"),
        Column::left("taped"),
        Column::left("stop"),
        Column::left("the scale said"),
        Column::right("residual"),
        Column::right("in sd"),
        Column::right("ring sd"),
        Column::right("tape sd"),
        Column::left(""),
    ];
    let row = |reading: &PrepReading| {
        let small = |text: &str| vec![Line::regular(text, TEXT)];
        let [ring, tape] = &reading.may_be_off;
        let taken = reading.taken.join(", ");
        vec![
            small(&reading.line),
            vec![Line::regular(&reading.taped, SECONDARY).whole()],
            small(&reading.stop),
            vec![Line::regular(taken, SECONDARY).after_commas()],
            vec![Line::bold(&reading.residual, SECONDARY)],
            small(&reading.in_sd),
            small(ring),
            small(tape),
            small(reading.note),
        ]
    };
    Table {
        columns,
        rows: readings.iter().map(row).collect(),
        ruled: false,
        row: 0.0,
    }
}

fn marks(sheet: &PrepLensSheet) -> Table {
    let columns = vec![
        Column::left("engraved"),
        Column::left("really focuses at"),
        Column::left(&format!("at {}", sheet.marks_at)),
        Column::right("blur, mm"),
        Column::left("no longer shows at"),
    ];
    let row = |mark: &PrepMark| {
        let small = |text: &str| vec![Line::regular(text, TEXT)];
        vec![
            vec![Line::bold(&mark.engraved, SECONDARY).whole()],
            vec![Line::bold(&mark.really, SECONDARY).whole()],
            small(mark.shows),
            small(&mark.blur),
            small(&mark.no_longer),
        ]
    };
    Table {
        columns,
        rows: sheet.marks.iter().map(row).collect(),
        ruled: false,
        row: 0.0,
    }
}
