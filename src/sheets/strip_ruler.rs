//! Blank strips graduated in millimetres, to be wrapped round a ring.

use crate::gear::OFFICE_PAPER;
use crate::scale::strip_excess;
use crate::units::Length;

/// Figures on the strip stand at every so many millimetres.
const STEP_MM: f64 = 10.0;
/// Pieces begin at multiples of this, so that the figures stay easy to read.
const PIECE_STEP_MM: f64 = 50.0;
/// The pieces together go round a ring 156 mm across, the widest there are.
const REACH: Length = Length::mm(490.0);

/// Strips to measure a ring with: where a strip meets itself is the ring's
/// circumference and a little more, and the witness mark against it at each
/// engraved mark is that mark's `position_mm`.
#[derive(Clone, Debug, PartialEq)]
pub struct StripRuler {
    width: Length,
    overlap: Length,
    thickness: Length,
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
    /// Strips of office paper 18 mm wide whose pieces overlap by at least 8 mm.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            width: Length::mm(18.0),
            overlap: Length::mm(8.0),
            thickness: OFFICE_PAPER,
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

    /// The pieces of one long scale, when `usable` is the longest strip that can
    /// be printed; only one when that is too short to join (under 58 mm), none
    /// when it is under 10 mm.
    #[must_use]
    pub fn pieces(&self, usable: Length) -> Vec<Piece> {
        let whole = Length::mm(usable.to_mm().floor());
        if whole < self.figure_step() {
            return Vec::new();
        }
        let steps = ((whole - self.overlap).to_mm() / PIECE_STEP_MM).floor();
        let join = Length::mm(steps * PIECE_STEP_MM);
        let mut pieces = Vec::new();
        let mut from = Length::ZERO;
        loop {
            let to = from + whole;
            let goes_on = join.is_positive() && to < REACH;
            pieces.push(Piece {
                number: pieces.len() + 1,
                from,
                next_at: goes_on.then_some(from + join),
                to,
            });
            if !goes_on {
                return pieces;
            }
            from = from + join;
        }
    }

    /// How much longer it reads than the ring is, all the way round.
    #[must_use]
    pub fn excess(&self) -> Length {
        strip_excess(self.thickness)
    }

    /// What to do with a reading, as it stands on every strip.
    #[must_use]
    pub fn on_strip(&self) -> String {
        format!(
            "round the ring: reading − {:.1} mm (strip {:.2} mm thick)",
            self.excess().to_mm(),
            self.thickness.to_mm()
        )
    }

    /// What it is called.
    #[must_use]
    pub const fn title(&self) -> &'static str {
        "Strip rulers"
    }

    /// What to do, step by step.
    #[must_use]
    pub fn steps(&self) -> Vec<String> {
        let excess = self.excess().to_mm();
        vec![
            "Cut a strip out along the dashed lines; its end must lie exactly on the line at 0. Ring too large? Lay the end of strip 2 on the line “strip 2 here” of strip 1, and so on; tape them together.".into(),
            "Wrap it round the ring where the tape will sit, over what is stuck on already, graduated edge to the witness mark. Pull it snug, tape it down.".into(),
            format!(
                "Where it meets its own end at 0: read, and subtract {excess:.1} mm, for the strip lies above the ring. That is ring_circumference_mm in lenses.csv. From a travel_mm subtract its share of the turn."
            ),
            "Set the ring to each engraved mark in turn and read the strip at the witness mark, to a quarter of a millimetre. Write the mark beside it on the strip.".into(),
            "Copy the pairs into marks/ID.csv under distance and position_mm, as they were read: the tape will lie as the strip did.".into(),
        ]
    }

    /// What can go wrong.
    #[must_use]
    pub fn cautions(&self) -> Vec<String> {
        vec![
            "Print strip and tape on the same printer and paper: what it stretches it stretches in both, and it cancels.".into(),
            format!(
                "A strip of other paper reads longer by {:.1} times its thickness. Measure over whatever the tape will be stuck on.",
                strip_excess(Length::mm(1.0)).to_mm()
            ),
            "Nothing sticky on glass, scales or gear teeth; check the tape against a tape measure before use.".into(),
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
    fn pieces_of_a_postcard_go_round_the_widest_ring_each_on_the_line_of_the_one_before() {
        let pieces = StripRuler::new().pieces(Length::mm(112.0));
        assert_eq!(pieces.len(), 5);
        for pair in pieces.windows(2) {
            assert_eq!(pair[0].next_at, Some(pair[1].from));
            assert!(pair[0].to - pair[1].from >= Length::mm(8.0));
        }
        assert_eq!(pieces[4].next_at, None);
        // 156 mm across: 490.1 mm round.
        assert!(pieces[4].to > Length::mm(490.1));
    }

    #[test]
    fn office_paper_reads_three_tenths_of_a_millimetre_too_long() {
        // A strip 0.10 mm thick wrapped closes at π (d + 0.10): π × 0.10 = 0.314.
        assert!((StripRuler::new().excess().to_mm() - 0.314).abs() < 5e-4);
        assert!(StripRuler::new().on_strip().contains("reading − 0.3 mm"));
    }

    #[test]
    fn a_short_paper_gives_one_piece_and_a_scrap_none() {
        let ruler = StripRuler::new();
        assert_eq!(ruler.pieces(Length::mm(57.0)).len(), 1);
        assert_eq!(ruler.pieces(Length::mm(9.9)), vec![]);
        assert_eq!(ruler.pieces(Length::mm(-3.0)), vec![]);
    }
}
