//! The dark-set face: one lens, one stop, one line a distance.
//!
//! All figures of a line stand on one baseline, in columns, in the order in
//! which the distances lie before the camera. The misses stand outside, where
//! the eye finds them along the edges; under the limits they would cost a
//! third of the lines. A « instead of ‹ says that the frame's edge costs depth.
//!
//! ```text
//!   −2½″   5′9½″ ‹ 6′ › 6′3″   +3″
//! ```

use super::face::{self, Beside, Body, Needs, Space};
use super::fit::{distance, miss, shortened, widest};
use crate::scene::{Face, Item, Pen, Point, TextRun, Weight};
use crate::sheets::Card;
use crate::units::{Length, Unit};

/// Least heights of the figures of a line: focus, limits, misses.
const LEAST: Sizes = Sizes::of(5.0, 4.0, 2.5);
/// Pitches that will do, the one wished for first.
const PITCHES: [Length; 3] = [Length::mm(6.6), Length::mm(6.2), Length::mm(5.8)];
/// No wider: lines of a card with few of them would fall apart.
const WIDEST_PITCH: Length = Length::mm(12.0);
/// The captions of the columns, and room for them.
const CAPTION: Length = Length::mm(2.0);
const CAPTIONS: Length = Length::mm(3.6);
/// The hyperfocal line, as large as fits, and room for it.
const HYPERFOCAL: [f64; 3] = [3.0, 2.8, 2.5];
const BETWEEN: Length = Length::mm(5.6);

/// Heights of the figures of a line.
#[derive(Clone, Copy)]
struct Sizes {
    focus: Length,
    limit: Length,
    miss: Length,
}

impl Sizes {
    const fn of(focus: f64, limit: f64, miss: f64) -> Self {
        Self {
            focus: Length::mm(focus),
            limit: Length::mm(limit),
            miss: Length::mm(miss),
        }
    }

    /// As large as a pitch allows.
    fn within(pitch: Length) -> Self {
        Self {
            focus: (pitch * 0.80).max(LEAST.focus),
            limit: (pitch * 0.64).max(LEAST.limit),
            miss: (pitch * 0.48).max(LEAST.miss),
        }
    }

    /// Some of the way from these to the least.
    fn toward_least(self, share: f64) -> Self {
        let toward = |from: Length, to: Length| from + (to - from) * share;
        Self {
            focus: toward(self.focus, LEAST.focus),
            limit: toward(self.limit, LEAST.limit),
            miss: toward(self.miss, LEAST.miss),
        }
    }
}

/// The figures of a line as they are set.
struct Line {
    focus: String,
    near: String,
    far: String,
    nearer: String,
    farther: String,
    cautious: bool,
    /// The sign between near limit and focus.
    before: &'static str,
}

/// Before the focus, and where the frame's edge costs more than it should.
const BEFORE: [&str; 2] = ["‹", "«"];

/// The face, in black; `None` where its figures have no room.
pub(super) fn draw(card: &Card, space: &Space) -> Option<Vec<Item>> {
    let (mut items, rule) = face::head(card, space, &Beside::Stop(&card.stop), true);
    let top = rule + CAPTIONS;
    let needs = Needs {
        top,
        lines: card.lines.len(),
        pitches: PITCHES,
        between: BETWEEN,
        foot: &card.foot,
    };
    let body = Body::share(&needs, space)?;
    let pitch = body.pitch.min(WIDEST_PITCH);
    let lines = lines(card);
    let columns = Columns::fitting(&lines, pitch, space)?;
    items.extend(columns.captions(card.unit, rule));
    let mut down = top;
    for line in &lines {
        items.extend(columns.line(line, down + (pitch + columns.sizes.focus) / 2.0));
        down = down + pitch;
        items.push(Item::line(
            Point::new(space.inner.left(), down),
            Point::new(space.inner.right(), down),
            Pen::FINE,
        ));
    }
    items.extend(hyperfocal(card, space, down));
    items.extend(face::foot(card, space, &body.foot, true));
    Some(items)
}

fn lines(card: &Card) -> Vec<Line> {
    let distance = |text: &str| distance(text, card.unit);
    let miss = |text: &str| miss(text, card.unit);
    card.lines
        .iter()
        .map(|line| Line {
            focus: distance(&line.focus),
            near: distance(&line.near),
            far: distance(&line.far),
            nearer: miss(&line.nearer),
            farther: miss(&line.farther),
            cautious: line.cautious,
            before: BEFORE[usize::from(line.edge)],
        })
        .collect()
}

fn hyperfocal(card: &Card, space: &Space, down: Length) -> Option<Item> {
    let distance = card.hyperfocal.as_ref()?;
    let words = format!("hyperfocal {distance} and farther: sharp to ∞");
    let (face, width) = (Face::of(Weight::Bold), space.inner.width());
    let sizes = HYPERFOCAL.map(Length::mm);
    let [largest, .., smallest] = sizes;
    let fits = |height: &Length| face.advance(&words, *height) <= width;
    let size = sizes.into_iter().find(fits).unwrap_or(smallest);
    let words = shortened(&words, Weight::Bold, size, width);
    let at = Point::new(space.inner.left(), down + largest * 1.45);
    Some(TextRun::new(&words, size, at).bold().into())
}

/// Where the columns stand: distances from the left edge of the paper.
struct Columns {
    sizes: Sizes,
    left: Length,
    middle: Length,
    right: Length,
    /// From the middle to the arrows' outer ends.
    arrows: Length,
    /// Room at the left for the mark of cautious lines.
    mark: Length,
    /// From the edge of the arrows to the limits.
    gap: Length,
}

impl Columns {
    /// The largest figures that fit in the width.
    fn fitting(lines: &[Line], pitch: Length, space: &Space) -> Option<Self> {
        let wished = Sizes::within(pitch);
        (0..=10)
            .map(|tenth| wished.toward_least(f64::from(tenth) / 10.0))
            .flat_map(|sizes| [(sizes, 1.6), (sizes, 1.0)])
            // Macro figures have many digits.
            .chain([(LEAST, 0.7)])
            .find_map(|(sizes, gap)| Self::of(lines, sizes, Length::mm(gap), space))
    }

    fn of(lines: &[Line], sizes: Sizes, gap: Length, space: &Space) -> Option<Self> {
        let regular = Face::of(Weight::Regular);
        let (left, right) = (space.inner.left(), space.inner.right());
        let focus = widest(
            lines.iter().map(|line| line.focus.as_str()),
            Weight::Bold,
            sizes.focus,
        );
        let arrow = widest(
            lines.iter().map(|line| line.before),
            Weight::Regular,
            sizes.limit,
        );
        let arrows = focus / 2.0 + gap + arrow;
        let mark = if lines.iter().any(|line| line.cautious) {
            Face::of(Weight::Bold).advance("≈", sizes.miss) + gap
        } else {
            Length::ZERO
        };
        // Misses stand at the edges, so that it is lines that must fit, not the
        // widest limit beside the widest miss.
        let needs = |limit: &str, miss: &str| {
            let miss = regular.advance(miss, sizes.miss);
            arrows + gap * 2.5 + regular.advance(limit, sizes.limit) + miss
        };
        let before = lines.iter().map(|line| needs(&line.near, &line.nearer));
        let after = lines.iter().map(|line| needs(&line.far, &line.farther));
        let before = before.fold(Length::ZERO, Length::max) + mark;
        let after = after.fold(Length::ZERO, Length::max);
        if before + after > right - left {
            return None;
        }
        let middle = (left + right) / 2.0;
        Some(Self {
            sizes,
            left,
            middle: middle.max(left + before).min(right - after),
            right,
            arrows,
            mark,
            gap,
        })
    }

    fn captions(&self, unit: Unit, rule: Length) -> Vec<Item> {
        let baseline = rule + CAPTION * 1.45;
        let (unit, long, short) = match unit {
            Unit::Feet => ("focus", ["nearer by", "farther by"], ["−", "+"]),
            Unit::Metres => ("metres", ["nearer, cm", "farther, cm"], ["− cm", "+ cm"]),
        };
        let run = |words, x| TextRun::new(words, CAPTION, Point::new(x, baseline));
        let near = run("near", self.limit(-1.0)).end();
        let far = run("far", self.limit(1.0));
        let face = Face::of(Weight::Regular);
        let fits = |[nearer, farther]: [&str; 2]| {
            let wide = |words| face.advance(words, CAPTION) + self.gap;
            self.left + wide(nearer) <= self.limit(-1.0) - near.width()
                && self.right - wide(farther) >= self.limit(1.0) + far.width()
        };
        let [nearer, farther] = if fits(long) { long } else { short };
        vec![
            run(nearer, self.left).into(),
            near.into(),
            run(unit, self.middle).middle().into(),
            far.into(),
            run(farther, self.right).end().into(),
        ]
    }

    /// The inner edge of the limits on one side: −1 near, +1 far.
    fn limit(&self, side: f64) -> Length {
        self.middle + (self.arrows + self.gap) * side
    }

    fn line(&self, line: &Line, baseline: Length) -> Vec<Item> {
        let Sizes { focus, limit, miss } = self.sizes;
        let run = |text: &str, height, x| TextRun::new(text, height, Point::new(x, baseline));
        let mut items: Vec<Item> = vec![
            run(&line.focus, focus, self.middle).bold().middle().into(),
            run(line.before, limit, self.middle - self.arrows).into(),
            run("›", limit, self.middle + self.arrows).end().into(),
            run(&line.near, limit, self.limit(-1.0)).end().into(),
            run(&line.far, limit, self.limit(1.0)).into(),
        ];
        if !line.nearer.is_empty() {
            items.push(run(&line.nearer, miss, self.left + self.mark).into());
        }
        if !line.farther.is_empty() {
            items.push(run(&line.farther, miss, self.right).end().into());
        }
        if line.cautious {
            items.push(run("≈", miss, self.left).bold().into());
        }
        items
    }
}
