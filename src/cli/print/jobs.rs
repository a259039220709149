//! The lenses to print for, and the sheets of each.

use std::rc::Rc;

use serde::Serialize;

use super::Prefs;
use super::wheels::MadeFor;
use crate::answers::{PrepFound, Unanswerable};
use crate::cli::args::{PrintArgs, What};
use crate::cli::kit::{self, Opened};
use crate::cli::wish::{Basis, Reader, needs_a_lens};
use crate::data::{Fault, Kind, shortened};
use crate::draw;
use crate::gear::{
    Assumption, Focal, Lens, LensId, LensProblem, LensWritten, Marks, Ring, RingProblem,
    RingWritten, Round, ScaleFrom, Sense, Travel, Wanted, Waves,
};
use crate::optics::OutOfReach;
use crate::scale::{LensLaw, Standing};
use crate::scene::Page;
use crate::sheets::{BodyShift, Code, Names, NoTape, OtherBody, Tape, TapeWish};
use crate::units::{FocusDistance, Length, Stop, Unit, parse, range};

/// A lens to print for.
pub(super) struct Job {
    pub(super) lens: Lens,
    /// Its close focus, where it is known.
    pub(super) close_focus: Option<FocusDistance>,
    marks: Option<Marks>,
    pub(super) camera: Option<String>,
    /// What prep day found on its camera.
    found: Option<Rc<PrepFound>>,
    /// Whether its law is corrected by that.
    corrected: bool,
    /// The other bodies it may go on.
    bodies: Vec<OtherBody>,
    pub(super) names: Names,
    pub(super) wanted: Wanted,
    pub(super) unit: Unit,
    /// Which sheets it is for.
    sheets: Sheets,
}

/// Which sheets a lens is printed for: a zoom has cards at focal lengths of their
/// own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sheets {
    All,
    Cards,
    AllButCards,
}

impl Job {
    /// Whether cards are printed of it, or other sheets.
    pub(super) fn is_for(&self, what: What) -> bool {
        match self.sheets {
            Sheets::All => true,
            Sheets::Cards => what.is_card_of_a_lens(),
            Sheets::AllButCards => !what.is_card_of_a_lens(),
        }
    }
}

/// A sheet that was made.
#[derive(Serialize)]
pub(super) struct Made {
    what: &'static str,
    lens: Option<String>,
    code: String,
    standing: Option<&'static str>,
    /// How far a tape's marks stand elsewhere on other bodies.
    other_cameras: Vec<BodyShift>,
    /// What a disc or a strip is for.
    #[serde(flatten)]
    made_for: Option<MadeFor>,
}

impl Made {
    /// Its keys, where there is no sheet to show them.
    pub(super) const COLUMNS: [&str; 4] = ["what", "lens", "code", "standing"];

    pub(super) fn code(&self) -> String {
        self.code.clone()
    }

    pub(super) fn new(
        what: &'static str,
        job: &Job,
        code: Code,
        standing: Option<Standing>,
    ) -> Self {
        Self {
            standing: standing.map(Standing::name),
            ..Self::of(what, Some(job.lens.id().as_str()), code)
        }
    }

    /// A sheet of one lens, or of all together.
    pub(super) fn of(
        what: &'static str,
        lens: Option<&str>,
        code: impl core::fmt::Display,
    ) -> Self {
        Self {
            what,
            lens: lens.map(str::to_owned),
            code: code.to_string(),
            standing: None,
            other_cameras: Vec::new(),
            made_for: None,
        }
    }

    pub(super) fn made_for(self, what: MadeFor) -> Self {
        Self {
            made_for: Some(what),
            ..self
        }
    }
}

/// A sheet that was not, and why.
#[derive(Clone, Serialize)]
pub(super) struct Skipped {
    what: &'static str,
    lens: String,
    kind: &'static str,
    message: String,
    #[serde(skip)]
    fault: Fault,
}

impl Skipped {
    pub(super) fn new(what: &'static str, lens: &Lens, fault: Fault) -> Self {
        let lens = lens.id().as_str().to_owned();
        let (kind, message) = (fault.kind.name(), fault.message.clone());
        Self {
            what,
            lens,
            kind,
            message,
            fault,
        }
    }

    pub(super) fn into_fault(self) -> Fault {
        let message = format!(
            "{} of lens {}: {}",
            self.what, self.lens, self.fault.message
        );
        Fault {
            message,
            ..self.fault
        }
    }
}

/// The lenses asked for: by hand, by their ids, or the whole kit.
pub(super) fn collect(
    args: &PrintArgs,
    what: &[What],
    opened: Option<&Opened>,
    basis: &Basis,
    reader: &mut Reader,
) -> Vec<Job> {
    if args.setup.focal.is_some() && args.setup.lens.is_empty() {
        return by_hand(args, basis, reader).into_iter().collect();
    }
    let Some(opened) = opened else {
        reader.faults.push(needs_a_lens().with_help(
            "add --kit DIR, or for one lens by hand --focal --stop --close-focus \
                 --circumference --travel-length --sense",
        ));
        return Vec::new();
    };
    let lenses: Vec<_> = if args.setup.lens.is_empty() {
        opened.kit.lenses.iter().collect()
    } else {
        opened.lenses(&args.setup.lens, reader)
    };
    let unit = reader.unit.unwrap_or(opened.kit.units);
    let all = lenses.into_iter().flat_map(|(lens, marks)| {
        let each = variants(lens, args, what).into_iter();
        each.map(move |(lens, sheets)| (lens, marks, sheets))
    });
    all.filter_map(|(lens, marks, sheets)| {
        let basis = Basis {
            // Said once and not on every sheet, which names its camera.
            camera_note: None,
            ..opened.basis(Some(&lens))
        };
        let wanted = reader.wanted(&args.setup, &basis)?;
        let names = Names::of(&opened.kit, &lens, opened.camera());
        let names = names.with_attached(&wanted.fitted);
        let camera = opened.camera_name();
        let (found, corrected) = (opened.found(), !args.uncorrected);
        let with_found = found.as_deref().map(|found| (found, corrected));
        let law = kit::law(&lens, marks.as_ref(), camera, with_found);
        let bodies = law.map_or(Vec::new(), |(law, _)| {
            let with_marks = (&lens, marks.as_ref());
            OtherBody::all(&opened.kit, with_marks, &law, camera, found.as_deref())
        });
        Some(Job {
            close_focus: Some(lens.close_focus()),
            lens,
            marks: marks.clone(),
            camera: camera.map(str::to_owned),
            bodies,
            found,
            corrected,
            names,
            wanted,
            unit,
            sheets,
        })
    })
    .collect()
}

/// A lens as it stands, and a zoom besides at each focal length that gets a card.
fn variants(lens: &Lens, args: &PrintArgs, what: &[What]) -> Vec<(Lens, Sheets)> {
    let chosen = args.setup.focal.is_some() || lens.card_focals().is_empty();
    if chosen || !what.iter().any(|what| what.is_card_of_a_lens()) {
        return vec![(lens.clone(), Sheets::All)];
    }
    let at = |focal: &Length| Some((lens.at_focal(*focal).ok()?, Sheets::Cards));
    let cards = lens.card_focals().iter().filter_map(at);
    let others = what
        .iter()
        .any(|what| what.is_of_a_lens() && !what.is_card_of_a_lens());
    let others = others.then(|| (lens.clone(), Sheets::AllButCards));
    others.into_iter().chain(cards).collect()
}

/// One lens by hand: six values make a tape.
fn by_hand(args: &PrintArgs, basis: &Basis, reader: &mut Reader) -> Option<Job> {
    let basis = Basis {
        camera_note: None,
        ..basis.clone()
    };
    let wanted = reader.wanted(&args.setup, &basis);
    let close_focus = reader.distance("--close-focus", args.close_focus.as_ref());
    let circumference = reader.take("--circumference", args.circumference.as_ref(), |text| {
        parse::length(text, &range::CIRCUMFERENCE)
    });
    let travel = reader.take("--travel-length", args.travel_length.as_ref(), |text| {
        parse::length(text, &range::TRAVEL_LENGTH)
    });
    let sense = args.sense.as_deref().and_then(|text| sense(text, reader));
    // A card needs nothing of the ring, and a plot no close focus either.
    let tapes = args.what.is_empty() || args.what.contains(&What::Tapes);
    let cards = tapes || args.what.contains(&What::Cards);
    let missing = [
        ("--stop", args.setup.stop.is_none()),
        ("--close-focus", cards && args.close_focus.is_none()),
        ("--circumference", tapes && args.circumference.is_none()),
        ("--travel-length", tapes && args.travel_length.is_none()),
        ("--sense", tapes && args.sense.is_none()),
    ];
    for (flag, _) in missing.iter().filter(|(_, missing)| *missing) {
        let message = format!("{flag} is needed to print for a lens by hand");
        reader
            .faults
            .push(Fault::new(Kind::Usage, message).at_flag(flag));
    }
    let mut wanted = wanted?;
    wanted.fitted.close_focus = close_focus;
    let unit = reader.output_unit(args.close_focus.iter().chain(&args.at));
    let ring = Ring::new(RingWritten {
        sense,
        round: circumference.map(Round::Circumference),
        // An arc means something on a ring of known size alone.
        travel: circumference.and(travel).map(Travel::Arc),
        ..RingWritten::default()
    });
    let ring = ring.map_err(|problems| {
        reader.faults.extend(problems.iter().map(ring_problem));
    });
    let focal = format!("{}", wanted.lens.focal_length.to_mm());
    let (f_number, t_number) = match wanted.stop? {
        Stop::F(n) => (Some(n), None),
        Stop::T(t) => (None, Some(t)),
    };
    let nearest = wanted.lens.unit_focus(&mut ()).closest();
    // A lens of the kit always has one; where none is needed, any will do.
    let stand_in = || FocusDistance::at(nearest * 2.0).ok();
    let lens = Lens::new(LensWritten {
        id: LensId::new(&focal).ok()?,
        label: None,
        serial: None,
        focal: Focal::Prime(wanted.lens.focal_length),
        card_focals: Vec::new(),
        zoom: Vec::new(),
        f_number,
        t_number,
        transmittance: wanted.lens.transmittance,
        close_focus: close_focus.or_else(stand_in)?,
        engraved: None,
        pupil: wanted.lens.pupil,
        pupil_magnification: wanted.lens.pupil_magnification,
        ring: ring.ok()?,
        mount: None,
        front_diameter: None,
        front_distance: None,
        ring_teeth: None,
        knob_travel: None,
        hand_unit_preset: None,
        squeeze: None,
        anamorph: None,
        scale_from: ScaleFrom::ImagePlane,
        rear_filter: None,
        breathing: Vec::new(),
    });
    let lens = lens.map_err(|problems| {
        reader.faults.extend(problems.iter().map(lens_problem));
    });
    let names = Names {
        focal,
        widest: wanted.stop.map(|stop| stop.to_string()),
        ..Names::default()
    };
    let names = names.with_attached(&wanted.fitted);
    Some(Job {
        lens: lens.ok()?,
        close_focus,
        marks: None,
        camera: None,
        found: None,
        corrected: false,
        bodies: Vec::new(),
        names,
        wanted,
        unit,
        sheets: Sheets::All,
    })
}

/// What is wrong with a ring by hand, at the flag that says so.
fn ring_problem(problem: &RingProblem) -> Fault {
    match problem {
        RingProblem::Round(reason) => {
            Fault::new(Kind::from(reason), reason.to_string()).at_flag("--circumference")
        }
        RingProblem::Travel(reason) => {
            Fault::new(Kind::from(reason), reason.to_string()).at_flag("--travel-length")
        }
        // Nothing else of a ring can be said by hand.
        _ => Fault::new(Kind::Usage, "this ring cannot be"),
    }
}

/// What is wrong with a lens by hand, at the flag that says so.
fn lens_problem(problem: &LensProblem) -> Fault {
    match *problem {
        LensProblem::Inside4f { limit } => {
            let nearest = OutOfReach::Inside4f { nearest: limit };
            Fault::from(Unanswerable::from(nearest)).at_flag("--close-focus")
        }
        LensProblem::CloseFocusInfinite => {
            Fault::new(Kind::NotFinite, "close focus must be finite").at_flag("--close-focus")
        }
        // Nothing else of a lens can be said by hand.
        _ => Fault::new(Kind::Usage, "this lens cannot be"),
    }
}

fn sense(text: &str, reader: &mut Reader) -> Option<Sense> {
    match text.trim().to_lowercase().as_str() {
        "clockwise" => Some(Sense::Clockwise),
        "counter-clockwise" => Some(Sense::CounterClockwise),
        _ => {
            let message = format!("\"{}\" is no way to turn", shortened(text));
            reader.faults.push(Fault::new(Kind::Usage, message).at_flag("--sense").with_help(
                "clockwise or counter-clockwise: how the ring turns from infinity to close focus, \
                 seen from behind the camera",
            ));
            None
        }
    }
}

/// What the sheets rest on that nobody said, each once; plots may rest on a
/// contrast in place of a circle.
pub(super) fn assumptions(
    jobs: &[Job],
    what: &[What],
    contrast: Option<&Waves>,
) -> Vec<Assumption> {
    let by_circle = contrast.is_none() || what.iter().any(|&what| what != What::Plots);
    let mut all: Vec<Assumption> = Vec::new();
    for job in jobs {
        let circle = by_circle.then(|| job.wanted.clone());
        let contrast = contrast.map(|waves| Wanted {
            waves: Some(waves.clone()),
            ..job.wanted.clone()
        });
        let setups = circle.into_iter().chain(contrast);
        let own = setups
            .filter_map(|wanted| wanted.depth_setup(&mut ()).ok())
            .flat_map(|it| it.setup.assumptions);
        let of_marks = job
            .law()
            .ok()
            .filter(|_| what.iter().any(|&what| shows_a_ring(what)));
        let of_marks = of_marks.into_iter().flat_map(|(_, notes)| notes);
        for note in own.chain(of_marks) {
            if !all.contains(&note) {
                all.push(note);
            }
        }
    }
    all
}

/// Whether a sheet shows where distances stand on rings.
fn shows_a_ring(what: What) -> bool {
    matches!(what, What::Tapes | What::Discs | What::Strips)
}

impl Job {
    pub(super) fn marks(&self) -> Option<&Marks> {
        self.marks.as_ref()
    }

    /// The law of its ring, and what is to be said of it.
    pub(super) fn law(&self) -> Result<(LensLaw<'_>, Vec<Assumption>), Fault> {
        let (marks, camera) = (self.marks.as_ref(), self.camera.as_deref());
        let found = self.found.as_deref();
        let found = found.map(|found| (found, self.corrected));
        let law = kit::law(&self.lens, marks, camera, found);
        law.map_err(|reason| Fault::from(NoTape::NoLaw(reason)))
    }
}

/// The tapes of the lenses on pages; what cannot be made or drawn is noted.
pub(super) fn tapes(
    jobs: &[Job],
    prefs: &Prefs,
    made: &mut Vec<Made>,
    skipped: &mut Vec<Skipped>,
) -> Result<Vec<Page>, Vec<Fault>> {
    let on_pages = |tapes: &[Tape]| -> Result<Vec<Page>, Fault> {
        let mut pages = Vec::new();
        for &side in prefs.sides.each() {
            pages.extend(draw::tape::draw(
                tapes,
                side,
                &prefs.paper,
                prefs.correction,
            )?);
        }
        Ok(pages)
    };
    let mut tapes = Vec::new();
    for job in jobs.iter().filter(|job| job.is_for(What::Tapes)) {
        // Alone first: one that does not fit must not take the others with it.
        let drawn = tape(job).and_then(|tape| on_pages(std::slice::from_ref(&tape)).map(|_| tape));
        match drawn {
            Ok(tape) => {
                made.push(Made {
                    other_cameras: tape.bodies.clone(),
                    ..Made::new("tape", job, tape.code, Some(tape.standing))
                });
                tapes.push(tape);
            }
            Err(fault) => skipped.push(Skipped::new("tape", &job.lens, fault)),
        }
    }
    on_pages(&tapes).map_err(|fault| vec![fault])
}

/// What a tape says of prep day.
const OF_PREP: [&str; 3] = ["corrected_by_prep", "judged_off", "uncorrected"];

/// Of what is noted of a law, what prep day says of the scale.
pub(super) fn corrections(notes: Vec<Assumption>) -> impl Iterator<Item = Assumption> {
    let of_prep = |note: &Assumption| OF_PREP.contains(&note.kind);
    notes.into_iter().filter(of_prep)
}

fn tape(job: &Job) -> Result<Tape, Fault> {
    let mut setup = job.wanted.depth_setup(&mut ()).map_err(Fault::from)?;
    let (law, notes) = job.law()?;
    setup.setup.assumptions.extend(corrections(notes));
    let marks = job.marks.as_ref();
    let wish = TapeWish::of(&job.lens, &law, marks, job.names.clone(), job.unit)?;
    let wish = TapeWish {
        bodies: job.bodies.clone(),
        ..wish
    };
    Ok(Tape::new(&law.law, &setup, wish)?)
}
