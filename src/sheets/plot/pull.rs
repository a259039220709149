//! The ring against time for a subject on its way.

use super::curve::{RingLine, RingRun};
use super::{
    Axis, Code, Corner, Curve, Figures, Level, Names, Plot, Remark, Run, Scale, Value, subject,
};
use crate::answers::{Moment, RackAnswer, SharpEdge};
use crate::gear::{DepthSetup, speed_in_words};
use crate::scale::{RingLaw, SteadyPull, SubjectPath, Zero};
use crate::sheets::card::foot;
use crate::units::{Length, Ratio, Reach, Unit, show};

/// What a plot of a pull needs to know beside its answer.
#[derive(Clone, Debug, PartialEq)]
pub struct PullWish {
    /// What the lens is called.
    pub names: Names,
    /// The unit of its distances.
    pub unit: Unit,
}

/// Places looked at for how high the plot must be.
const LOOKED_AT: u32 = 400;
/// What is left free above and below, as a part of the height.
const FREE: f64 = 0.06;
/// The least height, in degrees or millimetres of ring.
const LEAST: f64 = 1.0;

impl Plot {
    /// The ring's position against time with the two edges of the stretch that keeps
    /// the subject sharp; `None` where no speed is known or nothing moves.
    #[must_use]
    pub fn pull(
        law: &RingLaw,
        setup: &DepthSetup,
        path: &SubjectPath,
        answer: &RackAnswer,
        wish: &PullWish,
    ) -> Option<Self> {
        let (whole, speed) = (answer.seconds?, answer.speed?);
        let steady = SteadyPull::new(law, *path, speed)?;
        let (from, to) = (seconds(0.0), seconds(whole.to_seconds()));
        // A curve has no corner but where the focus turns round.
        let turns = steady.turns().into_iter();
        let turns: Vec<Value> = turns
            .map(|(way, _)| seconds(steady.time(way, &mut ()).to_seconds()))
            .map(|at| if at > to { to } else { at })
            .collect();
        let pieces: Vec<(Value, Value)> = turns.windows(2).map(|pair| (pair[0], pair[1])).collect();
        let curve = |line: RingLine, style: Option<usize>| Curve {
            run: Run::Ring(Box::new(RingRun::of(&steady, setup, line))),
            style,
            pieces: pieces.clone(),
        };
        let curves = vec![
            curve(RingLine::SharpFrom, None),
            curve(RingLine::SharpTo, None),
            curve(RingLine::Position, Some(0)),
        ];
        let in_degrees = answer.turn.is_some();
        let (low, high) = heights(&curves, whole.to_seconds())?;
        let zero = match law.zero() {
            Zero::Infinity => "infinity",
            Zero::FarthestMark => "farthest mark",
        };
        let unit = if in_degrees { "°" } else { "mm" };
        let y = |name: String, factor: f64| Axis {
            name,
            scale: Scale::Linear,
            figures: Figures::Numbers,
            from: seconds(low * factor),
            to: seconds(high * factor),
        };
        let opposite = answer.ring.gearing.filter(|_| in_degrees);
        let opposite = opposite.map(|gearing| y(format!("knob, ° from {zero}"), gearing.value()));
        let called: Vec<&Moment> = answer
            .moments
            .iter()
            .filter(|moment| !called_out(moment).is_empty())
            .collect();
        let place = |moment: &Moment| {
            let up = if in_degrees {
                moment.position?.to_deg()
            } else {
                moment.arc?.to_mm()
            };
            Some((seconds(moment.seconds.to_seconds()), seconds(up)))
        };
        let points = called.iter().filter_map(|moment| place(moment)).collect();
        let vehicle = answer.ring.assumptions.iter();
        let vehicle = vehicle
            .filter(|note| note.kind == "vehicle")
            .map(|_| Remark {
                corner: Corner::TopLeft,
                words: "a vehicle: see the caution below".into(),
            });
        let remarks = called.iter().filter_map(|moment| {
            let (across, up) = place(moment)?;
            Some(Remark {
                corner: Corner::Beside(across, up),
                words: in_words(moment, wish.unit),
            })
        });
        let plot = Self {
            title: "The ring against time".into(),
            subject: subject(&wish.names, &setup.exposure.stop.to_string(), setup),
            x: Axis {
                name: "seconds".into(),
                scale: Scale::Linear,
                figures: Figures::Numbers,
                from,
                to,
            },
            y: y(format!("ring, {unit} from {zero}"), 1.0),
            opposite,
            curves,
            bars: Vec::new(),
            levels: levels(law, (low, high), in_degrees),
            spans: Vec::new(),
            points,
            callouts: Vec::new(),
            remarks: vehicle.chain(remarks).collect(),
            foot: words(setup, answer, &called, speed, wish.unit),
            names: wish.names.clone(),
            code: Code::of(""),
        };
        Some(plot.coded())
    }
}

/// A plain number on an axis, which is finite here.
fn seconds(value: f64) -> Value {
    Value::number(Ratio::new(value).unwrap_or(Ratio::ZERO))
}

/// From where to where the upright axis goes: all there is of the curves, and a
/// little more.
fn heights(curves: &[Curve], whole: f64) -> Option<(f64, f64)> {
    let looks = (0..=LOOKED_AT).map(|look| whole * f64::from(look) / f64::from(LOOKED_AT));
    let heights = looks.flat_map(|at| {
        let up = move |curve: &Curve| curve.at(seconds(at)).map(Value::value);
        curves.iter().filter_map(up).collect::<Vec<_>>()
    });
    let (low, high) = heights.fold((f64::MAX, f64::MIN), |(low, high), up| {
        (low.min(up), high.max(up))
    });
    let free = ((high - low) * FREE).max(LEAST / 2.0);
    (low <= high).then_some((low - free, high + free))
}

/// The ends of the ring's scale, where the plot reaches to them.
fn levels(law: &RingLaw, (low, high): (f64, f64), in_degrees: bool) -> Vec<Level> {
    let at = |distance| {
        let place = law.position(distance).ok()?;
        Some(if in_degrees {
            place.turn()?.to_deg()
        } else {
            place.arc(&mut ())?.to_mm()
        })
    };
    let infinity = (law.zero() == Zero::Infinity).then_some(0.0);
    let close = law.ring().close_focus.and_then(at);
    let ends = [(infinity, "infinity"), (close, "close focus")];
    let level = |(at, words): (Option<f64>, &str)| {
        let at = at.filter(|at| low < *at && *at < high)?;
        Some(Level {
            at: seconds(at),
            words: words.into(),
        })
    };
    ends.into_iter().filter_map(level).collect()
}

/// What a moment is called on the plot; nothing for an ordinary one.
fn called_out(moment: &Moment) -> String {
    let words = moment.what.split(' ');
    let words = words.filter(|word| matches!(*word, "closest" | "fastest"));
    words.collect::<Vec<_>>().join(", ")
}

/// A moment that is called out: what it is, when, where and how fast.
fn in_words(moment: &Moment, unit: Unit) -> String {
    let step = show::step_for(
        Reach::At(moment.taped),
        unit,
        Reach::At(moment.taped / 25.0),
    );
    let at = show::rounded(moment.taped, step, show::Round::Nearest);
    let rate = match (moment.turn_in_a_second, moment.arc_in_a_second) {
        (Some(turn), _) => Some(format!("{}°", up(turn.to_deg()))),
        (None, Some(arc)) => Some(format!("{} mm", up(arc.to_mm()))),
        (None, None) => None,
    };
    let seconds = format!("{:.2} s", moment.seconds.to_seconds());
    let rate = rate.unwrap_or_default();
    match called_out(moment).as_str() {
        "closest" => format!("closest {at}: {seconds}"),
        name => format!("{name} {rate}/s: {seconds}, {at}"),
    }
}

/// The size of a rate with one decimal, never too slow.
fn up(rate: f64) -> String {
    format!("{:.1}", libm::ceil(rate.abs() * 10.0 - 1e-9) / 10.0)
}

/// What stands at the foot: the caution first.
fn words(
    setup: &DepthSetup,
    answer: &RackAnswer,
    called: &[&Moment],
    speed: Length,
    unit: Unit,
) -> Vec<String> {
    let kinds = ["vehicle", "computed_not_measured", "beyond_marks"];
    let notes = answer.ring.assumptions.iter();
    let mut notes: Vec<String> = notes
        .filter(|note| kinds.contains(&note.kind))
        .map(|note| note.message.clone())
        .collect();
    notes.sort_by_key(|note| !note.starts_with("caution"));
    let mut lines = notes;
    lines.push(format!(
        "the subject: {}; {}",
        answer.path.in_words(unit),
        speed_in_words(speed, unit)
    ));
    let called: Vec<String> = called.iter().map(|moment| in_words(moment, unit)).collect();
    if !called.is_empty() {
        lines.push(format!("● {}", called.join(" · ")));
    }
    let ends = answer.moments.iter().any(|moment| {
        moment.sharp_from == Some(SharpEdge::Infinity)
            || moment.sharp_to == Some(SharpEdge::CloseFocus)
    });
    let ends = if ends {
        "; where one ends, it is so to that end of the ring"
    } else {
        ""
    };
    lines.push(format!("between the thin lines the subject is sharp{ends}"));
    lines.extend(foot::words(
        setup,
        foot::Notes::of(foot::stop(setup), false),
    ));
    lines
}
