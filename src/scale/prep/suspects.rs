//! Misreadings: named, set aside, and the rest fitted again.

use super::limits::SAME_DISTANCE;
use crate::scale::errors::STRANGE;
use crate::scale::fit::{Fit, LensReading};
use crate::units::{FocusDistance, Length, Reach};

/// The fit of the readings that belong together, and those that do not.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Sorted {
    pub readings: Vec<LensReading>,
    pub fit: Fit,
    pub aside: Vec<bool>,
}

/// Fits, sets aside the reading of each group that is strangest beyond
/// [`STRANGE`] and fits again, until none is. `None` without any reading.
///
/// Of two readings neither can be told to be the wrong one, and no more than a
/// third of a group is set aside: where more would have to be, or where those
/// set aside agree with one another, the scale is at fault and not the reader,
/// and all of the group are kept.
pub(super) fn sort(readings: &[LensReading], groups: usize, zero_sd: Length) -> Option<Sorted> {
    let mut members = vec![Vec::new(); groups];
    for (at, reading) in readings.iter().enumerate() {
        members.get_mut(reading.group)?.push(at);
    }
    let mut kept_whole = vec![false; groups];
    loop {
        let mut sorted = set_aside(readings, &members, &kept_whole, zero_sd)?;
        let at_fault = |group: &usize| {
            !kept_whole[*group] && is_the_scales_fault(readings, &members[*group], &sorted)
        };
        let wronged: Vec<usize> = (0..groups).filter(at_fault).collect();
        if wronged.is_empty() {
            take_back(readings, &members, zero_sd, &mut sorted)?;
            return Some(sorted);
        }
        for group in wronged {
            kept_whole[group] = true;
        }
    }
}

fn set_aside(
    readings: &[LensReading],
    members: &[Vec<usize>],
    kept_whole: &[bool],
    zero_sd: Length,
) -> Option<Sorted> {
    let mut aside = vec![false; readings.len()];
    loop {
        let fit = Fit::of(readings, &aside, members.len(), zero_sd)?;
        let mut found = false;
        for (group, members) in members.iter().enumerate() {
            let gone = members.iter().filter(|&&at| aside[at]).count();
            if kept_whole[group] || gone >= members.len() / 3 {
                continue;
            }
            if let Some(worst) = strangest(members, &aside, &fit) {
                aside[worst] = true;
                found = true;
            }
        }
        if !found {
            let readings = readings.to_vec();
            return Some(Sorted {
                readings,
                fit,
                aside,
            });
        }
    }
}

/// The strangest reading still in use, where it is beyond what may be.
fn strangest(members: &[usize], aside: &[bool], fit: &Fit) -> Option<usize> {
    let strange = |at: usize| fit.strangeness[at].value().abs();
    let used = members.iter().copied().filter(|&at| !aside[at]);
    used.filter(|&at| strange(at) > STRANGE)
        .max_by(|&a, &b| strange(a).total_cmp(&strange(b)))
}

/// Whether what was set aside in a group tells of its scale.
fn is_the_scales_fault(readings: &[LensReading], members: &[usize], sorted: &Sorted) -> bool {
    let Sorted { fit, aside, .. } = sorted;
    let gone: Vec<usize> = members.iter().copied().filter(|&at| aside[at]).collect();
    if gone.is_empty() {
        return false;
    }
    if strangest(members, aside, fit).is_some() {
        return true;
    }
    let shows = |at: usize| (fit.residuals[at].to_mm(), readings[at].sd.to_mm());
    let agree = |&a: &usize, &b: &usize| {
        let ((one, sd), (other, other_sd)) = (shows(a), shows(b));
        (one - other).abs() < STRANGE * crate::numerics::math::sqrt(sd * sd + other_sd * other_sd)
    };
    let same = |a: usize, b: usize| is_same(readings[a].chart, readings[b].chart);
    // Two that agree with one another, and no good reading at that distance.
    let repeated = gone.iter().enumerate().any(|(place, one)| {
        let confirmed = gone[place + 1..]
            .iter()
            .any(|other| same(*one, *other) && agree(one, other));
        let denied = members.iter().any(|&at| !aside[at] && same(*one, at));
        confirmed && !denied
    });
    repeated || three_in_a_row(readings, members, sorted)
}

/// Whether three neighbours in distance are off to the same side.
fn three_in_a_row(readings: &[LensReading], members: &[usize], sorted: &Sorted) -> bool {
    let mut by_distance = members.to_vec();
    let nearness = |at: &usize| match readings[*at].chart.reach() {
        Reach::At(length) => 1.0 / length.to_mm(),
        Reach::Infinity => 0.0,
    };
    by_distance.sort_by(|a, b| nearness(a).total_cmp(&nearness(b)));
    by_distance.windows(3).any(|three| {
        let off = |side: f64| {
            let far =
                |&at: &usize| sorted.aside[at] && sorted.fit.residuals[at].to_mm() * side > 0.0;
            three.iter().all(far)
        };
        off(1.0) || off(-1.0)
    })
}

/// What was set aside early, held against others that were set aside later, may
/// turn out to belong: each such reading comes back once.
fn take_back(
    readings: &[LensReading],
    members: &[Vec<usize>],
    zero_sd: Length,
    sorted: &mut Sorted,
) -> Option<()> {
    let belongs =
        |at: &usize| sorted.aside[*at] && sorted.fit.strangeness[*at].value().abs() <= STRANGE;
    let back: Vec<usize> = (0..readings.len()).filter(belongs).collect();
    if back.is_empty() {
        return Some(());
    }
    for at in back {
        sorted.aside[at] = false;
    }
    sorted.fit = Fit::of(readings, &sorted.aside, members.len(), zero_sd)?;
    Some(())
}

/// Whether two charts stood at one distance.
pub(super) fn is_same(one: FocusDistance, other: FocusDistance) -> bool {
    match (one.reach(), other.reach()) {
        (Reach::At(a), Reach::At(b)) => (a - b).abs().to_mm() < SAME_DISTANCE * a.max(b).to_mm(),
        (Reach::Infinity, Reach::Infinity) => true,
        _ => false,
    }
}
