//! Marks found by eye and engraved ones, blended.
//!
//! Marks found by eye are the truth and stay where they are. Where there are
//! none, the engraved scale knows the shape of the law, and its marks help once
//! they are moved to where the eye marks say the scale really stands: each by
//! the difference between eye and engraving there. What the eye marks alone
//! say at such a place, and what the moved mark says, are weighed by what
//! either may be off.

use super::fit::square;
use super::knot::{Knot, odd, told};
use crate::numerics::Pchip;
use crate::numerics::math::sqrt;
use crate::optics::cubic;

/// The fewest engraved marks that tell a shape.
const FEWEST_ENGRAVED: usize = 3;
/// An engraved mark nearer to one found by eye than this share of the scale
/// adds nothing.
const BESIDE: f64 = 0.02;
/// With fewer marks found by eye than this, they do not tell the shape between
/// them.
const TELL_A_SHAPE: usize = 5;

/// The engraved marks, by their number, that help marks found by eye, and where
/// they stand then. Both lists run toward close focus.
pub(super) fn helping(eye: &[Knot], engraved: &[Knot]) -> Vec<(usize, Knot)> {
    let (Some(first), Some(last)) = (eye.first(), eye.last()) else {
        return Vec::new();
    };
    let stranger = odd(engraved).map(|odd| odd.at);
    let numbers: Vec<usize> = (0..engraved.len())
        .filter(|at| Some(*at) != stranger)
        .collect();
    let sound: Vec<Knot> = numbers.iter().map(|&at| engraved[at]).collect();
    if sound.len() < FEWEST_ENGRAVED {
        return Vec::new();
    }
    let Some(moved) = Moved::of(eye, &sound) else {
        return Vec::new();
    };
    let whole = last.place - first.place;
    let beside = |knot: &Knot| {
        let near = |other: &Knot| (other.place - knot.place).abs() < BESIDE * whole;
        eye.iter().any(near)
    };
    let mut out: Vec<(usize, Knot)> = Vec::new();
    for (&number, knot) in numbers.iter().zip(&sound) {
        let Some(moved) = moved.knot(knot) else {
            continue;
        };
        let knot = weighed(eye, moved);
        let before = eye.iter().rev().find(|other| other.m < knot.m);
        let after = eye.iter().find(|other| other.m > knot.m);
        let goes_on = before.is_none_or(|before| before.place < knot.place)
            && after.is_none_or(|after| knot.place < after.place)
            && out.last().is_none_or(|(_, last)| last.place < knot.place);
        if goes_on && !beside(&knot) && !eye.iter().any(|other| other.m == knot.m) {
            out.push((number, knot));
        }
    }
    out
}

/// How far the engraved scale really stands off, along it.
struct Moved {
    by: Pchip<f64>,
    ends: (f64, f64),
    variances: Vec<(f64, f64)>,
}

impl Moved {
    fn of(eye: &[Knot], engraved: &[Knot]) -> Option<Self> {
        let by: Vec<(f64, f64, f64)> = eye
            .iter()
            .filter_map(|knot| {
                let (place, sd) = told(engraved, knot.m)?;
                Some((knot.m, knot.place - place, square(sd) + square(knot.sd)))
            })
            .collect();
        let of = |pick: fn(&(f64, f64, f64)) -> f64| by.iter().map(pick).collect::<Vec<_>>();
        Some(Self {
            by: Pchip::new(of(|by| by.0), of(|by| by.1))?,
            ends: (by.first()?.0, by.last()?.0),
            variances: by.iter().map(|by| (by.0, by.2)).collect(),
        })
    }

    /// An engraved mark where it really stands; beyond the marks found by eye
    /// it stands off as the last of them.
    fn knot(&self, engraved: &Knot) -> Option<Knot> {
        let at = engraved.m.max(self.ends.0).min(self.ends.1);
        let after = self.variances.partition_point(|(m, _)| *m < at);
        let (before, after) = (
            self.variances.get(after.saturating_sub(1))?,
            self.variances.get(after.min(self.variances.len() - 1))?,
        );
        let part = if after.0 > before.0 {
            (at - before.0) / (after.0 - before.0)
        } else {
            0.0
        };
        let variance = square(1.0 - part) * before.1 + square(part) * after.1;
        Some(Knot {
            m: engraved.m,
            place: engraved.place + cubic::in_deg::at(&self.by, at, &mut ()),
            sd: sqrt(square(engraved.sd) + variance),
        })
    }
}

/// A moved engraved mark, weighed against what the marks found by eye alone say
/// there.
fn weighed(eye: &[Knot], engraved: Knot) -> Knot {
    let between = eye.first().is_some_and(|first| engraved.m > first.m)
        && eye.last().is_some_and(|last| engraved.m < last.m);
    if !between || eye.len() < TELL_A_SHAPE {
        return engraved;
    }
    let Some((place, sd)) = told(eye, engraved.m) else {
        return engraved;
    };
    let variance = square(sd) + square(shape_error(eye, engraved.m));
    let (by_eye, by_scale) = (1.0 / variance, 1.0 / square(engraved.sd));
    Knot {
        m: engraved.m,
        place: (by_eye * place + by_scale * engraved.place) / (by_eye + by_scale),
        sd: sqrt(1.0 / (by_eye + by_scale)),
    }
}

/// How far the law through the marks found by eye may be off between two of
/// them, as leaving either out shows: that doubles the gap, and in half the gap
/// a smooth curve errs a quarter as much or less.
fn shape_error(eye: &[Knot], m: f64) -> f64 {
    let after = eye.partition_point(|knot| knot.m < m);
    let inner = [after.saturating_sub(1), after]
        .into_iter()
        .filter(|&at| at > 0 && at + 1 < eye.len());
    let missed = inner.filter_map(|at| {
        let mut others = eye.to_vec();
        let knot = others.remove(at);
        Some((told(&others, knot.m)?.0 - knot.place).abs())
    });
    missed.fold(0.0, f64::max) / 4.0
}

#[cfg(test)]
mod tests {
    use super::{Knot, helping};

    /// A cam: turn against magnification, steeper at infinity.
    fn cam(m: f64) -> f64 {
        let u = m / 0.1;
        300.0 * (u + 0.4 * u * (1.0 - u))
    }

    fn knot(m: f64, off: f64, sd: f64) -> Knot {
        Knot {
            m,
            place: cam(m) + off,
            sd,
        }
    }

    #[test]
    fn the_engraved_scale_fills_between_marks_found_by_eye() {
        // All of the scale stands 2° off; three marks found by eye say so.
        let eye = [0.0, 0.04, 0.1].map(|m| knot(m, -2.0, 0.3));
        let engraved: Vec<Knot> = (0..=10)
            .map(|i| knot(f64::from(i) / 100.0, 0.0, 0.1))
            .collect();
        let help = helping(&eye, &engraved);
        assert_eq!(help.len(), 8, "all but those beside a mark found by eye");
        for (number, knot) in help {
            let truth = cam(engraved[number].m) - 2.0;
            assert!(
                (knot.place - truth).abs() < 1e-9,
                "{} against {truth}",
                knot.place
            );
            assert!(knot.sd < 0.4);
        }
    }

    #[test]
    fn many_marks_found_by_eye_need_little_help() {
        let eye: Vec<Knot> = (0..=10)
            .map(|i| knot(f64::from(i) / 100.0, 0.0, 0.05))
            .collect();
        // Engraved half-way between, and 3° wrong in places.
        let engraved: Vec<Knot> = (0..10)
            .map(|i| {
                knot(
                    (f64::from(i) + 0.5) / 100.0,
                    if i % 2 == 0 { 3.0 } else { -3.0 },
                    3.0,
                )
            })
            .collect();
        for (number, knot) in helping(&eye, &engraved) {
            assert!(
                (knot.place - cam(engraved[number].m)).abs() < 0.5,
                "{knot:?}"
            );
        }
    }

    #[test]
    fn two_engraved_marks_are_to_line_up_on_and_tell_no_shape() {
        let eye = [0.0, 0.04, 0.1].map(|m| knot(m, 0.0, 0.3));
        assert_eq!(helping(&eye, &[0.02, 0.06].map(|m| knot(m, 0.0, 0.1))), []);
    }
}
