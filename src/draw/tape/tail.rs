//! The tail of a tape: who it is, and which way to turn.

use super::arrow::{SHORTEST, arrow};
use super::frame::{Frame, run};
use super::identity::{Identity, WORDS};
use super::lie::Lie;
use crate::scene::{Item, Pen, Point, Weight};
use crate::units::Length;

/// From baseline to baseline.
const PITCH: Length = Length::mm(3.0);
const MARGIN: Length = Length::mm(1.6);
/// Free above and below.
const TOP: Length = Length::mm(0.8);
/// Heights of the focal length to try.
const FOCAL: [f64; 5] = [6.4, 5.2, 4.2, 3.2, 2.4];
/// Between the focal length and its unit.
const MM_GAP: Length = Length::mm(0.7);
/// Between two things side by side.
const GAP: Length = Length::mm(1.8);
/// No tail is wished to be longer.
const LONGEST: u32 = 60;

/// A tail as it is composed for a width and a height.
#[derive(Clone, Debug)]
struct Composed {
    focal: Length,
    lines: Vec<Vec<(Length, usize)>>,
}

/// How the height of a tail is shared out.
struct Parts {
    /// For the focal length and the words.
    words: Length,
    /// Height of the arrow.
    arrow: Length,
    /// Width of the arrow where a low tape has it beside the words, not under.
    arrow_beside: Length,
}

impl Parts {
    fn of(height: Length) -> Self {
        let inner = height - TOP * 2.0;
        let arrow = Length::mm((height.to_mm() * 0.16).clamp(1.8, 3.0));
        let above = inner - arrow - Length::mm(0.7);
        let (words, arrow_beside) = if above >= WORDS {
            (above, Length::ZERO)
        } else {
            (inner, SHORTEST + GAP)
        };
        Self {
            words,
            arrow,
            arrow_beside,
        }
    }
}

/// The shortest tail that will do, at most the longest.
fn shortest(will_do: impl Fn(Length) -> bool) -> Length {
    let width = (8..LONGEST).find(|&width| will_do(Length::mm(width.into())));
    Length::mm(width.unwrap_or(LONGEST).into())
}

impl Identity {
    /// A tail with some of the pieces, if they fit beside and under a focal
    /// length so high.
    fn composed(
        &self,
        (width, height): (Length, Length),
        pieces: &[usize],
        focal: f64,
    ) -> Option<Composed> {
        let parts = Parts::of(height);
        let focal = parts.words.min(Length::mm(focal));
        let focal_width = self.focal_width * focal.to_mm() + MM_GAP + self.millimetres;
        let inner = width - MARGIN * 2.0 - parts.arrow_beside;
        if inner < focal_width.max(SHORTEST) {
            return None;
        }
        let under_focal = |line: usize| PITCH * line as f64 >= focal + Length::mm(0.8);
        let start = |line: usize| {
            if under_focal(line) {
                Length::ZERO
            } else {
                focal_width + GAP
            }
        };
        let lines = 1 + ((parts.words - WORDS).to_mm() / PITCH.to_mm() + 1e-9).floor() as usize;
        let mut packed: Vec<Vec<(Length, usize)>> = vec![Vec::new()];
        let mut along = start(0);
        for &index in pieces {
            let wide = self.widths[index];
            loop {
                let line = packed.len() - 1;
                if along + wide <= inner {
                    packed[line].push((along, index));
                    along = along + wide + GAP;
                    break;
                }
                if line + 1 == lines {
                    return None;
                }
                packed.push(Vec::new());
                along = start(line + 1);
            }
        }
        Some(Composed {
            focal,
            lines: packed,
        })
    }

    /// The shortest tail that says everything, or the longest allowed.
    pub(super) fn natural_tail(&self, height: Length) -> Length {
        shortest(|width| {
            self.composed((width, height), &self.without(0), FOCAL[1])
                .is_some()
        })
    }

    /// The shortest tail with the focal length and the code.
    pub(super) fn least_tail(&self, height: Length) -> Length {
        let code = self.without(self.pieces.len() - 1);
        let [.., smallest] = FOCAL;
        shortest(|width| self.composed((width, height), &code, smallest).is_some())
    }

    /// The tail from its left end, with as many pieces as fit.
    pub(super) fn tail(&self, lie: Lie, left: Length, width: Length, height: Length) -> Vec<Item> {
        let fitting = (0..=self.pieces.len()).find_map(|dropped| {
            let kept = self.without(dropped);
            FOCAL
                .into_iter()
                .find_map(|focal| self.composed((width, height), &kept, focal))
        });
        let Some(composed) = fitting else {
            return Vec::new();
        };
        let (parts, top) = (Parts::of(height), TOP);
        let at = |x: Length, y: Length| Point::new(left + MARGIN + x, top + y);
        let focal = run(
            &self.focal,
            Weight::Bold,
            composed.focal,
            at(Length::ZERO, composed.focal),
        );
        let beside = at(focal.width() + MM_GAP, composed.focal);
        let mut items = vec![
            focal.into(),
            run("mm", Weight::Regular, WORDS, beside).into(),
        ];
        let mut baseline = WORDS;
        for line in &composed.lines {
            for &(along, index) in line {
                let (words, weight) = &self.pieces[index];
                items.push(run(words, *weight, WORDS, at(along, baseline)).into());
            }
            baseline = baseline + PITCH;
        }
        let room = width - MARGIN * 2.0;
        let (from, long, down) = if parts.arrow_beside.is_positive() {
            (room - SHORTEST, SHORTEST, (parts.words - parts.arrow) / 2.0)
        } else {
            (Length::ZERO, room, height - TOP * 2.0 - parts.arrow)
        };
        items.extend(arrow(lie.turn(), at(from, down), long, parts.arrow));
        items
    }
}

/// The line between scale and tail, which is not cut.
pub(super) fn tail_line(frame: &Frame, at: Length) -> Item {
    frame.across(at, Length::ZERO, frame.height, Pen::FINE)
}
