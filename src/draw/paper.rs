//! The papers, and how close to their edges a printer can be trusted.

use std::sync::OnceLock;

use crate::scene::{Page, PageFault, Rect};
use crate::units::Length;

/// The table of papers.
const TABLE: &str = include_str!("../../charts/papers.csv");

/// Kept free at the sides and the top: no printer we know of cuts off more.
const SIDE: Length = Length::mm(8.0);
/// Kept free at the bottom, where ink-jets lose their grip on the sheet.
const BOTTOM: Length = Length::mm(15.0);
/// Kept free all round on a roll, which is cut to length after printing.
const ROLL: Length = Length::mm(2.0);

/// A paper, upright unless it was laid, with its safe margins.
#[derive(Clone, Debug, PartialEq)]
pub struct Paper {
    id: String,
    blank: Page,
    top: Length,
    side: Length,
    bottom: Length,
}

impl Paper {
    /// Every paper of the table `charts/papers.csv`, in its order.
    #[must_use]
    pub fn all() -> &'static [Self] {
        static ALL: OnceLock<Vec<Paper>> = OnceLock::new();
        // The header and a row that does not read give no paper; a test counts.
        ALL.get_or_init(|| TABLE.lines().filter_map(Self::from_row).collect())
    }

    fn from_row(row: &str) -> Option<Self> {
        let mut cells = row.split(',');
        let (id, name) = (cells.next()?, cells.next()?);
        let mut side = || {
            let number = cells.next()?.parse().ok()?;
            Length::try_mm(number).ok()
        };
        let (width, height) = (side()?, side()?);
        Some(Self {
            id: id.to_owned(),
            blank: Page::new(name, width, height).ok()?,
            top: SIDE,
            side: SIDE,
            bottom: BOTTOM,
        })
    }

    /// The paper with an id such as `a4`.
    #[must_use]
    pub fn named(id: &str) -> Option<&'static Self> {
        Self::all().iter().find(|paper| paper.id == id)
    }

    /// A piece of a roll: as wide as the roll, as long as needed, lying with its
    /// length upright like every paper.
    ///
    /// # Errors
    /// [`PageFault`] unless both are above zero and at most 200 in.
    pub fn roll(width: Length, length: Length) -> Result<Self, PageFault> {
        Ok(Self {
            id: format!("roll:{}mm", width.to_mm()),
            blank: Page::new(&format!("roll {width}"), width, length)?,
            top: ROLL,
            side: ROLL,
            bottom: ROLL,
        })
    }

    /// The paper laid on its side, for what is wide and read on a screen too.
    ///
    /// Through the printer it runs upright, and which of its sides comes last
    /// is the driver's choice: what is kept free at the bottom is kept free at
    /// both sides as well.
    #[must_use]
    pub fn laid(&self) -> Self {
        Self {
            id: self.id.clone(),
            blank: self.page().laid(),
            top: self.top,
            side: self.side.max(self.bottom),
            bottom: self.bottom,
        }
    }

    /// Its id.
    #[must_use]
    pub fn id(&self) -> &str {
        &self.id
    }

    /// Its name, as printed on every page.
    #[must_use]
    pub fn name(&self) -> &str {
        self.blank.paper()
    }

    /// What its two directions are called, across first, so that the words hold
    /// when the page is turned: by the edge each runs along.
    #[must_use]
    pub fn directions(&self) -> [&'static str; 2] {
        let (width, height) = (self.blank.width(), self.blank.height());
        if width < height {
            ["horizontal (short edge)", "vertical (long edge)"]
        } else if height < width {
            ["horizontal (long edge)", "vertical (short edge)"]
        } else {
            ["horizontal", "vertical"]
        }
    }

    /// A blank page of it.
    #[must_use]
    pub fn page(&self) -> Page {
        self.blank.clone()
    }

    /// What a printer can be trusted with: 8 mm from the sides and the top,
    /// 15 mm from the bottom (2 mm all round on a roll); 15 mm from the sides of
    /// a paper that was laid.
    #[must_use]
    pub fn safe(&self) -> Rect {
        self.blank
            .area()
            .inset(self.side, self.top, self.side, self.bottom)
    }

    /// Its name and size in words, as printed on every page.
    #[must_use]
    pub fn size_in_words(&self) -> String {
        let (width, height) = (self.blank.width(), self.blank.height());
        format!("{}, {} × {height}", self.name(), width.to_mm())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_table_gives_a_paper_with_its_own_id() {
        let rows = TABLE.lines().count() - 1;
        assert_eq!(Paper::all().len(), rows);
        for paper in Paper::all() {
            assert_eq!(Paper::named(paper.id()), Some(paper), "{}", paper.id());
        }
    }

    #[test]
    fn letter_is_8_and_a_half_by_11_inches() {
        let letter = Paper::named("letter").expect("in the table");
        let page = letter.page();
        assert!((page.width().to_inches() - 8.5).abs() < 1e-12);
        assert!((page.height().to_inches() - 11.0).abs() < 1e-12);
    }

    #[test]
    fn the_safe_area_of_a4_is_194_by_274() {
        let safe = Paper::named("a4").expect("in the table").safe();
        assert_eq!(safe.width(), Length::mm(194.0));
        assert_eq!(safe.height(), Length::mm(274.0));
    }
}
