//! `import`: marks of another table, or a pasted line, put into a kit.

use super::args::{As, ImportArgs, TypedPosition, TypedUnit};
use super::{answer_in_columns, fail, kit, world};
use crate::data::Fault;
use crate::data::put::{From, IfThere, ImportWish, Imported, Named, import};
use crate::formula::Steps;
use crate::gear::PositionUnit;
use crate::report::{self, Words};
use crate::units::Unit;

/// Imports the marks, or tells everything that stands against them.
pub(super) fn run(args: &ImportArgs) -> Result<(), Vec<Fault>> {
    let one = |fault: Fault| vec![fault];
    let output = args.output.as_output();
    let folder = kit::to_write_in(output.kit.as_ref(), "import").map_err(one)?;
    let table = match &args.file {
        Some(path) => Some((path.display().to_string(), world::input(path).map_err(one)?)),
        None => None,
    };
    let from = match &table {
        Some((name, bytes)) => From::Table {
            name,
            bytes,
            columns: named(args),
        },
        None => From::Line(args.line.as_deref().unwrap_or_default()),
    };
    let wish = ImportWish {
        lens: &args.lens,
        from,
        unit: args.unit.map(|unit| match unit {
            TypedPosition::Mm => PositionUnit::Mm,
            TypedPosition::Deg => PositionUnit::Deg,
            TypedPosition::Fraction => PositionUnit::Fraction,
            TypedPosition::Counts => PositionUnit::Counts,
        }),
        distances_in: args.distances_in.map(unit),
        if_there: match (args.append, args.replace) {
            (true, _) => IfThere::Append,
            (_, true) => IfThere::Replace,
            _ => IfThere::Refuse,
        },
    };
    let Imported {
        answer: imported,
        changes,
    } = import(&world::Folder::new(&folder), wish)?;
    kit::write(&folder, changes).map_err(one)?;
    if output.form != As::Json && !output.quiet {
        for warning in &imported.warnings {
            world::remark(&fail::in_words(warning), output.color);
        }
        let said = report::imported(&imported, &folder.display().to_string());
        world::remark(&said, output.color);
    }
    let words = Words {
        unit: output.units.map_or(imported.shown_in, unit),
    };
    let rows = report::import_rows(&imported);
    let columns = (report::IMPORT_COLUMNS, &rows[..]);
    answer_in_columns(&output, &imported, columns, &Steps::new(), || {
        report::import_table(&imported, words)
    })
}

const fn unit(typed: TypedUnit) -> Unit {
    match typed {
        TypedUnit::Feet => Unit::Feet,
        TypedUnit::Metres => Unit::Metres,
    }
}

fn named(args: &ImportArgs) -> Named<'_> {
    Named {
        distance: args.distance.as_deref(),
        position: args.position.as_deref(),
        kind: args.kind.as_deref(),
        camera: args.camera.as_deref(),
        sd: args.sd.as_deref(),
    }
}
