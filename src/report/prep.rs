//! What prep day says, in words.

use core::fmt::Write;

use serde::Serialize;

use super::table::{Words, plain_table, remarks};
use crate::answers::{
    DISPLACEMENT_STEP, MarkTold, PrepAnswer, PrepCamera, PrepLens, PrepPoint,
    displacement_in_words, nearest_step, tolerated_in_mm, two_standard_errors,
};
use crate::units::{FocusDistance, Length, Ratio};

/// A prep answer for people: the camera, all lenses, then each lens by itself.
#[must_use]
pub fn prep(answer: &PrepAnswer, words: Words) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = writeln!(out, "{}", of_camera(&answer.camera));
    for other in &answer.other_cameras {
        let _ = writeln!(out, "{}", of_camera(&other.camera));
    }
    for pair in &answer.between_cameras {
        let _ = writeln!(out, "{}", between(pair));
    }
    out.push('\n');
    out.push_str(&set_table(&answer.lenses));
    for lens in &answer.lenses {
        out.push_str(&of_lens(lens, words));
    }
    if !answer.advice.is_empty() {
        out.push('\n');
    }
    for line in &answer.advice {
        let _ = writeln!(out, "→ {line}");
    }
    out.push_str(
        "\n· ± is two standard errors: 19 times in 20 the truth lies within\n\
         · true: shown to lie within what is tolerated, half the depth of focus; shifted or off: \
         shown not to be nought; undecided: the readings do not settle it\n",
    );
    out.push_str(&remarks(&answer.assumptions));
    out
}

/// A signed displacement for a table.
fn signed(error: Length, standard_error: Length) -> String {
    format!(
        "{:+.3} ± {}",
        nearest_step(error, DISPLACEMENT_STEP).to_mm(),
        two_standard_errors(standard_error)
    )
}

/// A signed figure with one decimal; minus nought is nought.
fn tenths(value: f64) -> String {
    format!("{:+.1}", libm::round(value * 10.0) / 10.0 + 0.0)
}

/// What is tolerated, cut and never rounded up.
fn tolerated(length: Length) -> String {
    format!("{} mm", tolerated_in_mm(length))
}

fn of_camera(camera: &PrepCamera) -> String {
    let name = match (&camera.name, &camera.serial) {
        (Some(name), Some(serial)) => format!("camera {name} ({serial})"),
        (Some(name), None) => format!("camera {name}"),
        (None, Some(serial)) => format!("the camera ({serial})"),
        (None, None) => "the camera".into(),
    };
    let verdict = match camera.verdict {
        "true_plane" => "TRUE PLANE",
        "off" => "OFF",
        _ => "UNDECIDED",
    };
    let mut out = format!("{name}: {verdict}");
    if let (Some(error), Some(sd)) = (camera.image_plane_error, camera.standard_error) {
        let _ = write!(
            out,
            ", image plane {} (tolerated {}; judged on {} lenses)",
            displacement_in_words(error, sd),
            tolerated(camera.tolerated_error),
            camera.judged_on
        );
    }
    if let Some(settle) = &camera.settle {
        let _ = write!(out, "\n  to settle it: {settle}");
    }
    out
}

fn between(pair: &crate::answers::BetweenCameras) -> String {
    let (one, other) = (&pair.camera, &pair.other);
    match (pair.difference, pair.standard_error) {
        (Some(difference), Some(sd)) => format!(
            "between cameras: the image plane of {one} is {} than that of {other} by {} (from {} \
             lenses read on both)",
            if difference < Length::ZERO {
                "nearer the lens"
            } else {
                "farther from the lens"
            },
            signed(difference.abs(), sd).replace('+', ""),
            pair.lenses
        ),
        _ => format!(
            "between cameras: {one} and {other} cannot be compared, for fewer than two lenses were \
             read on both"
        ),
    }
}

fn verdict(name: &str) -> &str {
    match name {
        "true_scale" => "true scale",
        "moves_with_stop" => "moves with the stop",
        other => other,
    }
}

fn set_table(lenses: &[PrepLens]) -> String {
    let header = [
        "lens",
        "verdict",
        "as read (mm)",
        "its own (mm)",
        "its own verdict",
        "tolerated",
        "readings",
        "scatter",
    ];
    let rows = lenses.iter().map(|lens| {
        let suspects = lens.points.iter().filter(|point| point.suspect).count();
        let own = match (lens.own_error, lens.own_standard_error) {
            (Some(error), Some(sd)) => signed(error, sd),
            _ => "-".into(),
        };
        let scatter = lens.reduced_chi_square;
        vec![
            lens.label.clone(),
            verdict(lens.verdict).to_owned(),
            signed(lens.image_plane_error, lens.standard_error),
            own,
            lens.own_verdict.map_or("-", verdict).to_owned(),
            format!(
                "{} at {}",
                tolerated(lens.tolerated_error),
                lens.tolerated_at
            ),
            match suspects {
                0 => lens.points.len().to_string(),
                some => format!("{}, {some} set aside", lens.points.len()),
            },
            scatter.map_or("-".into(), |ratio| format!("{:.1}", ratio.value())),
        ]
    });
    let left = ["lens", "verdict", "its own verdict"];
    let mut out = plain_table(&header, &left, rows.collect());
    out.push_str(
        "+ image plane too far from the lens, − too near; scatter: 1 is what was declared\n",
    );
    out
}

fn of_lens(lens: &PrepLens, words: Words) -> String {
    let mut out = String::new();
    let serial = lens
        .serial
        .as_deref()
        .map_or_else(String::new, |serial| format!(" ({serial})"));
    let _ = writeln!(
        out,
        "\n{}{serial}: {}, reads as an image plane {}",
        lens.label,
        verdict(lens.verdict).to_uppercase(),
        displacement_in_words(lens.image_plane_error, lens.standard_error)
    );
    for at in &lens.by_stop {
        let _ = writeln!(
            out,
            "  at {}: {}",
            at.stop,
            displacement_in_words(at.image_plane_error, at.standard_error)
        );
    }
    if let Some(settle) = &lens.settle {
        let _ = writeln!(out, "  {}", settle.in_words(words.unit));
    }
    out.push_str(&readings(&lens.points, words));
    out.push_str(&telling(lens, words));
    out
}

fn readings(points: &[PrepPoint], words: Words) -> String {
    let header = [
        "taped",
        "stop",
        "the scale said",
        "ring off by",
        "in sd",
        "",
    ];
    let rows = points.iter().map(|point| {
        let said = match (point.reading, point.turn) {
            (Some(reading), _) => words.exact(reading.reach()),
            (None, Some(turn)) => format!("{:.2}°", turn.to_deg()),
            (None, None) => "-".into(),
        };
        let note = if point.suspect {
            "misread? set aside"
        } else {
            ""
        };
        vec![
            words.exact(point.taped.reach()),
            point.stop.clone(),
            said,
            format!("{}°", tenths(point.residual.to_deg())),
            tenths(point.residual_in_sd.value()),
            note.to_owned(),
        ]
    });
    plain_table(&header, &[""], rows.collect())
}

fn telling(lens: &PrepLens, words: Words) -> String {
    let shows = format!("at {}", lens.tolerated_at);
    let header = [
        "engraved",
        "really focuses at",
        shows.as_str(),
        "blur (mm)",
        "no longer shows at",
    ];
    let place = |distance: Option<FocusDistance>| {
        distance.map_or("beyond ∞".into(), |distance| {
            words.nearest(distance.reach())
        })
    };
    let rows = lens.marks.iter().map(|told: &MarkTold| {
        vec![
            words.exact(told.mark.reach()),
            place(told.real_focus),
            if told.shows { "shows" } else { "does not show" }.to_owned(),
            format!("{:.3}", told.blur.abs().to_mm()),
            told.no_longer_shows_at
                .as_deref()
                .unwrap_or("never shows")
                .to_owned(),
        ]
    });
    plain_table(&header, &[shows.as_str()], rows.collect())
}

/// One lens as a row of figures.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PrepRow<'a> {
    camera: Option<&'a str>,
    id: &'a str,
    serial: Option<&'a str>,
    image_plane_error_mm: Length,
    standard_error_mm: Length,
    own_error_mm: Option<Length>,
    own_standard_error_mm: Option<Length>,
    verdict: &'a str,
    own_verdict: Option<&'a str>,
    tolerated_error_mm: Length,
    tolerated_at: &'a str,
    chi_square: Ratio,
    degrees_of_freedom: usize,
    readings: usize,
    suspects: usize,
    settle_taped_mm: Option<FocusDistance>,
    settle_stop: Option<&'a str>,
    settle_readings: Option<usize>,
}

/// A prep answer as rows, one a lens, under the names of the JSON contract.
#[must_use]
pub fn prep_rows(answer: &PrepAnswer) -> Vec<PrepRow<'_>> {
    fn of<'a>(answer: &'a PrepAnswer, lens: &'a PrepLens) -> PrepRow<'a> {
        let settle = lens.settle.as_ref();
        PrepRow {
            camera: answer.camera.name.as_deref(),
            id: &lens.id,
            serial: lens.serial.as_deref(),
            image_plane_error_mm: lens.image_plane_error,
            standard_error_mm: lens.standard_error,
            own_error_mm: lens.own_error,
            own_standard_error_mm: lens.own_standard_error,
            verdict: lens.verdict,
            own_verdict: lens.own_verdict,
            tolerated_error_mm: lens.tolerated_error,
            tolerated_at: &lens.tolerated_at,
            chi_square: lens.chi_square,
            degrees_of_freedom: lens.degrees_of_freedom,
            readings: lens.points.len(),
            suspects: lens.points.iter().filter(|point| point.suspect).count(),
            settle_taped_mm: settle.and_then(|settle| settle.taped),
            settle_stop: settle.map(|settle| settle.stop.as_str()),
            settle_readings: settle.map(|settle| settle.readings),
        }
    }
    answer.lenses.iter().map(|lens| of(answer, lens)).collect()
}
