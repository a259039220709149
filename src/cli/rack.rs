//! `rack`: from one distance to another, or along the way of a moving subject.

mod path;
mod plot;

use super::args::{As, RackArgs};
use super::ring::{gearing_of, law_of, scale_counts};
use super::wish::{Asked, Reader, needs_a_lens};
use super::world;
use super::{answer, kit};
use crate::answers::{self, MOST_MOMENTS, Pull, RackAnswer, RackWish, count_of_moments};
use crate::data::{Fault, Kind};
use crate::formula::Steps;
use crate::gear::Speed;
use crate::report::{self, Words};
use crate::scale::{PathKind, SubjectPath, time_of};
use crate::sheets::{Names, Plot, PullWish};
use crate::units::{Time, parse, range};
use plot::WithPlot;

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
    let words = Words {
        unit: reader.output_unit(
            core::iter::once(&args.from)
                .chain(&args.to)
                .chain(&args.path.passing)
                .chain(&args.path.circling),
        ),
    };
    let path = reader.path(args, words.unit);
    let by_hand = reader.ring_by_hand(&args.by_hand);
    let pull = reader.pull(args, path.as_ref());
    let every = reader.every(args, path.as_ref().zip(pull));
    let plot = plot::Wanted::read(&args.plot, opened.as_ref(), &mut reader);
    reader.no_macro_on_a_ring(&args.setup);
    reader.done()?;
    let wanted = wanted.ok_or_else(|| one(needs_a_lens()))?;
    scale_counts(&wanted).map_err(one)?;
    let mut steps = Steps::new();
    let mut setup = wanted
        .depth_setup(&mut steps)
        .map_err(|reason| one(reason.into()))?;
    let (law, _, notes) = law_of(lens, opened.as_ref(), by_hand, &setup).map_err(one)?;
    setup.setup.assumptions.extend(notes);
    let (Some(path), Some(pull)) = (path, pull) else {
        return Err(one(Fault::new(Kind::Usage, "both ends are needed")));
    };
    let gearing = gearing_of(lens, opened.as_ref(), &law, &mut steps);
    let lens = lens.map(|(lens, _)| lens);
    let wish = RackWish {
        path,
        pull,
        every,
        sense: lens.and_then(|lens| lens.ring().sense()),
        gearing,
    };
    let found =
        answers::rack(&law, &setup, &wish, &mut steps).map_err(|reason| one(reason.into()))?;
    let plotted = match plot {
        None => None,
        Some(wanted) => {
            let names = match (lens, &opened) {
                (Some(lens), Some(opened)) => Names::of(&opened.kit, lens, opened.camera()),
                _ => Names {
                    focal: format!("{}", found.ring.premises.focal_length.to_mm()),
                    ..Names::default()
                },
            };
            let wish = PullWish {
                names,
                unit: words.unit,
            };
            let drawn = Plot::pull(&law, &setup, &path, &found, &wish);
            let drawn = drawn
                .ok_or_else(|| one(Fault::new(Kind::Usage, NOTHING_MOVES).at_flag("--plot")))?;
            Some(wanted.write(&drawn)?)
        }
    };
    if let Some(plotted) = &plotted
        && !args.output.quiet
        && args.output.form != As::Json
    {
        world::remark(&format!("{}\n", plotted.file), args.output.color);
    }
    told(args, &found, plotted.as_ref(), &steps, words)
}

const NOTHING_MOVES: &str = "there is no way to plot: the subject stays where it is";

fn told(
    args: &RackArgs,
    found: &RackAnswer,
    plot: Option<&plot::Plotted>,
    steps: &Steps,
    words: Words,
) -> Result<(), Vec<Fault>> {
    let whole = WithPlot {
        answer: found,
        plot,
    };
    let in_words = || report::rack(found, words);
    if found.moments.is_empty() {
        let rows = std::slice::from_ref(found);
        return answer(&args.output, &whole, rows, steps, in_words);
    }
    // Rows of figures have no place for a caution.
    if args.output.form == As::Csv && !args.output.quiet {
        let notes = found.ring.assumptions.iter();
        for note in notes.filter(|note| note.kind == "vehicle") {
            world::remark(&format!("{}\n", note.message), args.output.color);
        }
    }
    answer(&args.output, &whole, &found.moments, steps, in_words)
}

impl Reader {
    /// How long it takes, or how fast the subject goes.
    fn pull(&mut self, args: &RackArgs, path: Option<&SubjectPath>) -> Option<Pull> {
        let seconds = self.take("--seconds", args.seconds.as_ref(), |text| {
            let seconds = parse::number(text, &range::SECONDS)?;
            Time::try_seconds(seconds).map_err(|_| not_finite())
        });
        let speed = self.take("--speed", args.speed.as_ref(), Speed::parse);
        let said = args.seconds.is_some() || args.speed.is_some();
        let on_axis = args.path.passing.is_none() && args.path.circling.is_none();
        let needs = [
            (!on_axis, "a subject on a path has a speed"),
            (args.plot.file.is_some(), "a plot goes against time"),
            (args.every.is_some(), "moments are of a subject that moves"),
        ];
        let needs = needs.iter().find(|(needs, _)| *needs && !said);
        if let Some((_, message)) = needs {
            let fault = Fault::new(Kind::Usage, *message).at_flag("--speed");
            self.faults
                .push(fault.with_help("add --speed, as walk, or --seconds"));
        }
        let infinite = path.is_some_and(|path| {
            let (from, to) = path.ends();
            path.kind() == PathKind::Axis && (from.is_infinite() || to.is_infinite())
        });
        let plotted = args.plot.file.is_some() || args.every.is_some();
        if infinite && (speed.is_some() || (said && plotted)) {
            let message = "a subject at a speed never comes to infinity or from it";
            let flag = if speed.is_some() { "--speed" } else { "--from" };
            let fault = Fault::new(Kind::NotFinite, message).at_flag(flag);
            let help = if speed.is_some() && !plotted {
                "use --seconds, or a finite distance"
            } else {
                "use a finite distance"
            };
            self.faults.push(fault.with_help(help));
        }
        match (seconds, speed) {
            (Some(seconds), _) => Some(Pull::Within(seconds)),
            (None, Some(speed)) => Some(Pull::At(speed)),
            (None, None) => (!said).then_some(Pull::Unsaid),
        }
    }

    /// How often the ring is to be told.
    fn every(&mut self, args: &RackArgs, asked: Option<(&SubjectPath, Pull)>) -> Option<Time> {
        let every = self.take("--every", args.every.as_ref(), |text| {
            let seconds = parse::number(text, &range::SECONDS)?;
            Time::try_seconds(seconds).map_err(|_| not_finite())
        })?;
        let (path, pull) = asked?;
        let whole = match pull {
            Pull::Within(time) => Some(time),
            Pull::At(speed) => path
                .length(&mut ())
                .map(|length| time_of(length, speed.in_one_second(), &mut ())),
            Pull::Unsaid => None,
        }?;
        let count = count_of_moments(whole, Some(every)).value();
        if count > f64::from(MOST_MOMENTS) {
            let message = format!(
                "the pull takes {:.2} s, which makes {count:.0} moments",
                whole.to_seconds()
            );
            let least = whole.to_seconds() / f64::from(MOST_MOMENTS - 1);
            // Rounded up, so that what is named can be asked for.
            let least = libm::ceil(least * 100.0) / 100.0;
            let fault = Fault::new(Kind::TooLarge, message).at_flag("--every");
            self.faults.push(fault.with_help(format!(
                "at most {MOST_MOMENTS}: every {least:.2} s or more"
            )));
        }
        Some(every)
    }
}

const fn not_finite() -> crate::units::Unreadable {
    crate::units::Unreadable::NotFinite { name: "seconds" }
}
