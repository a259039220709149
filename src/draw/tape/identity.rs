//! What a tape says of itself; on its tail, or here in a free row.

use super::frame::{run, shortened};
use crate::scale::Standing;
use crate::scene::{Item, Point, Weight};
use crate::sheets::Tape;
use crate::units::Length;

pub(super) const WORDS: Length = Length::mm(2.0);
/// No single thing is wider.
const WIDEST: Length = Length::mm(32.0);

/// What identifies a tape, each piece short enough for it.
#[derive(Clone, Debug)]
pub(super) struct Identity {
    pub(super) focal: String,
    /// Width of the focal length where its figures are 1 mm high.
    pub(super) focal_width: Length,
    pub(super) millimetres: Length,
    pub(super) pieces: Vec<(String, Weight)>,
    pub(super) widths: Vec<Length>,
    /// Which pieces go first where not all fit, the least needed first.
    droppable: Vec<usize>,
}

impl Identity {
    pub(super) fn of(tape: &Tape) -> Self {
        let names = &tape.names;
        let standing = match tape.standing {
            Standing::Measured => ("measured", Weight::Regular),
            Standing::Engraved => ("ENGRAVED", Weight::Bold),
            Standing::Computed => ("COMPUTED", Weight::Bold),
        };
        let regular = |words: String| Some((words, Weight::Regular));
        let date = names.prepared.clone();
        let focal = [names.focal.clone(), format!("{} mm", names.focal)];
        let label = names
            .label
            .clone()
            .filter(|label| !focal.contains(label))
            .or(names.id.clone())
            .map(|label| (label, Weight::Bold));
        let all = [
            (3, label),
            (1, names.widest.clone().and_then(regular)),
            (
                4,
                names
                    .serial
                    .as_ref()
                    .and_then(|serial| regular(format!("no. {serial}"))),
            ),
            (
                5,
                names
                    .camera
                    .as_ref()
                    .filter(|_| tape.standing != Standing::Computed)
                    .and_then(|camera| regular(format!("camera {camera} only"))),
            ),
            (2, regular(date.unwrap_or_else(|| "date …………".into()))),
            (6, Some((standing.0.to_owned(), standing.1))),
            (7, regular(tape.code.to_string())),
        ];
        let present: Vec<(u32, (String, Weight))> = all
            .into_iter()
            .filter_map(|(rank, piece)| Some((rank, piece?)))
            .filter(|(_, (words, _))| !words.trim().is_empty())
            .collect();
        let mut droppable: Vec<usize> = (0..present.len()).collect();
        droppable.sort_by_key(|&index| present[index].0);
        let pieces: Vec<(String, Weight)> = present
            .into_iter()
            .map(|(_, (words, weight))| (shortened(&words, weight, WORDS, WIDEST), weight))
            .collect();
        let wide = |words: &str, weight, height| run(words, weight, height, Point::ORIGIN).width();
        let focal = shortened(&names.focal, Weight::Bold, Length::mm(3.0), WIDEST / 2.0);
        Self {
            focal_width: wide(&focal, Weight::Bold, Length::mm(1.0)),
            focal,
            millimetres: wide("mm", Weight::Regular, WORDS),
            widths: pieces
                .iter()
                .map(|(words, weight)| wide(words, *weight, WORDS))
                .collect(),
            pieces,
            droppable,
        }
    }

    /// Which pieces are left when the least needed have gone.
    pub(super) fn without(&self, dropped: usize) -> Vec<usize> {
        let gone = &self.droppable[..dropped.min(self.droppable.len())];
        (0..self.pieces.len())
            .filter(|index| !gone.contains(index))
            .collect()
    }

    /// Everything in one line, or as much of it as `place` finds room for: from
    /// a width it gives the left end.
    pub(super) fn in_line(
        &self,
        mut place: impl FnMut(Length) -> Option<Length>,
        baseline: Length,
    ) -> Vec<Item> {
        for dropped in 0..=self.pieces.len() {
            let kept = self.without(dropped);
            let words: Vec<&str> = kept
                .iter()
                .map(|&index| self.pieces[index].0.as_str())
                .collect();
            let focal = run(
                &format!("{} mm", self.focal),
                Weight::Bold,
                WORDS,
                Point::ORIGIN,
            );
            let rest = words
                .iter()
                .fold(String::new(), |line, words| line + " · " + words);
            let rest = run(&rest, Weight::Regular, WORDS, Point::ORIGIN);
            if let Some(left) = place(focal.width() + rest.width()) {
                let at = Point::new(left, baseline);
                let beside = at.moved(focal.width(), Length::ZERO);
                return vec![
                    run(focal.words(), Weight::Bold, WORDS, at).into(),
                    run(rest.words(), Weight::Regular, WORDS, beside).into(),
                ];
            }
        }
        Vec::new()
    }
}
