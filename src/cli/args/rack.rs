//! The options of `rack`.

use std::path::PathBuf;

use clap::Args;

use super::{Orientation, Output, RingByHand, SetupArgs};

/// `rack`.
#[derive(Args, Debug)]
pub struct RackArgs {
    /// The setup.
    #[command(flatten)]
    pub setup: SetupArgs,
    /// Where the pull begins; on a path, taped straight from the image-plane mark
    #[arg(long, value_name = "D", allow_hyphen_values = true)]
    pub from: String,
    /// Where it ends, taped alike [default with --passing: at the closest point]
    #[arg(
        long,
        value_name = "D",
        allow_hyphen_values = true,
        required_unless_present = "passing"
    )]
    pub to: Option<String>,
    /// How long it takes, in seconds
    #[arg(long, value_name = "S", allow_hyphen_values = true)]
    pub seconds: Option<String>,
    /// How fast the subject goes along its path: 1.2m/s, 4ft/s, 5km/h, 3mph, walk, run
    #[arg(
        long,
        value_name = "V",
        allow_hyphen_values = true,
        conflicts_with = "seconds"
    )]
    pub speed: Option<String>,
    /// The path.
    #[command(flatten)]
    pub path: PathArgs,
    /// How often the ring is told on the way, in seconds [default: at 11 equal times]
    #[arg(long, value_name = "S", allow_hyphen_values = true)]
    pub every: Option<String>,
    /// The plot.
    #[command(flatten)]
    pub plot: PlotArgs,
    /// The ring, by hand.
    #[command(flatten)]
    pub by_hand: RingByHand,
    /// How the answer is written.
    #[command(flatten)]
    pub output: Output,
}

/// The path of a subject that does not keep to the axis.
#[derive(Args, Clone, Debug, Default)]
pub struct PathArgs {
    /// The subject passes on a straight line that comes so close; the camera pans with it
    #[arg(
        long,
        value_name = "D",
        allow_hyphen_values = true,
        conflicts_with = "circling"
    )]
    pub passing: Option<String>,
    /// The subject goes round a circle whose centre is so far away; the camera pans with it
    #[arg(
        long,
        value_name = "D",
        allow_hyphen_values = true,
        requires = "radius"
    )]
    pub circling: Option<String>,
    /// The radius of that circle
    #[arg(
        long,
        value_name = "LENGTH",
        allow_hyphen_values = true,
        requires = "circling"
    )]
    pub radius: Option<String>,
    /// The way ends before the closest point, on the side where it begins
    #[arg(long, requires = "to")]
    pub before_passing: bool,
    /// With --passing: the frame stands still, aimed where the subject is so far away on the
    /// side where it begins
    #[arg(
        long,
        value_name = "D",
        allow_hyphen_values = true,
        requires = "passing"
    )]
    pub frame_at: Option<String>,
    /// With --circling: the frame stands still, aimed at the centre
    #[arg(long, requires = "circling")]
    pub frame_on_centre: bool,
}

/// A plot beside the answer.
#[derive(Args, Clone, Debug, Default)]
pub struct PlotArgs {
    /// Plot the ring against time into this file, which ends in .pdf, .svg or .png
    #[arg(long = "plot", value_name = "FILE")]
    pub file: Option<PathBuf>,
    /// The paper of the plot: a4, letter, a5 [default: the kit's, else a4]
    #[arg(long, value_name = "PAPER", requires = "file")]
    pub paper: Option<String>,
    /// How the paper of the plot lies [default: landscape]
    #[arg(long, value_enum, value_name = "WAY", requires = "file")]
    pub orientation: Option<Orientation>,
    /// Write the plot over one of our own that is there already
    #[arg(long, requires = "file")]
    pub replace: bool,
}
