//! Kits with readings, as a bench with a tape and a reader makes them.

use markwright::gear::{
    Camera, Focal, Frame, Kit, Lens, LensId, LensWritten, Mark, MarkKind, MarkPosition, Marks,
    PositionUnit, PrepRow, PrintPrefs, Reading, Ring, RingWritten, ScaleFrom, Travel,
};
use markwright::optics::{CircleRule, Gate, Pupil};
use markwright::units::{Angle, FNumber, FocusDistance, Length, Ratio, Stop, StopKind, Unit};

use super::super::many::{Dice, WORDS};

/// A lens as it really is, in mm and degrees.
#[derive(Clone, Debug)]
pub struct Real {
    pub id: String,
    pub label: Option<String>,
    pub serial: Option<String>,
    pub focal: f64,
    pub close: f64,
    pub travel: f64,
    pub engraved: Option<Unit>,
    pub with_marks: bool,
    /// Its own image-plane error.
    pub error: f64,
}

impl Real {
    pub fn of(id: &str, focal: f64, close: f64, error: f64) -> Self {
        Self {
            id: id.to_owned(),
            label: None,
            serial: Some(format!("20{id}")),
            focal,
            close,
            travel: 300.0,
            engraved: Some(Unit::Feet),
            with_marks: false,
            error,
        }
    }

    /// The smaller root of m of D = f (2 + m + 1/m).
    fn magnification(&self, distance: f64) -> f64 {
        if distance.is_infinite() {
            return 0.0;
        }
        let long = (distance + (distance * (distance - 4.0 * self.focal)).sqrt()) / 2.0;
        self.focal / (long - self.focal)
    }

    fn gain(&self) -> f64 {
        self.travel / (self.focal * self.magnification(self.close))
    }

    fn lens(&self) -> Lens {
        let ring = RingWritten {
            travel: Some(Travel::Turn(Angle::deg(self.travel))),
            ..RingWritten::default()
        };
        Lens::new(LensWritten {
            id: LensId::new(&self.id).expect("an id"),
            label: self.label.clone(),
            serial: self.serial.clone(),
            focal: Focal::Prime(Length::mm(self.focal)),
            card_focals: Vec::new(),
            zoom: Vec::new(),
            f_number: Some(FNumber::new(2.0).expect("a stop")),
            t_number: None,
            transmittance: None,
            close_focus: at(self.close),
            engraved: self.engraved,
            pupil: Some(Pupil::Hiatus(Length::ZERO)),
            pupil_magnification: None,
            ring: Ring::new(ring).expect("a ring"),
            mount: None,
            front_diameter: None,
            front_distance: None,
            ring_teeth: None,
            knob_travel: None,
            hand_unit_preset: None,
            squeeze: None,
            anamorph: None,
            scale_from: ScaleFrom::ImagePlane,
            rear_filter: None,
            breathing: Vec::new(),
        })
        .expect("a lens")
    }

    fn marks(&self) -> Marks {
        let mark = |part: u32| {
            let m = f64::from(part) / 12.0 * self.magnification(self.close);
            let distance = if part == 0 {
                f64::INFINITY
            } else {
                self.focal * (2.0 + m + 1.0 / m)
            };
            Mark {
                settings: Vec::new(),
                distance: at(distance),
                written: String::new(),
                position: MarkPosition::new(self.gain() * self.focal * m).expect("a number"),
                kind: MarkKind::Engraved,
                sd: None,
                camera: None,
            }
        };
        Marks::new(PositionUnit::Deg, (0..=12).map(mark).collect(), 0).expect("marks")
    }

    /// What is read of a chart at a distance with the image plane so far off,
    /// each of some settings off by so many degrees.
    pub fn row(&self, taped: f64, error: f64, off: &[f64], on_scale: bool) -> PrepRow {
        let travel = self.focal * self.magnification(taped) - error;
        let turn = |off: &f64| travel * self.gain() + off;
        let distance = |off: &f64| {
            let m = turn(off) / self.gain() / self.focal;
            if m > 1e-5 {
                // As one writes it: in eighths of an inch, or whole millimetres.
                let mm = self.focal * (2.0 + m + 1.0 / m);
                let length = match self.engraved {
                    Some(Unit::Feet) => {
                        Length::from_inch_64ths((mm / 25.4 * 8.0).round() as i64 * 8)
                    }
                    _ => Length::mm(mm.round()),
                };
                FocusDistance::at(length).expect("a distance")
            } else {
                FocusDistance::INFINITY
            }
        };
        PrepRow {
            line: 0,
            lens: LensId::new(&self.id).expect("an id"),
            stop: Stop::new(StopKind::F, 2.0).expect("a stop"),
            taped: at(taped),
            reading: if on_scale {
                Reading::Scale(off.iter().map(distance).collect())
            } else {
                Reading::Turn(off.iter().map(|off| Angle::deg(turn(off))).collect())
            },
            camera: None,
            taped_sd: None,
            reading_sd: None,
            temperature: None,
            note: None,
        }
    }
}

pub fn at(mm: f64) -> FocusDistance {
    if mm.is_infinite() {
        FocusDistance::INFINITY
    } else {
        FocusDistance::at(Length::mm(mm)).expect("a distance")
    }
}

fn camera(name: Option<&str>, serial: Option<&str>) -> Camera {
    Camera {
        name: name.map(str::to_owned),
        frame: Frame {
            name: "Super 35, 3 perforations".into(),
            gate: Gate::new(Length::mm(24.89), Length::mm(13.87)).expect("a gate"),
            extraction: None,
            squeeze: Ratio::new(1.0).expect("a ratio"),
            convention: None,
            verified: true,
        },
        hook_offset: Length::ZERO,
        circle: Some(CircleRule::Fixed(Length::mm(0.025))),
        working_stop: Some(Stop::new(StopKind::F, 2.8).expect("a stop")),
        serial: serial.map(str::to_owned),
    }
}

/// A kit of lenses, cameras and rows, which are numbered as in a file.
pub fn kit(
    cameras: &[(Option<&str>, Option<&str>)],
    lenses: &[Real],
    rows: Vec<PrepRow>,
    units: Unit,
) -> Kit {
    let numbered = rows.into_iter().enumerate();
    Kit {
        title: "Night Harbour".into(),
        units,
        prepared: None,
        cameras: cameras
            .iter()
            .map(|(name, no)| camera(*name, *no))
            .collect(),
        follow: None,
        hand_units: Vec::new(),
        front: None,
        print: PrintPrefs::default(),
        lenses: lenses
            .iter()
            .map(|real| (real.lens(), real.with_marks.then(|| real.marks())))
            .collect(),
        prep: numbered
            .map(|(number, row)| PrepRow {
                line: number + 2,
                ..row
            })
            .collect(),
        shots: Vec::new(),
    }
}

/// A set of six on two cameras, one lens shifted, one reading misread, three
/// settings in a cell.
pub fn ordinary(units: Unit) -> Kit {
    let lenses = [
        Real::of("18", 18.0, 300.0, 0.005),
        Real::of("25", 25.0, 300.0, -0.01),
        Real::of("32", 32.0, 350.0, 0.055),
        Real::of("50", 50.0, 600.0, 0.0),
        Real::of("75", 75.0, 700.0, 0.01),
        Real::of("100", 100.0, 900.0, -0.015),
    ];
    let mut dice = Dice(7);
    let mut rows = Vec::new();
    for lens in &lenses {
        for (camera, error) in [("A", 0.02), ("B", -0.01)] {
            for feet in [3.0, 4.0, 6.0, 8.0, 12.0] {
                let count = if feet == 6.0 { 3 } else { 1 };
                let misread = lens.id == "75" && feet == 8.0 && camera == "A";
                let slip = if misread { 5.0 } else { 0.0 };
                let off: Vec<f64> = (0..count).map(|_| dice.within(-0.4, 0.4) + slip).collect();
                let on_scale = lens.id != "100";
                let row = lens.row(feet * 304.8, error + lens.error, &off, on_scale);
                rows.push(PrepRow {
                    camera: Some(camera.into()),
                    ..row
                });
            }
        }
    }
    let cameras = [(Some("A"), Some("1021")), (Some("B"), Some("1144"))];
    kit(&cameras, &lenses, rows, units)
}

/// A kit nobody chose.
pub fn random(dice: &mut Dice) -> Kit {
    let count = dice.of(&[1, 1, 2, 5, 7, 12]);
    let focals = [
        12.0, 18.0, 25.0, 32.0, 40.0, 50.0, 65.0, 75.0, 100.0, 135.0, 180.0, 300.0,
    ];
    let units = [Unit::Feet, Unit::Metres];
    let word = |dice: &mut Dice| {
        let word = dice.of(&WORDS).to_owned();
        dice.maybe(word)
    };
    let lenses: Vec<Real> = (0..count)
        .map(|number| {
            let focal = focals[number];
            Real {
                label: word(dice),
                serial: word(dice),
                close: (focal * dice.within(7.0, 14.0)).round(),
                travel: dice.within(80.0, 320.0),
                engraved: dice.maybe(units[number % 2]),
                with_marks: dice.one_in(3),
                ..Real::of(
                    &format!("{focal}"),
                    focal,
                    0.0,
                    dice.of(&[0.0, 0.01, -0.02, 0.05, -0.15]),
                )
            }
        })
        .collect();
    let cameras: &[(Option<&str>, Option<&str>)] = match dice.of(&[0, 1, 2]) {
        0 => &[(None, None)],
        1 => &[(None, Some("SR2 · 1021"))],
        _ => &[(Some("A"), Some("1021")), (Some("B"), None)],
    };
    let mut rows = Vec::new();
    for lens in &lenses {
        let readings = dice.of(&[1, 2, 4, 7, 40]);
        for (name, _) in cameras {
            for _ in 0..readings {
                let far = 1.05 * libm::pow(9_000.0 / lens.close, dice.within(0.0, 1.0));
                let taped = if dice.one_in(9) {
                    f64::INFINITY
                } else {
                    (lens.close * far.max(1.05)).round()
                };
                let slip = if dice.one_in(12) {
                    dice.within(2.0, 8.0)
                } else {
                    0.0
                };
                let settings = dice.of(&[1, 1, 1, 3, 9]);
                let off = (0..settings).map(|_| dice.within(-0.5, 0.5) + slip);
                let off: Vec<f64> = off.collect();
                let on_scale = dice.one_in(2) && taped.is_finite();
                rows.push(PrepRow {
                    camera: name.map(str::to_owned),
                    ..lens.row(taped, lens.error, &off, on_scale)
                });
            }
        }
    }
    Kit {
        title: dice.of(&WORDS).to_owned(),
        prepared: dice.maybe("2031-04-02".to_owned()),
        ..kit(cameras, &lenses, rows, dice.of(&units))
    }
}
