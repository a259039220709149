//! A table from elsewhere: its lines, what separates its cells, its header.

use crate::data::fault::{Fault, Kind, Place, shortened};
use crate::data::faults::Faults;
use crate::data::keys::most;
use crate::data::table::{self, Cell};
use crate::data::text;

/// So many lines are looked at to find what separates cells.
const LOOKED_AT: usize = 20;

/// What spreadsheets write where a formula has no value.
const ERRORS: [&str; 8] = [
    "#ref!", "#n/a", "#value!", "#div/0!", "#name?", "#num!", "#null!", "#spill!",
];

/// A table from elsewhere.
pub(super) struct Sheet {
    /// What the user calls it.
    pub file: String,
    /// What stands between its cells.
    pub separator: u8,
    text: String,
}

/// A line of the table that counts.
pub(super) struct Line {
    /// Its number, from 1.
    pub number: usize,
    /// Its cells.
    pub cells: Vec<Cell>,
}

impl Sheet {
    /// A table from its bytes.
    ///
    /// # Errors
    /// A fault: too large, no text, nothing in it.
    pub fn open(file: &str, bytes: Vec<u8>) -> Result<Self, Fault> {
        let text = text::text(file, bytes)?;
        if lines(&text).next().is_none() {
            let fault = Fault::new(Kind::TooFew, "no line stands in it");
            return Err(fault.at(Place::in_file(file)).with_help(
                "a table has a line for each mark: where it is, and what the ring read there",
            ));
        }
        Ok(Self {
            file: file.to_owned(),
            separator: separator(&text),
            text,
        })
    }

    /// Its name for what stands between its cells.
    pub const fn separator_name(&self) -> &'static str {
        match self.separator {
            b'\t' => "tab",
            b';' => ";",
            _ => ",",
        }
    }

    /// Whether decimals have a comma: where cells are not separated by one.
    pub const fn has_decimal_commas(&self) -> bool {
        self.separator != b','
    }

    /// Its lines that count, each with its cells or the fault of the line.
    pub fn lines(&self) -> impl Iterator<Item = Result<Line, Fault>> + '_ {
        lines(&self.text).map(|(number, text)| {
            // Far more than are read need not be taken apart to be counted.
            let signs = text.bytes().filter(|byte| *byte == self.separator).count();
            if signs > 10 * most::COLUMNS {
                let message = format!("more columns than are read, {}", most::COLUMNS);
                return Err(Fault::new(Kind::TooLarge, message).at(self.place(number, 1, "")));
            }
            let mut faults = Faults::default();
            let cells = table::cells(&self.file, self.separator, (number, text), &mut faults);
            match cells {
                Some(cells) if cells.len() > most::COLUMNS => {
                    let message = format!(
                        "{} columns; at most {} are read",
                        cells.len(),
                        most::COLUMNS
                    );
                    Err(Fault::new(Kind::TooLarge, message).at(self.place(number, 1, "")))
                }
                Some(cells) => Ok(Line { number, cells }),
                None => Err(faults.into_list().pop().unwrap_or_else(|| {
                    let place = self.place(number, 1, "");
                    Fault::new(Kind::Usage, "the line cannot be read").at(place)
                })),
            }
        })
    }

    /// A place in the table; `key`: the column's name, if it has one.
    pub fn place(&self, line: usize, column: usize, key: &str) -> Place {
        Place {
            line: Some(line),
            column: Some(column),
            key: (!key.is_empty()).then(|| shortened(key)),
            ..Place::in_file(&self.file)
        }
    }
}

/// The lines that are no remark and not blank, from 1. What a spreadsheet writes
/// for a formula without value is no remark.
fn lines(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let counts = |(_, line): &(usize, &str)| {
        let start = line.trim_start().trim_start_matches('"');
        !line.trim().is_empty() && (!start.starts_with('#') || is_error(start))
    };
    text.split('\n')
        .enumerate()
        .filter(counts)
        .map(|(at, line)| (at + 1, line))
}

fn is_error(text: &str) -> bool {
    let text = text.trim().to_ascii_lowercase();
    ERRORS.iter().any(|error| text.starts_with(error))
}

/// What stands between cells: a sign that is in every line, tab before `;` before
/// comma, for a comma may be a decimal's; else the one the first line has most of.
fn separator(text: &str) -> u8 {
    let first: Vec<&str> = lines(text).take(LOOKED_AT).map(|(_, line)| line).collect();
    let in_all = |sign: &u8| {
        first
            .iter()
            .all(|line| line.bytes().any(|byte| byte == *sign))
    };
    let signs = [b'\t', b';', b','];
    signs.iter().copied().find(in_all).unwrap_or_else(|| {
        let count = |sign: &u8| first[0].bytes().filter(|byte| byte == sign).count();
        signs.into_iter().max_by_key(count).unwrap_or(b',')
    })
}

/// Refuses what is no figure but what a spreadsheet was to work out.
pub(super) fn not_worked_out(text: &str) -> Option<Fault> {
    let text = text.trim();
    let shown = shortened(text);
    if is_error(text) {
        let message = format!("\"{shown}\" is what a spreadsheet writes for a formula in error");
        return Some(
            Fault::new(Kind::Usage, message).with_help("mend the formula, or write the figure"),
        );
    }
    let signed = text
        .strip_prefix(['+', '-'])
        .and_then(|rest| rest.chars().next());
    let formula = text.starts_with(['=', '@'])
        || signed.is_some_and(|next| next.is_alphabetic() || matches!(next, '(' | '=' | '$'));
    formula.then(|| {
        let message = format!("\"{shown}\" is a formula, and its value is wanted");
        Fault::new(Kind::Usage, message)
            .with_help("save the table with values in place of formulas, or write the figure")
    })
}

/// Refuses a figure whose one comma or point may part thousands.
pub(super) fn thousands(text: &str, decimal_commas: bool, whole: bool) -> Option<Fault> {
    let text = text.trim();
    // Where decimals have points a comma is strange; of a count, any sign is.
    let signs: &[char] = match (decimal_commas, whole) {
        (_, true) => &[',', '.'],
        (false, false) => &[','],
        (true, false) => &[],
    };
    let of = text.split_whitespace().find(|part| {
        let mut parts = part.split(signs);
        let first = parts
            .next()
            .unwrap_or_default()
            .trim_start_matches(['-', '+']);
        let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
        let rest: Vec<&str> = parts.collect();
        let three = |text: &&str| text.len() == 3 && digits(text);
        !rest.is_empty() && digits(first) && first.len() <= 3 && rest.iter().all(three)
    })?;
    let plain: String = of.chars().filter(|c| !signs.contains(c)).collect();
    let point = of.replace(',', ".");
    let message = format!("\"{}\" may mean {plain} or {point}", shortened(of));
    Some(Fault::new(Kind::Usage, message).with_help(format!(
        "write {plain}, or {point}0 for a decimal: no sign between thousands"
    )))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_separates_cells_is_found_beside_decimal_commas() {
        for (text, sign) in [
            ("distance,position\n6',41.2\n", b','),
            ("distance;position\n6';41,2\n", b';'),
            // No header: one comma and one semicolon in each line.
            ("2,5;41,2\n3;38,0\n", b';'),
            ("2,5\t41,2\n3\t38,0\n", b'\t'),
            ("# a; remark; first\n6',41.2\n", b','),
            ("\"6'; hot\",41.2\n8',38\n", b','),
            ("alone\n", b','),
        ] {
            assert_eq!(separator(text), sign, "{text}");
        }
    }

    #[test]
    fn formulas_and_their_errors_are_known() {
        for text in ["=A1*2", "@sum(A1)", "+A1", "-B2*2", "#REF!", "#n/a", "=1"] {
            assert!(not_worked_out(text).is_some(), "{text}");
        }
        for text in ["-4.5", "+3", "41.2", "6'", "inf", "", "-", "#12"] {
            assert!(not_worked_out(text).is_none(), "{text}");
        }
    }

    #[test]
    fn a_sign_that_may_part_thousands_is_refused() {
        for (text, commas, whole, refused) in [
            ("30,146", false, false, true),
            ("30.146", false, false, false),
            ("41,2", false, false, false),
            ("30,146", true, false, false),
            ("30,146", true, true, true),
            ("30.146", true, true, true),
            ("1,030,146", false, true, true),
            ("30146", false, true, false),
            ("-1,200", false, false, true),
            ("41.2 41,250", false, false, true),
        ] {
            assert_eq!(thousands(text, commas, whole).is_some(), refused, "{text}");
        }
    }
}
