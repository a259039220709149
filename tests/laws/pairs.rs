//! Two subjects before a lens, and what the library answers about them.

use markwright::answers::{self, Fix, Held, ToHold, Verdict};
use markwright::gear::{CircleOn, Fitted, HoldSetup, LensFigures, Wanted};
use markwright::numerics::math::exp2;
use markwright::optics::{Branch, CircleRule, Pair, Pupil};
use markwright::units::{
    FNumber, FocusDistance, Length, PupilMagnification, Stop, StopKind, TNumber, Transmittance,
};
use proptest::prelude::*;

use crate::any::{Shot, T_OVER_N, at, mm};
use crate::mutation::Mutation::{
    FromTheLens, HarmonicMean, OneStopForHalf, OneThird, SwapNearAndFar, TForN, UpsideDown,
};
use crate::mutation::made;

/// A lens and a circle in numbers, and two subjects from the image plane.
#[derive(Clone, Copy, Debug)]
pub struct Two {
    pub f: f64,
    pub e: f64,
    pub p: f64,
    pub c: f64,
    pub near: f64,
    /// May be infinite.
    pub far: f64,
}

/// Any two subjects, one time in eight the far one at infinity, that need some
/// stop between f/0.6 and f/400.
pub fn two() -> impl Strategy<Value = Two> {
    let lens = (6.0..400.0_f64, -0.4..2.0_f64, 0.4..2.5_f64);
    let setting = (0.006..0.06_f64, 1.0..8.4_f64, 1.02..5.0_f64, 0..8_u8);
    let two = (lens, setting).prop_map(|((f, hiatus, p), (c, away, apart, at_infinity))| {
        let e = hiatus * f;
        // Magnified from 0.6 times to 0.003 times.
        let m = exp2(-away);
        let near = e + f * (2.0 + m + 1.0 / m);
        let far = if at_infinity == 0 {
            f64::INFINITY
        } else {
            near * apart
        };
        Two {
            f,
            e,
            p,
            c,
            near,
            far,
        }
    });
    two.prop_filter("needs a stop lenses have", |two| {
        (0.6..400.0).contains(&two.needs())
    })
}

/// A distance, infinite or not.
pub fn distance(mm: f64) -> FocusDistance {
    if mm.is_infinite() {
        FocusDistance::INFINITY
    } else {
        at(mm)
    }
}

/// A T-stop of a number.
pub fn t_stop(number: f64) -> Stop {
    Stop::T(TNumber::new(number).unwrap())
}

/// What is asked beside the pair.
#[derive(Clone, Copy, Debug, Default)]
pub struct Asked {
    /// The stop worked at.
    pub n: Option<f64>,
    /// The kind the marks are of.
    pub by_t: bool,
}

impl Two {
    /// The shot focused somewhere at a stop, by the library as it is: the other
    /// side of every law.
    pub fn shot(&self, d: f64, n: f64) -> Shot {
        let Self { f, e, p, c, .. } = *self;
        Shot { f, e, p, n, c, d }
    }

    /// Near and far limit when focused somewhere at a stop.
    pub fn limits(&self, d: f64, n: f64) -> (f64, f64) {
        let shot = self.shot(d, n);
        let set = shot.lens().at(at(d), Branch::Far, shot.n(), &mut ());
        let limits = set.unwrap().limits(shot.circle(), &mut ());
        (mm(limits.near.reach()), mm(limits.far.reach()))
    }

    /// How soft something is, without sign, when focused somewhere at a stop.
    pub fn blur(&self, d: f64, n: f64, object: f64) -> f64 {
        let shot = self.shot(d, n);
        let set = shot.lens().at(at(d), Branch::Far, shot.n(), &mut ());
        let blur = set.unwrap().blur(distance(object), &mut ());
        blur.unwrap().to_mm().abs()
    }

    /// The f-number that just holds both, by the library as it is.
    pub fn needs(&self) -> f64 {
        self.ask(Asked::default(), self.near, self.far)
            .f_number
            .value()
    }

    /// Whether a stop holds both, by the library as it is.
    pub fn held_at(&self, n: f64) -> Verdict {
        let asked = Asked {
            n: Some(n),
            ..Asked::default()
        };
        self.ask(asked, self.near, self.far).at_stop.unwrap().held
    }

    fn setup(&self, asked: Asked) -> HoldSetup {
        let wanted = Wanted {
            lens: LensFigures {
                focal_length: Length::mm(self.f),
                pupil: Some(Pupil::Hiatus(Length::mm(self.e))),
                pupil_magnification: Some(PupilMagnification::new(self.p).unwrap()),
                transmittance: Some(Transmittance::new(0.8).unwrap()),
            },
            stop: asked.n.map(|n| Stop::F(FNumber::new(n).unwrap())),
            frame: None,
            circle: Some(CircleRule::Fixed(Length::mm(self.c))),
            circle_on: CircleOn::Sensor,
            branch: Branch::Far,
            fitted: Fitted::default(),
            waves: None,
            notes: Vec::new(),
        };
        let kind = if asked.by_t { StopKind::T } else { StopKind::F };
        wanted.hold_setup(kind, &mut ()).unwrap()
    }

    fn ask(&self, asked: Asked, near: f64, far: f64) -> Held {
        let to_hold = ToHold {
            pair: Pair {
                near: distance(near),
                far: distance(far),
            },
            between: &[],
            widest: None,
            law: None,
        };
        let answer = answers::hold(&self.setup(asked), to_hold, &mut ()).unwrap();
        assert!(answer.cautious.is_none());
        answer.found
    }

    /// The same as somebody sees it who makes a mistake.
    fn seen(&self) -> Self {
        let shot = self.shot(self.near, 1.0);
        let seen = shot.seen();
        let mut two = Self {
            e: seen.e,
            p: seen.p,
            c: seen.c,
            ..*self
        };
        if made(FromTheLens) {
            two.near = seen.d;
            two.far = if self.far.is_infinite() {
                self.far
            } else {
                shot.counted_from_the_lens(self.far)
            };
        }
        two
    }

    /// What the library answers, or somebody who makes a mistake.
    pub fn hold(&self, asked: Asked) -> Found {
        let seen = self.seen();
        let as_t = asked.by_t && made(TForN);
        let asked = Asked {
            n: asked.n.map(|n| if made(TForN) { n * T_OVER_N } else { n }),
            by_t: asked.by_t && !as_t,
        };
        let held = seen.ask(asked, seen.near, seen.far);
        let mut n = held.f_number.value();
        let mut focus = mm(held.focus.reach());
        let mut half = held.half_circle.unwrap().f_number.value();
        let (near, far) = (self.near, self.far);
        if made(TForN) {
            n *= T_OVER_N;
        } else if made(UpsideDown) {
            n = 1.0 / n;
        } else if made(HarmonicMean) {
            focus = 2.0 / (1.0 / near + 1.0 / far);
        } else if made(OneThird) && far.is_finite() {
            focus = near + (far - near) / 3.0;
        } else if made(OneStopForHalf) {
            half /= f64::sqrt(2.0);
        }
        let (verdict, fixes, blur) = match held.at_stop {
            Some(at_stop) => {
                let blur = (at_stop.blur_near.to_mm(), at_stop.blur_far.to_mm());
                (Some(at_stop.held), at_stop.fixes, Some(blur))
            }
            None => (None, Vec::new(), None),
        };
        let verdict = verdict.map(|held| match held {
            Verdict::Yes if made(UpsideDown) => Verdict::No,
            Verdict::No if made(UpsideDown) => Verdict::Yes,
            held => held,
        });
        Found {
            focus,
            n,
            verdict,
            blur,
            fixes,
            half,
            marks: [held.marked.third, held.marked.half, held.marked.full].map(|mark| {
                let stop = mark.stop();
                if as_t { t_stop(stop.number()) } else { stop }
            }),
        }
    }

    /// Near and far, or far and near.
    pub fn limits_seen(&self, d: f64, n: f64) -> (f64, f64) {
        let (near, far) = self.limits(d, n);
        if made(SwapNearAndFar) {
            (far, near)
        } else {
            (near, far)
        }
    }
}

/// An answer in numbers.
#[derive(Clone, Debug)]
pub struct Found {
    pub focus: f64,
    pub n: f64,
    pub verdict: Option<Verdict>,
    pub blur: Option<(f64, f64)>,
    pub fixes: Vec<Fix>,
    /// The f-number for half the circle.
    pub half: f64,
    /// By thirds, halves and full stops.
    pub marks: [Stop; 3],
}
