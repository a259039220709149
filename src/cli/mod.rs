//! The command: arguments to domain, one library call, answer to text, out.

mod args;
mod check;
mod depth;
mod fail;
mod field;
mod formats;
mod hold;
mod import;
mod kit;
mod lens;
mod new;
mod prep;
mod print;
mod rack;
mod ring;
mod steps;
mod take;
mod tape;
mod wish;
mod world;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::error::ErrorKind;
use serde::Serialize;

use crate::data::{Fault, Kind};
use crate::formula::Steps;
use args::{As, Color, Command, LensCommand, MarksCommand, Output, Typed};

/// Runs the command with its arguments, the program's name first.
#[must_use]
pub fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    let args: Vec<OsString> = args.into_iter().collect();
    let form = fail::form_asked_for(&args);
    let typed = match Typed::read(&args) {
        Ok(typed) => typed,
        Err(error) => return not_parsed(&error, form),
    };
    let (color, result) = match &typed.command {
        Command::New(args) => (args.color, new::run(args)),
        Command::Formats(args) => (args.output.color, formats::run(args)),
        Command::Check(args) => (args.output.color, check::run(args)),
        Command::Depth(args) => (args.output.color, depth::run(args)),
        Command::Field(args) => (args.output.color, field::run(args)),
        Command::Hold(args) => (args.output.color, hold::run(args)),
        Command::Steps(args) => (args.output.color, steps::run(args)),
        Command::Rack(args) => (args.output.color, rack::run(args)),
        Command::Ring(args) => (args.output.color, ring::run(args)),
        Command::Prep(args) => (args.output.color, prep::run(args)),
        Command::Lens(LensCommand::Add(args)) => (args.output.color, lens::run(args)),
        Command::Import(args) => (args.output.color, import::run(args)),
        Command::Marks(MarksCommand::Take(args)) => (args.output.color, take::run(args)),
        Command::Print(args) => (args.output.color, print::run(args)),
    };
    match (result, typed.command) {
        (Ok(()), _) => ExitCode::SUCCESS,
        (Err(faults), Command::Check(_)) => fail::tell_of_check(&faults, form, color),
        (Err(faults), _) => fail::tell(&faults, form, color),
    }
}

/// Help and version are answers; everything else is a fault of usage.
fn not_parsed(error: &clap::Error, form: As) -> ExitCode {
    match error.kind() {
        ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => {
            match world::say(&error.render().to_string()) {
                Ok(()) => ExitCode::SUCCESS,
                Err(fault) => fail::tell(&[fault], form, Color::Auto),
            }
        }
        ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand => {
            let fault = Fault::new(Kind::Usage, "a command is needed")
                .with_help(error.render().to_string().trim_end());
            fail::tell(&[fault], form, Color::Auto)
        }
        _ => {
            let text = error.render().to_string();
            let text = text.trim().trim_start_matches("error: ");
            let (message, help) = text.split_once("\n").unwrap_or((text, ""));
            let mut fault = Fault::new(Kind::Usage, message);
            let help = help.trim();
            if !help.is_empty() {
                fault = fault.with_help(help);
            }
            fail::tell(&[fault], form, Color::Auto)
        }
    }
}

/// Writes an answer in the form asked for; there is at least one row.
fn answer<A: Serialize, R: Serialize>(
    output: &Output,
    answer: &A,
    rows: &[R],
    steps: &Steps,
    words: impl FnOnce() -> String,
) -> Result<(), Vec<Fault>> {
    answer_in_columns(output, answer, (&[], rows), steps, words)
}

/// The same where there may be no row: a table then shows the columns' names.
fn answer_in_columns<A: Serialize, R: Serialize>(
    output: &Output,
    answer: &A,
    (columns, rows): (&[&str], &[R]),
    steps: &Steps,
    words: impl FnOnce() -> String,
) -> Result<(), Vec<Fault>> {
    let text = match output.form {
        As::Text if output.explain => {
            format!("{}\n{}", words(), crate::report::explain::explain(steps))
        }
        As::Text => words(),
        As::Json => crate::report::json::json(answer, output.explain.then_some(steps)),
        As::Csv => crate::report::csv::csv(columns, rows),
    };
    world::say(&text).map_err(|fault| vec![fault])
}
