//! Places on a disc: angles clockwise from the top, the middle at the origin.

use crate::gear::Sense;
use crate::scene::{Affine, Item, Path, Pen, Point, TextRun, Turn, Weight};
use crate::sheets::Disc;
use crate::units::{Angle, Length};

/// From turns of the knob to the page: a disc that turns clockwise to close focus
/// has its nearer marks anticlockwise of the farther ones, which come to the index
/// before them.
#[derive(Clone, Copy, Debug)]
pub(super) struct Polar {
    /// +1 where the disc turns clockwise to close focus.
    pub(super) turns: f64,
    /// The turn of the knob whose place is on top.
    top: Angle,
}

impl Polar {
    pub(super) fn of(disc: &Disc) -> Self {
        Self {
            turns: match disc.sense {
                Sense::Clockwise => 1.0,
                Sense::CounterClockwise => -1.0,
            },
            top: disc.angle(disc.scale.align.at),
        }
    }

    /// Where a turn of the knob stands on the page.
    pub(super) fn page(&self, knob: Angle) -> Angle {
        (knob - self.top) * -self.turns
    }
}

/// A point so far from the middle.
pub(super) fn point(radius: Length, page: Angle) -> Point {
    let (sin, cos) = Turn::clockwise(page).sin_cos();
    Point::new(radius * sin, radius * -cos)
}

/// A line along a radius.
pub(super) fn radial(page: Angle, from: Length, to: Length, pen: Pen) -> Item {
    Item::line(point(from, page), point(to, page), pen)
}

/// The angle of an arc so far from the middle.
pub(super) fn angle(arc: Length, radius: Length) -> Angle {
    crate::scale::angle_on_wheel(radius * 2.0, arc)
}

/// Part of a circle about the middle, from one place to another.
pub(super) fn arc(radius: Length, from: Angle, to: Angle) -> Path {
    // Arcs are counted from the right.
    let start = Turn::clockwise(from - Angle::deg(90.0));
    Path::arc(Point::ORIGIN, radius, start, Turn::clockwise(to - from))
}

/// Where things come to stand whose own origin is on a circle, upright when their
/// place is on top.
pub(super) fn placed(radius: Length, page: Angle) -> Affine {
    Affine::placed(point(radius, page), Turn::clockwise(page))
}

/// Items put there.
pub(super) fn put(radius: Length, page: Angle, items: Vec<Item>) -> Item {
    Item::placed(point(radius, page), Turn::clockwise(page), items)
}

/// Longest piece of a word that is set straight.
const CHUNK: Length = Length::mm(8.0);

/// Words along a circle, their middle at a place, set in straight pieces of a word
/// or less.
pub(super) fn words_along(
    words: &str,
    (weight, height): (Weight, Length),
    radius: Length,
    page: Angle,
) -> Vec<Item> {
    let run = |words: &str| {
        let run = TextRun::new(words, height, Point::ORIGIN);
        match weight {
            Weight::Regular => run,
            Weight::Bold => run.bold(),
        }
    };
    let wide = |words: &str| run(words).width();
    let mut along = wide(words) / -2.0;
    let mut items = Vec::new();
    for word in words.split(' ') {
        let parts = (wide(word).to_mm() / CHUNK.to_mm()).ceil().max(1.0) as usize;
        let letters: Vec<char> = word.chars().collect();
        for part in letters.chunks(letters.len().div_ceil(parts).max(1)) {
            let part: String = part.iter().collect();
            let width = wide(&part);
            let middle = page + angle(along + width / 2.0, radius);
            items.push(put(radius, middle, vec![run(&part).middle().into()]));
            along = along + width;
        }
        along = along + wide(" ");
    }
    items
}
