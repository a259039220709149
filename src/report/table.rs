//! Words and rows for a terminal.

use comfy_table::{CellAlignment, Table, presets};

use crate::gear::Assumption;
use crate::units::show::{Round, step_for};
use crate::units::{Length, Reach, Unit, show};

/// How answers are worded: the unit of output.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Words {
    /// The unit of output.
    pub unit: Unit,
}

impl Words {
    /// A length exactly as it was meant; one that was worked out, to the nearest
    /// step fine enough to set by.
    pub(super) fn exact(self, distance: Reach<Length>) -> String {
        show::as_meant(distance, self.unit)
    }

    /// The same, in steps fine enough for a sharp range.
    pub(super) fn exact_within(self, distance: Reach<Length>, depth: Reach<Length>) -> String {
        match distance {
            Reach::At(length) if show::is_worked_out(length) => {
                self.setting(distance, depth, Round::Nearest)
            }
            _ => self.exact(distance),
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

impl Words {
    /// To the nearest step fine enough to set or frame by.
    pub(super) fn nearest(self, length: Reach<Length>) -> String {
        self.setting(length, Reach::Infinity, Round::Nearest)
    }

    /// Where to focus, in steps fine enough to set by and for a sharp range.
    pub(super) fn setting(
        self,
        focus: Reach<Length>,
        depth: Reach<Length>,
        round: Round,
    ) -> String {
        show::to_set_by(focus, depth, self.unit, round)
    }

    /// Rounded up by steps that suit a depth.
    pub(super) fn up(self, length: Reach<Length>, depth: Reach<Length>) -> String {
        self.rounded(length, step_for(length, self.unit, depth), Round::Up)
    }

    /// Rounded down by steps that suit a depth.
    pub(super) fn down(self, length: Reach<Length>, depth: Reach<Length>) -> String {
        self.rounded(length, step_for(length, self.unit, depth), Round::Down)
    }
}

/// A plain number with so many decimals, never to the unsafe side: what stands
/// on a decimal to within the last digits of a double is that decimal.
pub(super) fn decimals(value: f64, places: usize, round: Round) -> String {
    let scale = (0..places).fold(1.0, |scale, _| scale * 10.0);
    let scaled = value * scale;
    let nearest = libm::round(scaled);
    let on_it = (scaled - nearest).abs() <= 1e-9 * nearest.abs().max(1.0);
    let whole = match round {
        _ if on_it => nearest,
        Round::Up => libm::ceil(scaled),
        Round::Down => libm::floor(scaled),
        Round::Nearest => nearest,
    };
    // Adding zero makes of −0 a 0.
    format!("{:.places$}", whole / scale + 0.0)
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

/// The remark under an answer that shows cautious figures.
pub(super) fn about_cautious(any: bool) -> &'static str {
    if any {
        "· ≈: of the shallowest plausible lens of this focal length, not of a thin one\n"
    } else {
        ""
    }
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
