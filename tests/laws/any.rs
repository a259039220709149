//! Lenses, settings and fine detail as the laws want them, from ordinary to odd.

use markwright::numerics::math::exp2;
use markwright::optics::{
    Branch, Circle, Detail, Focused, Gate, Hyperfocal, Magnification, Pupil, UnitFocus,
};
use markwright::units::{
    Contrast, DetectorPitch, FNumber, FocusDistance, Length, Light, PupilMagnification, Ratio,
    Reach, SpatialFrequency, Wavelength,
};
use proptest::prelude::*;

use crate::mutation::Mutation::{
    CircleOfHabit, DropTheHiatus, DropThePupils, EvenDepth, FromTheLens, SwapNearAndFar, TForN,
    UpsideDown,
};
use crate::mutation::made;

/// What a T-number is of the f-number, at transmittance 0.8.
pub const T_OVER_N: f64 = 1.118_033_988_749_895;

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

    /// The same shot as somebody sees it who makes a mistake.
    pub fn seen(&self) -> Self {
        let mut seen = *self;
        if made(TForN) {
            seen.n = self.n * T_OVER_N;
        } else if made(DropTheHiatus) {
            seen.e = 0.0;
        } else if made(DropThePupils) {
            seen.p = 1.0;
        } else if made(FromTheLens) {
            seen.d = self.counted_from_the_lens(self.d);
        } else if made(CircleOfHabit) {
            seen.c = 0.025;
        }
        seen
    }

    /// What a distance from the front principal plane is from the image plane.
    pub fn counted_from_the_lens(&self, u: f64) -> f64 {
        self.e + u + self.f * u / (u - self.f)
    }

    /// The lens set to the shot, as the library does it or with a mistake.
    pub fn set(&self) -> Focused {
        let seen = self.seen();
        seen.lens()
            .at(seen.focus(), Branch::Far, seen.n(), &mut ())
            .unwrap()
    }

    /// The lens at its infinity mark.
    pub fn set_at_infinity(&self) -> Focused {
        let seen = self.seen();
        seen.lens()
            .at(FocusDistance::INFINITY, Branch::Far, seen.n(), &mut ())
            .unwrap()
    }

    /// Near and far limit from the image plane.
    pub fn limits(&self) -> (f64, f64) {
        let limits = self.set().limits(self.seen().circle(), &mut ());
        let (near, far) = (mm(limits.near.reach()), mm(limits.far.reach()));
        if made(SwapNearAndFar) {
            (far, near)
        } else {
            (near, far)
        }
    }

    /// How much is sharp in front and behind.
    pub fn depth(&self) -> (f64, f64) {
        let depth = self.set().depth(self.seen().circle(), &mut ());
        let (in_front, behind) = (mm(depth.in_front), mm(depth.behind));
        (in_front, if made(EvenDepth) { in_front } else { behind })
    }

    /// The magnification at the shot's distance; the macro setting is the other
    /// side of a law and is mistaken by nobody.
    pub fn magnified(&self, branch: Branch) -> Magnification {
        let seen = if branch == Branch::Far {
            self.seen()
        } else {
            *self
        };
        let m = seen.lens().magnification(seen.focus(), branch, &mut ());
        m.unwrap()
    }

    /// The same as a plain ratio.
    pub fn magnification(&self, branch: Branch) -> f64 {
        let m = self.magnified(branch).value();
        if made(UpsideDown) { 1.0 / m } else { m }
    }

    /// An object's distance from the entrance pupil of the lens set somewhere.
    pub fn object_from_pupil(&self, set: &Focused, object: FocusDistance) -> f64 {
        let s = mm(set.from_pupil(object, &mut ()).unwrap().reach());
        let pupil_behind = self.f / self.p - self.f;
        if made(FromTheLens) {
            s - pupil_behind
        } else {
            s
        }
    }

    /// The hyperfocal distance from each plane.
    pub fn hyperfocals(&self) -> Hyperfocal {
        let seen = self.seen();
        seen.lens()
            .hyperfocal(seen.n(), seen.circle(), &mut ())
            .unwrap()
    }

    /// The hyperfocal distance from the image plane, by the library as it is.
    pub fn hyperfocal(&self) -> f64 {
        let from = self.lens().hyperfocal(self.n(), self.circle(), &mut ());
        from.unwrap().from_image_plane.to_mm()
    }

    /// The share of the beam that the circle allows: 1 at the hyperfocal.
    pub fn k(&self) -> f64 {
        let m = self
            .lens()
            .magnification(self.focus(), Branch::Far, &mut ());
        self.c * self.n / (self.f * m.unwrap().value())
    }
}

/// Whether two figures are the same to a relative tolerance, infinities too.
pub fn close(one: f64, other: f64, tolerance: f64) -> bool {
    let off = (one - other).abs();
    one == other || off.is_finite() && off <= tolerance * one.abs().max(other.abs())
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
