//! A lens as it is written down, checked once.

mod id;
mod written;
mod zoom;

pub use id::{LensId, NoLensId};
pub use written::{Focal, LensProblem, LensWritten, ScaleFrom, ZoomRow};
pub use zoom::NotAFocal;

use super::assumption::Assumption;
use super::attach::filter_shift;
use super::fitted::{Fitted, NoLens};
use super::ring::Ring;
use super::setup::LensFigures;
use crate::numerics::math::exp2;
use crate::optics::{Anamorph, Pupil, Squeeze, f_number_of, t_number_of, transmittance_of};
use crate::units::{
    Angle, FNumber, FocusDistance, Length, PupilMagnification, Ratio, Reach, Stop, StopKind,
    TNumber, Transmittance, Unit, Unreadable,
};

/// A lens, checked.
#[derive(Clone, Debug, PartialEq)]
pub struct Lens {
    written: LensWritten,
    widest: Stop,
    f_number: Option<FNumber>,
    t_number: Option<TNumber>,
    transmittance: Option<Transmittance>,
    stands_at: Option<Length>,
}

impl Lens {
    /// A lens from what is written down; of f-number, T-number and
    /// transmittance any two give the third.
    ///
    /// # Errors
    /// Every [`LensProblem`] there is.
    pub fn new(written: LensWritten) -> Result<Self, Vec<LensProblem>> {
        let mut problems = Vec::new();
        match written.focal {
            Focal::Zoom { wide, long } => {
                if long <= wide {
                    problems.push(LensProblem::FocalOrder);
                }
                let outside = |focal: Length| focal < wide || focal > long;
                let cards = written.card_focals.iter().enumerate();
                let cards = cards.filter(|(_, focal)| outside(**focal));
                problems.extend(cards.map(|(place, _)| LensProblem::CardFocalOutside(place)));
                let rows = written.zoom.iter().enumerate();
                let rows = rows.filter(|(_, row)| outside(row.focal));
                problems.extend(rows.map(|(place, _)| LensProblem::ZoomRowOutside(place)));
                let twice = |place: usize, row: &ZoomRow| {
                    let before = written.zoom.iter().take(place);
                    before.clone().any(|other| other.focal == row.focal)
                };
                let rows = written.zoom.iter().enumerate();
                let rows = rows.filter(|(place, row)| twice(*place, row));
                problems.extend(rows.map(|(place, _)| LensProblem::ZoomRowTwice(place)));
            }
            Focal::Prime(_) if written.zoom.is_empty() && written.card_focals.is_empty() => {}
            Focal::Prime(_) => problems.push(LensProblem::NoZoom),
        }
        if written.scale_from == ScaleFrom::Front && written.front_distance.is_none() {
            problems.push(LensProblem::FrontUnknown);
        }
        let widest = match (written.t_number, written.f_number) {
            (Some(t), _) => Stop::T(t),
            (None, Some(f)) => Stop::F(f),
            (None, None) => {
                problems.push(LensProblem::NoStop);
                return Err(problems);
            }
        };
        let mut lens = Self {
            widest,
            f_number: written.f_number,
            t_number: written.t_number,
            transmittance: written.transmittance,
            stands_at: None,
            written,
        };
        if let Err(problem) = lens.complete_light() {
            problems.push(problem);
        }
        lens.open_as_there();
        problems.extend(lens.breathing_problem());
        match lens.written.close_focus.reach() {
            Reach::Infinity => problems.push(LensProblem::CloseFocusInfinite),
            Reach::At(close) => {
                let limit = lens.nearest_possible();
                if close < limit {
                    problems.push(LensProblem::Inside4f { limit });
                }
            }
        }
        if problems.is_empty() {
            Ok(lens)
        } else {
            Err(problems)
        }
    }

    fn complete_light(&mut self) -> Result<(), LensProblem> {
        match (self.f_number, self.t_number, self.transmittance) {
            (Some(f), Some(t), written) => {
                let by_stops = transmittance_of(f, t, &mut ()).map_err(|reason| match reason {
                    Unreadable::OutOfRange { value, .. } if value > 1.0 => {
                        LensProblem::TBelowF { f, t }
                    }
                    other => LensProblem::Light(other),
                })?;
                match written {
                    None => self.transmittance = Some(by_stops),
                    Some(written) => {
                        // A stop is a factor of two in light.
                        let tenth = exp2(0.1);
                        let ratio = by_stops.value() / written.value();
                        if ratio > tenth || ratio < 1.0 / tenth {
                            return Err(LensProblem::LightDisagrees {
                                given_by_stops: by_stops,
                                written,
                            });
                        }
                    }
                }
            }
            (Some(f), None, Some(tau)) => {
                let t = t_number_of(f, tau, &mut ());
                self.t_number = Some(TNumber::new(t.value()).map_err(LensProblem::Light)?);
            }
            (None, Some(t), Some(tau)) => {
                let f = f_number_of(t, tau, &mut ());
                self.f_number = Some(FNumber::new(f.value()).map_err(LensProblem::Light)?);
            }
            _ => {}
        }
        Ok(())
    }

    /// Why the rows of a lens that breathes cannot be.
    fn breathing_problem(&self) -> Option<LensProblem> {
        if self.written.breathing.is_empty() {
            return None;
        }
        if let Focal::Zoom { .. } = self.written.focal {
            return Some(LensProblem::BreathingZoom);
        }
        let lens = self
            .fitted()
            .lens(self.figures().unit_focus(&mut ()), &mut ());
        match lens {
            Err(NoLens::Breathing(reason)) => Some(LensProblem::Breathing(reason)),
            Ok(_) | Err(NoLens::Attach(_)) => None,
        }
    }

    /// What its figures rest on where a filter stands behind it.
    #[must_use]
    pub fn rear_filter_assumption(&self) -> Option<Assumption> {
        let thickness = self.written.rear_filter?;
        let shift = filter_shift(thickness);
        Some(Assumption::new(
            "rear_filter",
            format!(
                "a {} mm filter stands behind this lens: if it was not made for one, each of its \
                 own marks is off as with an image plane {:.2} mm too near, unless it was found \
                 with the filter in; figures here are for the focus as taped",
                thickness.to_mm(),
                shift.to_mm()
            ),
        ))
    }

    /// What it is called in files.
    #[must_use]
    pub const fn id(&self) -> &LensId {
        &self.written.id
    }

    /// What sheets call it: its label, else its id.
    #[must_use]
    pub fn label(&self) -> &str {
        self.written
            .label
            .as_deref()
            .unwrap_or(self.written.id.as_str())
    }

    /// Its serial number.
    #[must_use]
    pub fn serial(&self) -> Option<&str> {
        self.written.serial.as_deref()
    }

    /// Its focal length or lengths.
    #[must_use]
    pub const fn focal(&self) -> Focal {
        self.written.focal
    }

    /// The focal lengths of a zoom that get cards, as written.
    #[must_use]
    pub fn card_focals(&self) -> &[Length] {
        &self.written.card_focals
    }

    /// What a zoom is along its range.
    #[must_use]
    pub fn zoom(&self) -> &[ZoomRow] {
        &self.written.zoom
    }

    /// The widest f-number, written or following from the other two.
    #[must_use]
    pub const fn f_number(&self) -> Option<FNumber> {
        self.f_number
    }

    /// The widest T-number, written or following from the other two.
    #[must_use]
    pub const fn t_number(&self) -> Option<TNumber> {
        self.t_number
    }

    /// The share of light that passes, written or following from the stops;
    /// `None`: unknown.
    #[must_use]
    pub const fn transmittance(&self) -> Option<Transmittance> {
        self.transmittance
    }

    /// Whether numbers on its stop ring are f or T: T where a T-number is
    /// written.
    #[must_use]
    pub const fn stop_kind(&self) -> StopKind {
        self.widest.kind()
    }

    /// Its widest stop, in the kind of its stop ring.
    #[must_use]
    pub const fn widest(&self) -> Stop {
        self.widest
    }

    /// Whether it opens to a stop at the focal length it stands at, as far as is
    /// known.
    #[must_use]
    pub fn opens_to(&self, stop: Stop) -> bool {
        let f = self.f_number.map(FNumber::value);
        let widest = match stop {
            Stop::F(_) => f,
            // No T-number is below its f-number.
            Stop::T(_) => self.t_number.map(TNumber::value).or(f),
        };
        widest.is_none_or(|widest| stop.number() >= widest * (1.0 - 1e-9))
    }

    /// The nearest distance on its scale, from the image plane; finite.
    #[must_use]
    pub const fn close_focus(&self) -> FocusDistance {
        self.written.close_focus
    }

    /// The unit of its own scale.
    #[must_use]
    pub const fn engraved(&self) -> Option<Unit> {
        self.written.engraved
    }

    /// Where pupils or principal planes stand.
    #[must_use]
    pub const fn pupil(&self) -> Option<Pupil> {
        self.written.pupil
    }

    /// Exit pupil over entrance pupil.
    #[must_use]
    pub const fn pupil_magnification(&self) -> Option<PupilMagnification> {
        self.written.pupil_magnification
    }

    /// Its focus ring.
    #[must_use]
    pub const fn ring(&self) -> &Ring {
        &self.written.ring
    }

    /// Its mount.
    #[must_use]
    pub fn mount(&self) -> Option<&str> {
        self.written.mount.as_deref()
    }

    /// Outer diameter of its front.
    #[must_use]
    pub const fn front_diameter(&self) -> Option<Length> {
        self.written.front_diameter
    }

    /// From the image plane to its front rim.
    #[must_use]
    pub const fn front_distance(&self) -> Option<Length> {
        self.written.front_distance
    }

    /// Teeth of its focus ring.
    #[must_use]
    pub const fn ring_teeth(&self) -> Option<u32> {
        self.written.ring_teeth
    }

    /// The knob's turn over its travel, measured.
    #[must_use]
    pub const fn knob_travel(&self) -> Option<Angle> {
        self.written.knob_travel
    }

    /// What the hand unit calls it.
    #[must_use]
    pub fn hand_unit_preset(&self) -> Option<&str> {
        self.written.hand_unit_preset.as_deref()
    }

    /// How much it squeezes the width.
    #[must_use]
    pub const fn squeeze(&self) -> Option<Ratio> {
        self.written.squeeze
    }

    /// Which part of it squeezes.
    #[must_use]
    pub const fn anamorph(&self) -> Option<Anamorph> {
        self.written.anamorph
    }

    /// What it is beyond its figures at infinity focus.
    #[must_use]
    pub fn fitted(&self) -> Fitted {
        let squeeze = self.written.squeeze.filter(|ratio| ratio.value() > 1.0);
        Fitted {
            squeeze: squeeze.map(|ratio| Squeeze {
                ratio,
                part: self.written.anamorph.unwrap_or(Anamorph::Front),
            }),
            breathing: self.written.breathing.clone(),
            close_focus: Some(self.written.close_focus),
            ..Fitted::default()
        }
    }

    /// The plane its own scale counts from.
    #[must_use]
    pub const fn scale_from(&self) -> ScaleFrom {
        self.written.scale_from
    }

    /// How far behind the plane its own scale counts from the image plane lies.
    #[must_use]
    pub fn scale_offset(&self) -> Length {
        match (self.scale_from(), self.front_distance()) {
            (ScaleFrom::Front, Some(front)) => front,
            _ => Length::ZERO,
        }
    }

    /// Thickness of the filter behind it.
    #[must_use]
    pub const fn rear_filter(&self) -> Option<Length> {
        self.written.rear_filter
    }

    /// Its optics at the focal length it stands at.
    #[must_use]
    pub fn figures(&self) -> LensFigures {
        self.figures_at(self.focal_length())
    }

    /// Four focal lengths and the hiatus, where the image is as large as the
    /// object: no setting focuses nearer. A zoom's at its shortest focal length;
    /// with the hiatus unknown it is taken as zero.
    #[must_use]
    pub fn nearest_possible(&self) -> Length {
        let figures = self.figures_at(self.written.focal.shortest());
        figures.unit_focus(&mut ()).closest()
    }
}
