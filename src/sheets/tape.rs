//! A tape: what wraps a focus ring, in millimetres and words, no paper.
//!
//! Positions run along the tape from its zero (the infinity mark, or the
//! farthest one) and grow toward close focus. Which way that is on paper is the
//! drawing's business, from sense and side.

use super::code::Code;
use super::names::Names;
use super::worth::{Duty, Worth, usual_marks};
use crate::answers::Unanswerable;
use crate::gear::{Assumption, DepthSetup, Sense, WitnessEdge};
use crate::scale::{NoLaw, OffScale, RingLaw, Standing, Zero};
use crate::units::show::{Round, Step};
use crate::units::{FocusDistance, Length, Reach, Unit, show};

/// What a tape needs to know beside the ring's law.
#[derive(Clone, Debug, PartialEq)]
pub struct TapeWish {
    /// What it is called.
    pub names: Names,
    /// How the ring turns.
    pub sense: Sense,
    /// The unit of the ring's own scale, where known.
    pub engraved: Option<Unit>,
    /// Which edge of the tape meets the witness mark.
    pub witness: WitnessEdge,
    /// Thickness of the tape.
    pub thickness: Length,
    /// Free width for a tape on the ring.
    pub band: Option<Length>,
    /// The unit of the large figures; the small ones are in the other.
    pub unit: Unit,
    /// How far the ring turns beyond the infinity mark to a hard stop.
    pub beyond_infinity: Option<Length>,
    /// How far it turns beyond the close-focus mark to a hard stop.
    pub beyond_near: Option<Length>,
    /// Marks on the ring itself, with the place where the ring reads them:
    /// what the tape is lined up on.
    pub references: Vec<Reference>,
    /// How those are to be found.
    pub reference: ReferenceKind,
    /// Every distance that was measured, to be marked.
    pub measured: Vec<FocusDistance>,
}

/// A distance the ring shows, and where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reference {
    /// What the ring says.
    pub distance: FocusDistance,
    /// Where that stands along the tape, from the law's zero.
    pub at: Length,
}

/// How a tape's alignment mark is found on the lens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReferenceKind {
    /// The ring is engraved there.
    Engraved,
    /// Nothing is engraved that is known: the lens is focused by eye.
    ByEye,
    /// The two ends the travel was measured between.
    Ends,
}

/// One mark on a tape.
#[derive(Clone, Debug, PartialEq)]
pub struct Tick {
    /// Its place along the tape.
    pub at: Length,
    /// Its figure.
    pub figure: String,
    /// What the figure is worth.
    pub worth: Worth,
    /// Whether the figure may be left out.
    pub duty: Duty,
    /// Whether the mark is a long one.
    pub major: bool,
    /// Whether it lies beyond the marks of a ring that was read: computed, and
    /// its figure says `≈`.
    pub beyond: bool,
}

/// A mark the tape is lined up on, or checked at.
#[derive(Clone, Debug, PartialEq)]
pub struct Alignment {
    /// Its place along the tape.
    pub at: Length,
    /// What the ring says there.
    pub distance: FocusDistance,
    /// The same as a figure.
    pub figure: String,
    /// What to do, in words.
    pub words: String,
}

/// How much of the ring is sharp, as a dimension.
#[derive(Clone, Debug, PartialEq)]
pub struct SharpBand {
    /// The mark it is drawn at.
    pub at: Length,
    /// Half of it.
    pub half: Length,
    /// Half of it as figures, cut and never rounded up: `±3.0 mm`.
    pub figures: String,
    /// In words.
    pub words: String,
}

/// A tape.
#[derive(Clone, Debug, PartialEq)]
pub struct Tape {
    /// What it is called.
    pub names: Names,
    /// From the zero to the close-focus end of the scale.
    pub length: Length,
    /// Beyond the zero, to a hard stop.
    pub before: Option<Length>,
    /// Beyond the close-focus end, to a hard stop.
    pub after: Option<Length>,
    /// Once round the ring at the tape's mid-thickness, where known.
    pub round: Option<Length>,
    /// Marks with large figures.
    pub marks: Vec<Tick>,
    /// Marks with small figures, in the other unit.
    pub other_marks: Vec<Tick>,
    /// The unit of the large figures.
    pub unit: Unit,
    /// Where it is lined up.
    pub align: Alignment,
    /// Where that is checked.
    pub check: Option<Alignment>,
    /// How much of the ring is sharp.
    pub sharp: Option<SharpBand>,
    /// How the ring turns.
    pub sense: Sense,
    /// Which edge meets the witness mark.
    pub witness: WitnessEdge,
    /// Free width on the ring.
    pub band: Option<Length>,
    /// What stands behind the marks.
    pub standing: Standing,
    /// What it wraps, in words.
    pub wraps: String,
    /// What it rests on that nobody said.
    pub assumptions: Vec<Assumption>,
    /// What it was made from.
    pub code: Code,
}

/// Why there is no tape.
#[derive(Clone, Debug, PartialEq)]
pub enum NoTape {
    /// The ring's size is not known.
    NoRing,
    /// The way the ring turns is not known.
    NoSense,
    /// The ring has no law.
    NoLaw(NoLaw),
    /// The scale goes round the ring more than once: a tape would cover itself.
    CoversItself {
        /// Length of the scale.
        scale: Length,
        /// Once round.
        round: Length,
    },
    /// The law does not reach its own ends.
    Unanswerable(Unanswerable),
}

impl Tape {
    /// The tape of a ring.
    ///
    /// # Errors
    /// [`NoTape`] when the ring's size is unknown or the scale goes round more
    /// than once.
    pub fn new(law: &RingLaw, setup: &DepthSetup, wish: TapeWish) -> Result<Self, NoTape> {
        let along = |distance: FocusDistance| -> Result<Length, NoTape> {
            let position = law
                .position(distance)
                .map_err(|off| unanswerable(distance, off))?;
            position.along_tape(wish.thickness).ok_or(NoTape::NoRing)
        };
        let (far, near) = law.reach();
        let length = along(near)?;
        let start = along(far)?;
        let round = law.round_tape(wish.thickness);
        if let Some(round) = round.filter(|&round| length - start > round) {
            return Err(NoTape::CoversItself {
                scale: length - start,
                round,
            });
        }
        let (align, check) = alignment(law, &wish, &along)?;
        let required: Vec<FocusDistance> = [Some(far), Some(near)]
            .into_iter()
            .chain([align.1, check.as_ref().and_then(|check| check.1)])
            .flatten()
            .collect();
        let marks = ticks(law, &along, wish.unit, &required, &wish.measured)?;
        let other = match wish.unit {
            Unit::Feet => Unit::Metres,
            Unit::Metres => Unit::Feet,
        };
        let other_marks = ticks(law, &along, other, &[], &[])?;
        let sharp_at = Some(align.0.distance).filter(|&distance| law.tells(distance));
        let sharp = sharp_band(law, setup, &wish, sharp_at.unwrap_or(near), &along);
        let mut assumptions = setup.setup.assumptions.clone();
        if law.standing() == Standing::Computed {
            assumptions.push(Assumption::new(
                "computed_not_measured",
                "computed, not measured: verify by eye",
            ));
        }
        let ends = match (law.zero(), far.reach()) {
            (Zero::Infinity, _) => None,
            (Zero::FarthestMark, Reach::Infinity) => Some(
                "no infinity mark was read: infinity stands where the other marks lead to".into(),
            ),
            (Zero::FarthestMark, Reach::At(_)) => Some(format!(
                "no infinity mark was read: the scale ends at {}",
                named_figure(far, wish.unit)
            )),
        };
        assumptions.extend(ends.map(|words: String| Assumption::new("no_infinity_mark", words)));
        let mut tape = Self {
            names: wish.names,
            length,
            before: wish.beyond_infinity,
            after: wish.beyond_near,
            round,
            marks,
            other_marks,
            unit: wish.unit,
            align: align.0,
            check: check.map(|check| check.0),
            sharp,
            sense: wish.sense,
            witness: wish.witness,
            band: wish.band,
            standing: law.standing(),
            wraps: wraps(law, wish.thickness, length - start),
            assumptions,
            code: Code::of(""),
        };
        tape.code = Code::of(&format!("{tape:?}"));
        Ok(tape)
    }
}

fn unanswerable(asked: FocusDistance, off: OffScale) -> NoTape {
    NoTape::Unanswerable(match off {
        OffScale::InsideCloseFocus(close_focus) => {
            Unanswerable::InsideCloseFocus { asked, close_focus }
        }
        OffScale::OutsideMarks(nearest) => Unanswerable::OutsideMarks { asked, nearest },
    })
}

/// A figure as rings carry them: feet as plain numbers with 2′6 style
/// sub-marks, metres as plain numbers.
#[must_use]
pub fn ring_figure(distance: FocusDistance, unit: Unit) -> String {
    let Reach::At(length) = distance.reach() else {
        return "∞".into();
    };
    match unit {
        Unit::Metres => {
            // A mark that was computed has no end of digits.
            let step = Step::TenthsOfMm(if length < Length::mm(100.0) { 1 } else { 10 });
            let shown = show::rounded_length(length, step, Round::Nearest);
            show::exact(shown, unit).trim_end_matches(" m").to_owned()
        }
        Unit::Feet => {
            // A quarter inch, or finer where that is more than half a hundredth off.
            let close = |step: &Step| {
                let shown = show::rounded_length(length, *step, Round::Nearest);
                (shown - length).abs() <= length * 0.005
            };
            let steps = [16, 8, 4, 2].map(Step::Inch64ths);
            let step = steps.into_iter().find(close).unwrap_or(Step::Inch64ths(1));
            let shown = show::rounded(length, step, Round::Nearest);
            match shown.split_once('′') {
                Some((feet, "")) => feet.to_owned(),
                Some((feet, inches)) => format!("{feet}′{}", inches.trim_end_matches('″')),
                None => shown,
            }
        }
    }
}

/// The figure with its unit, for words.
fn named_figure(distance: FocusDistance, unit: Unit) -> String {
    match ring_figure(distance, unit) {
        figure if figure == "∞" => "infinity".to_owned(),
        figure if unit == Unit::Metres => format!("{figure} m"),
        figure if figure.contains(['′', '″']) => figure,
        figure => format!("{figure} ft"),
    }
}

type Along<'a> = &'a dyn Fn(FocusDistance) -> Result<Length, NoTape>;

/// Marks at the usual distances, the required and the measured ones.
fn ticks(
    law: &RingLaw,
    along: Along<'_>,
    unit: Unit,
    required: &[FocusDistance],
    measured: &[FocusDistance],
) -> Result<Vec<Tick>, NoTape> {
    /// A mark somebody measured, among the usual ones.
    const MEASURED: u32 = 20;
    /// Usual marks of at least this worth are long.
    const MAJOR: u32 = 70;
    let usual = usual_marks(unit);
    let worth = |distance: FocusDistance| {
        usual
            .iter()
            .find(|mark| mark.0 == distance)
            .map_or(MEASURED, |mark| mark.1.points())
    };
    let mut distances: Vec<FocusDistance> = Vec::new();
    let wanted = required
        .iter()
        .chain(measured)
        .copied()
        .chain(usual.iter().map(|mark| mark.0));
    for distance in wanted.filter(|&distance| law.tells(distance)) {
        // Two ticks a hair apart must not carry the same figure: the usual mark
        // gives way to the one that is required or was measured.
        let same = |other: &FocusDistance| ring_figure(*other, unit) == ring_figure(distance, unit);
        if !distances.iter().any(same) {
            distances.push(distance);
        }
    }
    let mut out = distances
        .into_iter()
        .map(|distance| {
            let is_required = required.contains(&distance);
            let beyond = law.standing_at(distance) != law.standing();
            let figure = ring_figure(distance, unit);
            Ok(Tick {
                at: along(distance)?,
                figure: if beyond {
                    format!("≈{figure}")
                } else {
                    figure
                },
                worth: Worth::of(worth(distance)),
                duty: if is_required {
                    Duty::Required
                } else {
                    Duty::Wanted
                },
                major: is_required || worth(distance) >= MAJOR,
                beyond,
            })
        })
        .collect::<Result<Vec<_>, NoTape>>()?;
    out.sort_by(|a, b| a.at.to_mm().total_cmp(&b.at.to_mm()));
    Ok(out)
}

type Found = (Alignment, Option<FocusDistance>);

/// Where the tape is lined up and where that is checked: two references well
/// apart, away from the crowd near infinity.
fn alignment(
    law: &RingLaw,
    wish: &TapeWish,
    along: Along<'_>,
) -> Result<(Found, Option<Found>), NoTape> {
    let (_, near) = law.reach();
    let length = along(near)?.to_mm();
    let mut references = wish.references.clone();
    references.retain(|reference| reference.at.to_mm() <= length);
    references.sort_by(|a, b| a.at.to_mm().total_cmp(&b.at.to_mm()));
    let nearest_to = |share: f64| {
        references.iter().min_by(|a, b| {
            let off = |r: &Reference| (r.at.to_mm() - share * length).abs();
            off(a).total_cmp(&off(b))
        })
    };
    // What the ring itself says stands there in its own unit.
    let own = wish.engraved.unwrap_or(wish.unit);
    let words = |distance: FocusDistance, first: bool| {
        let place = match wish.reference {
            ReferenceKind::Engraved => format!("its own engraved {}", named_figure(distance, own)),
            ReferenceKind::ByEye => named_figure(distance, wish.unit),
            ReferenceKind::Ends if distance.is_infinite() => "its infinity mark".into(),
            ReferenceKind::Ends => {
                format!("its close-focus mark ({})", named_figure(distance, own))
            }
        };
        match (wish.reference, first) {
            (ReferenceKind::ByEye, true) => {
                format!("focus by eye on a chart at {place}, put this line on the witness mark")
            }
            (ReferenceKind::ByEye, false) => {
                format!("check by eye at {place}: this line meets it too")
            }
            (_, true) => format!("set the ring to {place}, put this line on the witness mark"),
            (_, false) => format!("check: at {place} this line meets it too"),
        }
    };
    let made = |reference: &Reference, first: bool| {
        let known = law.tells(reference.distance)
            && along(reference.distance).is_ok_and(|at| at == reference.at);
        let alignment = Alignment {
            at: reference.at,
            distance: reference.distance,
            figure: ring_figure(reference.distance, wish.unit),
            words: words(reference.distance, first),
        };
        (alignment, known.then_some(reference.distance))
    };
    let Some(&first) = nearest_to(0.6) else {
        // Nothing on the ring is known but its end.
        let end = Reference {
            distance: near,
            at: along(near)?,
        };
        return Ok((made(&end, true), None));
    };
    let check = nearest_to(0.25)
        .filter(|other| other.distance != first.distance)
        .or_else(|| {
            references
                .iter()
                .rev()
                .find(|other| other.distance != first.distance)
        });
    Ok((made(&first, true), check.map(|check| made(check, false))))
}

fn sharp_band(
    law: &RingLaw,
    setup: &DepthSetup,
    wish: &TapeWish,
    distance: FocusDistance,
    along: Along<'_>,
) -> Option<SharpBand> {
    let depth = law
        .depth(distance, setup.exposure.f_number, setup.circle.circle)
        .ok()?;
    let half = depth.tolerance.along_tape(wish.thickness)?;
    // Cut, never rounded up: a puller acts on it.
    let figures = match half.to_mm() {
        mm if mm >= 1.0 => format!("±{:.1} mm", libm::floor(mm * 10.0) / 10.0),
        mm => format!("±{:.2} mm", libm::floor(mm * 100.0) / 100.0),
    };
    let words = format!(
        "{figures} of ring is sharp at {}, {}",
        named_figure(distance, wish.unit),
        setup.exposure.stop
    );
    Some(SharpBand {
        at: along(distance).ok()?,
        half,
        figures,
        words,
    })
}

fn wraps(law: &RingLaw, thickness: Length, scale: Length) -> String {
    let scale = scale.to_mm();
    match law.ring().circumference {
        Some(round) => format!(
            "for a ring {:.1} mm round (⌀ {:.1} mm), tape {:.2} mm thick · scale {scale:.1} mm",
            round.to_mm(),
            round.to_mm() / core::f64::consts::PI,
            thickness.to_mm()
        ),
        None => format!("1:1 with the marks as they were read · scale {scale:.1} mm"),
    }
}
