//! What each quantity may be: one table for checks, messages and documents.

use super::parse::Unreadable;

/// The ordinary range of a quantity; outside it a figure is a slip of the pen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// The quantity, as a message names it.
    pub name: &'static str,
    /// Smallest figure allowed.
    pub min: f64,
    /// Largest figure allowed.
    pub max: f64,
    /// The unit of both, empty for plain numbers.
    pub unit: &'static str,
    /// Whether zero and negative figures are refused as "not positive".
    pub positive: bool,
}

macro_rules! ranges {
    ($($(#[$doc:meta])* $id:ident = $name:literal, $min:literal ..= $max:literal, $unit:literal, $positive:literal;)+) => {
        $($(#[$doc])* pub const $id: Range = Range { name: $name, min: $min, max: $max, unit: $unit, positive: $positive };)+
        /// Every range, in the order of this file.
        pub const ALL: &[Range] = &[$($id),+];
    };
}

ranges! {
    /// A focus or taped distance.
    DISTANCE = "distance", 1.0 ..= 1e9, "mm", true;
    /// A focal length.
    FOCAL_LENGTH = "focal length", 1.0 ..= 10000.0, "mm", true;
    /// An f-number; below 0.5 no lens in air can go.
    F_NUMBER = "f-number", 0.5 ..= 512.0, "", true;
    /// A T-number.
    T_NUMBER = "T-number", 0.5 ..= 512.0, "", true;
    /// The share of light a lens lets through.
    TRANSMITTANCE = "transmittance", 0.01 ..= 1.0, "", true;
    /// Exit pupil over entrance pupil.
    PUPIL_MAGNIFICATION = "pupil magnification", 0.05 ..= 20.0, "", true;
    /// The signed distance between the principal planes.
    HIATUS = "hiatus", -5000.0 ..= 5000.0, "mm", false;
    /// The entrance pupil's distance in front of the image plane.
    ENTRANCE_PUPIL = "entrance pupil", -20000.0 ..= 20000.0, "mm", false;
    /// A circle of confusion.
    CIRCLE = "circle of confusion", 0.0001 ..= 10.0, "mm", true;
    /// What a gate's diagonal is divided by for a circle.
    DIAGONAL_DIVISOR = "divisor of the diagonal", 100.0 ..= 20000.0, "", true;
    /// A count of photosites.
    PIXELS = "photosites", 0.01 ..= 1e6, "", true;
    /// A resolution on the image plane.
    LINES_PER_MM = "line pairs a millimetre", 0.1 ..= 10000.0, "/mm", true;
    /// What an eye resolves.
    ACUITY = "acuity", 0.05 ..= 60.0, "arcmin", true;
    /// One side of a gate.
    GATE_SIDE = "gate side", 0.5 ..= 1000.0, "mm", true;
    /// An aspect ratio, width over height.
    ASPECT = "aspect ratio", 0.2 ..= 10.0, "", true;
    /// Degrees of ring per millimetre of lens travel.
    GAIN = "ring gain", 0.001 ..= 1e6, "deg/mm", true;
    /// How far a sensor or gate sits from where the mount puts it.
    IMAGE_PLANE_ERROR = "image-plane error", -5.0 ..= 5.0, "mm", false;
    /// The way round a ring.
    CIRCUMFERENCE = "ring circumference", 20.0 ..= 2000.0, "mm", true;
    /// The way of a mark round a ring, from the infinity mark to close focus.
    TRAVEL_LENGTH = "travel along the ring", 1.0 ..= 5000.0, "mm", true;
    /// An arc on the ring from the law's zero.
    RING_ARC = "arc on the ring", -5000.0 ..= 5000.0, "mm", false;
    /// The ring's turn from the infinity mark to close focus.
    TRAVEL_ANGLE = "ring travel", 1.0 ..= 3600.0, "deg", true;
    /// How far a ring turns beyond its infinity or close-focus mark.
    TURN_BEYOND = "turn beyond the mark", 0.0 ..= 3600.0, "deg", false;
    /// The free width for a tape.
    BAND = "free width for a tape", 1.0 ..= 500.0, "mm", true;
    /// A diameter of a ring, disc, wheel or lens front.
    DIAMETER = "diameter", 1.0 ..= 1000.0, "mm", true;
    /// The thickness of a tape.
    TAPE_THICKNESS = "tape thickness", 0.01 ..= 5.0, "mm", true;
    /// How far a tape hook sits beside the axis.
    HOOK_OFFSET = "hook offset", 0.0 ..= 500.0, "mm", false;
    /// The power of a close-up lens.
    DIOPTRES = "power of a close-up lens", 0.05 ..= 20.0, "dioptres", true;
    /// Where a close-up lens sits, from the image plane.
    CLOSE_UP_AT = "place of a close-up lens", 1.0 ..= 2000.0, "mm", true;
    /// The factor of an extender or reducer.
    EXTENDER = "factor of an extender", 0.4 ..= 4.0, "", true;
    /// How much longer an extender makes the whole; a reducer shortens it.
    ADDED = "length of an extender", -200.0 ..= 500.0, "mm", false;
    /// The length of an extension tube.
    TUBE = "length of a tube", 0.1 ..= 1000.0, "mm", true;
    /// The thickness of a filter.
    FILTER = "thickness of a filter", 0.01 ..= 50.0, "mm", true;
    /// A refractive index.
    REFRACTIVE_INDEX = "refractive index", 1.0 ..= 4.0, "", true;
    /// Image size over object size.
    MAGNIFICATION = "magnification", 1e-6 ..= 100.0, "", true;
    /// A number in a reproduction ratio such as 1:8.
    RATIO_PART = "number of a ratio", 1e-6 ..= 1e6, "", true;
    /// How far something stands beside the axis or over the floor.
    BESIDE = "distance beside", 0.0 ..= 1e6, "mm", false;
    /// What a ruler of 100 mm measured on paper.
    PRINTED_100MM = "printed 100 mm", 90.0 ..= 110.0, "mm", true;
    /// Across a ring that tests a printer: a quarter of a millimetre round a
    /// smaller one is more than 0.2 %.
    TEST_RING = "ring to test a printer round", 36.0 ..= 160.0, "mm", true;
    /// Teeth of a gear.
    TEETH = "teeth", 4.0 ..= 1000.0, "", true;
    /// Turns of a knob for one of its gear.
    KNOB_RATIO = "knob ratio", 0.05 ..= 20.0, "", true;
    /// Filter stages of a matte box.
    STAGES = "filter stages", 1.0 ..= 12.0, "", true;
    /// From the image plane to the front rim of a lens.
    FRONT_DISTANCE = "front distance", 1.0 ..= 3000.0, "mm", true;
    /// How much a lens squeezes the width.
    SQUEEZE = "squeeze", 1.0 ..= 3.0, "", true;
    /// The thickness of a filter behind a lens.
    REAR_FILTER = "rear filter", 0.001 ..= 20.0, "mm", true;
    /// A part of the whole travel.
    FRACTION = "part of the travel", -2.0 ..= 2.0, "", false;
    /// Steps of an encoder.
    COUNTS = "encoder counts", -1e9 ..= 1e9, "", false;
    /// An angle of the ring from any zero.
    RING_ANGLE = "angle of the ring", -3600.0 ..= 3600.0, "deg", false;
    /// A standard deviation of an angle of the ring.
    RING_SD = "standard deviation", 0.001 ..= 90.0, "deg", true;
    /// A standard deviation of a tape.
    TAPE_SD = "standard deviation of the tape", 0.01 ..= 10000.0, "mm", true;
    /// How fast a subject goes, for each second.
    SPEED = "speed", 1.0 ..= 1e6, "mm/s", true;
    /// The same in kilometres an hour.
    SPEED_KM_PER_H = "speed", 0.01 ..= 3600.0, "km/h", true;
    /// How long a pull takes.
    SECONDS = "seconds", 0.01 ..= 86400.0, "s", true;
    /// The same in miles an hour.
    SPEED_MPH = "speed", 0.01 ..= 2236.0, "mph", true;
    /// How far beside the axis a subject stands, or how high a lens.
    ASIDE = "offset", 0.0 ..= 1e6, "mm", false;
    /// A camera's tilt.
    TILT = "tilt", -90.0 ..= 90.0, "deg", false;
    /// A width to be framed.
    FRAMED_WIDTH = "framed width", 0.1 ..= 1e9, "mm", true;
    /// A wavelength that film or a sensor sees.
    WAVELENGTH = "wavelength", 300.0 ..= 1200.0, "nm", true;
    /// How much a wavelength counts beside others.
    WEIGHT = "weight of a wavelength", 1e-6 ..= 1e6, "", true;
    /// A spatial frequency on the image plane.
    FREQUENCY = "spatial frequency", 0.1 ..= 5000.0, "/mm", true;
    /// A wanted contrast.
    CONTRAST = "contrast", 0.001 ..= 0.999, "", true;
    /// From one photosite to the next.
    DETECTOR_PITCH = "photosite pitch", 0.2 ..= 200.0, "um", true;
}

impl Range {
    /// Its ends as a message gives them: `20 to 2000 mm`, `1 mm to 1000 km`.
    #[must_use]
    pub fn in_words(&self) -> String {
        let (min, max) = (self.spelled(self.min), self.spelled(self.max));
        if min.1 == max.1 || self.min == 0.0 {
            format!("{} to {}", min.0, joined(&max))
        } else {
            format!("{} to {}", joined(&min), joined(&max))
        }
    }

    /// A figure with its unit as a message gives it.
    pub(super) fn with_unit(&self, value: f64) -> String {
        joined(&self.spelled(value))
    }

    /// A figure and its unit: long ways of millimetres in metres or kilometres.
    fn spelled(&self, value: f64) -> (String, String) {
        let per = self.unit.strip_prefix("mm");
        let (by, unit) = match (per, value.abs()) {
            (Some(per), size) if size >= 1e6 => (1e6, format!("km{per}")),
            (Some(per), size) if size >= 1e5 => (1e3, format!("m{per}")),
            _ => (1.0, self.unit.to_owned()),
        };
        ((value / by).to_string(), unit)
    }
}

fn joined((figure, unit): &(String, String)) -> String {
    if unit.is_empty() {
        figure.clone()
    } else {
        format!("{figure} {unit}")
    }
}

impl Range {
    /// Gives the figure back if it is in range.
    ///
    /// # Errors
    /// [`Unreadable::NotFinite`], [`Unreadable::NotPositive`] or
    /// [`Unreadable::OutOfRange`], in that order.
    pub fn check(&'static self, value: f64) -> Result<f64, Unreadable> {
        if !value.is_finite() {
            Err(Unreadable::NotFinite { name: self.name })
        } else if self.positive && value <= 0.0 {
            Err(Unreadable::NotPositive { name: self.name })
        } else if value < self.min || value > self.max {
            Err(Unreadable::OutOfRange { range: self, value })
        } else {
            Ok(value)
        }
    }
}
