//! Discs and strips: the scales of the rings on what drives them.

use serde::Serialize;

use super::Prefs;
use super::jobs::{Job, Made, Skipped, corrections};
use crate::cli::args::What;
use crate::cli::kit::Opened;
use crate::data::{Fault, Kind};
use crate::draw;
use crate::gear::{Follow, HandUnit};
use crate::scene::Page;
use crate::sheets::{Disc, Strip};
use crate::units::{Angle, Ratio};

/// What a disc or a strip was made for, beside the lens.
#[derive(Serialize)]
#[serde(untagged)]
pub(super) enum MadeFor {
    /// A knob.
    Knob {
        /// Which of its speeds, from 1.
        speed: usize,
        /// Knob turns for each turn of the ring; absent where only the knob's turn
        /// over the scale is known.
        gearing: Option<Ratio>,
        /// The knob's turn over the whole scale.
        #[serde(rename = "knob_travel_deg")]
        turn: Angle,
        /// How the disc turns to close focus, seen from the knob's side.
        disc_turns: &'static str,
    },
    /// A hand unit.
    Wheel {
        /// What it is called.
        hand_unit: String,
    },
}

/// The discs of the lenses on pages; what cannot be made or drawn is noted.
pub(super) fn discs(
    jobs: &[Job],
    opened: Option<&Opened>,
    prefs: &Prefs,
    made: &mut Vec<Made>,
    skipped: &mut Vec<Skipped>,
) -> Result<Vec<Page>, Vec<Fault>> {
    let follow = opened.and_then(|opened| opened.kit.follow.as_ref());
    let on_pages = |discs: &[Disc]| draw::disc::draw(discs, &prefs.paper, prefs.correction);
    let mut kept = Vec::new();
    for job in jobs.iter().filter(|job| job.is_for(What::Discs)) {
        match of_job(job, follow) {
            Ok(discs) => {
                for disc in discs {
                    // Alone first: one that does not fit must not take the others with it.
                    if let Err(reason) = on_pages(core::slice::from_ref(&disc)) {
                        skipped.push(Skipped::new("disc", &job.lens, reason.into()));
                        continue;
                    }
                    let made_for = MadeFor::Knob {
                        speed: disc.speed.0,
                        gearing: disc.gearing.map(|gearing| gearing.ratio),
                        turn: disc.knob.turn,
                        disc_turns: disc.sense.name(),
                    };
                    let scale = &disc.scale;
                    let one = Made::new("disc", job, scale.code, Some(scale.standing));
                    made.push(one.made_for(made_for));
                    kept.push(disc);
                }
            }
            Err(fault) => skipped.push(Skipped::new("disc", &job.lens, fault)),
        }
    }
    on_pages(&kept).map_err(|reason| vec![reason.into()])
}

fn of_job(job: &Job, follow: Option<&Follow>) -> Result<Vec<Disc>, Fault> {
    let (law, notes) = job.law()?;
    let mut setup = job.wanted.depth_setup(&mut ()).map_err(Fault::from)?;
    setup.setup.assumptions.extend(corrections(notes));
    let with_marks = (&job.lens, job.marks());
    let names = (&job.names, job.unit);
    Ok(Disc::all(with_marks, &law, &setup, follow, names)?)
}

/// The strips of the lenses for every hand unit on pages; what cannot be made or
/// drawn is noted.
pub(super) fn strips(
    jobs: &[Job],
    opened: Option<&Opened>,
    prefs: &Prefs,
    made: &mut Vec<Made>,
    skipped: &mut Vec<Skipped>,
) -> Result<Vec<Page>, Vec<Fault>> {
    let units = opened.map_or(&[][..], |opened| &opened.kit.hand_units);
    let on_pages = |strips: &[Strip]| draw::strip::draw(strips, &prefs.paper, prefs.correction);
    let mut kept = Vec::new();
    for job in jobs.iter().filter(|job| job.is_for(What::Strips)) {
        if units.is_empty() {
            skipped.push(Skipped::new("strip", &job.lens, no_hand_unit()));
        }
        for unit in units {
            let drawn = strip(job, unit).and_then(|strip| {
                on_pages(core::slice::from_ref(&strip))?;
                Ok(strip)
            });
            match drawn {
                Ok(strip) => {
                    let made_for = MadeFor::Wheel {
                        hand_unit: unit.name.clone(),
                    };
                    let scale = &strip.scale;
                    let one = Made::new("strip", job, scale.code, Some(scale.standing));
                    made.push(one.made_for(made_for));
                    kept.push(strip);
                }
                Err(fault) => skipped.push(Skipped::new("strip", &job.lens, fault)),
            }
        }
    }
    on_pages(&kept).map_err(|reason| vec![reason.into()])
}

fn strip(job: &Job, unit: &HandUnit) -> Result<Strip, Fault> {
    let (law, notes) = job.law()?;
    let mut setup = job.wanted.depth_setup(&mut ()).map_err(Fault::from)?;
    setup.setup.assumptions.extend(corrections(notes));
    let with_marks = (&job.lens, job.marks());
    let names = (job.names.clone(), job.unit);
    Ok(Strip::new(with_marks, &law, &setup, unit, names)?)
}

fn no_hand_unit() -> Fault {
    Fault::new(Kind::Missing, "no hand unit is known").with_help(
        "add a table [[hand_unit]] with name, wheel_diameter, usable_deg and sense to kit.toml",
    )
}
