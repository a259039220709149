//! `check`: reads a kit, tells every fault, says back what was understood.

use std::path::Path;

use serde::Serialize;

use super::args::{As, CheckArgs};
use super::{fail, kit, world};
use crate::data::{self, Fault};
use crate::formula::Steps;

#[derive(Serialize)]
struct CheckAnswer {
    ok: bool,
    faults: Vec<Fault>,
    understood: Vec<data::Understood>,
    assumptions: [(); 0],
}

/// Checks the kit in the folder asked for, else in the current one.
pub(super) fn run(args: &CheckArgs) -> Result<(), Vec<Fault>> {
    let folder = args.output.kit.as_deref().unwrap_or(Path::new("."));
    let (kit, warnings) = kit::read(folder)?;
    let understood = data::understood(&kit);
    if args.output.form == As::Text {
        for warning in &warnings {
            world::remark(&fail::in_words(warning), args.output.color);
        }
    }
    let answer = CheckAnswer {
        ok: true,
        faults: warnings,
        understood,
        assumptions: [],
    };
    let words = || {
        let mut out = String::new();
        for line in &answer.understood {
            out.push_str(&line.in_words());
            out.push('\n');
        }
        out.push_str("\nthe kit is in order\n");
        out
    };
    super::answer(
        &args.output,
        &answer,
        &answer.understood,
        &Steps::new(),
        words,
    )
}
