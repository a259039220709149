//! The law of a lens's ring, in words.

use super::words::tenths_of_degree;
use crate::answers::PrepLens;
use crate::gear::{Lens, MarkKind, MarkSet, Marks};
use crate::scale::{LensLaw, NoLaw, RingPosition};
use crate::units::{FocusDistance, Unit, show};

/// More marks than these are told by their ends.
const MOST_NAMED: usize = 24;

/// What the law of a ring is, what stands behind it and what it may be off where
/// the lens was read.
pub(super) fn in_words(
    lens: &Lens,
    marks: Option<&Marks>,
    camera: Option<&str>,
    answer: &PrepLens,
    unit: Unit,
) -> Vec<String> {
    let mut out = Vec::new();
    match LensLaw::of(lens, marks, camera) {
        Ok(law) => {
            out.push(through(&law, lens, unit));
            out.extend(worth(&law, answer));
        }
        Err(NoLaw::NothingKnown) => {
            out.push("Neither marks nor travel are written down: the ring has no law.".into());
        }
        Err(NoLaw::TravelUnknown) => out.push(
            "Positions of marks are parts of a travel nobody wrote down: the ring has no law."
                .into(),
        ),
        Err(NoLaw::Marks(_)) => {
            out.push("The marks written down make no law of the ring.".into());
        }
    }
    out.extend(gain(answer));
    out.push(held_against(marks, camera, answer));
    out
}

/// What the law is, and its standing.
fn through(law: &LensLaw<'_>, lens: &Lens, unit: Unit) -> String {
    let standing = law.law.standing().name();
    let place = |distance: FocusDistance| show::as_meant(distance.reach(), unit);
    match (&law.marks, law.law.gain(), law.law.travel()) {
        (Some(set), ..) => {
            let all: Vec<String> = set.rows.iter().map(|mark| place(mark.distance)).collect();
            let which = match &all[..] {
                [far, .., near] if all.len() > MOST_NAMED => format!("{far} to {near}"),
                _ => all.join(", "),
            };
            format!("Through {}, {standing}: {which}.", marks_in_words(set))
        }
        (None, Some(gain), Some(travel)) => format!(
            "A helicoid of {:.1}° for each mm of lens travel, from {:.1}° between infinity and {}: \
             {standing}, not measured.",
            gain.value(),
            travel.to_deg(),
            place(lens.close_focus())
        ),
        (None, ..) => format!("A helicoid: {standing}."),
    }
}

fn marks_in_words(set: &MarkSet<'_>) -> String {
    let kind = match set.kind {
        MarkKind::Eye => "marks found by eye",
        MarkKind::Read => "marks read",
        MarkKind::Engraved => "engraved marks",
    };
    let camera = set.camera;
    let camera = camera.map_or_else(String::new, |camera| format!(" on camera {camera}"));
    format!("{} {kind}{camera}", set.rows.len())
}

/// What the places of the distances read may be off.
fn worth(law: &LensLaw<'_>, answer: &PrepLens) -> Option<String> {
    let errors = answer.points.iter().filter_map(|point| {
        let place: RingPosition = law.law.standard_error(point.taped)?;
        Some(place.turn()?.to_deg())
    });
    let (least, most) = errors.fold((f64::MAX, f64::MIN), |(low, high), sd| {
        (low.min(sd), high.max(sd))
    });
    (least <= most).then(|| {
        let up = |degrees: f64| libm::ceil(degrees * 10.0 - 1e-9) / 10.0;
        let (least, most) = (up(least), up(most));
        let range = if least == most {
            format!("{most:.1}°")
        } else {
            format!("{least:.1} to {most:.1}°")
        };
        format!("At the distances read it may be off {range} (one standard error).")
    })
}

/// What a hundredth of a millimetre turns the ring where the lens was read.
fn gain(answer: &PrepLens) -> Option<String> {
    let gains = answer.points.iter().filter_map(|point| point.gain);
    let (least, most) = gains.fold((f64::MAX, f64::MIN), |(low, high), gain| {
        (low.min(gain.value()), high.max(gain.value()))
    });
    (least <= most).then(|| {
        let [least, most] = [least, most].map(|gain| tenths_of_degree(gain / 100.0));
        let [least, most] = [&least, &most].map(|gain| gain.trim_start_matches('+'));
        let range = if least == most {
            format!("{most}°")
        } else {
            format!("{least} to {most}°")
        };
        format!("Where it was read, 0.01 mm of image plane turns the ring {range}.")
    })
}

/// What the readings were held against.
fn held_against(marks: Option<&Marks>, camera: Option<&str>, answer: &PrepLens) -> String {
    let on_scale = answer.points.iter().any(|point| point.reading.is_some());
    let in_degrees = answer.points.iter().any(|point| point.turn.is_some());
    let own = marks.and_then(|marks| marks.own_scale(camera));
    let degrees = match own {
        Some(set) => format!("readings in degrees against {}", marks_in_words(&set)),
        None => "readings in degrees against the ring's travel".to_owned(),
    };
    let scale = "readings on the engraved scale against the distances it says";
    let what = match (on_scale, in_degrees) {
        (true, true) => format!("{scale}, {degrees}"),
        (false, true) => degrees,
        _ => scale.to_owned(),
    };
    format!("Held: {what}.")
}
