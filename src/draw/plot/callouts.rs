//! Words outside the frame, tied by leaders to the places they are about.

use super::rule::Rule;
use crate::scene::{Face, Ink, Item, Path, Pen, Point, Rect, TextRun, Turn, Weight};
use crate::sheets::{Callout, Edge};
use crate::units::Length;

/// A leader: out of the frame, across to its words, and a little on, in
/// millimetres from the frame.
const LEADER: [f64; 3] = [1.6, 6.6, 7.8];
/// From the leader to the words.
const BEFORE: f64 = 0.9;
/// From one line of words to the next, in heights of figures.
const PITCH: f64 = 1.38;

/// How far callouts of an edge reach out of the frame, in millimetres.
pub(super) fn depth(callouts: &[Callout], edge: Edge, height: f64) -> f64 {
    let face = Face::of(Weight::Bold);
    let words = callouts.iter().filter(|callout| callout.edge == edge);
    let widest = words
        .map(|callout| face.advance(&callout.words, Length::mm(height)).to_mm())
        .reduce(f64::max);
    let [.., leader] = LEADER;
    widest.map_or(0.0, |widest| leader + BEFORE + widest)
}

/// The callouts of an edge; `None` where they do not fit beside each other.
///
/// Words keep the order of their places, so leaders never cross, and stand as
/// near to them as they can.
pub(super) fn draw(
    callouts: &[Callout],
    edge: Edge,
    rule: &Rule,
    frame: Rect,
    height: f64,
) -> Option<Vec<Item>> {
    let mut placed: Vec<(f64, &Callout)> = callouts
        .iter()
        .filter(|callout| callout.edge == edge)
        .filter_map(|callout| Some((rule.on(callout.at)?, callout)))
        .collect();
    placed.sort_by(|one, other| one.0.total_cmp(&other.0));
    let places: Vec<f64> = placed.iter().map(|(at, _)| *at).collect();
    let pitch = height * PITCH;
    // Beyond the corner stand the callouts of the other edge.
    let spread = spread(&places, pitch, -pitch, rule.length)?;
    let mut items = Vec::new();
    for ((at, callout), line) in placed.iter().zip(spread) {
        let [stub, across, end] = LEADER;
        let leader = [(0.0, *at), (stub, *at), (across, line), (end, line)];
        let leader = leader.map(|(out, along)| point(edge, frame, out, along));
        items.push(Item::stroked(Path::polyline(&leader), Pen::FINE));
        let turn = match edge {
            Edge::Top => Turn::THREE_QUARTERS,
            Edge::Right => Turn::NONE,
        };
        // Words stand with their middle on the leader.
        let foot = match edge {
            Edge::Top => line + height / 2.0,
            Edge::Right => line - height / 2.0,
        };
        let at = point(edge, frame, end + BEFORE, foot);
        let run = TextRun::new(&callout.words, Length::mm(height), at);
        items.push(run.bold().turned(turn).into());
    }
    Some(items)
}

/// A place outside of an edge: so far out, so far along the axis.
fn point(edge: Edge, frame: Rect, out: f64, along: f64) -> Point {
    let (out, along) = (Length::mm(out), Length::mm(along));
    match edge {
        Edge::Top => Point::new(frame.left() + along, frame.top() - out),
        Edge::Right => Point::new(frame.right() + out, frame.bottom() - along),
    }
}

/// Places as near as can be to those wished for (in the sum of squares), in the
/// same order, each at least a pitch from the one before, all between two ends;
/// `None` where there is no room. Wishes come in ascending order.
///
/// With the pitches taken away this is monotone regression, which pooling
/// neighbours solves.
fn spread(wishes: &[f64], pitch: f64, from: f64, to: f64) -> Option<Vec<f64>> {
    let count = wishes.len();
    let room = to - from - pitch * count.saturating_sub(1) as f64;
    if room < 0.0 {
        return None;
    }
    // Pools of neighbours: how many, and the sum of their wishes.
    let mut pools: Vec<(usize, f64)> = Vec::new();
    for (index, wish) in wishes.iter().enumerate() {
        let mut pool = (1, wish - pitch * index as f64);
        let mean = |pool: (usize, f64)| pool.1 / pool.0 as f64;
        while let Some(&before) = pools.last() {
            if mean(before) <= mean(pool) {
                break;
            }
            pools.pop();
            pool = (pool.0 + before.0, pool.1 + before.1);
        }
        pools.push(pool);
    }
    let places = pools
        .iter()
        .flat_map(|&(count, sum)| core::iter::repeat_n(sum / count as f64, count));
    Some(
        places
            .enumerate()
            .map(|(index, place)| place.clamp(from, from + room) + pitch * index as f64)
            .collect(),
    )
}

/// A dot over a point, in millimetres.
pub(in crate::draw) fn dot(at: Point) -> Item {
    const RADIUS: Length = Length::mm(0.7);
    Item::filled(Path::circle(at, RADIUS), Ink::Black)
}

/// A slender arrowhead with its tip at a point, pointing right or left.
pub(in crate::draw) fn arrowhead(tip: Point, right: bool) -> Item {
    // Three times as long as wide, as on engineering drawings (ISO 129-1; from
    // memory).
    let (long, half) = (2.1, 0.35);
    let back = if right { -long } else { long };
    let corner = |side: f64| tip.moved(Length::mm(back), Length::mm(side));
    let path = Path::polygon(&[tip, corner(half), corner(-half)]);
    Item::filled(path, Ink::Black)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_with_room_stand_at_their_places() {
        let wishes = [10.0, 20.0, 40.0];
        assert_eq!(spread(&wishes, 5.0, 0.0, 100.0), Some(wishes.to_vec()));
    }

    #[test]
    fn crowded_words_part_about_their_middle_and_keep_their_order() {
        let places = spread(&[48.0, 50.0, 52.0], 5.0, 0.0, 100.0).expect("room");
        assert_eq!(places, [45.0, 50.0, 55.0]);
        let at_the_end = spread(&[98.0, 99.0, 100.0], 5.0, 0.0, 100.0).expect("room");
        assert_eq!(at_the_end, [90.0, 95.0, 100.0]);
        assert_eq!(spread(&[1.0, 2.0, 3.0], 5.0, 0.0, 9.0), None);
    }
}
