//! How a tape lies on the page: which way it grows, which edge is read.
//!
//! Seen from behind the camera let x point right, y up and z forward. A page is
//! read with the tops of its figures toward the reader's left, so on either
//! flank of the ring the page's right is up (+y), and the page's top is the
//! front of the lens (+z) from the camera's left, its rear (−z) from its right.
//! A clockwise ring moves its left flank up and its right flank down; the marks
//! that come to the standing witness lie against that motion.

use crate::gear::{Sense, Side, WitnessEdge};

/// A direction along the tape as it is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::draw) enum Toward {
    Left,
    Right,
}

impl Toward {
    const fn opposite(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

/// A long edge of the tape as it is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::draw) enum Edge {
    Top,
    Bottom,
}

/// How a tape lies on the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::draw) struct Lie {
    /// Where nearer marks are.
    pub(in crate::draw) nearer: Toward,
    /// The edge that meets the witness mark, on which ticks stand.
    pub(in crate::draw) witness: Edge,
}

impl Lie {
    /// Of a ring that turns so, read from that side.
    pub(in crate::draw) const fn of(sense: Sense, side: Side, witness: WitnessEdge) -> Self {
        let surface_moves = match (sense, side) {
            (Sense::Clockwise, Side::Left) | (Sense::CounterClockwise, Side::Right) => {
                Toward::Right
            }
            (Sense::Clockwise, Side::Right) | (Sense::CounterClockwise, Side::Left) => Toward::Left,
        };
        let witness = match (witness, side) {
            (WitnessEdge::Rear, Side::Left) | (WitnessEdge::Front, Side::Right) => Edge::Bottom,
            (WitnessEdge::Rear, Side::Right) | (WitnessEdge::Front, Side::Left) => Edge::Top,
        };
        Self {
            nearer: surface_moves.opposite(),
            witness,
        }
    }

    /// The way the surface moves when the ring is turned toward close focus.
    pub(in crate::draw) const fn turn(self) -> Toward {
        self.nearer.opposite()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numerics::math;

    const RADIUS: f64 = 40.0;
    const SENSES: [Sense; 2] = [Sense::Clockwise, Sense::CounterClockwise];
    const SIDES: [Side; 2] = [Side::Left, Side::Right];

    /// Where a point of the page comes to lie on the ring, (x, y, z) with x
    /// right, y up, z forward: the page's origin on the flank that is read, the
    /// page's right going up it.
    fn on_ring(side: Side, right: f64, up: f64) -> (f64, f64, f64) {
        let (sin, cos) = (math::sin(right / RADIUS), math::cos(right / RADIUS));
        match side {
            Side::Left => (-RADIUS * cos, RADIUS * sin, up),
            Side::Right => (RADIUS * cos, RADIUS * sin, -up),
        }
    }

    /// The ring turned by an arc: clockwise its top goes right.
    fn turned(sense: Sense, arc: f64, (x, y, z): (f64, f64, f64)) -> (f64, f64, f64) {
        let angle = match sense {
            Sense::Clockwise => arc / RADIUS,
            Sense::CounterClockwise => -arc / RADIUS,
        };
        let (sin, cos) = (math::sin(angle), math::cos(angle));
        (x * cos + y * sin, y * cos - x * sin, z)
    }

    #[test]
    fn turned_toward_close_focus_the_nearer_mark_comes_to_the_witness() {
        for sense in SENSES {
            // The top of a clockwise ring goes right: the sense's definition.
            let top = turned(sense, 1.0, (0.0, RADIUS, 0.0));
            assert_eq!(top.0 > 0.0, sense == Sense::Clockwise);
            for side in SIDES {
                let lie = Lie::of(sense, side, WitnessEdge::Rear);
                let sign = match lie.nearer {
                    Toward::Right => 1.0,
                    Toward::Left => -1.0,
                };
                // Infinity stands at the witness, a nearer mark 30 mm along.
                let nearer = turned(sense, 30.0, on_ring(side, sign * 30.0, 0.0));
                let witness = on_ring(side, 0.0, 0.0);
                assert!((nearer.0 - witness.0).abs() < 1e-9, "{sense:?} {side:?}");
                assert!((nearer.1 - witness.1).abs() < 1e-9, "{sense:?} {side:?}");
            }
        }
    }

    #[test]
    fn the_arrow_points_the_way_the_surface_goes() {
        for sense in SENSES {
            for side in SIDES {
                let lie = Lie::of(sense, side, WitnessEdge::Rear);
                let (before, after) = (
                    on_ring(side, 0.0, 0.0),
                    turned(sense, 1.0, on_ring(side, 0.0, 0.0)),
                );
                // The page's right is up the flank.
                assert_eq!(after.1 > before.1, lie.turn() == Toward::Right);
                assert_ne!(lie.turn(), lie.nearer);
            }
        }
    }

    #[test]
    fn the_ticks_stand_on_the_edge_that_meets_the_witness() {
        for side in SIDES {
            for witness in [WitnessEdge::Rear, WitnessEdge::Front] {
                let lie = Lie::of(Sense::Clockwise, side, witness);
                let (_, _, top) = on_ring(side, 0.0, 1.0);
                let top_is_front = top > 0.0;
                let wants_front = witness == WitnessEdge::Front;
                let expected = if top_is_front == wants_front {
                    Edge::Top
                } else {
                    Edge::Bottom
                };
                assert_eq!(lie.witness, expected, "{side:?} {witness:?}");
            }
        }
    }
}
