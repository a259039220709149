//! From a kit's readings to the answer.

use std::collections::BTreeMap;

use super::fault::NoPrep;
use super::lens::{Figures, PrepLens, Settle, figures};
use super::notes::{self, Told};
use super::telling::tell;
use super::{BetweenCameras, PrepAnswer, PrepCamera, PrepSet, unit_or};
use crate::formula::Record;
use crate::gear::{
    Assumption, Camera, CircleOn, DepthSetup, Kit, Lens, LensId, Marks, PrepRow, Wanted,
};
use crate::optics::Branch;
use crate::scale::prep::{
    BodyVerdict, Judged, LensVerdict, OnTest, PrepDay, PrepFault, tolerated_error,
};
use crate::units::Length;

/// One camera's readings, resolved.
pub(super) struct Day<'a> {
    /// What rows call the camera.
    name: Option<&'a str>,
    camera: &'a Camera,
    lenses: Vec<OnBench<'a>>,
    judged: Judged,
}

impl<'a> Day<'a> {
    /// What rows call the camera.
    pub(super) const fn name(&self) -> Option<&'a str> {
        self.name
    }

    /// The lenses read, in the order of what was judged.
    pub(super) fn lenses(&self) -> impl Iterator<Item = &'a Lens> {
        self.lenses.iter().map(|bench| bench.lens)
    }

    /// What was judged.
    pub(super) const fn judged(&self) -> &Judged {
        &self.judged
    }
}

/// The readings of a kit on each camera that has any.
pub(super) fn read_on(kit: &Kit) -> Vec<Result<Day<'_>, Vec<NoPrep>>> {
    let days = by_camera(kit).into_iter();
    days.map(|(name, rows)| day(kit, name, &rows, &[], &mut ()))
        .collect()
}

struct OnBench<'a> {
    lens: &'a Lens,
    marks: Option<&'a Marks>,
    rows: Vec<&'a PrepRow>,
    setup: DepthSetup,
}

/// What the readings of a kit say of a camera, the first one that has any unless
/// one is asked for, and of its lenses: of `only` these where any are named. All
/// readings of the camera count, whichever lenses are asked for.
///
/// # Errors
/// Every [`NoPrep`] there is.
pub fn prep<'a>(
    kit: &'a Kit,
    camera: Option<&'a str>,
    only: &[LensId],
    rec: &mut impl Record,
) -> Result<PrepAnswer, Vec<NoPrep>> {
    let days = by_camera(kit);
    let (first, _) = days.first().ok_or_else(|| vec![NoPrep::NoReadings])?;
    let asked = camera.or(*first);
    let here = |(name, _): &&(Option<&str>, Vec<&PrepRow>)| *name == asked;
    let Some((_, rows)) = days.iter().find(here) else {
        let there = days.iter().filter_map(|(name, _)| name.map(str::to_owned));
        return Err(vec![NoPrep::NotOnCamera {
            camera: asked.unwrap_or_default().to_owned(),
            there: there.collect(),
        }]);
    };
    let this = day(kit, asked, rows, only, rec)?;
    let unread = only.iter().filter(|id| {
        let read = |bench: &OnBench<'_>| bench.lens.id() == *id;
        !this.lenses.iter().any(read)
    });
    let unread: Vec<NoPrep> = unread.cloned().map(NoPrep::NotRead).collect();
    if !unread.is_empty() {
        return Err(unread);
    }
    let others = days
        .iter()
        .filter(|(name, _)| *name != asked)
        .map(|(name, rows)| day(kit, *name, rows, &[], &mut ()))
        .collect::<Result<Vec<_>, _>>()?;
    Ok(answer(kit, &this, &others, only))
}

fn answer(kit: &Kit, this: &Day<'_>, others: &[Day<'_>], only: &[LensId]) -> PrepAnswer {
    let camera = of_camera(this);
    let all = lenses(kit, this);
    let told = told(this, &all);
    let mut assumptions = of_sharpness(this);
    assumptions.extend(notes::assumptions(&camera, &this.judged, &told));
    if let Some(name) = this.name.filter(|name| counted_in(kit, name)) {
        assumptions.push(Assumption::new(
            "camera_unsaid",
            format!("rows of prep.csv that name no camera are taken as camera {name}'s"),
        ));
    }
    let wanted = |lens: &PrepLens| only.is_empty() || only.iter().any(|id| id.as_str() == lens.id);
    let asked: Vec<PrepLens> = all.into_iter().filter(wanted).collect();
    let set = |day: &Day<'_>| PrepSet {
        camera: of_camera(day),
        lenses: lenses(kit, day),
    };
    PrepAnswer {
        advice: notes::advice(&camera, &asked),
        camera,
        lenses: asked,
        other_cameras: others.iter().map(set).collect(),
        between_cameras: others.iter().map(|other| between(this, other)).collect(),
        assumptions,
    }
}

/// The lenses of a day, each with what is taken of it alone.
fn lenses(kit: &Kit, day: &Day<'_>) -> Vec<PrepLens> {
    let lens = |at| of_lens(kit, day, at);
    let mut all: Vec<PrepLens> = (0..day.lenses.len()).map(lens).collect();
    let notes: Vec<Vec<Assumption>> = told(day, &all).iter().map(notes::of_lens).collect();
    for (lens, notes) in all.iter_mut().zip(notes) {
        lens.assumptions = notes;
    }
    all
}

/// The lenses of a day with what was concluded of them.
fn told<'a>(day: &'a Day<'_>, answers: &'a [PrepLens]) -> Vec<Told<'a>> {
    let each = day.lenses.iter().zip(answers).zip(&day.judged.lenses);
    each.map(|((bench, answer), judged)| Told {
        lens: bench.lens,
        rows: &bench.rows,
        remarks: &judged.remarks,
        answer,
    })
    .collect()
}

/// Readings by camera, in the kit's order of cameras, then in that of the names
/// rows give. Rows that name none belong to the kit's first camera.
fn by_camera(kit: &Kit) -> Vec<(Option<&str>, Vec<&PrepRow>)> {
    let mut rows_of: BTreeMap<Option<&str>, Vec<&PrepRow>> = BTreeMap::new();
    for row in &kit.prep {
        rows_of.entry(named_in(kit, row)).or_default().push(row);
    }
    let known = kit.cameras.iter().map(|camera| camera.name.as_deref());
    let mut out: Vec<(Option<&str>, Vec<&PrepRow>)> = known
        .filter_map(|name| Some((name, rows_of.remove(&name)?)))
        .collect();
    out.extend(rows_of);
    out
}

fn named_in<'a>(kit: &'a Kit, row: &'a PrepRow) -> Option<&'a str> {
    let first = || kit.cameras.first().and_then(|first| first.name.as_deref());
    row.camera.as_deref().or_else(first)
}

/// Whether any row was counted as this camera's without naming it.
fn counted_in(kit: &Kit, name: &str) -> bool {
    let unsaid = |row: &PrepRow| row.camera.is_none() && named_in(kit, row) == Some(name);
    kit.prep.iter().any(unsaid)
}

fn day<'a>(
    kit: &'a Kit,
    name: Option<&'a str>,
    rows: &[&'a PrepRow],
    only: &[LensId],
    rec: &mut impl Record,
) -> Result<Day<'a>, Vec<NoPrep>> {
    // A camera that rows alone name records as the kit's first one does.
    let camera = kit.camera(name).or_else(|| kit.cameras.first());
    let camera = camera.ok_or_else(|| vec![NoPrep::NoReadings])?;
    let mut faults = Vec::new();
    let mut lenses = Vec::new();
    let mut rows_of: BTreeMap<&str, Vec<&PrepRow>> = BTreeMap::new();
    for &row in rows {
        rows_of.entry(row.lens.as_str()).or_default().push(row);
    }
    for (lens, marks) in &kit.lenses {
        let Some(rows) = rows_of.remove(lens.id().as_str()) else {
            continue;
        };
        let wanted = worked_at(camera, lens);
        let setup = if is_asked_for(lens, only) {
            wanted.depth_setup(rec)
        } else {
            wanted.depth_setup(&mut ())
        };
        match setup {
            Ok(setup) => lenses.push(OnBench {
                lens,
                marks: marks.as_ref(),
                rows,
                setup,
            }),
            Err(why) => faults.push(NoPrep::Sharpness {
                lens: lens.id().clone(),
                why,
            }),
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let on_test = lenses.iter().map(|bench| OnTest {
        lens: bench.lens,
        marks: bench.marks,
        rows: bench.rows.clone(),
        tolerated: if is_asked_for(bench.lens, only) {
            tolerated(&bench.setup, rec)
        } else {
            tolerated(&bench.setup, &mut ())
        },
        with_steps: is_asked_for(bench.lens, only),
    });
    let day = PrepDay {
        camera: name,
        hook: camera.hook_offset,
        lenses: on_test.collect(),
    };
    let fault = |fault| match fault {
        PrepFault::Reading(bad) => NoPrep::Reading(bad),
        PrepFault::Law { lens, why } => NoPrep::Law { lens, why },
    };
    let judged = day
        .judge(rec)
        .map_err(|faults| faults.into_iter().map(fault).collect::<Vec<_>>())?
        .ok_or_else(|| vec![NoPrep::NoReadings])?;
    Ok(Day {
        name,
        camera,
        lenses,
        judged,
    })
}

fn is_asked_for(lens: &Lens, only: &[LensId]) -> bool {
    only.is_empty() || only.contains(lens.id())
}

/// The lens at the stop worked at on a camera.
pub(super) fn worked_at(camera: &Camera, lens: &Lens) -> Wanted {
    Wanted {
        lens: lens.figures(),
        stop: Some(camera.stop_for(lens)),
        frame: Some(camera.frame.clone()),
        circle: camera.circle,
        circle_on: CircleOn::Sensor,
        branch: Branch::Far,
        fitted: lens.fitted(),
        waves: None,
        notes: Vec::new(),
    }
}

pub(super) fn tolerated(setup: &DepthSetup, rec: &mut impl Record) -> Length {
    let n = setup.exposure.f_number.value();
    let circle = setup.circle.circle.diameter().to_mm();
    Length::mm(tolerated_error(n, circle, rec))
}

/// What circle and f-number rest on; each once.
fn of_sharpness(day: &Day<'_>) -> Vec<Assumption> {
    let mut out: Vec<Assumption> = Vec::new();
    for note in day
        .lenses
        .iter()
        .flat_map(|bench| about_sharpness(&bench.setup))
    {
        if !out.contains(note) {
            out.push(note.clone());
        }
    }
    out
}

/// What circle and f-number of a setup rest on.
pub(super) fn about_sharpness(setup: &DepthSetup) -> impl Iterator<Item = &Assumption> {
    let about = ["circle", "transmittance", "format"];
    let notes = setup.setup.assumptions.iter();
    notes.filter(move |note| about.iter().any(|kind| note.kind.starts_with(kind)))
}

fn of_camera(day: &Day<'_>) -> PrepCamera {
    let body = &day.judged.body;
    let zero = day.judged.tape_zero;
    PrepCamera {
        name: day.name.map(str::to_owned),
        serial: day.camera.serial.clone(),
        image_plane_error: body.found.map(|found| found.error),
        standard_error: body.found.map(|found| found.standard_error),
        verdict: body.verdict.name(),
        tolerated_error: body.tolerated,
        judged_on: body.judged_on,
        tape_zero: zero.error,
        tape_zero_standard_error: zero.standard_error,
        hook_offset: day.camera.hook_offset,
        settle: (body.verdict == BodyVerdict::Undecided).then(|| to_settle(day)),
    }
}

/// What would settle the camera.
fn to_settle(day: &Day<'_>) -> String {
    let body = &day.judged.body;
    if body.judged_on >= 2 {
        return "read more lenses of the set, or these again at 2 m or beyond, wide open; a \
                collimator settles it at once"
            .into();
    }
    match body.lenses {
        0 | 1 => "read a second lens, at 2 m or beyond and wide open: a body is never judged on \
                  one lens"
            .into(),
        _ => "read two lenses with even scales at 2 m or beyond, wide open: a body is never \
              judged on readings under 1 m alone, nor on one lens"
            .into(),
    }
}

fn of_lens(kit: &Kit, day: &Day<'_>, at: usize) -> PrepLens {
    let (bench, judged) = (&day.lenses[at], &day.judged.lenses[at]);
    let unit = unit_or(bench.lens.engraved(), kit.units);
    let error = judged.as_read.error;
    let Figures {
        by_stop,
        points,
        reduced_chi_square,
        parts,
    } = figures(judged);
    let optics = bench.lens.figures().unit_focus(&mut ());
    let exposure = &bench.setup.exposure;
    PrepLens {
        id: bench.lens.id().as_str().to_owned(),
        label: bench.lens.label().to_owned(),
        serial: bench.lens.serial().map(str::to_owned),
        image_plane_error: error,
        standard_error: judged.as_read.standard_error,
        own_error: judged.own.map(|own| own.error),
        own_standard_error: judged.own.map(|own| own.standard_error),
        verdict: judged.verdict.name(),
        own_verdict: judged.own_verdict.map(LensVerdict::name),
        standard_error_parts: parts,
        focal_length: optics.focal_length(),
        hiatus: optics.hiatus(),
        tolerated_error: judged.tolerated,
        tolerated_at: exposure.stop.to_string(),
        f_number: exposure.f_number,
        t_number: exposure.t_number,
        transmittance: exposure.transmittance,
        circle: bench.setup.circle.circle.diameter(),
        chi_square: judged.chi_square,
        degrees_of_freedom: judged.degrees_of_freedom,
        reduced_chi_square,
        by_stop,
        points,
        marks: tell(bench.lens, bench.marks, unit, &bench.setup, error),
        settle: judged.settling.map(Settle::from),
        assumptions: Vec::new(),
    }
}

pub(super) fn between(this: &Day<'_>, other: &Day<'_>) -> BetweenCameras {
    let numbered = other.lenses.iter().enumerate();
    let there: BTreeMap<&str, usize> = numbered
        .map(|(at, bench)| (bench.lens.id().as_str(), at))
        .collect();
    let numbered = this.lenses.iter().enumerate();
    let pairs: Vec<(usize, usize)> = numbered
        .filter_map(|(at, bench)| Some((at, *there.get(bench.lens.id().as_str())?)))
        .collect();
    let found = this.judged.farther_than(&other.judged, &pairs);
    let name = |day: &Day<'_>| day.name.unwrap_or("unnamed").to_owned();
    BetweenCameras {
        camera: name(this),
        other: name(other),
        difference: found.map(|found| found.error),
        standard_error: found.map(|found| found.standard_error),
        lenses: pairs.len(),
    }
}
