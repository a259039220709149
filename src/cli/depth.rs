//! `depth`: how much is sharp.

use super::args::DepthArgs;
use super::wish::{Asked, needs_a_lens};
use super::{answer, kit};
use crate::answers;
use crate::data::Fault;
use crate::formula::Steps;
use crate::report::{self, Words};

/// Answers at each distance asked for.
pub(super) fn run(args: &DepthArgs) -> Result<(), Vec<Fault>> {
    let one = |fault: Fault| vec![fault];
    let opened = kit::open(&args.output)?;
    let Asked {
        mut reader,
        basis,
        lens,
    } = Asked::new(&args.output, &args.setup, opened.as_ref());
    let wanted = reader.wanted(&args.setup, &basis);
    let at = reader.distances("--at", &args.at);
    let objects = reader.distances("--object", &args.object);
    let unit = reader.output_unit(args.at.iter().chain(&args.object));
    reader.done()?;
    let wanted = wanted.ok_or_else(|| one(needs_a_lens()))?;
    if let Some((lens, _)) = lens {
        kit::within_reach(lens, &at)?;
    }
    let mut steps = Steps::new();
    let setup = wanted
        .depth_setup(&mut steps)
        .map_err(|reason| one(reason.into()))?;
    let depth = answers::depth(&setup, &at, &objects, &mut steps).map_err(|e| one(e.into()))?;
    answer(&args.output, &depth, &depth.rows, &steps, || {
        report::depth(&depth, Words { unit })
    })
}
