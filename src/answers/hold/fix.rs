//! What would hold subjects that the stop does not hold.

use super::{Marked, Marks};
use crate::answers::Unanswerable;
use crate::formula::{Record, formula};
use crate::numerics::math::log2;
use crate::optics::{
    AnyLens, Focused, Moved, Pair, Split, focused_for_far, focused_for_near,
    held_at_the_same_framing, held_by_a_shorter_lens, held_farther_back,
};
use crate::units::{FNumber, FocusDistance, Length, Reach, TNumber};

formula! {
    /// How many times the light a darker stop needs.
    light_times(N_marked: f_number, N: f_number) -> times: ratio = N_marked * N_marked / (N * N);
    source "light goes with the pupil's area"
}

/// Which of two subjects moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(
    feature = "serde",
    derive(serde::Serialize),
    serde(rename_all = "snake_case")
)]
pub enum Moves {
    /// The farther one, toward the camera.
    Far,
    /// The nearer one, away from it.
    Near,
}

/// Where the camera stands with another lens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(
    feature = "serde",
    derive(serde::Serialize),
    serde(rename_all = "snake_case")
)]
pub enum Framing {
    /// Where it stands now.
    FromHere,
    /// Nearer, so that the focused plane fills the frame as before.
    Same,
}

/// One thing that would do, alone.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(
    feature = "serde",
    derive(serde::Serialize),
    serde(tag = "kind", rename_all = "snake_case")
)]
pub enum Fix {
    /// A darker stop.
    Stop {
        /// The f-number that just holds.
        f_number: FNumber,
        /// The T-number that just holds, where known.
        t_number: Option<TNumber>,
        /// The next marks that hold.
        #[cfg_attr(feature = "serde", serde(flatten))]
        marked: Marked,
        /// How many stops more light the next third needs.
        stops: f64,
        /// How many times the light that is.
        times: f64,
    },
    /// The subjects closer together.
    Closer {
        /// Which one moves.
        moves: Moves,
        /// By how much.
        #[cfg_attr(feature = "serde", serde(rename = "by_mm"))]
        by: Reach<Length>,
        /// Where the near one then is.
        #[cfg_attr(feature = "serde", serde(rename = "near_mm"))]
        near: FocusDistance,
        /// Where the far one then is.
        #[cfg_attr(feature = "serde", serde(rename = "far_mm"))]
        far: FocusDistance,
        /// The split then.
        #[cfg_attr(feature = "serde", serde(rename = "focus_mm"))]
        focus: FocusDistance,
    },
    /// The camera farther back.
    CameraBack {
        /// By how much.
        #[cfg_attr(feature = "serde", serde(rename = "by_mm"))]
        by: Length,
        /// Where the near one then is.
        #[cfg_attr(feature = "serde", serde(rename = "near_mm"))]
        near: FocusDistance,
        /// Where the far one then is.
        #[cfg_attr(feature = "serde", serde(rename = "far_mm"))]
        far: FocusDistance,
        /// The split then.
        #[cfg_attr(feature = "serde", serde(rename = "focus_mm"))]
        focus: FocusDistance,
    },
    /// A shorter lens of the same hiatus and pupil magnification.
    FocalLength {
        /// From where.
        framing: Framing,
        /// The longest that holds.
        #[cfg_attr(feature = "serde", serde(rename = "focal_length_mm"))]
        focal_length: Length,
        /// How much nearer the camera goes.
        #[cfg_attr(feature = "serde", serde(rename = "closer_mm"))]
        closer: Length,
        /// Where the near one then is.
        #[cfg_attr(feature = "serde", serde(rename = "near_mm"))]
        near: FocusDistance,
        /// Where the far one then is.
        #[cfg_attr(feature = "serde", serde(rename = "far_mm"))]
        far: FocusDistance,
        /// The split then.
        #[cfg_attr(feature = "serde", serde(rename = "focus_mm"))]
        focus: FocusDistance,
    },
    /// A coarser circle.
    Circle {
        /// The circle at which the stop holds.
        #[cfg_attr(feature = "serde", serde(rename = "circle_mm"))]
        circle: Length,
        /// How many times the present one.
        times: f64,
    },
}

/// Everything that would do.
pub(super) fn fixes(
    lens: &AnyLens,
    now: &Split,
    n: FNumber,
    marks: &Marks<'_>,
    pair: Pair,
    rec: &mut impl Record,
) -> Result<Vec<Fix>, Unanswerable> {
    let circle = marks.wanted.circle.circle;
    let mut all = vec![stop(lens, now, n, marks, rec)];
    if let Ok(set) = focused_for_near(lens, pair.near, n, circle, rec) {
        let far = set.limits(circle, rec).far;
        all.push(closer(Moves::Far, pair.near, far, (pair.far, far), &set));
    }
    if let Ok(set) = focused_for_far(lens, pair.far, n, circle, rec) {
        let near = set.limits(circle, rec).near;
        all.push(closer(Moves::Near, near, pair.far, (near, pair.near), &set));
    }
    if let Some(moved) = held_farther_back(lens, pair, n, circle, rec)? {
        all.push(Fix::CameraBack {
            by: moved.back,
            near: moved.pair.near,
            far: moved.pair.far,
            focus: moved.focus,
        });
    }
    // Another focal length is thought of for a plain lens alone.
    if let Some(lens) = lens.unit() {
        if let Some(moved) = held_by_a_shorter_lens(lens, pair, n, circle, rec)? {
            all.push(shorter(Framing::FromHere, &moved));
        }
        if let Some(moved) = held_at_the_same_framing(lens, pair, now, n, circle, rec) {
            all.push(shorter(Framing::Same, &moved));
        }
    }
    let coarser = now.circle_at(n, rec);
    all.push(Fix::Circle {
        circle: coarser,
        times: coarser.to_mm() / circle.diameter().to_mm(),
    });
    Ok(all)
}

/// The stop that would do.
pub(super) fn stop(
    lens: &AnyLens,
    now: &Split,
    n: FNumber,
    marks: &Marks<'_>,
    rec: &mut impl Record,
) -> Fix {
    let marked = marks.that_hold(now.f_number);
    let whole = now.f_number.times(lens.light_factor());
    let f_marked = marks.f_number(marked.third, rec);
    Fix::Stop {
        f_number: whole,
        t_number: marks.t_number(whole, &mut ()),
        marked,
        stops: 2.0 * log2(f_marked.value() / n.value()),
        times: light_times(f_marked.value(), n.value(), rec),
    }
}

fn closer(
    moves: Moves,
    near: FocusDistance,
    far: FocusDistance,
    (from, to): (FocusDistance, FocusDistance),
    set: &Focused,
) -> Fix {
    let by = match (from.reach(), to.reach()) {
        (Reach::At(from), Reach::At(to)) => Reach::At(from - to),
        _ => Reach::Infinity,
    };
    Fix::Closer {
        moves,
        by,
        near,
        far,
        focus: set.focus(),
    }
}

fn shorter(framing: Framing, moved: &Moved) -> Fix {
    Fix::FocalLength {
        framing,
        focal_length: moved.focal_length,
        closer: Length::ZERO - moved.back,
        near: moved.pair.near,
        far: moved.pair.far,
        focus: moved.focus,
    }
}
