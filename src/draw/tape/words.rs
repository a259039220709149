//! The words in a tape's rows: what is sharp, what stands behind it and,
//! without a tail, who it is and which way to turn.

use super::arrow::{SHORTEST, arrow};
use super::division::Piece;
use super::figures::Scale;
use super::frame::{Frame, run};
use super::identity::Unsaid;
use super::line::Line;
use super::piece::{Effort, WORDS, Whole};
use super::rows::Row;
use super::sharp::dimension;
use crate::scale::Standing;
use crate::scene::{Item, Point, Weight};
use crate::units::{Length, Unit};

impl Whole<'_> {
    /// The words of a piece; of what is still to be said, as much as has room.
    pub(super) fn words(
        &self,
        frame: &Frame,
        piece: &Piece,
        large: &Scale,
        effort: Effort,
        unsaid: &mut Unsaid,
    ) -> Vec<Item> {
        let tape = self.tape;
        let inset = Length::mm(1.4);
        let stretch = self.stretch(piece);
        let (left, right) = frame.span(stretch.clear_from, stretch.clear_to);
        let mut line = Line::new(left + inset, right - inset);
        let row = self.rows.middle.unwrap_or(Row {
            foot: self.rows.large.foot,
            height: WORDS,
        });
        let baseline = frame.baseline(row.foot, WORDS);
        let middle = (left + right) / 2.0;
        let mut items = Vec::new();
        let mut sharp = None;
        if self.rows.middle.is_none() {
            for (one, other) in large.taken() {
                let (left, right) = frame.span(one, other);
                line.take(left, right);
            }
        } else if let Some(band) = tape.sharp.as_ref().filter(|_| effort.dimension)
            && let Some((drawn, dimension)) = dimension(band, frame, row, &mut line)
        {
            sharp = Some((drawn, band, dimension));
        }
        // Toward close focus, where marks are far apart.
        let near = frame.x(stretch.clear_to);
        if !piece.is_last() {
            let words = format!(
                "{} mm · piece {} of {} · {}",
                self.identity.focal,
                piece.number + 1,
                piece.of,
                tape.code
            );
            let brief = format!("piece {} of {}", piece.number + 1, piece.of);
            let wordings = [words.as_str(), &brief];
            items.extend(words_in(
                &mut line,
                &wordings,
                Weight::Regular,
                near,
                baseline,
            ));
        }
        if unsaid.arrow {
            // Between figures small gaps will do, which are toward infinity.
            let at = match self.rows.middle {
                Some(_) => near,
                None => frame.x(stretch.clear_from),
            };
            let arrow = self.turning(&mut line, (right - left) / 6.0, at, baseline);
            unsaid.arrow = arrow.is_empty();
            items.extend(arrow);
        }
        items.extend(unsaid.say(&mut line, near, baseline));
        if let Some(row) = self.rows.small.filter(|_| !effort.other_unit) {
            let mut line = Line::new(left + inset, right - inset);
            items.extend(unsaid.say(&mut line, near, frame.baseline(row.foot, WORDS)));
        }
        if !large.tells_its_unit() {
            let wordings = match tape.unit {
                Unit::Feet => ["large figures: feet", "feet"],
                Unit::Metres => ["large figures: metres", "metres"],
            };
            items.extend(words_in(
                &mut line,
                &wordings,
                Weight::Regular,
                middle,
                baseline,
            ));
        }
        // A dimension without words says nothing.
        if let Some((drawn, band, dimension)) = sharp {
            match drawn.words(band, baseline, &mut line) {
                Some(words) => {
                    items.extend(dimension);
                    items.push(words);
                }
                None => unsaid.dimension = self.plan.tail.is_none(),
            }
        }
        let standing = match tape.standing {
            Standing::Measured => return items,
            Standing::Engraved if tape.corrected => "ENGRAVED, CORRECTED BY PREP: VERIFY BY EYE",
            Standing::Computed if tape.corrected => "COMPUTED, CORRECTED BY PREP: VERIFY BY EYE",
            Standing::Engraved => "ENGRAVED, NOT MEASURED: VERIFY BY EYE",
            Standing::Computed => "COMPUTED, NOT MEASURED: VERIFY BY EYE",
        };
        let wordings = [standing, "VERIFY BY EYE"];
        items.extend(words_in(
            &mut line,
            &wordings,
            Weight::Bold,
            middle,
            baseline,
        ));
        items
    }

    /// The arrow, as long as there is room for, but not longer than `most` unless
    /// it must be.
    fn turning(&self, line: &mut Line, most: Length, near: Length, baseline: Length) -> Vec<Item> {
        let widths = [30.0, 20.0, 12.0, SHORTEST.to_mm()].map(Length::mm);
        let placed = widths
            .into_iter()
            .filter(|&width| width <= most.max(SHORTEST))
            .find_map(|width| line.place(width, near).map(|left| (left, width)));
        placed.map_or_else(Vec::new, |(left, width)| {
            let top = Point::new(left, baseline - WORDS);
            arrow(self.lie.turn(), top, width, WORDS)
        })
    }
}

/// The first of several wordings that finds room.
fn words_in(
    line: &mut Line,
    wordings: &[&str],
    weight: Weight,
    near: Length,
    baseline: Length,
) -> Option<Item> {
    wordings.iter().find_map(|words| {
        let wide = run(words, weight, WORDS, Point::ORIGIN).width();
        let left = line.place(wide, near)?;
        Some(run(words, weight, WORDS, Point::new(left, baseline)).into())
    })
}
