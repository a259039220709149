//! What the answer to a prep day rests on, what it cannot tell apart, and what
//! to do about it.

use super::{PrepCamera, PrepLens, nearest_step, which_way};
use crate::gear::{Assumption, Focal, Lens, PrepRow};
use crate::scale::prep::{Judged, Remark};
use crate::units::Length;

/// A lens with what was concluded of it.
pub(super) struct Told<'a> {
    pub lens: &'a Lens,
    pub rows: &'a [&'a PrepRow],
    pub remarks: &'a [Remark],
    pub answer: &'a PrepLens,
}

/// Something that may be said of one lens.
struct OfALens {
    kind: &'static str,
    when: fn(&Told<'_>) -> bool,
    message: &'static str,
}

const OF_A_LENS: [OfALens; 7] = [
    OfALens {
        kind: "hiatus_unknown",
        when: |told| told.lens.pupil().is_none(),
        message: "hiatus unknown, taken as zero; what any plausible build would change is in the \
                  standard error",
    },
    OfALens {
        kind: "zoom_at_its_longest",
        when: |told| matches!(told.lens.focal(), Focal::Zoom { .. }),
        message: "a zoom is judged at its longest focal length",
    },
    OfALens {
        kind: "turn_assumed",
        when: |told| told.remarks.contains(&Remark::TurnAssumed),
        message: "neither marks nor travel are written down: readings were fitted in millimetres \
                  of lens travel, and degrees are those of a ring that turns 300° from infinity to \
                  close focus",
    },
    OfALens {
        kind: "held_against_eye_marks",
        when: |told| told.remarks.contains(&Remark::HeldAgainstEye),
        message: "readings in degrees were held against marks found by eye: what is found is the \
                  change since those were made, not the error of the engraved scale",
    },
    OfALens {
        kind: "setting_left_out",
        when: |told| told.remarks.contains(&Remark::SettingLeftOut),
        message: "one of several settings in a cell was far off the others and was left out",
    },
    OfALens {
        kind: "suspect_at_other_stop",
        when: |told| told.remarks.contains(&Remark::SuspectAtOtherStop),
        message: "a reading set aside was at another stop than the rest: read it again there, to \
                  tell a misreading from a focus that moves with the stop",
    },
    OfALens {
        kind: "zero_not_separable",
        when: |told| told.answer.verdict == "shifted" && told.remarks.contains(&Remark::NoInfinity),
        message: "a scale that slipped on its ring and an image-plane error read alike without an \
                  infinity stop: a collimator, or a far object at the infinity stop, tells them \
                  apart",
    },
];

/// What is taken of one lens that nobody said.
pub(super) fn of_lens(told: &Told<'_>) -> Vec<Assumption> {
    let notes = OF_A_LENS.iter().filter(|note| (note.when)(told));
    notes
        .map(|note| Assumption::new(note.kind, note.message))
        .collect()
}

/// What the answer rests on.
pub(super) fn assumptions(
    camera: &PrepCamera,
    day: &Judged,
    lenses: &[Told<'_>],
) -> Vec<Assumption> {
    let mut out = Vec::new();
    let mut say = |kind, message: String| out.push(Assumption::new(kind, message));
    let rows = || lenses.iter().flat_map(|told| told.rows.iter());
    if rows().any(|row| row.taped_sd.is_none() || row.reading_sd.is_none()) {
        say(
            "errors_assumed",
            "where prep.csv does not say, a tape may be off 5 mm under 1 m, 10 mm to 2 m and \
             25 mm beyond, and one setting of the ring 0.3°"
                .into(),
        );
    }
    say(
        "tape_zero",
        format!(
            "all readings share what the tape's zero is off: {:+.1} mm ± {:.1} as far as they \
             tell, starting from 0 ± 3 mm",
            nearest_step(day.tape_zero.error, Length::mm(0.1)).to_mm(),
            day.tape_zero.standard_error.to_mm()
        ),
    );
    say(
        "figures_tolerance",
        "focal length and hiatus are those of lenses.csv, taken as good to 0.2 % and 0.2 mm".into(),
    );
    let own: Vec<Vec<Assumption>> = lenses.iter().map(of_lens).collect();
    for note in OF_A_LENS {
        let of_it = |own: &[Assumption]| own.iter().any(|own| own.kind == note.kind);
        let ids = lenses.iter().zip(&own).filter(|(_, own)| of_it(own));
        let ids: Vec<&str> = ids.map(|(told, _)| told.answer.id.as_str()).collect();
        if !ids.is_empty() {
            say(
                note.kind,
                format!("lens {}: {}", ids.join(", "), note.message),
            );
        }
    }
    if camera.image_plane_error.is_some() {
        say(
            "shared_error",
            "what all lenses of a set have in common reads as the camera's: only another camera \
             or a collimator tells that apart"
                .into(),
        );
        say(
            "lens_custom",
            "lenses of a set are taken to differ by about 0.01 mm among themselves, as mounts are \
             set by custom, until their readings show otherwise"
                .into(),
        );
    }
    out
}

/// What to do about it: displacement, sign and confidence go to a technician.
pub(super) fn advice(camera: &PrepCamera, lenses: &[PrepLens]) -> Vec<String> {
    let mut out = Vec::new();
    if let (Some(error), "off") = (camera.image_plane_error, camera.verdict) {
        out.push(format!(
            "the camera's image plane reads {}: take these figures to the rental house's \
             technician, with camera and lenses, before any lens is blamed",
            which_way(error)
        ));
    }
    let ids = |which: &dyn Fn(&PrepLens) -> bool| {
        let chosen = lenses.iter().filter(|lens| which(lens));
        chosen
            .map(|lens| lens.id.as_str())
            .collect::<Vec<_>>()
            .join(", ")
    };
    let own = ids(&|lens| lens.own_verdict.unwrap_or(lens.verdict) == "shifted");
    if !own.is_empty() {
        out.push(format!(
            "lens {own}: take it with these figures to the rental house's technician; until then \
             go by marks found by eye on this camera"
        ));
    }
    let by_camera = ids(&|lens| {
        lens.verdict == "shifted" && lens.own_verdict.is_some_and(|own| own != "shifted")
    });
    if !by_camera.is_empty() {
        out.push(format!(
            "lens {by_camera}: shifted as read on this camera, but its own share is not shown to \
             be off: tell the rental house's technician of camera and lens together; until then go \
             by marks found by eye on this camera"
        ));
    }
    let uneven = ids(&|lens| lens.verdict == "uneven");
    if !uneven.is_empty() {
        out.push(format!(
            "lens {uneven}: no one displacement explains the scale; read the distances that stand \
             out once more, and if they stand, go by marks found by eye"
        ));
    }
    let moves = ids(&|lens| lens.verdict == "moves_with_stop");
    if !moves.is_empty() {
        out.push(format!(
            "lens {moves}: focus moves with the stop; find marks by eye at the stop you will work \
             at, and tell the technician"
        ));
    }
    out
}
