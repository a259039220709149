//! `rack`: from one distance to another.

use core::time::Duration;

use super::args::RackArgs;
use super::ring::{gearing_of, law_of, scale_counts};
use super::wish::{Asked, needs_a_lens};
use super::{answer, kit};
use crate::answers::{self, Pull};
use crate::data::{Fault, Kind};
use crate::formula::Steps;
use crate::gear::Speed;
use crate::report::{self, Words};
use crate::units::{parse, range};

/// Answers with the turn, and how fast.
pub(super) fn run(args: &RackArgs) -> Result<(), Vec<Fault>> {
    let one = |fault: Fault| vec![fault];
    let opened = kit::open_for(&args.output, &args.setup)?;
    let Asked {
        mut reader,
        basis,
        lens,
    } = Asked::new(&args.output, &args.setup, opened.as_ref());
    let wanted = reader.wanted(&args.setup, &basis);
    let from = reader.distance("--from", Some(&args.from));
    let to = reader.distance("--to", Some(&args.to));
    let by_hand = reader.ring_by_hand(&args.by_hand);
    let seconds = reader.take("--seconds", args.seconds.as_ref(), |text| {
        parse::number(text, &range::SECONDS)
    });
    let speed = reader.take("--speed", args.speed.as_ref(), Speed::parse);
    let words = Words {
        unit: reader.output_unit([&args.from, &args.to].into_iter()),
    };
    reader.no_macro_on_a_ring(&args.setup);
    if let (Some(from), Some(to), Some(_)) = (from, to, speed)
        && (from.is_infinite() || to.is_infinite())
    {
        let message = "a subject at a speed never comes to infinity or from it";
        let fault = Fault::new(Kind::NotFinite, message).at_flag("--speed");
        reader
            .faults
            .push(fault.with_help("use --seconds, or a finite distance"));
    }
    reader.done()?;
    let wanted = wanted.ok_or_else(|| one(needs_a_lens()))?;
    scale_counts(&wanted).map_err(one)?;
    let mut steps = Steps::new();
    let mut setup = wanted
        .depth_setup(&mut steps)
        .map_err(|reason| one(reason.into()))?;
    let (law, _, notes) = law_of(lens, opened.as_ref(), by_hand, &setup).map_err(one)?;
    setup.setup.assumptions.extend(notes);
    let (Some(from), Some(to)) = (from, to) else {
        return Err(one(Fault::new(Kind::Usage, "both ends are needed")));
    };
    let pull = match (seconds, speed) {
        (Some(seconds), _) => Pull::Within(Duration::from_secs_f64(seconds)),
        (None, Some(speed)) => Pull::At(speed),
        (None, None) => Pull::Unsaid,
    };
    let gearing = gearing_of(lens, opened.as_ref(), &law, &mut steps);
    let sense = lens.and_then(|(lens, _)| lens.ring().sense());
    let found = answers::rack(&law, &setup, (from, to), pull, (sense, gearing), &mut steps)
        .map_err(|reason| one(reason.into()))?;
    let rows = std::slice::from_ref(&found);
    answer(&args.output, &found, rows, &steps, || {
        report::rack(&found, words)
    })
}
