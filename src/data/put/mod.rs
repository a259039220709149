//! Putting lenses and marks into a kit: what its files must become.
//!
//! Nothing here knows a disk: files come in as [`Files`](super::Files) and go out
//! as [`Change`]s. What is to be written is read by the reader of kits first, the
//! only judge of what a kit may say; where it finds a fault, nothing changes.

mod answer;
mod columns;
mod form;
mod import;
mod lens;
mod line;
mod rows;
mod sheet;
mod there;

pub use answer::{Change, Columns, ImportAnswer, ImportRow, LensAddAnswer, Taken};
pub use columns::Named;
pub use import::{From, IfThere, ImportWish, Imported, import};
pub use lens::{LensAdded, NewLens, add_lens, option_of};

use super::fault::{Fault, Severity};
use super::{Understood, understood};
use crate::gear::Kit;
use crate::units::{BareUnit, FocusDistance, Reach, Unit, parse, show};

/// So many faults are told one by one.
const MOST_TOLD: usize = 100;

/// Faults that are told, and the number of those that are not.
fn told(mut faults: Vec<Fault>) -> Vec<Fault> {
    let more = faults.len().saturating_sub(MOST_TOLD);
    if more > 0 {
        faults.truncate(MOST_TOLD);
        let message = format!("and {more} more: they are not told one by one");
        faults.push(Fault::new(super::Kind::TooLarge, message));
    }
    faults
}

/// Errors without the warnings beside them; nothing where there is no error.
fn errors(faults: &[Fault]) -> Vec<Fault> {
    let errors = faults.iter();
    let errors = errors.filter(|fault| fault.severity == Severity::Error);
    errors.cloned().collect()
}

/// A distance as a cell holds it: as it was typed where that has its unit, else
/// exactly, with its unit.
fn in_a_cell(typed: &str, distance: FocusDistance, unit: Unit) -> String {
    match parse::distance(typed, BareUnit::Refused(None)) {
        Ok(meant) if meant == distance => typed.trim().to_owned(),
        _ => as_written(distance, unit),
    }
}

/// A distance as people type it, exactly.
fn as_written(distance: FocusDistance, unit: Unit) -> String {
    match distance.reach() {
        Reach::Infinity => "inf".into(),
        Reach::At(length) => show::exact(length, unit)
            .replace('′', "'")
            .replace('″', "\"")
            .replace(" m", "m"),
    }
}

/// What was understood of one lens, as far as it is about these things; all of
/// it where none is named.
fn understood_of(kit: &Kit, id: &str, about: &[&str]) -> Vec<Understood> {
    let said = understood(kit).into_iter();
    said.filter(|said| said.lens.as_deref() == Some(id))
        .filter(|said| about.is_empty() || about.contains(&said.about))
        .collect()
}
