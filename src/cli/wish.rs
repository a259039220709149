//! What was typed, as it is meant: every option checked once, every fault told.

use super::args::{Output, SetupArgs, TypedAnamorph, TypedCircleOn, TypedUnit, Typing, WaveArgs};
use super::kit::Opened;
use crate::data::{Fault, Kind, formats};
use crate::gear::{
    Anamorph, Assumption, CircleOn, Fitted, Frame, Lens, LensFigures, Marks, Wanted, Waves,
    breathing_row, circle_rule, close_up, extender, filter, tube,
};
use crate::optics::{Branch, CircleRule, Pupil, Squeeze};
use crate::units::{
    AspectRatio, BareUnit, FocusDistance, Length, Light, PupilMagnification, Ratio, Stop, StopKind,
    Transmittance, Unit, Unreadable, Wavelength, parse, range,
};

/// What stands before anything is typed: nothing, or what the kit says.
#[derive(Clone, Debug, Default)]
pub(super) struct Basis {
    /// The unit of output.
    pub unit: Option<Unit>,
    /// The frame.
    pub frame: Option<Frame>,
    /// The circle.
    pub circle: Option<CircleRule>,
    /// The stop to work at.
    pub stop: Option<Stop>,
    /// The lens.
    pub lens: Option<LensFigures>,
    /// What the lens is beyond its figures.
    pub fitted: Fitted,
    /// What a bare stop means on this lens.
    pub stop_kind: Option<StopKind>,
    /// The lens of the kit.
    pub own: Option<Lens>,
    /// What is to be said where the kit's stop is worked at.
    pub stop_note: Option<Assumption>,
    /// What is to be said where anything of the kit's camera is used.
    pub camera_note: Option<Assumption>,
}

impl Basis {
    /// What the lens of the kit rests on at a stop that was typed, or at its own.
    fn notes_of_lens(&self, stop: Option<Stop>, typed: &SetupArgs) -> Vec<Assumption> {
        let Some(lens) = &self.own else {
            return Vec::new();
        };
        let wider = match stop {
            Some(stop) if !lens.opens_to(stop) => Some(Assumption::new(
                "wider_than_lens",
                format!("{stop} is wider than this lens opens, {}", lens.widest()),
            )),
            Some(_) => None,
            None => self.stop_note.clone().filter(|_| self.stop.is_some()),
        };
        let filter = match lens.rear_filter_assumption() {
            Some(note) if !typed.rear_filter.is_empty() => Some(Assumption::new(
                note.kind,
                "the filter typed is counted, the kit's own filter behind this lens is not",
            )),
            other => other,
        };
        let zoom = lens.zoom_assumption();
        zoom.into_iter().chain(filter).chain(wider).collect()
    }
}

/// Where nobody says the wavelength (550 nm; the eye is most sensitive at
/// 555 nm, from memory).
const MIDDLE_OF_THE_VISIBLE: Length = Length::mm(550e-6);

/// Reads typed options one by one and keeps every fault.
#[derive(Default)]
pub(super) struct Reader {
    /// Every fault so far.
    pub faults: Vec<Fault>,
    /// The unit of output, for wording and for `8-6`.
    pub unit: Option<Unit>,
}

impl Reader {
    /// A reader whose unit of output is what was typed, else the kit's.
    pub fn new(output: &Output, basis: &Basis) -> Self {
        let typed = output.units.map(|unit| match unit {
            TypedUnit::Feet => Unit::Feet,
            TypedUnit::Metres => Unit::Metres,
        });
        Self {
            faults: Vec::new(),
            unit: typed.or(basis.unit),
        }
    }

    /// What `read` makes of an option, or nothing and a fault.
    pub fn take<T>(
        &mut self,
        flag: &str,
        text: Option<&String>,
        read: impl FnOnce(&str) -> Result<T, Unreadable>,
    ) -> Option<T> {
        let text = text?;
        match read(text) {
            Ok(value) => Some(value),
            Err(reason) => {
                self.faults
                    .push(Fault::unreadable(text, &reason).at_flag(flag));
                None
            }
        }
    }

    /// A distance.
    pub fn distance(&mut self, flag: &str, text: Option<&String>) -> Option<FocusDistance> {
        let bare = BareUnit::Refused(self.unit);
        self.take(flag, text, |text| parse::distance(text, bare))
    }

    /// Distances.
    pub fn distances(&mut self, flag: &str, texts: &[String]) -> Vec<FocusDistance> {
        texts
            .iter()
            .filter_map(|text| self.distance(flag, Some(text)))
            .collect()
    }

    /// The lens, the stop, the frame and the circle; what the options leave
    /// open is the basis's.
    pub fn wanted(&mut self, typed: &SetupArgs, basis: &Basis) -> Option<Wanted> {
        // With a lens of the kit, a focal length says where a zoom stands.
        let by_hand = self.lens_figures(typed).filter(|_| typed.lens.is_empty());
        let frame = self.frame(typed, basis);
        let stop_kind = basis.lens.and(basis.stop_kind);
        let stop = self
            .take("--stop", typed.stop.as_ref(), |text| {
                parse::stop(text, stop_kind)
            })
            .or(if typed.stop.is_none() {
                basis.stop
            } else {
                None
            });
        let circle = self
            .take("--circle", typed.circle.as_ref(), circle_rule)
            .or(if typed.circle.is_none() {
                basis.circle
            } else {
                None
            });
        let transmittance = self.take("--transmittance", typed.transmittance.as_ref(), |text| {
            Transmittance::new(parse::number(text, &range::TRANSMITTANCE)?)
        });
        let notes = match by_hand {
            Some(_) => Vec::new(),
            None => basis.notes_of_lens(stop.filter(|_| typed.stop.is_some()), typed),
        };
        let fitted = self.fitted(typed, basis);
        if typed.macro_branch && !fitted.breathing.is_empty() {
            let message = "a lens that breathes is told for the ordinary range, m up to 1";
            let fault = Fault::new(Kind::Usage, message).at_flag("--macro");
            self.faults.push(fault.with_help("leave out --macro"));
        }
        let all_by_hand = by_hand.is_some()
            && typed.stop.is_some()
            && typed.format.is_some()
            && typed.circle.is_some();
        let camera = basis.camera_note.iter().filter(|_| !all_by_hand);
        let mut lens = by_hand.or(basis.lens)?;
        lens.transmittance = transmittance.or(lens.transmittance);
        Some(Wanted {
            lens,
            stop,
            frame,
            circle,
            circle_on: match typed.circle_on {
                Some(TypedCircleOn::Screen) => CircleOn::Screen,
                Some(TypedCircleOn::Sensor) | None => CircleOn::Sensor,
            },
            branch: branch(typed),
            fitted,
            waves: None,
            notes: camera.cloned().chain(notes).collect(),
        })
    }

    /// Light and wanted contrast, if either was typed.
    pub fn waves(&mut self, typed: &WaveArgs) -> Option<Waves> {
        let contrast = self.take("--contrast", typed.contrast.as_ref(), parse::contrast_at);
        let light = self.take("--wavelength", typed.wavelength.as_ref(), parse::light);
        let pitch = self.take("--photosite", typed.photosite.as_ref(), parse::pitch);
        if typed.contrast.is_none() && typed.photosite.is_some() {
            // The parser lets it pass beside --circle, which excludes a contrast.
            let fault = Fault::new(Kind::Usage, "photosites count for a contrast alone");
            let fault = fault.at_flag("--photosite");
            self.faults
                .push(fault.with_help("add --contrast, as 0.3@40/mm"));
        }
        if typed.contrast.is_none() && typed.wavelength.is_none() {
            return None;
        }
        let light_assumed = typed.wavelength.is_none();
        let middle = || Some(Light::one(Wavelength::new(MIDDLE_OF_THE_VISIBLE).ok()?));
        Some(Waves {
            light: light.or_else(middle)?,
            light_assumed,
            contrast,
            pitch,
        })
    }

    /// What the lens is beyond its figures, and what is attached to it.
    pub fn fitted(&mut self, typed: &SetupArgs, basis: &Basis) -> Fitted {
        let squeeze = self.take("--squeeze", typed.squeeze.as_ref(), |text| {
            let ratio = parse::number(text, &range::SQUEEZE)?;
            Ratio::new(ratio).map_err(|_| Unreadable::NotFinite { name: "squeeze" })
        });
        let part = match typed.anamorph {
            Some(TypedAnamorph::Rear) => Anamorph::Rear,
            Some(TypedAnamorph::Front) | None => Anamorph::Front,
        };
        let squeeze = squeeze
            .filter(|ratio| ratio.value() > 1.0)
            .map(|ratio| Squeeze { ratio, part });
        let breathing = self.each("--reproduction", &typed.reproduction, breathing_row);
        let split = self.take("--split-close-up", typed.split_close_up.as_ref(), close_up);
        let mut front = self.each("--close-up", &typed.close_up, close_up);
        front.extend(split);
        let mut extenders = typed.extender.iter();
        let mut tubes = typed.tube.iter();
        let mut filters = typed.rear_filter.iter();
        let behind = typed
            .behind
            .iter()
            .filter_map(|what| match what {
                Typing::Extender => self.take("--extender", extenders.next(), extender),
                Typing::Tube => self.take("--tube", tubes.next(), tube),
                Typing::Filter => self.take("--rear-filter", filters.next(), filter),
            })
            .collect();
        Fitted {
            breathing: if breathing.is_empty() {
                basis.fitted.breathing.clone()
            } else {
                breathing
            },
            squeeze: squeeze.or(basis.fitted.squeeze),
            behind,
            front,
            half: split.is_some(),
            close_focus: basis.fitted.close_focus,
        }
    }

    fn each<T>(
        &mut self,
        flag: &str,
        texts: &[String],
        read: impl Fn(&str) -> Result<T, Unreadable>,
    ) -> Vec<T> {
        texts
            .iter()
            .filter_map(|text| self.take(flag, Some(text), &read))
            .collect()
    }

    fn lens_figures(&mut self, typed: &SetupArgs) -> Option<LensFigures> {
        let focal_length = self.take("--focal", typed.focal.as_ref(), |text| {
            parse::length(text, &range::FOCAL_LENGTH)
        });
        let hiatus = self
            .take("--hiatus", typed.hiatus.as_ref(), |text| {
                parse::length(text, &range::HIATUS)
            })
            .map(Pupil::Hiatus);
        let station = self
            .take("--entrance-pupil", typed.entrance_pupil.as_ref(), |text| {
                parse::length(text, &range::ENTRANCE_PUPIL)
            })
            .map(Pupil::Station);
        let pupil_magnification = self.take(
            "--pupil-magnification",
            typed.pupil_magnification.as_ref(),
            |text| PupilMagnification::new(parse::number(text, &range::PUPIL_MAGNIFICATION)?),
        );
        Some(LensFigures {
            focal_length: focal_length?,
            pupil: hiatus.or(station),
            pupil_magnification,
            transmittance: None,
        })
    }

    /// The frame that was typed, else the basis's; an extraction applies to
    /// either.
    pub fn frame(&mut self, typed: &SetupArgs, basis: &Basis) -> Option<Frame> {
        let frame = match &typed.format {
            Some(text) => self.named_frame(text)?,
            None => basis.frame.clone()?,
        };
        let ratio = self.take("--extraction", typed.extraction.as_ref(), |text| {
            AspectRatio::new(parse::number(text, &range::ASPECT)?)
        });
        Some(match ratio {
            Some(ratio) => frame.extracted(ratio),
            None => frame,
        })
    }

    fn named_frame(&mut self, text: &str) -> Option<Frame> {
        match formats::frame(text) {
            Ok(frame) => Some(frame),
            Err(fault) => {
                self.faults.push(fault.at_flag("--format"));
                None
            }
        }
    }

    /// The unit answers are written in: typed, the kit's, or that of the
    /// distances typed.
    pub fn output_unit<'a>(&self, mut distances: impl Iterator<Item = &'a String>) -> Unit {
        let imperial = |text: &String| {
            let text = text.to_lowercase();
            ["'", "′", "’", "\"", "″", "ft", "in"]
                .iter()
                .any(|sign| text.contains(sign))
                && !text.starts_with("inf")
        };
        self.unit.unwrap_or(if distances.any(imperial) {
            Unit::Feet
        } else {
            Unit::Metres
        })
    }

    /// All faults, if there are any.
    pub fn done(self) -> Result<(), Vec<Fault>> {
        if self.faults.is_empty() {
            Ok(())
        } else {
            Err(self.faults)
        }
    }
}

/// A question about one lens: by hand, or of the kit.
pub(super) struct Asked<'a> {
    /// Reads the options.
    pub reader: Reader,
    /// What the kit says of it.
    pub basis: Basis,
    /// The lens of the kit, if it is one.
    pub lens: Option<&'a (Lens, Option<Marks>)>,
}

impl<'a> Asked<'a> {
    /// Finds the lens that was asked for.
    pub fn new(output: &Output, typed: &SetupArgs, opened: Option<&'a Opened>) -> Self {
        let basis = opened.map_or_else(Basis::default, |opened| opened.basis(None));
        let mut reader = Reader::new(output, &basis);
        let Some(opened) = opened else {
            if !typed.lens.is_empty() {
                reader.faults.push(
                    Fault::new(
                        Kind::Missing,
                        "--lens names a lens of a kit, and there is none",
                    )
                    .at_flag("--lens")
                    .with_help("add --kit DIR, or run where a kit.toml is"),
                );
            }
            return Self {
                reader,
                basis,
                lens: None,
            };
        };
        let lens = opened.one_lens(&typed.lens, &mut reader);
        let basis = opened.basis(lens.map(|(lens, _)| lens));
        Self {
            reader,
            basis,
            lens,
        }
    }
}

/// The range that was asked for.
pub(super) const fn branch(typed: &SetupArgs) -> Branch {
    if typed.macro_branch {
        Branch::Macro
    } else {
        Branch::Far
    }
}

/// The refusal where no lens was said.
pub(super) fn needs_a_lens() -> Fault {
    Fault::new(Kind::Usage, "a lens is needed")
        .at_flag("--lens")
        .with_help("add --lens ID from a kit, or by hand --focal 50mm")
}
