//! The arrow that says which way the ring turns to close focus.

use super::frame::run;
use super::lie::Toward;
use crate::scene::{Ink, Item, Path, Point, Weight};
use crate::units::Length;

/// Longer than this it says no more.
const LONGEST: Length = Length::mm(36.0);
/// Shorter than this it is a blot.
pub(super) const SHORTEST: Length = Length::mm(6.0);
const WORDS: Length = Length::mm(2.0);
const GAP: Length = Length::mm(1.4);

/// The arrow and as much in words as fits into a width, so high, from the top
/// left; its head is at the end it points to.
pub(super) fn arrow(toward: Toward, at: Point, width: Length, height: Length) -> Vec<Item> {
    let long = |words: &str| run(words, Weight::Bold, WORDS, Point::ORIGIN).width() + GAP;
    let words = ["turn this way = nearer", "turn = nearer", "= nearer"]
        .into_iter()
        .find(|words| width - long(words) >= SHORTEST * 1.4);
    let room = words.map_or(width, |words| width - long(words));
    let length = room.min(LONGEST);
    let tip = match toward {
        Toward::Left => at.x,
        Toward::Right => at.x + width,
    };
    let middle = at.y + height / 2.0;
    let into = |along: Length, up: Length| match toward {
        Toward::Left => Point::new(tip + along, middle + up),
        Toward::Right => Point::new(tip - along, middle + up),
    };
    let (head, half) = (height * 1.3, height / 2.0);
    let shaft = height * 0.16;
    let outline = [
        into(Length::ZERO, Length::ZERO),
        into(head, half),
        into(head, shaft),
        into(length, shaft),
        into(length, -shaft),
        into(head, -shaft),
        into(head, -half),
    ];
    let mut items = vec![Item::filled(Path::polygon(&outline), Ink::Black)];
    if let Some(words) = words {
        let beside = into(length + GAP, WORDS / 2.0);
        let words = run(words, Weight::Bold, WORDS, beside);
        items.push(match toward {
            Toward::Left => words.into(),
            Toward::Right => words.end().into(),
        });
    }
    items
}
