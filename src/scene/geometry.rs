//! Where things are on the paper, and how they are turned.

use crate::numerics::math;
use crate::units::{Angle, Length};

/// A place on the paper: right of the left edge, below the top edge.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Point {
    /// Distance right of the origin.
    pub x: Length,
    /// Distance below the origin.
    pub y: Length,
}

impl Point {
    /// The origin itself.
    pub const ORIGIN: Self = Self {
        x: Length::ZERO,
        y: Length::ZERO,
    };

    /// A place from its two distances.
    #[must_use]
    pub const fn new(x: Length, y: Length) -> Self {
        Self { x, y }
    }

    /// A place from two numbers of millimetres (for literals and tables).
    #[must_use]
    pub const fn mm(x: f64, y: f64) -> Self {
        Self {
            x: Length::mm(x),
            y: Length::mm(y),
        }
    }

    /// The place `dx` further right and `dy` further down.
    #[must_use]
    pub fn moved(self, dx: Length, dy: Length) -> Self {
        Self::new(self.x + dx, self.y + dy)
    }
}

/// An upright rectangle; `left ≤ right` and `top ≤ bottom` always hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rect {
    left: Length,
    top: Length,
    right: Length,
    bottom: Length,
}

impl Rect {
    /// The rectangle between two opposite corners, in whichever order.
    #[must_use]
    pub fn between(one: Point, other: Point) -> Self {
        Self {
            left: one.x.min(other.x),
            top: one.y.min(other.y),
            right: one.x.max(other.x),
            bottom: one.y.max(other.y),
        }
    }

    /// Its left edge.
    #[must_use]
    pub const fn left(&self) -> Length {
        self.left
    }

    /// Its top edge.
    #[must_use]
    pub const fn top(&self) -> Length {
        self.top
    }

    /// Its right edge.
    #[must_use]
    pub const fn right(&self) -> Length {
        self.right
    }

    /// Its bottom edge.
    #[must_use]
    pub const fn bottom(&self) -> Length {
        self.bottom
    }

    /// Its width, never negative.
    #[must_use]
    pub fn width(&self) -> Length {
        self.right - self.left
    }

    /// Its height, never negative.
    #[must_use]
    pub fn height(&self) -> Length {
        self.bottom - self.top
    }

    /// The smallest rectangle around both.
    #[must_use]
    pub fn around(self, other: Self) -> Self {
        Self {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }

    /// The rectangle with this much taken off (or, if negative, added to) each side.
    ///
    /// What would turn inside out shrinks to its middle line instead.
    #[must_use]
    pub fn inset(self, left: Length, top: Length, right: Length, bottom: Length) -> Self {
        let (x0, x1) = (self.left + left, self.right - right);
        let (y0, y1) = (self.top + top, self.bottom - bottom);
        let (mid_x, mid_y) = ((x0 + x1) / 2.0, (y0 + y1) / 2.0);
        Self {
            left: x0.min(mid_x),
            top: y0.min(mid_y),
            right: x1.max(mid_x),
            bottom: y1.max(mid_y),
        }
    }

    /// Whether `other` lies wholly inside, touching allowed.
    #[must_use]
    pub fn contains(&self, other: &Self) -> bool {
        self.left <= other.left
            && self.top <= other.top
            && self.right >= other.right
            && self.bottom >= other.bottom
    }

    /// Whether the two share more than an edge.
    #[must_use]
    pub fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// The four corners, clockwise as seen, from the top left.
    #[must_use]
    pub const fn corners(&self) -> [Point; 4] {
        [
            Point::new(self.left, self.top),
            Point::new(self.right, self.top),
            Point::new(self.right, self.bottom),
            Point::new(self.left, self.bottom),
        ]
    }
}

/// How far a thing is turned on the paper, clockwise as seen.
///
/// Quarter turns are exact: a line turned by 90° is exactly upright.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Turn(Angle);

impl Turn {
    /// Not turned.
    pub const NONE: Self = Self(Angle::ZERO);
    /// Reads downward.
    pub const QUARTER: Self = Self(Angle::deg(90.0));
    /// Upside down.
    pub const HALF: Self = Self(Angle::deg(180.0));
    /// Reads upward.
    pub const THREE_QUARTERS: Self = Self(Angle::deg(270.0));
    /// All the way round.
    pub const FULL: Self = Self(Angle::deg(360.0));

    /// A turn by an angle, clockwise as seen on the paper when positive.
    #[must_use]
    pub const fn clockwise(angle: Angle) -> Self {
        Self(angle)
    }

    /// The angle, clockwise as seen on the paper.
    #[must_use]
    pub const fn angle(self) -> Angle {
        self.0
    }

    /// Sine and cosine of the turn.
    #[must_use]
    pub fn sin_cos(self) -> (f64, f64) {
        let turned = self.0.to_deg() % 360.0;
        let turned = if turned < 0.0 { turned + 360.0 } else { turned };
        if turned == 0.0 || turned == 360.0 {
            (0.0, 1.0)
        } else if turned == 90.0 {
            (1.0, 0.0)
        } else if turned == 180.0 {
            (0.0, -1.0)
        } else if turned == 270.0 {
            (-1.0, 0.0)
        } else {
            let radians = turned.to_radians();
            (math::sin(radians), math::cos(radians))
        }
    }
}

/// A map of the plane that keeps straight lines straight.
///
/// x′ = a·x + c·y + e and y′ = b·x + d·y + f, with e and f in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Affine([f64; 6]);

impl Affine {
    /// The map that changes nothing.
    pub const IDENTITY: Self = Self([1.0, 0.0, 0.0, 1.0, 0.0, 0.0]);

    /// Turns about the origin, then moves the origin to `to`.
    #[must_use]
    pub fn placed(to: Point, turn: Turn) -> Self {
        let (sin, cos) = turn.sin_cos();
        Self([cos, sin, -sin, cos, to.x.to_mm(), to.y.to_mm()])
    }

    /// Stretches by two factors about a centre.
    #[must_use]
    pub(super) fn stretched(across: f64, down: f64, centre: Point) -> Self {
        let (x, y) = (centre.x.to_mm(), centre.y.to_mm());
        Self([across, 0.0, 0.0, down, x - across * x, y - down * y])
    }

    /// First `inner`, then this map.
    #[must_use]
    pub fn after(&self, inner: &Self) -> Self {
        let [a, b, c, d, e, f] = self.0;
        let [p, q, r, s, t, u] = inner.0;
        Self([
            a * p + c * q,
            b * p + d * q,
            a * r + c * s,
            b * r + d * s,
            a * t + c * u + e,
            b * t + d * u + f,
        ])
    }

    /// Where a place goes.
    #[must_use]
    pub fn apply(&self, point: Point) -> Point {
        let [a, b, c, d, e, f] = self.0;
        let (x, y) = (point.x.to_mm(), point.y.to_mm());
        Point::mm(a * x + c * y + e, b * x + d * y + f)
    }

    /// The upright rectangle around where a rectangle goes.
    #[must_use]
    pub fn apply_to_rect(&self, rect: Rect) -> Rect {
        let [p, q, r, s] = rect.corners().map(|corner| self.apply(corner));
        Rect::between(p, q).around(Rect::between(r, s))
    }

    /// The numbers a, b, c, d (plain) and e, f (millimetres), in that order.
    #[must_use]
    pub const fn coefficients(&self) -> [f64; 6] {
        self.0
    }

    /// The mean factor by which it stretches lengths (for the width of lines).
    #[must_use]
    pub fn mean_stretch(&self) -> f64 {
        let [a, b, c, d, ..] = self.0;
        math::sqrt((a * d - b * c).abs())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quarter_turn_takes_right_to_down() {
        let map = Affine::placed(Point::mm(10.0, 20.0), Turn::QUARTER);
        assert_eq!(map.apply(Point::mm(5.0, 0.0)), Point::mm(10.0, 25.0));
    }

    #[test]
    fn the_inner_map_acts_first() {
        let move_right = Affine::placed(Point::mm(100.0, 0.0), Turn::NONE);
        let turn = Affine::placed(Point::ORIGIN, Turn::HALF);
        let there = move_right.after(&turn).apply(Point::mm(1.0, 2.0));
        assert_eq!(there, Point::mm(99.0, -2.0));
    }

    #[test]
    fn a_rectangle_inset_too_far_has_no_size_but_is_not_inside_out() {
        let small = Rect::between(Point::mm(10.0, 10.0), Point::mm(12.0, 30.0));
        let all = Length::mm(5.0);
        let left = small.inset(all, all, all, all);
        assert!(left.left() <= left.right() && left.top() <= left.bottom());
        assert_eq!(left.height(), Length::mm(10.0));
    }
}
