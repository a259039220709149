//! Can these be held: the split, the stop, and what else would do.

mod fix;
mod limit;
mod range;
mod wave;

pub use fix::{Fix, Framing, Moves};
pub(super) use limit::no_limit;
pub use limit::{LimitAnswer, SharpRange, focus_for_far, focus_for_near};
pub use range::{HoldRange, hold_ranges};

use super::depth::blurs;
use super::ranges::TRANSMITTANCES;
use super::{ObjectBlur, Unanswerable};
use crate::formula::Record;
use crate::gear::{Assumption, Exposure, FittedFigures, HoldSetup, Waves};
use crate::optics::{AnyLens, Magnification, Pair, Split, f_number_of, t_number_of};
use crate::scale::RingLaw;
use crate::units::{
    Angle, Division, FNumber, FocusDistance, Length, MarkedStop, PupilMagnification, Stop,
    StopKind, TNumber, Transmittance,
};

/// What is to be held, and what is known of the lens beside its optics.
#[derive(Clone, Copy, Debug)]
pub struct ToHold<'a> {
    /// The nearest and the farthest.
    pub pair: Pair,
    /// Others between them.
    pub between: &'a [FocusDistance],
    /// The widest stop of the lens, if known: no mark is wider.
    pub widest: Option<Stop>,
    /// The ring's law, if known.
    pub law: Option<&'a RingLaw>,
}

/// Whether subjects can be held, and how.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct HoldAnswer {
    /// Focal length.
    #[cfg_attr(feature = "serde", serde(rename = "focal_length_mm"))]
    pub focal_length: Length,
    /// Hiatus.
    #[cfg_attr(feature = "serde", serde(rename = "hiatus_mm"))]
    pub hiatus: Length,
    /// Pupil magnification.
    pub pupil_magnification: PupilMagnification,
    /// The entrance pupil's distance in front of the image plane at infinity
    /// focus, where that was given.
    #[cfg_attr(feature = "serde", serde(rename = "entrance_pupil_given_mm"))]
    pub given_station: Option<Length>,
    /// What leads from f- to T-numbers, where known or assumed.
    pub transmittance: Option<Transmittance>,
    /// Circle of confusion.
    #[cfg_attr(feature = "serde", serde(rename = "circle_mm"))]
    pub circle: Length,
    /// Its rule in words.
    pub circle_rule: String,
    /// Light and wanted contrast, where waves count.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub waves: Option<Waves>,
    /// What is on the lens.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub on_the_lens: FittedFigures,
    /// The nearest to be held.
    #[cfg_attr(feature = "serde", serde(rename = "near_mm"))]
    pub near: FocusDistance,
    /// The farthest to be held.
    #[cfg_attr(feature = "serde", serde(rename = "far_mm"))]
    pub far: FocusDistance,
    /// For the lens as it is known.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub found: Held,
    /// For the plausible lens that needs the darkest stop, where pupils are
    /// unknown and it needs a quarter more.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub cautious: Option<Held>,
    /// Where the split stands on the ring, from infinity or the farthest mark.
    #[cfg_attr(feature = "serde", serde(rename = "split_position_deg"))]
    pub split_position: Option<Angle>,
    /// What stands behind that position.
    pub split_standing: Option<&'static str>,
    /// By how much an extender multiplies stops; marked stops are the lens's own.
    pub extender_factor: f64,
    /// The f-number worked at, if a stop was said.
    pub stop_f_number: Option<FNumber>,
    /// The T-number worked at, where known.
    pub stop_t_number: Option<TNumber>,
    /// How far the answer may be off where something was assumed, if that was
    /// asked for.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Vec::is_empty"))]
    pub ranges: Vec<HoldRange>,
    /// What the answer rests on that nobody said.
    pub assumptions: Vec<Assumption>,
}

/// The split and the stop for one lens.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Held {
    /// The split: where to focus.
    #[cfg_attr(feature = "serde", serde(rename = "focus_mm"))]
    pub focus: FocusDistance,
    /// What the lens's own scale reads there: another distance than the focus
    /// where something is attached.
    #[cfg_attr(feature = "serde", serde(rename = "ring_reads_mm"))]
    pub ring_reads: FocusDistance,
    /// The circle it is held to.
    #[cfg_attr(feature = "serde", serde(skip))]
    pub circle: Length,
    /// The f-number that just holds.
    pub f_number: FNumber,
    /// The T-number that just holds, where known.
    pub t_number: Option<TNumber>,
    /// The magnification at the split.
    pub magnification: Magnification,
    /// The next marks that really hold.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub marked: Marked,
    /// What the stop worked at does.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub at_stop: Option<AtStop>,
    /// The stop at which near and far are sharpest, where waves count.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub optimum_f_number: Option<FNumber>,
    /// The darkest f-number that leaves the wanted contrast: beyond it,
    /// diffraction takes it.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub darkest_f_number: Option<FNumber>,
    /// The same at half the circle: a large screen, a sharp look; not under a
    /// wanted contrast.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub half_circle: Option<HalfCircle>,
}

/// The next marked stops that hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Marked {
    /// By thirds.
    pub third: MarkedStop,
    /// By halves.
    pub half: MarkedStop,
    /// By full stops.
    pub full: MarkedStop,
}

/// What a stop does to a pair.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct AtStop {
    /// Yes, just or no.
    pub held: Verdict,
    /// How soft the near one is at the split.
    #[cfg_attr(feature = "serde", serde(rename = "blur_near_mm"))]
    pub blur_near: Length,
    /// How soft the far one is: as much.
    #[cfg_attr(feature = "serde", serde(rename = "blur_far_mm"))]
    pub blur_far: Length,
    /// The same in circles.
    pub blur_circles: f64,
    /// How soft those between are.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Vec::is_empty"))]
    pub between: Vec<ObjectBlur>,
    /// What would do.
    pub fixes: Vec<Fix>,
}

/// The answer at half the circle.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct HalfCircle {
    /// That circle.
    #[cfg_attr(feature = "serde", serde(rename = "circle_mm"))]
    pub circle: Length,
    /// The f-number that just holds.
    pub f_number: FNumber,
    /// The T-number that just holds, where known.
    pub t_number: Option<TNumber>,
    /// The next marks that hold.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub marked: Marked,
    /// Yes, just or no at the stop worked at.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub held: Option<Verdict>,
}

/// Whether a stop holds a pair.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(
    feature = "serde",
    derive(serde::Serialize),
    serde(rename_all = "snake_case")
)]
pub enum Verdict {
    /// It does.
    Yes,
    /// It needs up to a tenth more.
    Just,
    /// It does not.
    No,
}

impl Verdict {
    /// By the f-number needed over the one there is.
    fn of(needed: FNumber, actual: FNumber) -> Self {
        let share = needed.value() / actual.value();
        // What a fix just mends comes back with its last digits changed.
        if share <= 1.0 + 1e-12 {
            Self::Yes
        } else if share <= 1.10 {
            Self::Just
        } else {
            Self::No
        }
    }
}

#[cfg(feature = "serde")]
impl serde::Serialize for Marked {
    fn serialize<S: serde::Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        use serde::ser::SerializeMap;
        let mut map = out.serialize_map(Some(4))?;
        map.serialize_entry("marked_stop", &self.third.stop().number())?;
        let kind = self.third.stop().kind().name();
        map.serialize_entry("marked_stop_kind", kind)?;
        map.serialize_entry("marked_half_stop", &self.half.stop().number())?;
        map.serialize_entry("marked_full_stop", &self.full.stop().number())?;
        map.end()
    }
}

impl Held {
    /// What to say where the transmittance is assumed, and a lens that passes
    /// less needs a darker mark.
    fn rests_on_transmittance(&self, wanted: &HoldSetup, needed: FNumber) -> Option<Assumption> {
        let assumed = |note: &Assumption| note.kind == "transmittance_assumed";
        if wanted.kind == StopKind::F || !wanted.setup.assumptions.iter().any(assumed) {
            return None;
        }
        let [least, _] = TRANSMITTANCES;
        let t = t_number_of(needed, Transmittance::new(least).ok()?, &mut ());
        let mark = MarkedStop::at_least(StopKind::T, t.value(), Division::Third);
        (mark.stop().number() > self.marked.third.stop().number()).then(|| {
            Assumption::new(
                "mark_rests_on_transmittance",
                format!("should the lens pass only {least:.2} of the light, it needs {mark}"),
            )
        })
    }

    /// What to say where diffraction leaves no marked stop that holds.
    fn no_mark_holds(&self, wanted: &HoldSetup) -> Option<Assumption> {
        let darkest = self.darkest_f_number?;
        let marks = Marks {
            wanted,
            widest: None,
        };
        let light = wanted.setup.lens.light_factor();
        let marked = marks.f_number(self.marked.third, &mut ()).times(light);
        (marked > darkest).then(|| {
            Assumption::new(
                "no_marked_stop",
                "between the stop that just holds and the one from which diffraction takes the \
                 contrast there is no mark",
            )
        })
    }
}

impl HoldAnswer {
    /// The figures to act on: the cautious ones where there are any.
    #[must_use]
    pub fn to_trust(&self) -> &Held {
        self.cautious.as_ref().unwrap_or(&self.found)
    }
}

/// Whether a setup holds what is to be held, and what else would.
///
/// # Errors
/// [`Unanswerable`] when the nearest is nearer than the lens can focus or one
/// of the others stands behind the entrance pupil.
pub fn hold(
    wanted: &HoldSetup,
    to_hold: ToHold<'_>,
    rec: &mut impl Record,
) -> Result<HoldAnswer, Unanswerable> {
    let lens = &wanted.setup.lens;
    let found = held_by(lens, wanted, to_hold, rec)?;
    let needed = found.f_number.times(1.0 / lens.light_factor());
    let cautious = needing_most(wanted, to_hold.pair, needed)
        .map(|lens| held_by(&lens, wanted, to_hold, &mut ()))
        .transpose()?;
    let mark = cautious.as_ref().unwrap_or(&found).ring_reads;
    let place = to_hold.law.and_then(|law| law.position(mark).ok());
    let exposure = wanted.exposure;
    let mut assumptions = wanted.setup.assumptions.clone();
    if found.f_number.value() > DARKEST_USUAL {
        assumptions.push(Assumption::new(
            "beyond_usual_stops",
            "lenses usually stop down to f/22 or f/32: this one may not go so far",
        ));
    }
    if let Some(note) = found.rests_on_transmittance(wanted, needed) {
        assumptions.push(note);
    }
    if let Some(note) = found.no_mark_holds(wanted) {
        assumptions.push(note);
    }
    Ok(HoldAnswer {
        focal_length: lens.focal_length(rec),
        hiatus: lens.hiatus(),
        pupil_magnification: lens.pupil_magnification(),
        given_station: wanted.setup.given_station,
        circle: found.circle,
        circle_rule: wanted.circle.in_words(),
        waves: wanted.waves.clone(),
        transmittance: wanted.transmittance,
        on_the_lens: wanted.setup.figures_fitted(exposure.as_ref()),
        near: to_hold.pair.near,
        far: to_hold.pair.far,
        split_position: place.and_then(|place| place.turn()),
        split_standing: place
            .and(to_hold.law)
            .map(|law| law.standing_at(mark).name()),
        extender_factor: lens.light_factor(),
        stop_f_number: exposure.map(|exposure| lens.f_number(exposure.f_number, rec)),
        stop_t_number: exposure
            .and_then(|exposure| exposure.t_number)
            .map(|t| lens.t_number(t, rec)),
        found,
        cautious,
        ranges: Vec::new(),
        assumptions,
    })
}

/// The darkest stop usual on a lens (common practice, no source).
const DARKEST_USUAL: f64 = 22.0;

/// How much more a plausible lens must need before its figures are shown.
const A_QUARTER_MORE: f64 = 1.25;

/// The plausible build that needs the darkest stop, where that is a quarter
/// more than the lens assumed: its depth at one stop is then a fifth less.
fn needing_most(wanted: &HoldSetup, pair: Pair, assumed: FNumber) -> Option<AnyLens> {
    let needs = |build: AnyLens| {
        let (held, _) = wave::needed(&build, wanted, pair, &mut ()).ok()?;
        Some((build, held.f_number.value()))
    };
    let builds = wanted.setup.plausible().into_iter().filter_map(needs);
    builds
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .filter(|(_, most)| *most > assumed.value() * A_QUARTER_MORE)
        .map(|(build, _)| build)
}

fn held_by(
    lens: &AnyLens,
    wanted: &HoldSetup,
    to_hold: ToHold<'_>,
    rec: &mut impl Record,
) -> Result<Held, Unanswerable> {
    let pair = to_hold.pair;
    let (found, waves) = wave::needed(lens, wanted, pair, rec)?;
    let marks = Marks {
        wanted,
        widest: to_hold.widest,
    };
    let at_stop = wanted
        .exposure
        .map(|exposure| at_stop(lens, &found, &exposure, &marks, to_hold, &waves, rec))
        .transpose()?;
    // An extender multiplies what the lens's own stop ring says.
    let whole = |n: FNumber| lens.f_number(n, &mut ());
    let half = found.f_number.times(2.0);
    let half_circle = HalfCircle {
        circle: wanted.circle.circle.diameter() * 0.5,
        f_number: whole(half),
        t_number: marks.t_number(whole(half), &mut ()),
        marked: marks.that_hold(half),
        held: wanted
            .exposure
            .map(|exposure| Verdict::of(half, exposure.f_number)),
    };
    let of_the_whole = lens.f_number(found.f_number, rec);
    Ok(Held {
        focus: found.focus(),
        ring_reads: lens.mark_at(found.setting()),
        circle: waves.circle_at(wanted, &found, found.f_number),
        f_number: of_the_whole,
        t_number: marks.t_number(of_the_whole, rec),
        magnification: found.magnification(),
        marked: marks.that_hold(found.f_number),
        at_stop,
        optimum_f_number: waves.optimum.map(whole),
        darkest_f_number: waves.darkest.map(whole),
        half_circle: (!waves.by_contrast()).then_some(half_circle),
    })
}

/// Marks of the lens's own kind.
struct Marks<'a> {
    wanted: &'a HoldSetup,
    widest: Option<Stop>,
}

impl Marks<'_> {
    /// The next marks at which an f-number's light cone is no wider.
    fn that_hold(&self, needed: FNumber) -> Marked {
        let kind = self.wanted.kind;
        let number = match (kind, self.t_number(needed, &mut ())) {
            (StopKind::T, Some(t)) => t.value(),
            _ => needed.value(),
        };
        let widest = self.widest.filter(|stop| stop.kind() == kind);
        let next = |division| match widest {
            Some(widest) if widest.number() >= number => MarkedStop::own(widest),
            _ => MarkedStop::at_least(kind, number, division),
        };
        Marked {
            third: next(Division::Third),
            half: next(Division::Half),
            full: next(Division::Full),
        }
    }

    /// The T-number of an f-number, where what leads there is known.
    fn t_number(&self, n: FNumber, rec: &mut impl Record) -> Option<TNumber> {
        let tau = self.wanted.transmittance?;
        Some(t_number_of(n, tau, rec))
    }

    /// The f-number behind a mark.
    fn f_number(&self, mark: MarkedStop, rec: &mut impl Record) -> FNumber {
        match (mark.stop(), self.wanted.transmittance) {
            (Stop::F(n), _) => n,
            (Stop::T(t), Some(tau)) => f_number_of(t, tau, rec),
            (Stop::T(t), None) => FNumber::computed(t.value()),
        }
    }
}

fn at_stop(
    lens: &AnyLens,
    found: &Split,
    exposure: &Exposure,
    marks: &Marks<'_>,
    to_hold: ToHold<'_>,
    waves: &wave::Needed,
    rec: &mut impl Record,
) -> Result<AtStop, Unanswerable> {
    let n = exposure.f_number;
    let held = match waves.darkest {
        // Beyond that stop diffraction takes the contrast.
        Some(darkest) if n > darkest => Verdict::No,
        _ => Verdict::of(found.f_number, n),
    };
    let blur = found.circle_at(n, rec);
    let circle = waves.circle_at(marks.wanted, found, n);
    let between = if to_hold.between.is_empty() {
        Vec::new()
    } else {
        let set = found.at(lens, n, rec);
        blurs(&marks.wanted.setup, circle, &set, to_hold.between, rec)?
    };
    let fixes = if held == Verdict::Yes {
        Vec::new()
    } else if waves.by_contrast() {
        vec![fix::stop(lens, found, n, marks, rec)]
    } else {
        fix::fixes(lens, found, n, marks, to_hold.pair, rec)?
    };
    Ok(AtStop {
        held,
        blur_near: blur,
        blur_far: blur,
        blur_circles: blur.to_mm() / circle.to_mm(),
        between,
        fixes,
    })
}
