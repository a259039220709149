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
use super::layout::{Column, Layout};
use super::{CardStyle, LARGER, title};
use crate::scene::{Face, Item, Pen, Point, TextRun, Weight};
use crate::sheets::{Card, CardLine};
use crate::units::{Length, Unit};

/// Pitches that will do for figures of 5 mm, the one wished for first.
const PITCHES: [f64; 3] = [6.6, 6.2, 5.8];
/// The height of figures they are for.
const OF_FIGURES: f64 = 5.0;
/// No wider: lines of a card with few of them would fall apart.
const WIDEST_PITCH: Length = Length::mm(12.0);
/// The same on a page of its own.
const WIDEST_ALONE: Length = Length::mm(22.0);
/// The least pitch, in heights of the figures that were chosen.
const CLOSE: f64 = 1.22;
/// What the misses take under the limits, in heights of theirs.
const UNDER: f64 = 1.45;
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
    /// The least that a layout wants.
    const fn least(layout: &Layout) -> Self {
        Self {
            focus: layout.figures,
            limit: layout.limits,
            miss: layout.others,
        }
    }

    /// As large as a pitch allows.
    fn within(self, pitch: Length) -> Self {
        Self {
            focus: (pitch * 0.80).max(self.focus),
            limit: (pitch * 0.64).max(self.limit),
            miss: (pitch * 0.48).max(self.miss),
        }
    }

    /// Some of the way from these to the least.
    fn toward(self, least: Self, share: f64) -> Self {
        let toward = |from: Length, to: Length| from + (to - from) * share;
        Self {
            focus: toward(self.focus, least.focus),
            limit: toward(self.limit, least.limit),
            miss: toward(self.miss, least.miss),
        }
    }

    /// For the large look.
    fn larger(self) -> Self {
        Self {
            focus: self.focus * LARGER,
            limit: self.limit * LARGER,
            miss: self.miss * LARGER,
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
pub(super) fn draw(card: &Card, space: &Space, style: &CardStyle<'_>) -> Option<Vec<Item>> {
    let title = title(card, true);
    let (mut items, rule) = face::head(&title, space, &Beside::Stop(&card.stop));
    let asked = Asked {
        card,
        space,
        style,
        top: rule + CAPTIONS,
    };
    let mut set = asked.light()?;
    if style.large {
        set = asked.large(set.columns.sizes.larger())?;
    }
    items.extend(set.columns.captions(card.unit, style.layout, rule));
    let mut down = asked.top;
    for line in &set.lines {
        items.extend(set.columns.line(line, down, set.pitch));
        down = down + set.pitch;
        items.push(Item::line(
            Point::new(space.inner.left(), down),
            Point::new(space.inner.right(), down),
            Pen::FINE,
        ));
    }
    let scale = if style.large { LARGER } else { 1.0 };
    items.extend(hyperfocal(card, space, down, scale));
    items.extend(face::foot(&title, space, &set.body.foot));
    Some(items)
}

/// How a face was set: which lines, how large.
struct Set {
    lines: Vec<Line>,
    pitch: Length,
    body: Body,
    columns: Columns,
}

/// What is to be set.
struct Asked<'a> {
    card: &'a Card,
    space: &'a Space,
    style: &'a CardStyle<'a>,
    /// Where its lines begin.
    top: Length,
}

impl Asked<'_> {
    /// How many lines there may be, the most first.
    fn counts(&self) -> impl Iterator<Item = usize> {
        let most = self.card.lines.len().min(self.style.layout.lines);
        (1..=most).rev()
    }

    /// Head and foot around so many lines, at the first pitch that has room.
    fn body(&self, lines: usize, pitches: &[Length], scale: f64) -> Option<Body> {
        let hyperfocal = self.card.hyperfocal.as_ref().map(|_| BETWEEN * scale);
        let needs = Needs {
            top: self.top,
            lines,
            pitches,
            between: hyperfocal.unwrap_or(Length::mm(1.4)),
            foot: &self.card.foot,
        };
        Body::share(&needs, self.space)
    }

    /// As many lines as have room, and then as large as fits.
    fn light(&self) -> Option<Set> {
        let least = Sizes::least(self.style.layout);
        let pitches = PITCHES.map(|pitch| least.focus * (pitch / OF_FIGURES));
        let widest = if self.style.alone() {
            WIDEST_ALONE
        } else {
            WIDEST_PITCH
        };
        self.counts().find_map(|count| {
            let lines = lines(self.card, self.style.layout, count);
            let body = self.body(count, &pitches, 1.0)?;
            let pitch = body.pitch.min(widest.max(pitches[0]));
            let columns = Columns::fitting(&lines, pitch, least, self.space)?;
            Some(Set {
                lines,
                pitch,
                body,
                columns,
            })
        })
    }

    /// As many lines as have room with figures of given heights, misses beside
    /// the limits or, where the width is wanting, under them.
    fn large(&self, sizes: Sizes) -> Option<Set> {
        let tall = sizes.focus.max(sizes.limit) * CLOSE;
        let ways = [(false, tall), (true, tall + sizes.miss * UNDER)];
        let ways = self.counts().flat_map(|count| ways.map(|way| (count, way)));
        ways.into_iter().find_map(|(count, (under, pitch))| {
            let lines = lines(self.card, self.style.layout, count);
            let body = self.body(count, &[pitch], LARGER)?;
            let gaps = [1.6, 1.0, 0.7].map(Length::mm);
            let columns = gaps
                .into_iter()
                .find_map(|gap| Columns::of(&lines, sizes, gap, under, self.space))?;
            Some(Set {
                lines,
                pitch: body.pitch.min(pitch * 1.3),
                body,
                columns,
            })
        })
    }
}

/// The `count` lines that are chosen first. Without limits misses take their
/// place.
fn lines(card: &Card, layout: &Layout, count: usize) -> Vec<Line> {
    let figures = |line: &CardLine| {
        let limits = [&line.near, &line.far].map(|text| distance(text, card.unit));
        let misses = [&line.nearer, &line.farther].map(|text| miss(text, card.unit));
        match (layout.has(Column::Limits), layout.has(Column::Misses)) {
            (false, _) => (misses, Default::default()),
            (true, true) => (limits, misses),
            (true, false) => (limits, Default::default()),
        }
    };
    let chosen = card.lines.iter().filter(|line| line.rank < count);
    chosen
        .map(|line| {
            let ([near, far], [nearer, farther]) = figures(line);
            Line {
                focus: distance(&line.focus, card.unit),
                near,
                far,
                nearer,
                farther,
                cautious: line.cautious,
                before: BEFORE[usize::from(line.edge)],
            }
        })
        .collect()
}

fn hyperfocal(card: &Card, space: &Space, down: Length, scale: f64) -> Option<Item> {
    let distance = card.hyperfocal.as_ref()?;
    let (face, width) = (Face::of(Weight::Bold), space.inner.width());
    let sizes = HYPERFOCAL.map(|size| Length::mm(size * scale));
    let [largest, .., smallest] = sizes;
    let said = [
        format!("hyperfocal {distance} and farther: sharp to ∞"),
        format!("hyperfocal {distance}: sharp to ∞"),
    ];
    let ways = said
        .iter()
        .flat_map(|words| sizes.map(|size| (words, size)));
    let fits = |(words, height): &(&String, Length)| face.advance(words, *height) <= width;
    let (words, size) = ways.into_iter().find(fits).unwrap_or((&said[1], smallest));
    let words = shortened(words, Weight::Bold, size, width);
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
    /// Whether misses stand under the limits.
    under: bool,
}

impl Columns {
    /// The largest figures that fit in the width.
    fn fitting(lines: &[Line], pitch: Length, least: Sizes, space: &Space) -> Option<Self> {
        let wished = least.within(pitch);
        (0..=10)
            .map(|tenth| wished.toward(least, f64::from(tenth) / 10.0))
            .flat_map(|sizes| [(sizes, 1.6), (sizes, 1.0)])
            // Macro figures have many digits.
            .chain([(least, 0.7)])
            .find_map(|(sizes, gap)| Self::of(lines, sizes, Length::mm(gap), false, space))
    }

    fn of(lines: &[Line], sizes: Sizes, gap: Length, under: bool, space: &Space) -> Option<Self> {
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
            let limit = regular.advance(limit, sizes.limit);
            if under {
                arrows + gap + limit.max(miss)
            } else {
                arrows + gap * 2.5 + limit + miss
            }
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
            under,
        })
    }

    fn captions(&self, unit: Unit, layout: &Layout, rule: Length) -> Vec<Item> {
        let baseline = rule + CAPTION * 1.45;
        let (unit, long, short) = match unit {
            Unit::Feet => ("focus", ["nearer by", "farther by"], ["−", "+"]),
            Unit::Metres => ("metres", ["nearer, cm", "farther, cm"], ["− cm", "+ cm"]),
        };
        let run = |words, x| TextRun::new(words, CAPTION, Point::new(x, baseline));
        let inner = if layout.has(Column::Limits) {
            ["near", "far"]
        } else {
            long
        };
        let near = run(inner[0], self.limit(-1.0)).end();
        let far = run(inner[1], self.limit(1.0));
        let face = Face::of(Weight::Regular);
        let fits = |[nearer, farther]: [&str; 2]| {
            let wide = |words| face.advance(words, CAPTION) + self.gap;
            self.left + wide(nearer) <= self.limit(-1.0) - near.width()
                && self.right - wide(farther) >= self.limit(1.0) + far.width()
        };
        let mut items: Vec<Item> = vec![
            near.clone().into(),
            run(unit, self.middle).middle().into(),
            far.clone().into(),
        ];
        let beside = layout.has(Column::Limits) && layout.has(Column::Misses);
        let outer = [long, short].into_iter().find(|words| fits(*words));
        if let Some([nearer, farther]) = outer.filter(|_| beside && !self.under) {
            items.push(run(nearer, self.left).into());
            items.push(run(farther, self.right).end().into());
        }
        items
    }

    /// The inner edge of the limits on one side: −1 near, +1 far.
    fn limit(&self, side: f64) -> Length {
        self.middle + (self.arrows + self.gap) * side
    }

    fn line(&self, line: &Line, top: Length, pitch: Length) -> Vec<Item> {
        let Sizes { focus, limit, miss } = self.sizes;
        let below = if self.under {
            miss * UNDER
        } else {
            Length::ZERO
        };
        let baseline = top + (pitch + focus - below) / 2.0;
        let run = |text: &str, height, x| TextRun::new(text, height, Point::new(x, baseline));
        let mut items: Vec<Item> = vec![
            run(&line.focus, focus, self.middle).bold().middle().into(),
            run(line.before, limit, self.middle - self.arrows).into(),
            run("›", limit, self.middle + self.arrows).end().into(),
            run(&line.near, limit, self.limit(-1.0)).end().into(),
            run(&line.far, limit, self.limit(1.0)).into(),
        ];
        let beside = |text: &str, x: Length| TextRun::new(text, miss, Point::new(x, baseline));
        let under = |text: &str, x| TextRun::new(text, miss, Point::new(x, baseline + below));
        let misses = if self.under {
            [
                under(&line.nearer, self.limit(-1.0)).end(),
                under(&line.farther, self.limit(1.0)),
            ]
        } else {
            [
                beside(&line.nearer, self.left + self.mark),
                beside(&line.farther, self.right).end(),
            ]
        };
        let shown = misses.into_iter().filter(|run| !run.words().is_empty());
        items.extend(shown.map(Item::from));
        if line.cautious {
            items.push(run("≈", miss, self.left).bold().into());
        }
        items.retain(|item| !matches!(item, Item::Text(run) if run.words().is_empty()));
        items
    }
}
