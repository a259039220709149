//! Words and rows for a terminal.

use comfy_table::{CellAlignment, Table, presets};

use crate::gear::Assumption;
use crate::units::{Length, Reach, Unit, show};

/// How answers are worded: the unit of output.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Words {
    /// The unit of output.
    pub unit: Unit,
}

impl Words {
    /// A length exactly as it was meant.
    pub(super) fn exact(self, distance: Reach<Length>) -> String {
        match distance {
            Reach::At(length) => show::exact(length, self.unit),
            Reach::Infinity => "∞".into(),
        }
    }

    /// A length rounded to the safe side.
    pub(super) fn rounded(
        self,
        length: Reach<Length>,
        step: show::Step,
        round: show::Round,
    ) -> String {
        match length {
            Reach::At(length) => show::rounded(length, step, round),
            Reach::Infinity => "∞".into(),
        }
    }
}

/// A table without borders: figures to the right, the columns of `words` to the
/// left.
pub(super) fn plain_table(header: &[&str], words: &[&str], rows: Vec<Vec<String>>) -> String {
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    table.set_header(header.iter().copied());
    for row in rows {
        table.add_row(row);
    }
    for (column, name) in table.column_iter_mut().zip(header) {
        let to = if words.contains(name) {
            CellAlignment::Left
        } else {
            CellAlignment::Right
        };
        column.set_cell_alignment(to);
        column.set_padding((2, 1));
    }
    let mut text: String = table.trim_fmt();
    text.push('\n');
    text
}

/// The remarks under an answer, one a line.
pub(super) fn remarks(assumptions: &[Assumption]) -> String {
    let mut out = String::new();
    for note in assumptions {
        out.push_str("· ");
        out.push_str(&note.message);
        out.push('\n');
    }
    out
}
