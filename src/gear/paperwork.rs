//! Prep-day readings and the day's shots, as they are written down.

use core::time::Duration;

use super::lens::LensId;
use super::speed::Speed;
use crate::units::{Angle, FocusDistance, Length, Stop};

/// What the scale said when the picture was sharp; repeats stand together.
#[derive(Clone, Debug, PartialEq)]
pub enum Reading {
    /// On the engraved scale.
    Scale(Vec<FocusDistance>),
    /// As an angle of the ring.
    Turn(Vec<Angle>),
}

/// One line of prep day: a lens focused on a chart at a taped distance.
#[derive(Clone, Debug, PartialEq)]
pub struct PrepRow {
    /// The line of the file.
    pub line: usize,
    /// The lens.
    pub lens: LensId,
    /// The stop.
    pub stop: Stop,
    /// The tape, from the image plane.
    pub taped: FocusDistance,
    /// The reading.
    pub reading: Reading,
    /// The camera, where said.
    pub camera: Option<String>,
    /// Standard deviation of the tape, where said.
    pub taped_sd: Option<Length>,
    /// Standard deviation of a reading, where said.
    pub reading_sd: Option<Angle>,
    /// The temperature, as written.
    pub temperature: Option<String>,
    /// Anything else.
    pub note: Option<String>,
}

/// One cue of a shot. Rows of one shot stand together.
#[derive(Clone, Debug, PartialEq)]
pub struct ShotRow {
    /// The line of the file.
    pub line: usize,
    /// The shot.
    pub shot: String,
    /// The lens.
    pub lens: LensId,
    /// The stop.
    pub stop: Stop,
    /// The cue.
    pub cue: String,
    /// The tape, from the image plane.
    pub distance: FocusDistance,
    /// The camera, where said.
    pub camera: Option<String>,
    /// The day, as written.
    pub day: Option<String>,
    /// The scene, as written.
    pub scene: Option<String>,
    /// How long the pull to this cue takes.
    pub seconds: Option<Duration>,
    /// How fast the subject goes.
    pub speed: Option<Speed>,
    /// How far beside the axis the subject stands.
    pub across: Option<Length>,
    /// What is on the lens, as written.
    pub attachment: Option<String>,
    /// Height of the lens.
    pub height: Option<Length>,
    /// Tilt of the camera, up positive.
    pub tilt: Option<Angle>,
    /// The distance it was really shot at.
    pub shot_distance: Option<FocusDistance>,
    /// The stop it was really shot at.
    pub shot_stop: Option<Stop>,
    /// Columns beginning with `note`: name and text.
    pub notes: Vec<(String, String)>,
}
