//! Small change of reading: one spelling for each sign, numbers, fractions.

use super::Unreadable;

/// One spelling for each sign: straight quotes, plain spaces, plain minus.
pub(super) fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.trim().chars() {
        match c {
            '′' | '’' | '‘' | 'ʹ' | 'ʼ' | '´' | '`' | '\'' => {
                // Two single strokes are one double stroke.
                if out.ends_with('\'') {
                    out.pop();
                    out.push('"');
                } else {
                    out.push('\'');
                }
            }
            '″' | '”' | '“' | '„' | 'ʺ' | '˝' => out.push('"'),
            '−' | '–' => out.push('-'),
            '⁄' => out.push('/'),
            '\u{a0}' | '\u{202f}' | '\u{2009}' => out.push(' '),
            'µ' | 'μ' => out.push('u'),
            'ƒ' => out.push('f'),
            '×' => out.push('x'),
            _ => match vulgar(c) {
                Some((over, under)) => out.push_str(&format!(" {over}/{under}")),
                None => out.extend(c.to_lowercase()),
            },
        }
    }
    out.trim().to_owned()
}

/// A fraction that is one character.
const fn vulgar(c: char) -> Option<(u8, u8)> {
    Some(match c {
        '½' => (1, 2),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        _ => return None,
    })
}

/// Splits `"2.6 m"` into its leading number and the rest, trimmed. An exponent
/// belongs to the number, as in `1e3 mm`; no unit begins with an e.
pub(super) fn leading_number(text: &str) -> (&str, &str) {
    let end = text
        .char_indices()
        .take_while(|&(i, c)| c.is_ascii_digit() || c == '.' || (i == 0 && (c == '-' || c == '+')))
        .last()
        .map_or(0, |(i, c)| i + c.len_utf8());
    let end = end + exponent(&text[end..]);
    (&text[..end], text[end..].trim_start())
}

/// The length of an exponent at the head of what follows a number's digits.
fn exponent(text: &str) -> usize {
    let Some(after) = text.strip_prefix('e') else {
        return 0;
    };
    let figures = after.strip_prefix(['-', '+']).unwrap_or(after);
    let rest = figures.trim_start_matches(|c: char| c.is_ascii_digit());
    if rest.len() < figures.len() {
        text.len() - rest.len()
    } else {
        0
    }
}

/// Larger than any quantity may be, and small enough to be a length in any unit.
const BEYOND_ALL: f64 = 1e90;

/// A decimal number, shifted by `places` before it is rounded to binary, so that
/// `2.6` metres are exactly 2600 mm. What exceeds all bounds stays finite: it is
/// out of range, not infinite.
pub(super) fn decimal(digits: &str, places: i32) -> Option<f64> {
    let (figures, exponent) = digits.split_once('e').unwrap_or((digits, "0"));
    let ordinary = figures.len() <= 64
        && exponent.len() <= 9
        && figures.bytes().any(|b| b.is_ascii_digit())
        && figures.bytes().filter(|&b| b == b'.').count() <= 1;
    if !ordinary {
        return None;
    }
    let places = places + exponent.parse::<i32>().ok()?;
    let number: f64 = format!("{figures}e{places}").parse().ok()?;
    Some(number.clamp(-BEYOND_ALL, BEYOND_ALL))
}

/// Whether a text spells an infinity or "not a number" where a figure should be.
pub(super) fn spells_no_number(text: &str) -> bool {
    let word = text.trim_start_matches(['-', '+']);
    let word: String = word
        .chars()
        .take_while(|c| c.is_alphabetic() || *c == '∞')
        .collect();
    matches!(
        word.as_str(),
        "nan" | "inf" | "infinity" | "∞" | "infmm" | "nanmm" | "infm" | "nanm"
    )
}

/// Whether a cell looks like a date that a spreadsheet made of a distance.
#[must_use]
pub fn looks_like_a_date(text: &str) -> bool {
    const MONTHS: [&str; 12] = [
        "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
    ];
    let text = text.trim().to_ascii_lowercase();
    let parts: Vec<&str> = text
        .split(['-', '/', ' ', '.', ','])
        .filter(|part| !part.is_empty())
        .collect();
    if parts.len() < 2 || parts.len() > 3 {
        return false;
    }
    let is_number = |part: &str| part.len() <= 4 && part.bytes().all(|b| b.is_ascii_digit());
    let is_month = |part: &str| {
        part.len() >= 3
            && part.bytes().all(|b| b.is_ascii_alphabetic())
            && MONTHS.iter().any(|month| part.starts_with(month))
    };
    let months = parts.iter().filter(|part| is_month(part)).count();
    let numbers = parts.iter().filter(|part| is_number(part)).count();
    // 1.4.2031 and 2031-04-01, but not 2.8/4.
    let separated_by = |sign: char| text.matches(sign).count() == 2;
    let all_numbers = numbers == 3 && ['-', '/', '.'].into_iter().any(separated_by);
    (months == 1 && numbers + 1 == parts.len()) || all_numbers
}

/// The refusal for a text that is no number at all, or spells nan or inf.
pub(super) fn no_number(
    text: &str,
    name: &'static str,
    wanted: &'static str,
    example: &'static str,
) -> Unreadable {
    if spells_no_number(text) {
        Unreadable::NotFinite { name }
    } else {
        Unreadable::NotThis { wanted, example }
    }
}
