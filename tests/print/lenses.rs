//! Lenses whose tapes are under test.

use markwright::gear::{CircleOn, Fitted, LensFigures, Sense, Wanted, WitnessEdge};
use markwright::optics::{Branch, CircleRule};
use markwright::scale::prep::Displacement;
use markwright::scale::{Measure, RingGiven, RingLaw, Standing};
use markwright::sheets::{Names, NoTape, Reference, ReferenceKind, Tape, TapeWish};
use markwright::units::{Angle, FocusDistance, Length, Stop, StopKind, Unit};

/// A lens with a ring, everything about it open to change.
#[derive(Clone, Debug)]
pub struct Lens {
    pub focal: f64,
    pub stop: f64,
    pub circle: f64,
    pub close_focus: f64,
    pub travel: f64,
    pub diameter: Option<f64>,
    pub thickness: f64,
    pub sense: Sense,
    pub witness: WitnessEdge,
    pub band: Option<f64>,
    pub unit: Unit,
    pub stops: (Option<f64>, Option<f64>),
    /// The unit of the ring's own scale.
    pub own: Option<Unit>,
    /// Distances in mm that the ring is engraved with.
    pub engraved: Vec<f64>,
    /// How far beyond where the law has those distances, along the tape, the
    /// ring reads them.
    pub engraved_off: f64,
    /// What prep day found: how much too far the image plane is, and the standard
    /// error of that.
    pub off: Option<(f64, f64)>,
    /// Distance in mm and position in mm, measured.
    pub measured: Option<Vec<(f64, f64)>>,
    pub names: Names,
}

impl Lens {
    /// A thin 50 mm lens on an 80 mm ring, 300° from infinity to 2 ft.
    pub fn fifty() -> Self {
        Self {
            focal: 50.0,
            stop: 2.8,
            circle: 0.025,
            close_focus: 609.6,
            travel: 300.0,
            diameter: Some(80.0),
            thickness: 0.1,
            sense: Sense::Clockwise,
            witness: WitnessEdge::Rear,
            band: None,
            unit: Unit::Feet,
            stops: (None, None),
            own: None,
            engraved: vec![914.4, 1828.8],
            engraved_off: 0.0,
            off: None,
            measured: None,
            names: Names {
                title: Some("Night Harbour".into()),
                focal: "50".into(),
                widest: Some("T2.1".into()),
                id: Some("50B".into()),
                label: Some("50 B".into()),
                serial: Some("1027".into()),
                camera: None,
                prepared: None,
            },
        }
    }

    /// Its tape, or why there is none.
    pub fn tape(&self) -> Result<Tape, NoTape> {
        let wanted = Wanted {
            lens: LensFigures {
                focal_length: Length::mm(self.focal),
                pupil: None,
                pupil_magnification: None,
                transmittance: None,
            },
            stop: Some(Stop::new(StopKind::F, self.stop).expect("a stop")),
            frame: None,
            circle: Some(CircleRule::Fixed(Length::mm(self.circle))),
            branch: Branch::Far,
            circle_on: CircleOn::Sensor,
            fitted: Fitted::default(),
            waves: None,
            notes: Vec::new(),
        };
        let setup = wanted.depth_setup(&mut ()).expect("a stop and a circle");
        let close = FocusDistance::at(Length::mm(self.close_focus)).expect("a distance");
        let ring = RingGiven {
            circumference: self
                .diameter
                .map(|diameter| Length::mm(diameter * std::f64::consts::PI)),
            close_focus: Some(close),
        };
        let lens = setup.setup.lens.bare();
        let law = match &self.measured {
            None => RingLaw::of_travel(lens, close, Angle::deg(self.travel), ring),
            Some(rows) => {
                let marks: Vec<(FocusDistance, f64)> =
                    rows.iter().map(|row| (distance(row.0), row.1)).collect();
                RingLaw::through_marks(lens, &marks, Measure::Arc, Standing::Measured, ring)
            }
        }
        .expect("a law");
        let thickness = Length::mm(self.thickness);
        let references = self.engraved.iter().filter_map(|&mm| {
            let distance = distance(mm);
            let at = law.position(distance).ok()?.along_tape(thickness)?;
            let at = at + Length::mm(self.engraved_off);
            Some(Reference { distance, at })
        });
        let references: Vec<Reference> = references.collect();
        let law = match self.off {
            Some((error, standard_error)) => {
                let found = Displacement {
                    error: Length::mm(error),
                    standard_error: Length::mm(standard_error),
                };
                law.clone().corrected(found, None)
            }
            None => law,
        };
        let measured = self.measured.iter().flatten();
        let wish = TapeWish {
            names: self.names.clone(),
            sense: self.sense,
            engraved: self.own,
            witness: self.witness,
            thickness,
            band: self.band.map(Length::mm),
            unit: self.unit,
            beyond_infinity: self.stops.0.map(Length::mm),
            beyond_near: self.stops.1.map(Length::mm),
            references,
            reference: ReferenceKind::Engraved,
            bodies: Vec::new(),
            measured: measured.map(|row| distance(row.0)).collect(),
        };
        Tape::new(&law, &setup, wish)
    }
}

/// A distance from millimetres, infinity included.
pub fn distance(millimetres: f64) -> FocusDistance {
    if millimetres.is_infinite() {
        FocusDistance::INFINITY
    } else {
        FocusDistance::at(Length::mm(millimetres)).expect("a distance")
    }
}
