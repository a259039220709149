//! One lens at one stop on one gate, with one circle: every option, kit key
//! and page control ends here, and what had to be assumed is written down.

use super::circle::circle_rule_in_words;
use crate::formula::Record;
use crate::optics::{
    Branch, Circle, CircleRule, CircleSize, Gate, Pupil, UnitFocus, f_number_of, t_number_of,
};
use crate::units::{
    AspectRatio, FNumber, Length, PupilMagnification, Ratio, Stop, StopKind, TNumber,
    Transmittance, Unreadable,
};

/// Something the answer rests on that nobody said.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Assumption {
    /// Its name in the JSON contract.
    pub kind: &'static str,
    /// In words, for people.
    pub message: String,
}

impl Assumption {
    /// An assumption by its name, in words.
    #[must_use]
    pub fn new(kind: &'static str, message: impl Into<String>) -> Self {
        Self {
            kind,
            message: message.into(),
        }
    }
}

/// What is known of a lens's optics; what is `None` is not known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LensFigures {
    /// Focal length.
    pub focal_length: Length,
    /// Hiatus or entrance-pupil station.
    pub pupil: Option<Pupil>,
    /// Exit pupil over entrance pupil.
    pub pupil_magnification: Option<PupilMagnification>,
    /// The share of light that passes.
    pub transmittance: Option<Transmittance>,
}

impl LensFigures {
    /// The lens, what is not known taken as thin and symmetric.
    #[must_use]
    pub fn unit_focus(&self, rec: &mut impl Record) -> UnitFocus {
        UnitFocus::new(
            self.focal_length,
            self.pupil.unwrap_or(Pupil::Hiatus(Length::ZERO)),
            self.pupil_magnification.unwrap_or(PupilMagnification::ONE),
            rec,
        )
    }
}

/// The recorded frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Frame {
    /// What sheets and answers call it.
    pub name: String,
    /// The area the camera records.
    pub gate: Gate,
    /// The part of it that will be seen.
    pub picture: Gate,
    /// How much a lens for this format squeezes the width; 1 for most.
    pub squeeze: Ratio,
    /// The format's customary circle.
    pub convention: Option<CircleRule>,
    /// Whether the figures were seen in a source or come from memory.
    pub verified: bool,
}

impl Frame {
    /// With the largest picture of an aspect ratio that fits into the gate.
    #[must_use]
    pub fn extracted(self, ratio: AspectRatio) -> Self {
        Self {
            picture: self.gate.extract(ratio, &mut ()),
            name: format!("{}, {} extraction", self.name, ratio.value()),
            ..self
        }
    }
}

/// What somebody wants to know about, before anything is assumed.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// The lens.
    pub lens: LensFigures,
    /// The stop, if one was said.
    pub stop: Option<Stop>,
    /// The frame, if one was said.
    pub frame: Option<Frame>,
    /// The circle rule, if one was said.
    pub circle: Option<CircleRule>,
    /// The ordinary or the macro range.
    pub branch: Branch,
}

/// How much is known of pupils and principal planes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PupilsKnown {
    /// Hiatus or station, with or without the pupil magnification.
    Placed,
    /// Nothing: a thin symmetric lens stands in.
    Nothing,
    /// The pupil magnification alone, which can mislead.
    RatioAlone,
}

/// The stop in both its numbers, as far as they are known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exposure {
    /// As typed.
    pub stop: Stop,
    /// For depth.
    pub f_number: FNumber,
    /// For exposure; `None` where only the f-number is known.
    pub t_number: Option<TNumber>,
    /// What leads from one to the other, where known or assumed.
    pub transmittance: Option<Transmittance>,
}

/// A circle and where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct ChosenCircle {
    /// Its diameter.
    pub circle: Circle,
    /// The rule it follows.
    pub rule: CircleRule,
    /// Whether nobody chose it.
    pub assumed: bool,
}

/// Lens, gate and branch: enough for fields of view.
#[derive(Clone, Debug, PartialEq)]
pub struct Setup {
    /// The lens.
    pub lens: UnitFocus,
    /// The entrance pupil's station as it was given, if it was.
    pub given_station: Option<Length>,
    /// How much is known of its pupils.
    pub pupils: PupilsKnown,
    /// The frame, if one was said.
    pub frame: Option<Frame>,
    /// The ordinary or the macro range.
    pub branch: Branch,
    /// What had to be assumed.
    pub assumptions: Vec<Assumption>,
}

/// A setup with stop and circle: enough for depth.
#[derive(Clone, Debug, PartialEq)]
pub struct DepthSetup {
    /// Lens, gate and branch.
    pub setup: Setup,
    /// The stop.
    pub exposure: Exposure,
    /// The circle.
    pub circle: ChosenCircle,
}

/// A setup with a circle whose stop may be what is asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct HoldSetup {
    /// Lens, gate and branch.
    pub setup: Setup,
    /// The circle.
    pub circle: ChosenCircle,
    /// The stop worked at, if one was said.
    pub exposure: Option<Exposure>,
    /// What leads from f-number to T-number, where known or assumed.
    pub transmittance: Option<Transmittance>,
    /// The kind of stop the lens is marked in.
    pub kind: StopKind,
}

impl ChosenCircle {
    /// Its rule in words, as sheets and answers print it.
    #[must_use]
    pub fn in_words(&self) -> String {
        match (self.rule, self.assumed) {
            (CircleRule::Fixed(_), false) => "chosen".into(),
            (CircleRule::Fixed(_), true) => "assumed".into(),
            (rule, false) => circle_rule_in_words(rule),
            (rule, true) => format!("{}, assumed", circle_rule_in_words(rule)),
        }
    }
}

/// What depth needs and nobody said.
#[derive(Clone, Debug, PartialEq)]
pub enum NoDepth {
    /// No stop.
    NoStop,
    /// The circle is none.
    Circle(Unreadable),
}

impl Wanted {
    /// Lens and gate, with what had to be assumed.
    #[must_use]
    pub fn setup(&self, rec: &mut impl Record) -> Setup {
        let mut assumptions = Vec::new();
        let figures = &self.lens;
        let pupils = match (figures.pupil, figures.pupil_magnification) {
            (Some(_), Some(_)) => PupilsKnown::Placed,
            (Some(_), None) => {
                assumptions.push(Assumption::new(
                    "pupil_magnification_assumed",
                    "pupil magnification unknown: 1 (equal pupils) is assumed",
                ));
                PupilsKnown::Placed
            }
            (None, Some(_)) => {
                assumptions.push(Assumption::new(
                    "pupil_magnification_alone",
                    "pupil magnification without hiatus or entrance pupil can make figures worse \
                     than neither: give where the entrance pupil stands as well (hiatus 0 is \
                     assumed)",
                ));
                PupilsKnown::RatioAlone
            }
            (None, None) => {
                assumptions.push(Assumption::new(
                    "pupils_unknown",
                    "hiatus and pupils unknown: a thin lens with equal pupils is assumed; figures \
                     marked ≈ are those of the shallowest plausible lens",
                ));
                PupilsKnown::Nothing
            }
        };
        let given_station = match figures.pupil {
            Some(Pupil::Station(station)) => Some(station),
            _ => None,
        };
        if let Some(frame) = &self.frame {
            if !frame.verified {
                assumptions.push(Assumption::new(
                    "format_from_memory",
                    format!("the size of {} is from memory: check it", frame.name),
                ));
            }
            if frame.squeeze.value() != 1.0 {
                assumptions.push(Assumption::new(
                    "spherical_on_anamorphic_format",
                    format!(
                        "{} is meant for a lens that squeezes {} times; this lens is taken as \
                         spherical",
                        frame.name,
                        frame.squeeze.value()
                    ),
                ));
            }
        }
        let lens = figures.unit_focus(rec);
        let (frame, branch) = (self.frame.clone(), self.branch);
        Setup {
            lens,
            given_station,
            pupils,
            frame,
            branch,
            assumptions,
        }
    }

    /// Everything depth needs, with what had to be assumed.
    ///
    /// # Errors
    /// [`NoDepth`] when there is no stop or the circle rule gives no circle.
    pub fn depth_setup(&self, rec: &mut impl Record) -> Result<DepthSetup, NoDepth> {
        let mut setup = self.setup(rec);
        let exposure = self
            .exposure(&mut setup.assumptions, rec)
            .ok_or(NoDepth::NoStop)?;
        let circle = self
            .chosen_circle(&mut setup.assumptions, rec)
            .map_err(NoDepth::Circle)?;
        Ok(DepthSetup {
            setup,
            exposure,
            circle,
        })
    }

    /// Lens, gate and circle for questions whose answer is a stop of the given
    /// kind, or what a stop that was said does.
    ///
    /// # Errors
    /// [`NoDepth`] when the circle rule gives no circle.
    pub fn hold_setup(&self, kind: StopKind, rec: &mut impl Record) -> Result<HoldSetup, NoDepth> {
        let mut setup = self.setup(rec);
        let exposure = self.exposure(&mut setup.assumptions, rec);
        let transmittance = match (exposure, self.lens.transmittance, kind) {
            (Some(exposure), _, _) => exposure.transmittance,
            (None, Some(known), _) => Some(known),
            (None, None, StopKind::T) => Some(assumed_transmittance(&mut setup.assumptions)),
            (None, None, StopKind::F) => None,
        };
        let circle = self
            .chosen_circle(&mut setup.assumptions, rec)
            .map_err(NoDepth::Circle)?;
        Ok(HoldSetup {
            setup,
            circle,
            exposure,
            transmittance,
            kind,
        })
    }

    fn exposure(&self, notes: &mut Vec<Assumption>, rec: &mut impl Record) -> Option<Exposure> {
        let stop = self.stop?;
        Some(match stop {
            Stop::F(f_number) => {
                let transmittance = self.lens.transmittance;
                let t_number = transmittance.map(|tau| t_number_of(f_number, tau, rec));
                Exposure {
                    stop,
                    f_number,
                    t_number,
                    transmittance,
                }
            }
            Stop::T(t) => {
                let known = self.lens.transmittance;
                let tau = known.unwrap_or_else(|| assumed_transmittance(notes));
                let f_number = f_number_of(t, tau, rec);
                Exposure {
                    stop,
                    f_number,
                    t_number: Some(t),
                    transmittance: Some(tau),
                }
            }
        })
    }

    fn chosen_circle(
        &self,
        notes: &mut Vec<Assumption>,
        rec: &mut impl Record,
    ) -> Result<ChosenCircle, Unreadable> {
        let convention = self.frame.as_ref().map(|frame| frame.convention);
        let rule = match (self.circle, convention) {
            (Some(rule), _) => rule,
            (None, Some(Some(rule))) => rule,
            (None, Some(None)) => CircleRule::Diagonal { divisor: 1500.0 },
            (None, None) => CircleRule::Fixed(Length::inches(0.001)),
        };
        let circle = match &self.frame {
            Some(frame) => rule.circle(frame.gate, frame.picture, rec)?,
            None => match rule {
                CircleRule::Fixed(diameter) => Circle::new(diameter)?,
                CircleRule::Lines { .. } => {
                    // Any gate will do: a resolution does not depend on one.
                    let gate = Gate::new(Length::mm(36.0), Length::mm(24.0))?;
                    rule.circle(gate, gate, rec)?
                }
                _ => {
                    return Err(Unreadable::NotThis {
                        wanted: "enough for this circle without a format",
                        example: "--format s35-3perf, or a circle in mm",
                    });
                }
            },
        };
        let mm = circle.diameter().to_mm();
        let assumed = self.circle.is_none();
        if assumed {
            let from = match &self.frame {
                Some(frame) => format!("by the custom of {}", frame.name),
                None => "by the custom of 35 mm film, for no format was given".into(),
            };
            notes.push(Assumption::new(
                "circle_assumed",
                format!("circle of confusion {mm:.4} mm assumed, {from}"),
            ));
        }
        if let Some(frame) = &self.frame {
            match circle.judged_on(frame.gate) {
                CircleSize::Ordinary => {}
                CircleSize::Coarse => notes.push(Assumption::new(
                    "circle_coarse",
                    format!("circle {mm:.4} mm is coarser than the gate's diagonal/1000"),
                )),
                CircleSize::Fine => notes.push(Assumption::new(
                    "circle_fine",
                    format!("circle {mm:.4} mm is finer than the gate's diagonal/3000"),
                )),
            }
        }
        Ok(ChosenCircle {
            circle,
            rule,
            assumed,
        })
    }
}

fn assumed_transmittance(notes: &mut Vec<Assumption>) -> Transmittance {
    notes.push(Assumption::new(
        "transmittance_assumed",
        "transmittance unknown: 0.80 is assumed to get the f-number for depth",
    ));
    Transmittance::ASSUMED
}
