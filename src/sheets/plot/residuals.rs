//! By how much the ring stood off at each reading of a prep day.

use super::blur::named;
use super::{Axis, Bar, Code, Curve, Figures, Level, Plot, Run, Scale, Value};
use crate::answers::{PrepLens, PrepPoint};
use crate::sheets::Names;
use crate::sheets::prep_report::{Displaced, tenths_of_degree};
use crate::units::{FocusDistance, Length, Reach, Unit};

/// What lies farther off than so many times what the readings span is told in
/// words: on the drawing it would press them together.
const FARTHEST: f64 = 4.0;
/// Kept free beyond what is shown, as a part of it.
const AROUND: f64 = 0.12;
/// The axis begins at this part of the nearest reading.
const BEFORE: f64 = 0.94;
/// Where all readings were taken at infinity, the axis begins here.
const USUAL: Length = Length::m(1.0);

/// One reading as numbers: its distance and degrees of ring.
struct At {
    across: Value,
    residual: f64,
    sd: f64,
    /// Degrees for a millimetre of lens travel.
    gain: f64,
    aside: bool,
}

impl At {
    fn of(point: &PrepPoint) -> Self {
        Self {
            across: Value::distance(point.taped),
            residual: point.residual.to_deg(),
            sd: point.sd.to_deg(),
            gain: point.gain.map_or(0.0, |gain| gain.value()),
            aside: point.suspect,
        }
    }
}

impl Plot {
    /// The residuals of a lens's readings in degrees of ring, against the taped
    /// distance: a mark each with one standard deviation either way, what was set
    /// aside marked otherwise, and where there is room for it how a true scale
    /// would have read with what is tolerated about it.
    ///
    /// `None` where nothing was read.
    #[must_use]
    pub fn residuals(lens: &PrepLens, names: &Names, unit: Unit) -> Option<Self> {
        let points: Vec<At> = lens.points.iter().map(At::of).collect();
        let kept = || points.iter().filter(|point| !point.aside);
        let around = kept().flat_map(|at| [at.residual - at.sd, at.residual + at.sd]);
        let around = around.chain(points.iter().flat_map(|at| [-at.sd, at.sd]));
        let (mut low, mut high) = around.fold((0.0_f64, 0.0_f64), span);
        let most = FARTHEST * high.max(-low);
        let mut shown = |values: Vec<f64>| {
            let room = values.iter().all(|value| value.abs() <= most) && !values.is_empty();
            if room {
                (low, high) = values.into_iter().fold((low, high), span);
            }
            room
        };
        for at in points.iter().filter(|at| at.aside) {
            shown(vec![at.residual - at.sd, at.residual + at.sd]);
        }
        // Where focus moves with the stop there is no one shift.
        let one_shift = lens.by_stop.is_empty();
        let off_by = |error: Length| -> Vec<(Value, f64)> {
            let line = kept().map(|at| (at.across, error.to_mm() * at.gain));
            in_order(line.collect())
        };
        let heights = |line: &[(Value, f64)]| line.iter().map(|(_, at)| *at).collect();
        let (error, tolerated) = (lens.image_plane_error, lens.tolerated_error);
        let truth = off_by(error);
        // At one distance there is nothing to join.
        let has_truth = one_shift && truth.len() > 1 && shown(heights(&truth));
        let bounds = [off_by(error + tolerated), off_by(error - tolerated)];
        let all = heights(&bounds.concat());
        let has_bounds = has_truth && shown(all);
        let mut curves = Vec::new();
        if has_truth {
            curves.extend(joined(&truth, Some(1)));
        }
        if has_bounds {
            curves.extend(bounds.iter().filter_map(|line| joined(line, None)));
        }
        let room = (high - low) * AROUND;
        let degrees = |value: f64| Value::new(value);
        Some(
            Self {
                names: names.clone(),
                title: "Residuals".into(),
                subject: format!("{} mm", names.focal),
                x: Axis {
                    name: format!("taped from ⌀{} (the axis goes by 1/distance)", named(unit)),
                    scale: Scale::Reciprocal,
                    figures: Figures::Distances(unit),
                    from: start(&lens.points),
                    to: Value::INFINITY,
                },
                y: Axis {
                    name: "residual, ° of ring".into(),
                    scale: Scale::Linear,
                    figures: Figures::Numbers,
                    from: degrees(low - room)?,
                    to: degrees(high + room)?,
                },
                opposite: None,
                curves,
                levels: vec![Level {
                    at: degrees(0.0)?,
                    words: "all readings together".into(),
                }],
                spans: Vec::new(),
                points: Vec::new(),
                bars: points.iter().filter_map(bar).collect(),
                callouts: Vec::new(),
                remarks: Vec::new(),
                foot: caption(lens, &truth, has_truth, has_bounds),
                code: Code::of(""),
            }
            .coded(),
        )
        .filter(|_| !points.is_empty())
    }
}

fn span((low, high): (f64, f64), value: f64) -> (f64, f64) {
    (low.min(value), high.max(value))
}

fn bar(at: &At) -> Option<Bar> {
    let words = format!("set aside, {}°", tenths_of_degree(at.residual));
    Some(Bar {
        across: at.across,
        up: Value::new(at.residual)?,
        ends: [
            Value::new(at.residual + at.sd)?,
            Value::new(at.residual - at.sd)?,
        ],
        counts: !at.aside,
        words: at.aside.then_some(words),
    })
}

/// Points from the nearest to the farthest, those of one distance once.
fn in_order(mut points: Vec<(Value, f64)>) -> Vec<(Value, f64)> {
    points.sort_by(|one, other| one.0.value().total_cmp(&other.0.value()));
    points.dedup_by(|next, before| next.0 == before.0);
    points
}

/// A line through points; `None` where they are at one distance.
fn joined(points: &[(Value, f64)], style: Option<usize>) -> Option<Curve> {
    let points: Vec<(Value, Value)> = points
        .iter()
        .filter_map(|&(across, up)| Some((across, Value::new(up)?)))
        .collect();
    let pieces = points.windows(2).map(|pair| (pair[0].0, pair[1].0));
    let pieces: Vec<(Value, Value)> = pieces.collect();
    (!pieces.is_empty()).then_some(Curve {
        run: Run::Joined(points),
        style,
        pieces,
    })
}

/// Where the level axis begins.
fn start(points: &[PrepPoint]) -> Value {
    let finite = points.iter().filter_map(|point| match point.taped.reach() {
        Reach::At(length) => Some(length),
        Reach::Infinity => None,
    });
    let nearest = finite.reduce(Length::min);
    let start = nearest.map_or(USUAL, |nearest| nearest * BEFORE);
    Value::distance(FocusDistance::computed(Reach::At(start)))
}

/// What the marks and lines mean.
fn caption(
    lens: &PrepLens,
    truth: &[(Value, f64)],
    has_truth: bool,
    has_bounds: bool,
) -> Vec<String> {
    let aside = if lens.points.iter().any(|point| point.suspect) {
        " · ×, or an arrow where it lies beyond: set aside as misread, and not counted"
    } else {
        ""
    };
    let mut out = vec![format!(
        "●: a reading, above 0 where the ring stood farther toward close focus than all readings \
         together put it; bars: what it may be off, one standard deviation either way{aside}"
    )];
    if !lens.by_stop.is_empty() {
        out.push("0 is for each stop what its own readings say".into());
        return out;
    }
    let found = Displaced::of(lens.image_plane_error, lens.standard_error);
    let shift = found.in_words();
    let line = if has_bounds {
        "broken line: where a true scale would have read; fine lines: what is tolerated about it"
            .to_owned()
    } else if has_truth {
        "broken line: where a true scale would have read; what is tolerated about it lies beyond \
         this drawing"
            .to_owned()
    } else {
        let heights = truth.iter().map(|(_, at)| *at);
        let (low, high) = heights.fold((f64::MAX, f64::MIN), |(low, high), at| {
            (low.min(at), high.max(at))
        });
        let [low, high] = [low, high].map(tenths_of_degree);
        let place = if low == high {
            format!("at {low}°")
        } else {
            format!("from {low}° to {high}°")
        };
        let beyond = if truth.len() > 1 {
            ", beyond this drawing"
        } else {
            ""
        };
        format!("a true scale would have read {place}{beyond}")
    };
    out.push(format!("0 stands for an image plane {shift} · {line}"));
    out
}
