//! The tail of a tape: who it is, and which way to turn.

use super::arrow::{SHORTEST, arrow};
use super::frame::{Frame, run};
use super::identity::{Identity, Said, WORDS};
use super::lie::Lie;
use crate::scene::{Item, Pen, Point, Weight};
use crate::units::Length;

/// From baseline to baseline: as we like it, and as we bear it.
const PITCHES: [Length; 2] = [Length::mm(3.0), Length::mm(2.75)];
const MARGIN: Length = Length::mm(1.6);
/// Free above and below.
const TOP: Length = Length::mm(0.8);
/// Heights of the focal length to try.
const FOCAL: [f64; 5] = [6.4, 5.2, 4.2, 3.2, 2.4];
/// The one wished for.
const USUAL_FOCAL: f64 = 5.2;
/// Between the focal length and its unit.
const MM_GAP: Length = Length::mm(0.7);
/// Between two things side by side.
const GAP: Length = Length::mm(1.8);
/// No tail is longer: a low one with long names.
const LONGEST: u32 = 240;

/// How a tail is set out.
#[derive(Clone, Copy, Debug)]
struct Setting {
    focal: f64,
    pitch: Length,
    /// Whether the arrow stands beside the words, where it has no words of its
    /// own, not under them.
    beside: bool,
}

impl Setting {
    /// Every setting with the arrow on one side, the one we like best first.
    fn with_arrow(beside: bool) -> impl Iterator<Item = Self> {
        FOCAL.into_iter().flat_map(move |focal| {
            PITCHES.map(|pitch| Self {
                focal,
                pitch,
                beside,
            })
        })
    }

    /// Every setting there is.
    fn all() -> impl Iterator<Item = Self> {
        [false, true].into_iter().flat_map(Self::with_arrow)
    }
}

/// A tail as it is composed for a width and a height.
#[derive(Clone, Debug)]
struct Composed<'a> {
    focal: Length,
    lines: Vec<Vec<(Length, &'a Said)>>,
    pitch: Length,
    parts: Parts,
}

/// How the height of a tail is shared out.
#[derive(Clone, Copy, Debug)]
struct Parts {
    /// For the focal length and the words.
    words: Length,
    /// Height of the arrow.
    arrow: Length,
    /// Width that an arrow beside the words takes.
    arrow_beside: Length,
}

impl Parts {
    fn of(height: Length, beside: bool) -> Self {
        let inner = height - TOP * 2.0;
        let arrow = Length::mm((height.to_mm() * 0.16).clamp(1.8, 3.0));
        let (words, arrow_beside) = if beside {
            (inner, SHORTEST + GAP)
        } else {
            (inner - arrow - Length::mm(0.7), Length::ZERO)
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
    /// A tail that says something, if it fits beside and under the focal length.
    fn composed<'a>(
        &self,
        (width, height): (Length, Length),
        wording: &'a [Said],
        setting: Setting,
    ) -> Option<Composed<'a>> {
        let Setting {
            focal,
            pitch,
            beside,
        } = setting;
        let parts = Parts::of(height, beside);
        if parts.words < WORDS {
            return None;
        }
        let focal = parts.words.min(Length::mm(focal));
        let focal_width = self.focal_width * focal.to_mm() + MM_GAP + self.millimetres;
        let inner = width - MARGIN * 2.0 - parts.arrow_beside;
        if inner < focal_width.max(SHORTEST) {
            return None;
        }
        let under_focal = |line: usize| pitch * line as f64 >= focal + Length::mm(0.8);
        let start = |line: usize| {
            if under_focal(line) {
                Length::ZERO
            } else {
                focal_width + GAP
            }
        };
        let lines = 1 + ((parts.words - WORDS).to_mm() / pitch.to_mm() + 1e-9).floor() as usize;
        let mut packed: Vec<Vec<(Length, &Said)>> = vec![Vec::new()];
        let mut along = start(0);
        for said in wording {
            loop {
                let line = packed.len() - 1;
                if along + said.width <= inner {
                    packed[line].push((along, said));
                    along = along + said.width + GAP;
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
            pitch,
            parts,
        })
    }

    /// The shortest tail that says everything, or the longest allowed.
    pub(super) fn natural_tail(&self, height: Length) -> Length {
        let all = self.every_wording().first().map_or(&[][..], Vec::as_slice);
        shortest(|width| {
            Setting::all()
                .filter(|setting| setting.focal == USUAL_FOCAL)
                .any(|setting| self.composed((width, height), all, setting).is_some())
        })
    }

    /// The shortest tail with all that must be on the tape.
    pub(super) fn least_tail(&self, height: Length) -> Length {
        let least = self.every_wording().last().map_or(&[][..], Vec::as_slice);
        shortest(|width| {
            Setting::all().any(|setting| self.composed((width, height), least, setting).is_some())
        })
    }

    /// The tail from its left end, saying as much as fits.
    pub(super) fn tail(&self, lie: Lie, left: Length, width: Length, height: Length) -> Vec<Item> {
        // The arrow's words before blanks.
        let fitting = [false, true].into_iter().find_map(|beside| {
            self.every_wording().iter().find_map(|wording| {
                Setting::with_arrow(beside)
                    .find_map(|setting| self.composed((width, height), wording, setting))
            })
        });
        let Some(composed) = fitting else {
            return Vec::new();
        };
        let (parts, top) = (composed.parts, TOP);
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
            for &(along, said) in line {
                items.push(run(&said.words, said.weight, WORDS, at(along, baseline)).into());
            }
            baseline = baseline + composed.pitch;
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
