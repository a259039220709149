//! Lenses and setups to make cards of.

use markwright::gear::{CircleOn, DepthSetup, Fitted, Frame, LensFigures, Wanted, Waves};
use markwright::optics::{Branch, CircleRule, CloseUp, Gate, Pupil};
use markwright::sheets::{Card, CardWish, CardWords, Names};
use markwright::units::{
    FocusDistance, Length, PupilMagnification, Ratio, Stop, StopKind, Transmittance, Unit,
};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;

/// What a card is made from.
#[derive(Clone, Debug)]
pub struct Given {
    pub focal_mm: f64,
    pub kind: StopKind,
    pub widest: f64,
    /// The working stop, in stops closed from the widest; how many the table has.
    pub closed: usize,
    pub stops: usize,
    /// Diameter; `None`: nobody chose one.
    pub circle_mm: Option<f64>,
    pub unit: Unit,
    pub engraved: Option<Unit>,
    pub close_mm: f64,
    pub pupils: Option<(f64, f64)>,
    pub transmittance: Option<f64>,
    pub frame: bool,
    pub verified: bool,
    pub squeeze: f64,
    pub close_up: Option<CloseUp>,
    pub focal_name: Option<String>,
    pub format: String,
    pub label: String,
    pub serial: String,
    pub title: String,
    pub date: Option<String>,
}

impl Given {
    /// A 50 mm prime of which everything is known.
    pub fn ordinary(unit: Unit) -> Self {
        Self {
            focal_mm: 50.0,
            kind: StopKind::T,
            widest: 1.4,
            closed: 2,
            stops: 5,
            circle_mm: Some(0.025),
            unit,
            engraved: None,
            close_mm: 609.6,
            pupils: Some((-15.6, 1.146)),
            transmittance: Some(0.85),
            frame: true,
            verified: true,
            squeeze: 1.0,
            close_up: None,
            focal_name: None,
            format: "Super 35, 3 perforations".into(),
            label: "Prime 50".into(),
            serial: "2047".into(),
            title: "Salt".into(),
            date: None,
        }
    }

    pub fn setup(&self, stop: usize) -> Option<DepthSetup> {
        self.setup_in(stop, None)
    }

    /// The same in a light, or by a wanted contrast.
    pub fn setup_in(&self, stop: usize, waves: Option<Waves>) -> Option<DepthSetup> {
        let gate = Gate::new(Length::mm(24.89), Length::mm(13.87)).ok()?;
        // As engraved, to a tenth.
        let number = self.widest * f64::from(1_u32 << stop).sqrt();
        let number = (number * 10.0).round() / 10.0;
        let wanted = Wanted {
            lens: LensFigures {
                focal_length: Length::mm(self.focal_mm),
                pupil: self
                    .pupils
                    .map(|(hiatus, _)| Pupil::Hiatus(Length::mm(hiatus))),
                pupil_magnification: self
                    .pupils
                    .and_then(|(_, pupil)| PupilMagnification::new(pupil).ok()),
                transmittance: self
                    .transmittance
                    .and_then(|tau| Transmittance::new(tau).ok()),
            },
            stop: Some(Stop::new(self.kind, number).ok()?),
            frame: self.frame.then(|| Frame {
                name: self.format.clone(),
                gate,
                extraction: None,
                squeeze: Ratio::new(self.squeeze).expect("a squeeze"),
                convention: Some(CircleRule::Fixed(Length::inches(0.001))),
                verified: self.verified,
            }),
            circle: self.circle_mm.map(|mm| CircleRule::Fixed(Length::mm(mm))),
            branch: Branch::Far,
            circle_on: CircleOn::Sensor,
            fitted: Fitted {
                front: self.close_up.into_iter().collect(),
                ..Fitted::default()
            },
            waves,
            notes: Vec::new(),
        };
        wanted.depth_setup(&mut ()).ok()
    }

    /// The lens with its squeeze, at its widest stop.
    pub fn squeezed_setup(&self) -> Option<markwright::gear::Setup> {
        use markwright::optics::{Anamorph, Squeeze};
        let plain = self.setup(0)?.setup;
        let wanted = Wanted {
            lens: LensFigures {
                focal_length: Length::mm(self.focal_mm),
                pupil: None,
                pupil_magnification: None,
                transmittance: None,
            },
            stop: None,
            frame: plain.frame,
            circle: None,
            branch: Branch::Far,
            circle_on: CircleOn::Sensor,
            fitted: Fitted {
                squeeze: Some(Squeeze {
                    ratio: Ratio::new(self.squeeze).ok()?,
                    part: Anamorph::Front,
                }),
                ..Fitted::default()
            },
            waves: None,
            notes: Vec::new(),
        };
        wanted.setup(&mut ()).ok()
    }

    pub fn wish(&self) -> Option<CardWish> {
        let stops = (0..self.stops).map(|stop| self.setup(stop));
        Some(CardWish {
            names: Names {
                title: Some(self.title.clone()),
                focal: self
                    .focal_name
                    .clone()
                    .unwrap_or(format!("{}", self.focal_mm)),
                label: Some(self.label.clone()),
                serial: Some(self.serial.clone()),
                camera: Some("A".into()),
                prepared: self.date.clone(),
                ..Names::default()
            },
            unit: self.unit,
            engraved: self.engraved,
            close_focus: FocusDistance::at(Length::mm(self.close_mm)).ok()?,
            stops: stops.collect::<Option<_>>()?,
            words: CardWords::ALL,
        })
    }

    /// `None` where the setup has no hyperfocal distance.
    pub fn card(&self) -> Option<Card> {
        Card::new(&self.setup(self.closed)?, self.wish()?).ok()
    }
}

/// The card of the ordinary lens.
pub fn example(unit: Unit) -> Card {
    Given::ordinary(unit).card().expect("an ordinary setup")
}

fn given() -> impl Strategy<Value = Given> {
    let lens = (
        // Focal lengths from 6 to 600 mm, each decade alike, in half millimetres.
        (6.0..60.0_f64, any::<bool>()).prop_map(|(short, long)| {
            let focal = if long { short * 10.0 } else { short };
            (focal * 2.0).round() / 2.0
        }),
        prop_oneof![Just(StopKind::F), Just(StopKind::T)],
        prop_oneof![
            Just(1.3),
            Just(1.4),
            Just(2.0),
            Just(2.8),
            Just(3.1),
            Just(4.5)
        ],
        // Close focus, in focal lengths: from what is nearly macro.
        4.6..40.0_f64,
        proptest::option::of((-0.4..1.5_f64, 0.5..2.2_f64)),
        proptest::option::of(0.7..0.95_f64),
    );
    let rest = (
        1..6_usize,
        proptest::option::of(0.01..0.06_f64),
        prop_oneof![Just(Unit::Feet), Just(Unit::Metres)],
        any::<bool>(),
        any::<bool>(),
        prop_oneof![Just(1.0), Just(2.0)],
        ".{0,60}",
        "[A-Za-z0-9 éßŁ-]{0,40}",
        "[0-9A-Z-]{0,14}",
        proptest::option::of("[0-9]{4}-[0-9]{2}-[0-9]{2}"),
    );
    (lens, rest).prop_map(|(lens, rest)| {
        let (focal_mm, kind, widest, close, pupils, transmittance) = lens;
        let (stops, circle_mm, unit, frame, verified, squeeze, label, title, serial, date) = rest;
        Given {
            focal_mm,
            kind,
            widest,
            closed: stops - 1,
            stops,
            circle_mm,
            unit,
            engraved: None,
            // No lens focuses nearer than a hand's breadth before its pupil.
            close_mm: (focal_mm * close + 100.0).round(),
            pupils: pupils.map(|(hiatus, pupil)| (hiatus * focal_mm, pupil)),
            transmittance,
            frame,
            verified,
            squeeze,
            close_up: None,
            focal_name: None,
            format: "65 mm, 5 perforations, with a sound track".into(),
            label,
            serial,
            title,
            date,
        }
    })
}

/// So many setups, the same at each run.
pub fn random(count: usize) -> Vec<Given> {
    let mut runner = TestRunner::deterministic();
    let strategy = given();
    let one = |_| strategy.new_tree(&mut runner).expect("a setup").current();
    (0..count).map(one).collect()
}
