//! `formats`: the recording formats with sizes and sources.

use serde::Serialize;

use super::answer;
use super::args::FormatsArgs;
use crate::data::{Fault, formats};
use crate::formula::Steps;
use crate::report;

#[derive(Serialize)]
struct FormatsAnswer {
    formats: &'static [formats::Format],
    assumptions: [(); 0],
}

/// Lists the formats.
pub(super) fn run(args: &FormatsArgs) -> Result<(), Vec<Fault>> {
    let all = FormatsAnswer {
        formats: formats::all(),
        assumptions: [],
    };
    let words = || report::formats(all.formats);
    answer(&args.output, &all, all.formats, &Steps::new(), words)
}
