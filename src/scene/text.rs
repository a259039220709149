//! One line of words, measured and placed.

use super::face::{Face, Weight, printable};
use super::geometry::{Affine, Point, Rect, Turn};
use super::item::Ink;
use crate::units::Length;

/// Which point of a run stands at its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Anchor {
    /// Its left end.
    #[default]
    Start,
    /// Its middle.
    Middle,
    /// Its right end.
    End,
}

/// One line of words with its size and place.
///
/// The words hold only characters that both weights of the face can show (see
/// [`printable`]). Its size is the height of its figures and capitals, not the
/// type size, since that is what one measures on paper. Its place is on the
/// baseline; a turn is about that place.
#[derive(Clone, Debug, PartialEq)]
pub struct TextRun {
    words: String,
    height: Length,
    at: Point,
    anchor: Anchor,
    weight: Weight,
    turn: Turn,
    ink: Ink,
}

impl TextRun {
    /// Words with figures of some height, beginning at a point of the baseline:
    /// regular, upright, black.
    ///
    /// Characters that the face lacks become a visible box, never nothing.
    #[must_use]
    pub fn new(words: &str, height: Length, at: Point) -> Self {
        Self {
            words: printable(words),
            height: height.abs(),
            at,
            anchor: Anchor::Start,
            weight: Weight::Regular,
            turn: Turn::NONE,
            ink: Ink::Black,
        }
    }

    /// The run centred on its place.
    #[must_use]
    pub fn middle(self) -> Self {
        self.anchored(Anchor::Middle)
    }

    /// The run ending at its place.
    #[must_use]
    pub fn end(self) -> Self {
        self.anchored(Anchor::End)
    }

    /// The run with another point of it at its place.
    #[must_use]
    pub fn anchored(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }

    /// The run in bold.
    #[must_use]
    pub fn bold(self) -> Self {
        Self {
            weight: Weight::Bold,
            ..self
        }
    }

    /// The run turned about its place.
    #[must_use]
    pub fn turned(self, turn: Turn) -> Self {
        Self { turn, ..self }
    }

    /// The run in another ink.
    #[must_use]
    pub fn inked(self, ink: Ink) -> Self {
        Self { ink, ..self }
    }

    /// Its words, every character of which the face can show.
    #[must_use]
    pub fn words(&self) -> &str {
        &self.words
    }

    /// Height of its figures.
    #[must_use]
    pub const fn height(&self) -> Length {
        self.height
    }

    /// Its weight.
    #[must_use]
    pub const fn weight(&self) -> Weight {
        self.weight
    }

    /// Its ink.
    #[must_use]
    pub const fn ink(&self) -> Ink {
        self.ink
    }

    /// The face it is set in.
    #[must_use]
    pub fn face(&self) -> &'static Face {
        Face::of(self.weight)
    }

    /// How far it runs along its baseline.
    #[must_use]
    pub fn width(&self) -> Length {
        self.face().advance(&self.words, self.height)
    }

    /// The map from the run's own coordinates (origin where its baseline begins)
    /// to those around it; back ends draw the first letter at that origin.
    #[must_use]
    pub fn placement(&self) -> Affine {
        let back = match self.anchor {
            Anchor::Start => Length::ZERO,
            Anchor::Middle => self.width() / 2.0,
            Anchor::End => self.width(),
        };
        let shift = Affine::placed(Point::new(-back, Length::ZERO), Turn::NONE);
        Affine::placed(self.at, self.turn).after(&shift)
    }

    /// The upright rectangle around its ink; `None` for blanks.
    #[must_use]
    pub fn bounds(&self) -> Option<Rect> {
        let own = self.face().ink(&self.words, self.height)?;
        Some(self.placement().apply_to_rect(own))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_as_high_as_asked_for() {
        let run = TextRun::new("1", Length::mm(4.0), Point::mm(50.0, 50.0));
        let ink = run.bounds().expect("a figure has ink");
        // The foot of a 1 stands on the baseline, its head at the height of an H.
        assert!((ink.height().to_mm() - 4.0).abs() < 0.05);
        assert!((ink.bottom().to_mm() - 50.0).abs() < 0.05);
    }

    #[test]
    fn a_run_turned_by_a_quarter_reads_downward() {
        let run = TextRun::new("100", Length::mm(4.0), Point::mm(50.0, 50.0));
        let flat = run.clone().bounds().expect("ink");
        let turned = run.turned(Turn::QUARTER).bounds().expect("ink");
        assert!((flat.width().to_mm() - turned.height().to_mm()).abs() < 1e-9);
        assert!(turned.top() >= Length::mm(50.0) && turned.left() >= Length::mm(49.9));
    }

    #[test]
    fn anchors_put_the_start_the_middle_or_the_end_there() {
        let run = |anchor| {
            TextRun::new("HH", Length::mm(3.0), Point::mm(100.0, 10.0))
                .anchored(anchor)
                .placement()
                .apply(Point::ORIGIN)
                .x
                .to_mm()
        };
        let width = TextRun::new("HH", Length::mm(3.0), Point::ORIGIN)
            .width()
            .to_mm();
        assert_eq!(run(Anchor::Start), 100.0);
        assert!((run(Anchor::Middle) - (100.0 - width / 2.0)).abs() < 1e-9);
        assert!((run(Anchor::End) - (100.0 - width)).abs() < 1e-9);
    }
}
