//! How cards are drawn.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

/// How cards look.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Look {
    /// Black on white.
    #[default]
    Light,
    /// White on black.
    Dark,
    /// Black on white, figures at least 1.4 times as high, in fewer lines.
    Large,
}

/// Which faces of depth cards are printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Face {
    /// Both, to be folded where the paper is large.
    #[default]
    Both,
    /// The dark-set face alone, as large as the paper.
    Dark,
    /// How far subjects may miss the mark, alone, as large as the paper.
    Table,
}

/// How cards are drawn.
#[derive(Args, Debug)]
pub struct CardArgs {
    /// Cards black on white, white on black for a dark set, or large: figures 1.4 times as high
    #[arg(long, value_enum, default_value_t, value_name = "LOOK")]
    pub look: Look,
    /// Depth cards: both faces, or one on a page of its own [default: both]
    #[arg(long, value_enum, value_name = "FACE")]
    pub face: Option<Face>,
    /// Cards laid out by the files in this folder (card.toml, hyperfocals.toml, fields.toml,
    /// conversions.toml; see charts/README.md)
    #[arg(long, value_name = "DIR")]
    pub layouts: Option<PathBuf>,
}
