//! What can be typed of putting lenses and marks into a kit.

use std::sync::OnceLock;

use clap::{Arg, ArgMatches, Args, FromArgMatches, Subcommand, ValueEnum};

use super::{As, Color, EXIT_CODES, Output, TypedUnit};
use crate::data::keys::{Form, Key, LENSES};
use crate::data::put::option_of;

/// `lens`.
#[derive(Debug, Subcommand)]
pub enum LensCommand {
    /// Put a lens into a kit: a row of lenses.csv, and the form for its marks
    #[command(after_help = lens_help())]
    Add(LensAddArgs),
}

fn lens_help() -> String {
    format!(
        "Each option is a column of lenses.csv; one that ends in -deg or is a ratio is a plain \
         number, lengths carry their unit. marks/ID.csv is written with the distances usually \
         engraved, for their positions to be read; one that is there is left alone.\n\n\
         Example: markwright lens add 65 --kit mykit --focal 65mm --t-number 2.1 --engraved feet \
         --close-focus \"2'\" --sense clockwise --circumference 267mm --travel-deg 296\n\n\
         {EXIT_CODES}\n\
         With a fault nothing is written."
    )
}

/// The after-help of `import`.
pub(super) fn import_help() -> String {
    format!(
        "Columns go by their names or their numbers. A table with a kit's own column names needs \
         no option but --lens. Rows without a position are kept and wait for it.\n\n\
         Examples: markwright import readings.csv --lens 50 --kit mykit --distance Distance \
         --position Strip --unit mm --kind eye\n          \
         markwright import --lens 50 --kit mykit --line \"1'6 1'9 2 2'6 3 4 5 7 10 inf\"\n\n\
         {EXIT_CODES}\n\
         With a fault in one row nothing is written. Up to 16 MiB are read; - is standard input."
    )
}

/// How an answer about what was written is told.
#[derive(Args, Clone, Debug, Default)]
pub struct PutOutput {
    /// How to write the answer
    #[arg(long = "as", value_enum, default_value_t, value_name = "FORM")]
    pub form: As,
    /// The unit of output
    #[arg(long, value_enum)]
    pub units: Option<TypedUnit>,
    /// The kit's folder [default: the current folder if it holds a kit.toml]
    #[arg(long, value_name = "DIR")]
    pub kit: Option<std::path::PathBuf>,
    /// When to use colour
    #[arg(long, value_enum, default_value_t, value_name = "WHEN")]
    pub color: Color,
    /// Say less on the way
    #[arg(short, long)]
    pub quiet: bool,
}

impl PutOutput {
    /// The same, as commands that answer have it.
    pub fn as_output(&self) -> Output {
        Output {
            form: self.form,
            units: self.units,
            kit: self.kit.clone(),
            color: self.color,
            quiet: self.quiet,
            ..Output::default()
        }
    }
}

/// `lens add`.
#[derive(Args, Debug)]
pub struct LensAddArgs {
    /// What the lens is called in the kit; its files are named after it
    pub id: String,
    /// What is said of it.
    #[command(flatten)]
    pub columns: LensColumns,
    /// How the answer is written.
    #[command(flatten)]
    pub output: PutOutput,
}

/// The columns of `lenses.csv` as options, made from the definitions that read
/// them.
#[derive(Clone, Debug, Default)]
pub struct LensColumns(pub Vec<(&'static Key, String)>);

/// What a column is about, as its option's help.
fn about(key: &Key) -> String {
    let mut meaning = key.meaning.chars();
    let first = meaning
        .next()
        .map_or(' ', |first| first.to_ascii_uppercase());
    let unit = if key.name.ends_with("_mm") { "mm" } else { "" };
    format!("{first}{}; as {}{unit}", meaning.as_str(), key.example)
}

/// What stands behind a column's option.
fn value(key: &Key) -> String {
    match key.form {
        _ if key.name.ends_with("_mm") => "LENGTH".into(),
        Form::Distance => "D".into(),
        Form::OneOf(words) => words.join("|"),
        Form::Words | Form::Name | Form::Other(_) | Form::Stop => "TEXT".into(),
        Form::Length(_) | Form::Angle(_) => "VALUE".into(),
        Form::Number(_) | Form::Whole(_) => "N".into(),
        Form::Numbers(_) | Form::Pair(_) => "N N …".into(),
    }
}

/// A column that is an option: its option's name, and what stands behind it.
type Named = (&'static Key, String, String);

/// The columns that are options.
fn options() -> &'static [Named] {
    static OPTIONS: OnceLock<Vec<Named>> = OnceLock::new();
    OPTIONS.get_or_init(|| {
        let keys = LENSES.keys.iter().filter(|key| key.name != "id");
        keys.map(|key| (key, option_of(key), value(key))).collect()
    })
}

impl Args for LensColumns {
    fn augment_args(command: clap::Command) -> clap::Command {
        options()
            .iter()
            .fold(command, |command, (key, option, value)| {
                let arg = Arg::new(key.name)
                    .long(option.as_str())
                    .value_name(value.as_str())
                    .allow_hyphen_values(true)
                    .help(about(key));
                command.arg(arg)
            })
    }

    fn augment_args_for_update(command: clap::Command) -> clap::Command {
        Self::augment_args(command)
    }
}

impl FromArgMatches for LensColumns {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let typed = options().iter().filter_map(|(key, ..)| {
            let typed = matches.get_one::<String>(key.name)?;
            Some((*key, typed.clone()))
        });
        Ok(Self(typed.collect()))
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

/// What positions are counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum TypedPosition {
    /// Millimetres along the ring.
    Mm,
    /// Degrees of ring.
    Deg,
    /// Parts of the whole travel.
    Fraction,
    /// Steps of an encoder.
    Counts,
}

/// `import`.
#[derive(Args, Debug)]
pub struct ImportArgs {
    /// The table to read; - for standard input
    #[arg(required_unless_present = "line", conflicts_with = "line")]
    pub file: Option<std::path::PathBuf>,
    /// The lens, by its id
    #[arg(long, value_name = "ID")]
    pub lens: String,
    /// The lens's own engraved distances instead of a table: positions stay to be read
    #[arg(
        long,
        value_name = "D D …",
        allow_hyphen_values = true,
        conflicts_with_all = ["distance", "position", "kind", "camera", "sd"]
    )]
    pub line: Option<String>,
    /// The column of distances, from the image plane
    #[arg(long, value_name = "COL")]
    pub distance: Option<String>,
    /// The column of what the ring read; repeats in one cell are averaged
    #[arg(long, value_name = "COL")]
    pub position: Option<String>,
    /// What positions are counted in
    #[arg(long, value_enum, value_name = "UNIT")]
    pub unit: Option<TypedPosition>,
    /// What distances without a unit are [default: as the lens's own scale, else refused]
    #[arg(long, value_enum, value_name = "UNIT")]
    pub distances_in: Option<TypedUnit>,
    /// The column of kinds; or the kind of all rows: engraved, eye or read
    #[arg(long, value_name = "COL|KIND")]
    pub kind: Option<String>,
    /// The column of cameras; or the camera of all rows
    #[arg(long, value_name = "COL|A")]
    pub camera: Option<String>,
    /// The column of standard deviations, in degrees of ring
    #[arg(long, value_name = "COL")]
    pub sd: Option<String>,
    /// Put the rows at the end of marks that are there
    #[arg(long, conflicts_with = "replace")]
    pub append: bool,
    /// Write marks that are there anew, and keep the old file beside them
    #[arg(long)]
    pub replace: bool,
    /// How the answer is written.
    #[command(flatten)]
    pub output: PutOutput,
}
