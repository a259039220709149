//! Blank strips graduated in millimetres, to be wrapped round a ring.

use crate::units::Length;

/// Figures on the strip stand at every so many millimetres.
const STEP_MM: f64 = 10.0;
/// Pieces begin at multiples of this, so that the figures stay easy to read.
const PIECE_STEP_MM: f64 = 50.0;

/// Strips to measure a ring with: where a strip meets itself is the ring's
/// circumference, and the witness mark against it at each engraved mark is
/// that mark's `position_mm`.
#[derive(Clone, Debug, PartialEq)]
pub struct StripRuler {
    width: Length,
    overlap: Length,
}

/// One strip: what part of the long scale it carries.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// Its number, from 1.
    pub number: usize,
    /// The reading at its cut edge.
    pub from: Length,
    /// The reading at which the next piece's edge is laid, if one follows.
    pub next_at: Option<Length>,
    /// The reading at its far end, a whole number of millimetres.
    pub to: Length,
}

impl Default for StripRuler {
    fn default() -> Self {
        Self::new()
    }
}

impl StripRuler {
    /// Strips 18 mm wide whose pieces overlap by at least 8 mm.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            width: Length::mm(18.0),
            overlap: Length::mm(8.0),
        }
    }

    /// Width of each strip.
    #[must_use]
    pub const fn width(&self) -> Length {
        self.width
    }

    /// Distance from one figure to the next.
    #[must_use]
    pub const fn figure_step(&self) -> Length {
        Length::mm(STEP_MM)
    }

    /// The two pieces of one long scale, when `usable` is the longest strip
    /// that can be printed; only one when that is too short to join (under
    /// 58 mm), none when it is under 10 mm.
    #[must_use]
    pub fn pieces(&self, usable: Length) -> Vec<Piece> {
        let whole = Length::mm(usable.to_mm().floor());
        let steps = ((whole - self.overlap).to_mm() / PIECE_STEP_MM).floor();
        let join = Length::mm(steps * PIECE_STEP_MM);
        let first = Piece {
            number: 1,
            from: Length::ZERO,
            next_at: join.is_positive().then_some(join),
            to: whole,
        };
        let second = first.next_at.map(|from| Piece {
            number: 2,
            from,
            next_at: None,
            to: from + whole,
        });
        if whole < self.figure_step() {
            return Vec::new();
        }
        core::iter::once(first).chain(second).collect()
    }

    /// What it is called.
    #[must_use]
    pub const fn title(&self) -> &'static str {
        "Strip rulers"
    }

    /// What to do, step by step.
    #[must_use]
    pub const fn steps(&self) -> &'static [&'static str] {
        &[
            "Cut a strip out along the dashed lines; its end must lie exactly on the line at 0.",
            "Wrap it round the ring where the tape will sit, over what is stuck on already, graduated edge to the witness mark. Pull it snug, tape it down.",
            "Where it meets its own end at 0: read the circumference. Ring too large? Lay the end of strip 2 on the line \u{201C}strip 2 here\u{201D} of strip 1 and tape them together.",
            "Set the ring to each engraved mark in turn and read the strip at the witness mark, to a quarter of a millimetre. Write the mark beside it on the strip.",
            "Copy the pairs into marks/ID.csv under distance and position_mm, the circumference into lenses.csv under ring_circumference_mm.",
        ]
    }

    /// What can go wrong.
    #[must_use]
    pub const fn cautions(&self) -> &'static [&'static str] {
        &[
            "Print strip and tape on the same printer and paper: what it stretches it stretches in both, and it cancels.",
            "The strip measures at half its own thickness above the ring. Measure over whatever the tape will be stuck on.",
            "Nothing sticky on glass, scales or gear teeth; check the tape against a tape measure before use.",
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_second_piece_goes_on_where_the_first_says() {
        let pieces = StripRuler::new().pieces(Length::mm(262.4));
        assert_eq!(pieces.len(), 2);
        assert_eq!(pieces[0].to, Length::mm(262.0));
        assert_eq!(pieces[0].next_at, Some(Length::mm(250.0)));
        assert_eq!(pieces[1].from, Length::mm(250.0));
        assert_eq!(pieces[1].to, Length::mm(512.0));
        assert!(pieces[0].to - pieces[1].from >= Length::mm(8.0));
    }

    #[test]
    fn a_short_paper_gives_one_piece_and_a_scrap_none() {
        let ruler = StripRuler::new();
        assert_eq!(ruler.pieces(Length::mm(57.0)).len(), 1);
        assert_eq!(ruler.pieces(Length::mm(9.9)), vec![]);
        assert_eq!(ruler.pieces(Length::mm(-3.0)), vec![]);
    }
}
