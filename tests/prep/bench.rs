//! A simulated bench: lenses with a law, a camera, a tape, a reader.

use markwright::gear::{
    Focal, Lens, LensId, LensWritten, Mark, MarkKind, MarkPosition, Marks, PositionUnit, PrepRow,
    Reading, Ring, RingWritten, ScaleFrom, Travel,
};
use markwright::optics::Pupil;
use markwright::units::{Angle, FocusDistance, Length, Stop, StopKind};

use crate::random::Chance;

/// A lens as it really is. Lengths in mm, angles in degrees.
#[derive(Clone, Copy, Debug)]
pub struct Real {
    pub focal: f64,
    pub hiatus: f64,
    pub close: f64,
    pub travel: f64,
    /// Zero for a helicoid; else how much steeper a cam starts.
    pub cam: f64,
}

/// Thin ones, and thick ones either way.
pub const LENSES: [Real; 9] = [
    real(18.0, 60.0, 254.0, 280.0),
    real(25.0, 0.0, 300.0, 300.0),
    real(25.0, 50.0, 279.4, 284.0),
    real(32.0, 19.0, 304.8, 288.0),
    real(50.0, 0.0, 600.0, 300.0),
    real(50.0, -15.6, 457.2, 294.0),
    real(75.0, -10.0, 685.8, 297.0),
    real(100.0, -31.0, 838.2, 300.0),
    real(135.0, 30.0, 1200.0, 300.0),
];

const fn real(focal: f64, hiatus: f64, close: f64, travel: f64) -> Real {
    Real {
        focal,
        hiatus,
        close,
        travel,
        cam: 0.0,
    }
}

impl Real {
    pub fn magnification(&self, distance: f64) -> f64 {
        if distance.is_infinite() {
            return 0.0;
        }
        let sum = distance - self.hiatus;
        let long = (sum + libm::sqrt(sum * (sum - 4.0 * self.focal))) / 2.0;
        self.focal / (long - self.focal)
    }

    fn distance_at(&self, m: f64) -> f64 {
        self.hiatus + self.focal * (2.0 + m + 1.0 / m)
    }

    pub fn close_travel(&self) -> f64 {
        self.focal * self.magnification(self.close)
    }

    /// Degrees from infinity at a travel; straight on beyond the ends.
    pub fn turn(&self, travel: f64) -> f64 {
        let u = travel / self.close_travel();
        let inner = u.clamp(0.0, 1.0);
        let curve = inner + self.cam * inner * (1.0 - inner);
        let slope = if u < 0.0 {
            1.0 + self.cam
        } else {
            1.0 - self.cam
        };
        self.travel * (curve + slope * (u - inner))
    }

    pub fn gain(&self, travel: f64) -> f64 {
        let u = (travel / self.close_travel()).clamp(0.0, 1.0);
        self.travel * (1.0 + self.cam * (1.0 - 2.0 * u)) / self.close_travel()
    }

    /// The travel at a turn.
    fn travel_at(&self, turn: f64) -> f64 {
        let (mut low, mut high) = (-self.close_travel(), 2.0 * self.close_travel());
        for _ in 0..80 {
            let middle = (low + high) / 2.0;
            if self.turn(middle) < turn {
                low = middle;
            } else {
                high = middle;
            }
        }
        (low + high) / 2.0
    }

    /// The distance its own scale says at a turn.
    pub fn engraved_at(&self, turn: f64) -> f64 {
        let m = self.travel_at(turn) / self.focal;
        if m <= 0.0 {
            f64::INFINITY
        } else {
            self.distance_at(m)
        }
    }

    /// As it is written down in a kit.
    pub fn lens(&self, id: &str) -> Lens {
        let ring = RingWritten {
            travel: Some(Travel::Turn(Angle::deg(self.travel))),
            ..RingWritten::default()
        };
        Lens::new(LensWritten {
            id: LensId::new(id).unwrap(),
            label: None,
            serial: None,
            focal: Focal::Prime(Length::mm(self.focal)),
            card_focals: Vec::new(),
            zoom: Vec::new(),
            f_number: Some(markwright::units::FNumber::new(2.0).unwrap()),
            t_number: None,
            transmittance: None,
            close_focus: at(self.close),
            engraved: None,
            pupil: Some(Pupil::Hiatus(Length::mm(self.hiatus))),
            pupil_magnification: None,
            ring: Ring::new(ring).unwrap(),
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
        .unwrap()
    }

    /// Its engraved marks, read on a degree scale.
    pub fn marks(&self) -> Marks {
        let mark = |part: f64| {
            let m = part * self.magnification(self.close);
            let distance = if part == 0.0 {
                f64::INFINITY
            } else {
                self.distance_at(m)
            };
            Mark {
                distance: at(distance),
                written: String::new(),
                position: MarkPosition::new(self.turn(self.focal * m)).unwrap(),
                settings: Vec::new(),
                kind: MarkKind::Engraved,
                sd: None,
                camera: None,
            }
        };
        let rows = (0..=15).map(|i| mark(f64::from(i) / 15.0)).collect();
        Marks::new(PositionUnit::Deg, rows, 0).unwrap()
    }
}

pub fn at(mm: f64) -> FocusDistance {
    if mm.is_infinite() {
        FocusDistance::INFINITY
    } else {
        FocusDistance::at(Length::mm(mm)).unwrap()
    }
}

/// How the scale is read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Read {
    /// What is engraved.
    Scale,
    /// Degrees from infinity.
    Turn,
}

/// Errors of tape and ring as they are taken to be where nobody says.
pub fn tape_sd(taped: f64) -> f64 {
    match taped {
        t if t.is_infinite() => 0.0,
        t if t < 1000.0 => 5.0,
        t if t <= 2000.0 => 10.0,
        _ => 25.0,
    }
}

pub const RING_SD: f64 = 0.3;

/// A camera and its tape.
#[derive(Clone, Copy, Debug)]
pub struct World {
    /// As read on this camera, mm.
    pub delta: f64,
    pub tape_zero: f64,
}

/// One row: taped there, in this world, misread by so many standard deviations.
pub fn row(
    real: &Real,
    lens: &Lens,
    taped: f64,
    world: World,
    read: Read,
    misread: f64,
    chance: &mut Chance,
) -> PrepRow {
    let truly = taped + world.tape_zero + chance.normal(tape_sd(taped));
    let m = real.magnification(truly);
    let slope = m * m / (1.0 - m * m);
    let travel = real.focal * m - world.delta;
    let gain = real.gain(travel);
    let whole_sd = libm::sqrt(RING_SD * RING_SD + (gain * slope * tape_sd(taped)).powi_2());
    let turn = real.turn(travel) + chance.normal(RING_SD) + misread * whole_sd;
    let reading = match read {
        Read::Turn => Reading::Turn(vec![Angle::deg(turn)]),
        Read::Scale => Reading::Scale(vec![at(real.engraved_at(turn))]),
    };
    PrepRow {
        line: 2,
        lens: lens.id().clone(),
        stop: Stop::new(StopKind::F, 2.0).unwrap(),
        taped: at(taped),
        reading,
        camera: None,
        taped_sd: None,
        reading_sd: None,
        temperature: None,
        note: None,
    }
}

trait Square {
    fn powi_2(self) -> f64;
}

impl Square for f64 {
    fn powi_2(self) -> f64 {
        self * self
    }
}

/// Distances to tape: even in their logarithm from close focus to 12 m. Where
/// the scale itself is read, none where a reading might lie beyond infinity.
pub fn distances(
    real: &Real,
    count: usize,
    delta: f64,
    read: Read,
    chance: &mut Chance,
) -> Vec<f64> {
    let near = libm::log(real.close * 1.02);
    let clear = match read {
        Read::Turn => 12_000.0,
        Read::Scale => {
            let least = delta.abs() + 8.0 * RING_SD / real.gain(0.0);
            (real.focal * real.focal / least).min(12_000.0)
        }
    };
    let far = libm::log(clear.max(real.close * 2.0));
    let mut out: Vec<f64> = (0..count)
        .map(|_| libm::exp(chance.between(near, far)))
        .collect();
    if read == Read::Turn && chance.even() < 0.3 {
        out[0] = f64::INFINITY;
    }
    out
}
