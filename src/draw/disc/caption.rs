//! The words beside or under a disc.

use super::figures_in;
use super::tracks::Tracks;
use crate::draw::paper::Paper;
use crate::draw::tape::caption::{action, cautions, identity, rests_on, rounded_up};
use crate::draw::tape::{On, corrected};
use crate::gear::{GearingKnownBy, Side};
use crate::scene::{Correction, Weight};
use crate::sheets::Disc;
use crate::units::Angle;

/// What is written beside a disc.
pub(super) fn caption(
    disc: &Disc,
    tracks: &Tracks,
    (paper, correction): (&Paper, Correction),
) -> Vec<(String, Weight)> {
    let scale = &disc.scale;
    let in_degrees = |doubt| format!("{:.1}°", rounded_up(disc.angle(doubt).to_deg()));
    let mut knob = vec![
        size(disc),
        turning(disc),
        gearing(disc),
        scale.wraps.clone(),
    ];
    if tracks.all.len() > 1 {
        knob.push(format!(
            "{} turns, each on a track of its own, numbered white on black from the rim inward",
            tracks.all.len()
        ));
    }
    knob.extend(scale.sharp.as_ref().map(|band| band.words.clone()));
    knob.extend(stops(disc, tracks));
    knob.push(figures_in(scale.unit).to_owned());
    let mut rests = rests_on(scale);
    rests.extend(corrected(paper, correction));
    let all = [
        (action(scale, ['▲', '△']), Weight::Bold),
        (cautions(scale, in_degrees), Weight::Bold),
        (identity(scale, On::Ring(disc.side)), Weight::Regular),
        (knob.join(" · "), Weight::Regular),
        (rests.join(" · "), Weight::Regular),
    ];
    all.into_iter()
        .filter(|words| !words.0.is_empty())
        .collect()
}

fn size(disc: &Disc) -> String {
    let speed = match disc.speed {
        (_, 1) => String::new(),
        (speed, of) => format!("speed {speed} of {of} · "),
    };
    format!(
        "{speed}disc ⌀ {:.1} mm, hole ⌀ {:.1} mm",
        disc.knob.radius.to_mm() * 2.0,
        disc.inner.to_mm()
    )
}

fn turning(disc: &Disc) -> String {
    let side = match disc.side {
        Side::Left => "left",
        Side::Right => "right",
    };
    format!(
        "for a knob on the camera's {side}, which turns {} to close focus, seen from outside, while \
         the ring turns {}, seen from behind the camera: if yours turns against the arrow, change \
         reversed in kit.toml",
        disc.sense.name(),
        disc.ring.name()
    )
}

fn gearing(disc: &Disc) -> String {
    let Some(gearing) = disc.gearing else {
        return "the knob's turn was measured over the whole scale".into();
    };
    let turns = gearing.ratio.value();
    let known_by = match gearing.known_by {
        GearingKnownBy::Teeth {
            ring_teeth,
            drive_teeth,
            knob_ratio,
        } => format!(
            "{ring_teeth} teeth on {drive_teeth}, knob {} : 1 of that gear",
            knob_ratio.value()
        ),
        GearingKnownBy::Travel { knob, ring } => format!(
            "measured: {:.1}° of knob over {:.1}° of ring",
            knob.to_deg(),
            ring.to_deg()
        ),
    };
    format!("knob {turns:.3} : 1 ({known_by})")
}

fn stops(disc: &Disc, tracks: &Tracks) -> Option<String> {
    let scale = &disc.scale;
    let stop = |beyond, end: &str, drawn: Option<Angle>| {
        let drawn = match drawn {
            Some(_) => "hatched",
            None => "not drawn",
        };
        let beyond = disc.angle(beyond).to_deg();
        format!("{beyond:.1}° of knob beyond {end} ({drawn})")
    };
    let [far, near] = tracks.stops;
    let given = [
        scale.before.map(|beyond| stop(beyond, "infinity", far)),
        scale.after.map(|beyond| stop(beyond, "close focus", near)),
    ];
    let given: Vec<String> = given.into_iter().flatten().collect();
    (!given.is_empty()).then(|| format!("hard stop {}", given.join(", ")))
}
