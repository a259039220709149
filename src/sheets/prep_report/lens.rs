//! The sheet of one lens.

use super::words::{self, Displaced, EITHER_WAY, tenths_of_degree};
use super::{PrepHead, PrepLensSheet, PrepMark, PrepReading, law};
use crate::answers::{MarkTold, PrepAnswer, PrepLens, PrepPoint, tolerated_in_mm};
use crate::gear::{Kit, Lens, PrepRow, Reading};
use crate::sheets::{Code, Names, Plot};
use crate::units::show::Round;
use crate::units::{FocusDistance, Reach, Unit, show};

impl PrepLensSheet {
    /// What the readings of a kit say of one lens of an answer, in a unit of
    /// output; the lens's own scale is told in its own.
    ///
    /// `None` for a lens that is none of the kit's.
    #[must_use]
    pub fn of(answer: &PrepAnswer, read: &PrepLens, kit: &Kit, unit: Unit) -> Option<Self> {
        let (lens, marks) = kit.lens(&read.id)?;
        let own_unit = lens.engraved().unwrap_or(unit);
        let camera = answer.camera.name.as_deref();
        let names = Names::of(kit, lens, None);
        let sheet = Self {
            subject: match &answer.camera.name {
                Some(camera) => format!("{} mm on camera {camera}", names.focal),
                None => format!("{} mm", names.focal),
            },
            lens: head(answer, read, lens, unit),
            residuals: Plot::residuals(read, &names, unit),
            readings: read
                .points
                .iter()
                .map(|point| reading(point, &kit.prep, (unit, own_unit)))
                .collect(),
            law: law::in_words(lens, marks.as_ref(), camera, read, own_unit),
            marks: read.marks.iter().map(|told| mark(told, own_unit)).collect(),
            marks_at: read.tolerated_at.clone(),
            rests_on: rests_on(answer, read),
            cautions: words::cautions(),
            code: Code::of(""),
            names,
        };
        let code = Code::of(&format!("{sheet:?}"));
        Some(Self { code, ..sheet })
    }
}

/// The stops a lens was read at, in the order of the file.
pub(super) fn stops(lens: &PrepLens) -> String {
    let mut stops: Vec<&str> = Vec::new();
    for point in &lens.points {
        if !stops.contains(&point.stop.as_str()) {
            stops.push(&point.stop);
        }
    }
    stops.join(", ")
}

fn head(answer: &PrepAnswer, read: &PrepLens, lens: &Lens, unit: Unit) -> PrepHead {
    let found = Displaced::of(read.image_plane_error, read.standard_error);
    let mut out = vec![
        format!("{}.", words::meaning(read.verdict)),
        format!(
            "{EITHER_WAY}. One standard error is {} mm. Tolerated at {}, half the depth of focus: \
             {} mm either way.",
            found.one_standard_error(),
            read.tolerated_at,
            tolerated_in_mm(read.tolerated_error)
        ),
        own(read),
    ];
    out.extend(camera(answer));
    for at in &read.by_stop {
        let found = Displaced::of(at.image_plane_error, at.standard_error);
        out.push(format!("At {}: {}.", at.stop, found.in_words()));
    }
    out.push(scatter(read));
    if let Some(settle) = &read.settle {
        out.push(format!("Undecided: {}.", settle.in_words(unit)));
    }
    let serial = lens.serial().map(|serial| format!("no. {serial}"));
    let who = [Some(read.label.clone()), serial];
    PrepHead {
        who: who.into_iter().flatten().collect(),
        found: Some(found),
        tolerated: read.tolerated_error,
        verdict: words::of_lens(read.verdict).to_uppercase(),
        words: out,
    }
}

/// The lens's share.
fn own(read: &PrepLens) -> String {
    let own = Displaced::known(read.own_error, read.own_standard_error);
    match own.zip(read.own_verdict) {
        Some((own, verdict)) => format!(
            "The lens's own share: {}: {}.",
            own.in_words(),
            words::of_lens(verdict)
        ),
        None => "The lens's own share cannot be told from the camera's.".into(),
    }
}

/// The camera's share.
fn camera(answer: &PrepAnswer) -> Option<String> {
    let camera = &answer.camera;
    let found = Displaced::known(camera.image_plane_error, camera.standard_error)?;
    let name = camera.name.as_ref();
    let name = name.map_or_else(|| "The camera's".into(), |name| format!("Camera {name}'s"));
    Some(format!(
        "{name}: {}, judged on {} lenses.",
        found.in_words(),
        camera.judged_on
    ))
}

fn scatter(read: &PrepLens) -> String {
    let aside = read.points.iter().filter(|point| point.suspect).count();
    let aside = match aside {
        0 => String::new(),
        some => format!(", {some} of {} set aside", read.points.len()),
    };
    let scatter = read.reduced_chi_square.map_or_else(String::new, |ratio| {
        format!(
            ": scatter {:.1}, where 1 is what was declared",
            ratio.value()
        )
    });
    format!(
        "Chi-square {:.1} over {} degrees of freedom{aside}{scatter}.",
        read.chi_square.value(),
        read.degrees_of_freedom
    )
}

fn reading(point: &PrepPoint, rows: &[PrepRow], (unit, own_unit): (Unit, Unit)) -> PrepReading {
    let row = rows.iter().find(|row| row.line == point.line);
    let taken: Vec<String> = match row.map(|row| &row.reading) {
        Some(Reading::Scale(distances)) => distances
            .iter()
            .map(|distance| show::as_meant(distance.reach(), own_unit))
            .collect(),
        Some(Reading::Turn(turns)) => turns
            .iter()
            .map(|turn| format!("{:.2}°", turn.to_deg()).replace('-', "−"))
            .collect(),
        None => Vec::new(),
    };
    let left_out = taken.len() > point.settings;
    PrepReading {
        line: point.line.to_string(),
        taped: show::as_meant(point.taped.reach(), unit),
        stop: point.stop.clone(),
        residual: format!("{}°", tenths_of_degree(point.residual.to_deg())),
        in_sd: tenths_of_degree(point.residual_in_sd.value()),
        may_be_off: [
            format!("{:.2}°", point.ring_sd.to_deg()),
            match point.taped.reach() {
                Reach::At(_) => format!("{} mm", libm::round(point.tape_sd.to_mm() * 10.0) / 10.0),
                Reach::Infinity => "–".into(),
            },
        ],
        note: match (point.suspect, left_out) {
            (true, _) => "set aside: misread?",
            (false, true) => "one setting left out",
            (false, false) => "",
        },
        taken,
    }
}

fn mark(told: &MarkTold, unit: Unit) -> PrepMark {
    let place = |distance: FocusDistance| {
        show::to_set_by(distance.reach(), Reach::Infinity, unit, Round::Nearest)
    };
    PrepMark {
        engraved: show::as_meant(told.mark.reach(), unit),
        really: told.real_focus.map_or("beyond ∞".into(), place),
        blur: format!("{:.3}", told.blur.abs().to_mm()),
        shows: if told.shows { "shows" } else { "does not show" },
        no_longer: told
            .no_longer_shows_at
            .clone()
            .unwrap_or("never shows".into()),
    }
}

/// What the answer rests on as a whole, and what is taken of this lens.
fn rests_on(answer: &PrepAnswer, read: &PrepLens) -> Vec<String> {
    let lenses = answer.lenses.iter();
    let of_lenses: Vec<&str> = lenses
        .flat_map(|lens| lens.assumptions.iter().map(|note| note.kind))
        .collect();
    let of_all = answer.assumptions.iter();
    let of_all = of_all.filter(|note| !of_lenses.contains(&note.kind));
    of_all
        .chain(&read.assumptions)
        .map(|note| format!("· {}", note.message))
        .collect()
}
