//! Reads what people write on set.
//!
//! | what | spellings |
//! |---|---|
//! | distance | `8'6"` `8′6½″` `8ft6 1/2in` `102in` `2.6m` `260cm` `2600mm` `inf` `∞` |
//! | length | `25um` `0.025mm` `0.001in` `2'6"` |
//! | stop | `f/2.8` `T2.9` `T2.8 1/3` (a third closed) `T2.8/4` (midway) |
//! | gate | `24.89x18.66mm` `0.980x0.735in` |
//! | light | `550nm` `486nm,546nm,633nm` `486nm:1,546nm:2,633nm:1` (with weights) |
//! | contrast | `0.3@40/mm` |
//! | photosite pitch | `5um` |
//!
//! Units typed are units meant: a bare number where a distance is wanted is
//! refused, and so is a decimal number of feet, for `5.6` may mean 5′6″ or
//! 5′7³⁄₁₆″.

mod distance;
mod plain;
mod stop;
mod text;
mod wave;

use core::fmt;

pub use distance::distance;
pub use plain::{angle, gain, gate, length, number};
pub use stop::stop;
pub use text::looks_like_a_date;
pub use wave::{contrast_at, light, pitch};

use super::StopKind;
use super::range::Range;

/// The units people work in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Feet and inches.
    Feet,
    /// Metres.
    Metres,
}

/// What a number without a unit means where a distance is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BareUnit {
    /// Nothing: it is refused. The unit of output, where known, allows `8-6`
    /// for feet and words the refusal.
    Refused(Option<Unit>),
    /// The unit of the lens's own engraved scale.
    Engraved(Unit),
}

impl BareUnit {
    /// The unit people here think in, if known.
    const fn habit(self) -> Option<Unit> {
        match self {
            Self::Refused(unit) => unit,
            Self::Engraved(unit) => Some(unit),
        }
    }
}

/// Why a text is not the quantity it should be.
#[non_exhaustive]
#[derive(Clone, Debug, PartialEq)]
pub enum Unreadable {
    /// Not a quantity of this kind at all.
    NotThis {
        /// What was wanted, as "a distance".
        wanted: &'static str,
        /// What would be right.
        example: &'static str,
    },
    /// A decimal number of feet, with what it may mean.
    AmbiguousFeet {
        /// The figure read as feet, dot, inches (`5.6` as 5′6″), where it can be.
        as_feet_and_inches: Option<String>,
        /// The figure read as decimal feet (`5.6` as 5′7³⁄₁₆″).
        as_decimal: String,
    },
    /// A fraction of a foot, with what it may mean.
    FractionOfFeet {
        /// The figure read as feet (`6½'` as 6′6″).
        as_feet: String,
        /// The figure read as inches (`6½'` as 6½″).
        as_inches: String,
    },
    /// A stop without `f/` or `T`.
    AmbiguousStop {
        /// The number typed.
        number: String,
    },
    /// A number without a unit.
    BareNumber {
        /// The number typed.
        number: String,
        /// The unit of output, where known.
        habit: Option<Unit>,
    },
    /// A cell that a spreadsheet turned into a date.
    SpreadsheetDate,
    /// Zero or below where that cannot be.
    NotPositive {
        /// The quantity.
        name: &'static str,
    },
    /// Infinite, or not a number, where that cannot be.
    NotFinite {
        /// The quantity.
        name: &'static str,
    },
    /// Outside what the quantity may be.
    OutOfRange {
        /// The quantity and its range.
        range: &'static Range,
        /// What was typed, in the unit of the range.
        value: f64,
    },
}

impl fmt::Display for Unreadable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotThis { wanted, .. } => write!(f, "not {wanted}"),
            Self::AmbiguousFeet {
                as_feet_and_inches: Some(first),
                as_decimal,
            } => {
                write!(
                    f,
                    "a decimal number of feet may mean {first} or {as_decimal}"
                )
            }
            Self::AmbiguousFeet {
                as_feet_and_inches: None,
                as_decimal,
            } => {
                write!(f, "a decimal number of feet ({as_decimal}?) is not taken")
            }
            Self::FractionOfFeet { as_feet, as_inches } => {
                write!(f, "a fraction of a foot may mean {as_feet} or {as_inches}")
            }
            Self::AmbiguousStop { number } => {
                write!(f, "{number} may mean f/{number} or T{number}")
            }
            Self::BareNumber { number, .. } => write!(f, "{number} has no unit"),
            Self::SpreadsheetDate => f.write_str("a spreadsheet has turned this into a date"),
            Self::NotPositive { name } => write!(f, "{name} must be above zero"),
            Self::NotFinite { name } => write!(f, "{name} must be a finite number"),
            Self::OutOfRange { range, value } => {
                // A figure of so many digits says no more than what was typed.
                let value = if value.abs() < 1e15 {
                    format!("{} ", range.with_unit(*value))
                } else {
                    String::new()
                };
                write!(f, "{} {value}is outside {}", range.name, range.in_words())
            }
        }
    }
}

impl core::error::Error for Unreadable {}

impl Unreadable {
    /// What would be right, in words for the person who typed it.
    #[must_use]
    pub fn help(&self) -> Option<String> {
        match self {
            Self::NotThis { example, .. } => Some(format!("write it like {example}")),
            Self::AmbiguousFeet {
                as_feet_and_inches: Some(first),
                as_decimal,
            } => Some(format!("write {first} or {as_decimal} as you mean it")),
            Self::AmbiguousFeet {
                as_feet_and_inches: None,
                as_decimal,
            } => Some(format!("write {as_decimal}")),
            Self::FractionOfFeet { as_feet, as_inches } => {
                Some(format!("write {as_feet} or {as_inches} as you mean it"))
            }
            Self::AmbiguousStop { number } => Some(format!("write f/{number} or T{number}")),
            Self::BareNumber { number, habit } => {
                Some(format!("write {}", readings(number, *habit)))
            }
            Self::SpreadsheetDate => {
                Some("format the column as text and write the distance again, as 8'6\"".into())
            }
            Self::OutOfRange { range, .. } if range.unit.is_empty() => {
                Some("look again at the figure".into())
            }
            Self::OutOfRange { .. } => Some("look again at the figure and its unit".into()),
            Self::NotPositive { .. } | Self::NotFinite { .. } => None,
        }
    }
}

/// What a number without a unit may be: one figure in each unit, or two, as
/// `8-6`, `8 6` and `6 1/2`.
fn readings(number: &str, habit: Option<Unit>) -> String {
    match number.split_once([' ', '-']) {
        Some((first, fraction)) if !first.is_empty() && fraction.contains('/') => {
            format!("inches as {number}in, feet and inches as {first}'0 {fraction}\"")
        }
        Some((first, second)) if !first.is_empty() => {
            format!("{first}'{}\"", second.trim_end_matches('"'))
        }
        _ if habit == Some(Unit::Metres) => format!("{number}mm, {number}cm or {number}m"),
        // A decimal number of feet would be refused in its turn.
        _ if number.contains('.') => {
            format!("{number}m, {number}in or {number}mm, or feet and inches as 5'6\"")
        }
        _ => format!("{number}', {number}in, {number}m or {number}mm"),
    }
}
