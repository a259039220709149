//! What stands at the foot of a card: what its figures rest on.

use super::{CardWish, between, choice, line};
use crate::answers::{Unanswerable, depth};
use crate::gear::{Assumption, ChosenCircle, DepthSetup};
use crate::units::{FocusDistance, Length, Reach, Stop, Unit};

/// The most letters of a format's name that a card prints.
const LONGEST_NAME: usize = 42;

/// The paragraphs of a face, the most needed first.
pub(in crate::sheets) fn words(
    setup: &DepthSetup,
    stop: String,
    check: Option<String>,
    cautious: bool,
) -> Vec<String> {
    let mut lines = Vec::new();
    if cautious {
        lines.push("pupils unknown: a thin lens is assumed; ≈ the shallowest plausible one".into());
    }
    lines.extend(check);
    lines.push("check against a tape before use; limits rest on the circle".into());
    lines.push(format!("{}{}", gate(setup), circle(&setup.circle)));
    lines.push(format!(
        "{stop} · from the ⌀ mark (image plane) to the eyes"
    ));
    let notes = setup.setup.assumptions.iter();
    let assumed: Vec<String> = notes.filter_map(|note| short(note, cautious)).collect();
    if !assumed.is_empty() {
        lines.push(assumed.join(" · "));
    }
    lines
}

/// An assumption as short as a card needs it; `None` where another line of the
/// foot already says "assumed".
fn short(assumption: &Assumption, cautious: bool) -> Option<String> {
    match assumption.kind {
        "pupils_unknown" if cautious => None,
        "transmittance_assumed" | "circle_assumed" => None,
        "pupils_unknown" => Some("hiatus and pupils unknown: thin lens, equal pupils".into()),
        "pupil_magnification_assumed" => Some("equal pupils assumed".into()),
        "pupil_magnification_alone" => {
            Some("pupil magnification given, place of the pupil not: hiatus 0 assumed".into())
        }
        "format_from_memory" => Some("gate from memory".into()),
        "spherical_on_anamorphic_format" => Some("lens taken as spherical".into()),
        "circle_coarse" => Some("circle over diagonal/1000".into()),
        "circle_fine" => Some("circle under diagonal/3000".into()),
        _ => Some(assumption.message.clone()),
    }
}

fn gate(setup: &DepthSetup) -> String {
    setup.setup.frame.as_ref().map_or(String::new(), |frame| {
        format!(
            "{}, gate {:.2} × {:.2} mm · ",
            short_name(&frame.name),
            frame.gate.width().to_mm(),
            frame.gate.height().to_mm()
        )
    })
}

/// A format's name, cut with an ellipsis where it would fill the foot.
fn short_name(name: &str) -> String {
    if name.chars().count() <= LONGEST_NAME {
        return name.to_owned();
    }
    let kept: String = name.chars().take(LONGEST_NAME - 1).collect();
    format!("{}…", kept.trim_end())
}

fn circle(circle: &ChosenCircle) -> String {
    let diameter = circle.circle.diameter();
    format!(
        "circle {:.4} mm ({:.5} in), {}",
        diameter.to_mm(),
        diameter.to_inches(),
        circle.in_words()
    )
}

/// How depth follows from the stop of the dark-set face.
pub(in crate::sheets) fn stop(setup: &DepthSetup) -> String {
    let exposure = &setup.exposure;
    match (exposure.stop, exposure.transmittance) {
        (Stop::T(_), Some(tau)) => format!(
            "{}: depth by f/{:.2} (transmittance {:.2}{})",
            exposure.stop,
            exposure.f_number.value(),
            tau.value(),
            assumed(setup)
        ),
        _ => format!("depth by {}", exposure.stop),
    }
}

/// The same for the stops of the table face.
pub(in crate::sheets) fn stops(setup: &DepthSetup) -> String {
    let exposure = &setup.exposure;
    match (exposure.stop, exposure.transmittance) {
        (Stop::T(_), Some(tau)) => format!(
            "T-stops: depth by f-number (transmittance {:.2}{})",
            tau.value(),
            assumed(setup)
        ),
        (Stop::T(_), None) => "T-stops".into(),
        (Stop::F(_), _) => "f-stops".into(),
    }
}

fn assumed(setup: &DepthSetup) -> &'static str {
    let notes = &setup.setup.assumptions;
    if notes
        .iter()
        .any(|note| note.kind == "transmittance_assumed")
    {
        " assumed"
    } else {
        ""
    }
}

/// The line to read each morning: what the scale must say for a chart, wide open.
pub(super) fn morning(wish: &CardWish) -> Result<Option<String>, Unanswerable> {
    let Some(widest) = wish.stops.first() else {
        return Ok(None);
    };
    let mut found = None;
    for chart in charts(wish) {
        if !choice::reachable(widest, wish, chart) {
            continue;
        }
        let answer = depth(widest, &[chart], &[], &mut ())?;
        let Some(row) = answer.rows.first() else {
            continue;
        };
        found = Some(line(row, wish.unit));
        let (near, far) = row.limits_to_trust();
        // Where much is sharp, a wrong scale would pass: take the chart nearer.
        match (between(near.reach(), far.reach()), chart.reach()) {
            (Reach::At(depth), Reach::At(chart)) if depth <= chart / 4.0 => break,
            _ => {}
        }
    }
    Ok(found.map(|line| {
        format!(
            "chart at {}, wide open: the scale must read between {} and {}, else do not trust \
             this card",
            line.focus, line.near, line.far
        )
    }))
}

/// Where to put the chart, the preferred distance first.
fn charts(wish: &CardWish) -> Vec<FocusDistance> {
    let (usual, round) = match wish.unit {
        Unit::Feet => (
            [6.0, 3.0, 2.0, 1.0]
                .map(|feet| feet * 12.0)
                .map(Length::inches),
            Length::inches(12.0),
        ),
        Unit::Metres => ([2.0, 1.0, 0.6, 0.3].map(Length::m), Length::m(0.5)),
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
