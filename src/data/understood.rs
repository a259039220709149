//! Says back what a kit's files mean, so that a slip is seen before a tape is
//! printed from it.

mod kinds;

use crate::gear::{
    Camera, Focal, Kit, Lens, Mark, MarkKind, Marks, PositionUnit, ScaleFrom, circle_rule_in_words,
};
use crate::optics::Pupil;
use crate::units::{Length, Stop, Transmittance, Unit, show};

/// One sentence of what was understood.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Understood {
    /// The lens it is about; `None`: the kit as a whole.
    pub lens: Option<String>,
    /// What it is about: `units`, `camera`, `stop`, `close_focus`, `pupils`,
    /// `zoom`, `squeeze`, `breathing`, `rear_filter`, `sense`, `marks`,
    /// `standing`, `tape`.
    pub about: &'static str,
    /// The sentence.
    pub words: String,
}

impl Understood {
    /// The sentence with the lens it is about.
    #[must_use]
    pub fn in_words(&self) -> String {
        match &self.lens {
            Some(lens) => format!("{lens}: {}", self.words),
            None => self.words.clone(),
        }
    }
}

/// What the kit means, the whole first, then lens by lens.
#[must_use]
pub fn understood(kit: &Kit) -> Vec<Understood> {
    let mut said = Said::default();
    said.say(
        "units",
        match kit.units {
            Unit::Feet => "sheets and answers are written in feet and inches".into(),
            Unit::Metres => "sheets and answers are written in metres".into(),
        },
    );
    for camera in &kit.cameras {
        said.say("camera", camera_in_words(camera));
    }
    for (lens, marks) in &kit.lenses {
        said.lens = Some(lens.id().as_str().to_owned());
        let own = OfLens {
            lens,
            marks: marks.as_ref(),
            camera: kit
                .cameras
                .first()
                .and_then(|camera| camera.name.as_deref()),
            unit: kit.units,
        };
        said.say("stop", own.stop());
        said.say("close_focus", own.close_focus());
        said.say("pupils", own.pupils());
        for (about, words) in kinds::sentences(lens, kit.units) {
            said.say(about, words);
        }
        said.say("sense", own.sense());
        if let Some(marks) = own.marks {
            said.say("marks", own.marks_used(marks));
        }
        said.say("standing", own.standing());
        said.say("tape", own.tape());
    }
    said.list
}

#[derive(Default)]
struct Said {
    lens: Option<String>,
    list: Vec<Understood>,
}

impl Said {
    fn say(&mut self, about: &'static str, words: String) {
        let lens = self.lens.clone();
        self.list.push(Understood { lens, about, words });
    }
}

fn camera_in_words(camera: &Camera) -> String {
    let name = match &camera.name {
        Some(name) => format!("camera {name}"),
        None => "the camera".into(),
    };
    let (gate, picture) = (camera.frame.gate, camera.frame.picture(None, &mut ()));
    let sides =
        |width: Length, height: Length| format!("{:.2} × {:.2} mm", width.to_mm(), height.to_mm());
    let seen = if gate == picture {
        String::new()
    } else {
        format!(
            ", of which {} are seen",
            sides(picture.width(), picture.height())
        )
    };
    let circle = match (camera.circle, camera.frame.convention) {
        (Some(rule), _) => format!("circle of confusion {}", circle_rule_in_words(rule)),
        (None, Some(rule)) => {
            format!(
                "circle of confusion assumed: {}, the format's custom",
                circle_rule_in_words(rule)
            )
        }
        (None, None) => "circle of confusion assumed: gate diagonal/1500".into(),
    };
    let stop = match camera.working_stop {
        Some(stop) => format!("works at {stop}"),
        None => "no working stop: sheets are for the widest".into(),
    };
    format!(
        "{name} records {}, {}{seen}; {circle}; {stop}",
        camera.frame.name,
        sides(gate.width(), gate.height())
    )
}

/// A lens with its marks, to be said in a unit.
struct OfLens<'a> {
    lens: &'a Lens,
    marks: Option<&'a Marks>,
    /// The camera it is used on, where that has a name.
    camera: Option<&'a str>,
    unit: Unit,
}

impl OfLens<'_> {
    fn stop(&self) -> String {
        let lens = self.lens;
        let focal = match lens.focal() {
            Focal::Prime(focal) => format!("{} mm", focal.to_mm()),
            Focal::Zoom { wide, long } => format!("{} to {} mm", wide.to_mm(), long.to_mm()),
        };
        let light =
            |tau: Transmittance| format!("{:.0} % of the light passes", tau.value() * 100.0);
        let known = match (lens.widest(), lens.f_number(), lens.transmittance()) {
            (Stop::T(_), Some(f), Some(tau)) => format!("f/{:.2}; {}", f.value(), light(tau)),
            (Stop::F(_), _, Some(tau)) => light(tau),
            (Stop::T(_), _, _) => format!(
                "no f-number and no transmittance: {:.2} is assumed to get the f-number for depth",
                Transmittance::ASSUMED.value()
            ),
            (Stop::F(_), _, None) => "no T-number: bare stops are f-numbers".into(),
        };
        format!("{focal}, widest {}; {known}", lens.widest())
    }

    fn close_focus(&self) -> String {
        let close = show::exact_distance(self.lens.close_focus(), self.unit);
        let own = match self.lens.engraved() {
            Some(Unit::Feet) => "; its own scale is in feet, a bare number on it means feet",
            Some(Unit::Metres) => "; its own scale is in metres, a bare number on it means metres",
            None => "",
        };
        let from = match (self.lens.scale_from(), self.lens.front_distance()) {
            (ScaleFrom::Front, Some(front)) => format!(
                "; its scale counts from its front: {} mm are added to engraved distances",
                front.to_mm()
            ),
            _ => String::new(),
        };
        format!("close focus {close} from the image plane{own}{from}")
    }

    fn pupils(&self) -> String {
        let place = match self.lens.pupil() {
            Some(Pupil::Hiatus(hiatus)) => Some(format!("hiatus {} mm", hiatus.to_mm())),
            Some(Pupil::Station(station)) => Some(format!(
                "entrance pupil {} mm in front of the image plane at infinity",
                station.to_mm()
            )),
            None => None,
        };
        match (place, self.lens.pupil_magnification()) {
            (Some(place), Some(p)) => format!("{place}, pupil magnification {}", p.value()),
            (Some(place), None) => format!("{place}; pupil magnification unknown: 1 is assumed"),
            (None, Some(p)) => format!(
                "pupil magnification {} without hiatus or entrance pupil: that can make figures \
                 worse than neither",
                p.value()
            ),
            (None, None) => "hiatus and pupils unknown: a thin lens with equal pupils is assumed, \
                             and close figures are marked ≈"
                .into(),
        }
    }

    fn sense(&self) -> String {
        match self.lens.ring().sense() {
            Some(sense) => sense.in_words().into(),
            None => "nobody said which way the ring turns from infinity to close focus".into(),
        }
    }

    fn marks_used(&self, marks: &Marks) -> String {
        let mut parts = Vec::new();
        if let Some(set) = marks.best(self.camera) {
            let kind = match set.kind {
                MarkKind::Eye => "found by eye",
                MarkKind::Read => "read",
                MarkKind::Engraved => "engraved",
            };
            let camera = set
                .camera
                .map_or_else(String::new, |name| format!(" on camera {name}"));
            let end = |mark: Option<&&Mark>| {
                mark.map_or_else(String::new, |mark| {
                    show::exact_distance(mark.distance, self.unit)
                })
            };
            let (far, near) = (end(set.rows.first()), end(set.rows.last()));
            let count = set.rows.len();
            parts.push(format!(
                "positions go through {count} marks {kind}{camera}, {far} to {near}"
            ));
            let engraved = marks.engraved();
            if set.kind != MarkKind::Engraved {
                let names = engraved.iter().map(|mark| end(Some(mark)));
                let names: Vec<String> = names.collect();
                parts.push(match names.len() {
                    0 => "no engraved mark to line a tape up on".into(),
                    _ => format!("engraved, to line a tape up on: {}", names.join(", ")),
                });
            }
            let used = count
                + if set.kind == MarkKind::Engraved {
                    0
                } else {
                    engraved.len()
                };
            let left = marks.rows().len() - used;
            if left > 0 {
                parts.push(format!("{left} other marks are not used"));
            }
        }
        match marks.skipped() {
            0 => {}
            1 => parts.push("1 row has no position yet".into()),
            rows => parts.push(format!("{rows} rows have no position yet")),
        }
        parts.join("; ")
    }

    fn standing(&self) -> String {
        let set = self.marks.and_then(|marks| marks.best(self.camera));
        match set.map(|set| set.kind) {
            Some(MarkKind::Eye) => "ring positions are measured: by eye".into(),
            Some(MarkKind::Read) => "ring positions are measured: nobody said how".into(),
            Some(MarkKind::Engraved) => {
                "ring positions are engraved: the maker's scale is taken on trust".into()
            }
            None if self.lens.ring().travel().is_some() => {
                "ring positions are computed from travel and close focus, not measured: verify \
                 by eye"
                    .into()
            }
            None => "ring positions are unknown: there are neither marks nor a travel".into(),
        }
    }

    /// What a tape still wants.
    fn tape(&self) -> String {
        let ring = self.lens.ring();
        let mut missing = Vec::new();
        if ring.sense().is_none() {
            missing.push("sense");
        }
        let set = self.marks.filter(|marks| marks.best(None).is_some());
        let (needs_round, needs_travel) = match set.map(|marks| marks.unit()) {
            // Millimetres on the ring itself are millimetres of tape.
            Some(PositionUnit::Mm) => (ring.marks_diameter().is_some(), false),
            Some(PositionUnit::Deg) => (true, false),
            Some(PositionUnit::Fraction | PositionUnit::Counts) | None => (true, true),
        };
        if needs_round && ring.circumference().is_none() {
            missing.push("ring_circumference_mm or ring_diameter_mm");
        }
        if needs_travel && ring.travel().is_none() {
            missing.push(if set.is_some() {
                "travel_deg or travel_mm"
            } else {
                "marks, or travel_deg or travel_mm"
            });
        }
        if missing.is_empty() {
            "a tape can be printed".into()
        } else {
            format!("for a tape these are missing: {}", missing.join("; "))
        }
    }
}
