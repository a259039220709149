//! The line to read each morning: what the scale must say for a chart, wide open.

use super::{CardWish, choice};
use crate::answers::{DepthRow, Unanswerable, depth};
use crate::units::show::{Round, exact, exact_distance, rounded, rounded_length, step_for};
use crate::units::{FocusDistance, Length, Reach, Unit};

/// The scale must read within this share of the depth wide open: common
/// practice, for which we know no source. What is left is for the eye that
/// focused, and for the subject.
const SHARE: f64 = 1.0 / 3.0;
/// Where that share is wider than this, an eye cannot tell a wrong scale.
const TOO_WIDE: Length = Length::inches(12.0);

/// What to do, in the unit of the lens's own scale; `None` where the widest stop
/// is not known, or the scale reads nothing true with what is attached.
pub(super) fn words(wish: &CardWish) -> Result<Option<String>, Unanswerable> {
    let Some(widest) = wish.stops.first() else {
        return Ok(None);
    };
    if widest.setup.fitted.voids_the_scale() {
        return Ok(None);
    }
    let unit = wish.engraved.unwrap_or(wish.unit);
    let charts = charts(wish, unit);
    let charts = charts
        .into_iter()
        .filter(|&chart| choice::reachable(widest, wish, chart));
    let charts: Vec<FocusDistance> = charts.collect();
    let answer = depth(widest, &charts, &[], &mut ())?;
    let Some(last) = charts.last() else {
        return Ok(None);
    };
    let told = answer.rows.iter().find_map(|row| reading(row, unit));
    Ok(Some(told.unwrap_or_else(|| {
        format!(
            "wide open, a chart as near as {} cannot tell whether the scale is true: have it \
             checked on a collimator",
            exact_distance(*last, unit)
        )
    })))
}

/// What the scale must read for a chart where a row is focused; `None` where
/// nearly anything would pass.
fn reading(row: &DepthRow, unit: Unit) -> Option<String> {
    let (near, far) = row.limits_to_trust();
    let (Reach::At(near), Reach::At(chart), Reach::At(far)) =
        (near.reach(), row.focus.reach(), far.reach())
    else {
        return None;
    };
    if (far - near) * SHARE > TOO_WIDE {
        return None;
    }
    // No finer than a scale is read.
    let step = step_for(Reach::At(chart), unit, Reach::Infinity);
    let from = chart - (chart - near) * SHARE;
    let to = chart + (far - chart) * SHARE;
    let is_inside = |length, round| rounded_length(length, step, round) != chart;
    let reads = if is_inside(from, Round::Up) && is_inside(to, Round::Down) {
        format!(
            "between {} and {} (a third of the depth)",
            rounded(from, step, Round::Up),
            rounded(to, step, Round::Down)
        )
    } else {
        format!("{} to a hair", exact(chart, unit))
    };
    Some(format!(
        "chart at {}, wide open: the scale must read {reads}, else do not trust this card",
        exact(chart, unit)
    ))
}

/// Where to put the chart, the preferred distance first.
fn charts(wish: &CardWish, unit: Unit) -> Vec<FocusDistance> {
    let (usual, round) = match unit {
        Unit::Feet => (
            [6.0, 3.0].map(|feet| Length::inches(feet * 12.0)),
            Length::inches(12.0),
        ),
        Unit::Metres => ([2.0, 1.0].map(Length::m), Length::m(0.5)),
    };
    let [first, ..] = usual;
    let at = |length| FocusDistance::computed(Reach::At(length));
    match wish.close_focus.reach() {
        // A lens that does not come so near is checked at twice its close focus.
        Reach::At(close) if close > first => {
            let count = libm::ceil(close.to_mm() * 2.0 / round.to_mm());
            vec![at(round * count)]
        }
        _ => usual.map(at).to_vec(),
    }
}
