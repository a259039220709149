//! `hold`: can these be held, and what else would do.

use super::args::HoldArgs;
use super::wish::{Asked, needs_a_lens};
use super::{answer, kit};
use crate::answers::{self, ToHold};
use crate::data::{Fault, Kind};
use crate::formula::Steps;
use crate::gear::{Lens, Wanted};
use crate::optics::Pair;
use crate::report::{self, Words};
use crate::units::{FocusDistance, StopKind};

/// Answers for a pair, or for one wanted limit.
pub(super) fn run(args: &HoldArgs) -> Result<(), Vec<Fault>> {
    let one = |fault: Fault| vec![fault];
    let opened = kit::open_for(&args.output, &args.setup)?;
    let Asked {
        mut reader,
        mut basis,
        lens,
    } = Asked::new(&args.output, &args.setup, opened.as_ref());
    let near = reader.distance("--near", args.near.as_ref());
    let far = reader.distance("--far", args.far.as_ref());
    let between = reader.distances("--between", &args.between);
    if args.near.is_some() && args.far.is_some() {
        // The stop is what is asked for, unless one was typed.
        basis.stop = None;
    }
    let waves = reader.waves(&args.waves);
    let wanted = reader.wanted(&args.setup, &basis);
    let wanted = wanted.map(|wanted| Wanted { waves, ..wanted });
    let typed = args.near.iter().chain(&args.far).chain(&args.between);
    let words = Words {
        unit: reader.output_unit(typed),
    };
    if args.near.is_none() && args.far.is_none() {
        reader.faults.push(nothing_to_hold());
    }
    if args.setup.macro_branch {
        reader.faults.push(
            Fault::new(
                Kind::Usage,
                "subjects are held in the ordinary range, m up to 1",
            )
            .at_flag("--macro")
            .with_help("leave out --macro"),
        );
    }
    if args.setup.split_close_up.is_some() {
        let message = "with a split close-up lens each half of the frame holds a range of its own";
        reader.faults.push(
            Fault::new(Kind::Usage, message)
                .at_flag("--split-close-up")
                .with_help("`markwright depth --split-close-up … --mark D` gives both ranges"),
        );
    }
    if let (Some(near), Some(far)) = (near, far) {
        reader.faults.extend(in_order(near, far, &between));
    }
    reader.done()?;
    let wanted = wanted.ok_or_else(|| one(needs_a_lens()))?;
    // With what voids its scale a lens focuses elsewhere than it reads.
    let by_its_scale = lens.filter(|_| !wanted.fitted.voids_the_scale());
    if let Some((lens, _)) = by_its_scale {
        let nearest: Vec<FocusDistance> = near.or(far).into_iter().collect();
        kit::within_reach(lens, &nearest)?;
    }
    let mut steps = Steps::new();
    let pair = match (near, far) {
        (Some(near), Some(far)) => Pair { near, far },
        (near, far) => {
            let setup = wanted
                .depth_setup(&mut steps)
                .map_err(|reason| one(reason.into()))?;
            let found = match (near, far) {
                (Some(near), _) => answers::focus_for_near(&setup, near, &mut steps),
                (None, far) => {
                    let far = far.unwrap_or(FocusDistance::INFINITY);
                    answers::focus_for_far(&setup, far, &mut steps)
                }
            };
            let found = found.map_err(|e| one(e.into()))?;
            if let Some((lens, _)) = by_its_scale {
                kit::within_reach(lens, &[found.held.focus])?;
            }
            let rows = std::slice::from_ref(&found);
            return answer(&args.output, &found, rows, &steps, || {
                report::limit(&found, words)
            });
        }
    };
    let kind = stop_kind(lens.map(|(lens, _)| lens), &wanted);
    let mut setup = wanted
        .hold_setup(kind, &mut steps)
        .map_err(|reason| one(reason.into()))?;
    // Without a law the split has no place on the ring, and that is all.
    let law = lens
        .zip(opened.as_ref())
        .and_then(|((lens, marks), opened)| opened.law(lens, marks.as_ref(), true).ok());
    let (law, notes) = law.unzip();
    let notes = notes.unwrap_or_default();
    setup.setup.assumptions.extend(notes);
    let to_hold = ToHold {
        pair,
        between: &between,
        widest: lens.map(|(lens, _)| lens.widest()),
        law: law.as_ref().map(|law| &law.law),
    };
    let mut found = answers::hold(&setup, to_hold, &mut steps).map_err(|e| one(e.into()))?;
    if args.output.explain {
        found.ranges = answers::hold_ranges(&setup, pair);
    }
    let rows = std::slice::from_ref(&found);
    answer(&args.output, &found, rows, &steps, || {
        report::hold(&found, words)
    })
}

/// The kind of the lens's own marks, else of the stop that was typed.
fn stop_kind(lens: Option<&Lens>, wanted: &Wanted) -> StopKind {
    match (lens, wanted.stop) {
        (Some(lens), _) => lens.stop_kind(),
        (None, Some(stop)) => stop.kind(),
        (None, None) => StopKind::F,
    }
}

fn nothing_to_hold() -> Fault {
    Fault::new(Kind::Usage, "nothing is said that should be held")
        .at_flag("--near")
        .with_help("add --near D and --far D, or one of them for the focus with that limit")
}

fn in_order(near: FocusDistance, far: FocusDistance, between: &[FocusDistance]) -> Vec<Fault> {
    if !near.is_nearer_than(far) {
        let fault = Fault::new(
            Kind::FarNotBeyondNear,
            "the far subject is not beyond the near one",
        );
        return vec![
            fault
                .at_flag("--far")
                .with_help("--near is the nearest subject, --far the farthest"),
        ];
    }
    let outside = |at: &&FocusDistance| at.is_nearer_than(near) || far.is_nearer_than(**at);
    between
        .iter()
        .filter(outside)
        .map(|_| {
            Fault::new(
                Kind::OutOfOrder,
                "a subject between stands outside near and far",
            )
            .at_flag("--between")
            .with_help("make it --near or --far")
        })
        .collect()
}
