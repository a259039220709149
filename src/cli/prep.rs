//! `prep`: what the readings of prep day say.

use super::answer;
use super::args::{Output, PrepArgs};
use super::kit::{self, Opened};
use super::wish::Reader;
use crate::answers;
use crate::data::{Fault, Kind};
use crate::formula::Steps;
use crate::report::{self, Words};

/// Answers for the camera asked for, else the first that has readings.
pub(super) fn run(args: &PrepArgs) -> Result<(), Vec<Fault>> {
    let opened = open(&args.output)?;
    let camera = args.output.camera.as_deref();
    let mut reader = Reader::new(&args.output, &opened.basis(None));
    let lenses = opened.lenses(&args.lens, &mut reader);
    let ids: Vec<_> = lenses.iter().map(|(lens, _)| lens.id().clone()).collect();
    let unit = reader.unit.unwrap_or(opened.kit.units);
    reader.done()?;
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
            return Err(vec![kit::no_camera(&opened.kit, name)]);
        }
    }
    Ok(opened)
}

/// Why a prep day cannot be answered, as faults with their place.
pub(super) fn faults(reasons: Vec<answers::NoPrep>) -> Vec<Fault> {
    reasons.into_iter().map(Fault::from).collect()
}

fn needs_a_kit() -> Fault {
    Fault::new(
        Kind::Missing,
        "prep reads prep.csv of a kit, and there is none",
    )
    .at_flag("--kit")
    .with_help("add --kit DIR, or run where a kit.toml is; `markwright new DIR` makes one")
}
