//! What is written down of a lens, and why it cannot be one.

use super::LensId;
use crate::gear::ring::Ring;
use crate::optics::{Anamorph, BreathingRow, NoBreathing, Pupil};
use crate::units::{
    Angle, FNumber, FocusDistance, Length, PupilMagnification, Ratio, TNumber, Transmittance, Unit,
    Unreadable,
};

/// One focal length, or a range of them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Focal {
    /// One.
    Prime(Length),
    /// From the shortest to the longest.
    Zoom {
        /// The shortest.
        wide: Length,
        /// The longest.
        long: Length,
    },
}

impl Focal {
    /// The shortest focal length.
    #[must_use]
    pub const fn shortest(self) -> Length {
        match self {
            Self::Prime(focal) => focal,
            Self::Zoom { wide, .. } => wide,
        }
    }

    /// The longest focal length.
    #[must_use]
    pub const fn longest(self) -> Length {
        match self {
            Self::Prime(focal) => focal,
            Self::Zoom { long, .. } => long,
        }
    }
}

/// The plane a lens's own scale counts from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum ScaleFrom {
    /// The image plane, as nearly all do.
    #[default]
    ImagePlane,
    /// The front of the lens.
    Front,
}

/// What a zoom is at one of its focal lengths; what is `None` is as in the
/// lens's own row.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ZoomRow {
    /// The focal length.
    pub focal: Length,
    /// Where pupils or principal planes stand.
    pub pupil: Option<Pupil>,
    /// Exit pupil over entrance pupil.
    pub pupil_magnification: Option<PupilMagnification>,
    /// The widest f-number.
    pub f_number: Option<FNumber>,
    /// The widest T-number.
    pub t_number: Option<TNumber>,
}

/// What is written down of a lens; what is `None` is not known.
#[derive(Clone, Debug, PartialEq)]
pub struct LensWritten {
    /// What it is called in files.
    pub id: LensId,
    /// What sheets call it.
    pub label: Option<String>,
    /// Its serial number.
    pub serial: Option<String>,
    /// Its focal length or lengths.
    pub focal: Focal,
    /// The focal lengths of a zoom that get cards.
    pub card_focals: Vec<Length>,
    /// What a zoom is along its range.
    pub zoom: Vec<ZoomRow>,
    /// The widest f-number.
    pub f_number: Option<FNumber>,
    /// The widest T-number.
    pub t_number: Option<TNumber>,
    /// The share of light that passes.
    pub transmittance: Option<Transmittance>,
    /// The nearest distance on its scale, from the image plane.
    pub close_focus: FocusDistance,
    /// The unit of its own scale.
    pub engraved: Option<Unit>,
    /// Where pupils or principal planes stand.
    pub pupil: Option<Pupil>,
    /// Exit pupil over entrance pupil.
    pub pupil_magnification: Option<PupilMagnification>,
    /// Its focus ring.
    pub ring: Ring,
    /// Its mount.
    pub mount: Option<String>,
    /// Outer diameter of its front.
    pub front_diameter: Option<Length>,
    /// From the image plane to its front rim.
    pub front_distance: Option<Length>,
    /// Teeth of its focus ring.
    pub ring_teeth: Option<u32>,
    /// The knob's turn over its travel, measured; it wins over gears.
    pub knob_travel: Option<Angle>,
    /// What the hand unit calls it.
    pub hand_unit_preset: Option<String>,
    /// How much it squeezes the width.
    pub squeeze: Option<Ratio>,
    /// Which part of it squeezes.
    pub anamorph: Option<Anamorph>,
    /// The plane its scale counts from.
    pub scale_from: ScaleFrom,
    /// Thickness of the filter behind it.
    pub rear_filter: Option<Length>,
    /// What is known of its settings, for a lens that breathes.
    pub breathing: Vec<BreathingRow>,
}

/// Why a lens cannot be as written.
#[derive(Clone, Debug, PartialEq)]
pub enum LensProblem {
    /// Neither f- nor T-number.
    NoStop,
    /// A T-number below the f-number: more light than comes in.
    TBelowF {
        /// The f-number.
        f: FNumber,
        /// The T-number.
        t: TNumber,
    },
    /// f-number, T-number and transmittance disagree by over a tenth of a stop.
    LightDisagrees {
        /// The transmittance that f- and T-number give.
        given_by_stops: Transmittance,
        /// The one that is written.
        written: Transmittance,
    },
    /// The number that follows from the other two is out of range.
    Light(Unreadable),
    /// A zoom whose longest focal length is not beyond its shortest.
    FocalOrder,
    /// A focal length, by its place among the card focals, outside the zoom.
    CardFocalOutside(usize),
    /// A focal length, by its place among the zoom rows, outside the zoom.
    ZoomRowOutside(usize),
    /// A focal length, by its place among the zoom rows, that stands before it
    /// already.
    ZoomRowTwice(usize),
    /// Rows of a lens that breathes describe none.
    Breathing(NoBreathing),
    /// Rows of a lens that breathes, on a zoom.
    BreathingZoom,
    /// Zoom rows or card focals on a lens with one focal length.
    NoZoom,
    /// Infinity for close focus.
    CloseFocusInfinite,
    /// Nearer than four focal lengths and the hiatus.
    Inside4f {
        /// The nearest distance any setting could focus.
        limit: Length,
    },
    /// A scale that counts from the front without saying where the front is.
    FrontUnknown,
}
