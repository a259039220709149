//! Tapes with their words, put on pages.

use super::caption::{self, PITCH, Words};
use super::piece::Drawn;
use crate::draw::page;
use crate::draw::paper::Paper;
use crate::draw::ruler::{Arrangement, Checks};
use crate::gear::Side;
use crate::scene::{Correction, Item, Page, Point, Turn, Weight};
use crate::units::Length;

/// Between one tape with its words and the next.
const BETWEEN: Length = Length::mm(4.5);
/// Between a piece and what belongs to it.
const BELOW: Length = Length::mm(1.6);

/// What to do, for all tapes of a page.
const STEPS: [&str; 4] = [
    "Hold a ruler to the rulers of this page. Not true? Give what they measure as printed_100mm and print again.",
    "Cut along the dashed outlines; a piece that says “cut off” also along its whole line.",
    "Set the ring as the words under the tape say, lay the line under the filled triangle on the witness mark, ticks toward it, and stick the tape down without stretching it.",
    "Turn to the open triangle: the ring must agree there too. Then tape a distance, focus by eye, and read the tape.",
];
/// What can go wrong.
const CAUTIONS: [&str; 3] = [
    "Check every tape against a tape measure before use. A tape holds for one lens, one side and, where it names one, one camera.",
    "Numbers are aids, not guarantees: what is sharp rests on the circle that was chosen.",
    "Nothing sticky on glass, scales or gear teeth.",
];

/// The same for strips.
const STRIP_STEPS: [&str; 4] = [
    "Hold a ruler to the rulers of this page. Not true? Give what they measure as printed_100mm and print again.",
    "Calibrate the lens's travel on the hand unit to the two ends that the words under the strip name.",
    "Cut along the dashed outlines. Set the ring as the words say, lay the line under the filled triangle at the wheel's index, ticks toward it, and stick the strip down without stretching it.",
    "Turn to the open triangle: the ring must agree there too. Then tape a distance, focus by eye, and read the strip.",
];
const STRIP_CAUTIONS: [&str; 3] = [
    "Check every strip against a tape measure before use, and again after each calibration. A strip holds for one lens, one wheel and, where it names one, one camera.",
    "Numbers are aids, not guarantees: what is sharp rests on the circle that was chosen.",
    "Nothing sticky on glass, scales or gear teeth.",
];

/// What stands on the pages beside their tapes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sheet {
    title: &'static str,
    layer: &'static str,
    steps: &'static [&'static str],
    cautions: &'static [&'static str],
}

/// For tapes read from a side of the camera.
pub(super) const fn of_tapes(side: Side) -> Sheet {
    Sheet {
        title: match side {
            Side::Left => "Tapes, camera left",
            Side::Right => "Tapes, camera right",
        },
        layer: "tapes",
        steps: &STEPS,
        cautions: &CAUTIONS,
    }
}

/// For strips.
pub(super) const fn of_strips() -> Sheet {
    Sheet {
        title: "Strips for hand units",
        layer: "strips",
        steps: &STRIP_STEPS,
        cautions: &STRIP_CAUTIONS,
    }
}

/// A tape and the words under it.
pub(super) struct Block {
    pub(super) pieces: Vec<Drawn>,
    pub(super) caption: Vec<Words>,
    pub(super) code: String,
}

impl Block {
    fn height(&self) -> Length {
        let pieces = self
            .pieces
            .iter()
            .fold(Length::ZERO, |sum, piece| sum + piece.height + BELOW);
        pieces + PITCH * self.caption.len() as f64
    }
}

/// The pages as they are filled.
pub(super) struct Pages<'a> {
    sheet: Sheet,
    paper: &'a Paper,
    correction: Correction,
    checks: Checks,
    full: Vec<Page>,
    marks: Vec<Item>,
    cuts: Vec<Item>,
    codes: Vec<String>,
    left: Length,
}

impl<'a> Pages<'a> {
    pub(super) fn new(sheet: Sheet, paper: &'a Paper, correction: Correction) -> Self {
        let checks = Checks::on(paper, Arrangement::Edge);
        Self {
            sheet,
            paper,
            correction,
            left: checks.free().left(),
            checks,
            full: Vec::new(),
            marks: Vec::new(),
            cuts: Vec::new(),
            codes: Vec::new(),
        }
    }

    pub(super) fn with(mut self, blocks: Vec<Block>) -> Self {
        for block in blocks {
            if !self.is_fresh() && !self.has_room(block.height()) {
                self.turn_over();
            }
            for piece in block.pieces {
                self.make_room(piece.height);
                self.codes.push(block.code.clone());
                let foot = Point::new(self.left, self.checks.free().bottom());
                let place = |items| Item::placed(foot, Turn::THREE_QUARTERS, items);
                self.marks.push(place(piece.marks));
                self.cuts.push(place(piece.cuts));
                self.left = self.left + piece.height + BELOW;
            }
            self.words(&block.caption);
            self.left = self.left + BETWEEN - BELOW;
        }
        self
    }

    fn words(&mut self, lines: &[Words]) {
        for line in lines {
            self.make_room(PITCH);
            let foot = Point::new(self.left, self.checks.free().bottom());
            let item = line.at(Point::ORIGIN);
            self.marks
                .push(Item::placed(foot, Turn::THREE_QUARTERS, vec![item]));
            self.left = self.left + PITCH;
        }
    }

    fn is_fresh(&self) -> bool {
        self.left == self.checks.free().left()
    }

    fn has_room(&self, width: Length) -> bool {
        // The last line's leading may lie outside.
        self.left + width <= self.checks.free().right() + Length::mm(0.5)
    }

    fn make_room(&mut self, width: Length) {
        if !self.is_fresh() && !self.has_room(width) {
            self.turn_over();
        }
    }

    fn turn_over(&mut self) {
        self.codes.dedup();
        let mut page = self
            .paper
            .page()
            .with_title(self.sheet.title)
            .with_code(&self.codes.join(" "))
            .with_correction(self.correction);
        page.extend(self.checks.items());
        let words = page::Words {
            title: self.sheet.title,
            steps: self.sheet.steps,
            cautions: self.sheet.cautions,
        };
        page.extend(
            words
                .beside(&self.checks, Turn::THREE_QUARTERS)
                .unwrap_or_default(),
        );
        page.push(Item::layer("cut lines", core::mem::take(&mut self.cuts)));
        page.push(Item::layer(
            self.sheet.layer,
            core::mem::take(&mut self.marks),
        ));
        self.full.push(page);
        self.codes.clear();
        self.left = self.checks.free().left();
    }

    pub(super) fn done(mut self) -> Vec<Page> {
        if self.checks.notes().is_none() && !(self.is_fresh() && self.full.is_empty()) {
            let how: Vec<(String, Weight)> = (1..)
                .zip(self.sheet.steps)
                .map(|(number, step)| format!("{number}. {step}"))
                .chain(
                    self.sheet
                        .cautions
                        .iter()
                        .map(|&caution| caution.to_owned()),
                )
                .map(|words| (words, Weight::Regular))
                .collect();
            let lines = caption::lines(&how, self.checks.free().height());
            self.words(&lines);
        }
        if !self.is_fresh() {
            self.turn_over();
        }
        self.full
    }
}
