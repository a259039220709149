//! The letters: DejaVu Sans Condensed, regular and bold, read from its crate.

use std::sync::OnceLock;

use super::geometry::{Point, Rect};
use super::path::{Path, Segment};
use crate::units::Length;

/// What stands for a character that cannot be shown.
const BOX: char = '\u{25A1}';

/// How heavy the letters are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Weight {
    /// Ordinary.
    #[default]
    Regular,
    /// Heavy, for what is read first.
    Bold,
}

/// The number of a drawn letter within its face.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Glyph(u16);

impl Glyph {
    /// The number itself.
    #[must_use]
    pub const fn number(self) -> u16 {
        self.0
    }
}

/// One weight of the face: how wide each letter is, and its outline.
///
/// Figures are tabular (all of one width); there is no kerning and no joining
/// of letters, so a run is as wide as the sum of its letters.
pub struct Face {
    inner: ttf_parser::Face<'static>,
    bytes: &'static [u8],
    units_per_em: f64,
    capital: f64,
}

impl Face {
    /// The face of a weight, read once.
    #[must_use]
    pub fn of(weight: Weight) -> &'static Self {
        static REGULAR: OnceLock<Face> = OnceLock::new();
        static BOLD: OnceLock<Face> = OnceLock::new();
        match weight {
            Weight::Regular => {
                REGULAR.get_or_init(|| Self::read(dejavu::sans_condensed::regular()))
            }
            Weight::Bold => BOLD.get_or_init(|| Self::read(dejavu::sans_condensed::bold())),
        }
    }

    fn read(bytes: &'static [u8]) -> Self {
        // The two faces are embedded at compile time and opened by the tests
        // below, so this cannot fail at run time.
        #[allow(clippy::expect_used)]
        let inner = ttf_parser::Face::parse(bytes, 0).expect("an embedded face opens");
        let units_per_em = f64::from(inner.units_per_em());
        // The face states no cap height, so the capital H is measured.
        let capital = inner
            .glyph_index('H')
            .and_then(|glyph| inner.glyph_bounding_box(glyph))
            .map_or(0.729 * units_per_em, |rect| f64::from(rect.y_max));
        Self {
            inner,
            bytes,
            units_per_em,
            capital,
        }
    }

    /// The whole font file, for a back end that embeds part of it.
    #[must_use]
    pub const fn bytes(&self) -> &'static [u8] {
        self.bytes
    }

    /// The type size (em) at which figures and capitals are this high.
    #[must_use]
    pub fn em(&self, height: Length) -> Length {
        height * (self.units_per_em / self.capital)
    }

    fn millimetres_per_unit(&self, height: Length) -> f64 {
        height.to_mm() / self.capital
    }

    /// The letter for a character; what the face lacks gives the box.
    #[must_use]
    pub fn glyph(&self, character: char) -> Glyph {
        let found = self.inner.glyph_index(character);
        let shown = found.or_else(|| self.inner.glyph_index(BOX));
        Glyph(shown.map_or(0, |glyph| glyph.0))
    }

    /// How far one letter moves the pen, as a part of the em.
    #[must_use]
    pub fn advance_per_em(&self, glyph: Glyph) -> f64 {
        let units = self.inner.glyph_hor_advance(ttf_parser::GlyphId(glyph.0));
        f64::from(units.unwrap_or(0)) / self.units_per_em
    }

    /// How far a run of words goes along its baseline when its figures are this high.
    #[must_use]
    pub fn advance(&self, words: &str, height: Length) -> Length {
        let ems: f64 = words
            .chars()
            .map(|character| self.advance_per_em(self.glyph(character)))
            .sum();
        self.em(height) * ems
    }

    /// The rectangle around the ink of a run whose baseline begins at the
    /// origin (above the baseline is negative); `None` for blanks.
    #[must_use]
    pub fn ink(&self, words: &str, height: Length) -> Option<Rect> {
        let scale = self.millimetres_per_unit(height);
        let mut pen = 0.0;
        let mut around: Option<Rect> = None;
        for character in words.chars() {
            let glyph = self.glyph(character);
            let inner = ttf_parser::GlyphId(glyph.0);
            if let Some(units) = self.inner.glyph_bounding_box(inner) {
                let corner =
                    |x: i16, y: i16| Point::mm((pen + f64::from(x)) * scale, -f64::from(y) * scale);
                let rect = Rect::between(
                    corner(units.x_min, units.y_min),
                    corner(units.x_max, units.y_max),
                );
                around = Some(around.map_or(rect, |before| before.around(rect)));
            }
            pen += self.advance_per_em(glyph) * self.units_per_em;
        }
        around
    }

    /// The outlines of a run whose baseline begins at the origin.
    #[must_use]
    pub fn outline(&self, words: &str, height: Length) -> Path {
        let mut pen = Outline {
            steps: Vec::new(),
            here: (0.0, 0.0),
            across: 0.0,
            scale: self.millimetres_per_unit(height),
        };
        for character in words.chars() {
            let glyph = self.glyph(character);
            // `None` is a blank: nothing to draw, but the pen moves on.
            let _ = self
                .inner
                .outline_glyph(ttf_parser::GlyphId(glyph.0), &mut pen);
            pen.across += self.advance_per_em(glyph) * self.units_per_em;
        }
        Path::new(pen.steps)
    }

    fn has(&self, character: char) -> bool {
        self.inner.glyph_index(character).is_some()
    }
}

/// Whether both weights can show a character and it is safe in one line.
fn shows(character: char) -> bool {
    let turns_direction = matches!(character, '\u{200E}' | '\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}');
    !character.is_control()
        && !turns_direction
        && Face::of(Weight::Regular).has(character)
        && Face::of(Weight::Bold).has(character)
}

impl Face {
    /// Which characters of some words cannot be shown, each once, in order.
    #[must_use]
    pub fn lacking(words: &str) -> Vec<char> {
        let mut lacking = Vec::new();
        for character in words.chars() {
            if !character.is_whitespace() && !shows(character) && !lacking.contains(&character) {
                lacking.push(character);
            }
        }
        lacking
    }
}

/// The words in characters that can be shown on one line.
///
/// Every kind of blank becomes a space; a character that a weight of the face
/// lacks, a control character or one that turns the reading direction becomes a
/// visible box. The number of characters stays the same.
#[must_use]
pub fn printable(words: &str) -> String {
    let show = |character: char| {
        if character.is_whitespace() && character != '\u{A0}' {
            ' '
        } else if shows(character) {
            character
        } else {
            BOX
        }
    };
    words.chars().map(show).collect()
}

/// Turns font units (y up) into a path in millimetres (y down).
struct Outline {
    steps: Vec<Segment>,
    here: (f64, f64),
    across: f64,
    scale: f64,
}

impl Outline {
    fn point(&self, (x, y): (f64, f64)) -> Point {
        Point::mm((self.across + x) * self.scale, -y * self.scale)
    }
}

impl ttf_parser::OutlineBuilder for Outline {
    fn move_to(&mut self, x: f32, y: f32) {
        self.here = (x.into(), y.into());
        self.steps.push(Segment::Move(self.point(self.here)));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.here = (x.into(), y.into());
        self.steps.push(Segment::Line(self.point(self.here)));
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        // A quadratic curve is the cubic whose controls lie two thirds of the
        // way to its one control point.
        let control: (f64, f64) = (x1.into(), y1.into());
        let end: (f64, f64) = (x.into(), y.into());
        let toward = |from: (f64, f64)| {
            (
                from.0 + (control.0 - from.0) * 2.0 / 3.0,
                from.1 + (control.1 - from.1) * 2.0 / 3.0,
            )
        };
        let (one, two) = (toward(self.here), toward(end));
        self.steps.push(Segment::Cubic(
            self.point(one),
            self.point(two),
            self.point(end),
        ));
        self.here = end;
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let (one, two) = ((x1.into(), y1.into()), (x2.into(), y2.into()));
        self.here = (x.into(), y.into());
        self.steps.push(Segment::Cubic(
            self.point(one),
            self.point(two),
            self.point(self.here),
        ));
    }

    fn close(&mut self) {
        self.steps.push(Segment::Close);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_tabular_in_both_weights() {
        for weight in [Weight::Regular, Weight::Bold] {
            let face = Face::of(weight);
            let one = face.advance("1", Length::mm(4.0));
            for figure in ["0", "2", "3", "4", "5", "6", "7", "8", "9"] {
                assert_eq!(face.advance(figure, Length::mm(4.0)), one);
            }
        }
    }

    #[test]
    fn the_face_has_every_sign_of_the_trade() {
        let signs = "0123456789 ′″ ½¼¾⅛⅜⅝⅞ ∞ ± ≤ ≥ ≈ × ÷ ° · – — − ‹ › ▲△▼▽◆●○□ → ← ↑ ↓ ⌀ ƒ µ δ Δ é ß Ł ő ş ж";
        assert_eq!(Face::lacking(signs), vec![]);
    }

    #[test]
    fn what_the_face_lacks_becomes_a_box_and_is_never_lost() {
        let typed = "A\u{1F3A5}\u{0}\u{202E}B\nC\tD";
        assert_eq!(printable(typed), "A□□□B C D");
        assert_eq!(Face::lacking(typed), vec!['\u{1F3A5}', '\u{0}', '\u{202E}']);
    }

    #[test]
    fn a_capital_is_exactly_as_high_as_asked_for() {
        let ink = Face::of(Weight::Bold)
            .ink("H", Length::mm(10.0))
            .expect("ink");
        assert!((ink.height().to_mm() - 10.0).abs() < 1e-9);
    }

    #[test]
    fn the_outline_lies_within_the_ink() {
        let face = Face::of(Weight::Regular);
        let outline = face.outline("H7", Length::mm(5.0)).bounds().expect("ink");
        let ink = face.ink("H7", Length::mm(5.0)).expect("ink");
        assert!((outline.right().to_mm() - ink.right().to_mm()).abs() < 0.01);
        assert!((outline.top().to_mm() - ink.top().to_mm()).abs() < 0.01);
    }
}
