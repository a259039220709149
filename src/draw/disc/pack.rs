//! Discs with their words, put on pages: shelves of blocks from the top left.

use crate::draw::page;
use crate::draw::paper::Paper;
use crate::draw::ruler::{Arrangement, Checks};
use crate::draw::tape::caption::{PITCH, Words, lines};
use crate::scene::{Correction, Item, Page, Point, Turn, Weight};
use crate::units::Length;

/// Between a disc and its words, and one block and the next.
const BETWEEN: Length = Length::mm(3.5);
/// A cut line is this wide.
const CUT: Length = Length::mm(0.25);
/// Words beside a disc are no narrower, and no wider.
const COLUMN: (Length, Length) = (Length::mm(48.0), Length::mm(110.0));
/// Words under a disc are no narrower where the paper allows it; from this on two
/// stand beside each other.
const UNDER: Length = Length::mm(60.0);

const TITLE: &str = "Discs for the follow focus";

/// What to do, for all discs of a page.
const STEPS: [&str; 4] = [
    "Measure this page's rulers. Not true? Give printed_100mm and print again.",
    "Cut along both dashed circles. Printed side out.",
    "Set the ring as its words say, turn the disc until the filled triangle is at the index, fix it.",
    "At the open triangle the ring must agree too, and the knob must have gone the arrow's way.",
];
/// What can go wrong.
const CAUTIONS: [&str; 3] = [
    "Check every disc against a tape measure before use, and again whenever the gears were apart. A disc holds for one lens, one gearing and, where it names one, one camera.",
    "Numbers are aids, not guarantees: what is sharp rests on the circle that was chosen.",
    "Nothing sticky on glass, scales or gear teeth.",
];

/// A disc, its middle at the origin, and its words.
#[derive(Clone, Debug)]
pub(super) struct Block {
    pub(super) radius: Length,
    pub(super) marks: Vec<Item>,
    pub(super) cuts: Vec<Item>,
    pub(super) caption: Vec<(String, Weight)>,
    pub(super) code: String,
}

/// How words stand to their discs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    Beside,
    Under,
}

/// The rulers of a page that has room for a disc, the card outline among them
/// where it leaves enough.
fn checks(paper: &Paper, diameter: Length) -> Option<Checks> {
    let wide = diameter + CUT;
    [Arrangement::Foot, Arrangement::Corner]
        .into_iter()
        .map(|arrangement| Checks::on(paper, arrangement))
        .find(|checks| checks.free().width().min(checks.free().height()) >= wide)
}

/// Whether a paper has room for a disc.
pub(super) fn takes(paper: &Paper, diameter: Length) -> bool {
    checks(paper, diameter).is_some()
}

/// The blocks on pages, with as few pages as either way of setting the words
/// needs.
pub(super) fn pages(blocks: &[Block], paper: &Paper, correction: Correction) -> Vec<Page> {
    let widest = blocks.iter().map(|block| block.radius * 2.0);
    let widest = widest.fold(Length::ZERO, Length::max);
    let Some(checks) = checks(paper, widest).filter(|_| !blocks.is_empty()) else {
        return Vec::new();
    };
    let packed = |way| Pages::new(&checks, paper, correction).with(blocks, way);
    let (beside, under) = (packed(Way::Beside), packed(Way::Under));
    if under.len() < beside.len() {
        under
    } else {
        beside
    }
}

/// The pages as they are filled.
struct Pages<'a> {
    checks: &'a Checks,
    paper: &'a Paper,
    correction: Correction,
    full: Vec<Page>,
    marks: Vec<Item>,
    cuts: Vec<Item>,
    codes: Vec<String>,
    /// Where the next block begins, and where the next shelf does.
    at: Point,
    shelf: Length,
}

impl<'a> Pages<'a> {
    fn new(checks: &'a Checks, paper: &'a Paper, correction: Correction) -> Self {
        let free = checks.free();
        Self {
            checks,
            paper,
            correction,
            full: Vec::new(),
            marks: Vec::new(),
            cuts: Vec::new(),
            codes: Vec::new(),
            at: Point::new(free.left(), free.top()),
            shelf: free.top(),
        }
    }

    fn with(mut self, blocks: &[Block], way: Way) -> Vec<Page> {
        for block in blocks {
            self.block(block, way);
        }
        if self.checks.notes().is_none() {
            let steps = (1..).zip(STEPS);
            let steps = steps.map(|(number, step)| format!("{number}. {step}"));
            let how = steps.chain(CAUTIONS.map(str::to_owned));
            let how: Vec<(String, Weight)> = how.map(|words| (words, Weight::Regular)).collect();
            self.flow(&lines(&how, self.checks.free().width()));
        }
        if !self.marks.is_empty() {
            self.turn_over();
        }
        self.full
    }

    fn block(&mut self, block: &Block, way: Way) {
        let free = self.checks.free();
        let wide = block.radius * 2.0 + CUT;
        let middle = Point::new(wide / 2.0, wide / 2.0);
        let column = free.width() - wide - BETWEEN;
        let beside = way == Way::Beside && column >= COLUMN.0;
        let (width, corner) = if beside {
            let corner = Point::new(wide + BETWEEN, Length::ZERO);
            (column.min(COLUMN.1), corner)
        } else {
            let corner = Point::new(Length::ZERO, wide + BETWEEN / 2.0);
            let half = (free.width() - BETWEEN) / 2.0;
            let column = if half >= UNDER { half } else { free.width() };
            (wide.max(column).min(free.width()), corner)
        };
        let words = lines(&block.caption, width);
        let high = PITCH * words.len() as f64;
        let whole = if beside {
            (wide + BETWEEN + width, wide.max(high))
        } else {
            (wide.max(width), corner.y + high)
        };
        let in_one = whole.1 <= free.height();
        let size = if in_one { whole } else { (wide, wide) };
        let at = self.room(size);
        self.codes.push(block.code.clone());
        let place = |items: &[Item]| Item::moved(at.moved(middle.x, middle.y), items.to_vec());
        self.marks.push(place(&block.marks));
        self.cuts.push(place(&block.cuts));
        if in_one {
            self.set(&words, at.moved(corner.x, corner.y));
        } else {
            // On a small paper the words go on by themselves.
            self.flow(&lines(&block.caption, free.width()));
        }
    }

    /// The top left corner of room for something of a size.
    fn room(&mut self, (width, height): (Length, Length)) -> Point {
        let free = self.checks.free();
        let hair = Length::mm(1e-6);
        if self.at.x + width > free.right() + hair {
            self.at = Point::new(free.left(), self.shelf);
        }
        let is_fresh = self.marks.is_empty();
        if self.at.y + height > free.bottom() + hair && !is_fresh {
            self.turn_over();
        }
        let at = self.at;
        self.at.x = self.at.x + width + BETWEEN;
        self.shelf = self.shelf.max(at.y + height + BETWEEN);
        at
    }

    fn set(&mut self, words: &[Words], corner: Point) {
        for (number, line) in words.iter().enumerate() {
            let down = PITCH * number as f64;
            self.marks.push(line.at(corner.moved(Length::ZERO, down)));
        }
    }

    /// Lines of words as wide as the page, on as many pages as they need.
    fn flow(&mut self, words: &[Words]) {
        let free = self.checks.free();
        for line in words {
            let hair = Length::mm(1e-6);
            if self.shelf + PITCH > free.bottom() + hair {
                self.turn_over();
            }
            let at = Point::new(free.left(), self.shelf);
            self.set(core::slice::from_ref(line), at);
            self.shelf = self.shelf + PITCH;
        }
        self.shelf = self.shelf + BETWEEN;
        self.at = Point::new(free.left(), self.shelf);
    }

    fn turn_over(&mut self) {
        self.codes.dedup();
        let mut page = self
            .paper
            .page()
            .with_title(TITLE)
            .with_code(&self.codes.join(" "))
            .with_correction(self.correction);
        page.extend(self.checks.items());
        let words = page::Words {
            title: TITLE,
            steps: &STEPS,
            cautions: &CAUTIONS,
        };
        page.extend(words.beside(self.checks, Turn::NONE).unwrap_or_default());
        page.push(Item::layer("cut lines", core::mem::take(&mut self.cuts)));
        page.push(Item::layer("discs", core::mem::take(&mut self.marks)));
        self.full.push(page);
        self.codes.clear();
        let free = self.checks.free();
        self.at = Point::new(free.left(), free.top());
        self.shelf = free.top();
    }
}
