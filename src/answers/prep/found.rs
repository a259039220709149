//! What prep day found, for what is made from it: rings, racks and tapes.

use std::collections::BTreeMap;

use super::day::{Day, between, read_on};
use super::{BetweenCameras, displacement_figures, displacement_in_words};
use crate::gear::{Assumption, Kit, Lens, LensId};
use crate::scale::LensLaw;
use crate::scale::prep::{BodyVerdict, Displacement, LensVerdict};
use crate::units::Length;

/// What was found on one camera.
#[derive(Clone, Debug, PartialEq)]
pub struct PrepFound {
    /// What is said of the camera itself.
    pub camera: BodyVerdict,
    lenses: BTreeMap<LensId, LensFound>,
    /// How far the image planes of other cameras lie from this one's.
    pub between_cameras: Vec<BetweenCameras>,
}

/// What was found of one lens as read on the camera.
#[derive(Clone, Debug, PartialEq)]
struct LensFound {
    verdict: LensVerdict,
    as_read: Displacement,
    tolerated: Length,
    /// What another camera showed of it that no one displacement mends.
    elsewhere: Option<LensVerdict>,
}

/// A displacement smaller than this share of what is tolerated is left alone: an
/// eye sets no better (common practice, no source).
const LEFT_ALONE: f64 = 0.25;

impl LensFound {
    /// Whether its displacement is shown, and large enough to be acted on.
    fn is_shown(&self) -> bool {
        let Displacement {
            error,
            standard_error,
        } = self.as_read;
        let off = error.abs();
        off > standard_error * 2.0 && off > self.tolerated * LEFT_ALONE
    }
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
        let mut elsewhere: BTreeMap<&LensId, LensVerdict> = BTreeMap::new();
        for day in &others {
            for (lens, judged) in day.lenses().zip(&day.judged().lenses) {
                if matches!(
                    judged.verdict,
                    LensVerdict::Uneven | LensVerdict::MovesWithStop
                ) {
                    elsewhere.entry(lens.id()).or_insert(judged.verdict);
                }
            }
        }
        let judged = this.judged().lenses.iter();
        let lenses = this.lenses().zip(judged).map(|(lens, judged)| {
            let found = LensFound {
                verdict: judged.verdict,
                as_read: judged.as_read,
                tolerated: judged.tolerated,
                elsewhere: elsewhere.get(lens.id()).copied(),
            };
            (lens.id().clone(), found)
        });
        Some(Self {
            camera: this.judged().body.verdict,
            lenses: lenses.collect(),
            between_cameras: others.iter().map(|other| between(this, other)).collect(),
        })
    }

    /// The law of a lens as it is on the camera: where its scale was shown to be
    /// off by more than a quarter of what is tolerated, corrected by what was
    /// found, unless the ring's own scale is asked for; and what is to be said.
    ///
    /// A zoom that stands elsewhere than where it was judged is left as it is.
    #[must_use]
    pub fn on_camera<'a>(
        &self,
        lens: &Lens,
        law: LensLaw<'a>,
        camera: Option<&str>,
        corrected: bool,
    ) -> (LensLaw<'a>, Option<Assumption>) {
        if let Some(other) = law
            .of_another_camera(camera)
            .filter(|_| law.by_eye() && corrected)
        {
            return self.moved_between_cameras(lens, law, other);
        }
        let Some(found) = self.lenses.get(lens.id()) else {
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
        let in_words = || displacement_in_words(found.as_read.error, found.as_read.standard_error);
        match found.elsewhere.unwrap_or(found.verdict) {
            LensVerdict::Shifted | LensVerdict::TrueScale if found.is_shown() && !corrected => {
                let message = format!(
                    "not corrected, as asked: prep for {this} reads lens {id} with the image \
                     plane {} (± is two standard errors)",
                    in_words()
                );
                (law, Some(Assumption::new("uncorrected", message)))
            }
            LensVerdict::Shifted | LensVerdict::TrueScale
                if found.is_shown() && law.takes_a_correction() =>
            {
                let note = Assumption::new(
                    "corrected_by_prep",
                    format!(
                        "corrected by prep for {this}: lens {id} reads with the image plane {}, so \
                         distances stand where they focus, not where they are engraved (± is two \
                         standard errors)",
                        in_words()
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

    /// What of a lens's displacement is left in a law that it was not corrected
    /// for; `None` where the lens was not read here, or its marks have it in them.
    #[must_use]
    pub fn left_in(&self, lens: &Lens, law: &LensLaw<'_>) -> Option<Displacement> {
        if law.by_eye() || law.law.correction().is_some() {
            return None;
        }
        Some(self.lenses.get(lens.id())?.as_read)
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
        (law.displaced(lens, farther), Some(note))
    }
}
