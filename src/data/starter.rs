//! The kit to begin with: an invented one, to be edited.

macro_rules! starter {
    ($($path:literal),+ $(,)?) => {
        &[$(($path, include_str!(concat!("../../charts/starter/", $path)))),+]
    };
}

/// The starter kit's files: path within the kit, and text.
#[must_use]
pub const fn starter() -> &'static [(&'static str, &'static str)] {
    starter![
        "kit.toml",
        "lenses.csv",
        "marks/18.csv",
        "marks/25.csv",
        "marks/32.csv",
        "marks/40.csv",
        "marks/50.csv",
        "marks/75.csv",
        "marks/100.csv",
        "prep.csv",
        "shots.csv",
    ]
}
