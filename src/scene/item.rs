//! What can stand on a page.

use super::geometry::{Affine, Point, Rect, Turn};
use super::path::Path;
use super::text::TextRun;
use crate::units::Length;

/// Black or white; there is no grey and no colour on our sheets.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Ink {
    /// Printed.
    #[default]
    Black,
    /// Left blank, or laid over black.
    White,
}

impl Ink {
    /// The ink that shows on this one.
    #[must_use]
    pub const fn opposite(self) -> Self {
        match self {
            Self::Black => Self::White,
            Self::White => Self::Black,
        }
    }
}

/// Whether a line is whole or broken.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub enum Dash {
    /// Whole.
    #[default]
    Solid,
    /// Broken, beginning with a mark.
    Broken {
        /// Length of each mark.
        mark: Length,
        /// Length of each gap.
        gap: Length,
    },
}

/// What a line is drawn with; its ends are cut square at its ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pen {
    /// Width of the line.
    pub width: Length,
    /// Whole or broken.
    pub dash: Dash,
    /// Black or white.
    pub ink: Ink,
}

impl Pen {
    /// The thinnest line of our sheets, 0.25 mm.
    pub const FINE: Self = Self::of(Length::mm(0.25));
    /// The ordinary heavy line, 0.35 mm.
    pub const HEAVY: Self = Self::of(Length::mm(0.35));
    /// Where to cut: fine, 2 mm marks and 1 mm gaps.
    pub const CUT: Self = Self {
        dash: Dash::Broken {
            mark: Length::mm(2.0),
            gap: Length::mm(1.0),
        },
        ..Self::FINE
    };

    /// A whole black line of some width.
    #[must_use]
    pub const fn of(width: Length) -> Self {
        Self {
            width,
            dash: Dash::Solid,
            ink: Ink::Black,
        }
    }

    /// The same pen in another ink.
    #[must_use]
    pub const fn inked(self, ink: Ink) -> Self {
        Self { ink, ..self }
    }
}

/// A path with how it is filled and how it is stroked.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// The path; where it crosses itself, the non-zero winding rule holds.
    pub path: Path,
    /// Ink inside it, if filled.
    pub fill: Option<Ink>,
    /// Line along it, if stroked.
    pub stroke: Option<Pen>,
}

/// Items moved and turned together: first turned about the group's own origin,
/// then the origin is moved to `at`. A group never scales.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// The layer these items belong to, as a PDF reader lists it.
    pub layer: Option<&'static str>,
    /// Where the group's origin goes.
    pub at: Point,
    /// How the group is turned about its origin.
    pub turn: Turn,
    /// What is in it.
    pub items: Vec<Item>,
}

impl Group {
    /// The map from the group's coordinates to those around it.
    #[must_use]
    pub fn placement(&self) -> Affine {
        Affine::placed(self.at, self.turn)
    }
}

/// One thing on a page.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A filled or stroked path.
    Shape(Shape),
    /// A line of words.
    Text(TextRun),
    /// Items moved together.
    Group(Group),
}

impl Item {
    /// A straight line.
    #[must_use]
    pub fn line(from: Point, to: Point, pen: Pen) -> Self {
        Self::stroked(Path::line(from, to), pen)
    }

    /// A path drawn as a line.
    #[must_use]
    pub const fn stroked(path: Path, pen: Pen) -> Self {
        Self::Shape(Shape {
            path,
            fill: None,
            stroke: Some(pen),
        })
    }

    /// A path filled, without a line round it.
    #[must_use]
    pub const fn filled(path: Path, ink: Ink) -> Self {
        Self::Shape(Shape {
            path,
            fill: Some(ink),
            stroke: None,
        })
    }

    /// Items moved to `at`, not turned, in no layer of their own.
    #[must_use]
    pub const fn moved(at: Point, items: Vec<Self>) -> Self {
        Self::placed(at, Turn::NONE, items)
    }

    /// Items turned about their origin and moved to `at`.
    #[must_use]
    pub const fn placed(at: Point, turn: Turn, items: Vec<Self>) -> Self {
        Self::Group(Group {
            layer: None,
            at,
            turn,
            items,
        })
    }

    /// Items in a layer that a PDF reader can switch off.
    #[must_use]
    pub const fn layer(name: &'static str, items: Vec<Self>) -> Self {
        Self::Group(Group {
            layer: Some(name),
            at: Point::ORIGIN,
            turn: Turn::NONE,
            items,
        })
    }

    /// The upright rectangle around what is drawn, width of lines included;
    /// `None` when nothing is.
    #[must_use]
    pub fn bounds(&self) -> Option<Rect> {
        match self {
            Self::Shape(shape) => {
                let half = shape.stroke.map_or(Length::ZERO, |pen| pen.width / 2.0);
                let outward = -half;
                Some(
                    shape
                        .path
                        .bounds()?
                        .inset(outward, outward, outward, outward),
                )
            }
            Self::Text(run) => run.bounds(),
            Self::Group(group) => {
                let placement = group.placement();
                group
                    .items
                    .iter()
                    .filter_map(Self::bounds)
                    .map(|inner| placement.apply_to_rect(inner))
                    .reduce(Rect::around)
            }
        }
    }
}

impl From<TextRun> for Item {
    fn from(run: TextRun) -> Self {
        Self::Text(run)
    }
}
