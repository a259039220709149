//! `steps`: marks one depth apart.

use super::args::StepsArgs;
use super::wish::{Asked, needs_a_lens};
use super::{answer, kit};
use crate::answers::{self, Walk};
use crate::data::{Fault, Kind};
use crate::formula::Steps;
use crate::optics::{Chain, Focus};
use crate::report::{self, Words};
use crate::units::{FocusDistance, Length, range};

/// Answers with the chain from the far end to the near one.
pub(super) fn run(args: &StepsArgs) -> Result<(), Vec<Fault>> {
    let one = |fault: Fault| vec![fault];
    let opened = kit::open_for(&args.output, &args.setup)?;
    let Asked {
        mut reader,
        basis,
        lens,
    } = Asked::new(&args.output, &args.setup, opened.as_ref());
    let wanted = reader.wanted(&args.setup, &basis);
    let from = reader
        .distance("--from", args.from.as_ref())
        .unwrap_or(FocusDistance::INFINITY);
    let to = reader.distance("--to", args.to.as_ref());
    let words = Words {
        unit: reader.output_unit(args.from.iter().chain(&args.to)),
    };
    if args.setup.macro_branch {
        reader.faults.push(
            Fault::new(
                Kind::Usage,
                "depth steps go down the ordinary range, m up to 1",
            )
            .at_flag("--macro")
            .with_help("leave out --macro"),
        );
    }
    if to.is_some_and(|to| !to.is_nearer_than(from)) {
        reader.faults.push(
            Fault::new(Kind::FarNotBeyondNear, "steps go from far to near")
                .at_flag("--to")
                .with_help("--from is the far end, --to the near one"),
        );
    }
    reader.done()?;
    let wanted = wanted.ok_or_else(|| one(needs_a_lens()))?;
    let mut steps = Steps::new();
    let setup = wanted
        .depth_setup(&mut steps)
        .map_err(|reason| one(reason.into()))?;
    // A large negative hiatus lets a lens focus behind its own image plane.
    let least = Length::mm(range::DISTANCE.min);
    let nearest = FocusDistance::at(setup.setup.lens.closest().max(least)).ok();
    // With what voids its scale a lens focuses elsewhere than it reads.
    let by_its_scale = lens.filter(|_| !wanted.fitted.voids_the_scale());
    let close_focus = match by_its_scale {
        Some((lens, _)) => lens.close_focus(),
        None => nearest.or(to).unwrap_or(from),
    };
    let from = match (&args.from, setup.setup.lens.farthest()) {
        (None, Some(farthest)) => FocusDistance::at(farthest).unwrap_or(from),
        _ => from,
    };
    if let Some((lens, _)) = by_its_scale {
        let asked: Vec<FocusDistance> = to.into_iter().collect();
        kit::within_reach(lens, &asked)?;
    }
    let walk = Walk {
        from,
        to: to.unwrap_or(close_focus),
        close_focus,
        chain: if args.touching {
            Chain::Touching
        } else {
            Chain::Overlapping
        },
    };
    let found = answers::steps(&setup, walk, &mut steps).map_err(|e| one(e.into()))?;
    answer(&args.output, &found, &found.rows, &steps, || {
        report::steps(&found, words)
    })
}
