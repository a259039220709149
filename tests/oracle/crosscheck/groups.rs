//! Lenses of thin groups with a stop, by 2×2 matrices: where the library's own
//! numbers (f, hiatus, pupil ratio) come from, and rays to try them with.

use markwright::optics::{Pupil, UnitFocus};
use markwright::units::{Length, PupilMagnification};

/// Height and slope out of height and slope in.
#[derive(Clone, Copy)]
struct Matrix([f64; 4]);

impl Matrix {
    const ONE: Self = Self([1.0, 0.0, 0.0, 1.0]);

    fn gap(length: f64) -> Self {
        Self([1.0, length, 0.0, 1.0])
    }

    fn group(focal: f64) -> Self {
        Self([1.0, 0.0, -1.0 / focal, 1.0])
    }

    /// What light meets next.
    fn then(self, next: Self) -> Self {
        let (Self([a, b, c, d]), Self([e, f, g, h])) = (self, next);
        Self([e * a + f * c, e * b + f * d, g * a + h * c, g * b + h * d])
    }
}

/// A focal length and where that group stands.
type Group = (f64, f64);

/// A lens of thin groups, image side last, and where its stop stands.
pub struct Groups {
    parts: &'static [Group],
    stop: f64,
}

impl Groups {
    /// The invented lenses of crosscheck.py.
    pub fn named(name: &str) -> Self {
        let (parts, stop): (&[Group], f64) = match name {
            "two-group retrofocus" => (&[(-90.0, 0.0), (45.0, 60.0)], 52.0),
            "strong retrofocus" => (&[(-60.0, 0.0), (32.0, 75.0)], 70.0),
            "two-group telephoto" => (&[(80.0, 0.0), (-70.0, 55.0)], 8.0),
            "two positive groups" => (&[(95.0, 0.0), (90.0, 25.0)], 12.0),
            "three groups" => (&[(70.0, 0.0), (-40.0, 14.0), (48.0, 30.0)], 17.0),
            "stop in front" => (&[(50.0, 10.0)], 0.0),
            "stop behind" => (&[(-120.0, 0.0), (40.0, 45.0)], 58.0),
            other => panic!("no lens {other}"),
        };
        Self { parts, stop }
    }

    /// From station `a` to station `b` through the groups that `take` picks.
    fn through(&self, a: f64, b: f64, take: impl Fn(f64) -> bool) -> Matrix {
        let (mut whole, mut here) = (Matrix::ONE, a);
        for &(focal, at) in self.parts.iter().filter(|(_, at)| take(*at)) {
            whole = whole
                .then(Matrix::gap(at - here))
                .then(Matrix::group(focal));
            here = at;
        }
        whole.then(Matrix::gap(b - here))
    }

    /// Focal length, hiatus and pupil magnification.
    pub fn cardinal(&self) -> (f64, f64, f64) {
        let (first, last) = (self.parts[0].1, self.parts[self.parts.len() - 1].1);
        let Matrix([a, _, c, d]) = self.through(first, last, |_| true);
        let f = -1.0 / c;
        let (h, h2) = (first + f * (1.0 - d), last - f * (1.0 - a));
        (f, h2 - h, self.exit_ratio() / self.entrance_ratio())
    }

    pub fn lens(&self) -> UnitFocus {
        let (f, e, p) = self.cardinal();
        UnitFocus::new(
            Length::mm(f),
            Pupil::Hiatus(Length::mm(e)),
            PupilMagnification::new(p).unwrap(),
            &mut (),
        )
    }

    /// From the entrance of the foremost group in front of the stop to the stop.
    fn before_stop(&self) -> Matrix {
        let start = self.parts[0].1.min(self.stop);
        self.through(start, self.stop, |at| at < self.stop)
    }

    /// Where the stop seems to stand, seen from the object.
    pub fn entrance_pupil(&self) -> f64 {
        let Matrix([a, b, ..]) = self.before_stop();
        // A ray from there meets the stop's centre: a·0 + (b + a·x) = 0.
        self.parts[0].1.min(self.stop) + b / a
    }

    /// The entrance pupil's size over the stop's.
    fn entrance_ratio(&self) -> f64 {
        // Height at the stop for height at the pupil, ray parallel: 1/a of the matrix.
        let Matrix([a, ..]) = self.before_stop();
        1.0 / a
    }

    /// The exit pupil's size over the stop's.
    fn exit_ratio(&self) -> f64 {
        let last = self.parts[self.parts.len() - 1].1.max(self.stop);
        let Matrix([.., d]) = self.through(self.stop, last, |at| at >= self.stop);
        1.0 / d
    }

    /// Diameter in the image plane of the cone that an axis point fills the
    /// entrance pupil with.
    pub fn blur(&self, object: f64, image_plane: f64, pupil: f64) -> f64 {
        let slope = pupil / 2.0 / (self.entrance_pupil() - object);
        let Matrix([_, b, ..]) = self.through(object, image_plane, |_| true);
        2.0 * (b * slope).abs()
    }
}
