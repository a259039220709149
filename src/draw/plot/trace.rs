//! Curves as polylines, followed as finely as the paper shows, and cut at the
//! frame.

use super::rule::Rule;
use crate::numerics::math;
use crate::sheets::{Curve, Value};

/// A place within the frame: millimetres right of its left edge and above its
/// lower one.
pub(super) type Place = (f64, f64);

/// How far a polyline may be from its curve, in millimetres, where it is looked at.
const WITHIN: f64 = 0.02;
/// A piece is halved at least so often, lest a bend be missed by chance.
const LEAST: u32 = 4;
/// And at most so often.
const MOST: u32 = 18;

/// A piece of a curve within the frame, as polylines.
pub(super) fn trace(curve: &Curve, piece: (Value, Value), x: &Rule, y: &Rule) -> Vec<Vec<Place>> {
    let ends = x.place(piece.0).zip(x.place(piece.1));
    let Some((from, to)) = ends.map(|(from, to)| (from.max(0.0), to.min(x.length))) else {
        return Vec::new();
    };
    if from >= to {
        return Vec::new();
    }
    let path = Path { curve, x, y };
    let mut points = vec![path.at(from)];
    path.follow((from, path.at(from)), (to, path.at(to)), 0, &mut points);
    let frame = (x.length, y.length);
    points
        .split(Option::is_none)
        .flat_map(|run| clipped(&run.iter().flatten().copied().collect::<Vec<_>>(), frame))
        .collect()
}

struct Path<'a> {
    curve: &'a Curve,
    x: &'a Rule,
    y: &'a Rule,
}

impl Path<'_> {
    fn at(&self, place: f64) -> Option<Place> {
        let value = self.curve.at(self.x.value(place)?)?;
        Some((place, self.y.place(value)?))
    }

    /// Adds the points after `from` up to `to`, halving until chords lie on the
    /// curve.
    fn follow(
        &self,
        from: (f64, Option<Place>),
        to: (f64, Option<Place>),
        depth: u32,
        points: &mut Vec<Option<Place>>,
    ) {
        let between = |part: f64| {
            let place = from.0 + (to.0 - from.0) * part;
            (place, self.at(place))
        };
        let probes = [between(0.25), between(0.5), between(0.75)];
        let straight = match (from.1, to.1) {
            (Some(one), Some(other)) => probes
                .iter()
                .all(|(_, probe)| probe.is_some_and(|probe| off(probe, one, other) <= WITHIN)),
            _ => false,
        };
        let [_, middle, _] = probes;
        if depth >= MOST
            || (straight && depth >= LEAST)
            || self.out_of_sight(&[from.1, middle.1, to.1], depth)
        {
            points.push(to.1);
        } else {
            self.follow(from, middle, depth + 1, points);
            self.follow(middle, to, depth + 1, points);
        }
    }

    /// Whether all points lie on one side of the frame, above or below it.
    fn out_of_sight(&self, points: &[Option<Place>; 3], depth: u32) -> bool {
        let all = |side: &dyn Fn(f64) -> bool| {
            points
                .iter()
                .all(|point| point.is_some_and(|(_, y)| side(y)))
        };
        depth >= LEAST && (all(&|y| y < -1.0) || all(&|y| y > self.y.length + 1.0))
    }
}

/// Distance of a point from the straight line between two others.
fn off(point: Place, from: Place, to: Place) -> f64 {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let long = math::sqrt(dx * dx + dy * dy);
    let cross = dx * (point.1 - from.1) - dy * (point.0 - from.0);
    if long > 0.0 {
        (cross / long).abs()
    } else {
        0.0
    }
}

/// The parts of a polyline within a frame (Liang and Barsky's clipping).
fn clipped(points: &[Place], frame: (f64, f64)) -> Vec<Vec<Place>> {
    let mut runs: Vec<Vec<Place>> = Vec::new();
    // Where the part before ended, if it ended within the frame.
    let mut open: Option<Place> = None;
    for pair in points.windows(2) {
        let [from, to] = [pair[0], pair[1]];
        let Some((first, last)) = inside(from, to, frame) else {
            open = None;
            continue;
        };
        match runs.last_mut() {
            Some(run) if open == Some(first) => run.push(last),
            _ => runs.push(vec![first, last]),
        }
        open = (last == to).then_some(last);
    }
    runs
}

/// The part of a straight line within a frame.
fn inside(from: Place, to: Place, frame: (f64, f64)) -> Option<(Place, Place)> {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let (mut first, mut last) = (0.0_f64, 1.0_f64);
    for (step, room) in [
        (-dx, from.0),
        (dx, frame.0 - from.0),
        (-dy, from.1),
        (dy, frame.1 - from.1),
    ] {
        if step == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if step < 0.0 {
            first = first.max(room / step);
        } else {
            last = last.min(room / step);
        }
    }
    let at = |part: f64| match part {
        0.0 => from,
        1.0 => to,
        part => (from.0 + dx * part, from.1 + dy * part),
    };
    (first < last).then(|| (at(first), at(last)))
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME: (f64, f64) = (100.0, 50.0);

    #[test]
    fn a_polyline_is_cut_where_it_leaves_the_frame_and_goes_on_where_it_comes_back() {
        let points = [(10.0, 10.0), (20.0, 70.0), (30.0, 10.0), (40.0, 20.0)];
        let runs = clipped(&points, FRAME);
        // Half of the way from 10 to 70 is missing above 50: a third of each side.
        let end = 10.0 + 10.0 * 40.0 / 60.0;
        assert_eq!(runs.len(), 2);
        assert!((runs[0][1].0 - end).abs() < 1e-9 && (runs[0][1].1 - 50.0).abs() < 1e-9);
        assert!((runs[1][0].0 - (40.0 - end)).abs() < 1e-9);
        assert_eq!(runs[1][1..], [(30.0, 10.0), (40.0, 20.0)]);
    }

    #[test]
    fn what_lies_outside_leaves_nothing() {
        assert!(clipped(&[(10.0, 60.0), (90.0, 60.0)], FRAME).is_empty());
        assert!(clipped(&[(-10.0, 40.0), (20.0, 80.0)], FRAME).is_empty());
        assert_eq!(clipped(&[(0.0, 0.0), (100.0, 50.0)], FRAME).len(), 1);
    }
}
