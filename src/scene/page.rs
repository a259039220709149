//! One sheet of paper with what stands on it.

use core::fmt;

use super::geometry::{Affine, Point, Rect};
use super::item::{Ink, Item};
use crate::units::Length;

/// Longest side a page may have: what PDF readers accept (200 in).
const LONGEST: Length = Length::inches(200.0);

/// How far a printed 100 mm may be off before it is taken for a slip of the ruler.
const MEASURED_MM: (f64, f64) = (90.0, 110.0);

/// What a printer does to lengths, and how to undo it.
///
/// Applied in one place only, [`Page::to_paper`], to everything on the page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Correction {
    horizontal: f64,
    vertical: f64,
}

/// A measured length that no working printer makes of 100 mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CorrectionFault {
    /// What was said to have been measured.
    pub measured: Length,
}

impl fmt::Display for CorrectionFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (low, high) = MEASURED_MM;
        write!(
            f,
            "a printed 100 mm cannot measure {}; it must lie between {low} and {high} mm",
            self.measured
        )
    }
}

impl std::error::Error for CorrectionFault {}

impl Correction {
    /// For a printer that is true.
    pub const NONE: Self = Self {
        horizontal: 1.0,
        vertical: 1.0,
    };

    /// The correction for a printer whose 100 mm measured so much on paper,
    /// across and down the page as it is read.
    ///
    /// # Errors
    /// [`CorrectionFault`] for the first of the two outside 90 to 110 mm.
    pub fn from_printed_100mm(
        horizontal: Length,
        vertical: Length,
    ) -> Result<Self, CorrectionFault> {
        let factor = |measured: Length| {
            let (low, high) = MEASURED_MM;
            if (low..=high).contains(&measured.to_mm()) {
                Ok(100.0 / measured.to_mm())
            } else {
                Err(CorrectionFault { measured })
            }
        };
        Ok(Self {
            horizontal: factor(horizontal)?,
            vertical: factor(vertical)?,
        })
    }

    /// Whether it changes nothing.
    #[must_use]
    pub fn is_none(&self) -> bool {
        *self == Self::NONE
    }
}

/// A page size that no paper has.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PageFault {
    /// The width asked for.
    pub width: Length,
    /// The height asked for.
    pub height: Length,
}

impl fmt::Display for PageFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "no page can be {} wide and {} high; each must be above 0 and at most {LONGEST}",
            self.width, self.height
        )
    }
}

impl std::error::Error for PageFault {}

/// One sheet of paper with what stands on it.
///
/// Width and height are above zero and at most 200 in.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    paper: String,
    width: Length,
    height: Length,
    background: Ink,
    true_to_scale: bool,
    title: String,
    code: Option<String>,
    correction: Correction,
    items: Vec<Item>,
}

impl Page {
    /// A blank white page, true to scale, on a paper with a name.
    ///
    /// # Errors
    /// [`PageFault`] unless both sides are above zero and at most 200 in.
    pub fn new(paper: &str, width: Length, height: Length) -> Result<Self, PageFault> {
        let fits = |side: Length| side.is_positive() && side <= LONGEST;
        if !fits(width) || !fits(height) {
            return Err(PageFault { width, height });
        }
        Ok(Self {
            paper: paper.to_owned(),
            width,
            height,
            background: Ink::White,
            true_to_scale: true,
            title: String::new(),
            code: None,
            correction: Correction::NONE,
            items: Vec::new(),
        })
    }

    /// The page on the same paper laid on its side: as wide as it was high.
    #[must_use]
    pub fn laid(self) -> Self {
        Self {
            width: self.height,
            height: self.width,
            ..self
        }
    }

    /// The page with another ground.
    #[must_use]
    pub fn with_background(self, background: Ink) -> Self {
        Self { background, ..self }
    }

    /// The page with a title, for the file rather than for the paper.
    #[must_use]
    pub fn with_title(self, title: &str) -> Self {
        Self {
            title: super::printable(title),
            ..self
        }
    }

    /// The page with the code of the sheet it belongs to.
    #[must_use]
    pub fn with_code(self, code: &str) -> Self {
        Self {
            code: Some(super::printable(code)),
            ..self
        }
    }

    /// The page for a certain printer.
    #[must_use]
    pub fn with_correction(self, correction: Correction) -> Self {
        Self { correction, ..self }
    }

    /// The page as one that need not be printed 1:1.
    #[must_use]
    pub fn not_to_scale(self) -> Self {
        Self {
            true_to_scale: false,
            ..self
        }
    }

    /// Puts one more item on the page, over what is there.
    pub fn push(&mut self, item: impl Into<Item>) {
        self.items.push(item.into());
    }

    /// Puts more items on the page, over what is there.
    pub fn extend(&mut self, items: impl IntoIterator<Item = Item>) {
        self.items.extend(items);
    }

    /// Name of its paper.
    #[must_use]
    pub fn paper(&self) -> &str {
        &self.paper
    }

    /// Width of its paper.
    #[must_use]
    pub const fn width(&self) -> Length {
        self.width
    }

    /// Height of its paper.
    #[must_use]
    pub const fn height(&self) -> Length {
        self.height
    }

    /// The whole paper.
    #[must_use]
    pub fn area(&self) -> Rect {
        Rect::between(Point::ORIGIN, Point::new(self.width, self.height))
    }

    /// Its ground.
    #[must_use]
    pub const fn background(&self) -> Ink {
        self.background
    }

    /// Whether it must be printed 1:1.
    #[must_use]
    pub const fn is_true_to_scale(&self) -> bool {
        self.true_to_scale
    }

    /// Its title; empty when it has none.
    #[must_use]
    pub fn title(&self) -> &str {
        &self.title
    }

    /// The code of the sheet it belongs to.
    #[must_use]
    pub fn code(&self) -> Option<&str> {
        self.code.as_deref()
    }

    /// What stands on it, the lowest first.
    #[must_use]
    pub fn items(&self) -> &[Item] {
        &self.items
    }

    /// The map from the drawing to the paper: nothing, or the correction for
    /// the printer about the centre of the page. Back ends begin with it; there
    /// is no other place where anything is scaled.
    #[must_use]
    pub fn to_paper(&self) -> Affine {
        let centre = Point::new(self.width / 2.0, self.height / 2.0);
        let Correction {
            horizontal,
            vertical,
        } = self.correction;
        if self.correction.is_none() {
            Affine::IDENTITY
        } else {
            Affine::stretched(horizontal, vertical, centre)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn a4() -> Page {
        Page::new("A4", Length::mm(210.0), Length::mm(297.0)).expect("A4 is a paper")
    }

    #[test]
    fn what_printed_at_96_mm_comes_out_at_100_after_correction() {
        let correction = Correction::from_printed_100mm(Length::mm(96.0), Length::mm(98.0))
            .expect("a plausible printer");
        let map = a4().with_correction(correction).to_paper();
        let (one, other) = (
            map.apply(Point::mm(50.0, 100.0)),
            map.apply(Point::mm(150.0, 200.0)),
        );
        // The printer then shrinks by 0.96 and 0.98.
        assert!(((other.x - one.x).to_mm() * 0.96 - 100.0).abs() < 1e-9);
        assert!(((other.y - one.y).to_mm() * 0.98 - 100.0).abs() < 1e-9);
        let centre = map.apply(Point::mm(105.0, 148.5));
        assert!((centre.x.to_mm() - 105.0).abs() < 1e-9);
        assert!((centre.y.to_mm() - 148.5).abs() < 1e-9);
    }

    #[test]
    fn a_slip_of_the_ruler_is_refused() {
        for wrong in [10.0, 89.99, 110.01, 254.0] {
            let given = Correction::from_printed_100mm(Length::mm(100.0), Length::mm(wrong));
            assert_eq!(
                given,
                Err(CorrectionFault {
                    measured: Length::mm(wrong)
                })
            );
        }
    }

    #[test]
    fn a_page_has_an_ordinary_size() {
        assert!(Page::new("?", Length::ZERO, Length::mm(297.0)).is_err());
        assert!(Page::new("?", Length::mm(210.0), Length::m(6.0)).is_err());
    }
}
