//! What can be typed of a lens, its stop, what it looks on and what is screwed
//! to it.

use clap::{Args, ValueEnum};

/// What is typed for something behind the lens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Typing {
    /// The next `--extender`.
    Extender,
    /// The next `--tube`.
    Tube,
    /// The next `--rear-filter`.
    Filter,
}

/// Where a circle is round.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum TypedCircleOn {
    /// On the image plane.
    Sensor,
    /// On the screen.
    Screen,
}

/// Which part squeezes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum TypedAnamorph {
    /// The front.
    Front,
    /// The rear.
    Rear,
}

/// The lens, its stop and what it looks on.
#[derive(Args, Clone, Debug, Default)]
pub struct SetupArgs {
    /// A lens of the kit
    #[arg(
        long,
        value_name = "ID",
        value_delimiter = ',',
        num_args = 1..
    )]
    pub lens: Vec<String>,
    /// Focal length of a lens by hand, as 50mm; with --lens where a zoom stands
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub focal: Option<String>,
    /// Signed distance between the principal planes, positive for most retrofocus lenses
    #[arg(
        long,
        value_name = "LENGTH",
        allow_hyphen_values = true,
        conflicts_with_all = ["entrance_pupil", "lens"]
    )]
    pub hiatus: Option<String>,
    /// Entrance pupil's distance in front of the image plane at infinity focus
    #[arg(
        long,
        value_name = "LENGTH",
        allow_hyphen_values = true,
        conflicts_with = "lens"
    )]
    pub entrance_pupil: Option<String>,
    /// Exit pupil over entrance pupil
    #[arg(
        long,
        value_name = "RATIO",
        allow_hyphen_values = true,
        conflicts_with = "lens"
    )]
    pub pupil_magnification: Option<String>,
    /// The stop: f/2.8, T2.9, "T2.8 1/3" (a third closed), T2.8/4 (midway)
    #[arg(long, value_name = "STOP", allow_hyphen_values = true)]
    pub stop: Option<String>,
    /// The share of light the lens passes, 0 to 1
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    pub transmittance: Option<String>,
    /// A recording format, or a gate as 24.89x18.66mm or 0.980x0.735in
    #[arg(long, value_name = "ID|GATE", allow_hyphen_values = true)]
    pub format: Option<String>,
    /// Aspect ratio taken out of the gate, as 2.39
    #[arg(long, value_name = "RATIO", allow_hyphen_values = true)]
    pub extraction: Option<String>,
    /// Circle of confusion: 0.025mm, 25um, 0.001in, diagonal/1500, pixels:2/4096,
    /// lines:40/mm, viewing:10m@12m (screen width @ distance)
    #[arg(long, value_name = "CIRCLE", allow_hyphen_values = true)]
    pub circle: Option<String>,
    /// Where the circle is round: sensor, or screen (for a lens that squeezes)
    #[arg(long, value_enum, value_name = "WHERE")]
    pub circle_on: Option<TypedCircleOn>,
    /// How much the lens squeezes the width, as 2; --focal is then the vertical meridian's
    #[arg(
        long,
        value_name = "RATIO",
        allow_hyphen_values = true,
        conflicts_with = "lens"
    )]
    pub squeeze: Option<String>,
    /// Which part of it squeezes [default: front]
    #[arg(long, value_enum, value_name = "PART", requires = "squeeze")]
    pub anamorph: Option<TypedAnamorph>,
    /// A lens that breathes: its magnification at a distance, from the data sheet, as
    /// 0.15@450mm; with its entrance pupil there 0.15@450mm/95mm
    #[arg(
        long,
        value_name = "M@D,…",
        value_delimiter = ',',
        allow_hyphen_values = true
    )]
    pub reproduction: Vec<String>,
    /// A close-up lens: dioptres, and where it sits at this focus from the image plane
    #[arg(
        long,
        value_name = "+1@190mm,…",
        value_delimiter = ',',
        allow_hyphen_values = true
    )]
    pub close_up: Vec<String>,
    /// The same over half of the frame
    #[arg(
        long,
        value_name = "+1@190mm",
        allow_hyphen_values = true,
        conflicts_with = "close_up"
    )]
    pub split_close_up: Option<String>,
    /// An extender or reducer: factor, and how much longer it makes the whole, as 1.4+15mm
    #[arg(long, value_name = "E+LENGTH", allow_hyphen_values = true)]
    pub extender: Vec<String>,
    /// An extension tube
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub tube: Vec<String>,
    /// A filter behind the lens that it was not made for, as 1mm or 1mm/1.52
    #[arg(long, value_name = "THICKNESS", allow_hyphen_values = true)]
    pub rear_filter: Vec<String>,
    /// The order in which extenders, tubes and filters were typed: from the lens
    /// to the image plane.
    #[arg(skip)]
    pub behind: Vec<Typing>,
    /// Take the setting larger than life (m ≥ 1)
    #[arg(long = "macro")]
    pub macro_branch: bool,
}

/// From a tape reading to the axis.
#[derive(Args, Clone, Debug, Default)]
pub struct TapeArgs {
    /// Taped straight from the image-plane mark to the eyes
    #[arg(
        long,
        value_name = "D",
        allow_hyphen_values = true,
        conflicts_with_all = ["at", "floor"]
    )]
    pub taped: Option<String>,
    /// How far beside the axis the subject stands [default: on it]
    #[arg(long, value_name = "D", allow_hyphen_values = true)]
    pub across: Option<String>,
    /// Along the floor, from under the image-plane mark to the subject
    #[arg(
        long,
        value_name = "D",
        allow_hyphen_values = true,
        conflicts_with = "at",
        requires_all = ["camera_height", "eye_height"]
    )]
    pub floor: Option<String>,
    /// Height of the image-plane mark over the floor
    #[arg(long, value_name = "D", allow_hyphen_values = true, requires = "floor")]
    pub camera_height: Option<String>,
    /// Height of the eyes over the floor
    #[arg(long, value_name = "D", allow_hyphen_values = true, requires = "floor")]
    pub eye_height: Option<String>,
}

impl TapeArgs {
    /// The readings that were typed, for the unit they are in.
    pub fn typed(&self) -> impl Iterator<Item = &String> {
        self.taped.iter().chain(&self.floor)
    }
}

/// What is to count as sharp in wave optics.
#[derive(Args, Clone, Debug, Default)]
pub struct WaveArgs {
    /// A contrast that must be left, in place of a circle: 0.3@40/mm (30 % at 40 cycles a mm)
    #[arg(
        long,
        value_name = "C@F/mm",
        allow_hyphen_values = true,
        conflicts_with = "circle"
    )]
    pub contrast: Option<String>,
    /// The light: 550nm, or several with their weights, as 486nm:1,546nm:2,633nm:1
    #[arg(long, value_name = "LIGHT", allow_hyphen_values = true)]
    pub wavelength: Option<String>,
    /// The distance of photosites, where they count for a contrast, as 5um
    #[arg(long, value_name = "PITCH", allow_hyphen_values = true)]
    pub photosite: Option<String>,
}

/// The printer test.
#[derive(Args, Clone, Debug, Default)]
pub struct RulerArgs {
    /// Ruler: across a ring or tin of known size, as 80mm, for a strip that tests the printer round it
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub ring: Option<String>,
}
