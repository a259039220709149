//! The conversion card: distances both ways, then stops.

use super::deck::{Deck, STEPS};
use super::face::Title;
use super::fit::distance;
use super::grid::{Cell, Figure, Grid};
use super::layout::Column;
use super::sides::Tabled;
use super::{CardStyle, NoRoom};
use crate::draw::page::Words;
use crate::draw::paper::Paper;
use crate::scene::{Item, Page, Weight};
use crate::sheets::{Conversions, Converted, MOST_CONVERTED};
use crate::units::{Length, Unit};

/// Names of columns.
const NAME: Length = Length::mm(2.2);

const CAUTIONS: [&str; 2] = [
    "Converted figures are rounded as the foot of each face says.",
    "Depth goes by the f-number, exposure by the T-number.",
];

/// Draws the card: a face of distances and the faces of stops.
///
/// # Errors
/// [`NoRoom`] where not one line of a face has room.
pub fn draw(card: &Conversions, paper: &Paper, style: &CardStyle<'_>) -> Result<Vec<Page>, NoRoom> {
    let deck = Deck::of(paper, style, false);
    let none = || NoRoom::of("conversions".into(), paper, style);
    let (layout, mut faces) = (style.layout, Vec::<Vec<Item>>::new());
    let (ways, stops): (Vec<String>, Vec<String>) = split_foot(&card.foot);
    if layout.has(Column::FeetToMetres) || layout.has(Column::MetresToFeet) {
        // Each way first in turn, where both have no room side by side.
        for first in [card.unit, other(card.unit)] {
            let words = ["feet, inches".to_owned(), "and metres".to_owned()];
            let most = layout.lines.min(MOST_CONVERTED);
            // As many lines as have room on one face.
            let whole = (1..=most).rev().find_map(|most| {
                let grid = distances(card, style, first, most);
                let tabled = Tabled {
                    give_up: vec![vec![2, 3]],
                    ..tabled(card, words.clone(), grid, &ways)
                };
                let faces = tabled.faces(&deck, style, faces.len())?;
                (faces.len() == 1).then(|| (faces, tabled.is_whole(&deck, style)))
            });
            let (more, whole) = whole.ok_or_else(none)?;
            faces.extend(more);
            if whole {
                break;
            }
        }
    }
    if layout.has(Column::Stops) {
        let grid = stop_grid(card, style);
        let words = ["T to f".to_owned(), "stops".to_owned()];
        let tabled = Tabled {
            give_up: (3..2 + card.transmittances.len())
                .rev()
                .map(|at| vec![at])
                .collect(),
            ..tabled(card, words, grid, &stops)
        };
        let more = tabled.faces(&deck, style, faces.len());
        faces.extend(more.ok_or_else(none)?);
    }
    let words = Words {
        title: "Conversions",
        steps: &STEPS,
        cautions: &CAUTIONS,
    };
    let code = card.code.to_string();
    let pages = deck.pages(faces, &words).into_iter();
    Ok(pages
        .map(|page| style.finished(page, "Conversions", &code))
        .collect())
}

/// What of the foot is about distances, and what about stops; the caution is on
/// both.
fn split_foot(foot: &[String]) -> (Vec<String>, Vec<String>) {
    let of_distances = |line: &&String| line.starts_with("1 ft");
    let caution = |line: &&String| line.starts_with("check");
    let distances = foot
        .iter()
        .filter(|line| of_distances(line) || caution(line));
    let stops = foot.iter().filter(|line| !of_distances(line));
    (distances.cloned().collect(), stops.cloned().collect())
}

fn tabled<'a>(
    card: &'a Conversions,
    beside: [String; 2],
    grid: Grid,
    foot: &'a [String],
) -> Tabled<'a> {
    Tabled {
        title: Title {
            names: &card.names,
            code: card.code,
            large: "conversions",
            unit: "",
            date: false,
        },
        beside,
        grid,
        give_up: Vec::new(),
        ranks: None,
        drawing: None,
        foot,
    }
}

const fn other(unit: Unit) -> Unit {
    match unit {
        Unit::Feet => Unit::Metres,
        Unit::Metres => Unit::Feet,
    }
}

/// The worthiest distances of both tables side by side, one unit first.
fn distances(card: &Conversions, style: &CardStyle<'_>, first: Unit, most: usize) -> Grid {
    let layout = style.layout;
    let both = [
        (
            Column::FeetToMetres,
            &card.to_metres,
            ["ft in", "m"],
            Unit::Feet,
        ),
        (
            Column::MetresToFeet,
            &card.to_feet,
            ["m", "ft in"],
            Unit::Metres,
        ),
    ];
    let mut wanted: Vec<_> = both
        .into_iter()
        .filter(|(column, ..)| layout.has(*column))
        .collect();
    if first == Unit::Metres {
        wanted.reverse();
    }
    let mut grid = Grid::default();
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    let mut tables = Vec::new();
    for (_, lines, names, from) in wanted {
        let to = other(from);
        if !grid.head.is_empty() {
            grid.parted.push(grid.head.len());
        }
        let name = |words: &str| vec![Figure::new(words, NAME, Weight::Regular)];
        grid.head.extend(names.map(name));
        let cells = |line: &Converted| {
            [
                vec![Figure::new(
                    distance(&line.from, from),
                    layout.figures,
                    Weight::Bold,
                )],
                vec![Figure::new(
                    distance(&line.to, to),
                    layout.limits,
                    Weight::Regular,
                )],
            ]
        };
        let kept = lines.iter().filter(|line| line.rank < most);
        tables.push(kept.map(cells).collect::<Vec<_>>());
    }
    let count = tables.iter().map(Vec::len).max().unwrap_or(0);
    for at in 0..count {
        rows.push(
            tables
                .iter()
                .flat_map(|table| {
                    let empty = || [Vec::new(), Vec::new()];
                    table.get(at).cloned().unwrap_or_else(empty)
                })
                .collect(),
        );
    }
    grid.rows = rows;
    grid
}

fn stop_grid(card: &Conversions, style: &CardStyle<'_>) -> Grid {
    let layout = style.layout;
    let name = |words: &str| Figure::new(words, NAME, Weight::Regular);
    let mut head = vec![vec![name("T")], vec![name("exact")]];
    let taus = card.transmittances.iter();
    head.extend(taus.map(|(tau, lenses)| {
        let tau = name(&format!("f at {tau}"));
        if lenses.is_empty() {
            vec![tau]
        } else {
            vec![tau, name(&few(lenses))]
        }
    }));
    let rows = card.stops.iter().map(|stop| {
        let weight = if stop.full {
            Weight::Bold
        } else {
            Weight::Regular
        };
        let nominal = Figure::new(&stop.nominal, layout.figures, weight);
        let exact = Figure::new(&stop.exact, layout.others, Weight::Regular);
        let numbers = stop.f_numbers.iter();
        let numbers = numbers.map(|f| vec![Figure::new(f, layout.limits, Weight::Regular)]);
        [vec![nominal], vec![exact]]
            .into_iter()
            .chain(numbers)
            .collect()
    });
    Grid {
        head,
        rows: rows.collect(),
        parted: Vec::new(),
    }
}

/// Focal lengths over a column, or how many lenses they are.
fn few(lenses: &str) -> String {
    let count = lenses.split(' ').count();
    if lenses.chars().count() <= 9 {
        lenses.to_owned()
    } else {
        format!("{count} lenses")
    }
}
