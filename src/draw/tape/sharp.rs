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

/// A dimension that is drawn, from end to end.
#[derive(Clone, Copy, Debug)]
pub(super) struct Drawn {
    from: Length,
    to: Length,
}

/// The dimension; `None` where it has no room.
pub(super) fn dimension(
    band: &SharpBand,
    frame: &Frame,
    row: Row,
    line: &mut Line,
) -> Option<(Drawn, Vec<Item>)> {
    let (left, right) = frame.span(band.at - band.half, band.at + band.half);
    let outside = right - left < NARROW;
    let reach = if outside { OUTSIDE } else { Length::mm(0.2) };
    let (from, to) = (left - reach, right + reach);
    if !line.is_free(from, to) {
        return None;
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
    line.take(from, to);
    Some((Drawn { from, to }, items))
}

impl Drawn {
    /// As much in words as has room beside it.
    pub(super) fn words(self, band: &SharpBand, baseline: Length, line: &mut Line) -> Option<Item> {
        let short = format!("{} is sharp", band.figures);
        let wordings = [band.words.as_str(), short.as_str(), band.figures.as_str()];
        wordings.into_iter().find_map(|words| {
            let wide = run(words, Weight::Regular, WORDS, Point::ORIGIN).width();
            let sides = [self.to + GAP, self.from - GAP - wide];
            let at = sides
                .into_iter()
                .find(|&at| line.is_free_beside((self.from, self.to), at, at + wide))?;
            line.take(at, at + wide);
            Some(run(words, Weight::Regular, WORDS, Point::new(at, baseline)).into())
        })
    }
}
