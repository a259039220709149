//! Field cards: the frame drawn to scale and dimensioned, and what it takes in.

use super::deck::{Deck, STEPS};
use super::face::Title;
use super::fit::distance;
use super::grid::{Figure, Grid};
use super::layout::Column;
use super::sides::{Drawing, Tabled};
use super::{CardStyle, NoRoom};
use crate::draw::page::Words;
use crate::draw::paper::Paper;
use crate::scene::{Dash, Face, Item, Page, Path, Pen, Point, Rect, TextRun, Weight, printable};
use crate::sheets::{FieldCard, FieldSet, FrameShown};
use crate::units::{Length, Unit};

/// Names of columns.
const NAME: Length = Length::mm(2.2);
/// Figures of dimensions, from their line, and how far arrows are open.
const DIMENSION: Length = Length::mm(2.5);
const OFF: Length = Length::mm(0.8);
const ARROW: Length = Length::mm(1.6);
/// From an outline to its dimension.
const BESIDE: Length = Length::mm(4.2);
/// How high the drawing stands above a table, and how wide beside one.
const DRAWING: (Length, Length) = (Length::mm(27.0), Length::mm(52.0));
/// Scales a gate is drawn to, the largest that fits: over and under.
const SCALES: [(f64, f64); 11] = [
    (3.0, 1.0),
    (2.0, 1.0),
    (1.0, 1.0),
    (1.0, 1.5),
    (1.0, 2.0),
    (1.0, 3.0),
    (1.0, 5.0),
    (1.0, 10.0),
    (1.0, 20.0),
    (1.0, 50.0),
    (1.0, 100.0),
];
/// Beside a gate, for its height in figures.
const ASIDE: Length = Length::mm(13.5);
const EXTRACTION: Pen = Pen {
    dash: Dash::Broken {
        mark: Length::mm(1.6),
        gap: Length::mm(0.8),
    },
    ..Pen::FINE
};

const CAUTIONS: [&str; 2] = [
    "An ideal lens: distortion is not counted.",
    "Look through the finder before the frame line matters.",
];

/// Draws the field card of a lens.
///
/// # Errors
/// [`NoRoom`] where not one line has room.
pub fn draw(card: &FieldCard, paper: &Paper, style: &CardStyle<'_>) -> Result<Vec<Page>, NoRoom> {
    let [across, down, corner] = &card.angles;
    let frame = |rect: Rect| drawing(&card.frame, rect);
    let drawing = Drawing {
        draw: &frame,
        height: DRAWING.0,
        width: DRAWING.1,
    };
    let grid = grid(card, style);
    let tabled = Tabled {
        title: Title {
            names: &card.names,
            code: card.code,
            large: &card.names.focal,
            unit: "mm",
            date: true,
        },
        beside: [
            format!("field {across} × {down}"),
            format!("diagonal {corner}"),
        ],
        give_up: (2..grid.head.len()).rev().map(|at| vec![at]).collect(),
        grid,
        ranks: Some(card.lines.iter().map(|line| line.rank).collect()),
        drawing: Some(drawing).filter(|_| style.layout.drawing),
        foot: &card.foot,
    };
    let of = format!("the field of {} mm", card.names.focal);
    let title = format!("Field card {} mm", card.names.focal);
    on_pages(&tabled, (&title, of), paper, style)
}

/// Draws the field card of a set.
///
/// # Errors
/// [`NoRoom`] where not one row has room.
pub fn draw_set(
    card: &FieldSet,
    paper: &Paper,
    style: &CardStyle<'_>,
) -> Result<Vec<Page>, NoRoom> {
    let (grid, give_up) = set_grid(card, style);
    let tabled = Tabled {
        title: Title {
            names: &card.names,
            code: card.code,
            large: "field",
            unit: "",
            date: true,
        },
        beside: [
            "width over height".to_owned(),
            match card.unit {
                Unit::Feet => "feet and inches".to_owned(),
                Unit::Metres => "metres".to_owned(),
            },
        ],
        grid,
        give_up: give_up.into_iter().map(|at| vec![at]).collect(),
        ranks: None,
        drawing: None,
        foot: &card.foot,
    };
    on_pages(&tabled, ("Field card", "fields".into()), paper, style)
}

fn on_pages(
    tabled: &Tabled<'_>,
    (title, of): (&str, String),
    paper: &Paper,
    style: &CardStyle<'_>,
) -> Result<Vec<Page>, NoRoom> {
    let deck = Deck::of(paper, style, false);
    let none = || NoRoom::of(of, paper, style);
    let faces = tabled.faces(&deck, style, 0).ok_or_else(none)?;
    let words = Words {
        title: "Field card",
        steps: &STEPS,
        cautions: &CAUTIONS,
    };
    let code = tabled.title.code.to_string();
    let pages = deck.pages(faces, &words).into_iter();
    Ok(pages
        .map(|page| style.finished(page, title, &code))
        .collect())
}

fn name(words: &str) -> Vec<Figure> {
    vec![Figure::new(words, NAME, Weight::Regular)]
}

fn grid(card: &FieldCard, style: &CardStyle<'_>) -> Grid {
    let layout = style.layout;
    let [width, height] = match card.unit {
        Unit::Feet => ["width", "height"],
        Unit::Metres => ["width, m", "height, m"],
    };
    let columns = [
        (true, "focus"),
        (layout.has(Column::Width), width),
        (layout.has(Column::Height), height),
        (layout.has(Column::Angle), "angle across"),
        (layout.has(Column::Angle), "down"),
    ];
    let kept: Vec<usize> = (0..)
        .zip(&columns)
        .filter(|(_, (kept, _))| *kept)
        .map(|(at, _)| at)
        .collect();
    let rows = card.lines.iter().map(|line| {
        let size = |text: &str| {
            let text = distance(text, card.unit);
            vec![Figure::new(text, layout.limits, Weight::Regular)]
        };
        let angle = |text: &String| vec![Figure::new(text, layout.others, Weight::Regular)];
        let focus = distance(&line.focus, card.unit);
        vec![
            vec![Figure::new(focus, layout.figures, Weight::Bold)],
            size(&line.width),
            size(&line.height),
            angle(&line.angles[0]),
            angle(&line.angles[1]),
        ]
    });
    let whole = Grid {
        head: columns.iter().map(|(_, words)| name(words)).collect(),
        rows: rows.collect(),
        parted: Vec::new(),
    };
    whole.with_columns(&kept)
}

/// The table of a set, and which columns it gives up first: distances by rank.
fn set_grid(card: &FieldSet, style: &CardStyle<'_>) -> (Grid, Vec<usize>) {
    let layout = style.layout;
    let mut columns = vec![name("mm")];
    if layout.has(Column::Angle) {
        columns.push(name("angle"));
    }
    let first = columns.len();
    columns.extend(card.distances.iter().map(|(at, _)| {
        vec![Figure::new(
            distance(at, card.unit),
            Length::mm(3.4),
            Weight::Bold,
        )]
    }));
    let rows = card.rows.iter().map(|row| {
        let twice = card
            .rows
            .iter()
            .filter(|other| other.focal == row.focal)
            .count()
            > 1;
        let mut lens = vec![Figure::new(&row.focal, layout.figures, Weight::Bold)];
        if let Some(label) = row.label.as_deref().filter(|_| twice) {
            let label: String = printable(label).chars().take(10).collect();
            lens.push(Figure::new(label, NAME, Weight::Regular));
        }
        let mut cells = vec![lens];
        let two = |[one, other]: [String; 2], height| {
            [one, other]
                .map(|text| Figure::new(text, height, Weight::Regular))
                .to_vec()
        };
        if layout.has(Column::Angle) {
            cells.push(two(row.angles.clone(), layout.others));
        }
        cells.extend(row.cells.iter().map(|cell| match cell {
            Some((width, height)) => {
                let both = [width, height].map(|text| distance(text, card.unit));
                let mut both = two(both, layout.others);
                if let Some(width) = both.first_mut() {
                    width.height = layout.limits;
                }
                both
            }
            None => vec![Figure::new("–", layout.others, Weight::Regular)],
        }));
        cells
    });
    let grid = Grid {
        head: columns,
        rows: rows.collect(),
        parted: Vec::new(),
    };
    let mut by_rank: Vec<(usize, usize)> = (first..)
        .zip(&card.distances)
        .map(|(at, (_, rank))| (*rank, at))
        .collect();
    by_rank.sort_unstable();
    // One distance stays; before the last ones go the angles.
    let mut give_up: Vec<usize> = by_rank.iter().skip(2).rev().map(|(_, at)| *at).collect();
    give_up.extend(layout.has(Column::Angle).then_some(1));
    give_up.extend(by_rank.get(1).map(|(_, at)| *at));
    (grid, give_up)
}

/// The gate to scale, what is seen of it inside, both dimensioned.
fn drawing(frame: &FrameShown, rect: Rect) -> Vec<Item> {
    let (gate, picture) = (frame.gate, frame.picture);
    let apart = (gate.0 - picture.0).abs() > Length::mm(0.005)
        || (gate.1 - picture.1).abs() > Length::mm(0.005);
    let sides = if apart { 2.0 } else { 1.0 };
    let room = (rect.width() - ASIDE * sides, rect.height() - BESIDE * sides);
    let fits = |(over, under): &&(f64, f64)| {
        let scale = over / under;
        gate.0 * scale <= room.0 && gate.1 * scale <= room.1
    };
    let Some(&(over, under)) = SCALES.iter().find(fits) else {
        return Vec::new();
    };
    let scale = over / under;
    let (width, height) = (gate.0 * scale, gate.1 * scale);
    let left = rect.left() + (rect.width() - width) / 2.0;
    let above = if apart { BESIDE } else { Length::ZERO };
    let top = rect.top() + above + (room.1 - height) / 2.0;
    let outline = Rect::between(
        Point::new(left, top),
        Point::new(left + width, top + height),
    );
    let inset = (
        (width - picture.0 * scale) / 2.0,
        (height - picture.1 * scale) / 2.0,
    );
    let inside = outline.inset(inset.0, inset.1, inset.0, inset.1);
    let mut items = vec![Item::stroked(Path::rectangle(outline), Pen::HEAVY)];
    let mm = |length: Length| format!("{:.2}", length.to_mm());
    items.extend(across(
        outline,
        outline.bottom() + BESIDE * 0.8,
        outline.bottom(),
        &mm(gate.0),
        false,
    ));
    items.extend(along(
        outline,
        outline.right() + BESIDE * 0.8,
        outline.right(),
        &mm(gate.1),
        false,
    ));
    if apart {
        items.push(Item::stroked(Path::rectangle(inside), EXTRACTION));
        items.extend(across(
            inside,
            outline.top() - BESIDE * 0.8,
            inside.top(),
            &mm(picture.0),
            true,
        ));
        items.extend(along(
            inside,
            outline.left() - BESIDE * 0.8,
            inside.left(),
            &mm(picture.1),
            true,
        ));
    }
    let middle = (inside.left() + inside.right()) / 2.0;
    let down = (inside.top() + inside.bottom() + DIMENSION) / 2.0;
    let words = if apart { "seen" } else { "gate" };
    let run = TextRun::new(words, DIMENSION, Point::new(middle, down)).middle();
    items.push(run.into());
    // Where it stands above a table there is room beside it.
    let mut said = vec!["gate, mm".to_owned()];
    if apart {
        said.push("broken: seen".to_owned());
    }
    said.push(format!("{over} : {under}"));
    let widest = said
        .iter()
        .map(|words| Face::of(Weight::Regular).advance(words, NAME))
        .fold(Length::ZERO, Length::max);
    if rect.left() + widest + BESIDE * 2.0 < outline.left() {
        items.extend((1..).zip(&said).map(|(line, words)| {
            let at = Point::new(rect.left(), rect.top() + NAME * (1.5 * f64::from(line)));
            Item::from(TextRun::new(words, NAME, at))
        }));
    }
    items
}

/// A dimension across, its line at a height, from what is measured.
fn across(of: Rect, at: Length, from: Length, figure: &str, above: bool) -> Vec<Item> {
    let (left, right) = (of.left(), of.right());
    let beyond = if above { -OFF } else { OFF };
    let ends = [left, right]
        .map(|x| Item::line(Point::new(x, from), Point::new(x, at + beyond), Pen::FINE));
    let middle = (left + right) / 2.0;
    let run = TextRun::new(figure, DIMENSION, Point::new(middle, at + DIMENSION / 2.0)).middle();
    let half = run.width() / 2.0 + OFF;
    let mut items: Vec<Item> = ends.into();
    // Arrows where there is room for them beside the figure.
    if half + ARROW < (right - left) / 2.0 {
        for (end, inner, way) in [(left, middle - half, 1.0), (right, middle + half, -1.0)] {
            let (end, inner) = (Point::new(end, at), Point::new(inner, at));
            items.push(Item::line(end, inner, Pen::FINE));
            items.extend(arrow(end, (ARROW * way, Length::ZERO)));
        }
    }
    items.push(run.into());
    items
}

/// The same along, its figure beside its line.
fn along(of: Rect, at: Length, from: Length, figure: &str, before: bool) -> Vec<Item> {
    let (top, bottom) = (of.top(), of.bottom());
    let beyond = if before { -OFF } else { OFF };
    let mut items: Vec<Item> = [top, bottom]
        .map(|y| Item::line(Point::new(from, y), Point::new(at + beyond, y), Pen::FINE))
        .into();
    items.push(Item::line(
        Point::new(at, top),
        Point::new(at, bottom),
        Pen::FINE,
    ));
    for (end, way) in [(top, 1.0), (bottom, -1.0)] {
        items.extend(arrow(Point::new(at, end), (Length::ZERO, ARROW * way)));
    }
    let middle = Point::new(at + beyond * 1.4, (top + bottom + DIMENSION) / 2.0);
    let run = TextRun::new(figure, DIMENSION, middle);
    items.push(if before { run.end().into() } else { run.into() });
    items
}

/// The head of an arrow whose tip is here and whose shaft goes there.
fn arrow(tip: Point, (dx, dy): (Length, Length)) -> [Item; 2] {
    [-0.3, 0.3].map(|side| {
        let back = Point::new(tip.x + dx + dy * side, tip.y + dy + dx * side);
        Item::line(tip, back, Pen::FINE)
    })
}
