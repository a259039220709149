//! `lens add`: a lens of the user's put into a kit.

use super::args::{As, LensAddArgs};
use super::{answer, fail, kit, world};
use crate::data::Fault;
use crate::data::put::{LensAdded, NewLens, add_lens};
use crate::formula::Steps;
use crate::report;

/// Adds the lens, or tells everything that stands against it.
pub(super) fn run(args: &LensAddArgs) -> Result<(), Vec<Fault>> {
    let one = |fault: Fault| vec![fault];
    let output = args.output.as_output();
    let folder = kit::to_write_in(output.kit.as_ref(), "lens add").map_err(one)?;
    let new = NewLens {
        id: &args.id,
        columns: &args.columns.0,
    };
    let LensAdded {
        answer: added,
        changes,
    } = add_lens(&world::Folder::new(&folder), new)?;
    kit::write(&folder, changes).map_err(one)?;
    if output.form != As::Json && !output.quiet {
        for warning in &added.warnings {
            world::remark(&fail::in_words(warning), output.color);
        }
        let said = report::lens_added(&added, &folder.display().to_string());
        world::remark(&said, output.color);
    }
    answer(&output, &added, &added.understood, &Steps::new(), || {
        report::understood(&added.understood)
    })
}
