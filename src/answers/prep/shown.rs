//! How what was found is shown: rounded so that it promises no more than it is.

use super::lens::Settle;
use super::which_way;
use crate::units::{Length, Unit, show};

/// A displacement to the nearest of some steps, its sign kept; minus nought is
/// nought.
#[must_use]
pub fn nearest_step(error: Length, step: Length) -> Length {
    let steps = libm::round(error.to_mm() / step.to_mm());
    Length::mm(steps * step.to_mm() + 0.0)
}

/// A standard error so many times, rounded up to a step.
#[must_use]
pub fn up_to_step(standard_error: Length, times: u32, step: Length) -> Length {
    let steps = f64::from(times) * standard_error.to_mm() / step.to_mm();
    Length::mm(libm::ceil(steps - 1e-9) * step.to_mm())
}

/// What is tolerated, in mm, cut and never rounded up.
#[must_use]
pub fn tolerated_in_mm(length: Length) -> String {
    format!("{:.3}", libm::floor(length.to_mm() * 1000.0) / 1000.0)
}

/// Displacements are shown by so much: no reading by eye tells more.
pub const DISPLACEMENT_STEP: Length = Length::mm(0.005);

/// A displacement to the nearest step with two standard errors, its sign in
/// words.
#[must_use]
pub fn displacement_in_words(error: Length, standard_error: Length) -> String {
    let figures = displacement_figures(error, standard_error);
    if nearest_step(error, DISPLACEMENT_STEP) == Length::ZERO {
        figures
    } else {
        format!("{figures} {}", which_way(error))
    }
}

/// The same without its sign.
pub(super) fn displacement_figures(error: Length, standard_error: Length) -> String {
    format!(
        "{:.3} mm ± {}",
        nearest_step(error.abs(), DISPLACEMENT_STEP).to_mm(),
        two_standard_errors(standard_error)
    )
}

/// Two standard errors in mm, rounded up to a step.
#[must_use]
pub fn two_standard_errors(standard_error: Length) -> String {
    let two = up_to_step(standard_error, 2, DISPLACEMENT_STEP);
    format!("{:.3}", two.to_mm())
}

impl Settle {
    /// Why it is undecided and what settles it, in words.
    #[must_use]
    pub fn in_words(&self, unit: Unit) -> String {
        let because = match self.because {
            "too_few" => "fewer than three settings were taken",
            "one_distance" => {
                "all were taken at one distance, and a scale is not judged in one place"
            }
            _ => "the error is too large for a verdict",
        };
        format!("{because}; to settle it: {}", self.what_settles(unit))
    }

    fn what_settles(&self, unit: Unit) -> String {
        let taped = match (self.by, self.taped) {
            ("figures", _) => {
                return "write the lens's hiatus into lenses.csv, or read its engraved scale and \
                        not degrees: what its figures may be off hides the rest"
                    .into();
            }
            (_, None) => {
                return "no reading at the chart does within reason; a collimator does".into();
            }
            (_, Some(taped)) => taped,
        };
        let times = match self.readings {
            1 => "one reading more".to_owned(),
            more => format!("{more} readings more"),
        };
        let taped = show::as_meant(taped.reach(), unit);
        format!("{times} at {taped}, {}", self.stop)
    }
}
