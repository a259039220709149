//! Places on a piece of tape as it is read.

use super::lie::{Edge, Lie, Toward};
use crate::scene::{Item, Pen, Point, TextRun, Weight};
use crate::units::Length;

/// One cut piece: from places along the scale (growing toward close focus) and
/// heights (from the witness edge) to points right and down of its top left
/// corner, as it is read.
#[derive(Clone, Copy, Debug)]
pub(in crate::draw) struct Frame {
    pub(in crate::draw) lie: Lie,
    pub(in crate::draw) height: Length,
    /// The cut end nearer infinity.
    pub(in crate::draw) from: Length,
    /// The cut end nearer close focus.
    pub(in crate::draw) to: Length,
}

impl Frame {
    pub(in crate::draw) fn length(&self) -> Length {
        self.to - self.from
    }

    pub(in crate::draw) fn x(&self, along: Length) -> Length {
        match self.lie.nearer {
            Toward::Right => along - self.from,
            Toward::Left => self.to - along,
        }
    }

    pub(in crate::draw) fn y(&self, up: Length) -> Length {
        match self.lie.witness {
            Edge::Bottom => self.height - up,
            Edge::Top => up,
        }
    }

    pub(in crate::draw) fn point(&self, along: Length, up: Length) -> Point {
        Point::new(self.x(along), self.y(up))
    }

    /// A line across the tape.
    pub(in crate::draw) fn across(
        &self,
        along: Length,
        from: Length,
        to: Length,
        pen: Pen,
    ) -> Item {
        Item::line(self.point(along, from), self.point(along, to), pen)
    }

    /// Where words have their baseline that stand in a row with this foot.
    pub(in crate::draw) fn baseline(&self, foot: Length, height: Length) -> Length {
        match self.lie.witness {
            Edge::Bottom => self.y(foot),
            Edge::Top => self.y(foot + height),
        }
    }

    /// Where two places come to lie, the left one first.
    pub(in crate::draw) fn span(&self, one: Length, other: Length) -> (Length, Length) {
        let (one, other) = (self.x(one), self.x(other));
        (one.min(other), one.max(other))
    }
}

/// A run of some weight.
pub(in crate::draw) fn run(words: &str, weight: Weight, height: Length, at: Point) -> TextRun {
    let run = TextRun::new(words, height, at);
    match weight {
        Weight::Regular => run,
        Weight::Bold => run.bold(),
    }
}

/// Words cut off with … where they are wider than allowed.
pub(in crate::draw) fn shortened(
    words: &str,
    weight: Weight,
    height: Length,
    width: Length,
) -> String {
    let wide = |words: &str| run(words, weight, height, Point::ORIGIN).width();
    if wide(words) <= width {
        return words.to_owned();
    }
    // Hardly a letter is narrower than an eighth of its height.
    let most = (width.to_mm() / height.to_mm() * 8.0) as usize;
    let mut kept: Vec<char> = words.chars().take(most).collect();
    while kept.pop().is_some() {
        let shorter: String = kept.iter().chain(&['…']).collect();
        if wide(&shorter) <= width {
            return shorter;
        }
    }
    String::new()
}
