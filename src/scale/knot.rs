//! Points a ring's law goes through, and what they may be off.

use super::errors::{RING_SD, STRANGE, tape_sd};
use super::fit::{square, travel_per_tape};
use super::marks::{Marked, Through};
use super::position::Measure;
use super::settings::scatter;
use crate::gear::{Mark, MarkKind};
use crate::numerics::Normal;
use crate::numerics::math::sqrt;
use crate::units::FocusDistance;

/// One point: magnification and place, counted toward close focus.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Knot {
    pub m: f64,
    pub place: f64,
    /// What the place may be off.
    pub sd: f64,
}

/// So many knots on either side tell a place between them: beyond, a monotone
/// cubic does not reach.
const REACH: usize = 4;

/// Standard deviation of a mark's place in degrees: as written, else that of a
/// reading or of the mean of several settings, whose numbers are `degrees` each,
/// and for a mark found by eye that of the tape as well, which `gain` degrees for
/// each millimetre of lens travel turn into ring.
pub(super) fn sd_in_degrees(mark: &Mark, m: f64, gain: f64, degrees: f64) -> f64 {
    if let Some(sd) = mark.sd {
        return sd.to_deg();
    }
    let tape = match mark.kind {
        MarkKind::Eye => {
            let travel = travel_per_tape(m.min(0.999), &mut ()) * tape_sd(mark.distance).to_mm();
            gain * travel
        }
        MarkKind::Read | MarkKind::Engraved => 0.0,
    };
    let settings = mark.settings.iter().map(|number| number.value() * degrees);
    let settings: Vec<f64> = settings.collect();
    let ring = scatter(&settings, RING_SD.to_deg());
    sqrt(square(ring) / settings.len().max(1) as f64 + square(tape))
}

/// Where the law through the knots puts a magnification, and what that may be
/// off for what the knots may be off; `None` with fewer than two.
pub(super) fn told(knots: &[Knot], m: f64) -> Option<(f64, f64)> {
    let points: Vec<(f64, f64)> = knots.iter().map(|knot| (knot.m, knot.place)).collect();
    let place = place(&points, m)?;
    let moves = moves(knots, m)?;
    // The slopes of a monotone cubic have corners: either way is tried.
    let squares = moves
        .iter()
        .map(|(_, up, down)| square(*up) + square(*down));
    Some((place, sqrt(squares.sum::<f64>() / 2.0)))
}

fn place(points: &[(f64, f64)], m: f64) -> Option<f64> {
    let marked = |&(m, position): &(f64, f64)| Marked {
        // Steps alone ask for the distance.
        distance: FocusDistance::INFINITY,
        m,
        position,
    };
    let marks: Vec<Marked> = points.iter().map(marked).collect();
    let through = (marks.len() >= 2).then(|| Through::new(marks, Measure::Turn));
    Some(through.flatten()?.place(m))
}

/// How far the law moves at `m` when a knot that reaches there is one standard
/// deviation farther, and nearer: number of the knot and both moves.
pub(super) fn moves(knots: &[Knot], m: f64) -> Option<Vec<(usize, f64, f64)>> {
    let mut points: Vec<(f64, f64)> = knots.iter().map(|knot| (knot.m, knot.place)).collect();
    let still = place(&points, m)?;
    let mut out = Vec::new();
    for number in near(knots, m).filter(|&number| knots[number].sd > 0.0) {
        let knot = knots[number];
        let mut moved = |by: f64| {
            points[number].1 = knot.place + by;
            let there = place(&points, m);
            points[number].1 = knot.place;
            Some(there? - still)
        };
        out.push((number, moved(knot.sd)?, moved(-knot.sd)?));
    }
    Some(out)
}

/// The knots that reach as far as `m`.
fn near(knots: &[Knot], m: f64) -> core::ops::Range<usize> {
    let after = knots.partition_point(|knot| knot.m < m);
    after.saturating_sub(REACH)..(after + REACH).min(knots.len())
}

/// A knot that does not belong, as leaving it out shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Odd {
    /// Its number.
    pub at: usize,
    /// How far it stands from where the others put it.
    pub off: f64,
    /// The same over what it and the others may be off.
    pub in_sd: f64,
}

/// The inner knot that is strangest, each left out in turn; `None` with fewer
/// than five.
pub(super) fn strangest(knots: &[Knot]) -> Option<Odd> {
    let inner = 1..knots.len().checked_sub(1).filter(|_| knots.len() >= 5)?;
    let found = inner.filter_map(|at| left_out(knots, at));
    found.max_by(|a, b| a.in_sd.abs().total_cmp(&b.in_sd.abs()))
}

/// The knot that does not belong, if one does not.
pub(super) fn odd(knots: &[Knot]) -> Option<Odd> {
    strangest(knots).filter(|worst| worst.in_sd.abs() > STRANGE)
}

/// One knot against a smooth curve through its neighbours: a parabola, or with
/// six of them a cubic. Where the neighbours themselves do not lie on one, what
/// the curve may be off is stretched by how badly they do.
fn left_out(knots: &[Knot], at: usize) -> Option<Odd> {
    let knot = knots.get(at)?;
    let near = near(knots, knot.m);
    let width = knots[near.end - 1].m - knots[near.start].m;
    let others = || {
        let near = near.clone().filter(move |&other| other != at);
        near.map(|other| &knots[other])
    };
    let unknowns = if others().count() < 6 { 3 } else { 4 };
    let row = |m: f64| {
        let u = (m - knot.m) / width;
        [1.0, u, u * u, u * u * u]
    };
    let mut normal = Normal::new(unknowns);
    for other in others() {
        normal.add(&row(other.m)[..unknowns], other.place, other.sd);
    }
    let solved = normal.solve()?;
    let told = |m: f64| {
        let terms = row(m).into_iter().zip(&solved.estimate);
        terms.map(|(power, factor)| power * factor).sum::<f64>()
    };
    let misses = others().map(|other| square((other.place - told(other.m)) / other.sd));
    let freedom = others()
        .count()
        .checked_sub(unknowns)
        .filter(|&left| left > 0)?;
    let stretch = (misses.sum::<f64>() / freedom as f64).max(1.0);
    let off = knot.place - told(knot.m);
    let variance = solved.covariance(0, 0) * stretch + square(knot.sd);
    Some(Odd {
        at,
        off,
        in_sd: off / sqrt(variance),
    })
}
