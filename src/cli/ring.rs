//! `ring`: where distances stand on the ring.

use super::answer_in_columns;
use super::args::RingArgs;
use super::kit;
use super::wish::{Asked, needs_a_lens};
use crate::answers::{self, distance_at_arc};
use crate::data::{Fault, Kind, shortened};
use crate::formula::Steps;
use crate::report::{self, Words};
use crate::scale::{RingGiven, RingLaw};
use crate::units::{Length, parse, range};

/// Answers for distances, or for arcs on the ring.
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
    let law = match (lens, &opened) {
        (Some((lens, marks)), Some(opened)) => {
            let (law, note) = opened
                .law(lens, marks.as_ref())
                .map_err(|reason| one(reason.into()))?;
            setup.setup.assumptions.extend(note);
            law.law
        }
        _ => {
            let gain = gain.ok_or_else(|| one(needs_a_ring()))?;
            RingLaw::helicoid(
                setup.setup.lens.bare(),
                gain,
                RingGiven {
                    circumference,
                    close_focus,
                },
            )
        }
    };
    for (arc, text) in arcs.iter().zip(&args.at_mm) {
        let distance = distance_at_arc(&law, *arc).ok_or_else(|| {
            one(Fault::new(
                Kind::OutsideMarks,
                format!("no mark tells {} mm", shortened(text)),
            )
            .at_flag("--at-mm"))
        })?;
        at.push(distance);
    }
    let found = answers::ring(&law, &setup, &at, delta, &mut steps).map_err(|e| one(e.into()))?;
    let rows = (report::csv::RING, &found.rows[..]);
    answer_in_columns(&args.output, &found, rows, &steps, || {
        report::ring(&found, words)
    })
}

fn needs_a_ring() -> Fault {
    Fault::new(Kind::Usage, "the ring is not known")
        .at_flag("--gain")
        .with_help("add --lens ID from a kit, or by hand --gain 30deg/mm")
}
