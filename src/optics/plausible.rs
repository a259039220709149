//! How much shallower a lens of unknown build may be than a thin one.
//!
//! With neither hiatus nor pupils known, the thin symmetric lens is a guess. The
//! table holds builds of lens that exist or are plausible; those of about the
//! wanted focal length, scaled to it, bound what the guess may hide.

use super::unit_focus::{Pupil, UnitFocus};
use crate::units::{Length, PupilMagnification};

/// A build of lens: focal length and hiatus in mm, pupil magnification.
struct Plausible {
    focal: f64,
    hiatus: f64,
    pupil: f64,
}

/// Builds by focal length. The 32.08, 50 and 127 mm rows were ray-traced on
/// sample prescriptions of a general optics package and the 122.7 mm row is an
/// ideal two-group telephoto; the others are plausible, not a real lens's.
const BUILDS: [Plausible; 12] = [
    Plausible {
        focal: 18.0,
        hiatus: 60.0,
        pupil: 2.2,
    },
    Plausible {
        focal: 25.0,
        hiatus: 50.0,
        pupil: 1.8,
    },
    Plausible {
        focal: 32.0,
        hiatus: 60.0,
        pupil: 2.0,
    },
    Plausible {
        focal: 32.0,
        hiatus: 12.0,
        pupil: 2.0,
    },
    Plausible {
        focal: 32.08,
        hiatus: 18.9,
        pupil: 1.535,
    },
    Plausible {
        focal: 50.0,
        hiatus: -15.6,
        pupil: 1.146,
    },
    Plausible {
        focal: 75.0,
        hiatus: -10.0,
        pupil: 0.9,
    },
    Plausible {
        focal: 100.0,
        hiatus: -31.0,
        pupil: 1.146,
    },
    Plausible {
        focal: 122.7,
        hiatus: 62.2,
        pupil: 0.514,
    },
    Plausible {
        focal: 127.0,
        hiatus: 17.6,
        pupil: 0.735,
    },
    Plausible {
        focal: 135.0,
        hiatus: 30.0,
        pupil: 0.6,
    },
    Plausible {
        focal: 200.0,
        hiatus: 60.0,
        pupil: 0.6,
    },
];

/// How far a build's focal length may be from the wanted one, as a factor.
const ABOUT: f64 = 1.5;

/// Lenses of the wanted focal length as they might be built.
#[must_use]
pub fn plausible(focal_length: Length) -> Vec<UnitFocus> {
    let wanted = focal_length.to_mm();
    let off = |build: &&Plausible| (build.focal / wanted).max(wanted / build.focal);
    let mut near: Vec<&Plausible> = BUILDS.iter().filter(|build| off(build) <= ABOUT).collect();
    if near.is_empty() {
        near.extend(BUILDS.iter().min_by(|a, b| off(a).total_cmp(&off(b))));
    }
    near.into_iter()
        .filter_map(|build| {
            let hiatus = Length::mm(build.hiatus * wanted / build.focal);
            let pupil = PupilMagnification::new(build.pupil).ok()?;
            Some(UnitFocus::new(
                focal_length,
                Pupil::Hiatus(hiatus),
                pupil,
                &mut (),
            ))
        })
        .collect()
}
