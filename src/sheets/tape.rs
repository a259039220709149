//! A tape: what wraps a focus ring, in millimetres and words, no paper.
//!
//! Positions run along the tape from its zero (the infinity mark, or the
//! farthest one) and grow toward close focus. Which way that is on paper is the
//! drawing's business, from sense and side.

mod align;
mod bodies;
mod figure;
mod ticks;

use self::align::alignment;
pub use self::bodies::{Apart, BodyShift, OtherBody};
use self::figure::{called_in, named_figure, with_unit};
use self::ticks::ticks;
use super::code::Code;
use super::names::Names;
use super::surface::Surface;
use super::worth::{Duty, Worth, fine_marks};
use crate::answers::Unanswerable;
use crate::gear::{Assumption, DepthSetup, Sense, Setup, WitnessEdge};
use crate::scale::{NoLaw, OffScale, RingLaw, Standing, Zero};
use crate::units::{FocusDistance, Length, Reach, Unit};

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
    /// Other bodies the lens may go on.
    pub bodies: Vec<OtherBody>,
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
    /// The unit of its figure: the scale's, but for marks called by what the
    /// ring itself says.
    pub unit: Unit,
    /// What the figure is worth.
    pub worth: Worth,
    /// Whether the figure may be left out.
    pub duty: Duty,
    /// Whether the mark is a long one.
    pub major: bool,
    /// Whether it lies beyond the marks of a ring that was read: computed, and
    /// its figure says `≈`.
    pub beyond: bool,
    /// What its place may be off, two standard errors, where that is more than
    /// half of what the ring may be off there.
    pub doubt: Option<Length>,
}

impl Tick {
    /// Its figure with its unit, where it leaves that open.
    #[must_use]
    pub fn in_words(&self) -> String {
        with_unit(&self.figure, self.unit)
    }
}

/// A mark the tape is lined up on, or checked at.
#[derive(Clone, Debug, PartialEq)]
pub struct Alignment {
    /// Its place along the tape.
    pub at: Length,
    /// What the ring says there.
    pub distance: FocusDistance,
    /// The same as the ring has it, with its unit.
    pub named: String,
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
    /// Whether distances stand elsewhere than by the ring's own scale, as prep day
    /// found.
    pub corrected: bool,
    /// What it wraps, in words.
    pub wraps: String,
    /// How far its marks stand elsewhere on other bodies.
    pub bodies: Vec<BodyShift>,
    /// What it rests on that nobody said.
    pub assumptions: Vec<Assumption>,
    /// What it was made from.
    pub code: Code,
}

/// Where along the tape distances and the ring's own marks stand.
struct Places<'a> {
    law: &'a RingLaw,
    /// The setup, where something attached makes its own scale void.
    attached: Option<&'a Setup>,
    /// What they lie on.
    surface: &'a Surface,
    /// What counts as sharp.
    setup: &'a DepthSetup,
}

impl Places<'_> {
    /// What the lens's own scale reads when it is focused on a distance.
    fn reads(&self, distance: FocusDistance) -> Option<FocusDistance> {
        match self.attached {
            Some(setup) => setup.scale_reads(distance),
            None => Some(distance),
        }
    }

    /// Round distances between the nearest and the farthest the whole focuses
    /// on, where something attached leaves it a finite range.
    fn fine_marks(&self, unit: Unit) -> Vec<FocusDistance> {
        let (far, near) = self.law.reach();
        let ends = self.attached.and_then(|setup| {
            let far = setup.focus_at_mark(far)?.reach().finite()?;
            let near = setup.focus_at_mark(near)?.reach().finite()?;
            Some((near, far))
        });
        ends.map_or(Vec::new(), |(near, far)| fine_marks(unit, near, far))
    }

    /// Whether a distance has a place.
    fn tells(&self, distance: FocusDistance) -> bool {
        let mark = self.reads(distance);
        mark.is_some_and(|mark| self.law.tells(mark))
    }

    /// What stands behind that place.
    fn standing_at(&self, distance: FocusDistance) -> Standing {
        let mark = self.reads(distance).unwrap_or(distance);
        self.law.standing_at(mark)
    }

    /// What the place of a distance may be off, where that is more than half of
    /// what the ring may.
    fn doubt(&self, distance: FocusDistance) -> Option<Length> {
        let (law, setup) = (self.law, self.setup);
        // Nobody took a mark with what is attached.
        let known = law
            .standard_error(distance)
            .filter(|_| self.attached.is_none())?;
        let depth = law.depth(distance, setup.exposure.f_number, setup.circle.circle);
        let may_be = self.surface.along(depth.ok()?.tolerance)?;
        let doubt = self.surface.along(known)? * 2.0;
        (doubt > may_be / 2.0).then_some(doubt)
    }

    /// The place of a mark of the ring's own.
    fn of_mark(&self, mark: FocusDistance) -> Result<Length, NoTape> {
        let position = self.law.position(mark);
        let position = position.map_err(|off| unanswerable(mark, off))?;
        self.surface.along(position).ok_or(NoTape::NoRing)
    }

    /// Where the ring's own scale ends, from where its hard stop is counted.
    fn own_end(&self) -> Result<Length, NoTape> {
        let own = self.law.clone().uncorrected();
        let (_, near) = own.reach();
        let near_end = own.position(near);
        let near_end = near_end.map_err(|off| unanswerable(near, off))?;
        self.surface.along(near_end).ok_or(NoTape::NoRing)
    }

    /// The place of a distance the lens is focused on.
    fn along(&self, distance: FocusDistance) -> Result<Length, NoTape> {
        self.of_mark(self.reads(distance).unwrap_or(distance))
    }
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
        let thickness = wish.thickness;
        Self::on(&Surface::Ring { thickness }, law, setup, wish)
    }

    /// The scale of a ring laid on something: along a tape, the rim of a disc, a
    /// hand unit's wheel.
    ///
    /// # Errors
    /// [`NoTape`] as [`new`](Self::new).
    pub(super) fn on(
        surface: &Surface,
        law: &RingLaw,
        setup: &DepthSetup,
        wish: TapeWish,
    ) -> Result<Self, NoTape> {
        let attached = setup.setup.fitted.voids_the_scale();
        let places = Places {
            law,
            attached: attached.then_some(&setup.setup),
            surface,
            setup,
        };
        let (far, near) = law.reach();
        let length = places.of_mark(near)?;
        let start = places.of_mark(far)?;
        surface.takes(law, length - start)?;
        let (align, check) = alignment(&places, &wish)?;
        // A correction ends the scale at distances that nobody would write.
        let corrected = law.correction().is_some();
        let close = law.ring().close_focus;
        let written = |&end: &FocusDistance| !corrected || end.is_infinite() || Some(end) == close;
        let required: Vec<FocusDistance> = [Some(far).filter(written), Some(near).filter(written)]
            .into_iter()
            .chain([align.1, check.as_ref().and_then(|check| check.1)])
            .flatten()
            // The ring's own distances are void with something attached.
            .filter(|_| !attached)
            .collect();
        let measured = if attached { &[][..] } else { &wish.measured };
        let own = wish.engraved;
        let marks = ticks(&places, wish.unit, own, &required, measured)?;
        let other = match wish.unit {
            Unit::Feet => Unit::Metres,
            Unit::Metres => Unit::Feet,
        };
        let other_marks = ticks(&places, other, own, &[], &[])?;
        let sharp_at = Some(align.0.distance).filter(|&distance| law.tells(distance));
        let sharp_at = Some(sharp_at.unwrap_or(near)).filter(|_| !attached);
        let sharp = sharp_at.and_then(|at| sharp_band(&places, setup, &wish, at));
        let mut assumptions = setup.setup.assumptions.clone();
        // Nobody took a mark with what is attached.
        let standing = if attached {
            Standing::Computed
        } else {
            law.standing()
        };
        if standing == Standing::Computed {
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
                named_figure(far, called_in(far, own, wish.unit))
            )),
        };
        assumptions.extend(ends.map(|words: String| Assumption::new("no_infinity_mark", words)));
        if corrected && !far.is_infinite() {
            let end = named_figure(far, called_in(far, None, wish.unit));
            let message = format!("infinity is out of reach: the ring stops at about {end}");
            assumptions.push(Assumption::new("infinity_out_of_reach", message));
        }
        let bodies: Vec<BodyShift> = wish
            .bodies
            .iter()
            .filter(|_| !attached)
            .filter_map(|body| body.shift(&places, setup, &wish))
            .collect();
        for body in &bodies {
            assumptions.push(Assumption::new("other_camera", body.in_words(&wish)));
        }
        let own_end = places.own_end()?;
        let mut tape = Self {
            names: wish.names,
            length,
            before: wish.beyond_infinity,
            after: wish.beyond_near.map(|beyond| beyond + (own_end - length)),
            round: surface.round(law),
            marks,
            other_marks,
            unit: wish.unit,
            align: align.0,
            check: check.map(|check| check.0),
            sharp,
            sense: wish.sense,
            witness: wish.witness,
            band: wish.band,
            standing,
            corrected,
            wraps: surface.in_words(law, length - start),
            bodies,
            assumptions,
            code: Code::of(""),
        };
        tape.code = Code::of(&format!("{tape:?}"));
        Ok(tape)
    }
}

impl Tape {
    /// A distance as the ring has it, with its unit.
    pub(super) fn named(&self, distance: FocusDistance, own: Option<Unit>) -> String {
        named_figure(distance, called_in(distance, own, self.unit))
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

fn sharp_band(
    places: &Places<'_>,
    setup: &DepthSetup,
    wish: &TapeWish,
    distance: FocusDistance,
) -> Option<SharpBand> {
    let depth = places
        .law
        .depth(distance, setup.exposure.f_number, setup.circle.circle)
        .ok()?;
    let surface = places.surface;
    let half = surface.along(depth.tolerance)?;
    let figures = surface.half_in_figures(half);
    let words = format!(
        "{figures} of {} is sharp at {}, {}",
        surface.name(),
        named_figure(distance, called_in(distance, wish.engraved, wish.unit)),
        setup.exposure.stop
    );
    Some(SharpBand {
        at: places.along(distance).ok()?,
        half,
        figures,
        words,
    })
}
