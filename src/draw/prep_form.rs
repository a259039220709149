//! The form of prep day on paper: a ruled table with boxes, words below.

use core::fmt;

use super::card::fit::shortened;
use super::paper::Paper;
use super::words::{block, broken};
use crate::scene::{Item, Page, Pen, Point, Rect, TextRun, Weight, printable};
use crate::sheets::{LensToRead, PrepForm};
use crate::units::Length;

/// Height of a row: room to write in.
const ROW: Length = Length::mm(9.0);
/// Blanks reach a little beyond their advance.
const OVERHANG: Length = Length::mm(0.5);
/// A lens's name.
const NAME: Length = Length::mm(3.6);
/// Above a block of words.
const GAP: Length = Length::mm(3.0);
/// Height of the row of names.
const HEAD: Length = Length::mm(6.0);
/// Figures of a chart's distance; of other words; of small ones.
const FIGURES: Length = Length::mm(4.0);
const WORDS: Length = Length::mm(2.8);
const SMALL: Length = Length::mm(2.5);
const PAD: Length = Length::mm(1.6);
/// The narrowest safe area that holds boxes one can write in.
const NARROWEST: Length = Length::mm(118.0);

/// A form that does not fit on its paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TooNarrow {
    /// The paper's name.
    pub paper: String,
}

impl fmt::Display for TooNarrow {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} is too narrow for boxes one can write in", self.paper)
    }
}

impl std::error::Error for TooNarrow {}

/// Where the columns begin, and the right edge.
struct Columns {
    lens: Length,
    stop: Length,
    chart: Length,
    boxes: Vec<Length>,
    wanted: Length,
    right: Length,
}

impl Columns {
    fn of(area: Rect, settings: usize) -> Self {
        let part = |share: f64| area.width() * share;
        let (lens, stop) = (area.left(), area.left() + part(0.18));
        let chart = stop + part(0.085);
        let first = chart + part(0.13);
        let wanted = area.right() - part(0.14);
        let each = (wanted - first) / settings.max(1) as f64;
        Self {
            lens,
            stop,
            chart,
            boxes: (0..settings).map(|at| first + each * at as f64).collect(),
            wanted,
            right: area.right(),
        }
    }
}

/// What stands below one another on the pages.
enum Part<'a> {
    Lens(&'a LensToRead),
    /// A block of words of some height.
    Words(Vec<Item>, Length),
}

impl Part<'_> {
    fn height(&self) -> Length {
        match self {
            Self::Lens(lens) => ROW * lens.charts.len().max(1) as f64,
            Self::Words(_, height) => *height,
        }
    }
}

/// Draws a form on as many pages as it takes; a lens is not parted.
///
/// # Errors
/// [`TooNarrow`] where boxes would be too small to write in.
pub fn draw(form: &PrepForm, paper: &Paper) -> Result<Vec<Page>, TooNarrow> {
    let area = paper.safe();
    if area.width() < NARROWEST {
        return Err(TooNarrow {
            paper: paper.name().to_owned(),
        });
    }
    let columns = Columns::of(area, form.settings_each);
    let parts = form.lenses.iter().map(Part::Lens).chain(words(form, area));
    let top = area.top() + Length::mm(22.0);
    let mut pages: Vec<Vec<Item>> = Vec::new();
    let mut items = Vec::new();
    let mut down = top;
    let mut in_table = false;
    for part in parts {
        let is_lens = matches!(part, Part::Lens(_));
        let head = if is_lens && !in_table {
            HEAD
        } else {
            Length::ZERO
        };
        if down + head + part.height() > area.bottom() && down > top {
            pages.push(core::mem::take(&mut items));
            (down, in_table) = (top, false);
        }
        match part {
            Part::Lens(lens) => {
                if !in_table {
                    items.extend(names(&columns, down));
                    down = down + HEAD;
                }
                items.extend(rows(lens, &columns, down));
                down = down + ROW * lens.charts.len().max(1) as f64;
            }
            Part::Words(words, height) => {
                items.push(Item::moved(Point::new(area.left(), down), words));
                down = down + height;
            }
        }
        in_table = is_lens;
    }
    pages.push(items);
    let count = pages.len();
    let drawn = pages.into_iter().enumerate().map(|(at, items)| {
        let mut page = paper
            .page()
            .not_to_scale()
            .with_title(form.title())
            .with_code(&form.code.to_string());
        page.extend(title(form, area, (at + 1, count)));
        page.extend(items);
        page
    });
    Ok(drawn.collect())
}

/// Title, production, camera, date and code.
fn title(form: &PrepForm, area: Rect, (page, pages): (usize, usize)) -> Vec<Item> {
    let place = |x: Length, down: f64| Point::new(x, area.top() + Length::mm(down));
    let half = area.width() * 0.6;
    let fitting =
        |words: &str, weight, height, width| shortened(&printable(words), weight, height, width);
    let title = TextRun::new(form.title(), Length::mm(5.0), place(area.left(), 6.0)).bold();
    let production = fitting(&form.production, Weight::Regular, Length::mm(3.2), half);
    let camera = fitting(&form.camera, Weight::Bold, Length::mm(3.6), half);
    let date = match &form.prepared {
        Some(day) => day.clone(),
        None => "date ______________".into(),
    };
    let date = fitting(&date, Weight::Regular, WORDS, area.width() - half);
    let number = format!("page {page} of {pages} · {}", form.code);
    vec![
        title.into(),
        TextRun::new(&camera, Length::mm(3.6), place(area.left(), 12.5))
            .bold()
            .into(),
        TextRun::new(&production, Length::mm(3.2), place(area.left(), 18.0)).into(),
        TextRun::new(&number, WORDS, place(area.right(), 6.0))
            .end()
            .into(),
        TextRun::new(&date, WORDS, place(area.right() - OVERHANG, 12.5))
            .end()
            .into(),
    ]
}

/// The names of the columns.
fn names(columns: &Columns, down: Length) -> Vec<Item> {
    let baseline = down + HEAD - PAD;
    let mut items = Vec::new();
    let mut name = |x: Length, words: &str| {
        let at = Point::new(x + PAD / 2.0, baseline);
        items.push(TextRun::new(words, SMALL, at).into());
    };
    name(columns.lens, "lens");
    name(columns.stop, "stop");
    name(columns.chart, "chart at");
    for (at, &x) in columns.boxes.iter().enumerate() {
        name(x, &format!("reading {}", at + 1));
    }
    name(columns.wanted, "wanted");
    items.push(level(columns, columns.lens, down + HEAD, Pen::HEAVY));
    items
}

fn level(columns: &Columns, from: Length, down: Length, pen: Pen) -> Item {
    Item::line(Point::new(from, down), Point::new(columns.right, down), pen)
}

/// A line of words, cut where it is wider than its cell.
fn cell(words: &str, weight: Weight, height: Length, at: Point, width: Length) -> Item {
    let words = shortened(&printable(words), weight, height, width);
    let run = TextRun::new(&words, height, at);
    match weight {
        Weight::Bold => run.bold().into(),
        Weight::Regular => run.into(),
    }
}

/// A lens with its boxes.
fn rows(lens: &LensToRead, columns: &Columns, down: Length) -> Vec<Item> {
    let bottom = down + ROW * lens.charts.len().max(1) as f64;
    let at = |x: Length, y: f64| Point::new(x + PAD / 2.0, down + Length::mm(y));
    let width = columns.stop - columns.lens - PAD;
    let stop_width = columns.chart - columns.stop - PAD / 2.0;
    let mut items = vec![
        cell(
            &lens.label,
            Weight::Bold,
            NAME,
            at(columns.lens, 5.0),
            width,
        ),
        cell(
            &lens.serial,
            Weight::Regular,
            SMALL,
            at(columns.lens, 8.2),
            width,
        ),
        cell(
            &lens.stop,
            Weight::Regular,
            WORDS,
            at(columns.stop, 5.0),
            stop_width,
        ),
        level(columns, columns.lens, bottom, Pen::HEAVY),
    ];
    if let Some(instead) = &lens.instead {
        let width = columns.right - columns.chart - PAD;
        items.push(cell(
            instead,
            Weight::Bold,
            NAME,
            at(columns.chart, 6.0),
            width,
        ));
        return items;
    }
    let first = columns.boxes.first().copied().unwrap_or(columns.wanted);
    for (number, chart) in lens.charts.iter().enumerate() {
        let row = ROW * number as f64;
        let at = |x, y| at(x, y + row.to_mm());
        let width = first - columns.chart - PAD;
        items.push(cell(
            &chart.taped,
            Weight::Bold,
            FIGURES,
            at(columns.chart, 6.4),
            width,
        ));
        let width = columns.right - columns.wanted - PAD / 2.0;
        for (line, words) in broken(chart.wanted, Weight::Regular, SMALL, width)
            .iter()
            .enumerate()
        {
            let place = at(columns.wanted, 4.0 + 3.4 * line as f64);
            items.push(cell(words, Weight::Regular, SMALL, place, width));
        }
        if number > 0 {
            items.push(level(columns, columns.chart, down + row, Pen::FINE));
        }
    }
    for x in columns.boxes.iter().copied().chain([columns.wanted]) {
        let ends = [down, bottom].map(|y| Point::new(x, y));
        items.push(Item::line(ends[0], ends[1], Pen::FINE));
    }
    items
}

/// What stands below the readings: blanks, then how to read and when to stop.
fn words(form: &PrepForm, area: Rect) -> Vec<Part<'static>> {
    let mut parts = Vec::new();
    let mut add = |paragraphs: &[(&str, Weight)]| {
        let block = block(paragraphs, WORDS, area.width());
        let moved = Item::moved(Point::new(Length::ZERO, GAP), block.items);
        parts.push(Part::Words(vec![moved], block.height + GAP));
    };
    add(&[(form.blanks(), Weight::Regular)]);
    for (title, lines) in &form.notes {
        let mut paragraphs = vec![(*title, Weight::Bold)];
        paragraphs.extend(lines.iter().map(|line| (line.as_str(), Weight::Regular)));
        add(&paragraphs);
    }
    parts
}
