//! The form one fills in at the chart on prep day.

use super::code::Code;
use crate::answers::{PlannedLens, PrepPlan};
use crate::gear::Kit;

/// A form: what to read, with room for the readings.
#[derive(Clone, Debug, PartialEq)]
pub struct PrepForm {
    /// What the production is called.
    pub production: String,
    /// The camera with its number, as `camera A · no. 7`; room to write them
    /// where neither is known.
    pub camera: String,
    /// When the kit was prepared, else a blank is left.
    pub prepared: Option<String>,
    /// How many settings are made at each chart.
    pub settings_each: usize,
    /// What to read, a lens at a time.
    pub lenses: Vec<LensToRead>,
    /// Words below: a title and its lines.
    pub notes: Vec<(&'static str, Vec<String>)>,
    /// What it was made from.
    pub code: Code,
}

/// A lens on the form.
#[derive(Clone, Debug, PartialEq)]
pub struct LensToRead {
    /// What it is called.
    pub label: String,
    /// Its number, as `no. 4`; empty where it is not known.
    pub serial: String,
    /// The stop it is read at.
    pub stop: String,
    /// Where the chart stands, the most telling place first.
    pub charts: Vec<ChartAt>,
    /// What stands in place of charts that decide nothing.
    pub instead: Option<String>,
}

/// One place for the chart.
#[derive(Clone, Debug, PartialEq)]
pub struct ChartAt {
    /// The distance, as one tapes it.
    pub taped: String,
    /// When it is wanted; empty where always.
    pub wanted: &'static str,
}

impl PrepForm {
    /// The form of a plan.
    #[must_use]
    pub fn new(kit: &Kit, plan: &PrepPlan) -> Self {
        let parts = [
            plan.camera.as_ref().map(|name| format!("camera {name}")),
            plan.serial.as_ref().map(|serial| format!("no. {serial}")),
        ];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        let notes = [
            ("how to read", plan.how.clone()),
            ("when to stop", plan.stop_when.clone()),
            ("care", care()),
        ];
        let notes = notes.into_iter().filter(|(_, lines)| !lines.is_empty());
        let mut form = Self {
            production: kit.title.clone(),
            camera: if parts.is_empty() {
                "camera ________________  no. ________".into()
            } else {
                parts.join(" · ")
            },
            prepared: kit.prepared.clone(),
            settings_each: plan.settings_each,
            lenses: plan.lenses.iter().map(lens).collect(),
            notes: notes.collect(),
            code: Code::of(""),
        };
        form.code = Code::of(&format!("{form:?}"));
        form
    }

    /// What it is called.
    #[must_use]
    pub const fn title(&self) -> &'static str {
        "Prep day: readings"
    }

    /// What is written in by hand below the readings.
    #[must_use]
    pub const fn blanks(&self) -> &'static str {
        "tape ____________  hook beside the axis ________ mm  temperature ________  read by \
         ____________________"
    }
}

fn lens(planned: &PlannedLens) -> LensToRead {
    let instead = planned.why_not().map(|why| format!("collimator: {why}"));
    let charts = planned.readings.iter().map(|reading| ChartAt {
        taped: reading.taped_as.clone(),
        wanted: if reading.if_undecided {
            "only if undecided"
        } else {
            ""
        },
    });
    let serial = planned.serial.as_ref();
    LensToRead {
        label: planned.label.clone(),
        serial: serial.map_or(String::new(), |serial| format!("no. {serial}")),
        stop: planned.stop.clone(),
        charts: charts.collect(),
        instead,
    }
}

/// What can go wrong at the chart.
fn care() -> Vec<String> {
    vec![
        "a laser finder reads from its own edge, not from the ⌀ mark; never aim it at eyes, mirrors \
         or a finder somebody looks through, and cap the lens"
            .into(),
        "no tape left stretched across the floor".into(),
        "what is found goes to the rental house's technician; nobody else opens a mount".into(),
    ]
}
