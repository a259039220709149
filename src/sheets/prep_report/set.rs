//! The sheet of a camera and its lenses.

use super::words::{self, Displaced, EITHER_WAY};
use super::{PrepHead, PrepSetRow, PrepSetSheet};
use crate::answers::{BetweenCameras, PrepAnswer, PrepCamera, PrepLens, tolerated_in_mm};
use crate::gear::Kit;
use crate::sheets::{Code, Names};
use crate::units::Length;

impl PrepSetSheet {
    /// What the readings of a kit say of a camera, with all its lenses.
    #[must_use]
    pub fn of(answer: &PrepAnswer, kit: &Kit) -> Self {
        let who = who(&answer.camera);
        let sheet = Self {
            names: Names {
                title: Some(kit.title.clone()).filter(|title| !title.is_empty()),
                prepared: kit.prepared.clone(),
                ..Names::default()
            },
            subject: who.join(", "),
            camera: head(&answer.camera, who),
            rows: answer.lenses.iter().map(row).collect(),
            legend: legend(),
            differences: answer.between_cameras.iter().map(between).collect(),
            advice: answer
                .advice
                .iter()
                .map(|line| format!("→ {line}"))
                .collect(),
            rests_on: answer
                .assumptions
                .iter()
                .map(|note| format!("· {}", note.message))
                .collect(),
            cautions: words::cautions(),
            code: Code::of(""),
        };
        let code = Code::of(&format!("{sheet:?}"));
        Self { code, ..sheet }
    }
}

/// The camera's name and its body's number.
fn who(camera: &PrepCamera) -> Vec<String> {
    let name = match &camera.name {
        Some(name) => format!("camera {name}"),
        None => "the camera".to_owned(),
    };
    let serial = camera.serial.as_ref();
    let serial = serial.map(|serial| format!("body no. {serial}"));
    core::iter::once(name).chain(serial).collect()
}

fn head(camera: &PrepCamera, who: Vec<String>) -> PrepHead {
    let found = Displaced::known(camera.image_plane_error, camera.standard_error);
    let (verdict, meaning) = words::of_camera(camera.verdict);
    let mut out = vec![format!("{meaning}.")];
    if let Some(found) = &found {
        out.push(format!(
            "{EITHER_WAY}. One standard error is {} mm. Tolerated, the least of its lenses: {} mm \
             either way. Judged on {}.",
            found.one_standard_error(),
            tolerated_in_mm(camera.tolerated_error),
            lenses(camera.judged_on)
        ));
    } else {
        out.push(format!(
            "No figure can be told, from {} with an even scale read at 1 m or beyond.",
            lenses(camera.judged_on)
        ));
    }
    let zero = camera.tape_zero;
    let side = if zero < Length::ZERO {
        "nearer"
    } else {
        "farther"
    };
    let mut tape = format!(
        "Tape zero: everything stood {:.1} mm {side} than taped (± {:.1}); taken off every reading.",
        zero.abs().to_mm(),
        libm::ceil(20.0 * camera.tape_zero_standard_error.to_mm() - 1e-9) / 10.0
    );
    if camera.hook_offset > Length::ZERO {
        let hook = camera.hook_offset.to_mm();
        tape.push_str(&format!(" The tape hook sits {hook} mm beside the axis."));
    }
    out.push(tape);
    if let Some(settle) = &camera.settle {
        out.push(format!("To settle it: {settle}."));
    }
    PrepHead {
        who,
        found,
        tolerated: camera.tolerated_error,
        verdict: verdict.into(),
        words: out,
    }
}

fn lenses(count: usize) -> String {
    match count {
        0 => "no lens".into(),
        1 => "1 lens".into(),
        more => format!("{more} lenses"),
    }
}

fn row(lens: &PrepLens) -> PrepSetRow {
    let set_aside = lens.points.iter().filter(|point| point.suspect).count();
    PrepSetRow {
        label: lens.label.clone(),
        serial: lens.serial.clone(),
        focal: format!("{} mm", lens.focal_length.to_mm()),
        stops: super::lens::stops(lens),
        readings: lens.points.len(),
        set_aside,
        as_read: Displaced::of(lens.image_plane_error, lens.standard_error),
        own: Displaced::known(lens.own_error, lens.own_standard_error),
        tolerated: lens.tolerated_error,
        tolerated_words: [
            tolerated_in_mm(lens.tolerated_error),
            format!("at {}", lens.tolerated_at),
        ],
        verdict: words::of_lens(lens.verdict),
        own_verdict: lens.own_verdict.map(words::of_lens),
    }
}

fn legend() -> Vec<String> {
    vec![
        "mm by which the image plane reads too far from the lens or too near it, ± two standard \
         errors; verdicts go by unrounded figures."
            .into(),
        "True scale: shown to lie within what is tolerated, half the depth of focus. Shifted: \
         shown not to be nought. Undecided: the readings do not settle it."
            .into(),
    ]
}

fn between(pair: &BetweenCameras) -> String {
    let (one, other) = (&pair.camera, &pair.other);
    let Some(found) = Displaced::known(pair.difference, pair.standard_error) else {
        return format!(
            "Cameras {one} and {other} cannot be compared: fewer than two lenses were read on both."
        );
    };
    let side = if found.error < Length::ZERO {
        "nearer the lens"
    } else {
        "farther from the lens"
    };
    format!(
        "The image plane of camera {one} lies {side} than that of camera {other} by {} mm (± {}), \
         from {} lenses read on both.",
        found.hundredths(),
        found.either_way(),
        pair.lenses
    )
}
