//! The plan of a prep day: where the chart stands for each lens.

use super::day::{about_sharpness, tolerated, worked_at};
use super::fault::NoPrep;
use super::unit_or;
use crate::gear::{Assumption, Camera, Focal, Kit, Lens, LensId, Marks, Wanted};
use crate::scale::prep::{NotByEye, SETTINGS_EACH, plan_for};
use crate::units::{FocusDistance, Length, Unit, show};

/// What to read of a set of lenses on one camera.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct PrepPlan {
    /// The camera, where it has a name.
    pub camera: Option<String>,
    /// Its serial number, where known.
    pub serial: Option<String>,
    /// How many settings are made at each chart.
    pub settings_each: usize,
    /// One a lens, in the order of the kit.
    pub lenses: Vec<PlannedLens>,
    /// How to read, and when it is enough.
    pub how: Vec<String>,
    /// When to stop.
    pub stop_when: Vec<String>,
    /// What the plan rests on that nobody said.
    pub assumptions: Vec<Assumption>,
}

/// What to read of one lens.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct PlannedLens {
    /// What it is called in files.
    pub id: String,
    /// What sheets call it.
    pub label: String,
    /// Its serial number, where known.
    pub serial: Option<String>,
    /// `chart`, or `collimator` where no reading by eye decides anything.
    pub by: &'static str,
    /// Why no chart decides: `too_wide` or `tape_too_coarse`.
    pub because: Option<&'static str>,
    /// The stop to read at: the widest, where focus is sharpest.
    pub stop: String,
    /// The image-plane error that is tolerated.
    #[cfg_attr(feature = "serde", serde(rename = "tolerated_error_mm"))]
    pub tolerated_error: Length,
    /// The stop that is for.
    pub tolerated_at: String,
    /// The readings, the most telling first.
    pub readings: Vec<Planned>,
}

/// One place for the chart.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Planned {
    /// From the image plane.
    #[cfg_attr(feature = "serde", serde(rename = "taped_mm"))]
    pub taped: FocusDistance,
    /// The same as one tapes it.
    pub taped_as: String,
    /// What the image-plane error is known to, with this reading and all before.
    #[cfg_attr(feature = "serde", serde(rename = "standard_error_mm"))]
    pub standard_error: Length,
    /// Whether it is only wanted where those before it leave the lens undecided.
    pub if_undecided: bool,
}

/// One line of a form for prep.csv: everything but the reading.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct PlannedRow {
    /// The lens.
    pub lens: String,
    /// The stop.
    pub stop: String,
    /// The distance.
    pub taped: String,
    /// To be filled in.
    pub reading: &'static str,
    /// The camera, where it has a name.
    pub camera: String,
    /// When it is wanted.
    pub note: &'static str,
}

impl PlannedLens {
    /// Why no chart decides, in words; `None` where one does.
    #[must_use]
    pub fn why_not(&self) -> Option<&'static str> {
        Some(match self.because? {
            "too_wide" => "too wide to be judged by eye",
            _ => "a tape is too coarse for what is tolerated",
        })
    }
}

impl PrepPlan {
    /// The plan as lines of prep.csv whose readings are still empty.
    #[must_use]
    pub fn rows(&self) -> Vec<PlannedRow> {
        let of = |lens: &PlannedLens| {
            let row = |planned: &Planned| PlannedRow {
                lens: lens.id.clone(),
                stop: lens.stop.clone(),
                taped: planned.taped_as.clone(),
                reading: "",
                camera: self.camera.clone().unwrap_or_default(),
                note: if planned.if_undecided {
                    "only if undecided"
                } else {
                    ""
                },
            };
            lens.readings.iter().map(row).collect::<Vec<_>>()
        };
        self.lenses.iter().flat_map(of).collect()
    }
}

/// The plan for a kit's lenses, or for `only` these where any are named, on a
/// camera; distances in the unit of each lens's own scale, else in `unit`.
///
/// # Errors
/// Every [`NoPrep`] there is.
pub fn prep_plan(
    kit: &Kit,
    camera: &Camera,
    only: &[LensId],
    unit: Unit,
) -> Result<PrepPlan, Vec<NoPrep>> {
    let mut faults = Vec::new();
    let mut lenses = Vec::new();
    let mut assumptions: Vec<Assumption> = Vec::new();
    let wanted = |lens: &Lens| only.is_empty() || only.contains(lens.id());
    for (lens, marks) in kit.lenses.iter().filter(|(lens, _)| wanted(lens)) {
        match planned(camera, (lens, marks.as_ref()), unit) {
            Ok((planned, notes)) => {
                lenses.push(planned);
                for note in notes {
                    if !assumptions.contains(&note) {
                        assumptions.push(note);
                    }
                }
            }
            Err(fault) => faults.push(fault),
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    assumptions.push(Assumption::new(
        "errors_assumed",
        "a tape may be off 5 mm under 1 m, 10 mm to 2 m and 25 mm beyond, its zero 3 mm; one \
         setting of the ring 0.3° and a third of what the eye takes to see blur",
    ));
    let lenses_by_chart = lenses.iter().any(|lens: &PlannedLens| lens.by == "chart");
    Ok(PrepPlan {
        camera: camera.name.clone(),
        serial: camera.serial.clone(),
        settings_each: SETTINGS_EACH,
        how: how(unit),
        stop_when: if lenses_by_chart {
            stop_when()
        } else {
            Vec::new()
        },
        lenses,
        assumptions,
    })
}

fn planned(
    camera: &Camera,
    (lens, marks): (&Lens, Option<&Marks>),
    unit: Unit,
) -> Result<(PlannedLens, Vec<Assumption>), NoPrep> {
    let no_depth = |why| NoPrep::Sharpness {
        lens: lens.id().clone(),
        why,
    };
    let working = worked_at(camera, lens);
    let widest = Wanted {
        stop: Some(lens.widest()),
        ..working.clone()
    };
    let working = working.depth_setup(&mut ()).map_err(no_depth)?;
    let widest = widest.depth_setup(&mut ()).map_err(no_depth)?;
    let allowed = tolerated(&working, &mut ());
    let (n, circle) = (widest.exposure.f_number, widest.circle.circle);
    let plan = plan_for(lens, marks, camera.name.as_deref(), (n, circle), allowed);
    let plan = plan.map_err(|why| NoPrep::Law {
        lens: lens.id().clone(),
        why,
    })?;
    let unit = unit_or(lens.engraved(), unit);
    let (because, places) = match plan {
        Ok(places) => (None, places),
        Err(why) => (Some(NotByEye::name(why)), Vec::new()),
    };
    let readings = places.into_iter().map(|place| Planned {
        taped: place.taped,
        taped_as: show::exact_distance(place.taped, unit),
        standard_error: place.standard_error,
        if_undecided: place.if_undecided,
    });
    let mut notes: Vec<Assumption> = about_sharpness(&working).cloned().collect();
    if matches!(lens.focal(), Focal::Zoom { .. }) {
        notes.push(Assumption::new(
            "zoom_at_its_longest",
            format!(
                "lens {}: a zoom is read at its longest focal length",
                lens.id()
            ),
        ));
    }
    let planned = PlannedLens {
        id: lens.id().as_str().to_owned(),
        label: lens.label().to_owned(),
        serial: lens.serial().map(str::to_owned),
        by: if because.is_some() {
            "collimator"
        } else {
            "chart"
        },
        because,
        stop: lens.widest().to_string(),
        tolerated_error: allowed,
        tolerated_at: working.exposure.stop.to_string(),
        readings: readings.collect(),
    };
    Ok((planned, notes))
}

fn how(unit: Unit) -> Vec<String> {
    let nearest = match unit {
        Unit::Feet => "quarter inch under 3 feet, half inch to 6 feet, inch beyond",
        Unit::Metres => "5 mm under 1 m, centimetre to 2 m, 2 cm beyond",
    };
    vec![
        "the camera's mount depth first, by the rental house: a body that is off makes every lens \
         look off"
            .into(),
        format!(
            "chart square to the axis; tape from the ⌀ mark (image plane) to the chart, to the \
             {nearest}"
        ),
        "wide open; set focus by eye three times, coming from both sides in turn, and write what \
         the lens's own scale says each time"
            .into(),
    ]
}

fn stop_when() -> Vec<String> {
    vec![
        "a lens is done when `prep` calls it true or shifted after its first two charts; take the \
         third only where it is undecided"
            .into(),
        "still undecided after that: collimator, or the rental house's technician; more readings \
         of the same kind help little"
            .into(),
        "the camera is done when `prep` calls it true or off: two lenses read at 1 m or beyond at \
         the least"
            .into(),
        "if the first two lenses are off the same way, stop and see the technician about the \
         camera before reading the rest"
            .into(),
    ]
}
