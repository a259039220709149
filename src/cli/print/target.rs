//! Focus targets: of the lenses asked for, else of the kit's first.

use serde::Serialize;

use super::Prefs;
use crate::answers::TargetAnswer;
use crate::cli::args::PrintArgs;
use crate::cli::kit::Opened;
use crate::cli::wish::{Basis, Reader, needs_a_lens};
use crate::data::{Fault, Kind};
use crate::draw;
use crate::formula::Steps;
use crate::gear::{Assumption, HoldSetup, Lens, Wanted};
use crate::scene::Page;
use crate::sheets::{Names, Target, TargetWish};
use crate::units::{FocusDistance, StopKind, Unit};

/// A lens to print a target for.
pub(super) struct Job {
    lens: Option<Lens>,
    /// The nearest it goes, where that is known.
    close_focus: Option<FocusDistance>,
    names: Names,
    wanted: Wanted,
    unit: Unit,
}

/// A target as programs are told of it.
#[derive(Serialize)]
pub(super) struct Told {
    pub(super) lens: String,
    pub(super) code: String,
    #[serde(flatten)]
    answer: TargetAnswer,
    /// The distances without lines, and why.
    pub(super) left_out: Vec<String>,
    #[serde(skip)]
    pub(super) assumptions: Vec<Assumption>,
}

/// Pages with what is told of them.
#[derive(Default)]
pub(super) struct Drawn {
    pub(super) pages: Vec<Page>,
    pub(super) told: Vec<Told>,
}

impl Drawn {
    /// What the targets rest on that nobody said, each once.
    pub(super) fn assumptions(&self) -> Vec<Assumption> {
        let mut all: Vec<Assumption> = Vec::new();
        for note in self.told.iter().flat_map(|told| &told.assumptions) {
            if !all.contains(note) {
                all.push(note.clone());
            }
        }
        all
    }
}

/// The lenses to print targets for.
pub(super) fn collect(
    args: &PrintArgs,
    opened: Option<&Opened>,
    basis: &Basis,
    reader: &mut Reader,
) -> Vec<Job> {
    if args.setup.focal.is_some() && args.setup.lens.is_empty() {
        let Some(wanted) = reader.wanted(&args.setup, basis) else {
            return Vec::new();
        };
        let names = Names {
            focal: format!("{}", wanted.lens.focal_length.to_mm()),
            ..Names::default()
        };
        return vec![Job {
            lens: None,
            close_focus: reader.distance("--close-focus", args.close_focus.as_ref()),
            names: names.with_attached(&wanted.fitted),
            wanted,
            unit: reader.output_unit(args.at.iter().chain(&args.close_focus)),
        }];
    }
    let Some(opened) = opened else {
        let help = "add --kit DIR, or for one lens by hand --focal 50mm";
        reader.faults.push(needs_a_lens().with_help(help));
        return Vec::new();
    };
    let lenses: Vec<&Lens> = if args.setup.lens.is_empty() {
        opened
            .kit
            .lenses
            .first()
            .map(|(lens, _)| lens)
            .into_iter()
            .collect()
    } else {
        let found = opened.lenses(&args.setup.lens, reader);
        found.into_iter().map(|(lens, _)| lens).collect()
    };
    let unit = reader.unit.unwrap_or(opened.kit.units);
    let job = |lens: &Lens| {
        let basis = Basis {
            camera_note: None,
            ..opened.basis(Some(lens))
        };
        let wanted = reader.wanted(&args.setup, &basis)?;
        let names = Names::of(&opened.kit, lens, opened.camera());
        Some(Job {
            names: names.with_attached(&wanted.fitted),
            // What voids the scale lets it focus elsewhere than it reads.
            close_focus: Some(lens.close_focus()).filter(|_| !wanted.fitted.voids_the_scale()),
            lens: Some(lens.clone()),
            wanted,
            unit,
        })
    };
    lenses.into_iter().filter_map(job).collect()
}

/// The targets on pages. What was asked for by name must be in reach; of the
/// usual distances those that are not are left out.
pub(super) fn draw(
    jobs: Vec<Job>,
    at: &[FocusDistance],
    prefs: &Prefs,
    steps: &mut Steps,
) -> Result<Drawn, Vec<Fault>> {
    let mut drawn = Drawn::default();
    if at.iter().any(|at| at.is_infinite()) {
        let fault = Fault::new(Kind::NotFinite, "a target stands at a finite distance");
        return Err(vec![fault.at_flag("--at").with_help("leave out infinity")]);
    }
    for job in jobs {
        let one = |fault: Fault| vec![fault];
        let setup = setup(&job.wanted, steps).map_err(one)?;
        let wish = TargetWish {
            names: job.names,
            unit: job.unit,
            close_focus: job.close_focus,
            at: at.to_vec(),
        };
        let lens = match &job.lens {
            Some(lens) => lens.id().as_str().to_owned(),
            None => wish.names.focal.clone(),
        };
        let target = Target::new(&setup, wish, steps);
        if let (false, Some((_, reason))) = (at.is_empty(), target.answer.out_of_reach.first()) {
            return Err(one(Fault::from(*reason).at_flag("--at")));
        }
        if target.fields.is_empty() {
            return Err(one(no_field(&lens, &target)));
        }
        let pages = draw::target::draw(&target, &prefs.paper).map_err(|small| one(small.into()))?;
        let corrected = |page: Page| page.with_correction(prefs.correction);
        drawn.pages.extend(pages.into_iter().map(corrected));
        drawn.told.push(Told {
            lens,
            code: target.code.to_string(),
            answer: target.answer,
            left_out: target.left_out,
            assumptions: setup.setup.assumptions,
        });
    }
    Ok(drawn)
}

/// Lens and circle; a stop changes nothing.
fn setup(wanted: &Wanted, steps: &mut Steps) -> Result<HoldSetup, Fault> {
    let wanted = Wanted {
        stop: None,
        ..wanted.clone()
    };
    Ok(wanted.hold_setup(StopKind::F, steps)?)
}

fn no_field(lens: &str, target: &Target) -> Fault {
    let why = target.left_out.join("; ");
    let message = format!("target of lens {lens}: no distance is left: {why}");
    Fault::new(Kind::DoesNotFit, message)
        .at_flag("--at")
        .with_help("choose other distances with --at: farther where lines are too fine, nearer where they are too coarse")
}
