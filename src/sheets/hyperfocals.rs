//! The hyperfocal card of a set: one row a lens, one column a stop.

use super::card::figure::{outward, outward_length};
use super::card::foot;
use super::code::Code;
use super::names::Names;
use super::worth::usual_marks;
use crate::answers::{Unanswerable, depth};
use crate::gear::{Assumption, DepthSetup};
use crate::scale::LensLaw;
use crate::scale::prep::BodyVerdict;
use crate::units::show::exact_distance;
use crate::units::{FocusDistance, Reach, Stop, StopKind, Unit};

/// A list of engraved marks with so many finite ones is taken as the whole scale.
const WHOLE_SCALE: usize = 4;

/// A lens's own scale, where it can be trusted on the camera.
#[derive(Clone, Debug)]
pub struct TrustedScale<'a> {
    /// Where distances really stand.
    pub law: LensLaw<'a>,
    /// Where they are engraved.
    pub own: LensLaw<'a>,
    /// The marks the scale is known to have; with fewer than four, the usual
    /// ones of its unit are taken.
    pub engraved: Vec<FocusDistance>,
    /// The unit it is engraved in.
    pub unit: Unit,
}

/// A lens of the set.
#[derive(Clone, Debug)]
pub struct HyperfocalLens<'a> {
    /// What it is called.
    pub names: Names,
    /// Its own widest stop.
    pub widest: Stop,
    /// The setup at each stop of the card; `None` where it does not open so far.
    pub setups: Vec<Option<DepthSetup>>,
    /// Its scale, where that may be set by.
    pub scale: Option<TrustedScale<'a>>,
}

/// What a card of hyperfocal distances needs to know.
#[derive(Clone, Debug)]
pub struct HyperfocalsWish<'a> {
    /// The set's title, camera and date; it has no focal length.
    pub names: Names,
    /// The unit of its figures.
    pub unit: Unit,
    /// What prep day says of the camera; `None`: not tested.
    pub camera: Option<BodyVerdict>,
    /// The stops, the widest first.
    pub stops: Vec<Stop>,
    /// The stop worked at.
    pub working: Option<Stop>,
    /// The lenses.
    pub lenses: Vec<HyperfocalLens<'a>>,
    /// Whether format and gate are told at the foot.
    pub gate: bool,
}

/// A hyperfocal distance at one stop.
#[derive(Clone, Debug, PartialEq)]
pub struct HyperfocalCell {
    /// From the image plane, rounded up, with `≈` before it where it is that of
    /// the plausible lens that needs most.
    pub hyperfocal: String,
    /// The near limit there, rounded up; where the ring's place is farther, at
    /// that.
    pub near: String,
    /// Where the lens's own scale is set, as `15–20 ⅔`: between 15 and 20, ⅔ of
    /// the way toward 20; rounded toward infinity.
    pub place: Option<String>,
}

/// A lens's row.
#[derive(Clone, Debug, PartialEq)]
pub struct HyperfocalRow {
    /// Focal length in mm, as figures.
    pub focal: String,
    /// Its widest stop, where the first column is not for all the same.
    pub widest: Option<String>,
    /// What tells it from another lens of the same focal length.
    pub label: Option<String>,
    /// The unit of its own scale, where a place on it is told.
    pub scale: Option<&'static str>,
    /// One cell a stop; `None` where the lens does not open so far or nothing is
    /// sharp to infinity.
    pub cells: Vec<Option<HyperfocalCell>>,
}

/// The hyperfocal card of a set.
#[derive(Clone, Debug, PartialEq)]
pub struct Hyperfocals {
    /// The set's title, camera and date.
    pub names: Names,
    /// The unit of its figures.
    pub unit: Unit,
    /// Whether the stops are T or f.
    pub kind: StopKind,
    /// Over the columns.
    pub stops: Vec<String>,
    /// Which of them is worked at; the first, where none is.
    pub working: usize,
    /// What prep day says of the camera, in words.
    pub camera: &'static str,
    /// One row a lens.
    pub rows: Vec<HyperfocalRow>,
    /// What stands at the foot, paragraph by paragraph.
    pub foot: Vec<String>,
    /// What it was made from.
    pub code: Code,
}

impl Hyperfocals {
    /// The card of some lenses, in their order.
    ///
    /// # Errors
    /// [`Unanswerable`] where a setup has no depth at all.
    pub fn new(wish: HyperfocalsWish<'_>) -> Result<Self, Unanswerable> {
        let unit = wish.unit;
        let first = wish.lenses.first().map(|lens| lens.widest);
        let alike = wish.lenses.iter().all(|lens| Some(lens.widest) == first);
        let rows = wish
            .lenses
            .iter()
            .map(|lens| row(lens, unit, alike))
            .collect::<Result<Vec<_>, _>>()?;
        let mut stops: Vec<String> = wish.stops.iter().map(Stop::to_string).collect();
        if let (false, Some(first)) = (alike, stops.first_mut()) {
            *first = "wide open".into();
        }
        let placed = rows.iter().any(|row| row.scale.is_some());
        let working = wish
            .stops
            .iter()
            .position(|&stop| Some(stop) == wish.working);
        let mut card = Self {
            unit,
            working: working.unwrap_or(0),
            kind: first.map_or(StopKind::T, Stop::kind),
            stops,
            camera: camera(wish.camera),
            foot: foot(&wish, &rows, placed),
            rows,
            names: wish.names,
            code: Code::of(""),
        };
        card.code = Code::of(&format!("{card:?}"));
        Ok(card)
    }
}

const fn camera(verdict: Option<BodyVerdict>) -> &'static str {
    match verdict {
        None => "camera not tested",
        Some(BodyVerdict::TruePlane) => "camera true",
        Some(BodyVerdict::Off) => "camera off",
        Some(BodyVerdict::Undecided) => "camera undecided",
    }
}

fn row(lens: &HyperfocalLens<'_>, unit: Unit, alike: bool) -> Result<HyperfocalRow, Unanswerable> {
    let cells = lens.setups.iter().map(|setup| match setup {
        Some(setup) => cell(setup, lens.scale.as_ref(), unit),
        None => Ok(None),
    });
    let cells = cells.collect::<Result<Vec<_>, _>>()?;
    let placed = cells.iter().flatten().any(|cell| cell.place.is_some());
    Ok(HyperfocalRow {
        focal: lens.names.focal.clone(),
        widest: (!alike).then(|| lens.widest.to_string()),
        label: lens.names.id.clone().or(lens.names.label.clone()),
        scale: lens
            .scale
            .as_ref()
            .filter(|_| placed)
            .map(|scale| match scale.unit {
                Unit::Feet => "scale: ft",
                Unit::Metres => "scale: m",
            }),
        cells,
    })
}

fn cell(
    setup: &DepthSetup,
    scale: Option<&TrustedScale<'_>>,
    unit: Unit,
) -> Result<Option<HyperfocalCell>, Unanswerable> {
    let answer = depth(setup, &[], &[], &mut ())?;
    let Some(exact) = answer.hyperfocal_to_trust() else {
        return Ok(None);
    };
    let at = FocusDistance::computed(Reach::At(outward_length(exact, unit)));
    let place = scale.and_then(|scale| scale.law.on_scale(&scale.own, &engraved(scale), at));
    // Who sets the ring by its scale focuses where that place is, farther off.
    let farthest = place.map_or(at, |place| {
        if at.is_nearer_than(place.focus) {
            place.focus
        } else {
            at
        }
    });
    let rows = depth(setup, &[farthest], &[], &mut ())?.rows;
    let near = rows
        .first()
        .and_then(|row| row.limits_to_trust().0.reach().finite());
    let mark = if answer.cautious_hyperfocal.is_some() {
        "≈"
    } else {
        ""
    };
    Ok(near.map(|near| HyperfocalCell {
        hyperfocal: format!("{mark}{}", outward(exact, unit)),
        near: outward(near, unit),
        place: place.zip(scale).map(|(place, scale)| {
            let [from, to] = [place.from, place.to].map(|mark| as_engraved(mark, scale.unit));
            match place.part.sign() {
                "" => format!("at {to}"),
                part => format!("{from}–{to} {part}"),
            }
        }),
    }))
}

/// The marks of a scale, known or usual.
fn engraved(scale: &TrustedScale<'_>) -> Vec<FocusDistance> {
    let finite = scale.engraved.iter().filter(|mark| !mark.is_infinite());
    if finite.count() >= WHOLE_SCALE {
        let mut marks = scale.engraved.clone();
        marks.push(FocusDistance::INFINITY);
        marks
    } else {
        usual_marks(scale.unit)
            .iter()
            .map(|(mark, _)| *mark)
            .collect()
    }
}

/// A mark as a scale has it: whole feet and metres without their sign.
fn as_engraved(mark: FocusDistance, unit: Unit) -> String {
    let exact = exact_distance(mark, unit);
    let bare = exact.strip_suffix(" m").or(exact.strip_suffix('′'));
    bare.map_or(exact.clone(), str::to_owned)
}

fn foot(wish: &HyperfocalsWish<'_>, rows: &[HyperfocalRow], placed: bool) -> Vec<String> {
    let mut lines = Vec::new();
    let cells = || rows.iter().flat_map(|row| row.cells.iter().flatten());
    if cells().any(|cell| cell.hyperfocal.starts_with('≈')) {
        lines.push("pupils unknown: ≈ what the plausible lens needs that needs most".to_owned());
    }
    lines.push(
        "set the large distance, from the ⌀ mark (image plane): sharp from the one under it to ∞; \
         both rounded up"
            .to_owned(),
    );
    lines.push(match wish.camera {
        None => "camera not tested: set by tape or by eye, not by the scale".to_owned(),
        Some(_) if placed => "15–20 ⅔: the lens's own scale, ⅔ of the way from 15 to 20 along the \
                              ring, rounded toward ∞"
            .to_owned(),
        Some(_) => "set by tape or by eye: no scale was shown to be true here".to_owned(),
    });
    lines.push("check against a tape before use; limits rest on the circle".to_owned());
    let setups = || {
        wish.lenses
            .iter()
            .flat_map(|lens| lens.setups.iter().flatten())
    };
    if let Some(setup) = setups().next() {
        let gate = if wish.gate {
            foot::gate(setup.setup.frame.as_ref())
        } else {
            String::new()
        };
        lines.push(format!("{gate}{}", foot::circle(&setup.circle)));
    }
    lines.push(light(wish));
    let assumed = assumed(wish);
    if !assumed.is_empty() {
        lines.push(assumed.join(" · "));
    }
    lines
}

/// How depth follows from the stops.
fn light(wish: &HyperfocalsWish<'_>) -> String {
    let setups = wish.lenses.iter().filter_map(|lens| {
        let setup = lens.setups.iter().flatten().next()?;
        Some((lens, setup))
    });
    let taus: Vec<(&str, f64, bool)> = setups
        .filter_map(|(lens, setup)| {
            let tau = setup.exposure.transmittance?.value();
            let notes = &setup.setup.assumptions;
            let assumed = notes
                .iter()
                .any(|note| note.kind == "transmittance_assumed");
            Some((lens.names.focal.as_str(), tau, assumed))
        })
        .collect();
    let kind = wish.lenses.first().map(|lens| lens.widest.kind());
    if kind == Some(StopKind::F) || taus.is_empty() {
        return "f-stops".into();
    }
    let least = taus.iter().map(|(_, tau, _)| *tau).fold(f64::MAX, f64::min);
    let most = taus.iter().map(|(_, tau, _)| *tau).fold(f64::MIN, f64::max);
    let range = if format!("{least:.2}") == format!("{most:.2}") {
        format!("{least:.2}")
    } else {
        format!("{least:.2} to {most:.2}")
    };
    let assumed: Vec<&str> = taus
        .iter()
        .filter(|(_, _, assumed)| *assumed)
        .map(|(focal, _, _)| *focal)
        .collect();
    let assumed = match assumed.len() {
        0 => String::new(),
        all if all == taus.len() => " assumed".into(),
        _ => format!(", 0.80 assumed for {}", assumed.join(", ")),
    };
    format!("T-stops: depth by f-number (transmittance {range}{assumed})")
}

/// What else was assumed, with the lenses it was assumed of where not of all.
fn assumed(wish: &HyperfocalsWish<'_>) -> Vec<String> {
    let notes = wish.lenses.iter().map(|lens| {
        let setup = lens.setups.iter().flatten().next();
        let notes = setup.map_or(&[] as &[Assumption], |setup| &setup.setup.assumptions);
        (lens.names.focal.as_str(), notes)
    });
    of_some(notes)
}

/// Each assumption once, as short as a card needs it, with the lenses it was
/// assumed of where not of all.
pub(super) fn of_some<'a>(notes: impl Iterator<Item = (&'a str, &'a [Assumption])>) -> Vec<String> {
    let mut said: Vec<(String, Vec<&str>)> = Vec::new();
    let mut count = 0;
    for (focal, notes) in notes {
        count += 1;
        // These cards have stops of their own, or none.
        let about = notes.iter().filter(|note| note.kind != "wider_than_lens");
        for words in about.filter_map(|note| foot::short(note, false)) {
            match said.iter_mut().find(|(known, _)| *known == words) {
                Some((_, lenses)) => lenses.push(focal),
                None => said.push((words, vec![focal])),
            }
        }
    }
    let each = said.into_iter();
    each.map(|(words, lenses)| {
        if lenses.len() == count {
            words
        } else {
            format!("{}: {words}", lenses.join(", "))
        }
    })
    .collect()
}
