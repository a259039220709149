//! What else would hold two subjects: the camera farther back, a shorter lens.

use super::confusion::Circle;
use super::conjugate::{Magnification, OutOfReach};
use super::focus::Focus;
use super::focused::Focused;
use super::hold::{Split, split};
use super::lens::AnyLens;
use super::unit_focus::{Pupil, UnitFocus};
use crate::formula::{How, Record, Told, formula};
use crate::numerics::root_between;
use crate::units::{FNumber, FocusDistance, Length, Reach};

formula! {
    /// How far the camera goes back.
    camera_back(D_moved: mm, D_near: mm) -> back: mm = D_moved - D_near;
    source "the whole scene is then farther away by as much: searched for until the stop just holds it"
}

formula! {
    /// How much nearer the camera goes.
    camera_nearer(D_near: mm, D_moved: mm) -> closer: mm = D_near - D_moved;
    source "the subjects stay: the near one, now at the near limit, is nearer by the camera's whole way"
}

formula! {
    /// The least depth at a magnification, that of the longest lenses.
    least_depth(N: f_number, c: mm, m: ratio, p: ratio) -> least: mm
        = 2.0 * N * c * (1.0 / (m * m) + 1.0 / (m * p));
    source "total = 2 N c (1/m^2 + 1/(m p)) / (1 - k^2) for k to 0"
}

formula! {
    /// How far apart near and far are.
    spacing(D_far: mm, D_near: mm) -> total: mm = D_far - D_near;
    source "the subjects keep their distance from one another"
}

formula! {
    /// The share k at which the depth is what is wanted.
    share_for_depth(least: mm, total: mm) -> k: ratio = sqrt(1.0 - least / total);
    source "total = least / (1 - k^2), solved for k"
}

formula! {
    /// The focal length that blurs to the share k at a magnification.
    focal_length_for_share(c: mm, N: f_number, m: ratio, k: ratio) -> f: mm = c * N / (m * k);
    source "k = c N/(m f), solved for f; from where the camera stands, k and m are those of this f"
}

/// Subjects the camera looks at, the nearer and the farther.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pair {
    /// The nearer, from the image plane.
    pub near: FocusDistance,
    /// The farther.
    pub far: FocusDistance,
}

impl Pair {
    /// Both farther away by `back`.
    #[must_use]
    pub fn moved(self, back: Length) -> Self {
        let moved = |at: FocusDistance| FocusDistance::computed(at.reach().map(|d| d + back));
        Self {
            near: moved(self.near),
            far: moved(self.far),
        }
    }
}

/// The camera moved, or another lens on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moved {
    /// How much farther from the subjects the camera stands; negative: nearer.
    pub back: Length,
    /// The focal length of the lens.
    pub focal_length: Length,
    /// The subjects, from the image plane.
    pub pair: Pair,
    /// The focus that splits them.
    pub focus: FocusDistance,
}

/// How far the camera must go back for a stop to hold a pair that it does not
/// hold now.
///
/// # Errors
/// [`OutOfReach`] when the near one is nearer than the lens can focus.
pub fn held_farther_back(
    lens: &AnyLens,
    pair: Pair,
    n: FNumber,
    circle: Circle,
    rec: &mut impl Record,
) -> Result<Option<Moved>, OutOfReach> {
    let Reach::At(near) = pair.near.reach() else {
        return Ok(None);
    };
    let excess = |back: f64| {
        let moved = pair.moved(Length::mm(back));
        split(lens, moved.near, moved.far, circle, &mut ())
            .map_or(f64::NAN, |held| held.f_number.value() / n.value() - 1.0)
    };
    let (mut enough, mut left) = (near.to_mm(), 60);
    while excess(enough) > 0.0 && left > 0 {
        enough *= 2.0;
        left -= 1;
    }
    let Some(back) = root_between(excess, 0.0, enough) else {
        return Ok(None);
    };
    let how = How::Solved {
        bracket: (0.0, enough),
        residual: excess(back),
    };
    let moved = near.to_mm() + back;
    let back = camera_back(moved, near.to_mm(), &mut Told { rec, how });
    let pair = pair.moved(Length::mm(back));
    let held = split(lens, pair.near, pair.far, circle, rec)?;
    Ok(Some(Moved {
        back: Length::mm(back),
        focal_length: lens.focal_length(&mut ()),
        pair,
        focus: held.focus(),
    }))
}

/// The longest lens of the same hiatus and pupils that holds a pair from where
/// the camera stands, where the present one does not.
///
/// # Errors
/// [`OutOfReach`] when the near one is nearer than the lens can focus.
pub fn held_by_a_shorter_lens(
    lens: UnitFocus,
    pair: Pair,
    n: FNumber,
    circle: Circle,
    rec: &mut impl Record,
) -> Result<Option<Moved>, OutOfReach> {
    let f = lens.focal_length().to_mm();
    let held_by = |f: f64| {
        split(
            &with_focal_length(lens, f),
            pair.near,
            pair.far,
            circle,
            &mut (),
        )
    };
    let excess =
        |f: f64| held_by(f).map_or(f64::NAN, |held| held.f_number.value() / n.value() - 1.0);
    let (mut short, mut left) = (f / 2.0, 60);
    while excess(short) > 0.0 && left > 0 {
        short /= 2.0;
        left -= 1;
    }
    let Some(found) = root_between(excess, short, f) else {
        return Ok(None);
    };
    let how = How::Solved {
        bracket: (short, f),
        residual: excess(found),
    };
    let there = held_by(found)?;
    let (k, m, c) = (
        there.share(),
        there.magnification().value(),
        circle.diameter().to_mm(),
    );
    let f = focal_length_for_share(c, n.value(), m, k, &mut Told { rec, how });
    let lens = with_focal_length(lens, f);
    let held = split(&lens, pair.near, pair.far, circle, rec)?;
    Ok(Some(Moved {
        back: Length::ZERO,
        focal_length: lens.focal_length(),
        pair,
        focus: held.focus(),
    }))
}

/// The longest lens of the same hiatus and pupils that holds a pair when the
/// camera moves in so far that the focused plane fills the frame as before.
#[must_use]
pub fn held_at_the_same_framing(
    lens: UnitFocus,
    pair: Pair,
    now: &Split,
    n: FNumber,
    circle: Circle,
    rec: &mut impl Record,
) -> Option<Moved> {
    let (c, m) = (circle.diameter().to_mm(), now.magnification().value());
    let k = match (pair.near.reach(), pair.far.reach()) {
        (Reach::At(near), Reach::At(far)) => {
            let least = least_depth(n.value(), c, m, lens.pupil_magnification().value(), rec);
            let total = spacing(far.to_mm(), near.to_mm(), rec);
            if least >= total {
                return None;
            }
            share_for_depth(least, total, rec)
        }
        _ => 1.0,
    };
    let f = focal_length_for_share(c, n.value(), m, k, rec);
    let lens = with_focal_length(lens, f);
    let set: Focused = lens.set(Magnification::computed(m), n, rec);
    let limits = set.limits(circle, rec);
    // The camera's way is the subjects', not the focus's: the split stands at
    // another share of the way between them than it did.
    let (Reach::At(before), Reach::At(after)) = (pair.near.reach(), limits.near.reach()) else {
        return None;
    };
    // So short a lens of a large negative hiatus would see them behind the image plane.
    if !after.is_positive() {
        return None;
    }
    let closer = camera_nearer(before.to_mm(), after.to_mm(), rec);
    Some(Moved {
        back: Length::mm(-closer),
        focal_length: lens.focal_length(),
        pair: Pair {
            near: limits.near,
            far: limits.far,
        },
        focus: set.focus(),
    })
}

fn with_focal_length(lens: UnitFocus, f: f64) -> UnitFocus {
    let (hiatus, ratio) = (Pupil::Hiatus(lens.hiatus()), lens.pupil_magnification());
    UnitFocus::new(Length::mm(f), hiatus, ratio, &mut ())
}
