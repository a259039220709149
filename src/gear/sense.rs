//! How a ring turns, which edge is read, and from which side.

/// The way a ring TURNS from infinity to close focus, seen from behind the
/// camera.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// Its top moves to the right.
    Clockwise,
    /// Its top moves to the left.
    CounterClockwise,
}

/// Which edge of a tape meets the witness mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum WitnessEdge {
    /// The edge toward the camera.
    #[default]
    Rear,
    /// The edge toward the front of the lens.
    Front,
}

/// From which side of the camera a tape is read, seen from behind it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Side {
    /// From the camera's left.
    #[default]
    Left,
    /// From the camera's right.
    Right,
}
