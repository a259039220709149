//! How quantities stand in JSON: lengths in mm, angles in degrees, infinity as
//! the word.

use serde::{Serialize, Serializer};

use super::{
    Angle, AspectRatio, Contrast, DetectorPitch, FNumber, FocusDistance, Gain, Length,
    PupilMagnification, Ratio, Reach, SpatialFrequency, TNumber, Time, Transmittance, Wavelength,
};

impl Serialize for Length {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        out.serialize_f64(self.to_mm())
    }
}

impl Serialize for Angle {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        out.serialize_f64(self.to_deg())
    }
}

macro_rules! plain_numbers {
    ($($name:ident),+) => {
        $(impl Serialize for $name {
            fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
                out.serialize_f64(self.value())
            }
        })+
    };
}

plain_numbers!(
    AspectRatio,
    FNumber,
    TNumber,
    Transmittance,
    PupilMagnification,
    Gain,
    Ratio,
    SpatialFrequency,
    Contrast
);

impl Serialize for Time {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        out.serialize_f64(self.to_seconds())
    }
}

impl Serialize for DetectorPitch {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        self.length().serialize(out)
    }
}

impl Serialize for Wavelength {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        self.length().serialize(out)
    }
}

impl<L: Serialize> Serialize for Reach<L> {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::At(value) => value.serialize(out),
            Self::Infinity => out.serialize_str("infinity"),
        }
    }
}

impl Serialize for FocusDistance {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        self.reach().serialize(out)
    }
}
