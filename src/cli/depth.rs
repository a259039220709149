//! `depth`: how much is sharp.

use super::args::DepthArgs;
use super::wish::{Asked, needs_a_lens};
use super::{answer_in_columns, kit};
use crate::answers::{self, Unanswerable};
use crate::data::Fault;
use crate::formula::Steps;
use crate::gear::Wanted;
use crate::report::{self, Words};

/// Answers at each distance asked for.
pub(super) fn run(args: &DepthArgs) -> Result<(), Vec<Fault>> {
    let one = |fault: Fault| vec![fault];
    let opened = kit::open_for(&args.output, &args.setup)?;
    let Asked {
        mut reader,
        basis,
        lens,
    } = Asked::new(&args.output, &args.setup, opened.as_ref());
    let waves = reader.waves(&args.waves);
    let wanted = reader.wanted(&args.setup, &basis);
    let wanted = wanted.map(|wanted| Wanted { waves, ..wanted });
    let mut at = reader.distances("--at", &args.at);
    let mut steps = Steps::new();
    let taped = reader.taped(&args.tape, opened.as_ref(), &mut steps);
    at.extend(taped.iter().map(|taped| taped.focus));
    let marks = reader.distances("--mark", &args.mark);
    let objects = reader.distances("--object", &args.object);
    let typed = args
        .at
        .iter()
        .chain(&args.mark)
        .chain(&args.object)
        .chain(args.tape.typed());
    let unit = reader.output_unit(typed);
    reader.done()?;
    let wanted = wanted.ok_or_else(|| one(needs_a_lens()))?;
    if let Some((lens, _)) = lens {
        kit::within_reach(
            lens,
            if wanted.fitted.voids_the_scale() {
                &marks
            } else {
                &at
            },
        )?;
    }
    let mut setup = wanted
        .depth_setup(&mut steps)
        .map_err(|reason| one(reason.into()))?;
    setup
        .setup
        .assumptions
        .extend(taped.map(|taped| taped.note));
    let depth = if marks.is_empty() {
        answers::depth(&setup, &at, &objects, &mut steps)
    } else {
        answers::depth_at_marks(&setup, &marks, &objects, &mut steps)
    };
    let mut depth = depth.map_err(|reason| one(of_flag(reason)))?;
    if args.output.explain {
        depth.ranges = answers::ranges(&wanted, &setup, &at);
    }
    let rows = (report::csv::DEPTH, &depth.rows[..]);
    answer_in_columns(&args.output, &depth, rows, &steps, || {
        report::depth(&depth, Words { unit })
    })
}

/// Why there is no answer, with the option that asked for what cannot be.
fn of_flag(reason: Unanswerable) -> Fault {
    let flag = match reason {
        Unanswerable::OutOfReach(_) => "--at",
        Unanswerable::AtMark { .. } => "--mark",
        Unanswerable::BehindPupil { .. } => "--object",
        Unanswerable::MtfUnreachable(_) => "--contrast",
        _ => return reason.into(),
    };
    Fault::from(reason).at_flag(flag)
}
