//! How soft everything is when the lens is set to one distance.

use super::{
    Axis, Code, Curve, Figures, Level, MOST_FOCUSES, Plot, PlotWish, Run, Scale, Span, Value,
    subject,
};
use crate::answers::{DepthRow, Unanswerable, depth};
use crate::gear::DepthSetup;
use crate::optics::{Circle, Focus, Focused};
use crate::sheets::card::{figure, foot};
use crate::sheets::worth::usual_marks;
use crate::units::show::{Round, Step, rounded_length};
use crate::units::{FocusDistance, Length, Ratio, Reach, Unit, show};

/// Heights of the plot, in circles: the first that shows all, else the last.
const HEIGHTS: [f64; 7] = [2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0];
/// The near side of the nearest curve is shown up to so many circles at least.
const SHOWN: f64 = 3.0;
/// The axis begins at most at this part of the nearest focus or limit.
const BEFORE: f64 = 0.8;
/// Where depth would be narrower than this part of the axis, the axis ends
/// before infinity if all curves leave the plot before it.
const NARROW: f64 = 1.0 / 60.0;
/// Such an axis shows so many times the height of the plot at both ends.
const AROUND: f64 = 1.15;
/// Two focus distances the plot chooses are so far apart, as a factor.
const APART: f64 = 1.25;

impl Plot {
    /// Blur against the subject's distance, focused at each distance wished for.
    ///
    /// # Errors
    /// [`Unanswerable`] when the lens does not focus there or has no depth.
    pub fn blur(setup: &DepthSetup, wish: &PlotWish) -> Result<Self, Unanswerable> {
        let (circle, unit) = (setup.circle.circle, wish.unit);
        let at = focuses(setup, wish)?;
        let answer = depth(setup, &at, &[], &mut ())?;
        let sets = at
            .iter()
            .map(|&focus| {
                let (lens, branch) = (&setup.setup.lens, setup.setup.branch);
                lens.at(focus, branch, setup.exposure.f_number, &mut ())
            })
            .collect::<Result<Vec<Focused>, _>>()?;
        let [.., most] = HEIGHTS;
        let (from, to) = window(&answer.rows, &sets, circle, most);
        let mut curves = Vec::new();
        for (style, &set) in sets.iter().enumerate() {
            let focus = Value::distance(set.focus());
            let mut pieces = vec![(from, focus)];
            if focus < to {
                pieces.push((focus, to));
            }
            curves.push(Curve {
                run: Run::Blur { set, circle },
                style: Some(style),
                pieces,
            });
        }
        let circles = height(&curves, [from, to]);
        let cautious = answer.rows.iter().any(|row| row.cautious.is_some());
        let diameter = circle.diameter();
        let y = |name: &str, top: Value| Axis {
            name: name.into(),
            scale: Scale::Linear,
            figures: Figures::Numbers,
            from: Value::number(Ratio::ZERO),
            to: top,
        };
        let level = Level {
            at: Value::number(Ratio::ONE),
            words: "1 circle".into(),
        };
        let mut foot = foot::words(setup, foot::Notes::of(foot::stop(setup), cautious));
        foot.push("below the line at 1 circle a blur counts as sharp".into());
        let plot = Self {
            title: "Blur against distance".into(),
            subject: subject(&wish.names, &setup.exposure.stop.to_string(), setup),
            x: Axis {
                name: format!(
                    "distance of the subject from ⌀{} (the axis goes by 1/distance)",
                    named(unit)
                ),
                scale: Scale::Reciprocal,
                figures: Figures::Distances(unit),
                from,
                to,
            },
            y: y("blur, in circles of confusion", Value::number(circles)),
            opposite: Some(y(
                "blur in mm on the image plane",
                Value::length(diameter * circles.value()),
            )),
            curves,
            levels: vec![level],
            spans: answer.rows.iter().map(|row| span(row, unit)).collect(),
            points: Vec::new(),
            bars: Vec::new(),
            callouts: Vec::new(),
            remarks: Vec::new(),
            foot,
            names: wish.names.clone(),
            code: Code::of(""),
        };
        Ok(plot.coded())
    }
}

/// The unit where figures do not carry it.
pub(super) const fn named(unit: Unit) -> &'static str {
    match unit {
        Unit::Feet => "",
        Unit::Metres => " in m",
    }
}

/// The distances to focus at, the nearest first.
pub(super) fn focuses(
    setup: &DepthSetup,
    wish: &PlotWish,
) -> Result<Vec<FocusDistance>, Unanswerable> {
    let mut at = wish.at.clone();
    at.truncate(MOST_FOCUSES);
    if at.is_empty() {
        at = chosen(setup, wish)?;
    }
    if let Some(close_focus) = wish.close_focus {
        // Close focus is that of the lens's own scale.
        let reads = |focus: &FocusDistance| setup.setup.scale_reads(*focus).unwrap_or(*focus);
        let inside = at
            .iter()
            .find(|focus| reads(focus).is_nearer_than(close_focus));
        if let Some(&asked) = inside {
            return Err(Unanswerable::InsideCloseFocus { asked, close_focus });
        }
    }
    at.sort_by(|one, other| {
        let (one, other) = (Value::distance(*one), Value::distance(*other));
        one.value().total_cmp(&other.value())
    });
    at.dedup();
    Ok(at)
}

/// Where people look at a lens first, 6 ft or 2 m or what it comes to, and about
/// a third of the hyperfocal distance, where depth is twice as long behind as
/// in front.
fn chosen(setup: &DepthSetup, wish: &PlotWish) -> Result<Vec<FocusDistance>, Unanswerable> {
    let (lens, branch) = (&setup.setup.lens, setup.setup.branch);
    if let Some(farthest) = lens.farthest() {
        // What is attached leaves it a short range: its middle.
        let step = match wish.unit {
            Unit::Feet => Step::Inch64ths(16),
            Unit::Metres => Step::TenthsOfMm(50),
        };
        let middle = (lens.closest() + farthest) / 2.0;
        let middle = rounded_length(middle, step, Round::Nearest);
        return Ok(vec![FocusDistance::computed(Reach::At(middle))]);
    }
    let close = wish.close_focus_of(setup);
    let reachable = |mark: &Length| {
        let focus = FocusDistance::computed(Reach::At(*mark));
        *mark >= close && lens.setting(focus, branch, &mut ()).is_ok()
    };
    // The table runs from far to near.
    let usual: Vec<Length> = usual_marks(wish.unit)
        .iter()
        .filter_map(|(mark, _)| mark.reach().finite())
        .filter(reachable)
        .collect();
    let wanted = match wish.unit {
        Unit::Feet => Length::inches(72.0),
        Unit::Metres => Length::m(2.0),
    };
    let wanted = wanted.max(close * 1.5);
    let first = usual.iter().rev().find(|&&mark| mark >= wanted);
    let first = first.or(usual.first()).copied();
    let third = depth(setup, &[], &[], &mut ())?.hyperfocal;
    let second = third.map(|hyperfocal| hyperfocal / 3.0).and_then(|third| {
        let times = |mark: Length| mark.max(third).to_mm() / mark.min(third).to_mm();
        let nearer = |best, next| {
            if times(next) < times(best) {
                next
            } else {
                best
            }
        };
        usual.iter().copied().reduce(nearer)
    });
    let mut at = vec![first.unwrap_or(close)];
    let apart = |one: Length, other: Length| one.max(other) >= one.min(other) * APART;
    at.extend(second.filter(|&second| apart(at[0], second)));
    let focus = |length| FocusDistance::computed(Reach::At(length));
    Ok(at.into_iter().map(focus).collect())
}

/// From where to where the axis goes: to infinity, unless all depth would then
/// be a hair and every curve is `most` circles soft before it.
pub(super) fn window(
    rows: &[DepthRow],
    sets: &[Focused],
    circle: Circle,
    most: f64,
) -> (Value, Value) {
    let from = begin(rows, sets, circle);
    let per_mm = |distance: FocusDistance| 1.0 / Value::distance(distance).value();
    let widest = rows
        .iter()
        .map(|row| (per_mm(row.near) - per_mm(row.far)) * from.value())
        .fold(0.0, f64::max);
    let whole = |set: &Focused| {
        let circle = Circle::new(circle.diameter() * (most * AROUND)).unwrap_or(circle);
        let limits = set.limits(circle, &mut ());
        [limits.near, limits.far].map(Value::distance)
    };
    let ends = sets.iter().map(whole).reduce(|one, next| {
        let nearer = if next[0] < one[0] { next[0] } else { one[0] };
        let farther = if next[1] > one[1] { next[1] } else { one[1] };
        [nearer, farther]
    });
    match ends {
        Some([near, far]) if widest < NARROW && far < Value::INFINITY => (near, far),
        _ => (from, Value::INFINITY),
    }
}

/// Where the axis begins: before the nearest near limit and before the near
/// side of the nearest curve is [`SHOWN`] circles soft.
fn begin(rows: &[DepthRow], sets: &[Focused], circle: Circle) -> Value {
    let shown = Circle::new(circle.diameter() * SHOWN).unwrap_or(circle);
    let mut from = f64::MAX;
    for (set, row) in sets.iter().zip(rows) {
        // Nothing is seen at or behind the entrance pupil.
        let pupil = set.pupil_station().to_mm();
        let soft = set.limits(shown, &mut ()).near;
        let before = [row.focus, row.near].map(|distance| {
            let distance = distance.reach().finite().map_or(f64::MAX, Length::to_mm);
            pupil + (distance - pupil) * BEFORE
        });
        let soft = soft.reach().finite().map_or(f64::MAX, Length::to_mm);
        from = before.into_iter().fold(from.min(soft), f64::min);
    }
    Value::length(Length::mm(from))
}

/// How many circles the plot is high.
fn height(curves: &[Curve], ends: [Value; 2]) -> Ratio {
    let [least, .., most] = HEIGHTS;
    let softest = curves
        .iter()
        .flat_map(|curve| ends.iter().filter_map(|&end| curve.at(end)))
        .map(Value::value)
        .fold(least, f64::max);
    let height = HEIGHTS.into_iter().find(|&height| height >= softest);
    Ratio::new(height.unwrap_or(most)).unwrap_or(Ratio::ONE)
}

/// Near and far limit of a focus distance, in figures rounded to the safe side.
pub(super) fn span(row: &DepthRow, unit: Unit) -> Span {
    let (near, far) = row.limits_to_trust();
    let mark = if row.cautious.is_some() { "≈ " } else { "" };
    let words = [
        format!("near {mark}{}", figure::limit(row, near, unit)),
        format!("focus {}", show::exact_distance(row.focus, unit)),
        format!("far {mark}{}", figure::limit(row, far, unit)),
    ];
    Span {
        from: Value::distance(near),
        at: Value::distance(row.focus),
        to: Value::distance(far),
        words,
    }
}
