//! `new`: a starter kit to be edited.

use serde::Serialize;

use super::args::{As, NewArgs, Output};
use super::world::{self, NewFile, Replace};
use crate::data::{self, Fault, Kind};
use crate::formula::Steps;

/// A file of the kit, as a row of a table.
#[derive(Serialize)]
struct Row<'a> {
    file: &'a str,
}

#[derive(Serialize)]
struct NewAnswer {
    files: Vec<String>,
    assumptions: [(); 0],
}

/// Writes the kit, whole or not at all.
pub(super) fn run(args: &NewArgs) -> Result<(), Vec<Fault>> {
    let there = args.dir.join("kit.toml");
    if world::is_there(&there) {
        let message = format!("{} holds a kit already", args.dir.display());
        return Err(vec![
            Fault::new(Kind::Exists, message).with_help("choose another folder"),
        ]);
    }
    let files: Vec<NewFile<'_>> = data::starter()
        .iter()
        .map(|(name, text)| NewFile {
            path: args.dir.join(name),
            content: Box::new(|out| out.write_all(text.as_bytes())),
        })
        .collect();
    let names: Vec<String> = files
        .iter()
        .map(|file| file.path.display().to_string())
        .collect();
    world::write_all(files, Replace::Never)
        .map_err(|faults| faults.into_iter().map(in_the_way).collect::<Vec<_>>())?;
    let output = Output {
        form: args.form,
        color: args.color,
        ..Output::default()
    };
    let answer = NewAnswer {
        files: names,
        assumptions: [],
    };
    let folder = args.dir.display();
    if !args.quiet && args.form != As::Json {
        let talk = format!(
            "a starter kit stands in {folder}: an invented set of seven primes\n\
             edit kit.toml, lenses.csv and marks/, then (prep.csv and shots.csv are examples:\n\
             with lenses of your own delete them, or fill them anew)\n\
             \x20 markwright check --kit {folder}\n\
             \x20 markwright print --kit {folder}\n"
        );
        world::remark(&talk, args.color);
    }
    let rows: Vec<Row<'_>> = answer.files.iter().map(|file| Row { file }).collect();
    super::answer(&output, &answer, &rows, &Steps::new(), String::new)
}

/// A file that is there already, where nothing is ever written over.
fn in_the_way(fault: Fault) -> Fault {
    if fault.kind == Kind::Exists {
        fault.with_help("choose another folder, or move the file away")
    } else {
        fault
    }
}
