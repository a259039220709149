//! What can be typed of the take-down at the bench.

use clap::{Args, Subcommand, ValueEnum};

use super::{EXIT_CODES, Output};

/// `marks`.
#[derive(Debug, Subcommand)]
pub enum MarksCommand {
    /// Take down, line by line, where a lens was sharp: DISTANCE READING [READING …]
    #[command(after_help = help())]
    Take(TakeArgs),
}

fn help() -> String {
    format!(
        "A line is a taped distance and what the ring read, repeats behind one another:\n  \
         6' 41.2 41.5 41.3\n\
         undo takes the last line back, list shows what was taken, help says how, done (or the \
         end of the input) ends. Each line is judged, and saved at once.\n\n\
         Examples: markwright marks take 50 --kit mykit\n          \
         markwright marks take 50 --kit mykit --scale < readings.txt\n\n\
         {EXIT_CODES}\n\
         Lines that come from a file or a pipe and are refused do not stop the others; the exit \
         code is then 2."
    )
}

/// What readings of the ring are counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum TypedCount {
    /// Millimetres on a strip round the ring.
    Mm,
    /// Degrees of ring.
    Deg,
}

/// `marks take`.
#[derive(Args, Debug)]
pub struct TakeArgs {
    /// The lens, by its id
    pub lens: String,
    /// What the lens's own scale reads, for prep.csv, rather than marks found by eye
    #[arg(long)]
    pub scale: bool,
    /// What readings are in: for a new file of marks mm (the default) or deg; with --scale deg,
    /// where not the scale's distances but degrees of its ring are read
    #[arg(long = "in", value_enum, value_name = "UNIT")]
    pub count: Option<TypedCount>,
    /// With --scale: the stop it is read at [default: the lens's widest]
    #[arg(long, value_name = "STOP", requires = "scale")]
    pub stop: Option<String>,
    /// How the answer is written.
    #[command(flatten)]
    pub output: Output,
}
