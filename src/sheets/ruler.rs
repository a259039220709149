//! The sheet that tests a printer.

use crate::units::Length;

/// A page that says whether a printer is true, and what to do when it is not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RulerSheet {
    /// What 100 mm came out as when it was drawn, across and along.
    drawn_for: [Length; 2],
}

impl Default for RulerSheet {
    fn default() -> Self {
        Self::drawn_for([Length::mm(100.0); 2])
    }
}

impl RulerSheet {
    /// A page drawn for a printer whose 100 mm come out as so much, across and
    /// along.
    #[must_use]
    pub const fn drawn_for(drawn_for: [Length; 2]) -> Self {
        Self { drawn_for }
    }

    /// What it is called.
    #[must_use]
    pub const fn title(self) -> &'static str {
        "Is this printer true?"
    }

    /// What to do, step by step, where the scales on the page have so many
    /// millimetres, across and along.
    #[must_use]
    pub fn steps(self, across: u32, along: u32) -> Vec<String> {
        let alike = across == along;
        let scales = if alike {
            format!("both scales from 0 to {across}")
        } else {
            format!(
                "the scale along the short edge from 0 to {across} and the one along the long edge from 0 to {along}"
            )
        };
        let right = if alike {
            format!("Both {across}.0")
        } else {
            format!("{across}.0 and {along}.0")
        };
        let wrong = if alike {
            format!("Not {across}.0")
        } else {
            "Not so".into()
        };
        let write = match (across, along) {
            (100, 100) => "write what you measured".to_owned(),
            _ => "write what 100 mm come to (a scale of 50 mm counts twice)".to_owned(),
        };
        let write = match self.drawn_for.map(Length::to_mm) {
            [100.0, 100.0] => write,
            // What is measured on a corrected page is off by what is left.
            [short, long] => format!(
                "this page is drawn with printed_100mm = [{short}, {long}] already; {write} times \
                 {:.4} and {:.4}",
                short / 100.0,
                long / 100.0
            ),
        };
        let again = if alike {
            format!("Now both must measure {across}.0.")
        } else {
            format!("Now they must measure {across}.0 and {along}.0.")
        };
        vec![
            "Print this page at 100 %, with no scaling and no fit to page, on the paper named at its edge.".into(),
            format!("With a steel ruler measure {scales}, to a fifth of a millimetre, and write the two figures in their boxes."),
            format!("{right}: the printer is true. Print the tapes from the same program, on the same paper."),
            format!("{wrong}: {write} into kit.toml, as below, and print this page again. {again}"),
            "Below 90 or above 110 for 100 mm something else is wrong: look for a fit-to-page switch.".into(),
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
        "what 100 mm measure, in millimetres: first horizontal (along the short edge), then vertical (long edge)"
    }

    /// What to write down about the test, with blanks.
    #[must_use]
    pub const fn blanks(self) -> &'static str {
        "printer __________________ tray ________ paper __________________ date ____________"
    }

    /// Rectangles of which the largest that has room is drawn.
    #[must_use]
    pub fn rectangles(self) -> [Rectangle; 4] {
        // 3 : 4 : 5, by Pythagoras.
        [30.0, 20.0, 15.0, 10.0].map(|part| Rectangle {
            sides: (Length::mm(part * 4.0), Length::mm(part * 3.0)),
            diagonal: Length::mm(part * 5.0),
        })
    }

    /// What it does not settle.
    #[must_use]
    pub const fn cautions(self) -> &'static [&'static str] {
        &[
            "Paper grows when damp and shrinks under heat: test again for another paper, another printer or another tray.",
        ]
    }
}

/// A rectangle whose diagonals tell whether the paper ran askew.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rectangle {
    /// Width and height.
    pub sides: (Length, Length),
    /// From corner to corner.
    pub diagonal: Length,
}

impl Rectangle {
    /// What it is for.
    #[must_use]
    pub fn note(&self) -> String {
        format!(
            "Both diagonals must measure {}; if they differ, the paper ran askew.",
            self.diagonal
        )
    }
}
