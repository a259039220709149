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

/// Splits `"2.6 m"` into its leading number and the rest, trimmed.
pub(super) fn leading_number(text: &str) -> (&str, &str) {
    let end = text
        .char_indices()
        .take_while(|&(i, c)| c.is_ascii_digit() || c == '.' || (i == 0 && (c == '-' || c == '+')))
        .last()
        .map_or(0, |(i, c)| i + c.len_utf8());
    (&text[..end], text[end..].trim_start())
}

/// A decimal number, shifted by `exponent` places before it is rounded to
/// binary, so that `2.6` metres are exactly 2600 mm.
pub(super) fn decimal(digits: &str, exponent: i32) -> Option<f64> {
    let ordinary = digits.len() <= 64
        && digits.bytes().any(|b| b.is_ascii_digit())
        && digits.bytes().filter(|&b| b == b'.').count() <= 1;
    if !ordinary {
        return None;
    }
    format!("{digits}e{exponent}").parse().ok()
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
