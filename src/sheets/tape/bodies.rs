//! Whether one tape serves several bodies.

use super::figure::{called_in, named_figure};
use super::{Places, TapeWish};
use crate::answers::PrepFound;
use crate::gear::{DepthSetup, Kit, Lens, Marks};
use crate::numerics::math::sqrt;
use crate::scale::prep::Displacement;
use crate::scale::{LensLaw, Moved, RingLaw};
use crate::sheets::usual_marks;
use crate::units::{FocusDistance, Length};

/// Another body the lens may go on.
#[derive(Clone, Debug, PartialEq)]
pub struct OtherBody {
    /// What it is called.
    pub camera: String,
    /// How its marks are known to stand elsewhere.
    pub apart: Apart,
}

/// How the marks on two bodies are told apart.
#[derive(Clone, Debug, PartialEq)]
pub enum Apart {
    /// By how much nearer to the lens the other one's image plane is.
    Plane(Displacement),
    /// By marks found on it by eye.
    Marks(Box<RingLaw>),
}

/// How far the marks stand elsewhere on another body, where that counts most.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct BodyShift {
    /// The other body.
    pub camera: String,
    /// The distance.
    #[cfg_attr(feature = "serde", serde(rename = "distance_mm"))]
    pub distance: FocusDistance,
    /// How far it stands from where the tape has it, along the tape toward close
    /// focus.
    #[cfg_attr(feature = "serde", serde(rename = "shift_mm"))]
    pub shift: Length,
    /// The standard error of that.
    #[cfg_attr(feature = "serde", serde(rename = "standard_error_mm"))]
    pub standard_error: Length,
    /// How far the ring may be off there.
    #[cfg_attr(feature = "serde", serde(rename = "tolerance_mm"))]
    pub tolerance: Length,
    /// Whether the tape serves both bodies: the shift with two standard errors
    /// within half of what the ring may be off, everywhere; `None` where what is
    /// known leaves that open.
    pub one_tape_serves: Option<bool>,
}

impl OtherBody {
    /// The other bodies of a kit for a lens with its law on one of them: told
    /// apart by marks found on both by eye, else by what prep day found.
    #[must_use]
    pub fn all(
        kit: &Kit,
        (lens, marks): (&Lens, Option<&Marks>),
        law: &LensLaw<'_>,
        camera: Option<&str>,
        found: Option<&PrepFound>,
    ) -> Vec<Self> {
        if law.of_another_camera(camera).is_some() {
            return Vec::new();
        }
        let names = kit.cameras.iter().filter_map(|other| other.name.as_deref());
        let others = names.filter(|name| Some(*name) != camera);
        let apart = |name: &str| {
            let by_eye = marks.filter(|_| law.by_eye());
            let by_eye = by_eye
                .and_then(|marks| LensLaw::found_by_eye_on(lens, marks, name).map(|it| it.law));
            if let Some(there) = by_eye {
                return Some(Apart::Marks(Box::new(there)));
            }
            let mut between = found?.between_cameras.iter();
            let between = between.find(|between| between.other == name)?;
            // The tape has of this camera's error only what it is corrected for.
            let none = Displacement {
                error: Length::ZERO,
                standard_error: Length::ZERO,
            };
            let left = found?.left_in(lens, law).unwrap_or(none);
            let (one, two) = (between.standard_error?.to_mm(), left.standard_error.to_mm());
            Some(Apart::Plane(Displacement {
                error: between.difference? - left.error,
                standard_error: Length::mm(sqrt(one * one + two * two)),
            }))
        };
        let other = |name: &str| {
            Some(Self {
                camera: name.to_owned(),
                apart: apart(name)?,
            })
        };
        others.filter_map(other).collect()
    }

    fn moved(&self, law: &RingLaw, distance: FocusDistance) -> Option<Moved> {
        match &self.apart {
            Apart::Plane(nearer) => law.moved_by_plane(distance, *nearer),
            Apart::Marks(there) => law.moved_by_marks(distance, there),
        }
    }

    /// How far the marks of a tape stand elsewhere on this body.
    pub(super) fn shift(
        &self,
        places: &Places<'_>,
        setup: &DepthSetup,
        wish: &TapeWish,
    ) -> Option<BodyShift> {
        let law = places.law;
        let (far, near) = law.reach();
        let usual = usual_marks(wish.unit).iter().map(|mark| mark.0);
        let everywhere = [far, near].into_iter().chain(usual);
        let shifts = everywhere.filter_map(|distance| {
            let moved = self.moved(law, distance)?;
            let depth = law.depth(distance, setup.exposure.f_number, setup.circle.circle);
            let along = |place: crate::scale::RingPosition| place.along_tape(wish.thickness);
            Some(BodyShift {
                camera: self.camera.clone(),
                distance,
                shift: along(moved.by)?,
                standard_error: along(moved.standard_error)?.abs(),
                tolerance: along(depth.ok()?.tolerance)?,
                one_tape_serves: None,
            })
        });
        let shifts: Vec<BodyShift> = shifts.collect();
        let share = |shift: &BodyShift| {
            let most = shift.shift.abs() + shift.standard_error * 2.0;
            most.to_mm() / shift.tolerance.to_mm()
        };
        let serves = if shifts.iter().all(|shift| share(shift) <= 0.5) {
            Some(true)
        } else if shifts.iter().any(|shift| {
            let least = shift.shift.abs() - shift.standard_error * 2.0;
            least > shift.tolerance * 0.5
        }) {
            Some(false)
        } else {
            None
        };
        let worst = shifts
            .into_iter()
            .max_by(|a, b| share(a).total_cmp(&share(b)))?;
        Some(BodyShift {
            one_tape_serves: serves,
            ..worst
        })
    }
}

impl BodyShift {
    /// In words, for the sheet.
    pub(super) fn in_words(&self, wish: &TapeWish) -> String {
        let Self {
            camera, distance, ..
        } = self;
        let way = if self.shift < Length::ZERO {
            "infinity"
        } else {
            "close focus"
        };
        let tenths = |length: Length| libm::ceil(length.to_mm() * 10.0 - 1e-9) / 10.0;
        let named = named_figure(*distance, called_in(*distance, wish.engraved, wish.unit));
        let moved = format!(
            "on camera {camera} marks stand {:.1} mm ± {:.1} toward {way} (at {named})",
            self.shift.abs().to_mm(),
            tenths(self.standard_error * 2.0)
        );
        let half = libm::floor(self.tolerance.to_mm() * 5.0) / 10.0;
        match self.one_tape_serves {
            Some(true) => format!(
                "{moved}: within half of what the ring may be off ({half:.1} mm), this tape serves \
                 there too"
            ),
            Some(false) => format!(
                "{moved}: more than half of what the ring may be off ({half:.1} mm), print a tape \
                 for camera {camera}"
            ),
            None => format!(
                "{moved}: whether this tape serves there too (within {half:.1} mm) is not settled, \
                 read more on both"
            ),
        }
    }
}
