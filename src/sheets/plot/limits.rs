//! Near and far limits against focus distance, at several stops.

use super::blur::named;
use super::curve::Stopped;
use super::{
    Axis, Callout, Code, Corner, Curve, Edge, Figures, MOST_PLOT_STOPS, Plot, PlotWish, Remark,
    Run, Scale, Value, subject,
};
use crate::answers::{Unanswerable, depth};
use crate::gear::DepthSetup;
use crate::optics::Focus;
use crate::sheets::card::{figure, foot};
use crate::units::{FocusDistance, Length, Reach};

/// Unasked, the axis begins at least at this part of the widest stop's
/// hyperfocal distance. On axes of 1/distance its limits then run a fiftieth of
/// the plot beside the diagonal; begun nearer, all curves would be one thick line.
const THINNEST: f64 = 0.02;

/// A stop of the plot.
struct AtStop {
    name: String,
    lens: Stopped,
    hyperfocal: Value,
    /// Rounded up.
    shown: String,
    cautious: bool,
}

impl AtStop {
    /// `None` where there is no hyperfocal distance.
    fn of(setup: &DepthSetup, wish: &PlotWish) -> Result<Option<Self>, Unanswerable> {
        let answer = depth(setup, &[], &[], &mut ())?;
        let (Some(exact), Some(most)) = (answer.hyperfocal, answer.hyperfocal_to_trust()) else {
            return Ok(None);
        };
        let cautious = answer.cautious_hyperfocal.is_some();
        let mark = if cautious { "≈ " } else { "" };
        Ok(Some(Self {
            name: setup.exposure.stop.to_string(),
            lens: Stopped::of(setup),
            hyperfocal: Value::length(exact),
            shown: format!("{mark}{}", figure::outward(most, wish.unit)),
            cautious,
        }))
    }

    /// Near limit at a focus distance.
    fn near(&self, focus: FocusDistance) -> Option<Value> {
        self.lens
            .limits(focus)
            .map(|limits| Value::distance(limits.near))
    }
}

impl Plot {
    /// Near and far limits against focus distance at the widest stop and at
    /// others; with those at most [`MOST_PLOT_STOPS`] are used. A stop at which
    /// everything is sharp at every setting is left out.
    ///
    /// # Errors
    /// [`Unanswerable`] when everything is sharp at every setting of the lens even
    /// at its widest stop, or when it does not focus at infinity.
    pub fn limits(
        widest: &DepthSetup,
        others: &[DepthSetup],
        wish: &PlotWish,
    ) -> Result<Self, Unanswerable> {
        let (lens, branch) = (&widest.setup.lens, widest.setup.branch);
        lens.setting(FocusDistance::INFINITY, branch, &mut ())?;
        // With something attached, there may be no setting whose far limit is infinity.
        let widest_open = AtStop::of(widest, wish)?.ok_or(Unanswerable::BeyondInfinity)?;
        let mut stops = vec![widest_open];
        let others = others.iter().filter_map(|stop| AtStop::of(stop, wish).ok());
        stops.extend(others.flatten());
        stops.truncate(MOST_PLOT_STOPS);
        let cautious = stops.iter().any(|stop| stop.cautious);

        let from = begin(widest, &stops, wish);
        let start = FocusDistance::computed(Reach::At(from));
        let nearest = stops.iter().filter_map(|stop| stop.near(start));
        let lowest = nearest.map(Value::value).fold(from.to_mm(), f64::min);
        let axis = |name: String, from: Length| Axis {
            name,
            scale: Scale::Reciprocal,
            figures: Figures::Distances(wish.unit),
            from: Value::length(from),
            to: Value::INFINITY,
        };
        let mut foot = foot::words(widest, foot::Notes::of(foot::stops(widest), cautious));
        foot.push(
            "● hyperfocal distance, with its figure above: far limit ∞, near limit about half of \
             it"
            .into(),
        );
        let from_value = Value::length(from);
        let plot = Self {
            title: "Near and far against focus distance".into(),
            subject: subject(&wish.names, &range(&stops), widest),
            x: axis(
                format!(
                    "focus distance from ⌀{} (both axes go by 1/distance)",
                    named(wish.unit)
                ),
                from,
            ),
            y: axis(
                format!("near and far limit{}", named(wish.unit)),
                Length::mm(lowest),
            ),
            opposite: None,
            curves: curves(&stops, from_value),
            levels: Vec::new(),
            spans: Vec::new(),
            points: points(&stops, from_value),
            bars: Vec::new(),
            callouts: callouts(&stops, from_value),
            remarks: vec![
                Remark {
                    corner: Corner::TopLeft,
                    words: "above the diagonal: far limits".into(),
                },
                Remark {
                    corner: Corner::BottomRight,
                    words: "below the diagonal: near limits".into(),
                },
            ],
            foot,
            names: wish.names.clone(),
            code: Code::of(""),
        };
        Ok(plot.coded())
    }
}

/// Where the axis begins: at close focus, or where the curves of the widest
/// stop begin to part, or at the nearest distance asked for.
fn begin(setup: &DepthSetup, stops: &[AtStop], wish: &PlotWish) -> Length {
    let longest = stops.iter().map(|stop| stop.hyperfocal.value());
    let longest = Length::mm(longest.fold(0.0, f64::max));
    let unasked = wish.close_focus_of(setup).max(longest * THINNEST);
    wish.at
        .iter()
        .filter_map(|at| at.reach().finite())
        .fold(unasked, Length::min)
}

fn range(stops: &[AtStop]) -> String {
    match stops {
        [first, .., last] => format!("{} to {}", first.name, last.name),
        [only] => only.name.clone(),
        [] => String::new(),
    }
}

/// The diagonal, and a pair of curves in one style for each stop.
fn curves(stops: &[AtStop], from: Value) -> Vec<Curve> {
    let mut curves = vec![Curve {
        run: Run::Same,
        style: None,
        pieces: vec![(from, Value::INFINITY)],
    }];
    for (style, stop) in stops.iter().enumerate() {
        let mut add = |run, to| {
            curves.push(Curve {
                run,
                style: Some(style),
                pieces: vec![(from, to)],
            });
        };
        add(Run::Near(stop.lens.clone()), Value::INFINITY);
        // Beyond the hyperfocal distance the far limit is the frame's edge.
        if stop.hyperfocal > from {
            add(Run::Far(stop.lens.clone()), stop.hyperfocal);
        }
    }
    curves
}

/// Each hyperfocal distance on both its curves.
fn points(stops: &[AtStop], from: Value) -> Vec<(Value, Value)> {
    let shown = stops.iter().filter(|stop| stop.hyperfocal > from);
    shown
        .flat_map(|stop| {
            let at = FocusDistance::computed(Reach::At(Length::mm(stop.hyperfocal.value())));
            [Some(Value::INFINITY), stop.near(at)]
                .into_iter()
                .flatten()
                .map(|limit| (stop.hyperfocal, limit))
        })
        .collect()
}

/// The stop and its hyperfocal distance where the far limit leaves the frame,
/// the stop alone where the near limit does.
fn callouts(stops: &[AtStop], from: Value) -> Vec<Callout> {
    let mut callouts = Vec::new();
    for stop in stops {
        if stop.hyperfocal > from {
            callouts.push(Callout {
                edge: Edge::Top,
                at: stop.hyperfocal,
                words: format!("{}  {}", stop.name, stop.shown),
            });
        }
        if let Some(at) = stop.near(FocusDistance::INFINITY) {
            callouts.push(Callout {
                edge: Edge::Right,
                at,
                words: stop.name.clone(),
            });
        }
    }
    callouts
}
