//! `prep`: what the readings of prep day say.

use super::answer;
use super::args::{Output, PrepArgs};
use super::kit::{self, Opened};
use super::wish::Reader;
use crate::answers::{self, PrepPlan};
use crate::data::{Fault, Kind, no_camera};
use crate::formula::Steps;
use crate::gear::LensId;
use crate::report::{self, Words};
use crate::units::Unit;

/// Answers for the camera asked for, else the first that has readings; or says
/// what to read.
pub(super) fn run(args: &PrepArgs) -> Result<(), Vec<Fault>> {
    if args.plan {
        return plan(args);
    }
    let opened = open(&args.output)?;
    let camera = args.output.camera.as_deref();
    let (ids, unit) = asked(&args.output, &args.lens, &opened)?;
    let mut steps = Steps::new();
    let found = answers::prep(&opened.kit, camera, &ids, &mut steps).map_err(faults)?;
    answer(
        &args.output,
        &found,
        &report::prep_rows(&found),
        &steps,
        || report::prep(&found, Words { unit }),
    )
}

/// The kit whose readings are asked for, with a camera that is there.
pub(super) fn open(output: &Output) -> Result<Opened, Vec<Fault>> {
    // A camera may be one that the rows of prep.csv alone name.
    let any_camera = Output {
        camera: None,
        ..output.clone()
    };
    let opened = kit::open(&any_camera)?.ok_or_else(|| vec![needs_a_kit()])?;
    if let Some(name) = output.camera.as_deref() {
        let of_kit = opened.kit.camera(Some(name)).is_some();
        let mut named = opened.kit.prep.iter().map(|row| row.camera.as_deref());
        if !of_kit && !named.any(|camera| camera == Some(name)) {
            return Err(vec![no_camera(&opened.kit, name)]);
        }
    }
    Ok(opened)
}

/// Why a prep day cannot be answered, as faults with their place.
pub(super) fn faults(reasons: Vec<answers::NoPrep>) -> Vec<Fault> {
    reasons.into_iter().map(Fault::from).collect()
}

/// Says what to read of the lenses on the camera asked for, else the first.
fn plan(args: &PrepArgs) -> Result<(), Vec<Fault>> {
    let opened = kit::open(&args.output)?.ok_or_else(|| vec![needs_a_kit()])?;
    let plan = planned(&args.output, &args.lens, &opened)?;
    answer(&args.output, &plan, &plan.rows(), &Steps::new(), || {
        report::prep_plan(&plan)
    })
}

/// What to read of these lenses, else of all.
pub(super) fn planned(
    output: &Output,
    lenses: &[String],
    opened: &Opened,
) -> Result<PrepPlan, Vec<Fault>> {
    let (ids, unit) = asked(output, lenses, opened)?;
    let camera = opened.camera().ok_or_else(|| vec![needs_a_kit()])?;
    let mut plan = answers::prep_plan(&opened.kit, camera, &ids, unit).map_err(faults)?;
    plan.assumptions.extend(opened.camera_assumed());
    Ok(plan)
}

/// The lenses named, and the unit to answer in.
fn asked(
    output: &Output,
    lenses: &[String],
    opened: &Opened,
) -> Result<(Vec<LensId>, Unit), Vec<Fault>> {
    let mut reader = Reader::new(output, &opened.basis(None));
    let lenses = opened.lenses(lenses, &mut reader);
    let ids = lenses.iter().map(|(lens, _)| lens.id().clone()).collect();
    let unit = reader.unit.unwrap_or(opened.kit.units);
    reader.done()?;
    Ok((ids, unit))
}

pub(super) fn needs_a_kit() -> Fault {
    Fault::new(
        Kind::Missing,
        "prep is about the lenses of a kit, and there is none",
    )
    .at_flag("--kit")
    .with_help("add --kit DIR, or run where a kit.toml is; `markwright new DIR` makes one")
}
