//! The questions asked backwards: what holds two subjects, and depth steps.

use markwright::optics::{Chain, DepthSteps, Split, split};
use markwright::units::{Division, FocusDistance, MarkedStop, StopKind};

use super::Said::{self, Is, RatherThan};
use super::case::Case;
use crate::depth::{distance, mm};

pub fn say(quantity: &str, case: &Case) -> Option<Said> {
    // Rules of thumb name no lens: the lens the facts hold with.
    let by_rule = || case.with(&[("from", "lens"), ("focal", "50"), ("circle", "0.025")]);
    Some(match quantity {
        "hold_focus" => Is(held(case).0),
        "hold_n" => Is(held(case).1.f_number.value()),
        "one_third_rule" => {
            let exact = held(&by_rule()).0;
            // Right where the far one is twice as far, and nowhere else.
            if case.figure("far") == 2.0 * case.figure("near") {
                Is(exact)
            } else {
                RatherThan(exact)
            }
        }
        "harmonic_mean" => RatherThan(held(&by_rule().with(&[("from", "image_plane")])).0),
        "full_stop_at_or_darker" => {
            let mark = MarkedStop::at_least(StopKind::F, case.figure("n"), Division::Full);
            Is(mark.stop().number())
        }
        // The first step of an overlapping chain from infinity is infinity.
        "depth_step_overlapping" => Is(step(case, Chain::Overlapping, 1).0),
        "depth_step_touching" => Is(step(case, Chain::Touching, 0).0),
        "depth_step_touching_near" => Is(step(case, Chain::Touching, 0).1),
        _ => return None,
    })
}

/// The focus that splits a pair, from the fact's own point, and the split.
///
/// A pair measured from the lens stands so far from where the lens is when it
/// splits them, and where that is follows from the split: the bridge between the
/// planes is crossed until nothing changes.
fn held(case: &Case) -> (f64, Split) {
    let (near, far) = (case.figure("near"), case.figure("far"));
    let mut plane = 0.0;
    for _ in 0..100 {
        let pair = (distance(near + plane), distance(far + plane));
        let found = split(&case.lens(), pair.0, pair.1, case.circle(), &mut ()).unwrap();
        let focus = mm(found.focus().reach());
        let there = case.with(&[("from", "image_plane"), ("focus", &focus.to_string())]);
        let moved = case.plane(&there.set());
        if (moved - plane).abs() <= 1e-13 * near {
            return (focus - plane, found);
        }
        plane = moved;
    }
    panic!("the lens does not come to rest");
}

/// Focus and near limit of a step of a chain from infinity, `skipped` ones not
/// counted.
///
/// In the thin-lens limit it does not matter which point of the lens distances
/// are measured from: the lens is as short as can be, and its pupil stands at the
/// image plane but for its extension f m. What is left is that q = f (1 + m/p)
/// grows by m/p: under 1e-5 of 30 m in the chains told.
fn step(case: &Case, chain: Chain, skipped: usize) -> (f64, f64) {
    let (f, p) = (2.0, 20.0);
    // What infinity focus holds from, f^2/(N c), begins the one chain; what holds
    // to infinity, f^2/(N c) + f/p from the pupil, the other.
    let reach = match chain {
        Chain::Overlapping => case.figure("hyperfocal"),
        Chain::Touching => case.figure("hyperfocal") - f / p,
    };
    let circle = f * f / reach;
    let short = Case::of(&format!(
        "from=image_plane;focal={f};hiatus={};pupil={p};n=1;circle={circle}",
        f / p - 2.0 * f
    ));
    let lens = short.lens();
    let (n, circle) = (short.n(), short.circle());
    let mut steps = DepthSteps::new(&lens, n, circle, chain, FocusDistance::INFINITY);
    let mut next = || steps.next_step(&mut ()).unwrap();
    for _ in 1..case.figure("step") as usize + skipped {
        next();
    }
    let found = next();
    (mm(found.focus.reach()), mm(found.limits.near.reach()))
}
