//! Faults as people and programs read them.

use std::ffi::OsString;
use std::process::ExitCode;

use anstyle::{AnsiColor, Style};
use serde_json::{Value, json};

use super::args::{As, Color};
use super::world;
use crate::data::{Fault, Severity};

/// The form the arguments ask for, before they are known to be in order.
pub(super) fn form_asked_for(args: &[OsString]) -> As {
    let is_json = |text: Option<&OsString>| text.is_some_and(|text| text == "json");
    let asked = args
        .iter()
        .enumerate()
        .any(|(i, arg)| (arg == "--as" && is_json(args.get(i + 1))) || arg == "--as=json");
    if asked { As::Json } else { As::Text }
}

/// Writes faults to standard error and gives the exit code: the machine's
/// failures first, then what cannot be, then what no lens does.
pub(super) fn tell(faults: &[Fault], form: As, color: Color) -> ExitCode {
    tell_with(faults, form, color, in_json(faults))
}

/// The same of a kit that was checked: in JSON, with the keys of a check's
/// answer beside the errors.
pub(super) fn tell_of_check(faults: &[Fault], form: As, color: Color) -> ExitCode {
    let mut value = in_json(faults);
    value["ok"] = json!(false);
    value["faults"] = json!(faults);
    value["understood"] = json!([]);
    tell_with(faults, form, color, value)
}

/// Each fault once, however many readers met it.
fn once(faults: &[Fault]) -> Vec<&Fault> {
    let mut told: Vec<&Fault> = Vec::new();
    for fault in faults {
        if !told.contains(&fault) {
            told.push(fault);
        }
    }
    told
}

fn tell_with(faults: &[Fault], form: As, color: Color, value: Value) -> ExitCode {
    let text = match form {
        As::Json => format!("{value:#}\n"),
        As::Text | As::Csv => once(faults).into_iter().map(in_words).collect(),
    };
    world::remark(&text, color);
    let codes = faults.iter().map(|fault| fault.kind.exit_code());
    ExitCode::from(codes.min().unwrap_or(1))
}

fn in_json(faults: &[Fault]) -> Value {
    match once(faults)[..] {
        [fault] => json!({ "error": fault }),
        ref faults => json!({ "errors": faults }),
    }
}

/// One fault: what, where, and what would be right.
pub(super) fn in_words(fault: &Fault) -> String {
    let style = match fault.severity {
        Severity::Error => AnsiColor::Red.on_default().bold(),
        Severity::Warning => AnsiColor::Yellow.on_default().bold(),
    };
    let bold = Style::new().bold();
    let (name, kind) = (fault.severity.name(), fault.kind.name());
    let place = match &fault.place {
        Some(place) => format!("{bold}{place}{bold:#}: "),
        None => String::new(),
    };
    let mut out = format!(
        "{style}{name}{style:#} ({kind}): {place}{}\n",
        fault.message
    );
    for line in fault.help.iter().flat_map(|help| help.lines()) {
        out.push_str(&format!("  {line}\n"));
    }
    out
}
