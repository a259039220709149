//! Lines of words that keep within a width.

use crate::scene::{Face, Item, Point, TextRun, Weight};
use crate::units::Length;

/// Distance from baseline to baseline, in heights of figures.
const LEADING: f64 = 1.75;

/// A block of lines: its items, from a top left corner down, and how far down
/// the last baseline lies.
pub(super) struct Block {
    /// The lines, relative to the top left corner.
    pub(super) items: Vec<Item>,
    /// Distance from the top of the block to just under its last line.
    pub(super) height: Length,
}

/// Signs that stay with the word they stand before.
const SIGNS: [&str; 4] = ["▼", "▽", "▲", "△"];

/// Breaks words between blanks so that no line is wider than `width` (a single
/// longer word stands alone and sticks out).
pub(super) fn broken(words: &str, weight: Weight, height: Length, width: Length) -> Vec<String> {
    filled(words.split_whitespace(), weight, height, width)
}

/// Fills lines no wider than `width` with words that are not broken themselves.
pub(super) fn filled<'a>(
    words: impl Iterator<Item = &'a str>,
    weight: Weight,
    height: Length,
    width: Length,
) -> Vec<String> {
    let face = Face::of(weight);
    let blank = face.advance(" ", height);
    let mut lines: Vec<String> = Vec::new();
    let mut along = Length::ZERO;
    let mut sign = None;
    for word in words {
        if SIGNS.contains(&word) {
            sign = Some(word);
            continue;
        }
        let word = match sign.take() {
            Some(sign) => format!("{sign} {word}"),
            None => word.to_owned(),
        };
        // There is no kerning: widths add up.
        let wide = face.advance(&word, height);
        match lines.last_mut() {
            Some(line) if along + blank + wide <= width => {
                line.push(' ');
                line.push_str(&word);
                along = along + blank + wide;
            }
            _ => {
                lines.push(word);
                along = wide;
            }
        }
    }
    // Nothing follows it.
    lines.extend(sign.map(str::to_owned));
    lines
}

/// Sets paragraphs one under the other within a width.
pub(super) fn block(paragraphs: &[(&str, Weight)], height: Length, width: Length) -> Block {
    let mut items = Vec::new();
    let mut down = Length::ZERO;
    for &(words, weight) in paragraphs {
        for line in broken(words, weight, height, width) {
            let at = Point::new(Length::ZERO, down + height);
            let run = TextRun::new(&line, height, at);
            items.push(match weight {
                Weight::Regular => run.into(),
                Weight::Bold => run.bold().into(),
            });
            down = down + height * LEADING;
        }
        // Half a line between paragraphs.
        down = down + height * (LEADING / 2.0);
    }
    Block {
        items,
        height: down,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_wider_than_asked_and_no_word_is_lost() {
        let words = "wrap the strip round the ring where the tape will sit and read where it meets";
        let (height, width) = (Length::mm(2.5), Length::mm(40.0));
        let lines = broken(words, Weight::Regular, height, width);
        let face = Face::of(Weight::Regular);
        assert!(lines.len() > 2);
        assert!(lines.iter().all(|line| face.advance(line, height) <= width));
        assert_eq!(lines.join(" "), words);
    }

    #[test]
    fn a_sign_is_not_left_behind_at_the_end_of_a_line() {
        let words = "▼ set the ring to three feet · ▽ check at six feet · ▽";
        for mm in 8..60 {
            let width = Length::mm(f64::from(mm));
            let lines = broken(words, Weight::Regular, Length::mm(2.0), width);
            assert_eq!(lines.join(" "), words);
            let all_but_last = &lines[..lines.len() - 1];
            assert!(
                !all_but_last.iter().any(|line| line.ends_with(['▼', '▽'])),
                "{lines:?}"
            );
        }
    }
}
