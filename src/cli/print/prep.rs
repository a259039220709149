//! The report of a prep day.

use super::Prefs;
use super::jobs::Made;
use crate::answers::{self, PrepAnswer};
use crate::cli::args::{PrintArgs, What};
use crate::cli::kit::Opened;
use crate::cli::prep::faults;
use crate::cli::wish::Reader;
use crate::data::{Fault, Kind};
use crate::draw::prep_report::{draw_lens, draw_set};
use crate::gear::{Assumption, Kit, LensId};
use crate::scene::Page;
use crate::sheets::{PrepLensSheet, PrepSetSheet};
use crate::units::Unit;

/// What was asked of a report.
pub(super) struct Asked<'a> {
    kit: &'a Kit,
    camera: Option<String>,
    lenses: Vec<LensId>,
    unit: Unit,
}

/// Reads what was asked: a report rests on the kit alone, so options of the setup
/// are a fault where nothing else is printed.
pub(super) fn asked<'a>(
    args: &PrintArgs,
    what: &[What],
    opened: Option<&'a Opened>,
    reader: &mut Reader,
) -> Option<Asked<'a>> {
    let setup = &args.setup;
    let flags = [
        ("--focal", setup.focal.is_some()),
        ("--stop", setup.stop.is_some()),
        ("--circle", setup.circle.is_some()),
        ("--format", setup.format.is_some()),
        ("--extraction", setup.extraction.is_some()),
        ("--transmittance", setup.transmittance.is_some()),
    ];
    if what.iter().all(|what| *what == What::Prep) {
        for (flag, _) in flags.iter().filter(|(_, given)| *given) {
            let message = format!("{flag} is for other sheets: a prep report rests on the kit");
            let fault = Fault::new(Kind::Usage, message).at_flag(flag);
            let help = "write it into kit.toml or lenses.csv, or leave it out";
            reader.faults.push(fault.with_help(help));
        }
    }
    let Some(opened) = opened else {
        let message = "a prep report is made of prep.csv of a kit, and there is none";
        let fault = Fault::new(Kind::Missing, message).at_flag("--kit");
        reader.faults.push(fault.with_help("add --kit DIR"));
        return None;
    };
    let lenses = opened.lenses(&setup.lens, reader);
    Some(Asked {
        kit: &opened.kit,
        camera: args.output.camera.clone(),
        lenses: lenses.iter().map(|(lens, _)| lens.id().clone()).collect(),
        unit: reader.unit.unwrap_or(opened.kit.units),
    })
}

impl<'a> Asked<'a> {
    /// What the readings say, of the camera asked for and of every other.
    pub(super) fn reports(self) -> Result<Reports<'a>, Vec<Fault>> {
        let of = |camera: Option<&str>| answers::prep(self.kit, camera, &[], &mut ());
        let this = of(self.camera.as_deref()).map_err(faults)?;
        let names = this.other_cameras.iter();
        let names = names.map(|other| other.camera.name.as_deref());
        let others = names.map(of).collect::<Result<Vec<_>, _>>();
        let others = others.map_err(faults)?;
        let is_read = |id: &LensId| this.lenses.iter().any(|lens| lens.id == id.as_str());
        let unread = self.lenses.iter().filter(|id| !is_read(id));
        let unread: Vec<answers::NoPrep> = unread.cloned().map(answers::NoPrep::NotRead).collect();
        if !unread.is_empty() {
            return Err(faults(unread));
        }
        Ok(Reports {
            asked: self,
            this,
            others,
        })
    }
}

/// What the readings say, camera by camera.
pub(super) struct Reports<'a> {
    asked: Asked<'a>,
    this: PrepAnswer,
    others: Vec<PrepAnswer>,
}

impl Reports<'_> {
    /// The sheet of the camera, of every other, then of each lens on the first.
    pub(super) fn draw(
        &self,
        prefs: &Prefs,
        made: &mut Vec<Made>,
    ) -> Result<Vec<Page>, Vec<Fault>> {
        let Asked {
            kit, lenses, unit, ..
        } = &self.asked;
        let mut pages = Vec::new();
        let fault = |none| vec![Fault::from(none)];
        for answer in core::iter::once(&self.this).chain(&self.others) {
            let sheet = PrepSetSheet::of(answer, kit);
            pages.extend(draw_set(&sheet, &prefs.paper).map_err(fault)?);
            made.push(Made::of("prep", None, sheet.code));
        }
        let asked_for = |id: &str| lenses.is_empty() || lenses.iter().any(|own| own.as_str() == id);
        for lens in self.this.lenses.iter().filter(|lens| asked_for(&lens.id)) {
            let Some(sheet) = PrepLensSheet::of(&self.this, lens, kit, *unit) else {
                continue;
            };
            pages.extend(draw_lens(&sheet, &prefs.paper).map_err(fault)?);
            made.push(Made::of("prep", Some(&lens.id), sheet.code));
        }
        Ok(pages)
    }

    /// What they rest on that nobody said.
    pub(super) fn assumptions(&self) -> Vec<Assumption> {
        let mut out = self.this.assumptions.clone();
        let others: Vec<&str> = self
            .others
            .iter()
            .filter_map(|other| other.camera.name.as_deref())
            .collect();
        if let (Some(name), None, false) = (
            &self.this.camera.name,
            &self.asked.camera,
            others.is_empty(),
        ) {
            out.push(Assumption::new(
                "lenses_on_first_camera",
                format!(
                    "pages of lenses are as read on camera {name}, the first with readings: choose \
                     another with --camera {}",
                    others.join(" or --camera ")
                ),
            ));
        }
        out
    }
}
