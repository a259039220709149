//! A kit: cameras, lenses with their marks, and what goes with them.

use super::follow::{Follow, Front, HandUnit};
use super::frame::Frame;
use super::lens::Lens;
use super::marks::Marks;
use super::paperwork::{PrepRow, ShotRow};
use super::ring::Sides;
use crate::optics::CircleRule;
use crate::units::{Length, Stop, Unit};

/// A camera: what it records and how sharp it must be.
#[derive(Clone, Debug, PartialEq)]
pub struct Camera {
    /// `A`, `B` …; `None` for the only camera of a kit.
    pub name: Option<String>,
    /// What it records, the extraction applied to the picture.
    pub frame: Frame,
    /// How far the tape hook sits beside the axis; zero or more.
    pub hook_offset: Length,
    /// The circle, if one was chosen.
    pub circle: Option<CircleRule>,
    /// The stop the shoot works at, if one was said.
    pub working_stop: Option<Stop>,
    /// Its serial number.
    pub serial: Option<String>,
}

impl Camera {
    /// The stop a lens works at on this camera: the working stop, but for a lens
    /// that does not open so far its widest.
    #[must_use]
    pub fn stop_for(&self, lens: &Lens) -> Stop {
        let opens = |stop: &Stop| lens.opens_to(*stop);
        self.working_stop.filter(opens).unwrap_or(lens.widest())
    }
}

/// How sheets are to be printed.
#[derive(Clone, Debug, PartialEq)]
pub struct PrintPrefs {
    /// The paper, `a4` unless said.
    pub paper: String,
    /// From which side of the camera tapes are read; left unless said.
    pub side: Sides,
    /// What the page's 100 mm rulers measured: horizontal, vertical; each 90 to
    /// 110 mm.
    pub printed_100mm: [Length; 2],
}

impl Default for PrintPrefs {
    fn default() -> Self {
        Self {
            paper: "a4".into(),
            side: Sides::Left,
            printed_100mm: [Length::mm(100.0); 2],
        }
    }
}

/// Everything a kit's files say.
#[derive(Clone, Debug, PartialEq)]
pub struct Kit {
    /// Printed on every sheet.
    pub title: String,
    /// The unit of output.
    pub units: Unit,
    /// When it was prepared, printed as is.
    pub prepared: Option<String>,
    /// At least one camera, in the order of the file.
    pub cameras: Vec<Camera>,
    /// The follow focus.
    pub follow: Option<Follow>,
    /// Hand units.
    pub hand_units: Vec<HandUnit>,
    /// What stands in front of lenses.
    pub front: Option<Front>,
    /// How sheets are printed.
    pub print: PrintPrefs,
    /// Lenses in the order of the file, with their marks.
    pub lenses: Vec<(Lens, Option<Marks>)>,
    /// Prep-day readings, in the order of the file.
    pub prep: Vec<PrepRow>,
    /// The day's cues, in the order of the file.
    pub shots: Vec<ShotRow>,
}

impl Kit {
    /// The lens of an id, with its marks; small and capital letters are alike.
    #[must_use]
    pub fn lens(&self, id: &str) -> Option<&(Lens, Option<Marks>)> {
        let same = |lens: &&(Lens, Option<Marks>)| {
            lens.0.id().as_str().to_lowercase() == id.trim().to_lowercase()
        };
        self.lenses.iter().find(same)
    }

    /// The camera of a name, or the first.
    #[must_use]
    pub fn camera(&self, name: Option<&str>) -> Option<&Camera> {
        match name {
            None => self.cameras.first(),
            Some(_) => self
                .cameras
                .iter()
                .find(|camera| camera.name.as_deref() == name),
        }
    }
}
