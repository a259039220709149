//! What prep day found, for what is made from it: rings, racks and tapes.

use super::day::{Day, between, read_on};
use super::{BetweenCameras, displacement_figures, displacement_in_words};
use crate::gear::{Assumption, Kit, Lens, LensId};
use crate::scale::LensLaw;
use crate::scale::prep::{Displacement, LensVerdict};
use crate::units::Length;

/// What was found on one camera.
#[derive(Clone, Debug, PartialEq)]
pub struct PrepFound {
    lenses: Vec<LensFound>,
    /// How far the image planes of other cameras lie from this one's.
    pub between_cameras: Vec<BetweenCameras>,
}

/// What was found of one lens as read on the camera.
#[derive(Clone, Debug, PartialEq)]
struct LensFound {
    lens: LensId,
    verdict: LensVerdict,
    as_read: Displacement,
}

impl PrepFound {
    /// What the readings of a kit say on a camera; `None` where none were taken
    /// on it, or where they cannot be judged, which `prep` tells.
    #[must_use]
    pub fn of(kit: &Kit, camera: Option<&str>) -> Option<Self> {
        let days = read_on(kit);
        let (here, others): (Vec<Day<'_>>, Vec<Day<'_>>) = days
            .into_iter()
            .filter_map(Result::ok)
            .partition(|day| day.name() == camera);
        let this = here.first()?;
        let judged = this.judged().lenses.iter();
        let lenses = this.lenses().zip(judged).map(|(lens, judged)| LensFound {
            lens: lens.id().clone(),
            verdict: judged.verdict,
            as_read: judged.as_read,
        });
        Some(Self {
            lenses: lenses.collect(),
            between_cameras: others.iter().map(|other| between(this, other)).collect(),
        })
    }

    /// The law of a lens as it is on the camera: where its scale was judged to be
    /// shifted, corrected by what was found; and what is to be said of that.
    ///
    /// A zoom that stands elsewhere than where it was judged is left as it is.
    #[must_use]
    pub fn on_camera<'a>(
        &self,
        lens: &Lens,
        law: LensLaw<'a>,
        camera: Option<&str>,
    ) -> (LensLaw<'a>, Option<Assumption>) {
        if let Some(other) = law.of_another_camera(camera).filter(|_| law.by_eye()) {
            return self.moved_between_cameras(lens, law, other);
        }
        let here = |found: &&LensFound| found.lens == *lens.id();
        let Some(found) = self.lenses.iter().find(here) else {
            return (law, None);
        };
        if lens.stands_at().is_some() || law.by_eye() {
            return (law, None);
        }
        let this = camera.map_or("this camera".into(), |name| format!("camera {name}"));
        let id = lens.id();
        let judged = |how: &str, then: &str| {
            let message = format!("prep judged the scale of lens {id} {how} on {this}: {then}");
            Some(Assumption::new("judged_off", message))
        };
        match found.verdict {
            LensVerdict::Shifted if law.takes_a_correction() => {
                let note = Assumption::new(
                    "corrected_by_prep",
                    format!(
                        "corrected by prep for {this}: lens {id} reads with the image plane {}, so \
                         distances stand where they focus, not where they are engraved (± is two \
                         standard errors)",
                        displacement_in_words(found.as_read.error, found.as_read.standard_error)
                    ),
                );
                (law.corrected(lens, found.as_read), Some(note))
            }
            LensVerdict::Shifted => {
                let then = "its marks do not say whether they are engraved or found by eye, and \
                            are taken as found by eye";
                (law, judged("shifted", then))
            }
            LensVerdict::Uneven => (law, judged("uneven", "find marks by eye")),
            LensVerdict::MovesWithStop => {
                let then = "find marks by eye at the stop worked at";
                (law, judged("to move with the stop", then))
            }
            LensVerdict::TrueScale | LensVerdict::Undecided => (law, None),
        }
    }

    /// Marks found by eye on another camera, moved by what the image planes of
    /// the two were shown to differ.
    fn moved_between_cameras<'a>(
        &self,
        lens: &Lens,
        law: LensLaw<'a>,
        other: &str,
    ) -> (LensLaw<'a>, Option<Assumption>) {
        let mut between = self.between_cameras.iter();
        let found = between.find(|between| between.other == other);
        let found = found.and_then(|between| {
            Some(Displacement {
                error: between.difference?,
                standard_error: between.standard_error?,
            })
        });
        let shown = |found: &Displacement| found.error.abs() > found.standard_error * 2.0;
        let Some(farther) = found.filter(shown) else {
            return (law, None);
        };
        let way = if farther.error < Length::ZERO {
            "nearer the lens"
        } else {
            "farther from the lens"
        };
        let message = format!(
            "corrected by prep: marks found by eye on camera {other} are moved by what the image \
             planes differ, {} {way} than there (± is two standard errors)",
            displacement_figures(farther.error, farther.standard_error)
        );
        let note = Assumption::new("corrected_by_prep", message);
        (law.on_another_camera(lens, farther), Some(note))
    }
}
