//! The hyperfocal card of a set: one row a lens, one column a stop.
//!
//! ```text
//!          T2.8     T4
//!   35    ┌ 38′    ┌ 27′     focus there …
//!   T2.1  │ 19′    │ 13′6″   … and all is sharp from here to ∞
//!         └ 30–40 ⅞          on the lens's own scale, where that is true
//! ```

use super::deck::{Deck, STEPS};
use super::face::Title;
use super::fit::distance;
use super::grid::{Cell, Figure, Grid};
use super::layout::Column;
use super::sides::Tabled;
use super::{CardStyle, NoRoom};
use crate::draw::page::Words;
use crate::draw::paper::Paper;
use crate::scene::{Page, Weight, printable};
use crate::sheets::{HyperfocalRow, Hyperfocals};
use crate::units::{Length, Unit};

/// Words under a focal length.
const SMALL: Length = Length::mm(2.2);
/// Words with fewer letters together share a line.
const TOGETHER: usize = 9;
/// Stops over the columns.
const STOP: Length = Length::mm(3.4);

const CAUTIONS: [&str; 2] = [
    "Limits rest on the circle named at the foot of each face.",
    "A place on a scale holds for the camera it names.",
];

/// Draws the card of a set: on a sheet from which it is cut, both faces side by
/// side, where the paper has room, else a page a face.
///
/// # Errors
/// [`NoRoom`] where not one row has room.
pub fn draw(card: &Hyperfocals, paper: &Paper, style: &CardStyle<'_>) -> Result<Vec<Page>, NoRoom> {
    let deck = Deck::of(paper, style, false);
    let (grid, give_up) = grid_of(card, style);
    let tabled = Tabled {
        title: Title {
            names: &card.names,
            code: card.code,
            large: "hyperfocal",
            unit: "",
            date: true,
        },
        beside: [
            card.camera.to_owned(),
            match card.unit {
                Unit::Feet => "feet and inches".to_owned(),
                Unit::Metres => "metres".to_owned(),
            },
        ],
        grid,
        give_up,
        ranks: None,
        drawing: None,
        foot: &card.foot,
    };
    let none = || NoRoom::of("hyperfocal distances".into(), paper, style);
    let faces = tabled.faces(&deck, style, 0).ok_or_else(none)?;
    let words = Words {
        title: "Hyperfocal card",
        steps: &STEPS,
        cautions: &CAUTIONS,
    };
    let code = card.code.to_string();
    let pages = deck.pages(faces, &words).into_iter();
    Ok(pages
        .map(|page| style.finished(page, "Hyperfocal distances", &code))
        .collect())
}

/// The table with as many stops as a layout wants, and which columns go where
/// there is no room for these.
fn grid_of(card: &Hyperfocals, style: &CardStyle<'_>) -> (Grid, Vec<Vec<usize>>) {
    let order = give_up(card.working, card.stops.len());
    let many = card.stops.len().saturating_sub(style.layout.stops);
    let (gone, order) = order.split_at(many.min(order.len()));
    let columns = 0..=card.stops.len();
    let kept: Vec<usize> = columns.filter(|at| !gone.contains(at)).collect();
    let place = |at: &usize| kept.iter().position(|kept| kept == at);
    let order = order.iter().filter_map(place).map(|at| vec![at]);
    let order = order.collect();
    (grid(card, style).with_columns(&kept), order)
}

/// Columns in the order in which they go: what is farthest from the stop worked
/// at, the darkest first; that and wide open stay longest.
fn give_up(working: usize, stops: usize) -> Vec<usize> {
    let mut order: Vec<usize> = (1..stops).filter(|&at| at != working).collect();
    order.sort_by_key(|&at| core::cmp::Reverse((at.abs_diff(working), at)));
    let last = (0 < working && working < stops).then_some(0);
    // The first column of the table is the lenses'.
    order.into_iter().chain(last).map(|at| at + 1).collect()
}

fn grid(card: &Hyperfocals, style: &CardStyle<'_>) -> Grid {
    let head = card.stops.iter().map(|stop| match stop.split_once(' ') {
        // Words take two lines.
        Some((one, other)) if !stop.contains(char::is_numeric) => [one, other]
            .map(|word| Figure::new(word, STOP * 0.75, Weight::Bold))
            .to_vec(),
        _ => vec![Figure::new(stop, STOP, Weight::Bold)],
    });
    let lens = vec![Figure::new("mm", SMALL, Weight::Regular)];
    // Two lenses of one focal length are told apart by their labels.
    let twice = |row: &HyperfocalRow| {
        let same = card.rows.iter().filter(|other| other.focal == row.focal);
        same.count() > 1
    };
    let rows = card.rows.iter().map(|row| {
        let mut cells = vec![of_lens(row, style, twice(row))];
        cells.extend(row.cells.iter().map(|cell| match cell {
            Some(cell) => {
                let mut lines = vec![Figure::new(
                    distance(&cell.hyperfocal, card.unit),
                    style.layout.figures,
                    Weight::Bold,
                )];
                if style.layout.has(Column::Near) {
                    let near = distance(&cell.near, card.unit);
                    let near = Figure::new(near, style.layout.limits, Weight::Regular);
                    lines.push(near);
                }
                let place = cell.place.iter();
                let place = place.filter(|_| style.layout.has(Column::Place));
                let place =
                    place.map(|place| Figure::new(place, style.layout.others, Weight::Regular));
                lines.extend(place);
                lines
            }
            None => vec![Figure::new("–", style.layout.others, Weight::Regular)],
        }));
        cells
    });
    Grid {
        head: core::iter::once(lens).chain(head).collect(),
        rows: rows.collect(),
        parted: Vec::new(),
    }
}

fn of_lens(row: &HyperfocalRow, style: &CardStyle<'_>, twice: bool) -> Cell {
    let mut cell = vec![Figure::new(&row.focal, style.layout.figures, Weight::Bold)];
    let label = row.label.as_deref().filter(|_| twice);
    let label = label.map(|label| printable(label).chars().take(10).collect::<String>());
    let scale = row.scale.filter(|_| style.layout.has(Column::Place));
    let small = [label, row.widest.clone(), scale.map(str::to_owned)];
    let mut lines: Vec<String> = Vec::new();
    for words in small.into_iter().flatten() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + words.chars().count() < TOGETHER => {
                line.push(' ');
                line.push_str(&words);
            }
            _ => lines.push(words),
        }
    }
    cell.extend(
        lines
            .iter()
            .map(|words| Figure::new(words, SMALL, Weight::Regular)),
    );
    cell
}
