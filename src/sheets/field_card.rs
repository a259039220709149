//! Field cards: what the frame takes in at the usual distances, of a lens or of
//! a set.

use super::card::choice::{Ranked, reaches, worthiest};
use super::card::figure::inward;
use super::card::foot;
use super::code::Code;
use super::hyperfocals::of_some;
use super::names::Names;
use crate::answers::{FieldAnswer, FieldRow, Unanswerable, field};
use crate::gear::{Assumption, Frame, Setup};
use crate::optics::Gate;
use crate::units::{Angle, FocusDistance, Length, Reach, Unit, show};

/// The most lines a field card has.
pub const MOST_FIELD_LINES: usize = 12;
/// The most distances a set's field card has.
pub const MOST_SET_DISTANCES: usize = 5;

/// What a field card needs to know.
#[derive(Clone, Debug)]
pub struct FieldWish {
    /// What it is called.
    pub names: Names,
    /// The unit of its figures.
    pub unit: Unit,
    /// The lens with what is attached.
    pub setup: Setup,
    /// The nearest distance on the lens's own scale.
    pub close_focus: FocusDistance,
    /// The recorded frame.
    pub frame: Frame,
    /// Whether format and gate are told at the foot.
    pub gate: bool,
}

/// One line: the frame at one focus distance.
#[derive(Clone, Debug, PartialEq)]
pub struct FieldLine {
    /// Focus distance, exact.
    pub focus: String,
    /// Width of what is framed there, rounded down.
    pub width: String,
    /// Height of what is framed there, rounded down.
    pub height: String,
    /// Angles of view at the entrance pupil, rounded down: across and down.
    pub angles: [String; 2],
    /// How soon it is chosen where not all lines have room: 0 goes first.
    pub rank: usize,
}

/// The recorded frame, to be drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrameShown {
    /// Width and height of what the camera records.
    pub gate: (Length, Length),
    /// Width and height of what will be seen of it.
    pub picture: (Length, Length),
}

/// The field card of a lens.
#[derive(Clone, Debug, PartialEq)]
pub struct FieldCard {
    /// What it is called.
    pub names: Names,
    /// The unit of its figures.
    pub unit: Unit,
    /// The recorded frame.
    pub frame: FrameShown,
    /// Angles of view at infinity focus, rounded down: across, down, corner to
    /// corner.
    pub angles: [String; 3],
    /// One line a distance, the nearest first.
    pub lines: Vec<FieldLine>,
    /// What stands at the foot, paragraph by paragraph.
    pub foot: Vec<String>,
    /// What it was made from.
    pub code: Code,
}

/// A lens's row on the field card of a set.
#[derive(Clone, Debug, PartialEq)]
pub struct FieldSetRow {
    /// Focal length in mm, as figures.
    pub focal: String,
    /// What tells it from another lens of the same focal length.
    pub label: Option<String>,
    /// Angles of view at infinity focus, rounded down: across, down.
    pub angles: [String; 2],
    /// Width and height at each distance, rounded down; `None` where the lens
    /// does not go there.
    pub cells: Vec<Option<(String, String)>>,
}

/// The field card of a set.
#[derive(Clone, Debug, PartialEq)]
pub struct FieldSet {
    /// The set's title, camera and date; it has no focal length.
    pub names: Names,
    /// The unit of its figures.
    pub unit: Unit,
    /// The distances, the nearest first, with how soon each is chosen.
    pub distances: Vec<(String, usize)>,
    /// One row a lens.
    pub rows: Vec<FieldSetRow>,
    /// What stands at the foot, paragraph by paragraph.
    pub foot: Vec<String>,
    /// What it was made from.
    pub code: Code,
}

impl FieldWish {
    fn picture(&self) -> Gate {
        self.frame.picture(self.setup.fitted.squeeze, &mut ())
    }

    fn reaches(&self, distance: FocusDistance) -> bool {
        reaches(&self.setup, self.close_focus, distance)
    }

    fn answer(&self, at: &[FocusDistance]) -> Result<FieldAnswer, Unanswerable> {
        field(&self.setup, self.picture(), at, None, &mut ())
    }
}

impl FieldCard {
    /// The card of a lens.
    ///
    /// # Errors
    /// [`Unanswerable`] where what is framed stands behind the entrance pupil.
    pub fn new(wish: FieldWish) -> Result<Self, Unanswerable> {
        let unit = wish.unit;
        let ranked = worthiest(unit, MOST_FIELD_LINES, |at| wish.reaches(at));
        let answer = wish.answer(&distances(&ranked))?;
        let line = |(row, (_, rank)): (&FieldRow, &Ranked)| FieldLine {
            focus: show::exact_distance(row.focus, unit),
            width: shown(row.width, unit),
            height: shown(row.height, unit),
            angles: [row.horizontal, row.vertical].map(degrees),
            rank: *rank,
        };
        let picture = wish.picture();
        let gate = wish.frame.gate;
        let mut card = Self {
            unit,
            frame: FrameShown {
                gate: (gate.width(), gate.height()),
                picture: (picture.width(), picture.height()),
            },
            angles: [answer.horizontal, answer.vertical, answer.diagonal].map(degrees),
            lines: answer.rows.iter().zip(&ranked).map(line).collect(),
            foot: foot(
                Some(&wish.frame).filter(|_| wish.gate),
                &of_some([("", of_field(&answer).as_slice())].into_iter()),
            ),
            names: wish.names,
            code: Code::of(""),
        };
        card.code = Code::of(&format!("{card:?}"));
        Ok(card)
    }
}

impl FieldSet {
    /// The card of a set of lenses on one camera, in their order.
    ///
    /// # Errors
    /// [`Unanswerable`] where what is framed stands behind the entrance pupil.
    pub fn new(names: Names, lenses: &[FieldWish], unit: Unit) -> Result<Self, Unanswerable> {
        // Distances that most lenses go to, so that few cells stay empty.
        let most_reach = |at| {
            let count = lenses.iter().filter(|lens| lens.reaches(at)).count();
            count * 2 > lenses.len()
        };
        let ranked = worthiest(unit, MOST_SET_DISTANCES, most_reach);
        let all = distances(&ranked);
        let rows = lenses
            .iter()
            .map(|lens| set_row(lens, &all, unit))
            .collect::<Result<Vec<_>, _>>()?;
        let answers = lenses
            .iter()
            .map(|lens| lens.answer(&[]))
            .collect::<Result<Vec<_>, _>>()?;
        let notes: Vec<Vec<Assumption>> = answers.iter().map(of_field).collect();
        let notes = lenses.iter().zip(&notes);
        let notes = notes.map(|(lens, notes)| (lens.names.focal.as_str(), notes.as_slice()));
        let shown = ranked.iter();
        let shown = shown.map(|(at, rank)| (show::exact_distance(*at, unit), *rank));
        let frame = lenses
            .first()
            .filter(|lens| lens.gate)
            .map(|lens| &lens.frame);
        let mut card = Self {
            unit,
            distances: shown.collect(),
            rows,
            foot: foot(frame, &of_some(notes)),
            names,
            code: Code::of(""),
        };
        card.code = Code::of(&format!("{card:?}"));
        Ok(card)
    }
}

fn set_row(
    lens: &FieldWish,
    all: &[FocusDistance],
    unit: Unit,
) -> Result<FieldSetRow, Unanswerable> {
    let own: Vec<FocusDistance> = all.iter().copied().filter(|&at| lens.reaches(at)).collect();
    let answer = lens.answer(&own)?;
    let cell = |at: &FocusDistance| {
        let row = answer.rows.iter().find(|row| row.focus == *at)?;
        Some((shown(row.width, unit), shown(row.height, unit)))
    };
    Ok(FieldSetRow {
        focal: lens.names.focal.clone(),
        label: lens.names.id.clone().or(lens.names.label.clone()),
        angles: [answer.horizontal, answer.vertical].map(degrees),
        cells: all.iter().map(cell).collect(),
    })
}

/// What a field rests on; what is said of depth alone is not among it.
fn of_field(answer: &FieldAnswer) -> Vec<Assumption> {
    let notes = answer.assumptions.iter();
    let about = notes.filter(|note| note.kind != "vertical_meridian");
    about.cloned().collect()
}

fn distances(ranked: &[Ranked]) -> Vec<FocusDistance> {
    ranked.iter().map(|(at, _)| *at).collect()
}

fn shown(size: Reach<Length>, unit: Unit) -> String {
    match size {
        Reach::At(length) => inward(length, unit),
        Reach::Infinity => "∞".into(),
    }
}

/// A tenth of a degree, rounded down.
fn degrees(angle: Angle) -> String {
    let tenths = libm::floor(angle.to_deg() * 10.0 + 1e-9);
    format!("{:.1}°", tenths / 10.0)
}

fn foot(frame: Option<&Frame>, assumed: &[String]) -> Vec<String> {
    let gate = foot::gate(frame);
    let mut lines = vec![
        "distances from the ⌀ mark (image plane); width and height of the picture in the focused \
         plane, angles at the entrance pupil, all rounded down"
            .to_owned(),
        "check against a tape and the finder before use".to_owned(),
    ];
    let gate = gate.trim_end_matches(" · ");
    if !gate.is_empty() {
        lines.push(gate.to_owned());
    }
    if !assumed.is_empty() {
        lines.push(assumed.join(" · "));
    }
    lines
}
