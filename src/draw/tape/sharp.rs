//! How much of the ring is sharp, as a dimension.

use super::frame::{Frame, run};
use super::line::Line;
use super::rows::Row;
use crate::scene::{Ink, Item, Path, Pen, Point, Weight};
use crate::sheets::SharpBand;
use crate::units::Length;

const WORDS: Length = Length::mm(2.0);
const GAP: Length = Length::mm(0.9);
/// An arrow's head.
const HEAD: (Length, Length) = (Length::mm(1.3), Length::mm(0.5));
/// A dimension narrower than this has its arrows outside.
const NARROW: Length = Length::mm(4.0);
/// How far those reach.
const OUTSIDE: Length = Length::mm(2.8);

/// The dimension and as much in words as has room beside it; nothing where the
/// dimension itself has none.
pub(super) fn sharp(band: &SharpBand, frame: &Frame, row: Row, line: &mut Line) -> Vec<Item> {
    let (left, right) = frame.span(band.at - band.half, band.at + band.half);
    let outside = right - left < NARROW;
    let reach = if outside { OUTSIDE } else { Length::mm(0.2) };
    let (from, to) = (left - reach, right + reach);
    if !line.is_free(from, to) {
        return Vec::new();
    }
    let middle = frame.y(row.foot + row.height / 2.0);
    let up = Length::mm(1.2);
    let limit = |x: Length| {
        Item::line(
            Point::new(x, middle - up),
            Point::new(x, middle + up),
            Pen::FINE,
        )
    };
    let head = |x: Length, back: f64| {
        let tip = Point::new(x, middle);
        let tail = HEAD.0 * back;
        let path = Path::polygon(&[tip, tip.moved(tail, HEAD.1), tip.moved(tail, -HEAD.1)]);
        Item::filled(path, Ink::Black)
    };
    let shaft = |from: Length, to: Length| {
        Item::line(Point::new(from, middle), Point::new(to, middle), Pen::FINE)
    };
    let mut items = vec![limit(left), limit(right)];
    if outside {
        items.extend([shaft(from, left), shaft(right, to)]);
        items.extend([head(left, -1.0), head(right, 1.0)]);
    } else {
        items.extend([shaft(left, right), head(left, 1.0), head(right, -1.0)]);
    }
    let baseline = middle + WORDS / 2.0;
    let short = format!("{} is sharp", band.figures);
    for words in [band.words.as_str(), short.as_str(), band.figures.as_str()] {
        let wide = run(words, Weight::Regular, WORDS, Point::ORIGIN).width();
        for at in [to + GAP, from - GAP - wide] {
            let free = Line::is_free(line, at, at + wide);
            if free {
                let words = run(words, Weight::Regular, WORDS, Point::new(at, baseline));
                items.push(words.into());
                line.take(from.min(at), to.max(at + wide));
                return items;
            }
        }
    }
    line.take(from, to);
    items
}
