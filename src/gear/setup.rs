//! One lens at one stop on one gate, with one circle: every option, kit key
//! and page control ends here, and what had to be assumed is written down.

use super::assumption::Assumption;
use super::circle::circle_rule_in_words;
use super::fitted::{Fitted, FittedFigures, LensItself, NoLens};
use super::frame::{CircleOn, Frame};
use super::waves::Waves;
use crate::formula::Record;
use crate::optics::{
    AnyLens, Branch, CannotAttach, Circle, CircleRule, CircleSize, Focused, Gate, MtfUnreachable,
    Pupil, UnitFocus, desqueezed, f_number_of, one_cycle, plausible, t_number_of,
};
use crate::units::{
    FNumber, Length, PupilMagnification, Stop, StopKind, TNumber, Transmittance, Unreadable,
};

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
    /// The meridian the circle is round in.
    pub circle_on: CircleOn,
    /// The ordinary or the macro range.
    pub branch: Branch,
    /// What the lens is beyond its figures, and what is attached.
    pub fitted: Fitted,
    /// Light and wanted contrast, where waves are to count.
    pub waves: Option<Waves>,
    /// What was assumed on the way here.
    pub notes: Vec<Assumption>,
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
    /// The lens, with what is attached.
    pub lens: AnyLens,
    /// What it is beyond its figures, and what is attached.
    pub fitted: Fitted,
    /// Where its circle is round.
    pub circle_on: CircleOn,
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
    /// The circle; under a wanted contrast one cycle of it, for the circle is
    /// then another at each focus ([`DepthSetup::circle_of`]).
    pub circle: ChosenCircle,
    /// Light and wanted contrast, where waves are to count.
    pub waves: Option<Waves>,
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
    /// Light and wanted contrast, where waves are to count.
    pub waves: Option<Waves>,
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

/// Why there is no depth: what it needs and nobody said, or what cannot be.
#[derive(Clone, Debug, PartialEq)]
pub enum NoDepth {
    /// Figures and attachments make no lens.
    Lens(NoLens),
    /// No stop.
    NoStop,
    /// The circle is none.
    Circle(Unreadable),
}

impl Wanted {
    /// Lens and gate, with what had to be assumed.
    ///
    /// # Errors
    /// [`NoLens`] when figures and attachments make no lens.
    pub fn setup(&self, rec: &mut impl Record) -> Result<Setup, NoLens> {
        let mut assumptions = self.notes.clone();
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
                    "hiatus and pupils unknown: a thin lens with equal pupils is assumed",
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
            if frame.squeeze.value() != 1.0 && self.fitted.squeeze.is_none() {
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
        let at_infinity = figures.unit_focus(rec);
        let lens = self.fitted.lens(at_infinity, rec)?;
        if let (AnyLens::Attached(whole), PupilsKnown::Placed) = (&lens, pupils)
            && let Some((close_up, pupil)) = whole.inside_the_lens()
        {
            return Err(NoLens::Attach(CannotAttach::InsideTheLens {
                close_up,
                pupil,
            }));
        }
        assumptions.extend(self.fitted.assumptions(self.circle_on));
        let (frame, branch) = (self.frame.clone(), self.branch);
        Ok(Setup {
            lens,
            fitted: self.fitted.clone(),
            circle_on: self.circle_on,
            given_station,
            pupils,
            frame,
            branch,
            assumptions,
        })
    }

    /// Lens, gate and stop without a circle, with what had to be assumed: enough
    /// for contrast.
    ///
    /// # Errors
    /// [`NoDepth`] when there is no lens or no stop.
    pub fn stopped_setup(&self, rec: &mut impl Record) -> Result<(Setup, Exposure), NoDepth> {
        let mut setup = self.setup(rec).map_err(NoDepth::Lens)?;
        let exposure = self.exposure(&mut setup.assumptions, rec);
        Ok((setup, exposure.ok_or(NoDepth::NoStop)?))
    }

    /// Everything depth needs, with what had to be assumed.
    ///
    /// # Errors
    /// [`NoDepth`] when there is no stop or the circle rule gives no circle.
    pub fn depth_setup(&self, rec: &mut impl Record) -> Result<DepthSetup, NoDepth> {
        let (mut setup, exposure) = self.stopped_setup(rec)?;
        let circle = self
            .chosen_circle(&mut setup.assumptions, rec)
            .map_err(NoDepth::Circle)?;
        Ok(DepthSetup {
            setup,
            exposure,
            circle,
            waves: self.waves.clone(),
        })
    }

    /// Lens, gate and circle for questions whose answer is a stop of the given
    /// kind, or what a stop that was said does.
    ///
    /// # Errors
    /// [`NoDepth`] when the circle rule gives no circle.
    pub fn hold_setup(&self, kind: StopKind, rec: &mut impl Record) -> Result<HoldSetup, NoDepth> {
        let mut setup = self.setup(rec).map_err(NoDepth::Lens)?;
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
            waves: self.waves.clone(),
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
        let waves = self.waves.as_ref();
        notes.extend(waves.iter().flat_map(|waves| waves.assumptions()));
        if let Some(wanted) = waves.and_then(|waves| waves.contrast) {
            let rule = CircleRule::Contrast {
                contrast: wanted.contrast.value(),
                per_mm: wanted.frequency.value(),
            };
            return Ok(ChosenCircle {
                circle: one_cycle(wanted.frequency, &mut ()),
                rule,
                assumed: false,
            });
        }
        let convention = self.frame.as_ref().map(|frame| frame.convention);
        let rule = match (self.circle, convention) {
            (Some(rule), _) => rule,
            (None, Some(Some(rule))) => rule,
            (None, Some(None)) => CircleRule::Diagonal { divisor: 1500.0 },
            (None, None) => CircleRule::Fixed(Length::inches(0.001)),
        };
        let circle = match &self.frame {
            Some(frame) => {
                let squeeze = self.fitted.squeeze;
                let screen = match rule {
                    CircleRule::Viewing { .. } => {
                        let picture = frame.picture(squeeze, rec);
                        desqueezed(picture, squeeze, rec)
                    }
                    _ => frame.gate,
                };
                rule.circle(frame.gate, screen, rec)?
            }
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

impl Setup {
    /// What is on the lens, as answers show it.
    #[must_use]
    pub fn figures_fitted(&self, exposure: Option<&Exposure>) -> FittedFigures {
        let extended = self.lens.light_factor() != 1.0;
        FittedFigures {
            fitted: self.fitted.clone(),
            lens_itself: extended.then(|| LensItself {
                focal_length: self.lens.bare().focal_length(),
                f_number: exposure.map(|exposure| exposure.f_number),
                t_number: exposure.and_then(|exposure| exposure.t_number),
            }),
            extraction: self.frame.as_ref().and_then(|frame| frame.extraction),
        }
    }

    /// Lenses this one may be, where its pupils are not known: plausible builds
    /// of its focal length with the same things attached.
    #[must_use]
    pub fn plausible(&self) -> Vec<AnyLens> {
        match self.pupils {
            PupilsKnown::Placed => Vec::new(),
            PupilsKnown::Nothing | PupilsKnown::RatioAlone => {
                plausible(self.lens.bare().focal_length())
                    .into_iter()
                    .filter_map(|build| self.fitted.lens(build, &mut ()).ok())
                    .collect()
            }
        }
    }
}

impl DepthSetup {
    /// The circle for depth at one focus: the chosen one, or the blur at which
    /// the wanted contrast is left there.
    ///
    /// # Errors
    /// [`MtfUnreachable`] when not even in focus there is so much contrast.
    pub fn circle_of(
        &self,
        set: &Focused,
        rec: &mut impl Record,
    ) -> Result<Circle, MtfUnreachable> {
        match self.waves.as_ref().and_then(Waves::wanted) {
            None => Ok(self.circle.circle),
            Some((contrast, detail)) => set.circle_at(contrast, &detail, rec),
        }
    }

    /// The f-number of the whole: an extender multiplies the lens's own.
    #[must_use]
    pub fn f_number_of_the_whole(&self, rec: &mut impl Record) -> FNumber {
        self.setup.lens.f_number(self.exposure.f_number, rec)
    }

    /// The T-number of the whole, where known.
    #[must_use]
    pub fn t_number_of_the_whole(&self, rec: &mut impl Record) -> Option<TNumber> {
        let own = self.exposure.t_number;
        own.map(|t| self.setup.lens.t_number(t, rec))
    }
}
