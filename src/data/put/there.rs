//! What becomes of marks that a lens has already.

use super::form;
use super::import::IfThere;
use crate::data::fault::{Fault, Kind, Place};
use crate::gear::{Kit, Lens};

/// What becomes of the lens's file of marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum How {
    /// There are none.
    New,
    /// The empty form stands there.
    Form,
    /// Rows are put at their end.
    Append,
    /// They are written anew.
    Replace,
}

impl How {
    /// Nothing where a file is there and nobody said what to do with it.
    pub fn of(there: &Option<Vec<u8>>, kit: &Kit, lens: &Lens, asked: IfThere) -> Option<Self> {
        match (there, asked) {
            (None, _) => Some(Self::New),
            (Some(_), IfThere::Append) => Some(Self::Append),
            // Nobody wrote anything into it: nothing of the user's is lost.
            (Some(bytes), _) if *bytes == form::form(kit, lens).0 => Some(Self::Form),
            (Some(_), IfThere::Replace) => Some(Self::Replace),
            (Some(_), IfThere::Refuse) => None,
        }
    }

    pub const fn name(self) -> &'static str {
        match self {
            Self::New => "new",
            Self::Form => "form",
            Self::Append => "appended",
            Self::Replace => "replaced",
        }
    }
}

/// The refusal to touch marks that are there.
pub(super) fn exists(file: &str, names: &[String]) -> Fault {
    let message = "the lens has marks already, and they are left as they are";
    Fault::new(Kind::Exists, message)
        .at(Place::in_file(file))
        .with_help(format!(
            "--append puts these rows at its end; --replace writes it anew and keeps the old one \
             as {}",
            free_name(file, names)
        ))
}

/// A name beside a file of marks that nothing has yet.
pub(super) fn free_name(file: &str, names: &[String]) -> String {
    let own = file.rsplit('/').next().unwrap_or(file);
    let taken = |number: &usize| {
        let name = format!("{own}.{number}").to_lowercase();
        names.iter().any(|other| other.to_lowercase() == name)
    };
    let free = (1..).find(|number| !taken(number)).unwrap_or(1);
    format!("{file}.{free}")
}
