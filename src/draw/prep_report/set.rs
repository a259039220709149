//! The sheet of a camera and its lenses.

use super::flow::{self, Block, Line, Slab};
use super::table::{Column, Table};
use super::{PRIMARY, SECONDARY, TEXT, errors, head};
use crate::scene::{Face, Item, Pen, Point, TextRun, Weight};
use crate::sheets::{Displaced, PrepSetRow, PrepSetSheet};
use crate::units::Length;

/// A row of the table, and a line to write on, at least.
const ROW: f64 = 11.0;
/// The column that is filled in after service.
const BLANK: f64 = 20.0;
/// What the technician writes.
const SIGNED: [&str; 3] = ["technician", "date", "camera after service, mm"];

pub(super) fn blocks(sheet: &PrepSetSheet, width: f64, room: f64) -> Option<Vec<Block>> {
    let mut blocks = vec![head(&sheet.camera, width)];
    let (head, rows) = table(&sheet.rows).slabs(width)?;
    let title = flow::heading("Its lenses, as read on this camera", width);
    blocks.push(Block {
        head: flow::together(vec![title, head]),
        slabs: rows,
    });
    blocks.push(Block::whole(signed(width)));
    let lines = sheet.legend.iter().map(|text| Line::regular(text, TEXT));
    let lines: Vec<Line> = lines.collect();
    blocks.push(Block::whole(flow::together(flow::words(&lines, width))));
    let title = flow::heading("Errors, and what they may be off", width);
    let caption = "●: what was found, the line about it two standard errors either way, an arrow \
                   where it goes on; broken lines: what is tolerated either way.";
    let caption = flow::together(flow::words(&[Line::regular(caption, TEXT)], width));
    let room = room - title.height - caption.height;
    let mut drawings = errors::draw(sheet, width, room)?;
    drawings.push(caption);
    blocks.push(Block {
        head: title,
        slabs: drawings,
    });
    let others = "Other cameras";
    let to_do = "What to do";
    let rests_on = "What this rests on, and what cannot be told apart";
    for (title, paragraphs) in [
        (to_do, &sheet.advice),
        (others, &sheet.differences),
        (rests_on, &sheet.rests_on),
    ] {
        blocks.push(Block::words(title, paragraphs, TEXT, width));
    }
    Some(blocks)
}

fn table(rows: &[PrepSetRow]) -> Table {
    let names = Column {
        names: true,
        ..Column::left("lens")
    };
    let blank = Column {
        blank: BLANK,
        ..Column::left("after service")
    };
    Table {
        columns: vec![
            names,
            Column::left("focal, read at"),
            Column::right("readings"),
            Column::left("as read, mm"),
            Column::left("lens's own share, mm"),
            Column::left("tolerated, mm"),
            Column::left("verdict"),
            blank,
        ],
        rows: rows.iter().map(row).collect(),
        ruled: true,
        row: ROW,
    }
}

fn row(row: &PrepSetRow) -> Vec<Vec<Line>> {
    let small = |text: String| Line::regular(text, TEXT);
    let mut lens = vec![Line::bold(&row.label, SECONDARY)];
    let serial = row.serial.as_ref();
    lens.extend(serial.map(|serial| small(format!("no. {serial}"))));
    let mut readings = vec![Line::regular(row.readings.to_string(), SECONDARY)];
    if row.set_aside > 0 {
        readings.push(small(format!("{} set aside", row.set_aside)));
    }
    let figure = |found: &Displaced| format!("{} ± {}", found.hundredths(), found.either_way());
    let way = |found: &Displaced| small(found.way_in_short().to_owned());
    let own = match &row.own {
        Some(own) => vec![Line::regular(figure(own), SECONDARY).whole(), way(own)],
        None => vec![small("cannot be told".into())],
    };
    let [tolerated, at] = &row.tolerated_words;
    let mut verdict = vec![Line::bold(row.verdict, SECONDARY)];
    if let Some(own) = row.own_verdict.filter(|own| *own != row.verdict) {
        verdict.push(small(format!("own share: {own}")));
    }
    vec![
        lens,
        vec![
            Line::regular(&row.focal, SECONDARY).whole(),
            small(row.stops.clone()),
        ],
        readings,
        vec![
            Line::bold(figure(&row.as_read), PRIMARY).whole(),
            way(&row.as_read),
        ],
        own,
        vec![Line::regular(tolerated, SECONDARY), small(at.clone())],
        verdict,
        Vec::new(),
    ]
}

/// Lines for the technician to write on.
fn signed(width: f64) -> Slab {
    let height = Length::mm(TEXT);
    let face = Face::of(Weight::Regular);
    let gap = 4.0;
    let words: f64 = SIGNED
        .iter()
        .map(|word| face.advance(word, height).to_mm() + 2.0)
        .sum();
    let each = (width - words) / SIGNED.len() as f64 - gap;
    let down = 6.5;
    let (mut items, mut along): (Vec<Item>, f64) = (Vec::new(), 0.0);
    for word in SIGNED {
        let run = TextRun::new(word, height, Point::mm(along, down - 0.6));
        along += run.width().to_mm() + 2.0;
        items.push(run.into());
        let ends = [along, along + each].map(|x| Point::mm(x, down));
        items.push(Item::line(ends[0], ends[1], Pen::FINE));
        along += each + gap;
    }
    Slab {
        items,
        height: down + 1.5,
    }
}
