//! A plot: curves over axes, as a figure in a textbook; no paper.
//!
//! What is here holds for any plot; [`blur`](Plot::blur), [`limits`](Plot::limits),
//! [`contrast`](Plot::contrast) and [`pull`](Plot::pull) make those on a page of
//! their own, [`residuals`](Plot::residuals) that of a prep report. Curves are functions, not
//! points: how finely they are followed depends on the paper.

mod blur;
mod contrast;
mod curve;
mod limits;
mod pull;
mod residuals;

use super::code::Code;
use super::names::Names;
use crate::gear::DepthSetup;
use crate::optics::Focus;
use crate::units::{FocusDistance, Length, Unit};

pub use curve::{Curve, RingLine, RingRun, Run, Stopped, Value};
pub use pull::PullWish;

/// The most focus distances one plot of blur or contrast shows, and the most
/// stops one of contrast.
pub const MOST_FOCUSES: usize = 6;
/// The most stops one plot of limits shows.
pub const MOST_PLOT_STOPS: usize = 10;

/// Where the close focus of a lens is not known, it is taken as so many times
/// the nearest distance at which any image is formed.
const USUAL_CLOSE_FOCUS: f64 = 3.0;

/// What a plot needs to know beside the setup.
#[derive(Clone, Debug, PartialEq)]
pub struct PlotWish {
    /// What the lens is called.
    pub names: Names,
    /// The unit of its distances.
    pub unit: Unit,
    /// The nearest distance the lens goes to, where it is known.
    pub close_focus: Option<FocusDistance>,
    /// Focus distances of blur or contrast; of more than [`MOST_FOCUSES`] the first are
    /// used, and without any the plot chooses its own.
    pub at: Vec<FocusDistance>,
}

impl PlotWish {
    /// The nearest distance the lens goes to, or what it might be.
    fn close_focus_of(&self, setup: &DepthSetup) -> Length {
        let known = self.close_focus.and_then(|close| close.reach().finite());
        known.unwrap_or(setup.setup.lens.closest() * USUAL_CLOSE_FOCUS)
    }
}

/// How an axis goes from one value to the next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scale {
    /// Even steps of the value.
    Linear,
    /// Even steps of its logarithm; values above zero.
    Log,
    /// Even steps of its reciprocal, so that infinity has a place; values above
    /// zero.
    Reciprocal,
}

/// What the figures of an axis are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Figures {
    /// Distances from the image plane, at those usually called.
    Distances(Unit),
    /// Plain numbers at round steps.
    Numbers,
}

/// One axis, from its left or lower end to its right or upper one.
#[derive(Clone, Debug, PartialEq)]
pub struct Axis {
    /// What it measures, with its unit.
    pub name: String,
    /// How it goes.
    pub scale: Scale,
    /// What its figures are.
    pub figures: Figures,
    /// Its left or lower end.
    pub from: Value,
    /// Its right or upper end.
    pub to: Value,
}

/// A line across the plot at one value of the upright axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Level {
    /// Where.
    pub at: Value,
    /// What it means; nothing where its figure on the axis says all.
    pub words: String,
}

/// A stretch of the level axis, measured as on an engineering drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Span {
    /// Its left end.
    pub from: Value,
    /// What it is about, between the ends.
    pub at: Value,
    /// Its right end.
    pub to: Value,
    /// The figures of the left end, of what it is about, and of the right end.
    pub words: [String; 3],
}

/// The edge of a frame on which a callout points.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edge {
    /// Values of the level axis.
    Top,
    /// Values of the upright axis.
    Right,
}

/// Words outside the frame that say what leaves it there.
#[derive(Clone, Debug, PartialEq)]
pub struct Callout {
    /// On which edge.
    pub edge: Edge,
    /// Where on it.
    pub at: Value,
    /// The words.
    pub words: String,
}

/// A place inside the frame, beside its edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Corner {
    /// Left of the top edge.
    TopLeft,
    /// Right of the bottom edge.
    BottomRight,
    /// Anywhere along the bottom edge, if need be away from its right corner.
    Bottom,
    /// As near as can be to a point, given by its values on both axes, with a leader.
    Beside(Value, Value),
}

/// Words inside the frame, left out where a curve runs.
#[derive(Clone, Debug, PartialEq)]
pub struct Remark {
    /// Where.
    pub corner: Corner,
    /// The words.
    pub words: String,
}

/// A point with what it may be off along the upright axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// Its value on the level axis.
    pub across: Value,
    /// Its value on the upright axis; beyond the end of that, an arrow points
    /// there.
    pub up: Value,
    /// The upper and the lower end of what it may be.
    pub ends: [Value; 2],
    /// Whether it counts; one that does not is marked otherwise.
    pub counts: bool,
    /// Words beside it.
    pub words: Option<String>,
}

/// Curves over axes, with everything that is written about them.
#[derive(Clone, Debug, PartialEq)]
pub struct Plot {
    /// What the lens is called.
    pub names: Names,
    /// What is plotted.
    pub title: String,
    /// Of which setup.
    pub subject: String,
    /// The level axis.
    pub x: Axis,
    /// The upright axis, at the left.
    pub y: Axis,
    /// The same heights in another unit, at the right.
    pub opposite: Option<Axis>,
    /// The curves.
    pub curves: Vec<Curve>,
    /// Lines across.
    pub levels: Vec<Level>,
    /// Stretches of the level axis.
    pub spans: Vec<Span>,
    /// Points to be marked, by their values on both axes.
    pub points: Vec<(Value, Value)>,
    /// Points with what they may be off.
    pub bars: Vec<Bar>,
    /// Words outside the frame.
    pub callouts: Vec<Callout>,
    /// Words inside it.
    pub remarks: Vec<Remark>,
    /// What the figures rest on, paragraph by paragraph.
    pub foot: Vec<String>,
    /// What it was made from.
    pub code: Code,
}

/// A lens at a stop or stops in words; with an extender, what it comes to.
fn subject(names: &Names, stops: &str, setup: &DepthSetup) -> String {
    let lens = &setup.setup.lens;
    let own = format!("{} mm, {stops}", names.focal);
    if lens.light_factor() == 1.0 {
        return own;
    }
    let whole = lens.focal_length(&mut ()).to_mm();
    let light = lens.light_factor();
    format!("{own}; as a whole {whole:.0} mm, stops × {light:.2}")
}

impl Plot {
    /// The plot with the code of all it says.
    fn coded(mut self) -> Self {
        self.code = Code::of(&format!("{self:?}"));
        self
    }
}
