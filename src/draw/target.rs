//! A focus target on paper: fields of lines above and below a level line.
//!
//! ```text
//!  lens, circle, what it is for                    code, date
//!  1 m    ┌ |||||  ≡≡≡≡≡  | | |  = = = ┐
//!  taped  └ words             words    ┘
//!  ── level ───────────┼──────── height ──
//!  2 m    ┌ | | |  = = =  |  |  |  =  = ┐
//! ```
//!
//! A field's lines are bars as wide as the gaps between them, both ways, and
//! again twice as far apart where there is room. Its brackets are aimed by: as
//! heavy as lines four times as far apart, they are seen well out of focus.

use core::fmt;

use super::card::fit::shortened;
use super::page::Words;
use super::paper::Paper;
use super::ruler::{Arrangement, Checks};
use super::words::{block, broken};
use crate::scene::{Face, Ink, Item, Page, Path, Pen, Point, Rect, TextRun, Turn, Weight};
use crate::sheets::{Target, TargetField};
use crate::units::Length;

/// Height of the lens's name, of words, and of the smallest of them.
const NAME: Length = Length::mm(5.0);
const WORDS: Length = Length::mm(2.8);
const SMALL: Length = Length::mm(2.5);
/// From baseline to baseline of a field's words.
const WORD_STEP: Length = Length::mm(4.2);
/// From the top of the page's room to the first field.
const HEAD: Length = Length::mm(19.0);
/// Where a field's distance stands, left of its lines.
const LABEL: Length = Length::mm(35.0);
/// Room of the level line, and how long the upright line of its cross is.
const BAND: Length = Length::mm(24.0);
const CROSS: Length = Length::mm(20.0);
/// Between two fields, and between two groups of lines at least.
const BETWEEN: Length = Length::mm(6.0);
const GROUPS: Length = Length::mm(3.0);
/// From brackets to lines, and from brackets to words.
const GAP: Length = Length::mm(1.5);
/// Sides of a group of lines to try, and how many lines it has where they stand
/// too far apart for that: the first with which all fields fit on one page.
const GROUPS_OF: [(f64, f64); 6] = [
    (30.0, LINES),
    (26.0, LINES),
    (22.0, LINES),
    (18.0, LINES),
    (18.0, 6.5),
    (18.0, 5.0),
];
/// Fine lines with coarse ones beside them are so many at least.
const LINES: f64 = 8.0;
/// A group of the coarse lines has at least so many, or there is none.
const FEWEST: f64 = 4.0;

/// A paper too small for a target.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TooSmall {
    /// The paper's name.
    pub paper: String,
}

impl fmt::Display for TooSmall {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} is too small for a focus target", self.paper)
    }
}

impl std::error::Error for TooSmall {}

/// Draws a target on as many pages as its fields take.
///
/// # Errors
/// [`TooSmall`] where the paper has no room beside rulers and card outline.
pub fn draw(target: &Target, paper: &Paper) -> Result<Vec<Page>, TooSmall> {
    let checks = Checks::on(paper, Arrangement::Foot);
    let too_small = || TooSmall {
        paper: paper.name().to_owned(),
    };
    let words = Words {
        title: target.title(),
        steps: target.steps(),
        cautions: target.cautions(),
    };
    let beside = words.beside(&checks, Turn::NONE).ok_or_else(too_small)?;
    let free = checks.free();
    let notes: Vec<(&str, Weight)> = target
        .notes
        .iter()
        .map(|note| (note.as_str(), Weight::Regular))
        .collect();
    let notes = block(&notes, SMALL, free.width());
    let room = free.inset(Length::ZERO, HEAD, Length::ZERO, notes.height);
    let of_size = |(size, lines)| -> Vec<Field<'_>> {
        let field = |field| Field::new(field, room.width(), Length::mm(size), lines);
        target.fields.iter().map(field).collect()
    };
    let high = room.height() - BAND;
    let fits = |fields: &Vec<Field<'_>>| in_pages(fields, high).len() == 1;
    let [.., smallest] = GROUPS_OF;
    let fields = GROUPS_OF.into_iter().map(of_size).find(fits);
    let fields = fields.unwrap_or_else(|| of_size(smallest));
    let pages = in_pages(&fields, high);
    let count = pages.len();
    let drawn = pages.into_iter().enumerate().map(|(at, fields)| {
        let mut page = paper
            .page()
            .with_title(target.title())
            .with_code(&target.code.to_string());
        page.extend(checks.items());
        page.extend(beside.clone());
        page.extend(head(target, free, (at + 1, count)));
        page.push(Item::layer("target", body(target, fields, room)));
        let foot = Point::new(free.left(), room.bottom() + SMALL / 2.0);
        page.push(Item::moved(foot, notes.items.clone()));
        page
    });
    Ok(drawn.collect())
}

/// A field with the sizes of its parts.
struct Field<'a> {
    field: &'a TargetField,
    /// How heavy its brackets are.
    aim: Length,
    /// The side of a group of lines.
    side: Length,
    /// From the left edge of one group to that of the next.
    pitch: Length,
    /// Whether lines twice as far apart stand beside the fine ones.
    coarse: bool,
    /// What it says of its lines.
    words: Vec<String>,
    height: Length,
}

impl<'a> Field<'a> {
    /// A field across a width, its groups of lines of some size or, where that
    /// is too few lines, larger.
    fn new(field: &'a TargetField, width: Length, size: Length, lines: f64) -> Self {
        let p = field.period;
        let aim = (p * 2.0).max(Length::mm(0.8)).min(Length::mm(5.0));
        let between = p.max(GROUPS);
        let room = width - LABEL - (aim + GAP) * 2.0;
        let share = |groups: f64| (room - between * (groups - 1.0)) / groups;
        let coarse = share(4.0) >= p * (2.0 * FEWEST);
        let most = share(if coarse { 4.0 } else { 2.0 });
        let lines = if coarse { LINES } else { lines };
        let side = size.max(p * lines).min(most);
        let more = if coarse { field.lost_coarse } else { "" };
        let words = format!("{}{more}", field.lost);
        let words = broken(&words, Weight::Bold, SMALL, width - LABEL);
        Self {
            field,
            aim,
            side,
            pitch: side + between,
            coarse,
            height: side + (aim + GAP) * 2.0 + GAP + WORD_STEP * words.len() as f64,
            words,
        }
    }

    /// From its top left corner.
    fn items(&self, target: &Target) -> Vec<Item> {
        let p = self.field.period;
        let top = self.aim + GAP;
        let left = LABEL + self.aim + GAP;
        let periods = if self.coarse {
            vec![p, p * 2.0]
        } else {
            vec![p]
        };
        let mut items = Vec::new();
        let mut at = Point::new(left, top);
        for period in periods {
            for upright in [true, false] {
                items.extend(bars(at, self.side, period, upright));
                at = at.moved(self.pitch, Length::ZERO);
            }
        }
        let right = at.x - self.pitch + self.side;
        let lines = Rect::between(Point::new(left, top), Point::new(right, top + self.side));
        let out = -(self.aim + GAP);
        items.extend(brackets(lines.inset(out, out, out, out), self.aim));
        items.extend(self.label(target));
        let mut baseline = lines.bottom() + self.aim + GAP * 2.0 + SMALL;
        for line in &self.words {
            let at = Point::new(LABEL, baseline);
            items.push(TextRun::new(line, SMALL, at).bold().into());
            baseline = baseline + WORD_STEP;
        }
        items
    }

    /// Its distance, and a blank for the one that was taped.
    fn label(&self, target: &Target) -> Vec<Item> {
        let p = self.field.period;
        let width = LABEL - GAP * 2.0;
        let face = Face::of(Weight::Bold);
        // As high as eight lines where there is room: read as far out of focus
        // as lines twice as far apart.
        let wanted = (p * 8.0).max(Length::mm(6.0)).min(Length::mm(14.0));
        let wide = face.advance(&self.field.distance, wanted);
        let height = if wide > width {
            wanted * (width.to_mm() / wide.to_mm())
        } else {
            wanted
        };
        let baseline = self.aim + height;
        vec![
            TextRun::new(
                &self.field.distance,
                height,
                Point::new(Length::ZERO, baseline),
            )
            .bold()
            .into(),
            TextRun::new(
                target.taped(),
                WORDS,
                Point::new(Length::ZERO, baseline + WORDS * 2.4),
            )
            .into(),
        ]
    }
}

/// Bars half a period wide in a square: as many as have room, the first at the
/// corner. Upright ones stand side by side.
fn bars(corner: Point, side: Length, period: Length, upright: bool) -> Vec<Item> {
    let bar = period / 2.0;
    let count = ((side + bar).to_mm() / period.to_mm() + 1e-9)
        .floor()
        .max(1.0);
    let length = period * count - bar;
    let mut items = Vec::new();
    let mut number = 0.0;
    while number < count {
        let from = period * number;
        let (dx, dy, wide, high) = if upright {
            (from, Length::ZERO, bar, length)
        } else {
            (Length::ZERO, from, length, bar)
        };
        let at = corner.moved(dx, dy);
        let rect = Rect::between(at, at.moved(wide, high));
        items.push(Item::filled(Path::rectangle(rect), Ink::Black));
        number += 1.0;
    }
    items
}

/// Heavy corners round a rectangle, inside its edge.
fn brackets(around: Rect, heavy: Length) -> Vec<Item> {
    let leg = (heavy * 3.0)
        .max(Length::mm(5.0))
        .min(around.height() / 3.0);
    let mut items = Vec::new();
    let mut filled = |x: Length, y: Length, wide: Length, high: Length| {
        let at = Point::new(x, y);
        let rect = Rect::between(at, at.moved(wide, high));
        items.push(Item::filled(Path::rectangle(rect), Ink::Black));
    };
    for (x, inward) in [(around.left(), 1.0), (around.right(), -1.0)] {
        for (y, down) in [(around.top(), 1.0), (around.bottom(), -1.0)] {
            filled(x, y, leg * inward, heavy * down);
            // Over each other in the corner: no seam between them.
            filled(x, y, heavy * inward, leg * down);
        }
    }
    items
}

/// Fields in the order of their distances, as many on a page as have room.
fn in_pages<'f, 'a>(fields: &'f [Field<'a>], room: Length) -> Vec<&'f [Field<'a>]> {
    let mut pages = Vec::new();
    let (mut from, mut used) = (0, Length::ZERO);
    for (at, field) in fields.iter().enumerate() {
        let more = field.height + BETWEEN;
        if used + more > room && at > from {
            pages.push(&fields[from..at]);
            (from, used) = (at, Length::ZERO);
        }
        used = used + more;
    }
    pages.push(&fields[from..]);
    pages
}

/// Fields with the level line between them, as near to their middle as it goes.
fn body(target: &Target, fields: &[Field<'_>], room: Rect) -> Vec<Item> {
    let heights: Vec<f64> = fields
        .iter()
        .map(|field| (field.height + BETWEEN).to_mm())
        .collect();
    let whole: f64 = heights.iter().sum();
    let uneven = |above: usize| {
        let above: f64 = heights.iter().take(above).sum();
        (2.0 * above - whole).abs()
    };
    let above = (0..=fields.len())
        .min_by(|one, other| uneven(*one).total_cmp(&uneven(*other)))
        .unwrap_or(0);
    let coarsest = fields.iter().map(|field| field.aim).reduce(Length::max);
    let heavy = coarsest.unwrap_or(Length::mm(0.8)).min(Length::mm(2.0));
    let mut items = Vec::new();
    let mut down = room.top();
    for (number, field) in fields.iter().enumerate() {
        if number == above {
            items.extend(level(target, room, down, heavy));
            down = down + BAND;
        }
        let at = Point::new(room.left(), down);
        items.push(Item::moved(at, field.items(target)));
        down = down + field.height + BETWEEN;
    }
    if above == fields.len() {
        items.extend(level(target, room, down, heavy));
    }
    items
}

/// The level line across the page with a cross in its middle, and a blank for
/// its height over the floor.
fn level(target: &Target, room: Rect, down: Length, heavy: Length) -> Vec<Item> {
    let middle = down + CROSS / 2.0;
    let centre = room.left() + room.width() / 2.0;
    let half = heavy / 2.0;
    let bar = |left: Length, top: Length, right: Length, bottom: Length| {
        let rect = Rect::between(Point::new(left, top), Point::new(right, bottom));
        Item::filled(Path::rectangle(rect), Ink::Black)
    };
    let (top, bottom) = (middle - CROSS / 2.0, middle + CROSS / 2.0);
    let words = middle - half - GAP;
    let fine = |from: Point, to: Point| Item::line(from, to, Pen::FINE);
    // The heavy arms leave the very middle to two fine lines.
    let open = heavy * 2.0;
    vec![
        bar(room.left(), middle - half, centre - open, middle + half),
        bar(centre + open, middle - half, room.right(), middle + half),
        bar(centre - half, top, centre + half, middle - open),
        bar(centre - half, middle + open, centre + half, bottom),
        fine(
            Point::new(centre - open, middle),
            Point::new(centre + open, middle),
        ),
        fine(
            Point::new(centre, middle - open),
            Point::new(centre, middle + open),
        ),
        TextRun::new(target.level(), WORDS, Point::new(room.left(), words)).into(),
        TextRun::new(target.height(), WORDS, Point::new(room.right(), words))
            .end()
            .into(),
    ]
}

/// The lens, what its lines rest on and what they are for; code and date.
fn head(target: &Target, free: Rect, (page, pages): (usize, usize)) -> Vec<Item> {
    let place = |x: Length, down: f64| Point::new(x, free.top() + Length::mm(down));
    let half = free.width() * 0.68;
    let lens = shortened(&target.lens, Weight::Bold, NAME, half);
    let rests_on = broken(&target.rests_on, Weight::Regular, WORDS, half);
    let date = match &target.prepared {
        Some(day) => day.clone(),
        None => "date ______________".into(),
    };
    let number = if pages > 1 {
        format!("page {page} of {pages} · {}", target.code)
    } else {
        target.code.to_string()
    };
    let mut items: Vec<Item> = vec![
        TextRun::new(&lens, NAME, place(free.left(), 5.0))
            .bold()
            .into(),
        TextRun::new(target.purpose(), WORDS, place(free.left(), 9.6))
            .bold()
            .into(),
    ];
    if let Some(line) = rests_on.first() {
        items.push(TextRun::new(line, WORDS, place(free.left(), 14.0)).into());
    }
    for (words, down) in [(&number, 5.0), (&date, 9.6)] {
        let at = place(free.right() - Length::mm(0.5), down);
        items.push(TextRun::new(words, WORDS, at).end().into());
    }
    items
}
