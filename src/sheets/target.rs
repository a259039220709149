//! A focus target: groups of lines, each for its own distance.

use super::code::Code;
use super::names::Names;
use crate::answers::{TargetAnswer, TargetRow, target};
use crate::formula::Record;
use crate::gear::{Assumption, HoldSetup};
use crate::units::{FocusDistance, Length, Unit, show};

/// The narrowest line a printer is trusted with: 1.2 dots at 300 dots/in, 2.4
/// at 600. Common practice, no source.
const FINEST_LINE: Length = Length::mm(0.1);
/// Under three dots at 300 dots/in lines come out unevenly wide, though as far
/// apart as they must be.
const FINE_LINE: Length = Length::mm(0.25);
/// Lines farther apart make no group one can judge on a page: five are 50 mm.
const COARSEST: Length = Length::mm(11.0);

/// What a target needs to know beside the setup.
#[derive(Clone, Debug, PartialEq)]
pub struct TargetWish {
    /// What the lens is called.
    pub names: Names,
    /// The unit of its figures.
    pub unit: Unit,
    /// The nearest distance on the lens's own scale; what is nearer is left out.
    pub close_focus: Option<FocusDistance>,
    /// Where the target will stand; empty: the usual three.
    pub at: Vec<FocusDistance>,
}

/// A target with fields for several distances.
#[derive(Clone, Debug, PartialEq)]
pub struct Target {
    /// The lens, in words.
    pub lens: String,
    /// What its lines rest on.
    pub rests_on: String,
    /// Its fields, the nearest distance first.
    pub fields: Vec<TargetField>,
    /// What is to be said at its foot: what was left out, what was assumed.
    pub notes: Vec<String>,
    /// The distances that have no field, and why.
    pub left_out: Vec<String>,
    /// The figures behind it.
    pub answer: TargetAnswer,
    /// When the kit was prepared, else a blank is left.
    pub prepared: Option<String>,
    /// What it was made from.
    pub code: Code,
}

/// The lines for one distance.
#[derive(Clone, Debug, PartialEq)]
pub struct TargetField {
    /// The distance, exact.
    pub distance: String,
    /// From one of its finest lines to the next; a line is half of it wide.
    pub period: Length,
    /// What it means when they are lost.
    pub lost: String,
    /// The same of lines twice as far apart, where they stand beside.
    pub lost_coarse: &'static str,
}

impl Target {
    /// The target of a lens with a circle.
    #[must_use]
    pub fn new(setup: &HoldSetup, wish: TargetWish, rec: &mut impl Record) -> Self {
        let unit = wish.unit;
        let mut at = if wish.at.is_empty() {
            usual(unit)
        } else {
            wish.at
        };
        at.sort_by(|one, other| other.is_nearer_than(*one).cmp(&one.is_nearer_than(*other)));
        at.dedup();
        let answer = target(setup, &at, wish.close_focus, rec);
        let mut left_out: Vec<String> = answer
            .out_of_reach
            .iter()
            .map(|(at, reason)| format!("{}: {reason}", show::exact_distance(*at, unit)))
            .collect();
        let mut fields = Vec::new();
        for row in &answer.rows {
            match field(row, unit) {
                Ok(field) => fields.push(field),
                Err(reason) => left_out.push(reason),
            }
        }
        let narrow = |field: &TargetField| field.period / 2.0 < FINE_LINE;
        let fine = fields.iter().any(narrow).then(|| {
            "lines under 0.25 mm: print at 600 dots/in or finer, or they come out unevenly wide"
                .to_owned()
        });
        let assumed = setup.setup.assumptions.iter().filter_map(assumed);
        let left = left_out.iter().map(|why| format!("left out: {why}"));
        let mut target = Self {
            lens: lens(&wish.names),
            rests_on: format!(
                "circle {:.4} mm, {}",
                setup.circle.circle.diameter().to_mm(),
                setup.circle.in_words()
            ),
            notes: left.chain(fine).chain(assumed).collect(),
            fields,
            left_out,
            answer,
            prepared: wish.names.prepared,
            code: Code::of(""),
        };
        target.code = Code::of(&format!("{target:?}"));
        target
    }

    /// What it is called.
    #[must_use]
    pub const fn title(&self) -> &'static str {
        "Focus target"
    }

    /// What it is for.
    #[must_use]
    pub const fn purpose(&self) -> &'static str {
        "for eye focus, not for judging a lens"
    }

    /// What to do, step by step.
    #[must_use]
    pub const fn steps(&self) -> &'static [&'static str] {
        &[
            "Hang it square, the cross in mid-frame, the level line as high as the lens.",
            "Tape a field's distance from the ⌀ mark along the axis; write down what was taped.",
            "Widest stop, picture enlarged: from both sides turn to where its fine lines are lost. Focus is midway.",
        ]
    }

    /// What can go wrong.
    #[must_use]
    pub const fn cautions(&self) -> &'static [&'static str] {
        &[
            "Each field is for its own distance. Lost: a blur as large as the circle leaves a tenth of the contrast, by geometry alone; a dark stop, the lens and the recording move that.",
            "Lines that come back beyond that, light where they were dark, are out of focus.",
            "Check marks against a tape before use. No tape left stretched across the floor.",
        ]
    }

    /// What stands on the level line.
    #[must_use]
    pub const fn level(&self) -> &'static str {
        "level, and as high as the lens"
    }

    /// What is written in on the level line by hand.
    #[must_use]
    pub const fn height(&self) -> &'static str {
        "over the floor ______________"
    }

    /// What is written in beside a field by hand.
    #[must_use]
    pub const fn taped(&self) -> &'static str {
        "taped ___________"
    }
}

/// Where nobody says where: what a tape is quickly laid to.
fn usual(unit: Unit) -> Vec<FocusDistance> {
    let lengths = match unit {
        Unit::Metres => [1000.0, 2000.0, 3000.0].map(Length::mm),
        Unit::Feet => [36.0, 72.0, 120.0].map(Length::inches),
    };
    lengths
        .into_iter()
        .filter_map(|at| FocusDistance::at(at).ok())
        .collect()
}

/// The lines of a row, or why there are none.
fn field(row: &TargetRow, unit: Unit) -> Result<TargetField, String> {
    let distance = show::exact_distance(row.distance, unit);
    let mm = row.period.to_mm();
    let line = row.period / 2.0;
    if line < FINEST_LINE {
        return Err(format!(
            "{distance}: its lines would be {:.3} mm wide, finer than a printer holds ({} mm)",
            line.to_mm(),
            FINEST_LINE.to_mm()
        ));
    }
    if row.period > COARSEST {
        return Err(format!(
            "{distance}: its lines would stand {mm:.1} mm apart, too far for a page ({} mm)",
            COARSEST.to_mm()
        ));
    }
    Ok(TargetField {
        lost: format!(
            "at {distance} lines of {mm:.2} mm blur together when focus is off by the circle"
        ),
        lost_coarse: ", lines twice as far apart by two circles",
        distance,
        period: row.period,
    })
}

/// The lens in words, as far as they are known.
fn lens(names: &Names) -> String {
    let focal = format!("{} mm", names.focal);
    let serial = names.serial.as_ref().map(|serial| format!("no. {serial}"));
    let camera = names
        .camera
        .as_ref()
        .map(|camera| format!("camera {camera}"));
    let parts = [names.label.clone().or(names.id.clone()), serial, camera];
    let parts = parts.into_iter().flatten();
    core::iter::once(focal)
        .chain(parts)
        .collect::<Vec<_>>()
        .join(" · ")
}

/// An assumption that bears on the lines; stops and pupils do not.
fn assumed(note: &Assumption) -> Option<String> {
    match note.kind {
        "circle_assumed" | "transmittance_assumed" | "pupil_magnification_assumed" => None,
        "wider_than_lens" | "rear_filter" => None,
        "pupils_unknown" | "pupil_magnification_alone" => {
            Some("where the principal planes stand is unknown: hiatus 0 assumed".into())
        }
        _ => Some(note.message.clone()),
    }
}
