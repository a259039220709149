//! What both faces of a card share: head, hole, foot.

use super::fit::{Foot, shortened};
use crate::scene::{Face, Item, Path, Pen, Point, Rect, TextRun, Weight, printable};
use crate::sheets::{Code, Names};
use crate::units::Length;

/// Figures of the head, as large as there is room for.
const LARGE: [f64; 9] = [10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0, 6.5, 6.0];
/// The same of words in their place, which are no figures.
const LARGE_WORDS: [f64; 9] = [8.0, 7.5, 7.0, 6.5, 6.0, 5.5, 5.0, 4.5, 4.0];
/// Words beside a large figure, and the line below it.
const WORDS: Length = Length::mm(3.0);
/// The same where they would have no room.
const SMALL_WORDS: Length = Length::mm(2.5);
/// From the top to the baseline of the large figures: an f is higher than they.
const BAND: Length = Length::mm(10.5);
/// From the top to the baseline of the line below them.
const NAME: Length = Length::mm(15.9);
/// From the top to the rule under the head.
const RULE: Length = Length::mm(17.6);
/// From the hole's middle to the edges.
const HOLE_IN: Length = Length::mm(10.0);
const HOLE_RADIUS: Length = Length::mm(3.0);
/// Kept free around the hole.
const HOLE_FREE: Length = Length::mm(1.5);
/// A blank to write a date into.
const BLANK: Length = Length::mm(19.0);
/// The last line: whose card it is, and its code.
const LAST: Length = Length::mm(2.5);
const CODE: Length = Length::mm(3.0);
const NOTE: Length = Length::mm(2.0);
/// Between two things on it.
const APART: Length = Length::mm(3.0);
/// Room for it.
const BELOW: Length = Length::mm(4.2);

/// Where a face may print.
#[derive(Clone)]
pub(super) struct Space {
    outline: Rect,
    /// What is not margin.
    pub(super) inner: Rect,
    hole_on_right: bool,
    /// What the last line says of the paper.
    note: Option<String>,
}

impl Space {
    /// A face with its hole at the top left.
    pub(super) const fn of(outline: Rect, inner: Rect, note: Option<String>) -> Self {
        Self {
            outline,
            inner,
            hole_on_right: false,
            note,
        }
    }

    /// The face behind it, whose hole is at the top right.
    pub(super) fn mirrored(self) -> Self {
        Self {
            hole_on_right: true,
            ..self
        }
    }

    fn hole(&self) -> Point {
        let x = if self.hole_on_right {
            self.outline.right() - HOLE_IN
        } else {
            self.outline.left() + HOLE_IN
        };
        Point::new(x, self.outline.top() + HOLE_IN)
    }

    /// Left and right end of the head beside the hole.
    fn band(&self) -> (Length, Length) {
        let (hole, free) = (self.hole(), HOLE_RADIUS + HOLE_FREE);
        if self.hole_on_right {
            (self.inner.left(), self.inner.right().min(hole.x - free))
        } else {
            (self.inner.left().max(hole.x + free), self.inner.right())
        }
    }

    fn down(&self, by: Length) -> Length {
        self.inner.top() + by
    }
}

/// Whose face it is.
pub(super) struct Title<'a> {
    /// What it is called.
    pub(super) names: &'a Names,
    /// What it was made from.
    pub(super) code: Code,
    /// What stands large in its corner.
    pub(super) large: &'a str,
    /// The unit behind it.
    pub(super) unit: &'a str,
    /// Whether the head has the date, or room to write it.
    pub(super) date: bool,
}

/// What stands at the right of the head.
pub(super) enum Beside<'a> {
    /// A stop, as large as the focal length.
    Stop(&'a str),
    /// Two lines of words.
    Words([&'a str; 2]),
}

/// The head: hole, focal length, what stands beside it, names, and the rule;
/// how far down it reaches.
pub(super) fn head(title: &Title<'_>, space: &Space, beside: &Beside<'_>) -> (Vec<Item>, Length) {
    let (left, right) = space.band();
    let room = right - left;
    let bold = Face::of(Weight::Bold);
    let unit = Face::of(Weight::Regular).advance(&format!(" {} ", title.unit), WORDS);
    let words = |height: Length| match beside {
        Beside::Stop(stop) => bold.advance(stop, height),
        Beside::Words(lines) => super::fit::widest(lines.iter().copied(), Weight::Regular, WORDS),
    };
    let sizes = if title.unit.is_empty() {
        LARGE_WORDS
    } else {
        LARGE
    };
    let sizes = sizes.map(Length::mm);
    let [.., smallest] = sizes;
    let fits = |height: &Length| bold.advance(title.large, *height) + unit + words(*height) <= room;
    let size = sizes.into_iter().find(fits).unwrap_or(smallest);
    let right_width = words(size).min(room * 0.6);
    let focal_room = room - unit - right_width;
    let focal = shortened(title.large, Weight::Bold, size, focal_room);
    let baseline = space.down(BAND);
    let focal = TextRun::new(&focal, size, Point::new(left, baseline)).bold();
    let beside_focal = left + focal.width() + Length::mm(1.2);
    let mut items = vec![
        Item::stroked(Path::circle(space.hole(), HOLE_RADIUS), Pen::FINE),
        focal.into(),
    ];
    if !title.unit.is_empty() {
        let at = Point::new(beside_focal, baseline);
        items.push(TextRun::new(title.unit, WORDS, at).into());
    }
    match beside {
        Beside::Stop(stop) => {
            let stop = shortened(stop, Weight::Bold, size, right_width);
            let at = Point::new(right, baseline);
            items.push(TextRun::new(&stop, size, at).bold().end().into());
        }
        Beside::Words(lines) => {
            let first = baseline - WORDS * 1.6;
            for (line, baseline) in lines.iter().zip([first, baseline]) {
                let line = shortened(line, Weight::Regular, WORDS, right_width);
                items.push(
                    TextRun::new(&line, WORDS, Point::new(right, baseline))
                        .end()
                        .into(),
                );
            }
        }
    }
    items.extend(names(title, space));
    let rule = space.down(RULE);
    items.push(Item::line(
        Point::new(space.inner.left(), rule),
        Point::new(space.inner.right(), rule),
        Pen::HEAVY,
    ));
    (items, rule)
}

/// Label, serial number and camera, and the title that has no room at the foot;
/// the date, or room to write it.
fn names(title: &Title<'_>, space: &Space) -> Vec<Item> {
    let baseline = space.down(NAME);
    let (mut items, width) = date(title, space);
    let room = space.inner.width() - width;
    let titled = with_title(title, space, room);
    let (words, height) = titled.unwrap_or_else(|| identity(title.names, room));
    let at = Point::new(space.inner.left(), baseline);
    items.push(TextRun::new(&words, height, at).into());
    items
}

/// The date, or room to write it, where the head has either, and the width that
/// takes of its line.
fn date(title: &Title<'_>, space: &Space) -> (Vec<Item>, Length) {
    if !title.date {
        return (Vec::new(), Length::ZERO);
    }
    let (right, baseline) = (space.inner.right(), space.down(NAME));
    let (items, width) = match &title.names.prepared {
        Some(day) => {
            let day = shortened(day, Weight::Regular, WORDS, BLANK * 1.4);
            let run = TextRun::new(&day, WORDS, Point::new(right, baseline)).end();
            let width = run.width();
            (vec![run.into()], width)
        }
        None => {
            let line = right - BLANK;
            let blank = Item::line(
                Point::new(line, baseline),
                Point::new(right, baseline),
                Pen::FINE,
            );
            let at = Point::new(line - Length::mm(1.0), baseline);
            let run = TextRun::new("date", SMALL_WORDS, at).end();
            let width = BLANK + Length::mm(1.0) + run.width();
            (vec![blank, run.into()], width)
        }
    };
    (items, width + Length::mm(2.0))
}

/// The names with the kit's title behind them, and their height, where the
/// title has no room at the foot and this line has.
fn with_title(title: &Title<'_>, space: &Space, room: Length) -> Option<(String, Length)> {
    let words = printable(title.names.title.as_deref()?.trim());
    if words.is_empty() || title_height(&words, title_room(title, space)).is_some() {
        return None;
    }
    let (names, _) = identity(title.names, room);
    let whole = match names.as_str() {
        "" => words,
        names => format!("{names} · {words}"),
    };
    let face = Face::of(Weight::Regular);
    let fits = |height: &Length| face.advance(&whole, *height) <= room;
    let height = [WORDS, SMALL_WORDS].into_iter().find(fits)?;
    Some((whole, height))
}

/// How wide a title the last line has room for.
fn title_room(title: &Title<'_>, space: &Space) -> Length {
    let wide = |words: &str, weight, height| Face::of(weight).advance(words, height) + APART;
    let code = wide(&title.code.to_string(), Weight::Bold, CODE);
    let note = space.note.as_deref();
    let note = note.map_or(Length::ZERO, |note| wide(note, Weight::Regular, NOTE));
    space.inner.width() - code - note
}

/// The height in which a title fits into the last line.
fn title_height(title: &str, room: Length) -> Option<Length> {
    let face = Face::of(Weight::Regular);
    let fits = |height: &Length| face.advance(title, *height) <= room;
    [LAST, NOTE].into_iter().find(fits)
}

/// Label, number and camera in a width, and their height; it is the label that
/// is cut, for it says least that the focal length does not.
fn identity(names: &Names, room: Length) -> (String, Length) {
    let rest: String = [("no. ", &names.serial), ("camera ", &names.camera)]
        .into_iter()
        .filter_map(|(word, name)| Some(format!("{word}{}", printable(name.as_ref()?))))
        .collect::<Vec<_>>()
        .join(" · ");
    let label = names.label.as_ref().or(names.id.as_ref());
    let label = label.map_or(String::new(), |label| printable(label));
    let joint = if label.is_empty() || rest.is_empty() {
        ""
    } else {
        " · "
    };
    let whole = format!("{label}{joint}{rest}");
    let face = Face::of(Weight::Regular);
    let fits = |height: &Length| face.advance(&whole, *height) <= room;
    if let Some(height) = [WORDS, SMALL_WORDS].into_iter().find(fits) {
        return (whole, height);
    }
    // A third of the room is the label's at least, whatever the rest.
    let tail = format!("{joint}{rest}");
    let label_room = (room - face.advance(&tail, SMALL_WORDS)).max(room / 3.0);
    let label = shortened(&label, Weight::Regular, SMALL_WORDS, label_room);
    let whole = format!("{label}{tail}");
    let whole = shortened(&whole, Weight::Regular, SMALL_WORDS, room);
    (whole, SMALL_WORDS)
}

/// The body of a face between head and foot: the pitch of its lines, and the
/// foot that leaves so much.
pub(super) struct Body {
    /// From one line to the next.
    pub(super) pitch: Length,
    /// The foot.
    pub(super) foot: Foot,
}

/// What a face needs of the space between its head and its last line.
pub(super) struct Needs<'a> {
    /// Where its lines begin.
    pub(super) top: Length,
    /// How many lines.
    pub(super) lines: usize,
    /// Pitches that will do, the one wished for first.
    pub(super) pitches: &'a [Length],
    /// What stands between lines and foot.
    pub(super) between: Length,
    /// The foot's paragraphs.
    pub(super) foot: &'a [String],
}

impl Body {
    /// Shares the space out: for the largest pitch that some foot leaves, the
    /// most legible foot that leaves it; `None` where none leaves the least.
    pub(super) fn share(needs: &Needs<'_>, space: &Space) -> Option<Self> {
        let lines = needs.lines.max(1) as f64;
        let bottom = space.inner.bottom() - BELOW;
        let room = bottom - needs.top - needs.between;
        let mut settings: Vec<Self> = Foot::settings(needs.foot, space.inner.width())
            .into_iter()
            .map(|foot| Self {
                pitch: (room - foot.height()) / lines,
                foot,
            })
            .collect();
        let index = needs
            .pitches
            .iter()
            .find_map(|least| settings.iter().position(|body| body.pitch >= *least))?;
        Some(settings.swap_remove(index))
    }
}

/// Where the rule under the head of a face stands.
pub(super) fn rule(space: &Space) -> Length {
    space.down(RULE)
}

/// Where the foot of a face ends.
pub(super) fn bottom(space: &Space) -> Length {
    space.inner.bottom() - BELOW
}

/// The foot and, below it, the kit's title where the names have not taken it, a
/// note on the paper, and the code.
pub(super) fn foot(title: &Title<'_>, space: &Space, foot: &Foot) -> Vec<Item> {
    let (left, right) = (space.inner.left(), space.inner.right());
    // Under the line go the feet of letters such as p.
    let baseline = space.inner.bottom() - LAST * 0.34;
    let run = |words: &str, height, x| TextRun::new(words, height, Point::new(x, baseline));
    let code = run(&title.code.to_string(), CODE, right).bold().end();
    let mut items = foot.items(Point::new(
        left,
        space.inner.bottom() - BELOW - foot.height(),
    ));
    if let Some(note) = &space.note {
        let end = right - code.width() - APART;
        items.push(run(note, NOTE, end).end().into());
    }
    items.push(code.into());
    let beside = date(title, space).1;
    if with_title(title, space, space.inner.width() - beside).is_none() {
        let words = title.names.title.as_deref().unwrap_or_default();
        let room = title_room(title, space);
        let height = title_height(&printable(words.trim()), room).unwrap_or(LAST);
        let words = shortened(words, Weight::Regular, height, room);
        items.push(run(&words, height, left).into());
    }
    items
}
