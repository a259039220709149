//! Curves: functions along the level axis, computed where they are drawn.

use crate::gear::DepthSetup;
use crate::optics::{AnyLens, Branch, Circle, Detail, Focus, Focused, Limits};
use crate::scale::{RingPosition, SteadyPull};
use crate::units::{FNumber, FocusDistance, Length, Ratio, Reach, Time};

/// A value on an axis, in the axis's own unit: millimetres for distances and
/// lengths, else a plain number.
///
/// Never "not a number"; infinite for infinity alone.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Value(f64);

impl Value {
    /// The far end of every axis of distances.
    pub const INFINITY: Self = Self(f64::INFINITY);

    /// A value that may be anything; `None` for what is not a number and for
    /// minus infinity.
    #[must_use]
    pub const fn new(value: f64) -> Option<Self> {
        if value >= f64::MIN {
            Some(Self(value))
        } else {
            None
        }
    }

    /// A distance from the image plane.
    #[must_use]
    pub fn distance(distance: FocusDistance) -> Self {
        match distance.reach() {
            Reach::At(length) => Self::length(length),
            Reach::Infinity => Self::INFINITY,
        }
    }

    /// A length.
    #[must_use]
    pub const fn length(length: Length) -> Self {
        Self(length.to_mm())
    }

    /// A plain number.
    #[must_use]
    pub const fn number(number: Ratio) -> Self {
        Self(number.value())
    }

    /// The number itself.
    #[must_use]
    pub const fn value(self) -> f64 {
        self.0
    }

    /// The distance it stands for, on an axis of distances.
    fn to_distance(self) -> FocusDistance {
        FocusDistance::computed(match self.0 {
            f64::INFINITY => Reach::Infinity,
            mm => Reach::At(Length::mm(mm)),
        })
    }
}

/// Of a contrast curve so many lobes on either side are followed, one a cycle of
/// blur: beyond them contrast is under 0.001, a tenth of a millimetre.
pub(super) const MOST_LOBES: u32 = 64;

/// A lens at a stop, with the circle it is judged by.
#[derive(Clone, Debug, PartialEq)]
pub struct Stopped {
    lens: AnyLens,
    branch: Branch,
    f_number: FNumber,
    circle: Circle,
}

impl Stopped {
    /// The lens, stop and circle of a setup.
    #[must_use]
    pub fn of(setup: &DepthSetup) -> Self {
        Self {
            lens: setup.setup.lens.clone(),
            branch: setup.setup.branch,
            f_number: setup.exposure.f_number,
            circle: setup.circle.circle,
        }
    }

    /// Near and far limit when focused there; `None` where no setting does.
    pub(super) fn limits(&self, focus: FocusDistance) -> Option<Limits> {
        let set = self.lens.at(focus, self.branch, self.f_number, &mut ());
        Some(set.ok()?.limits(self.circle, &mut ()))
    }
}

/// Which line of a pull a curve follows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RingLine {
    /// Where the ring is to be.
    Position,
    /// Toward infinity, as far as the subject stays sharp.
    SharpFrom,
    /// Toward close focus, as far as the subject stays sharp.
    SharpTo,
}

/// A pull with the stop and circle it is judged by.
#[derive(Clone, Debug, PartialEq)]
pub struct RingRun {
    pull: SteadyPull,
    f_number: FNumber,
    circle: Circle,
    line: RingLine,
}

impl RingRun {
    /// A line of a pull in a setup.
    #[must_use]
    pub fn of(pull: &SteadyPull, setup: &DepthSetup, line: RingLine) -> Self {
        Self {
            pull: pull.clone(),
            f_number: setup.exposure.f_number,
            circle: setup.circle.circle,
            line,
        }
    }

    /// The ring at a time, in degrees or, where those are not known, in millimetres;
    /// `None` where the subject is sharp to the end of the ring.
    fn at(&self, seconds: Value) -> Option<Value> {
        let time = Time::try_seconds(seconds.0).ok()?;
        let spot = self.pull.spot(self.pull.way(time, &mut ()), &mut ())?;
        let sharp = |far: bool| {
            let law = self.pull.law();
            let sharp = law.sharp_ring(spot.focus, self.f_number, self.circle, &mut ());
            if far {
                sharp.toward_infinity
            } else {
                sharp.toward_close_focus
            }
        };
        let place: RingPosition = match self.line {
            RingLine::Position => self.pull.position(&spot, &mut ())?,
            RingLine::SharpFrom => sharp(true)?,
            RingLine::SharpTo => sharp(false)?,
        };
        match place.turn() {
            Some(turn) => Value::new(turn.to_deg()),
            None => place.arc(&mut ()).map(Value::length),
        }
    }
}

/// What a curve follows.
#[derive(Clone, Debug, PartialEq)]
pub enum Run {
    /// Diameter of the blur in circles, over the subject's distance.
    Blur {
        /// The lens, focused.
        set: Focused,
        /// The circle.
        circle: Circle,
    },
    /// Contrast of detail over the subject's distance; below zero where light and
    /// dark have changed places; zero where the blur is so many cycles of the
    /// detail that contrast is less than a line is thick.
    Contrast {
        /// The lens, focused.
        set: Focused,
        /// The detail.
        detail: Detail,
    },
    /// Near limit over focus distance.
    Near(Stopped),
    /// Far limit over focus distance.
    Far(Stopped),
    /// A line of a pull over the seconds.
    Ring(Box<RingRun>),
    /// As much as the level axis: the diagonal.
    Same,
    /// Straight lines, on an axis of reciprocals, from point to point.
    Joined(Vec<(Value, Value)>),
}

/// A curve with the pieces it consists of.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// What it follows.
    pub run: Run,
    /// Which of the line styles it is drawn in; the same number, the same
    /// style; `None` for an auxiliary line.
    pub style: Option<usize>,
    /// From where to where it is drawn: within each piece it has no corner.
    pub pieces: Vec<(Value, Value)>,
}

impl Curve {
    /// Its value over a value of the level axis; `None` where it has none.
    #[must_use]
    pub fn at(&self, x: Value) -> Option<Value> {
        match &self.run {
            Run::Blur { set, circle } => {
                let blur = set.blur(x.to_distance(), &mut ()).ok()?;
                let circles = blur.abs().ratio_to(circle.diameter())?;
                Some(Value::number(circles))
            }
            Run::Contrast { set, detail } => {
                let blur = set.blur(x.to_distance(), &mut ()).ok()?;
                if blur.to_mm().abs() * detail.frequency.value() > f64::from(MOST_LOBES) {
                    return Some(Value::number(Ratio::ZERO));
                }
                let n_w = set.working_f_number(&mut ());
                Some(Value::number(detail.contrast(blur, n_w)))
            }
            Run::Near(lens) => Some(Value::distance(lens.limits(x.to_distance())?.near)),
            Run::Far(lens) => Some(Value::distance(lens.limits(x.to_distance())?.far)),
            Run::Ring(run) => run.at(x),
            Run::Same => Some(x),
            Run::Joined(points) => joined(points, x),
        }
    }
}

/// The height at `x` of straight lines over reciprocals, through points in
/// ascending order; `None` beyond their ends.
fn joined(points: &[(Value, Value)], x: Value) -> Option<Value> {
    let place = |value: Value| -1.0 / value.0;
    let at = place(x);
    let pair = points.windows(2).find(|pair| {
        // A place on paper comes back as a value but for the last digits.
        let slack = 1e-9 * place(pair[0].0).abs();
        at >= place(pair[0].0) - slack && at <= place(pair[1].0) + slack
    })?;
    let ((from, low), (to, high)) = (pair[0], pair[1]);
    let part = (at - place(from)) / (place(to) - place(from));
    Value::new(low.0 + (high.0 - low.0) * part)
}
