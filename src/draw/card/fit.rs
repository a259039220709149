//! Words and figures made to fit.

use super::super::words;
use crate::scene::TextRun;
use crate::scene::{Face, Item, Point, Weight, printable};
use crate::units::{Length, Unit};

/// From baseline to baseline of the foot, in heights of figures.
const LEADING: f64 = 1.35;

/// Words that can be shown, cut with an ellipsis where they are wider than
/// `width`; nothing where not even a letter has room.
pub(in crate::draw) fn shortened(
    text: &str,
    weight: Weight,
    height: Length,
    width: Length,
) -> String {
    let face = Face::of(weight);
    let text = printable(text.trim());
    // Sums of the same widths in another order differ in the last digits.
    let width = width + Length::mm(1e-6);
    let room = width - face.advance("…", height);
    let mut used = Length::ZERO;
    // How many letters go before an ellipsis, until it is clear that all fit.
    let mut before = 0;
    for (count, letter) in text.chars().enumerate() {
        used = used + face.advance(letter.encode_utf8(&mut [0; 4]), height);
        if used > width {
            let kept: String = text.chars().take(before).collect();
            let kept = kept.trim_end();
            return if kept.is_empty() {
                String::new()
            } else {
                format!("{kept}…")
            };
        }
        if used <= room {
            before = count + 1;
        }
    }
    text
}

/// A distance of the sheet as it is set: metres without the unit, which the
/// head of the column names, fractions of an inch as narrow as `½`.
pub(in crate::draw) fn distance(text: &str, unit: Unit) -> String {
    figure(text, unit, " m")
}

/// A miss likewise, centimetres without the unit.
pub(super) fn miss(text: &str, unit: Unit) -> String {
    figure(text, unit, " cm")
}

fn figure(text: &str, unit: Unit, named: &str) -> String {
    match unit {
        Unit::Metres => text.strip_suffix(named).unwrap_or(text).to_owned(),
        // The space before a fraction is for the eye; raised figures need none.
        Unit::Feet => narrow_fraction(text).replace(' ', ""),
    }
}

/// `5′7 3⁄16″` with the fraction in raised and lowered figures.
fn narrow_fraction(text: &str) -> String {
    let Some((before, under)) = text.split_once('⁄') else {
        return text.to_owned();
    };
    let over = before.rsplit(|c: char| !c.is_ascii_digit()).next();
    let over = over.unwrap_or_default();
    let whole = before.strip_suffix(over).unwrap_or(before).trim_end();
    let raised = over.chars().map(|c| raise(c, &RAISED));
    let lowered = under.chars().map(|c| raise(c, &LOWERED));
    whole
        .chars()
        .chain(raised)
        .chain(core::iter::once('⁄'))
        .chain(lowered)
        .collect()
}

const RAISED: [char; 10] = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];
const LOWERED: [char; 10] = ['₀', '₁', '₂', '₃', '₄', '₅', '₆', '₇', '₈', '₉'];

fn raise(c: char, row: &[char; 10]) -> char {
    let digit = c.to_digit(10).and_then(|digit| usize::try_from(digit).ok());
    digit.and_then(|digit| row.get(digit)).copied().unwrap_or(c)
}

/// The widest of some figures.
pub(super) fn widest<'a>(
    figures: impl Iterator<Item = &'a str>,
    weight: Weight,
    height: Length,
) -> Length {
    let face = Face::of(weight);
    figures
        .map(|figure| face.advance(figure, height))
        .fold(Length::ZERO, Length::max)
}

/// The paragraphs of the foot, set within a width.
#[derive(Clone)]
pub(super) struct Foot {
    lines: Vec<String>,
    size: Length,
}

impl Foot {
    /// Settings from the most legible to the closest: paragraphs each on a line
    /// of its own, or run on.
    pub(super) fn settings(paragraphs: &[String], width: Length) -> Vec<Self> {
        let run_on = [paragraphs.join(" · ")];
        [3.0, 2.6, 2.4, 2.2, 2.0]
            .into_iter()
            .flat_map(|size| [(paragraphs, size), (run_on.as_slice(), size)])
            .map(|(paragraphs, size)| Self::set(paragraphs, Length::mm(size), width))
            .collect()
    }

    fn set(paragraphs: &[String], size: Length, width: Length) -> Self {
        let lines = paragraphs
            .iter()
            .flat_map(|paragraph| {
                let paragraph = printable(paragraph);
                words::broken(&paragraph, Weight::Regular, size, width)
            })
            .map(|line| shortened(&line, Weight::Regular, size, width))
            .collect();
        Self { lines, size }
    }

    /// The height of its figures.
    pub(super) const fn size(&self) -> Length {
        self.size
    }

    /// From its top to just under its last line.
    pub(super) fn height(&self) -> Length {
        self.size * LEADING * self.lines.len() as f64
    }

    /// Its lines, below a top left corner.
    pub(super) fn items(&self, corner: Point) -> Vec<Item> {
        let mut baseline = corner.y + self.size;
        let mut items = Vec::new();
        for line in &self.lines {
            items.push(TextRun::new(line, self.size, Point::new(corner.x, baseline)).into());
            baseline = baseline + self.size * LEADING;
        }
        items
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_too_wide_ends_in_an_ellipsis_within_the_width() {
        let (height, width) = (Length::mm(3.0), Length::mm(30.0));
        let long = "an uncommonly long name of a lens";
        let cut = shortened(long, Weight::Regular, height, width);
        assert!(cut.ends_with('…') && cut.chars().count() > 5, "{cut}");
        assert!(Face::of(Weight::Regular).advance(&cut, height) <= width);
        assert_eq!(shortened("50", Weight::Regular, height, width), "50");
        assert_eq!(shortened(long, Weight::Regular, height, Length::ZERO), "");
    }

    #[test]
    fn fractions_are_narrow_and_keep_their_figures() {
        assert_eq!(distance("5′7 3⁄16″", Unit::Feet), "5′7³⁄₁₆″");
        assert_eq!(miss("−3⁄32″", Unit::Feet), "−³⁄₃₂″");
        assert_eq!(distance("1′0 29⁄64″", Unit::Feet), "1′0²⁹⁄₆₄″");
        assert_eq!(distance("5′9½″", Unit::Feet), "5′9½″");
        assert_eq!(distance("11 ⅝″", Unit::Feet), "11⅝″");
        assert_eq!(distance("2.58 m", Unit::Metres), "2.58");
        assert_eq!(miss("−6 cm", Unit::Metres), "−6");
        assert_eq!(miss("+12 m", Unit::Metres), "+12 m");
    }

    #[test]
    fn the_face_has_raised_and_lowered_figures_in_both_weights() {
        let all: String = RAISED.iter().chain(&LOWERED).collect();
        assert_eq!(Face::lacking(&all), vec![]);
    }
}
