//! Plots on paper, drawn as engineering figures are: thin grid, heavy curves
//! told apart by their line and by words, stretches dimensioned, a title block.
//!
//! ```text
//!          dimensions or callouts
//!        ┌────────────────────────┐
//!  name  │  frame: grid, curves   │ opposite axis, or callouts
//!        └────────────────────────┘
//!            figures, name
//!  ┌───────────┬───────────┬──────┐  on a laid paper a plot as high as wide
//!  │ title     │ rests on  │ code │  has the block in its lower right corner
//!  └───────────┴───────────┴──────┘
//! ```

pub(super) mod axes;
mod bars;
pub(super) mod callouts;
mod inside;
pub(super) mod rule;
mod spans;
pub(super) mod ticks;
mod trace;

use core::fmt;

use super::block::{self, Heights, Titled};
use super::paper::Paper;
use crate::scene::{Dash, Item, Page, Path, Pen, Point, Rect};
use crate::sheets::{Edge, Figures, Plot};
use crate::units::Length;

use axes::Margins;
use rule::Rule;
use spans::Rows;
use trace::{Place, trace};

/// Between the frame with its figures and the title block.
const BETWEEN: Length = Length::mm(3.0);
/// A frame smaller than this, in millimetres, shows nothing.
const SMALLEST: (f64, f64) = (58.0, 30.0);

/// How the paper lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Lie {
    /// On its side: for a screen and a wall.
    #[default]
    Landscape,
    /// Upright: for a folder.
    Portrait,
}

/// A plot that does not fit on its paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoRoom {
    /// The paper's name.
    pub paper: String,
    /// What the plot is called.
    pub plot: String,
}

impl fmt::Display for NoRoom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "the plot \"{}\" does not fit on {} with figures one can read",
            self.plot, self.paper
        )
    }
}

impl std::error::Error for NoRoom {}

/// Heights of figures.
#[derive(Clone, Copy)]
pub(super) struct Sizes {
    /// Of the axes.
    figures: f64,
    /// Of callouts and dimensions.
    words: f64,
    /// Of the title block.
    pub(super) block: Heights,
    /// The width of a title block beside the frame.
    beside: Length,
}

impl Sizes {
    /// Sizes for a safe area: as on a lantern slide, the larger the paper the
    /// larger the words, never under 2.5 mm.
    pub(super) fn of(area: Rect) -> Self {
        let short = area.width().min(area.height()).to_mm();
        let of = |figures, words, title, subject, foot, beside| Self {
            figures,
            words,
            block: Heights {
                title: Length::mm(title),
                subject: Length::mm(subject),
                code: Length::mm(words),
                foot: Length::mm(foot),
            },
            beside: Length::mm(beside),
        };
        if short >= 160.0 {
            of(3.2, 3.4, 5.0, 4.2, 2.6, 62.0)
        } else if short >= 110.0 {
            of(2.7, 2.8, 3.8, 3.2, 2.5, 48.0)
        } else {
            of(2.5, 2.5, 3.0, 2.7, 2.5, 40.0)
        }
    }
}

/// What a curve of a style is drawn with.
fn pen(style: Option<usize>) -> Pen {
    let broken = |width: f64, mark: f64, gap: f64| Pen {
        dash: Dash::Broken {
            mark: Length::mm(mark),
            gap: Length::mm(gap),
        },
        ..Pen::of(Length::mm(width))
    };
    match style.map(|style| style % 4) {
        None => Pen::FINE,
        Some(0) => Pen::of(Length::mm(0.5)),
        Some(1) => broken(0.5, 4.0, 1.0),
        Some(2) => broken(0.5, 1.4, 0.8),
        Some(_) => broken(0.5, 0.5, 0.7),
    }
}

/// Draws a plot on a page.
///
/// # Errors
/// [`NoRoom`] where the paper is too small for it, or an axis has no extent.
pub fn draw(plot: &Plot, paper: &Paper, lie: Lie) -> Result<Page, NoRoom> {
    let paper = match lie {
        Lie::Landscape => paper.laid(),
        Lie::Portrait => paper.clone(),
    };
    let items = items(plot, paper.safe()).ok_or_else(|| NoRoom {
        paper: paper.name().to_owned(),
        plot: plot.title.clone(),
    })?;
    let mut page = paper
        .page()
        .not_to_scale()
        .with_title(&format!("{}: {}", plot.title, plot.subject))
        .with_code(&plot.code.to_string());
    page.extend(items);
    Ok(page)
}

fn items(plot: &Plot, area: Rect) -> Option<Vec<Item>> {
    let sizes = Sizes::of(area);
    let titled = Titled {
        title: &plot.title,
        subject: &plot.subject,
        production: None,
        names: &plot.names,
        foot: &plot.foot,
        code: plot.code,
        page: None,
    };
    // Where both axes are distances, curves are told apart best at 45°.
    let distances = matches!(plot.x.figures, Figures::Distances(_));
    let square = distances && plot.x.figures == plot.y.figures && area.width() > area.height();
    let (block, above) = if square {
        let width = sizes.beside;
        let block = block::block(&titled, width, &sizes.block);
        let beside = width + BETWEEN;
        (
            block,
            area.inset(Length::ZERO, Length::ZERO, beside, Length::ZERO),
        )
    } else {
        let block = block::block(&titled, area.width(), &sizes.block);
        let below = block.height + BETWEEN;
        (
            block,
            area.inset(Length::ZERO, Length::ZERO, Length::ZERO, below),
        )
    };
    let mut items = figure(plot, above, &sizes)?;
    let corner = Point::new(area.right() - block.width, area.bottom() - block.height);
    items.push(Item::moved(corner, block.items));
    Some(items)
}

/// A plot within an area, without its title block; `None` where there is no room.
pub(super) fn figure(plot: &Plot, area: Rect, sizes: &Sizes) -> Option<Vec<Item>> {
    let margins = Margins::of(plot, area, sizes);
    let width = area.width().to_mm() - margins.left - margins.right;
    let x = Rule::of(&plot.x, width)?;
    let rows = Rows::of(&plot.spans, &x, sizes.words, (margins.left, margins.right))?;
    let top =
        margins
            .top
            .max(rows.depth())
            .max(callouts::depth(&plot.callouts, Edge::Top, sizes.words));
    let height = area.height().to_mm() - top - margins.bottom;
    if width < SMALLEST.0 || height < SMALLEST.1 {
        return None;
    }
    let y = Rule::of(&plot.y, height)?;
    let mm = Length::mm;
    let frame = area.inset(
        mm(margins.left),
        mm(top),
        mm(margins.right),
        mm(margins.bottom),
    );

    let traced: Vec<(Option<usize>, Vec<Place>)> = plot
        .curves
        .iter()
        .flat_map(|curve| {
            let pieces = curve.pieces.iter();
            let lines = pieces.flat_map(|&piece| trace(curve, piece, &x, &y));
            lines.map(|line| (curve.style, line)).collect::<Vec<_>>()
        })
        .collect();
    let bars = bars::lines(plot, &x, &y);
    let lines = traced.iter().map(|(_, line)| line.as_slice());
    let lines: Vec<&[Place]> = lines.chain(bars.iter().map(Vec::as_slice)).collect();
    let words = inside::words(plot, &lines, &rows.verticals(), &x, &y, sizes.words);

    let mut items = axes::draw(plot, frame, (&x, &y), &words, &margins, sizes);
    items.extend(inside::draw(plot, &words, &y, frame, sizes.words));
    items.extend(rows.draw(frame));
    for (style, line) in &traced {
        let points: Vec<Point> = line.iter().map(|&at| on_page(frame, at)).collect();
        items.push(Item::stroked(Path::polyline(&points), pen(*style)));
    }
    items.extend(bars::draw(plot, frame, &x, &y));
    for &(across, up) in &plot.points {
        if let Some(at) = x.on(across).zip(y.on(up)) {
            items.push(callouts::dot(on_page(frame, at)));
        }
    }
    for (edge, rule) in [(Edge::Top, &x), (Edge::Right, &y)] {
        items.extend(callouts::draw(
            &plot.callouts,
            edge,
            rule,
            frame,
            sizes.words,
        )?);
    }
    items.push(Item::stroked(Path::rectangle(frame), Pen::HEAVY));
    Some(items)
}

/// A place within the frame, on the page.
fn on_page(frame: Rect, (across, up): Place) -> Point {
    Point::new(
        frame.left() + Length::mm(across),
        frame.bottom() - Length::mm(up),
    )
}
