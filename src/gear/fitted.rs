//! What a lens is beyond its figures at infinity focus, and what is screwed to
//! it.

use core::fmt;

use super::assumption::Assumption;
use super::frame::CircleOn;
use crate::formula::Record;
use crate::optics::{
    Anamorph, AnyLens, Attached, Bare, Behind, Breathing, BreathingRow, CannotAttach, CloseUp,
    NoBreathing, Squeeze, UnitFocus,
};
use crate::units::{AspectRatio, FNumber, FocusDistance, Length, TNumber};

/// Breathing, squeeze and attachments; empty for a plain lens.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Fitted {
    /// What is known of its settings, for a lens that breathes.
    pub breathing: Vec<BreathingRow>,
    /// How it squeezes, for an anamorphic one.
    pub squeeze: Option<Squeeze>,
    /// What is behind it, from the lens to the image plane.
    pub behind: Vec<Behind>,
    /// Close-up lenses before it.
    pub front: Vec<CloseUp>,
    /// Whether the close-up lens covers half the frame only.
    pub half: bool,
    /// The near end of the lens's own scale, where its ring stops.
    #[cfg_attr(feature = "serde", serde(skip))]
    pub close_focus: Option<FocusDistance>,
}

/// What is on a lens, as answers show it: every figure a step may begin with.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct FittedFigures {
    /// Breathing, squeeze and attachments.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Fitted::is_plain"))]
    pub fitted: Fitted,
    /// The lens without its extender, where it has one.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub lens_itself: Option<LensItself>,
    /// The aspect ratio taken out of the gate, where one was said.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub extraction: Option<AspectRatio>,
}

/// A lens without its extender.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct LensItself {
    /// Its focal length.
    #[cfg_attr(feature = "serde", serde(rename = "focal_length_mm"))]
    pub focal_length: Length,
    /// Its f-number, where a stop was said.
    pub f_number: Option<FNumber>,
    /// Its T-number, where known.
    pub t_number: Option<TNumber>,
}

/// Which meridian depth is that of, and what the other does.
fn about_squeeze(part: Anamorph, circle_on: CircleOn) -> Vec<Assumption> {
    let longer = match (part, circle_on) {
        // The rear squeezes blur as it squeezes all else.
        (Anamorph::Rear, CircleOn::Screen) => "side-to-side detail holds as long",
        _ => "side-to-side detail holds longer",
    };
    let mut notes = vec![Assumption::new(
        "vertical_meridian",
        format!("depth is that of the vertical meridian; {longer}"),
    )];
    if part == Anamorph::Front {
        notes.push(Assumption::new(
            "squeeze_fixed",
            "side-to-side limits take squeeze and pupil as the same at every distance; most \
             fronts squeeze less close up, and side-to-side detail then holds less long than said",
        ));
    }
    notes
}

/// Why figures and attachments make no lens.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoLens {
    /// The rows of a breathing lens describe none.
    Breathing(NoBreathing),
    /// Something cannot be attached.
    Attach(CannotAttach),
}

impl fmt::Display for NoLens {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Breathing(reason) => reason.fmt(f),
            Self::Attach(reason) => reason.fmt(f),
        }
    }
}

impl core::error::Error for NoLens {}

impl Fitted {
    /// Whether there is nothing of all this.
    #[must_use]
    pub fn is_plain(&self) -> bool {
        self.breathing.is_empty() && self.squeeze.is_none() && !self.voids_the_scale()
    }

    /// Whether anything moves the focus away from the lens's own scale.
    #[must_use]
    pub fn voids_the_scale(&self) -> bool {
        !self.behind.is_empty() || !self.front.is_empty()
    }

    /// What figures for such a lens rest on.
    #[must_use]
    pub fn assumptions(&self, circle_on: CircleOn) -> Vec<Assumption> {
        let mut notes = Vec::new();
        notes.extend(self.about_breathing());
        if let Some(squeeze) = self.squeeze {
            notes.extend(about_squeeze(squeeze.part, circle_on));
        }
        if self.voids_the_scale() {
            notes.push(Assumption::new(
                "scale_void",
                "with what is attached the lens's own scale is void: go by these figures or by \
                 eye",
            ));
        }
        if self.behind_an_extender() {
            notes.push(Assumption::new(
                "extender_thin",
                "what stands behind an extender is reckoned as behind a thin one that makes the \
                 whole as much longer as was said",
            ));
        }
        notes
    }

    fn about_breathing(&self) -> Option<Assumption> {
        let rows = self.breathing.len();
        if rows == 0 {
            return None;
        }
        let from = if rows == 1 { "one row" } else { "rows" };
        // At one distance depth goes about as 1/m; the pupil moves a little too.
        let bound = |row: &BreathingRow| {
            let (m, off) = (row.magnification, row.rounding);
            100.0 * off / (m - off) * (1.0 + m)
        };
        let bound = self.breathing.iter().map(bound).fold(0.0, f64::max);
        Some(Assumption::new(
            "breathing_model",
            format!(
                "the lens breathes: a model from infinity and {from} of its figures; as they are \
                 rounded, depth near them is known to about {:.1} %",
                libm::ceil(bound * 10.0) / 10.0
            ),
        ))
    }

    /// Whether a tube or filter stands behind an extender.
    fn behind_an_extender(&self) -> bool {
        let is_extender =
            |part: &Behind| matches!(part, Behind::Extender { factor, .. } if *factor != 1.0);
        let mut behind = self.behind.iter().skip_while(|part| !is_extender(part));
        behind.any(|part| !matches!(part, Behind::Extender { .. }))
    }

    /// What is attached, in words: from the lens to the image plane, then the
    /// close-up lenses; empty for nothing.
    #[must_use]
    pub fn attached_in_words(&self) -> String {
        let mut parts: Vec<String> = self.behind.iter().map(behind_in_words).collect();
        parts.extend(self.front.iter().map(close_up_in_words));
        parts.join(", ")
    }

    /// The same as short as it can be typed: `1.4×+20mm +1@190mm`.
    #[must_use]
    pub fn attached_in_short(&self) -> String {
        let behind = self.behind.iter().map(|part| match *part {
            Behind::Extender { factor, length } => format!("{factor}×{:+}mm", length.to_mm()),
            Behind::Tube { length } => format!("tube {}mm", length.to_mm()),
            Behind::Filter { thickness, .. } => format!("filter {}mm", thickness.to_mm()),
        });
        let front = self.front.iter();
        let front = front.map(|lens| format!("+{}@{}mm", lens.dioptres, lens.at.to_mm()));
        let parts: Vec<String> = behind.chain(front).collect();
        parts.join(" ")
    }

    /// The same without the close-up lenses.
    #[must_use]
    pub fn without_front(&self) -> Self {
        Self {
            front: Vec::new(),
            ..self.clone()
        }
    }

    /// The whole lens around what it is at infinity focus.
    ///
    /// # Errors
    /// [`NoLens`] when the rows or the attachments cannot be.
    pub fn lens(&self, at_infinity: UnitFocus, rec: &mut impl Record) -> Result<AnyLens, NoLens> {
        let bare = if self.breathing.is_empty() {
            Bare::Unit(at_infinity)
        } else {
            let lens = Breathing::new(at_infinity, &self.breathing, rec);
            Bare::Breathing(Box::new(lens.map_err(NoLens::Breathing)?))
        };
        if !self.voids_the_scale() {
            return Ok(bare.into());
        }
        let (behind, front) = (self.behind.clone(), self.front.clone());
        Attached::new(bare, behind, front, self.close_focus)
            .map(|whole| AnyLens::Attached(Box::new(whole)))
            .map_err(NoLens::Attach)
    }
}

/// A close-up lens in words.
#[must_use]
pub fn close_up_in_words(lens: &CloseUp) -> String {
    format!("close-up +{} at {} mm", lens.dioptres, lens.at.to_mm())
}

/// Something behind a lens in words.
#[must_use]
pub fn behind_in_words(part: &Behind) -> String {
    match *part {
        Behind::Extender { factor, length } => {
            let what = if factor < 1.0 { "reducer" } else { "extender" };
            let sign = if length.to_mm() < 0.0 { "−" } else { "+" };
            format!("{factor}× {what} ({sign}{} mm)", length.abs().to_mm())
        }
        Behind::Tube { length } => format!("{} mm tube", length.to_mm()),
        Behind::Filter { thickness, index } => {
            format!("{} mm filter (n {index})", thickness.to_mm())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::formula::Record;
    use crate::gear::breathing_row;
    use crate::optics::{Branch, Circle, Focus, Pupil};
    use crate::units::{PupilMagnification, Reach};

    /// Depth at the row's own distance, with the row's magnification as given.
    fn total(row: BreathingRow, rec: &mut impl Record) -> f64 {
        let at_infinity = UnitFocus::new(
            Length::mm(50.0),
            Pupil::Hiatus(Length::mm(-5.0)),
            PupilMagnification::ONE,
            rec,
        );
        let fitted = Fitted {
            breathing: vec![row],
            ..Fitted::default()
        };
        let lens = fitted.lens(at_infinity, rec).unwrap();
        let at = FocusDistance::at(row.distance).unwrap();
        let n = FNumber::new(2.8).unwrap();
        let set = lens.at(at, Branch::Far, n, rec).unwrap();
        let circle = Circle::new(Length::mm(0.025)).unwrap();
        let Reach::At(total) = set.depth(circle, rec).total else {
            panic!("it is finite");
        };
        total.to_mm()
    }

    #[test]
    fn the_bound_that_is_told_is_what_rounding_does_to_depth() {
        for text in ["0.15@450mm", "1:8@0.5m", "0.081@0.75m", "1:12.5@0.8m"] {
            let row = breathing_row(text).unwrap();
            let fitted = Fitted {
                breathing: vec![row],
                ..Fitted::default()
            };
            let note = &fitted.assumptions(CircleOn::Sensor)[0];
            assert_eq!(note.kind, "breathing_model");
            let told: f64 = note
                .message
                .split_once("about ")
                .and_then(|(_, rest)| rest.trim_end_matches([' ', '%']).parse().ok())
                .unwrap();
            let off = |by: f64| {
                let magnification = row.magnification + by * row.rounding;
                let other = BreathingRow {
                    magnification,
                    ..row
                };
                (total(other, &mut ()) / total(row, &mut ()) - 1.0).abs() * 100.0
            };
            let most = off(1.0).max(off(-1.0));
            assert!(most <= told && most > told * 0.8, "{text}: {most} {told}");
        }
    }
}
