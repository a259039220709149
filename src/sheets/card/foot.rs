//! What stands at the foot of a card: what its figures rest on.

use crate::gear::{Assumption, ChosenCircle, DepthSetup, Frame, Waves};
use crate::units::{Line, Stop};

/// The most letters of a format's name that a card prints.
const LONGEST_NAME: usize = 42;

/// What of a face's foot is not the setup's.
#[derive(Clone, Debug, Default)]
pub(in crate::sheets) struct Notes {
    /// How depth follows from the stop.
    pub(super) stop: String,
    /// How the figures are to be taped, on a face one works by.
    pub(super) to_tape: bool,
    /// The morning's check.
    pub(super) check: Option<String>,
    /// What the frame's edge costs.
    pub(super) edge: Option<String>,
    /// Whether any figure is that of the shallowest plausible lens.
    pub(super) cautious: bool,
    /// Whether the format and its gate are told.
    pub(super) gate: bool,
}

impl Notes {
    /// How depth follows from the stop, and whether any figure is cautious.
    pub(in crate::sheets) fn of(stop: String, cautious: bool) -> Self {
        Self {
            stop,
            cautious,
            gate: true,
            ..Self::default()
        }
    }
}

/// The paragraphs of a face, the most needed first.
pub(in crate::sheets) fn words(setup: &DepthSetup, notes: Notes) -> Vec<String> {
    let Notes {
        stop,
        to_tape,
        check,
        edge,
        cautious,
        gate: with_gate,
    } = notes;
    let mut lines = Vec::new();
    if cautious {
        lines.push("pupils unknown: a thin lens is assumed; ≈ the shallowest plausible one".into());
    }
    let plane = "from the ⌀ mark (image plane) to the eyes";
    if to_tape {
        lines.push(format!("tape on the slant, {plane}"));
    }
    lines.extend(edge);
    lines.extend(check);
    let waves = setup
        .waves
        .as_ref()
        .filter(|waves| waves.contrast.is_some());
    let (base, rule) = match waves {
        None => ("circle", circle(&setup.circle)),
        Some(waves) => ("contrast", contrast(setup, waves)),
    };
    lines.push(format!(
        "check against a tape before use; limits rest on the {base}"
    ));
    let gate = if with_gate {
        gate(setup.setup.frame.as_ref())
    } else {
        String::new()
    };
    let rests_on = format!("{gate}{rule}");
    if to_tape {
        lines.push(format!("{rests_on} · {stop}"));
    } else {
        lines.extend([rests_on, format!("{stop} · {plane}")]);
    }
    let notes = setup.setup.assumptions.iter();
    let assumed: Vec<String> = notes.filter_map(|note| short(note, cautious)).collect();
    if !assumed.is_empty() {
        lines.push(assumed.join(" · "));
    }
    lines
}

/// An assumption as short as a card needs it; `None` where another line of the
/// foot already says "assumed".
pub(in crate::sheets) fn short(assumption: &Assumption, cautious: bool) -> Option<String> {
    match assumption.kind {
        "pupils_unknown" if cautious => None,
        "transmittance_assumed" | "circle_assumed" | "wavelength_assumed" => None,
        "pupils_unknown" => Some("hiatus and pupils unknown: thin lens, equal pupils".into()),
        "pupil_magnification_assumed" => Some("equal pupils assumed".into()),
        "pupil_magnification_alone" => {
            Some("pupil magnification given, place of the pupil not: hiatus 0 assumed".into())
        }
        "format_from_memory" => Some("gate from memory".into()),
        "spherical_on_anamorphic_format" => Some("lens taken as spherical".into()),
        "rear_filter" => Some("the scale holds with the rear filter it was tested with".into()),
        // A card has the vertical meridian alone.
        "squeeze_fixed" => None,
        "circle_coarse" => Some("circle over diagonal/1000".into()),
        "circle_fine" => Some("circle under diagonal/3000".into()),
        _ => Some(assumption.message.clone()),
    }
}

/// The format with its gate, and what parts it from what follows.
pub(in crate::sheets) fn gate(frame: Option<&Frame>) -> String {
    frame.map_or(String::new(), |frame| {
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

pub(in crate::sheets) fn circle(circle: &ChosenCircle) -> String {
    let diameter = circle.circle.diameter();
    format!(
        "circle {:.4} mm ({:.5} in), {}",
        diameter.to_mm(),
        diameter.to_inches(),
        circle.in_words()
    )
}

/// The wanted contrast that stands in place of a circle, and in which light.
fn contrast(setup: &DepthSetup, waves: &Waves) -> String {
    let nm = |line: &Line| line.wavelength.length().to_mm() * 1e6;
    let light = match waves.light.lines() {
        [line] => format!("light {:.0} nm", nm(line)),
        lines => {
            let share = |line: &Line| format!("{:.0} ({:.2})", nm(line), line.share.value());
            let lines: Vec<String> = lines.iter().map(share).collect();
            format!("light nm (share): {}", lines.join(", "))
        }
    };
    let assumed = if waves.light_assumed { " assumed" } else { "" };
    let pitch = waves.pitch.map_or(String::new(), |pitch| {
        format!(" · photosites {:.2} µm apart", pitch.length().to_mm() * 1e3)
    });
    format!("{} · {light}{assumed}{pitch}", setup.circle.in_words())
}

/// How depth follows from the stop of the dark-set face.
pub(in crate::sheets) fn stop(setup: &DepthSetup) -> String {
    let exposure = &setup.exposure;
    match (exposure.stop, exposure.transmittance) {
        (Stop::T(_), Some(tau)) => format!(
            "{}: depth by f/{:.2} (transmittance {:.2}{})",
            setup.stop_in_words(),
            setup.f_number_of_the_whole(&mut ()).value(),
            tau.value(),
            assumed(setup)
        ),
        _ => format!("depth by {}", setup.stop_in_words()),
    }
}

/// The same for the stops of the table face.
pub(in crate::sheets) fn stops(setup: &DepthSetup) -> String {
    let exposure = &setup.exposure;
    if setup.setup.lens.light_factor() != 1.0 {
        return "stops are the lens's own, on its ring".into();
    }
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
