//! What was understood of lenses that are more than a focal length: zooms, those
//! that breathe or squeeze, those with a filter behind them.

use crate::gear::{Focal, Lens};
use crate::optics::Anamorph;
use crate::units::{FocusDistance, Length, Reach, Unit, show};

/// What it is about, and the sentence.
pub(super) fn sentences(lens: &Lens, unit: Unit) -> Vec<(&'static str, String)> {
    let all = [
        ("zoom", zoom(lens)),
        ("squeeze", squeeze(lens)),
        ("breathing", breathing(lens, unit)),
        (
            "rear_filter",
            lens.rear_filter_assumption().map(|note| note.message),
        ),
    ];
    all.into_iter()
        .filter_map(|(about, words)| Some((about, words?)))
        .collect()
}

fn list(lengths: impl Iterator<Item = Length>) -> String {
    let each: Vec<String> = lengths
        .map(|length| format!("{}", length.to_mm()))
        .collect();
    each.join(", ")
}

fn zoom(lens: &Lens) -> Option<String> {
    let Focal::Zoom { long, .. } = lens.focal() else {
        return None;
    };
    let rows = match lens.zoom().len() {
        0 => "nothing is said of its focal lengths one by one".into(),
        _ => format!(
            "what varies along it is said at {} mm, and between them taken from those beside",
            list(lens.zoom().iter().map(|row| row.focal))
        ),
    };
    let cards = if lens.card_focals().is_empty() {
        String::new()
    } else {
        let focals = list(lens.card_focals().iter().copied());
        format!("; cards are printed for {focals} mm")
    };
    Some(format!(
        "a zoom, taken at {} mm unless --focal says otherwise; {rows}{cards}",
        long.to_mm()
    ))
}

fn squeeze(lens: &Lens) -> Option<String> {
    let squeeze = lens.fitted().squeeze?;
    let part = match squeeze.part {
        Anamorph::Front => "with its front",
        Anamorph::Rear => "with its rear",
    };
    Some(format!(
        "squeezes the width {} times, {part}; focal length and depth are those of the vertical \
         meridian",
        squeeze.ratio.value()
    ))
}

fn breathing(lens: &Lens, unit: Unit) -> Option<String> {
    let rows = lens.fitted().breathing;
    let last = rows.iter().map(|row| row.distance).reduce(Length::min)?;
    let nearest = FocusDistance::at(last).ok()?;
    let own = lens.close_focus();
    let short = match (nearest.reach(), own.reach()) {
        (Reach::At(nearest), Reach::At(own)) if nearest > own => format!(
            "; nearer, down to its close focus {}, nothing is told of it and nothing answered",
            show::exact_distance(lens.close_focus(), unit)
        ),
        _ => String::new(),
    };
    let count = match rows.len() {
        1 => "one row says".into(),
        more => format!("{more} rows say"),
    };
    Some(format!(
        "its focal length changes with focus, as {count}, down to {}{short}",
        show::exact_distance(nearest, unit)
    ))
}
