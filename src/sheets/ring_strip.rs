//! A strip that tests a printer round a ring of known size.

use super::code::Code;
use super::strip_ruler::Piece;
use crate::gear::OFFICE_PAPER;
use crate::scale::{strip_meets_itself, strip_round};
use crate::units::{Length, range};

/// How far below and above what it is drawn for its figures go, in mm of 100:
/// a page shrunk to fit comes out at 94 to 97.
const BELOW: f64 = 6.0;
const ABOVE: f64 = 4.0;
/// Below this its figures are not cut to save a joint.
const BELOW_AT_LEAST: f64 = 2.0;
/// Pieces overlap by so much, and are joined at multiples of this.
const OVERLAP: Length = Length::mm(8.0);
const JOIN_STEP: f64 = 10.0;
/// More pieces than this wrap round no ring tidily.
const MOST_PIECES: u32 = 8;
/// Lines stand at least so far apart, and figures.
const LINES_APART: f64 = 0.6;
const FIGURES_APART: f64 = 4.9;
/// Steps of lines and of figures, in tenths of a millimetre of 100.
const LINE_STEPS: [i64; 5] = [1, 2, 5, 10, 20];
const FIGURE_STEPS: [i64; 6] = [5, 10, 20, 40, 50, 100];

/// A strip as long as the way round a ring of known diameter: where it meets its
/// own end stands what 100 mm come out as.
#[derive(Clone, Debug, PartialEq)]
pub struct RingStrip {
    diameter: Length,
    thickness: Length,
    /// What 100 mm along it came out as when the page was drawn.
    drawn_for: Length,
    width: Length,
}

/// A line of its scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PrintedMark {
    /// Where it stands on the strip.
    pub at: Length,
    /// What 100 mm come out as where the strip meets itself here.
    pub printed: Length,
    /// Whether that is a whole number of millimetres.
    pub whole: bool,
    /// Whether its figure stands beside it.
    pub figure: bool,
}

/// The strip as it goes on a paper.
#[derive(Clone, Debug, PartialEq)]
pub struct LaidStrip {
    /// Its pieces; the last one has the scale.
    pub pieces: Vec<Piece>,
    /// The lines of the scale.
    pub marks: Vec<PrintedMark>,
}

impl RingStrip {
    /// A strip of office paper for a ring, on a page drawn for a printer whose
    /// 100 mm along the strip come out as `drawn_for`.
    #[must_use]
    pub const fn new(diameter: Length, drawn_for: Length) -> Self {
        Self {
            diameter,
            thickness: OFFICE_PAPER,
            drawn_for,
            width: Length::mm(18.0),
        }
    }

    /// Its width.
    #[must_use]
    pub const fn width(&self) -> Length {
        self.width
    }

    /// How long it is from its end to where it meets itself on a printer that is
    /// true, or truly corrected: π (d + h).
    #[must_use]
    pub fn round(&self) -> Length {
        strip_round(self.diameter, self.thickness)
    }

    /// Where on the strip it meets itself when 100 mm come out as `printed`.
    #[must_use]
    pub fn meets_at(&self, printed: Length) -> Length {
        strip_meets_itself(self.round(), self.drawn_for, printed)
    }

    /// The strip in pieces no longer than `usable`, in one where it can be;
    /// `None` where the paper is too short for it.
    #[must_use]
    pub fn laid(&self, usable: Length) -> Option<LaidStrip> {
        let mut below = BELOW;
        while below >= BELOW_AT_LEAST {
            let (marks, _, to) = self.scale(below);
            let figures = marks.iter().filter(|mark| mark.figure).count();
            // Between two figures one can read.
            if to <= usable && figures > 1 {
                let whole = Piece {
                    number: 1,
                    from: Length::ZERO,
                    next_at: None,
                    to,
                };
                return Some(LaidStrip {
                    pieces: vec![whole],
                    marks,
                });
            }
            below -= 0.5;
        }
        let (marks, from, to) = self.scale(BELOW);
        let pieces = (2..=MOST_PIECES).find_map(|count| pieces(count, from, to, usable))?;
        Some(LaidStrip { pieces, marks })
    }

    /// The lines of the scale, where it begins and where the strip ends.
    fn scale(&self, below: f64) -> (Vec<PrintedMark>, Length, Length) {
        let drawn_for = self.drawn_for.to_mm();
        let low = (drawn_for - below).max(range::PRINTED_100MM.min);
        let high = (drawn_for + ABOVE).min(range::PRINTED_100MM.max);
        // Lines stand closest at the high end, where a tenth is this much.
        let tenth =
            (self.meets_at(Length::mm(high - 0.1)) - self.meets_at(Length::mm(high))).to_mm();
        let step = |steps: &[i64], apart: f64| {
            let wide = |step: &&i64| **step as f64 * tenth >= apart;
            steps.iter().find(wide).copied().unwrap_or(100)
        };
        let (lines, figures) = (
            step(&LINE_STEPS, LINES_APART),
            step(&FIGURE_STEPS, FIGURES_APART),
        );
        let first = (low * 10.0 - 1e-6).ceil() as i64;
        let last = (high * 10.0 + 1e-6).floor() as i64;
        let marks = (first..=last)
            .rev()
            .filter(|tenths| tenths % lines == 0)
            .map(|tenths| {
                let printed = Length::mm(tenths as f64 / 10.0);
                PrintedMark {
                    at: self.meets_at(printed),
                    printed,
                    whole: tenths % 10 == 0,
                    figure: tenths % figures == 0,
                }
            });
        let beyond = Length::mm(1.0);
        (
            marks.collect(),
            self.meets_at(Length::mm(high)) - beyond,
            self.meets_at(Length::mm(low)) + beyond,
        )
    }

    /// What it is called.
    #[must_use]
    pub const fn title(&self) -> &'static str {
        "Is it true round a ring?"
    }

    /// What was wrapped, as it stands on the strip.
    #[must_use]
    pub fn on_strip(&self) -> String {
        format!(
            "ring ⌀ {} · strip {:.2} mm thick · {}",
            self.diameter,
            self.thickness.to_mm(),
            self.code()
        )
    }

    /// What to do with the figure at the cut, in fewer and fewer words.
    #[must_use]
    pub const fn to_write(&self) -> [&'static str; 3] {
        [
            "the figure at the cut goes second into printed_100mm = [ ______ , figure ]",
            "figure at the cut: second in printed_100mm",
            "into printed_100mm, second",
        ]
    }

    /// What to do with the strip in so many pieces, step by step.
    #[must_use]
    pub fn steps(&self, pieces: usize) -> Vec<String> {
        let joined = if pieces > 1 {
            " Lay the end of strip 2 exactly on the line “strip 2 here”, and so on; tape them together."
        } else {
            ""
        };
        let off = self.meets_off_for(Length::mm(0.1));
        vec![
            format!(
                "Measure the ring with callipers where the strip will sit: it must be {} across. Each 0.1 mm more or less is {off:.2} in the figure.",
                self.diameter
            ),
            format!("Cut the strip out; its end must lie exactly on the line at 0.{joined}"),
            "Wrap it round face outward and snug, the graduated end under the end at 0.".into(),
            "At the cut read the lower scale: what 100 mm come out as along the strip. Write it second into printed_100mm in kit.toml (the long edge; the short edge is the ruler’s). The upper scale is the gap or the overlap in mm.".into(),
            "Print again: now it must meet at the long line.".into(),
        ]
    }

    /// How much the figure changes with a ring larger by `more`.
    fn meets_off_for(&self, more: Length) -> f64 {
        let larger = Self {
            diameter: self.diameter + more,
            ..self.clone()
        };
        let share = larger.round().ratio_to(self.round());
        share.map_or(0.0, |share| (share.value() - 1.0) * self.drawn_for.to_mm())
    }

    /// What can go wrong.
    #[must_use]
    pub const fn cautions(&self) -> &'static [&'static str] {
        &[
            "Off the scale, or 94 to 97? Look for a fit-to-page switch before writing anything.",
            "Another paper: 0.1 mm more thickness is as 0.1 mm more ring. Nothing sticky on glass or scales.",
        ]
    }

    /// What it was made from.
    #[must_use]
    pub fn code(&self) -> Code {
        Code::of(&format!("{self:?}"))
    }
}

/// So many pieces of nearly one length, the scale whole on the last; `None`
/// where one would be longer than `usable`.
fn pieces(count: u32, scale: Length, to: Length, usable: Length) -> Option<Vec<Piece>> {
    let joint = |number: u32| {
        let even = to.to_mm() * f64::from(number) / f64::from(count);
        Length::mm((even / JOIN_STEP).floor() * JOIN_STEP)
    };
    let last_joint = joint(count - 1);
    if last_joint + OVERLAP > scale {
        return None;
    }
    let piece = |index: u32| {
        let goes_on = index + 1 < count;
        let next_at = goes_on.then(|| joint(index + 1));
        Piece {
            number: index as usize + 1,
            from: joint(index),
            next_at,
            to: next_at.map_or(to, |at| at + OVERLAP),
        }
    };
    let pieces: Vec<Piece> = (0..count).map(piece).collect();
    let fits = |piece: &Piece| piece.to - piece.from <= usable;
    pieces.iter().all(fits).then_some(pieces)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strip(diameter: f64) -> RingStrip {
        RingStrip::new(Length::mm(diameter), Length::mm(100.0))
    }

    #[test]
    fn a_strip_for_80_mm_is_pi_times_80_1_long() {
        // π × 80.1 = 251.6416 by hand.
        assert!((strip(80.0).round().to_mm() - 251.6416).abs() < 1e-4);
    }

    #[test]
    fn a_printer_2_in_100_short_meets_2_in_98_later() {
        // Its strip comes out 0.98 times as long: 251.6416 / 0.98 = 256.777 of it.
        let at = strip(80.0).meets_at(Length::mm(98.0)).to_mm();
        assert!((at - 256.777).abs() < 1e-3, "{at}");
        // On a page already drawn for 98 such a strip meets at its line.
        let corrected = RingStrip::new(Length::mm(80.0), Length::mm(98.0));
        let at = corrected.meets_at(Length::mm(98.0));
        assert!((at - corrected.round()).abs() < Length::mm(1e-9));
    }

    #[test]
    fn pieces_go_on_where_the_one_before_says_and_keep_the_scale_whole() {
        for diameter in [36.0, 60.0, 80.0, 95.0, 114.0, 156.0] {
            for usable in [100.0, 130.0, 180.0, 242.0, 260.0] {
                let strip = strip(diameter);
                let Some(laid) = strip.laid(Length::mm(usable)) else {
                    panic!("{diameter} on {usable}");
                };
                for pair in laid.pieces.windows(2) {
                    assert_eq!(pair[0].next_at, Some(pair[1].from));
                }
                let long = |piece: &Piece| piece.to - piece.from;
                assert!(
                    laid.pieces
                        .iter()
                        .all(|piece| long(piece) <= Length::mm(usable))
                );
                let last = laid.pieces.last().expect("a piece");
                assert!(
                    laid.marks
                        .iter()
                        .all(|mark| mark.at > last.from && mark.at < last.to)
                );
                assert!(
                    laid.marks.iter().filter(|mark| mark.figure).count() >= 2,
                    "{diameter} on {usable}"
                );
            }
        }
    }
}
