//! What a tape says of itself; on its tail, or here in a free row.

use super::On;
use super::frame::{run, shortened};
use super::lie::{Edge, Lie};
use super::line::Line;
use crate::scale::Standing;
use crate::scene::{Item, Point, Weight};
use crate::sheets::{Alignment, Tape};
use crate::units::Length;

pub(in crate::draw) const WORDS: Length = Length::mm(2.0);
/// No single thing is wider.
const WIDEST: Length = Length::mm(32.0);
/// Nor, where letters are few.
const WIDEST_BRIEF: Length = Length::mm(15.0);

/// What identifies a tape, each piece short enough for it.
#[derive(Clone, Debug)]
pub(in crate::draw) struct Identity {
    pub(in crate::draw) focal: String,
    /// Width of the focal length where its figures are 1 mm high.
    pub(in crate::draw) focal_width: Length,
    pub(in crate::draw) millimetres: Length,
    /// From all there is to say, to what must be on the tape's face.
    wordings: Vec<Vec<Said>>,
}

/// One thing a tape says of itself.
#[derive(Clone, Debug)]
pub(in crate::draw) struct Said {
    pub(in crate::draw) words: String,
    pub(in crate::draw) weight: Weight,
    pub(in crate::draw) width: Length,
}

impl Said {
    fn new(words: &str, weight: Weight, widest: Length) -> Option<Self> {
        let words = shortened(words.trim(), weight, WORDS, widest);
        let width = run(&words, weight, WORDS, Point::ORIGIN).width();
        (!words.is_empty()).then_some(Self {
            words,
            weight,
            width,
        })
    }
}

/// How much is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Fullness {
    /// What must be there, in few letters.
    Least,
    /// What must be there.
    Plain,
    /// The widest stop too.
    WithStop,
    /// And blanks for what was not given.
    WithBlanks,
}

impl Identity {
    pub(in crate::draw) fn of(tape: &Tape, lie: Lie, on: On<'_>) -> Self {
        use Fullness::{Least, Plain, WithBlanks, WithStop};
        let focal = shortened(
            &tape.names.focal,
            Weight::Bold,
            Length::mm(3.0),
            WIDEST / 2.0,
        );
        let wide = |words: &str, weight, height| run(words, weight, height, Point::ORIGIN).width();
        Self {
            focal_width: wide(&focal, Weight::Bold, Length::mm(1.0)),
            focal,
            millimetres: wide("mm", Weight::Regular, WORDS),
            wordings: [WithBlanks, WithStop, Plain, Least]
                .map(|fullness| said(tape, (lie, on), fullness))
                .to_vec(),
        }
    }

    /// Every wording, the fullest first.
    pub(in crate::draw) fn every_wording(&self) -> &[Vec<Said>] {
        &self.wordings
    }

    /// How many wordings there are.
    pub(in crate::draw) fn wordings(&self) -> usize {
        self.wordings.len()
    }

    /// A wording to be put into the rows of a tape without a tail.
    pub(in crate::draw) fn unsaid(&self, wording: usize) -> Unsaid {
        let focal = Said::new(&format!("{} mm", self.focal), Weight::Bold, WIDEST);
        let rest = self.wordings.get(wording).into_iter().flatten().cloned();
        Unsaid {
            said: focal.into_iter().chain(rest).collect(),
            arrow: true,
            dimension: false,
        }
    }
}

/// What a tape has still to say.
#[derive(Clone, Debug, Default)]
pub(in crate::draw) struct Unsaid {
    said: Vec<Said>,
    /// Which way to turn.
    pub(in crate::draw) arrow: bool,
    /// What is sharp, where the words for it were crowded out.
    pub(in crate::draw) dimension: bool,
}

impl Unsaid {
    /// How many things that is.
    pub(in crate::draw) fn count(&self) -> usize {
        self.said.len() + usize::from(self.arrow) + usize::from(self.dimension)
    }

    /// Says all in one line where that has room, else piece by piece as near to a
    /// place as can be.
    pub(in crate::draw) fn say(
        &mut self,
        line: &mut Line,
        near: Length,
        baseline: Length,
    ) -> Vec<Item> {
        let Some((first, rest)) = self.said.split_first() else {
            return Vec::new();
        };
        let rest = rest
            .iter()
            .fold(String::new(), |line, said| line + " · " + &said.words);
        let rest = run(&rest, Weight::Regular, WORDS, Point::ORIGIN);
        if let Some(left) = line.place(first.width + rest.width(), near) {
            let at = Point::new(left, baseline);
            let beside = at.moved(first.width, Length::ZERO);
            let items = vec![
                run(&first.words, first.weight, WORDS, at).into(),
                run(rest.words(), Weight::Regular, WORDS, beside).into(),
            ];
            self.said.clear();
            return items;
        }
        let mut items = Vec::new();
        self.said.retain(|said| match line.place(said.width, near) {
            Some(left) => {
                let at = Point::new(left, baseline);
                items.push(run(&said.words, said.weight, WORDS, at).into());
                false
            }
            None => true,
        });
        items
    }
}

/// What is said, in its order.
fn said(tape: &Tape, (lie, on): (Lie, On<'_>), fullness: Fullness) -> Vec<Said> {
    let names = &tape.names;
    let brief = fullness == Fullness::Least;
    let widest = if brief { WIDEST_BRIEF } else { WIDEST };
    let blank = |words: &'static str| (fullness == Fullness::WithBlanks).then(|| words.to_owned());
    let focal = [names.focal.clone(), format!("{} mm", names.focal)];
    let label = names
        .label
        .clone()
        .filter(|label| !focal.contains(label) && !label.trim().is_empty());
    let measured_on = match (&names.camera, tape.standing) {
        (_, Standing::Computed) if !tape.corrected => None,
        (Some(camera), _) if brief => Some(format!("{camera} only")),
        (Some(camera), _) => Some(format!("camera {camera} only")),
        (None, _) => blank("camera ……"),
    };
    let date = names.prepared.clone();
    let date = date.unwrap_or_else(|| {
        if brief {
            "date ……"
        } else {
            "date …………"
        }
        .to_owned()
    });
    let standing = match tape.standing {
        Standing::Measured => ("measured", Weight::Regular),
        Standing::Engraved => ("ENGRAVED", Weight::Bold),
        Standing::Computed => ("COMPUTED", Weight::Bold),
    };
    let serial = names.serial.as_ref().map(|serial| format!("no. {serial}"));
    let stop = names.widest.clone();
    let (hand_unit, preset) = match on {
        On::Ring(_) => (None, None),
        On::Wheel(wheel) => (
            Some(wheel.hand_unit.clone()),
            wheel
                .preset
                .as_ref()
                .map(|preset| format!("preset {preset}")),
        ),
    };
    let all = [
        (label.or(names.id.clone()), Weight::Bold),
        (
            stop.filter(|_| fullness >= Fullness::WithStop),
            Weight::Regular,
        ),
        (hand_unit, Weight::Regular),
        (preset, Weight::Bold),
        (serial.or_else(|| blank("no. ……")), Weight::Regular),
        (measured_on, Weight::Regular),
        (Some(date), Weight::Regular),
        (Some(standing.0.to_owned()), standing.1),
        (references(tape, lie), Weight::Regular),
        (Some(tape.code.to_string()), Weight::Regular),
    ];
    all.into_iter()
        .filter_map(|(words, weight)| Said::new(&words?, weight, widest))
        .collect()
}

/// What the triangles stand for, where no figure over them says it.
fn references(tape: &Tape, lie: Lie) -> Option<String> {
    let is_figured = |mark: &Alignment| tape.marks.iter().any(|tick| tick.at == mark.at);
    let both = core::iter::once(&tape.align).chain(&tape.check);
    if both.clone().all(is_figured) {
        return None;
    }
    let signs = match lie.witness {
        Edge::Bottom => ["▼", "▽"],
        Edge::Top => ["▲", "△"],
    };
    let named = both
        .zip(signs)
        .map(|(mark, sign)| format!("{sign} {}", mark.named));
    Some(named.collect::<Vec<_>>().join(" "))
}
