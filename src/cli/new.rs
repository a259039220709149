//! `new`: a starter kit to be edited.

use serde::Serialize;

use super::args::{As, NewArgs, Output};
use super::world::{self, NewFile, Replace};
use crate::data::{self, Fault, Kind};
use crate::formula::Steps;

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
    world::write_all(files, Replace::Never)?;
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
    let words = || {
        if args.quiet && args.form == As::Text {
            return String::new();
        }
        format!(
            "a starter kit stands in {folder}: an invented set of seven primes\n\
             edit kit.toml, lenses.csv and marks/, then\n\
             \x20 markwright check --kit {folder}\n\
             \x20 markwright print --kit {folder}\n"
        )
    };
    super::answer(&output, &answer, &answer.files, &Steps::new(), words)
}
