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
use crate::scene::{Page, Weight};
use crate::sheets::{HyperfocalRow, Hyperfocals};
use crate::units::{Length, Unit};

/// Words under a focal length.
const SMALL: Length = Length::mm(2.2);
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
    let stops = card.stops.len().min(style.layout.stops);
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
        grid: grid(card, style, stops),
        // The darkest stops first.
        give_up: (2..=stops).rev().map(|at| vec![at]).collect(),
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

fn grid(card: &Hyperfocals, style: &CardStyle<'_>, stops: usize) -> Grid {
    let shown = card.stops.iter().take(stops);
    let head = shown.map(|stop| vec![Figure::new(stop, STOP, Weight::Bold)]);
    let lens = vec![Figure::new("mm", SMALL, Weight::Regular)];
    // Two lenses of one focal length are told apart by their labels.
    let twice = |row: &HyperfocalRow| {
        let same = card.rows.iter().filter(|other| other.focal == row.focal);
        same.count() > 1
    };
    let rows = card.rows.iter().map(|row| {
        let mut cells = vec![of_lens(row, style, twice(row))];
        cells.extend(row.cells.iter().take(stops).map(|cell| match cell {
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
    let label = label.map(|label| label.chars().take(10).collect::<String>());
    let small = [label, row.widest.clone()].into_iter().flatten();
    let scale = row.scale.filter(|_| style.layout.has(Column::Place));
    let small = small.chain(scale.map(str::to_owned));
    cell.extend(small.map(|words| Figure::new(words, SMALL, Weight::Regular)));
    cell
}
