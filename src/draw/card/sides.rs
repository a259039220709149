//! Faces that hold a table: head, a drawing where there is one, rows over as many
//! faces as they need, foot.

use super::CardStyle;
use super::LARGER;
use super::deck::Deck;
use super::face::{self, Beside, Space, Title};
use super::fit::Foot;
use super::grid::Grid;
use crate::scene::{Item, Point, Rect};
use crate::units::Length;

/// Scales of the figures that are tried, the largest first; a tenth apart.
const MOST_TENTHS: u32 = 24;
/// Between the rule of the head and what is under it, and between blocks.
const GAP: Length = Length::mm(1.2);
/// No row is higher than this many times what stands in it.
const LOOSE: f64 = 1.5;

/// Something drawn above the table, or left of it on a face that lies.
pub(super) struct Drawing<'a> {
    /// Draws it in a rectangle.
    pub(super) draw: &'a dyn Fn(Rect) -> Vec<Item>,
    /// How high it is above a table.
    pub(super) height: Length,
    /// How wide it is beside one.
    pub(super) width: Length,
}

/// Faces that hold a table.
pub(super) struct Tabled<'a> {
    pub(super) title: Title<'a>,
    /// At the right of the head.
    pub(super) beside: [String; 2],
    pub(super) grid: Grid,
    /// Columns in the order in which they are given up where the width is
    /// wanting, those together that say nothing alone.
    pub(super) give_up: Vec<Vec<usize>>,
    /// How soon each row is chosen, where rows are left out that have no room;
    /// `None`: they go on on another face.
    pub(super) ranks: Option<Vec<usize>>,
    pub(super) drawing: Option<Drawing<'a>>,
    pub(super) foot: &'a [String],
}

/// What of a face is the table's.
struct Room {
    /// Its left and right end.
    ends: (Length, Length),
    top: Length,
    bottom: Length,
    /// Where the drawing goes.
    drawing: Option<Rect>,
}

/// How a table was set.
struct Set {
    grid: Grid,
    scale: f64,
    foot: Foot,
    /// Rows on a face.
    each: usize,
}

impl Tabled<'_> {
    /// The faces, `before` of the card's being drawn already; `None` where not
    /// one row has room.
    pub(super) fn faces(
        &self,
        deck: &Deck<'_>,
        style: &CardStyle<'_>,
        before: usize,
    ) -> Option<Vec<Vec<Item>>> {
        let set = self.chosen(&deck.space(before), style)?;
        let rows = set.grid.rows.len();
        let count = rows.div_ceil(set.each).max(1);
        // Every face about as full as the others.
        let each = rows.div_ceil(count);
        let faces = (0..count).map(|at| {
            let shown = at * each..((at + 1) * each).min(rows);
            self.face(&deck.space(before + at), &set, shown, (at, count))
        });
        Some(faces.collect())
    }

    fn chosen(&self, space: &Space, style: &CardStyle<'_>) -> Option<Set> {
        let feet = Foot::settings(self.foot, space.inner.width());
        let set = self.light(space, &feet, style)?;
        if style.large {
            self.set(space, &feet, style, set.scale * LARGER)
        } else {
            Some(set)
        }
    }

    /// Whether it keeps all columns.
    pub(super) fn is_whole(&self, deck: &Deck<'_>, style: &CardStyle<'_>) -> bool {
        let set = self.chosen(&deck.space(0), style);
        set.is_some_and(|set| set.grid.head.len() == self.grid.head.len())
    }

    /// As large as all has room without another face, or without losing a row.
    fn light(&self, space: &Space, feet: &[Foot], style: &CardStyle<'_>) -> Option<Set> {
        let least = self.set(space, feet, style, 1.0)?;
        let faces = |set: &Set| set.grid.rows.len().div_ceil(set.each);
        let larger = (11..=MOST_TENTHS).rev().find_map(|tenths| {
            let set = self.set(space, feet, style, f64::from(tenths) / 10.0)?;
            let as_good = set.grid.head.len() == least.grid.head.len()
                && set.grid.rows.len() == least.grid.rows.len()
                && faces(&set) <= faces(&least)
                && set.foot.size() >= least.foot.size();
            as_good.then_some(set)
        });
        Some(larger.unwrap_or(least))
    }

    /// The table at a scale: all columns that have room, and all rows, or those
    /// worth most.
    fn set(&self, space: &Space, feet: &[Foot], style: &CardStyle<'_>, scale: f64) -> Option<Set> {
        let width = |foot: &Foot| {
            let room = self.room(space, foot);
            room.ends.1 - room.ends.0
        };
        let mut kept: Vec<usize> = (0..self.grid.head.len()).collect();
        let mut give_up = self.give_up.iter();
        let narrowest = feet.first().map(width)?;
        let grid = loop {
            let grid = self.grid.with_columns(&kept);
            if grid.fits(scale, narrowest) {
                break grid;
            }
            let gone = give_up.next()?;
            kept.retain(|at| !gone.contains(at));
        };
        // The foot that leaves room for most rows, the most legible of these.
        let row = grid.row_height(scale);
        let wanted = grid.rows.len().min(style.layout.lines).max(1);
        let fits = |foot: &Foot| {
            let room = self.room(space, foot);
            let free = (room.bottom - room.top - grid.head_height(scale)).to_mm();
            let count = (free / row.to_mm() + 1e-9).max(0.0) as usize;
            count.min(wanted)
        };
        let most = feet.iter().map(fits).max()?;
        if most == 0 {
            return None;
        }
        let faces = |each: usize| grid.rows.len().div_ceil(each.max(1));
        let enough = |foot: &&Foot| match &self.ranks {
            Some(_) => fits(foot) >= most,
            None => fits(foot) > 0 && faces(fits(foot)) <= faces(most),
        };
        let foot = feet.iter().find(enough)?.clone();
        let each = fits(&foot);
        let grid = match &self.ranks {
            Some(ranks) => grid.with_rows(|at| ranks.get(at).is_some_and(|rank| *rank < each)),
            None => grid,
        };
        Some(Set {
            grid,
            scale,
            foot,
            each,
        })
    }

    fn room(&self, space: &Space, foot: &Foot) -> Room {
        let inner = space.inner;
        let top = face::rule(space) + GAP;
        let bottom = face::bottom(space) - foot.height() - GAP;
        let whole = Room {
            ends: (inner.left(), inner.right()),
            top,
            bottom,
            drawing: None,
        };
        let Some(drawing) = &self.drawing else {
            return whole;
        };
        if inner.width() > inner.height() {
            let right = inner.left() + drawing.width;
            let corner = Point::new(right, (top + drawing.height * 1.4).min(bottom));
            return Room {
                ends: (right + GAP * 2.0, inner.right()),
                drawing: Some(Rect::between(Point::new(inner.left(), top), corner)),
                ..whole
            };
        }
        let below = top + drawing.height;
        Room {
            top: below + GAP,
            drawing: Some(Rect::between(
                Point::new(inner.left(), top),
                Point::new(inner.right(), below),
            )),
            ..whole
        }
    }

    fn face(
        &self,
        space: &Space,
        set: &Set,
        rows: core::ops::Range<usize>,
        (at, count): (usize, usize),
    ) -> Vec<Item> {
        let [first, second] = &self.beside;
        let second = if count > 1 {
            format!("{second}, {} of {count}", at + 1)
        } else {
            second.clone()
        };
        let beside = Beside::Words([first, &second]);
        let (mut items, _) = face::head(&self.title, space, &beside);
        let room = self.room(space, &set.foot);
        if let (Some(drawing), Some(rect)) = (&self.drawing, room.drawing) {
            items.extend((drawing.draw)(rect));
        }
        let least = set.grid.row_height(set.scale);
        let free = room.bottom - room.top - set.grid.head_height(set.scale);
        let pitch = (free / rows.len().max(1) as f64)
            .min(least * LOOSE)
            .max(least);
        let down = (room.top, pitch);
        items.extend(set.grid.items(rows, set.scale, down, room.ends));
        items.extend(face::foot(&self.title, space, &set.foot));
        items
    }
}
