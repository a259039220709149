//! The depth card of each lens, and the other cards of a set.

use super::Prefs;
use super::jobs::{Job, Made, Skipped};
use crate::answers::{PrepFound, depth};
use crate::cli::args::{Face, PrintArgs, What};
use crate::cli::kit::Opened;
use crate::cli::world;
use crate::data::{self, Fault, Kind};
use crate::draw::card::{self, CardStyle, Faces, Layout, Layouts};
use crate::draw::plot::Lie;
use crate::gear::{DepthSetup, Lens, ScaleFrom, Wanted};
use crate::scale::LensLaw;
use crate::scale::prep::BodyVerdict;
use crate::scene::Page;
use crate::sheets::{
    Card, CardWish, Conversions, FieldCard, FieldSet, FieldWish, HyperfocalLens, Hyperfocals,
    HyperfocalsWish, MOST_STOPS, Names, TrustedScale, table_stops,
};
use crate::units::{FocusDistance, Stop, StopKind, Transmittance, Unit};

/// What was asked of cards.
pub(super) struct Wishes {
    layouts: Layouts,
    faces: Faces,
}

/// Reads the options of cards; they are a fault where no card is printed.
pub(super) fn wishes(args: &PrintArgs, what: &[What]) -> Result<Wishes, Vec<Fault>> {
    let any = what.iter().any(|what| what.is_card());
    let depth = what.contains(&What::Cards);
    let stray = [
        (
            "--face",
            !depth && args.cards.face.is_some(),
            "depth cards",
            "cards",
        ),
        (
            "--layouts",
            !any && args.cards.layouts.is_some(),
            "cards",
            "cards",
        ),
    ];
    let stray = stray.into_iter().filter(|(_, stray, ..)| *stray);
    let faults: Vec<Fault> = stray
        .map(|(flag, _, of, add)| {
            let message = format!("{flag} is for {of}, and none are printed");
            let fault = Fault::new(Kind::Usage, message).at_flag(flag);
            fault.with_help(format!("add {add}"))
        })
        .collect();
    if !faults.is_empty() {
        return Err(faults);
    }
    let folder = args.cards.layouts.as_deref().map(world::Folder::new);
    let folder = folder.as_ref().map(|folder| folder as &dyn data::Files);
    Ok(Wishes {
        layouts: data::layouts(folder)?,
        faces: match args.cards.face.unwrap_or_default() {
            Face::Both => Faces::Both,
            Face::Dark => Faces::Dark,
            Face::Table => Faces::Table,
        },
    })
}

impl Wishes {
    fn style<'a>(&self, prefs: &Prefs, layout: &'a Layout) -> CardStyle<'a> {
        CardStyle {
            large: prefs.large,
            lie: prefs.lie.unwrap_or(Lie::Portrait),
            faces: self.faces,
            correction: prefs.correction,
            ..CardStyle::new(prefs.ground, layout)
        }
    }
}

/// What was printed, and what could not be.
pub(super) struct Told<'a> {
    pub(super) made: &'a mut Vec<Made>,
    pub(super) skipped: &'a mut Vec<Skipped>,
}

/// The cards of the lenses on pages; what cannot be made or drawn is noted.
pub(super) fn cards(
    jobs: &[Job],
    wishes: &Wishes,
    prefs: &Prefs,
    told: &mut Told<'_>,
) -> Vec<Page> {
    let layout = &wishes.layouts.card;
    let style = wishes.style(prefs, layout);
    let mut pages = Vec::new();
    for job in jobs.iter().filter(|job| job.is_for(What::Cards)) {
        let drawn = depth_card(job, layout).and_then(|card| {
            let one = std::slice::from_ref(&card);
            Ok((card.code, card::draw(one, &prefs.paper, &style)?))
        });
        match drawn {
            Ok((code, drawn)) => {
                told.made.push(Made::new("card", job, code, None));
                pages.extend(drawn);
            }
            Err(fault) => told.skipped.push(Skipped::new("card", &job.lens, fault)),
        }
    }
    pages
}

/// The setup of a lens at another stop.
fn at(job: &Job, stop: Stop) -> Option<DepthSetup> {
    let wanted = Wanted {
        stop: Some(stop),
        ..job.wanted.clone()
    };
    wanted.depth_setup(&mut ()).ok()
}

fn depth_card(job: &Job, layout: &Layout) -> Result<Card, Fault> {
    let setup = job.wanted.depth_setup(&mut ()).map_err(Fault::from)?;
    let stops = table_stops(job.lens.widest(), setup.exposure.stop, MOST_STOPS);
    let wish = CardWish {
        names: job.names.clone(),
        unit: job.unit,
        engraved: job.lens.engraved(),
        close_focus: job.lens.close_focus(),
        stops: stops.into_iter().filter_map(|stop| at(job, stop)).collect(),
        words: layout.words,
    };
    Ok(Card::new(&setup, wish)?)
}

/// What a card of a set is called.
fn of_set(opened: Option<&Opened>, layout: &Layout) -> Names {
    let camera = opened.and_then(Opened::camera);
    opened.map_or_else(Names::default, |opened| Names {
        title: Some(opened.kit.title.clone()).filter(|it| layout.words.title && !it.is_empty()),
        camera: camera.and_then(|camera| camera.name.clone()),
        prepared: opened.kit.prepared.clone(),
        ..Names::default()
    })
}

/// The ids of some lenses, one after the other.
fn ids<'a>(jobs: impl Iterator<Item = &'a Job>) -> String {
    let ids: Vec<&str> = jobs.map(|job| job.lens.id().as_str()).collect();
    ids.join(" ")
}

/// The hyperfocal card of the set: one a kind of stop. What cannot be drawn is
/// noted.
pub(super) fn hyperfocals(
    jobs: &[Job],
    opened: Option<&Opened>,
    (wishes, prefs): (&Wishes, &Prefs),
    told: &mut Told<'_>,
) -> Result<Vec<Page>, Vec<Fault>> {
    let layout = &wishes.layouts.hyperfocals;
    let found = opened.and_then(Opened::found);
    let verdict = found.as_deref().map(|found: &PrepFound| found.camera);
    let mut pages = Vec::new();
    for kind in [StopKind::T, StopKind::F] {
        let of_kind = |job: &&Job| job.is_for(What::Hyperfocals) && job.lens.stop_kind() == kind;
        let set: Vec<&Job> = jobs.iter().filter(of_kind).collect();
        let Some((stops, working)) = stops_of_set(&set) else {
            continue;
        };
        let mut lenses = Vec::new();
        let mut kept = Vec::new();
        for job in set {
            match hyperfocal_lens(job, &stops, verdict) {
                Ok(lens) => {
                    lenses.push(lens);
                    kept.push(job);
                }
                Err(fault) => told
                    .skipped
                    .push(Skipped::new("hyperfocals", &job.lens, fault)),
            }
        }
        if lenses.is_empty() {
            continue;
        }
        let unit = kept.first().map_or(Unit::Metres, |job| job.unit);
        let card = Hyperfocals::new(HyperfocalsWish {
            names: of_set(opened, layout),
            unit,
            camera: verdict,
            stops,
            working: Some(working),
            lenses,
            gate: layout.words.gate,
        });
        let card = card.map_err(|reason| vec![reason.into()])?;
        let style = wishes.style(prefs, layout);
        let drawn = card::draw_hyperfocals(&card, &prefs.paper, &style);
        pages.extend(drawn.map_err(|reason| vec![Fault::from(reason)])?);
        let lenses = ids(kept.into_iter());
        told.made
            .push(Made::of("hyperfocals", Some(&lenses), card.code));
    }
    Ok(pages)
}

/// The widest stop of a set and the full stops below, the working stop among
/// them, and which that is; `None` of no lenses.
fn stops_of_set(set: &[&Job]) -> Option<(Vec<Stop>, Stop)> {
    let wider = |one: Stop, other: Stop| {
        if other.number() < one.number() {
            other
        } else {
            one
        }
    };
    let widest = set.iter().map(|job| job.lens.widest()).reduce(wider)?;
    // A lens that does not open so far is worked at its widest.
    let working = set.iter().filter_map(|job| job.wanted.stop).reduce(wider);
    let working = working.unwrap_or(widest);
    Some((table_stops(widest, working, MOST_STOPS), working))
}

fn hyperfocal_lens<'a>(
    job: &'a Job,
    stops: &[Stop],
    verdict: Option<BodyVerdict>,
) -> Result<HyperfocalLens<'a>, Fault> {
    // Why it has no depth at all is told once.
    job.wanted.depth_setup(&mut ()).map_err(Fault::from)?;
    let own = |(place, &stop): (usize, &Stop)| match place {
        // The first column is wide open, whatever that is.
        0 => at(job, job.lens.widest()),
        _ => at(job, stop).filter(|_| job.lens.opens_to(stop)),
    };
    // Where the circle leaves nothing to tell, a dash stands, and the others' rows.
    let tells = |setup: &DepthSetup| depth(setup, &[], &[], &mut ()).is_ok();
    Ok(HyperfocalLens {
        names: job.names.clone(),
        widest: job.lens.widest(),
        setups: stops
            .iter()
            .enumerate()
            .map(|stop| own(stop).filter(tells))
            .collect(),
        scale: trusted_scale(job, verdict),
    })
}

/// A lens's own scale, where what is known of lens and camera lets one set by it.
fn trusted_scale(job: &Job, verdict: Option<BodyVerdict>) -> Option<TrustedScale<'_>> {
    let verdict = verdict?;
    let (law, notes) = job.law().ok()?;
    let camera = job.camera.as_deref();
    let void = job.wanted.fitted.voids_the_scale()
        || job.lens.scale_from() != ScaleFrom::ImagePlane
        || notes
            .iter()
            .any(|note| ["judged_off", "uncorrected"].contains(&note.kind));
    let by_eye_here = law.by_eye() && law.of_another_camera(camera).is_none();
    let true_here = verdict == BodyVerdict::TruePlane || law.law.correction().is_some();
    if void || !(true_here || by_eye_here) {
        return None;
    }
    let marks = job.marks();
    let own = LensLaw::of_scale(&job.lens, marks, camera).ok()?;
    let engraved = marks.map_or(Vec::new(), |marks| marks.engraved());
    let mut engraved: Vec<FocusDistance> = engraved.iter().map(|mark| mark.distance).collect();
    engraved.dedup();
    Some(TrustedScale {
        law,
        own,
        engraved,
        unit: job.lens.engraved().unwrap_or(job.unit),
    })
}

/// The field card of the set, where it is one, and one of each lens; what cannot
/// be made or drawn is noted.
pub(super) fn fields(
    jobs: &[Job],
    opened: Option<&Opened>,
    (wishes, prefs): (&Wishes, &Prefs),
    told: &mut Told<'_>,
) -> Result<Vec<Page>, Vec<Fault>> {
    let layout = &wishes.layouts.fields;
    let style = wishes.style(prefs, layout);
    let mut lenses = Vec::new();
    for job in jobs.iter().filter(|job| job.is_for(What::Fields)) {
        match field_wish(job, layout) {
            Ok(wish) => lenses.push((job, wish)),
            Err(fault) => told.skipped.push(Skipped::new("field", &job.lens, fault)),
        }
    }
    let mut pages = Vec::new();
    if let [(job, _), _, ..] = &lenses[..] {
        let all: Vec<FieldWish> = lenses.iter().map(|(_, wish)| wish.clone()).collect();
        let card = FieldSet::new(of_set(opened, layout), &all, job.unit);
        let card = card.map_err(|reason| vec![reason.into()])?;
        let drawn = card::draw_field_set(&card, &prefs.paper, &style);
        pages.extend(drawn.map_err(|reason| vec![Fault::from(reason)])?);
        let lenses = ids(lenses.iter().map(|(job, _)| *job));
        told.made.push(Made::of("fields", Some(&lenses), card.code));
    }
    for (job, wish) in lenses {
        let drawn = FieldCard::new(wish)
            .map_err(Fault::from)
            .and_then(|card| Ok((card.code, card::draw_field(&card, &prefs.paper, &style)?)));
        match drawn {
            Ok((code, drawn)) => {
                told.made.push(Made::new("field", job, code, None));
                pages.extend(drawn);
            }
            Err(fault) => told.skipped.push(Skipped::new("field", &job.lens, fault)),
        }
    }
    Ok(pages)
}

fn field_wish(job: &Job, layout: &Layout) -> Result<FieldWish, Fault> {
    let frame = job.wanted.frame.clone().ok_or_else(|| {
        Fault::new(Kind::Usage, "a format or gate is needed")
            .at_flag("--format")
            .with_help("add --format s35-3perf or --format 24.89x13.87mm")
    })?;
    Ok(FieldWish {
        names: Names {
            title: job.names.title.clone().filter(|_| layout.words.title),
            ..job.names.clone()
        },
        unit: job.unit,
        setup: job.wanted.setup(&mut ()).map_err(Fault::from)?,
        close_focus: job.lens.close_focus(),
        frame,
        gate: layout.words.gate,
    })
}

/// The conversion card, with the transmittances of a kit's lenses.
pub(super) fn conversions(
    args: &PrintArgs,
    opened: Option<&Opened>,
    (wishes, prefs): (&Wishes, &Prefs),
    unit: Option<Unit>,
    told: &mut Told<'_>,
) -> Result<Vec<Page>, Vec<Fault>> {
    let layout = &wishes.layouts.conversions;
    let wanted = &args.setup.lens;
    let lenses = opened.map_or(&[][..], |opened| &opened.kit.lenses);
    let asked = |lens: &Lens| wanted.is_empty() || wanted.iter().any(|id| id == lens.id().as_str());
    let of_set: Vec<(String, Transmittance)> = lenses
        .iter()
        .filter(|(lens, _)| asked(lens))
        .filter_map(|(lens, _)| {
            let names = Names::of(&opened?.kit, lens, None);
            Some((names.focal, lens.transmittance()?))
        })
        .collect();
    let unit = unit.or(opened.map(|opened| opened.kit.units));
    let card = Conversions::new(
        of_set_names(opened, layout),
        unit.unwrap_or(Unit::Metres),
        &of_set,
    );
    let style = wishes.style(prefs, layout);
    let drawn = card::draw_conversions(&card, &prefs.paper, &style);
    let pages = drawn.map_err(|reason| vec![Fault::from(reason)])?;
    told.made.push(Made::of("conversions", None, card.code));
    Ok(pages)
}

/// What a card is called that holds for any camera.
fn of_set_names(opened: Option<&Opened>, layout: &Layout) -> Names {
    Names {
        camera: None,
        ..of_set(opened, layout)
    }
}
