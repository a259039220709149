//! The sheet that tests a printer.

use crate::units::Length;

/// A page that says whether a printer is true, and what to do when it is not.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct RulerSheet;

impl RulerSheet {
    /// What it is called.
    #[must_use]
    pub const fn title(self) -> &'static str {
        "Is this printer true?"
    }

    /// What to do, step by step.
    #[must_use]
    pub const fn steps(self) -> &'static [&'static str] {
        &[
            "Print this page at 100 %, with no scaling and no fit to page, on the paper named at its edge.",
            "With a steel ruler measure both scales from 0 to 100, to a fifth of a millimetre, and write the two figures in their boxes.",
            "Both 100.0: the printer is true. Print the tapes from the same program, on the same paper.",
            "Not 100.0: write what you measured into kit.toml, as below, and print this page again. Now both must measure 100.0.",
            "Below 90 or above 110 something else is wrong: look for a fit-to-page switch.",
        ]
    }

    /// What to write into the kit, with blanks for the two figures.
    #[must_use]
    pub const fn kit_lines(self) -> [&'static str; 2] {
        ["[print]", "printed_100mm = [ ________ , ________ ]"]
    }

    /// What the two figures are.
    #[must_use]
    pub const fn kit_note(self) -> &'static str {
        "first the horizontal scale, then the vertical one, in millimetres, this page held upright"
    }

    /// What to write down about the test, with blanks.
    #[must_use]
    pub const fn blanks(self) -> &'static str {
        "printer __________________ tray ________ paper __________________ date ____________"
    }

    /// A rectangle to be drawn where there is room, width and height, whose
    /// diagonals are 150 mm by Pythagoras (3 : 4 : 5).
    #[must_use]
    pub const fn rectangle(self) -> (Length, Length) {
        (Length::mm(120.0), Length::mm(90.0))
    }

    /// What the rectangle is for.
    #[must_use]
    pub const fn rectangle_note(self) -> &'static str {
        "Both diagonals must measure 150 mm; if they differ, the paper ran askew."
    }

    /// What it does not settle.
    #[must_use]
    pub const fn cautions(self) -> &'static [&'static str] {
        &[
            "Paper grows when damp and shrinks under heat: test again for another paper, another printer or another tray.",
        ]
    }
}
