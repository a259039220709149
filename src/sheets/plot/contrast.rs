//! How much contrast fine detail keeps as its subject leaves the focus.

use super::blur::{focuses, named, span, window};
use super::curve::MOST_LOBES;
use super::{
    Axis, Code, Corner, Curve, Figures, Level, MOST_FOCUSES, Plot, PlotWish, Remark, Run, Scale,
    Span, Value, subject,
};
use crate::answers::{DepthRow, Unanswerable, depth};
use crate::gear::{DepthSetup, Waves};
use crate::optics::{Circle, Detail, Focus, Focused};
use crate::sheets::card::foot;
use crate::units::{FocusDistance, Length, Ratio};

/// Where the axis ends before infinity, both its ends are so many circles soft:
/// the first reversal is shown, and not many more.
const MOST: f64 = 4.0;
/// The lower end of the axis where contrast is reversed somewhere: with room for
/// words under the deepest lobe of the transfer function (−0.132, that of
/// 2 J1(x)/x).
const REVERSED: f64 = -0.25;
/// Contrast is looked at in so many places to see whether it is reversed.
const LOOKED_AT: u32 = 200;
/// A curve is followed in pieces of so many lobes.
const LOBES: u32 = 4;

/// One focus distance at one stop.
struct Shown {
    set: Focused,
    row: DepthRow,
    circle: Circle,
    span: Span,
}

impl Plot {
    /// Contrast of a detail against the subject's distance: at each focus distance
    /// wished for, or with several stops at each of these and the first distance.
    ///
    /// `None` where no contrast was wanted in the setup.
    ///
    /// # Errors
    /// [`Unanswerable`] when the lens does not focus there, or when some stop does
    /// not leave so much contrast even in focus.
    pub fn contrast(
        setup: &DepthSetup,
        others: &[DepthSetup],
        wish: &PlotWish,
    ) -> Result<Option<Self>, Unanswerable> {
        let Some((wanted, detail)) = setup.waves.as_ref().and_then(Waves::wanted) else {
            return Ok(None);
        };
        let mut at = focuses(setup, wish)?;
        if !others.is_empty() {
            at.truncate(1);
        }
        let stops = core::iter::once(setup).chain(others).take(MOST_FOCUSES);
        let mut shown = Vec::new();
        for stop in stops {
            for (set, row) in sets(stop, &at)? {
                let mut span = span(&row, wish.unit);
                if !others.is_empty() {
                    span.words[1] = stop.exposure.stop.to_string();
                }
                let circle = stop.circle_of(&set, &mut ())?;
                shown.push(Shown {
                    set,
                    row,
                    circle,
                    span,
                });
            }
        }
        let rows: Vec<DepthRow> = shown.iter().map(|one| one.row.clone()).collect();
        let focused: Vec<Focused> = shown.iter().map(|one| one.set).collect();
        let widest = shown.iter().map(|one| one.circle);
        let circle = widest
            .reduce(|one, next| if next > one { next } else { one })
            .unwrap_or(setup.circle.circle);
        let (from, to) = window(&rows, &focused, circle, MOST);
        let curves: Vec<Curve> = focused
            .iter()
            .enumerate()
            .map(|(style, &set)| Curve {
                pieces: pieces(set, &detail, (from, to)),
                run: Run::Contrast {
                    set,
                    detail: detail.clone(),
                },
                style: Some(style),
            })
            .collect();
        let reversed = curves.iter().any(|curve| is_reversed(curve, (from, to)));
        let bottom = if reversed { REVERSED } else { 0.0 };
        let number = |value: f64| Value::number(Ratio::computed(value));
        let fineness = format!("{} cycles/mm", detail.frequency.value());
        let mut levels = vec![Level {
            at: number(wanted.value()),
            words: format!("contrast {}", wanted.value()),
        }];
        let mut remarks = Vec::new();
        if reversed {
            levels.push(Level {
                at: number(0.0),
                words: String::new(),
            });
            remarks.push(Remark {
                corner: Corner::Bottom,
                words: "reversed".into(),
            });
        }
        let cautious = rows.iter().any(|row| row.cautious.is_some());
        let stop_words = if others.is_empty() {
            foot::stop(setup)
        } else {
            foot::stops(setup)
        };
        let mut foot = foot::words(setup, foot::Notes::of(stop_words, cautious));
        let swapped = if reversed {
            " · below 0 light and dark are swapped"
        } else {
            ""
        };
        foot.push(format!("a real lens gives less{swapped}"));
        let plot = Self {
            title: "Contrast through focus".into(),
            subject: subject(&wish.names, &stops_in_words(setup, others), setup),
            x: Axis {
                name: format!(
                    "distance of the subject from ⌀{} (the axis goes by 1/distance)",
                    named(wish.unit)
                ),
                scale: Scale::Reciprocal,
                figures: Figures::Distances(wish.unit),
                from,
                to,
            },
            y: Axis {
                name: format!(
                    "contrast at {fineness}{}",
                    if reversed { " (below 0 reversed)" } else { "" }
                ),
                scale: Scale::Linear,
                figures: Figures::Numbers,
                from: number(bottom),
                to: number(1.0),
            },
            opposite: None,
            curves,
            levels,
            spans: shown.into_iter().map(|one| one.span).collect(),
            points: Vec::new(),
            bars: Vec::new(),
            callouts: Vec::new(),
            remarks,
            foot,
            names: wish.names.clone(),
            code: Code::of(""),
        };
        Ok(Some(plot.coded()))
    }
}

/// The lens focused at each distance, with its depth there.
fn sets(
    setup: &DepthSetup,
    at: &[FocusDistance],
) -> Result<Vec<(Focused, DepthRow)>, Unanswerable> {
    let answer = depth(setup, at, &[], &mut ())?;
    let (lens, branch) = (&setup.setup.lens, setup.setup.branch);
    at.iter()
        .zip(answer.rows)
        .map(|(&focus, row)| {
            let set = lens.at(focus, branch, setup.exposure.f_number, &mut ())?;
            Ok((set, row))
        })
        .collect()
}

/// The pieces of a curve: from the focus outward a few lobes each, so that none is
/// missed between two looks. Lobes of a lens come a cycle of blur apart, or
/// farther.
fn pieces(set: Focused, detail: &Detail, (from, to): (Value, Value)) -> Vec<(Value, Value)> {
    let cycle = Length::mm(1.0 / detail.frequency.value());
    let focus = Value::distance(set.focus());
    let mut ends = vec![from, focus, to];
    for lobe in (LOBES..=MOST_LOBES).step_by(LOBES as usize) {
        let circle = Circle::new(cycle * f64::from(lobe)).ok();
        let limits = circle.map(|circle| set.limits(circle, &mut ()));
        ends.extend(
            limits
                .iter()
                .flat_map(|limits| [limits.near, limits.far].map(Value::distance)),
        );
    }
    ends.retain(|&end| from <= end && end <= to);
    ends.sort_by(|one, other| one.value().total_cmp(&other.value()));
    ends.dedup();
    ends.windows(2).map(|pair| (pair[0], pair[1])).collect()
}

/// Whether light and dark change places anywhere along a curve.
fn is_reversed(curve: &Curve, (from, to): (Value, Value)) -> bool {
    let (near, far) = (1.0 / from.value(), 1.0 / to.value());
    (0..=LOOKED_AT).any(|look| {
        let part = f64::from(look) / f64::from(LOOKED_AT);
        let at = Value::new(1.0 / (near + (far - near) * part));
        let contrast = at.and_then(|at| curve.at(at));
        contrast.is_some_and(|contrast| contrast.value() < 0.0)
    })
}

/// One stop, or from which to which.
fn stops_in_words(setup: &DepthSetup, others: &[DepthSetup]) -> String {
    let first = setup.exposure.stop.to_string();
    match others.last() {
        Some(last) => format!("{first} to {}", last.exposure.stop),
        None => first,
    }
}
