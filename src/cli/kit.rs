//! The kit the command works on: opened once, its faults told together.

use std::cell::OnceCell;
use std::path::{Path, PathBuf};
use std::rc::Rc;

use super::args::{As, Output, SetupArgs};
use super::fail;
use super::wish::{Basis, Reader};
use super::world;
use crate::answers::{PrepFound, Unanswerable};
use crate::data::put::Change;
use crate::data::{self, Fault, Kind, no_camera};
use crate::gear::{Assumption, Camera, Kit, Lens, Marks, NotAFocal};
use crate::scale::{LensLaw, NoLaw};
use crate::units::{FocusDistance, Length, parse, range};

/// So many warnings of a kit are told beside an answer.
const MOST_WARNINGS: usize = 4;

/// A kit that was read, and the camera asked for.
pub(super) struct Opened {
    /// The kit.
    pub kit: Kit,
    camera: Option<String>,
    /// What prep day found on the camera asked for.
    found: OnceCell<Option<Rc<PrepFound>>>,
}

/// Tells the warnings of a kit beside an answer.
pub(super) fn tell(warnings: &[Fault], output: &Output) {
    if output.form == As::Json || output.quiet {
        return;
    }
    // More than a handful is told by the command that is for it.
    if warnings.len() > MOST_WARNINGS {
        let many = format!(
            "{} warnings about this kit: `markwright check` tells them\n",
            warnings.len()
        );
        world::remark(&many, output.color);
        return;
    }
    for warning in warnings {
        world::remark(&fail::in_words(warning), output.color);
    }
}

/// The kit asked for, else the one in the current folder, else none.
pub(super) fn open(output: &Output) -> Result<Option<Opened>, Vec<Fault>> {
    let Some(folder) = output.kit.clone().or_else(world::kit_here) else {
        return match &output.camera {
            None => Ok(None),
            Some(_) => Err(vec![
                Fault::new(
                    Kind::Usage,
                    "--camera names a camera of a kit, and there is none",
                )
                .at_flag("--camera"),
            ]),
        };
    };
    open_folder(&folder, output).map(Some)
}

/// Reads the kit in a folder, with its warnings; a folder without one is one
/// fault, not one for each file it lacks.
pub(super) fn read(folder: &Path) -> Result<(Kit, Vec<Fault>), Vec<Fault>> {
    is_one(folder).map_err(|fault| vec![fault])?;
    data::kit::read(&world::Folder::new(folder))
}

/// Refuses a folder without a kit.
pub(super) fn is_one(folder: &Path) -> Result<(), Fault> {
    if world::is_there(&folder.join("kit.toml")) {
        return Ok(());
    }
    let message = format!(
        "there is no kit in {}: kit.toml is missing",
        folder.display()
    );
    Err(Fault::new(Kind::Missing, message)
        .with_help("name its folder with --kit DIR, or make one with `markwright new DIR`"))
}

/// The folder of a kit that a command writes into: the one asked for, else the
/// current one.
pub(super) fn to_write_in(asked: Option<&PathBuf>, command: &str) -> Result<PathBuf, Fault> {
    let Some(folder) = asked.cloned().or_else(world::kit_here) else {
        let message = format!("{command} writes into a kit, and there is none");
        return Err(Fault::new(Kind::Missing, message)
            .at_flag("--kit")
            .with_help(
                "add --kit DIR, or run where a kit.toml is; `markwright new DIR` makes one",
            ));
    };
    is_one(&folder)?;
    Ok(folder)
}

/// Writes what a kit's files are to become; where one cannot be written, all are
/// as they were.
pub(super) fn write(folder: &Path, changes: Vec<Change>) -> Result<(), Fault> {
    let kept = changes.into_iter().map(|change| {
        let file = world::Kept::new(folder.join(&change.file), change.before)?;
        Ok((file, change.after))
    });
    world::write_kept(kept.collect::<Result<_, Fault>>()?)
}

/// The kit in a folder.
pub(super) fn open_folder(folder: &Path, output: &Output) -> Result<Opened, Vec<Fault>> {
    let (kit, warnings) = read(folder)?;
    tell(&warnings, output);
    let opened = Opened {
        kit,
        camera: output.camera.clone(),
        found: OnceCell::new(),
    };
    if opened.camera().is_none() {
        let name = output.camera.as_deref().unwrap_or("");
        return Err(vec![no_camera(&opened.kit, name)]);
    }
    Ok(opened)
}

/// The kit as [`open`] has it, the lenses asked for standing at the focal length
/// asked for.
pub(super) fn open_for(output: &Output, setup: &SetupArgs) -> Result<Option<Opened>, Vec<Fault>> {
    let mut opened = open(output)?;
    // What cannot be read as a focal length is told with all else that is typed.
    let focal = setup.focal.as_ref();
    let focal = focal.and_then(|text| parse::length(text, &range::FOCAL_LENGTH).ok());
    if let (Some(opened), Some(focal)) = (&mut opened, focal) {
        let stand = |id: &String| opened.stand_at(id, focal).err();
        let faults: Vec<Fault> = setup.lens.iter().filter_map(stand).collect();
        if !faults.is_empty() {
            return Err(faults);
        }
    }
    Ok(opened)
}

impl Opened {
    /// Lets a zoom of the kit stand at a focal length; an id nobody has is told
    /// elsewhere.
    fn stand_at(&mut self, id: &str, focal: Length) -> Result<(), Fault> {
        let known = self.kit.lens(id).map(|(lens, _)| lens.id().clone());
        let lenses = self.kit.lenses.iter_mut();
        let mut found = lenses.filter(|(lens, _)| Some(lens.id()) == known.as_ref());
        let Some((lens, _)) = found.next() else {
            return Ok(());
        };
        match lens.at_focal(focal) {
            Ok(there) => {
                *lens = there;
                Ok(())
            }
            Err(reason) => Err(not_a_focal(lens, focal, reason)),
        }
    }

    /// The camera asked for, else the first.
    pub fn camera(&self) -> Option<&Camera> {
        self.kit.camera(self.camera.as_deref())
    }

    /// What stands before anything is typed.
    pub fn basis(&self, lens: Option<&Lens>) -> Basis {
        let camera = self.camera();
        let working = camera.and_then(|camera| camera.working_stop);
        // A stop wider than the lens opens is not worked at.
        let wider = working.filter(|&stop| lens.is_some_and(|lens| !lens.opens_to(stop)));
        let widest = lens.map(Lens::widest);
        Basis {
            unit: Some(self.kit.units),
            frame: camera.map(|camera| camera.frame.clone()),
            circle: camera.and_then(|camera| camera.circle),
            stop: match (camera, lens) {
                (Some(camera), Some(lens)) => Some(camera.stop_for(lens)),
                (Some(camera), None) => camera.working_stop,
                (None, lens) => lens.map(Lens::widest),
            },
            lens: lens.map(Lens::figures),
            fitted: lens.map(Lens::fitted).unwrap_or_default(),
            stop_kind: lens.map(Lens::stop_kind),
            own: lens.cloned(),
            stop_note: wider.zip(widest).map(|(stop, widest)| {
                let message = format!(
                    "the kit's working stop {stop} is wider than this lens opens: {widest} is \
                     taken"
                );
                Assumption::new("wider_than_lens", message)
            }),
            camera_note: self.camera_assumed(),
        }
    }

    /// What is to be said where nobody chose among several cameras.
    pub fn camera_assumed(&self) -> Option<Assumption> {
        let name = self.camera()?.name.as_deref()?;
        match self.camera {
            Some(_) => None,
            None => data::camera_assumed(&self.kit, name),
        }
    }

    /// The name of the camera asked for, where it has one.
    pub fn camera_name(&self) -> Option<&str> {
        self.camera()?.name.as_deref()
    }

    /// What prep day found on the camera asked for.
    pub fn found(&self) -> Option<Rc<PrepFound>> {
        let found = || PrepFound::of(&self.kit, self.camera_name()).map(Rc::new);
        self.found.get_or_init(found).clone()
    }

    /// The law of a lens of the kit on the camera asked for, as [`law`];
    /// corrected by what prep day found there unless the ring's own scale is
    /// wanted.
    pub fn law<'a>(
        &self,
        lens: &Lens,
        marks: Option<&'a Marks>,
        corrected: bool,
    ) -> Result<(LensLaw<'a>, Vec<Assumption>), NoLaw> {
        let found = self.found().filter(|_| corrected);
        law(lens, marks, self.camera_name(), found.as_deref())
    }

    /// The lenses of these ids; an id nobody has is a fault.
    pub fn lenses(&self, ids: &[String], reader: &mut Reader) -> Vec<&(Lens, Option<Marks>)> {
        ids.iter().filter_map(|id| self.lens(id, reader)).collect()
    }

    fn lens(&self, id: &str, reader: &mut Reader) -> Option<&(Lens, Option<Marks>)> {
        let found = self.kit.lens(id);
        if found.is_none() {
            let fault = data::no_such_lens(&self.kit, id);
            reader.faults.push(fault.at_flag("--lens"));
        }
        found
    }

    /// The one lens asked for; several are a fault.
    pub fn one_lens(&self, ids: &[String], reader: &mut Reader) -> Option<&(Lens, Option<Marks>)> {
        match ids {
            [] => None,
            [id] => self.lens(id, reader),
            _ => {
                reader
                    .faults
                    .push(Fault::new(Kind::Usage, "one lens at a time, please").at_flag("--lens"));
                None
            }
        }
    }
}

/// The refusal of a focal length a lens does not have.
fn not_a_focal(lens: &Lens, focal: Length, reason: NotAFocal) -> Fault {
    let message = format!("lens {} at {} mm: {reason}", lens.id(), focal.to_mm());
    let (kind, help, nearest) = match reason {
        NotAFocal::Prime(only) => (Kind::Usage, "leave out --focal", only),
        NotAFocal::Outside { wide, long } => (
            Kind::OutOfRange,
            "choose a focal length it has",
            focal.max(wide).min(long),
        ),
    };
    let fault = Fault::new(kind, message).at_flag("--focal").with_help(help);
    Fault {
        nearest: Some(nearest.to_mm()),
        ..fault
    }
}

/// The law of a lens on a camera, corrected by what was found there, and what is
/// to be said of that and of marks that were taken on another.
pub(super) fn law<'a>(
    lens: &Lens,
    marks: Option<&'a Marks>,
    camera: Option<&str>,
    found: Option<&PrepFound>,
) -> Result<(LensLaw<'a>, Vec<Assumption>), NoLaw> {
    let law = LensLaw::of(lens, marks, camera)?;
    let note = law.of_another_camera(camera).map(|other| {
        let this = match camera {
            Some(camera) => format!("not on camera {camera}"),
            None => "and the kit's camera has no name".to_owned(),
        };
        let message = format!(
            "the marks of lens {} were taken on camera {other}, {this}: verify by eye",
            lens.id()
        );
        Assumption::new("marks_of_another_camera", message)
    });
    let (law, corrected) = match found {
        Some(found) => found.on_camera(lens, law, camera),
        None => (law, None),
    };
    Ok((law, note.into_iter().chain(corrected).collect()))
}

/// Refuses distances nearer than a lens goes.
pub(super) fn within_reach(lens: &Lens, at: &[FocusDistance]) -> Result<(), Vec<Fault>> {
    let close_focus = lens.close_focus();
    let inside: Vec<Fault> = at
        .iter()
        .filter(|distance| distance.is_nearer_than(close_focus))
        .map(|&asked| Unanswerable::InsideCloseFocus { asked, close_focus }.into())
        .collect();
    if inside.is_empty() {
        Ok(())
    } else {
        Err(inside)
    }
}
