//! `ring`: where distances stand on the ring.

use super::answer;
use super::args::{RingArgs, RingByHand, SetupArgs};
use super::kit::{self, Opened};
use super::wish::{Asked, Reader, needs_a_lens};
use crate::answers;
use crate::data::{Fault, Kind};
use crate::formula::Steps;
use crate::gear::{Assumption, DepthSetup, Gearing, Lens, Marks, Wanted, gearing};
use crate::report::{self, Words};
use crate::scale::{RingGiven, RingLaw};
use crate::sheets::{NoTape, usual_marks};
use crate::units::{FocusDistance, Gain, Length, Unit, parse, range};

/// Answers for distances and for arcs on the ring; where neither was asked for,
/// for the usual marks.
pub(super) fn run(args: &RingArgs) -> Result<(), Vec<Fault>> {
    let one = |fault: Fault| vec![fault];
    let opened = kit::open_for(&args.output, &args.setup)?;
    let Asked {
        mut reader,
        basis,
        lens,
    } = Asked::new(&args.output, &args.setup, opened.as_ref());
    let wanted = reader.wanted(&args.setup, &basis);
    let mut at = reader.distances("--at", &args.at);
    let mut steps = Steps::new();
    let taped = reader.taped(&args.tape, opened.as_ref(), &mut steps);
    at.extend(taped.iter().map(|taped| taped.focus));
    let mut by_hand = reader.ring_by_hand(&args.by_hand);
    // Asked where the engraved marks would focus, it is they that count.
    by_hand.corrected &= args.image_plane_error.is_none();
    let delta = reader.take(
        "--image-plane-error",
        args.image_plane_error.as_ref(),
        |text| parse::length(text, &range::IMAGE_PLANE_ERROR),
    );
    let arcs: Vec<Length> = args
        .at_mm
        .iter()
        .filter_map(|text| {
            reader.take("--at-mm", Some(text), |text| {
                parse::number(text, &range::RING_ARC).map(Length::mm)
            })
        })
        .collect();
    let words = Words {
        unit: reader.output_unit(args.at.iter().chain(args.tape.typed())),
    };
    reader.no_macro_on_a_ring(&args.setup);
    if lens.is_none() && !args.at_mm.is_empty() && args.by_hand.circumference.is_none() {
        reader.faults.push(needs_a_circumference());
    }
    reader.done()?;
    let wanted = wanted.ok_or_else(|| one(needs_a_lens()))?;
    scale_counts(&wanted).map_err(one)?;
    let mut setup = wanted
        .depth_setup(&mut steps)
        .map_err(|reason| one(reason.into()))?;
    setup
        .setup
        .assumptions
        .extend(taped.map(|taped| taped.note));
    let (law, marks, notes) = law_of(lens, opened.as_ref(), by_hand, &setup).map_err(one)?;
    // Said with the image-plane error instead.
    let notes = notes
        .into_iter()
        .filter(|note| delta.is_none() || note.kind != "uncorrected");
    setup.setup.assumptions.extend(notes);
    if delta.is_some() && lens.is_some() {
        setup.setup.assumptions.push(of_engraved_marks());
    }
    for arc in arcs {
        let place = law.from_arc(arc);
        let place = place.ok_or_else(|| one(NoTape::NoRing.into()))?;
        let found = answers::distance_at(&law, place);
        at.push(found.map_err(|reason| one(Fault::from(reason).at_flag("--at-mm")))?);
    }
    if at.is_empty() {
        at = usual(&law, marks, words.unit);
    }
    let gearing = gearing_of(lens, opened.as_ref(), &law, &mut steps);
    let found = answers::ring(&law, &setup, &at, (delta, gearing), &mut steps)
        .map_err(|e| one(e.into()))?;
    answer(&args.output, &found, &found.rows, &steps, || {
        report::ring(&found, words)
    })
}

/// What is typed of a ring.
#[derive(Clone, Copy)]
pub(super) struct ByHand {
    /// Whether what prep day found counts, for a lens of the kit.
    corrected: bool,
    gain: Option<Gain>,
    given: RingGiven,
}

impl Reader {
    /// The ring that was typed.
    pub fn ring_by_hand(&mut self, typed: &RingByHand) -> ByHand {
        let gain = self.take("--gain", typed.gain.as_ref(), parse::gain);
        let close_focus = self.distance("--close-focus", typed.close_focus.as_ref());
        let round = typed.circumference.as_ref();
        let circumference = self.take("--circumference", round, |text| {
            parse::length(text, &range::CIRCUMFERENCE)
        });
        ByHand {
            corrected: !typed.uncorrected,
            gain,
            given: RingGiven {
                circumference,
                close_focus,
            },
        }
    }

    /// Refuses the macro range.
    pub fn no_macro_on_a_ring(&mut self, typed: &SetupArgs) {
        if typed.macro_branch {
            let message = "a ring's law is that of the ordinary range, m up to 1";
            let fault = Fault::new(Kind::Usage, message).at_flag("--macro");
            self.faults.push(fault.with_help("leave out --macro"));
        }
    }
}

/// Knob turns for each turn of a lens's ring, where they are known.
pub(super) fn gearing_of(
    lens: Option<&(Lens, Option<Marks>)>,
    opened: Option<&Opened>,
    law: &RingLaw,
    steps: &mut Steps,
) -> Option<Gearing> {
    let (lens, _) = lens?;
    let follow = opened.and_then(|opened| opened.kit.follow.as_ref());
    let travel = lens.ring().travel().or(law.travel());
    gearing(lens, follow, travel, steps)
}

/// Refuses attachments, under which the ring's scale says nothing.
pub(super) fn scale_counts(wanted: &Wanted) -> Result<(), Fault> {
    if wanted.fitted.voids_the_scale() {
        let message = "with what is attached the ring's own scale is void";
        return Err(Fault::new(Kind::Usage, message)
            .with_help("ask for the focus at a mark with `markwright depth --mark D`"));
    }
    Ok(())
}

/// The ring's law of a lens of the kit, with its own marks, or by hand; and what
/// is to be said of it.
pub(super) fn law_of<'a>(
    lens: Option<&'a (Lens, Option<Marks>)>,
    opened: Option<&'a Opened>,
    by_hand: ByHand,
    setup: &DepthSetup,
) -> Result<(RingLaw, Option<&'a Marks>, Vec<Assumption>), Fault> {
    match (lens, opened) {
        (Some((lens, marks)), Some(opened)) => {
            let found = opened.law(lens, marks.as_ref(), by_hand.corrected);
            let (found, notes) = found.map_err(Fault::from)?;
            let own = marks.as_ref().filter(|_| found.marks.is_some());
            Ok((found.law, own, notes))
        }
        _ => {
            let gain = by_hand.gain.ok_or_else(needs_a_ring)?;
            let lens = setup.setup.lens.bare();
            let law = RingLaw::helicoid(lens, gain, by_hand.given);
            Ok((law, None, Vec::new()))
        }
    }
}

/// What a ring is usually asked for, from far to near: the lens's own marks, else
/// the distances usually marked in a unit, and either end where it is told.
fn usual(law: &RingLaw, marks: Option<&Marks>, unit: Unit) -> Vec<FocusDistance> {
    let own = marks.map(|marks| marks.rows().iter().map(|mark| mark.distance).collect());
    let marked: Vec<FocusDistance> =
        own.unwrap_or_else(|| usual_marks(unit).iter().map(|mark| mark.0).collect());
    let mut at: Vec<FocusDistance> = core::iter::once(FocusDistance::INFINITY)
        .chain(marked)
        .chain(law.ring().close_focus)
        .filter(|&distance| law.tells(distance))
        .collect();
    let from_image_plane = |distance: &FocusDistance| {
        let length = distance.reach().finite();
        length.map_or(f64::INFINITY, Length::to_mm)
    };
    at.sort_by(|a, b| from_image_plane(b).total_cmp(&from_image_plane(a)));
    at.dedup();
    at
}

fn of_engraved_marks() -> Assumption {
    Assumption::new(
        "engraved_marks",
        "asked where marks focus with an image-plane error: positions are those of the ring's own \
         scale, whatever prep found",
    )
}

fn needs_a_ring() -> Fault {
    Fault::new(Kind::Usage, "the ring is not known")
        .at_flag("--gain")
        .with_help("add --lens ID from a kit, or by hand --gain 30deg/mm")
}

fn needs_a_circumference() -> Fault {
    let message = "--at-mm counts along the ring, and how far it is round is not known";
    Fault::new(Kind::Usage, message)
        .at_flag("--circumference")
        .with_help("add --circumference 250mm: wrap a strip of paper once round the ring")
}
