//! The path a subject goes at constant speed, and where it is on the way.
//!
//! On a line that passes, and on a circle, places are counted along the path from its
//! closest point, negative before it.

use super::along_axis::{coming_nearer, going_away, receding, way_along_axis};
use super::{circling, passing};
use crate::formula::{Record, formula};
use crate::units::{FocusDistance, Length, Reach};

formula! {
    /// A place before the closest point.
    before_closest(side: mm) -> x: mm = -side;
    source "places are counted from the closest point, the way the subject goes"
}

formula! {
    /// The way from one place to another.
    way_between(x_begin: mm, x_end: mm) -> way: mm = x_end - x_begin;
    source "along the path"
}

formula! {
    /// The way to the closest point.
    way_to_closest(x_begin: mm) -> way: mm = -x_begin;
    source "places are counted from the closest point"
}

formula! {
    /// The place at which a subject is that has gone some way.
    place_on_way(x_begin: mm, way: mm) -> x: mm = x_begin + way;
    source "along the path"
}

/// The kinds of path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PathKind {
    /// Along the axis, toward the camera or away.
    Axis,
    /// Past the camera on a straight line.
    Passing {
        /// The closest distance of the line to the image-plane mark.
        closest: Length,
        /// The distance of the place of the line at which the frame stands aimed, on
        /// the side where the subject begins; `None` where the camera pans.
        frame_at: Option<Length>,
    },
    /// Round on a circle, the camera outside of it.
    Circling {
        /// The distance of its centre.
        centre: Length,
        /// Its radius.
        radius: Length,
        /// Whether the frame stands aimed at the centre, or the camera pans.
        on_centre: bool,
    },
}

/// The path of a subject, from one taped distance to another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SubjectPath {
    kind: PathKind,
    from: FocusDistance,
    to: FocusDistance,
    passes: bool,
}

/// An end of a path.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PathEnd {
    /// Where it begins.
    From,
    /// Where it ends.
    To,
}

/// Why there is no such path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PathFault {
    /// A moving subject is never at infinity.
    Infinite(PathEnd),
    /// An end is nowhere on it.
    OffPath {
        /// Which.
        end: PathEnd,
        /// The nearest distance on the path.
        nearest: Length,
        /// The farthest; `None` where there is none.
        farthest: Option<Length>,
    },
    /// The frame is aimed nearer than the line comes.
    FrameInsideClosest {
        /// The closest distance of the line.
        closest: Length,
    },
    /// The camera would stand on the circle or within it.
    CircleRoundCamera {
        /// The distance of its centre.
        centre: Length,
    },
    /// It begins where it ends.
    NoWay,
}

/// A subject on its way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// The way gone.
    pub way: Length,
    /// Where the lens is to be focused.
    pub focus: FocusDistance,
    /// Straight from the image-plane mark to the subject.
    pub taped: Length,
    /// By how much the focus distance shrinks in one second; below zero it grows.
    pub approach: Length,
    /// How far beside the axis of a frame that stands still, positive where the
    /// subject has passed it.
    pub aside: Option<Length>,
}

/// A subject at a place, in millimetres.
pub(super) struct Seen {
    pub(super) focus: f64,
    pub(super) taped: f64,
    pub(super) approach: f64,
    pub(super) aside: Option<f64>,
}

/// What is off the path by the last digits of a conversion stands at its end.
const SLACK: f64 = 1e-9;

impl SubjectPath {
    /// Toward the camera along the axis, or away from it.
    #[must_use]
    pub const fn along_axis(from: FocusDistance, to: FocusDistance) -> Self {
        Self {
            kind: PathKind::Axis,
            from,
            to,
            passes: false,
        }
    }

    /// Past the camera: beyond the closest point, or not as far as that.
    ///
    /// # Errors
    /// [`PathFault`] where an end lies nowhere on the line, or the frame is aimed
    /// beside it.
    pub fn passing(
        closest: Length,
        frame_at: Option<Length>,
        (from, to): (FocusDistance, FocusDistance),
        passes: bool,
    ) -> Result<Self, PathFault> {
        let frame_at = frame_at
            .map(|at| held_within(at, closest, None))
            .map(|at| at.ok_or(PathFault::FrameInsideClosest { closest }))
            .transpose()?;
        let kind = PathKind::Passing { closest, frame_at };
        Self::between(kind, (from, to), (closest, None), passes)
    }

    /// Round on a circle: over its nearest point, or not as far as that.
    ///
    /// # Errors
    /// [`PathFault`] where an end lies nowhere on the circle, or the camera in it.
    pub fn circling(
        centre: Length,
        radius: Length,
        on_centre: bool,
        (from, to): (FocusDistance, FocusDistance),
        passes: bool,
    ) -> Result<Self, PathFault> {
        if radius >= centre {
            return Err(PathFault::CircleRoundCamera { centre });
        }
        let kind = PathKind::Circling {
            centre,
            radius,
            on_centre,
        };
        let reach = (centre - radius, Some(centre + radius));
        Self::between(kind, (from, to), reach, passes)
    }

    fn between(
        kind: PathKind,
        (from, to): (FocusDistance, FocusDistance),
        (nearest, farthest): (Length, Option<Length>),
        passes: bool,
    ) -> Result<Self, PathFault> {
        let on_path = |end: PathEnd, at: FocusDistance| {
            let at = at.reach().finite().ok_or(PathFault::Infinite(end))?;
            let held = held_within(at, nearest, farthest).ok_or(PathFault::OffPath {
                end,
                nearest,
                farthest,
            })?;
            Ok(FocusDistance::computed(Reach::At(held)))
        };
        let path = Self {
            kind,
            from: on_path(PathEnd::From, from)?,
            to: on_path(PathEnd::To, to)?,
            passes,
        };
        let length = path.length(&mut ());
        match length.filter(|length| length.is_positive()) {
            Some(_) => Ok(path),
            None => Err(PathFault::NoWay),
        }
    }

    /// Its kind.
    #[must_use]
    pub const fn kind(&self) -> PathKind {
        self.kind
    }

    /// The taped distances at which it begins and ends.
    #[must_use]
    pub const fn ends(&self) -> (FocusDistance, FocusDistance) {
        (self.from, self.to)
    }

    /// Whether it goes on beyond its closest point.
    #[must_use]
    pub const fn passes(&self) -> bool {
        self.passes
    }

    /// Whether the frame stands still and the subject moves in it.
    #[must_use]
    pub const fn frame_stands(&self) -> bool {
        match self.kind {
            PathKind::Axis => false,
            PathKind::Passing { frame_at, .. } => frame_at.is_some(),
            PathKind::Circling { on_centre, .. } => on_centre,
        }
    }

    /// How long it is; `None` where an end is infinity.
    pub fn length(&self, rec: &mut impl Record) -> Option<Length> {
        if self.kind == PathKind::Axis {
            let (from, to) = (self.from.reach().finite()?, self.to.reach().finite()?);
            return Some(Length::mm(way_along_axis(from.to_mm(), to.to_mm(), rec)));
        }
        let (begin, end) = self.places(rec);
        Some(Length::mm(way_between(begin, end, rec)))
    }

    /// The way gone at the closest point, where the subject comes to one.
    pub fn way_to_closest(&self, rec: &mut impl Record) -> Option<Length> {
        if self.kind == PathKind::Axis {
            return None;
        }
        let (begin, end) = self.places(&mut ());
        (begin <= 0.0 && end >= 0.0).then(|| Length::mm(way_to_closest(begin, rec) + 0.0))
    }

    /// The way gone where the focus turns round: at the closest point, unless the
    /// frame stands on a line, where focus goes one way all along.
    pub fn way_to_turn_round(&self, rec: &mut impl Record) -> Option<Length> {
        let stands_on_a_line = matches!(self.kind, PathKind::Passing { .. }) && self.frame_stands();
        let length = self.length(&mut ())?;
        let inner = |way: &Length| way.is_positive() && *way < length;
        let way = (!stands_on_a_line).then(|| self.way_to_closest(rec));
        way.flatten().filter(inner)
    }

    /// The subject when it has gone some way, at a speed in millimetres a second.
    pub fn spot(&self, way: Length, each_second: Length, rec: &mut impl Record) -> Option<Spot> {
        let v = each_second.to_mm();
        let seen = match self.kind {
            PathKind::Axis => {
                let from = self.from.reach().finite()?.to_mm();
                let nearer = !self.from.is_nearer_than(self.to);
                let (focus, approach) = if nearer {
                    (coming_nearer(from, way.to_mm(), rec), v)
                } else {
                    (going_away(from, way.to_mm(), rec), receding(v, rec))
                };
                Seen {
                    focus,
                    taped: focus,
                    approach,
                    aside: None,
                }
            }
            PathKind::Passing { closest, frame_at } => {
                let x = place_on_way(self.places(rec).0, way.to_mm(), rec);
                match frame_at {
                    None => passing::panned(closest.to_mm(), x, v, rec),
                    Some(at) => {
                        let aim = (self.framed_place(at, rec), at.to_mm());
                        passing::framed(closest.to_mm(), aim, x, v, rec)
                    }
                }
            }
            PathKind::Circling {
                centre,
                radius,
                on_centre,
            } => {
                let x = place_on_way(self.places(rec).0, way.to_mm(), rec);
                let circle = (centre.to_mm(), radius.to_mm());
                circling::seen(circle, on_centre, x, v, rec)
            }
        };
        Some(Spot {
            way,
            focus: FocusDistance::computed(Reach::At(Length::mm(seen.focus))),
            taped: Length::mm(seen.taped),
            // Of −0 it makes a 0.
            approach: Length::mm(seen.approach + 0.0),
            aside: seen.aside.map(|aside| Length::mm(aside + 0.0)),
        })
    }

    /// The places of both ends; on the axis there is none to count from.
    fn places(&self, rec: &mut impl Record) -> (f64, f64) {
        let mut side = |taped: FocusDistance| {
            let taped = taped.reach().finite().map_or(0.0, Length::to_mm);
            match self.kind {
                PathKind::Axis => 0.0,
                PathKind::Passing { closest, .. } => {
                    passing::beside_closest(taped, closest.to_mm(), rec)
                }
                PathKind::Circling { centre, radius, .. } => {
                    circling::arc_to(taped, (centre.to_mm(), radius.to_mm()), rec)
                }
            }
        };
        let (begin, end) = (side(self.from), side(self.to));
        if self.begins_beyond() {
            return (begin, end);
        }
        let begin = before_closest(begin, rec);
        if self.passes {
            (begin, end)
        } else {
            (begin, before_closest(end, rec))
        }
    }

    /// Whether the subject goes away all along, beginning at the closest point or
    /// beyond it.
    fn begins_beyond(&self) -> bool {
        !self.passes && self.from.is_nearer_than(self.to)
    }

    /// The place of the line at which the frame is aimed.
    fn framed_place(&self, at: Length, rec: &mut impl Record) -> f64 {
        let PathKind::Passing { closest, .. } = self.kind else {
            return 0.0;
        };
        let side = passing::beside_closest(at.to_mm(), closest.to_mm(), rec);
        let begins_closest = self.from.reach() == Reach::At(closest);
        if self.begins_beyond() || begins_closest {
            side
        } else {
            before_closest(side, rec)
        }
    }
}

/// A distance held between two others it may miss by the last digits; `None`
/// where it misses them by more.
fn held_within(at: Length, nearest: Length, farthest: Option<Length>) -> Option<Length> {
    if at < nearest * (1.0 - SLACK) || farthest.is_some_and(|far| at > far * (1.0 + SLACK)) {
        return None;
    }
    Some(farthest.map_or(at, |far| at.min(far)).max(nearest))
}
