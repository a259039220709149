//! Lenses, settings and fine detail as the laws want them, from ordinary to odd.

use markwright::numerics::math::exp2;
use markwright::optics::{Branch, Circle, Detail, Focused, Gate, Pupil, UnitFocus};
use markwright::units::{
    Contrast, DetectorPitch, FNumber, FocusDistance, Length, Light, PupilMagnification, Ratio,
    Reach, SpatialFrequency, Wavelength,
};
use proptest::prelude::*;

/// A lens with a stop, circle and focus distance in numbers.
#[derive(Clone, Copy, Debug)]
pub struct Shot {
    pub f: f64,
    pub e: f64,
    pub p: f64,
    pub n: f64,
    pub c: f64,
    /// From the image plane; at least a tenth beyond the closest.
    pub d: f64,
}

/// Any shot with a finite focus.
pub fn shot() -> impl Strategy<Value = Shot> {
    let lens = (6.0..400.0, -0.4..2.0, 0.4..2.5);
    let setting = (1.0..22.0, 0.004..0.06, 0.1..10.0);
    (lens, setting).prop_map(|((f, hiatus, p), (n, c, away))| {
        let e = hiatus * f;
        // From a tenth beyond the closest to some 20 000 times as far.
        let d = (e + 4.0 * f) * (1.0 + exp2(away * 1.44) - 0.9);
        Shot { f, e, p, n, c, d }
    })
}

/// A gate from that of a small sensor to a large one.
pub fn gate() -> impl Strategy<Value = Gate> {
    (4.0..70.0, 0.4..1.0).prop_map(|(w, share)| gate_of(w, w * share))
}

pub fn gate_of(w: f64, h: f64) -> Gate {
    Gate::new(Length::mm(w), Length::mm(h)).unwrap()
}

pub fn mm(reach: Reach<Length>) -> f64 {
    match reach {
        Reach::At(length) => length.to_mm(),
        Reach::Infinity => f64::INFINITY,
    }
}

pub fn at(mm: f64) -> FocusDistance {
    FocusDistance::at(Length::mm(mm)).unwrap()
}

impl Shot {
    pub fn lens(&self) -> UnitFocus {
        UnitFocus::new(
            Length::mm(self.f),
            Pupil::Hiatus(Length::mm(self.e)),
            PupilMagnification::new(self.p).unwrap(),
            &mut (),
        )
    }

    pub fn n(&self) -> FNumber {
        FNumber::new(self.n).unwrap()
    }

    pub fn circle(&self) -> Circle {
        Circle::new(Length::mm(self.c)).unwrap()
    }

    pub fn focus(&self) -> FocusDistance {
        at(self.d)
    }

    pub fn set(&self) -> Focused {
        self.lens()
            .at(self.focus(), Branch::Far, self.n(), &mut ())
            .unwrap()
    }

    /// Near and far limit from the image plane.
    pub fn limits(&self) -> (f64, f64) {
        let limits = self.set().limits(self.circle(), &mut ());
        (mm(limits.near.reach()), mm(limits.far.reach()))
    }

    /// The hyperfocal distance from the image plane.
    pub fn hyperfocal(&self) -> f64 {
        let from = self.lens().hyperfocal(self.n(), self.circle(), &mut ());
        from.unwrap().from_image_plane.to_mm()
    }

    /// The share of the beam that the circle allows: 1 at the hyperfocal.
    pub fn k(&self) -> f64 {
        self.c * self.n / (self.f * self.set().magnification().value())
    }
}

/// Whether two figures are the same to a relative tolerance, infinities too.
pub fn close(one: f64, other: f64, tolerance: f64) -> bool {
    one == other || (one - other).abs() <= tolerance * one.abs().max(other.abs())
}

/// Detail from coarse to finer than a lens may pass, in one to four colours.
pub fn detail() -> impl Strategy<Value = Detail> {
    let line = (300.0..600.0, 0.1..10.0);
    let pitch = prop::option::of(0.4..8.0);
    (1.0..150.0, prop::collection::vec(line, 1..5), pitch).prop_map(|(nu, lines, pitch)| Detail {
        frequency: SpatialFrequency::new(nu).unwrap(),
        light: light(&lines),
        pitch: pitch.map(|um| DetectorPitch::new(Length::mm(um / 1e3)).unwrap()),
    })
}

pub fn light(lines: &[(f64, f64)]) -> Light {
    let line = |&(nm, weight): &(f64, f64)| {
        let wavelength = Wavelength::new(Length::mm(nm / 1e6)).unwrap();
        (wavelength, Ratio::new(weight).unwrap())
    };
    let lines: Vec<_> = lines.iter().map(line).collect();
    Light::weighted(&lines).unwrap()
}

pub fn one_colour(nu: f64, nm: f64) -> Detail {
    Detail {
        frequency: SpatialFrequency::new(nu).unwrap(),
        light: light(&[(nm, 1.0)]),
        pitch: None,
    }
}

pub fn n(value: f64) -> FNumber {
    FNumber::new(value).unwrap()
}

pub fn wanted(value: f64) -> Contrast {
    Contrast::new(value).unwrap()
}
