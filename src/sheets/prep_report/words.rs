//! Figures and verdicts of a prep report as they are printed.

use crate::answers::{nearest_step, up_to_step, which_way};
use crate::units::Length;

/// Displacements are shown by this much.
const STEP: Length = Length::mm(0.01);

/// A displacement of the image plane and what it may be off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Displaced {
    /// Positive: too far from the lens.
    pub error: Length,
    /// Its standard error.
    pub standard_error: Length,
}

impl Displaced {
    /// A displacement with its standard error.
    pub(crate) const fn of(error: Length, standard_error: Length) -> Self {
        Self {
            error,
            standard_error,
        }
    }

    /// One that may not be known.
    pub(super) fn known(error: Option<Length>, standard_error: Option<Length>) -> Option<Self> {
        Some(Self::of(error?, standard_error?))
    }

    /// How far, in mm to the nearest hundredth, without the sign.
    #[must_use]
    pub fn hundredths(&self) -> String {
        in_hundredths(nearest_step(self.error.abs(), STEP))
    }

    /// Two standard errors, rounded up to a hundredth.
    #[must_use]
    pub fn either_way(&self) -> String {
        in_hundredths(up_to_step(self.standard_error, 2, STEP))
    }

    /// One standard error, rounded up to a hundredth.
    #[must_use]
    pub fn one_standard_error(&self) -> String {
        in_hundredths(up_to_step(self.standard_error, 1, STEP))
    }

    /// The sign in words; `None` where the figure shown is nought.
    #[must_use]
    pub fn way(&self) -> Option<&'static str> {
        let shown = nearest_step(self.error.abs(), STEP);
        (shown > Length::ZERO).then(|| which_way(self.error))
    }

    /// The sign in words, short for a table whose head says of what.
    #[must_use]
    pub fn way_in_short(&self) -> &'static str {
        match self.way() {
            None => "neither way",
            Some(_) if self.error < Length::ZERO => "too near",
            Some(_) => "too far",
        }
    }

    /// All of it in words.
    #[must_use]
    pub fn in_words(&self) -> String {
        let way = self.way().unwrap_or("neither way");
        format!("{} mm {way} (± {})", self.hundredths(), self.either_way())
    }
}

fn in_hundredths(length: Length) -> String {
    format!("{:.2}", length.to_mm())
}

/// Degrees of ring with their sign, to a tenth; nought has none.
pub(in crate::sheets) fn tenths_of_degree(degrees: f64) -> String {
    let tenths = libm::round(degrees * 10.0) / 10.0;
    let sign = match tenths {
        tenths if tenths > 0.0 => "+",
        tenths if tenths < 0.0 => "−",
        _ => "",
    };
    format!("{sign}{:.1}", tenths.abs())
}

/// What ± means.
pub(super) const EITHER_WAY: &str =
    "± is two standard errors: 19 times in 20 the truth lies within";

/// The verdict of a lens, short.
pub(super) fn of_lens(verdict: &str) -> &'static str {
    match verdict {
        "true_scale" => "true scale",
        "shifted" => "shifted",
        "uneven" => "uneven",
        "moves_with_stop" => "moves with the stop",
        _ => "undecided",
    }
}

/// What the verdict of a lens means.
pub(super) fn meaning(verdict: &str) -> &'static str {
    match verdict {
        "true_scale" => "Its error is shown to lie within what is tolerated",
        "shifted" => "All of its scale is off the same way, by more than its error leaves open",
        "uneven" => "No one displacement explains the scale: it is off in places",
        "moves_with_stop" => "Its focus depends on the stop: there is no one error to put right",
        _ => "The readings do not settle it",
    }
}

/// The verdict of a camera and what it means.
pub(super) fn of_camera(verdict: &str) -> (&'static str, &'static str) {
    match verdict {
        "true_plane" => (
            "TRUE PLANE",
            "Its error is shown to lie within what is tolerated",
        ),
        "off" => (
            "OFF",
            "Its image plane is off by more than its error leaves open",
        ),
        _ => ("UNDECIDED", "The readings do not settle it"),
    }
}

/// Said at the foot of every page.
pub(super) fn cautions() -> Vec<String> {
    vec![
        "Check against a tape before use.".into(),
        "Figures for the rental house's technician: how far, which way, how surely. Mounts are the \
         technician's work alone; local rules and qualified people decide."
            .into(),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn displaced(error: f64, standard_error: f64) -> Displaced {
        Displaced::of(Length::mm(error), Length::mm(standard_error))
    }

    #[test]
    fn errors_go_to_the_nearest_hundredth_and_what_they_may_be_off_up() {
        let found = displaced(-0.0349, 0.0051);
        assert_eq!(found.in_words(), "0.03 mm too near the lens (± 0.02)");
        assert_eq!(found.one_standard_error(), "0.01");
        assert_eq!(found.way_in_short(), "too near");
        assert_eq!(displaced(0.035, 0.005).either_way(), "0.01");
        // What is shown as nought has no sign.
        assert_eq!(displaced(-0.004, 0.03).way(), None);
        assert_eq!(displaced(0.0051, 0.03).way(), Some("too far from the lens"));
    }

    #[test]
    fn degrees_carry_their_sign_but_nought_none() {
        let shown = [0.04, -0.04, 0.06, -12.34].map(tenths_of_degree);
        assert_eq!(shown, ["0.0", "0.0", "+0.1", "−12.3"]);
    }
}
