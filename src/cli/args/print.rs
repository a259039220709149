//! What can be typed of sheets.

use clap::{Args, ValueEnum};

use super::{CardArgs, Output, RulerArgs, SetupArgs, WaveArgs};

/// What can be printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, ValueEnum)]
pub enum What {
    /// Tapes that wrap the focus rings.
    Tapes,
    /// Depth cards, one a lens.
    Cards,
    /// Hyperfocal distances of the set, on one card.
    Hyperfocals,
    /// What the frame takes in: a card of the set, and one a lens.
    Fields,
    /// Feet to metres and back, T-stops to f-stops.
    Conversions,
    /// Discs for the knob of the follow focus, one a lens and speed.
    Discs,
    /// Strips for the wheels of hand units, one a lens and hand unit.
    Strips,
    /// Blur against distance, and near and far limits against focus distance.
    Plots,
    /// The form to fill in at the chart on prep day.
    PrepPlan,
    /// The report of prep day for the technician: the set, and a page a lens.
    Prep,
    /// The blank millimetre strip to read a ring with.
    StripRuler,
    /// The printer test page.
    Ruler,
    /// Lines to focus on by eye, matched to the circle at several distances.
    Target,
}

impl What {
    /// Whether it shows a lens.
    pub const fn is_of_a_lens(&self) -> bool {
        matches!(
            self,
            Self::Tapes
                | Self::Cards
                | Self::Hyperfocals
                | Self::Fields
                | Self::Discs
                | Self::Strips
                | Self::Plots
        )
    }

    /// Whether it is a card of lenses, each at its focal lengths.
    pub const fn is_card_of_a_lens(self) -> bool {
        matches!(self, Self::Cards | Self::Hyperfocals | Self::Fields)
    }

    /// Whether it is a card.
    pub const fn is_card(self) -> bool {
        self.is_card_of_a_lens() || matches!(self, Self::Conversions)
    }
}

/// How the paper of plots and cards lies.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Orientation {
    /// On its side.
    #[default]
    Landscape,
    /// Upright.
    Portrait,
}

/// The form of the printed files.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum PrintForm {
    /// One document a kind of sheet.
    #[default]
    Pdf,
    /// One drawing a page.
    Svg,
    /// One picture a page.
    Png,
}

/// `print`.
#[derive(Args, Debug)]
pub struct PrintArgs {
    /// What to print [default: tapes cards]
    #[arg(value_enum, value_name = "WHAT")]
    pub what: Vec<What>,
    /// The setup.
    #[command(flatten)]
    pub setup: SetupArgs,
    /// By hand: the nearest distance the lens goes to
    #[arg(
        long,
        value_name = "D",
        allow_hyphen_values = true,
        conflicts_with = "lens"
    )]
    pub close_focus: Option<String>,
    /// By hand: round the ring, over what is stuck on already; what a strip reads, less 0.3 mm
    #[arg(
        long,
        value_name = "LENGTH",
        allow_hyphen_values = true,
        conflicts_with = "lens"
    )]
    pub circumference: Option<String>,
    /// By hand: along the bare ring from the infinity to the close-focus mark; what a strip
    /// reads, less its share of the strip's 0.3 mm
    #[arg(
        long,
        value_name = "LENGTH",
        allow_hyphen_values = true,
        conflicts_with = "lens"
    )]
    pub travel_length: Option<String>,
    /// By hand: how the ring turns from infinity to close focus, seen from behind the camera
    #[arg(
        long,
        value_name = "clockwise|counter-clockwise",
        conflicts_with = "lens"
    )]
    pub sense: Option<String>,
    /// Ruler: a ring to test the printer round.
    #[command(flatten)]
    pub ruler: RulerArgs,
    /// Plots: a wanted contrast, for the plot of contrast through focus.
    #[command(flatten)]
    pub waves: WaveArgs,
    /// Plots: focus distances of blur or contrast; targets: where they stand; from the image plane
    #[arg(
        long,
        value_name = "D,…",
        value_delimiter = ',',
        allow_hyphen_values = true
    )]
    pub at: Vec<String>,
    /// Plots: the stops of the limits [default: full stops from the widest to 22], or of the contrast
    /// [default: the stop worked at]
    #[arg(
        long,
        value_name = "STOP,…",
        value_delimiter = ',',
        allow_hyphen_values = true
    )]
    pub stops: Vec<String>,
    /// How plots and cards lie [default: plots landscape, cards portrait]
    #[arg(long, value_enum, value_name = "WAY")]
    pub orientation: Option<Orientation>,
    /// Where to write
    #[arg(long, value_name = "DIR", default_value = "markwright-out")]
    pub out: std::path::PathBuf,
    /// The form of the files
    #[arg(long, value_enum, default_value_t, value_name = "FORM")]
    pub to: PrintForm,
    /// The paper: a4, letter, a5, a6, 4x6
    #[arg(long, value_name = "PAPER")]
    pub paper: Option<String>,
    /// From which side of the camera tapes are read: left, right or both
    #[arg(long, value_name = "SIDE")]
    pub side: Option<String>,
    /// How cards are drawn.
    #[command(flatten)]
    pub cards: CardArgs,
    /// Tapes, discs and strips by the rings' own scales, whatever prep.csv says of them on this camera
    #[arg(long)]
    pub uncorrected: bool,
    /// Write over sheets of our own that are there already
    #[arg(long)]
    pub replace: bool,
    /// How the answer is written.
    #[command(flatten)]
    pub output: Output,
}
