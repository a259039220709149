//! What can be typed: the command line as it stands, before it means anything.

use std::ffi::OsString;

use clap::{Args, CommandFactory, FromArgMatches, Parser, Subcommand, ValueEnum};

mod cards;
mod print;
mod put;
mod rack;
mod setup;
mod take;

pub use cards::{CardArgs, Face, Look};
pub use print::{Orientation, PrintArgs, PrintForm, What};
pub use put::{ImportArgs, LensAddArgs, LensCommand, TypedPosition};
pub use rack::{PlotArgs, RackArgs};
pub use setup::{RulerArgs, SetupArgs, TapeArgs, TypedAnamorph, TypedCircleOn, Typing, WaveArgs};
pub use take::{MarksCommand, TakeArgs, TypedCount};

const EXIT_CODES: &str = "\
Exit codes: 0 done (a \"no\" is an answer) · 1 the machine failed · 2 the usage or the input \
cannot be · 3 well-formed, but no setting of this lens does it";

/// Focus marks, depth of field and printed tapes for the focus puller.
#[derive(Debug, Parser)]
#[command(name = "markwright", version, propagate_version = true, after_help = EXIT_CODES, max_term_width = 100)]
pub struct Typed {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Write a starter kit (an invented set of seven primes) to be edited
    #[command(after_help = with_example("markwright new mykit"))]
    New(NewArgs),
    /// The recording formats with sizes and sources
    #[command(after_help = with_example("markwright formats --as csv"))]
    Formats(FormatsArgs),
    /// Read a kit, report every fault with its place, say back what was understood
    #[command(after_help = with_example("markwright check --kit mykit"))]
    Check(CheckArgs),
    /// Hyperfocal, near and far limits, and how far a subject may miss the mark
    #[command(after_help = with_example(
        "markwright depth --focal 50mm --stop f/2.8 --circle 0.025mm --at 6',10'"
    ))]
    Depth(DepthArgs),
    /// Field of view, and where to stand or what lens to take for a wanted width
    #[command(after_help = with_example(
        "markwright field --focal 32mm --format s35-3perf --at 2m,4m"
    ))]
    Field(FieldArgs),
    /// Can these subjects be held: yes, just or no, the split, the stop, and what else would do
    #[command(after_help = with_example(
        "markwright hold --focal 50mm --stop f/4 --circle 0.025mm --near 2m --far 4m"
    ))]
    Hold(HoldArgs),
    /// Depth steps: marks one depth apart, from far to near
    #[command(after_help = with_example(
        "markwright steps --focal 135mm --stop f/2.8 --circle 0.025mm --from 20m --to 5m"
    ))]
    Steps(StepsArgs),
    /// Where distances stand on the ring, and by how much the ring may be off
    #[command(after_help = with_example("markwright ring --kit mykit --lens 50 --at 3',6'"))]
    Ring(RingArgs),
    /// The turn of the ring from one distance to another, or along the way of a moving subject
    #[command(after_help = with_example(
        "markwright rack --kit mykit --lens 50 --from 10' --to 4' --seconds 2"
    ))]
    Rack(RackArgs),
    /// Prep day: is each scale true, and is an error the lens's or the camera's?
    #[command(after_help = with_example("markwright prep --kit mykit"))]
    Prep(PrepArgs),
    /// Lenses put into a kit
    #[command(subcommand)]
    Lens(LensCommand),
    /// Marks of a lens from a table of another kind, or its engraved distances in one line
    #[command(after_help = put::import_help())]
    Import(ImportArgs),
    /// Marks and readings of a lens, taken down at the bench
    #[command(subcommand)]
    Marks(MarksCommand),
    /// Print sheets: tapes, cards, discs, strips, plots, rulers, targets
    #[command(after_help = with_example("markwright print tapes cards --kit mykit --out sheets"))]
    Print(PrintArgs),
}

fn with_example(example: &str) -> String {
    format!("Example: {example}\n\n{EXIT_CODES}")
}

/// How an answer is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum As {
    /// For people.
    #[default]
    Text,
    /// For programs.
    Json,
    /// For spreadsheets.
    Csv,
}

/// The unit of output.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum TypedUnit {
    /// Feet and inches.
    Feet,
    /// Metres.
    Metres,
}

/// When to colour what is written to a terminal.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Color {
    /// When it is a terminal.
    #[default]
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

/// Options of every command that answers.
#[derive(Args, Clone, Debug, Default)]
pub struct Output {
    /// How to write the answer
    #[arg(long = "as", value_enum, default_value_t, value_name = "FORM")]
    pub form: As,
    /// The unit of output
    #[arg(long, value_enum)]
    pub units: Option<TypedUnit>,
    /// Show how it was worked out, step by step
    #[arg(long)]
    pub explain: bool,
    /// The kit's folder [default: the current folder if it holds a kit.toml]
    #[arg(long, value_name = "DIR")]
    pub kit: Option<std::path::PathBuf>,
    /// Which camera of the kit
    #[arg(long, value_name = "A")]
    pub camera: Option<String>,
    /// When to use colour
    #[arg(long, value_enum, default_value_t, value_name = "WHEN")]
    pub color: Color,
    /// Say less on the way
    #[arg(short, long)]
    pub quiet: bool,
}

/// `new`.
#[derive(Args, Debug)]
pub struct NewArgs {
    /// The folder to write
    pub dir: std::path::PathBuf,
    /// How to write the answer
    #[arg(long = "as", value_enum, default_value_t, value_name = "FORM")]
    pub form: As,
    /// When to use colour
    #[arg(long, value_enum, default_value_t, value_name = "WHEN")]
    pub color: Color,
    /// Say less on the way
    #[arg(short, long)]
    pub quiet: bool,
}

/// `formats`.
#[derive(Args, Debug)]
pub struct FormatsArgs {
    /// How the answer is written.
    #[command(flatten)]
    pub output: Output,
}

/// `check`.
#[derive(Args, Debug)]
pub struct CheckArgs {
    /// How the answer is written.
    #[command(flatten)]
    pub output: Output,
}

/// `depth`.
#[derive(Args, Debug)]
pub struct DepthArgs {
    /// The setup.
    #[command(flatten)]
    pub setup: SetupArgs,
    /// Focus distances, from the image plane
    #[arg(
        long,
        value_name = "D,…",
        value_delimiter = ',',
        allow_hyphen_values = true
    )]
    pub at: Vec<String>,
    /// What the ring reads instead: where does that focus, with what is attached?
    #[arg(
        long,
        value_name = "D,…",
        value_delimiter = ',',
        allow_hyphen_values = true,
        conflicts_with_all = ["at", "taped", "floor", "macro_branch"]
    )]
    pub mark: Vec<String>,
    /// Other things: how soft are they?
    #[arg(
        long,
        value_name = "D,…",
        value_delimiter = ',',
        allow_hyphen_values = true
    )]
    pub object: Vec<String>,
    /// A tape reading instead of a focus distance.
    #[command(flatten)]
    pub tape: TapeArgs,
    /// What is to count as sharp.
    #[command(flatten)]
    pub waves: WaveArgs,
    /// How the answer is written.
    #[command(flatten)]
    pub output: Output,
}

/// `field`.
#[derive(Args, Debug)]
pub struct FieldArgs {
    /// The setup.
    #[command(flatten)]
    pub setup: SetupArgs,
    /// Focus distances, from the image plane
    #[arg(
        long,
        value_name = "D,…",
        value_delimiter = ',',
        allow_hyphen_values = true
    )]
    pub at: Vec<String>,
    /// The plane whose framed width and height are wanted, sharp or not
    #[arg(
        long,
        value_name = "D",
        allow_hyphen_values = true,
        conflicts_with = "width"
    )]
    pub plane: Option<String>,
    /// The width to be framed: with --focal or --lens the distance, with --at the focal length
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub width: Option<String>,
    /// A tape reading instead of a focus distance.
    #[command(flatten)]
    pub tape: TapeArgs,
    /// How the answer is written.
    #[command(flatten)]
    pub output: Output,
}

/// `hold`.
#[derive(Args, Debug)]
pub struct HoldArgs {
    /// The setup.
    #[command(flatten)]
    pub setup: SetupArgs,
    /// The nearest subject; alone: where to focus for this near limit
    #[arg(long, value_name = "D", allow_hyphen_values = true)]
    pub near: Option<String>,
    /// The farthest subject; alone: where to focus for this far limit (inf: hyperfocal)
    #[arg(long, value_name = "D", allow_hyphen_values = true)]
    pub far: Option<String>,
    /// Subjects between them: how soft are they?
    #[arg(
        long,
        value_name = "D,…",
        value_delimiter = ',',
        allow_hyphen_values = true,
        requires_all = ["near", "far"]
    )]
    pub between: Vec<String>,
    /// What is to count as sharp.
    #[command(flatten)]
    pub waves: WaveArgs,
    /// How the answer is written.
    #[command(flatten)]
    pub output: Output,
}

/// `steps`.
#[derive(Args, Debug)]
pub struct StepsArgs {
    /// The setup.
    #[command(flatten)]
    pub setup: SetupArgs,
    /// The far end [default: infinity]
    #[arg(long, value_name = "D", allow_hyphen_values = true)]
    pub from: Option<String>,
    /// The near end [default: close focus]
    #[arg(long, value_name = "D", allow_hyphen_values = true)]
    pub to: Option<String>,
    /// Far limits stand at the near limit before: the fewest steps without a gap
    #[arg(long, conflicts_with = "overlapping")]
    pub touching: bool,
    /// Each focus stands at the near limit before it (the default)
    #[arg(long)]
    pub overlapping: bool,
    /// How the answer is written.
    #[command(flatten)]
    pub output: Output,
}

impl Command {
    /// The setup options of a command that has them.
    fn setup_mut(&mut self) -> Option<&mut SetupArgs> {
        match self {
            Self::New(_)
            | Self::Formats(_)
            | Self::Check(_)
            | Self::Prep(_)
            | Self::Marks(_)
            | Self::Lens(_)
            | Self::Import(_) => None,
            Self::Depth(args) => Some(&mut args.setup),
            Self::Field(args) => Some(&mut args.setup),
            Self::Hold(args) => Some(&mut args.setup),
            Self::Steps(args) => Some(&mut args.setup),
            Self::Ring(args) => Some(&mut args.setup),
            Self::Rack(args) => Some(&mut args.setup),
            Self::Print(args) => Some(&mut args.setup),
        }
    }
}

impl Typed {
    /// Reads a command line. What is behind the lens stands in the order it was
    /// typed in, whatever it is.
    ///
    /// # Errors
    /// As clap has them; help and version are among them.
    pub fn read(args: &[OsString]) -> Result<Self, clap::Error> {
        let matches = Self::command().try_get_matches_from(args)?;
        let mut typed = Self::from_arg_matches(&matches)?;
        let (Some((_, matches)), Some(setup)) = (matches.subcommand(), typed.command.setup_mut())
        else {
            return Ok(typed);
        };
        let places = |name: &str, what: Typing| {
            let indices = matches.indices_of(name).into_iter().flatten();
            indices.map(move |place| (place, what)).collect::<Vec<_>>()
        };
        let mut order = places("extender", Typing::Extender);
        order.extend(places("tube", Typing::Tube));
        order.extend(places("rear_filter", Typing::Filter));
        order.sort_by_key(|(place, _)| *place);
        setup.behind = order.into_iter().map(|(_, what)| what).collect();
        Ok(typed)
    }
}

/// A ring by hand.
#[derive(Args, Clone, Debug, Default)]
pub struct RingByHand {
    /// By the ring's own scale, whatever prep.csv says of it on this camera
    #[arg(long)]
    pub uncorrected: bool,
    /// By hand: degrees of ring for each millimetre the lens moves, as 30deg/mm
    #[arg(
        long,
        value_name = "GAIN",
        allow_hyphen_values = true,
        conflicts_with = "lens"
    )]
    pub gain: Option<String>,
    /// By hand: the nearest distance the lens goes to
    #[arg(
        long,
        value_name = "D",
        allow_hyphen_values = true,
        conflicts_with = "lens"
    )]
    pub close_focus: Option<String>,
    /// By hand: round the bare ring; needed for --at-mm and for answers in mm
    #[arg(
        long,
        value_name = "LENGTH",
        allow_hyphen_values = true,
        conflicts_with = "lens"
    )]
    pub circumference: Option<String>,
}

/// `ring`.
#[derive(Args, Debug)]
pub struct RingArgs {
    /// The setup.
    #[command(flatten)]
    pub setup: SetupArgs,
    /// Distances, from the image plane [default: the lens's own marks, else the usual ones]
    #[arg(
        long,
        value_name = "D,…",
        value_delimiter = ',',
        allow_hyphen_values = true
    )]
    pub at: Vec<String>,
    /// Millimetres along the bare ring from its zero (the infinity mark, else the farthest mark
    /// that was read) toward close focus: which distances stand there?
    #[arg(
        long,
        value_name = "MM,…",
        value_delimiter = ',',
        allow_hyphen_values = true
    )]
    pub at_mm: Vec<String>,
    /// The ring, by hand.
    #[command(flatten)]
    pub by_hand: RingByHand,
    /// How far the image plane is off, positive away from the lens
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub image_plane_error: Option<String>,
    /// A tape reading instead of a focus distance.
    #[command(flatten)]
    pub tape: TapeArgs,
    /// How the answer is written.
    #[command(flatten)]
    pub output: Output,
}

/// `prep`.
#[derive(Args, Debug)]
pub struct PrepArgs {
    /// What to read, and where the chart stands: a form to fill in
    #[arg(long, conflicts_with = "explain")]
    pub plan: bool,
    /// Lenses to answer for [default: all that were read]; all readings count either way
    #[arg(long, value_name = "ID", num_args = 1..)]
    pub lens: Vec<String>,
    /// How the answer is written.
    #[command(flatten)]
    pub output: Output,
}
