//! Lines and curves.

use super::geometry::{Affine, Point, Rect, Turn};
use crate::numerics::math;
use crate::units::{Angle, Length};

/// One step of a [`Path`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Segment {
    /// Lift the pen and go there.
    Move(Point),
    /// A straight line to there.
    Line(Point),
    /// A cubic curve: two control points, then where it ends.
    Cubic(Point, Point, Point),
    /// A straight line back to the last `Move`, joined there.
    Close,
}

/// Lines and curves to be filled or stroked.
///
/// Circles and arcs are cubic pieces of at most 30°, which stay within 10⁻⁶ of
/// their radius from the true circle, so that all back ends draw the same.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Path(Vec<Segment>);

impl Path {
    /// A path from its steps; the first should be a [`Segment::Move`].
    #[must_use]
    pub const fn new(segments: Vec<Segment>) -> Self {
        Self(segments)
    }

    /// A straight line.
    #[must_use]
    pub fn line(from: Point, to: Point) -> Self {
        Self(vec![Segment::Move(from), Segment::Line(to)])
    }

    /// Straight lines through all the points, left open.
    #[must_use]
    pub fn polyline(points: &[Point]) -> Self {
        let steps = points
            .iter()
            .enumerate()
            .map(|(index, &point)| match index {
                0 => Segment::Move(point),
                _ => Segment::Line(point),
            });
        Self(steps.collect())
    }

    /// Straight lines through all the points and back to the first.
    #[must_use]
    pub fn polygon(points: &[Point]) -> Self {
        let mut path = Self::polyline(points);
        path.0.push(Segment::Close);
        path
    }

    /// An upright rectangle.
    #[must_use]
    pub fn rectangle(rect: Rect) -> Self {
        Self::polygon(&rect.corners())
    }

    /// A full circle.
    #[must_use]
    pub fn circle(centre: Point, radius: Length) -> Self {
        let mut path = Self::arc(centre, radius, Turn::NONE, Turn::FULL);
        path.0.push(Segment::Close);
        path
    }

    /// Part of a circle.
    ///
    /// It begins at `start`, measured clockwise as seen from the direction right
    /// of the centre, and runs on by `sweep` (negative: anticlockwise).
    #[must_use]
    pub fn arc(centre: Point, radius: Length, start: Turn, sweep: Turn) -> Self {
        const LARGEST_PIECE: f64 = 30.0;
        // At most 360°, so at most 12 pieces.
        let swept = sweep.angle().to_deg().clamp(-360.0, 360.0);
        let pieces = (swept.abs() / LARGEST_PIECE).ceil().max(1.0);
        let step = swept / pieces;
        let pull = 4.0 / 3.0 * math::tan(step.to_radians() / 4.0);
        let on_circle = |index: f64| {
            let (sin, cos) = Turn::clockwise(start.angle() + Angle::deg(index * step)).sin_cos();
            let point = centre.moved(radius * cos, radius * sin);
            (point, (radius * -sin * pull, radius * cos * pull))
        };
        let (first, mut leaving) = on_circle(0.0);
        let (mut here, mut steps) = (first, vec![Segment::Move(first)]);
        let mut index = 1.0;
        while index <= pieces {
            let (next, tangent) = on_circle(index);
            steps.push(Segment::Cubic(
                here.moved(leaving.0, leaving.1),
                next.moved(-tangent.0, -tangent.1),
                next,
            ));
            (here, leaving) = (next, tangent);
            index += 1.0;
        }
        Self(steps)
    }

    /// The steps, in order.
    #[must_use]
    pub fn segments(&self) -> &[Segment] {
        &self.0
    }

    /// The same path after a map.
    #[must_use]
    pub fn mapped(&self, by: &Affine) -> Self {
        let steps = self.0.iter().map(|step| match *step {
            Segment::Move(to) => Segment::Move(by.apply(to)),
            Segment::Line(to) => Segment::Line(by.apply(to)),
            Segment::Cubic(one, two, to) => {
                Segment::Cubic(by.apply(one), by.apply(two), by.apply(to))
            }
            Segment::Close => Segment::Close,
        });
        Self(steps.collect())
    }

    /// A rectangle around every point and control point; `None` without any.
    ///
    /// For curves it may be a little larger than the drawn line.
    #[must_use]
    pub fn bounds(&self) -> Option<Rect> {
        let points = self.0.iter().flat_map(|step| match *step {
            Segment::Move(to) | Segment::Line(to) => vec![to],
            Segment::Cubic(one, two, to) => vec![one, two, to],
            Segment::Close => vec![],
        });
        points
            .map(|point| Rect::between(point, point))
            .reduce(Rect::around)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Largest distance from the circle, in millimetres, over points of each piece.
    fn worst_departure(path: &Path, radius: f64) -> f64 {
        let (mut here, mut worst) = (Point::ORIGIN, 0.0_f64);
        for step in path.segments() {
            match *step {
                Segment::Move(to) | Segment::Line(to) => here = to,
                Segment::Cubic(one, two, to) => {
                    for tenth in 0..=10 {
                        let t = f64::from(tenth) / 10.0;
                        let u = 1.0 - t;
                        let at = |p: Length, q: Length, r: Length, s: Length| {
                            p.to_mm() * u * u * u
                                + 3.0 * q.to_mm() * u * u * t
                                + 3.0 * r.to_mm() * u * t * t
                                + s.to_mm() * t * t * t
                        };
                        let x = at(here.x, one.x, two.x, to.x);
                        let y = at(here.y, one.y, two.y, to.y);
                        worst = worst.max((math::sqrt(x * x + y * y) - radius).abs());
                    }
                    here = to;
                }
                Segment::Close => {}
            }
        }
        worst
    }

    #[test]
    fn a_circle_of_100_mm_is_round_to_a_tenth_of_a_micrometre() {
        let circle = Path::circle(Point::ORIGIN, Length::mm(100.0));
        assert!(worst_departure(&circle, 100.0) < 1e-4);
    }

    #[test]
    fn an_arc_ends_where_start_and_sweep_say() {
        // Clockwise from the right by 90° is straight down: y grows downward.
        let arc = Path::arc(Point::ORIGIN, Length::mm(10.0), Turn::NONE, Turn::QUARTER);
        let Some(Segment::Cubic(_, _, end)) = arc.segments().last() else {
            panic!("an arc ends in a curve");
        };
        assert_eq!(*end, Point::mm(0.0, 10.0));
        assert_eq!(arc.segments().len(), 1 + 3);
    }
}
