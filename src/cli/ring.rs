//! `ring`: where distances stand on the ring.

use super::answer;
use super::args::RingArgs;
use super::kit;
use super::wish::{Asked, needs_a_lens};
use crate::answers;
use crate::data::{Fault, Kind};
use crate::formula::Steps;
use crate::gear::Marks;
use crate::report::{self, Words};
use crate::scale::{RingGiven, RingLaw};
use crate::sheets::{NoTape, usual_marks};
use crate::units::{FocusDistance, Length, Unit, parse, range};

/// Answers for distances and for arcs on the ring; where neither was asked for,
/// for the usual marks.
pub(super) fn run(args: &RingArgs) -> Result<(), Vec<Fault>> {
    let one = |fault: Fault| vec![fault];
    let opened = kit::open(&args.output)?;
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
    let gain = reader.take("--gain", args.gain.as_ref(), parse::gain);
    let close_focus = reader.distance("--close-focus", args.close_focus.as_ref());
    let circumference = reader.take("--circumference", args.circumference.as_ref(), |text| {
        parse::length(text, &range::CIRCUMFERENCE)
    });
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
    if args.setup.macro_branch {
        let message = "a ring's law is that of the ordinary range, m up to 1";
        reader.faults.push(
            Fault::new(Kind::Usage, message)
                .at_flag("--macro")
                .with_help("leave out --macro"),
        );
    }
    if lens.is_none() && !args.at_mm.is_empty() && args.circumference.is_none() {
        reader.faults.push(needs_a_circumference());
    }
    reader.done()?;
    let wanted = wanted.ok_or_else(|| one(needs_a_lens()))?;
    if wanted.fitted.voids_the_scale() {
        let message = "with what is attached the ring's own scale is void";
        return Err(one(Fault::new(Kind::Usage, message).with_help(
            "ask for the focus at a mark with `markwright depth --mark D`",
        )));
    }
    let mut setup = wanted
        .depth_setup(&mut steps)
        .map_err(|reason| one(reason.into()))?;
    setup
        .setup
        .assumptions
        .extend(taped.map(|taped| taped.note));
    let (law, marks) = match (lens, &opened) {
        (Some((lens, marks)), Some(opened)) => {
            let (found, note) = opened
                .law(lens, marks.as_ref())
                .map_err(|reason| one(reason.into()))?;
            setup.setup.assumptions.extend(note);
            let own = marks.as_ref().filter(|_| found.marks.is_some());
            (found.law, own)
        }
        _ => {
            let gain = gain.ok_or_else(|| one(needs_a_ring()))?;
            let ring = RingGiven {
                circumference,
                close_focus,
            };
            (RingLaw::helicoid(setup.setup.lens.bare(), gain, ring), None)
        }
    };
    for arc in arcs {
        let place = law.from_arc(arc);
        let place = place.ok_or_else(|| one(NoTape::NoRing.into()))?;
        let found = answers::distance_at(&law, place);
        at.push(found.map_err(|reason| one(Fault::from(reason).at_flag("--at-mm")))?);
    }
    if at.is_empty() {
        at = usual(&law, marks, words.unit);
    }
    let found = answers::ring(&law, &setup, &at, delta, &mut steps).map_err(|e| one(e.into()))?;
    answer(&args.output, &found, &found.rows, &steps, || {
        report::ring(&found, words)
    })
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
