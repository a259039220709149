//! A lens, stop, circle and focus as a fact gives them, and the way between the
//! points it measures from.

use markwright::optics::{Branch, Circle, Focused, Gate, Hyperfocal, UnitFocus};
use markwright::units::{FNumber, FocusDistance, Length};

use crate::depth::{distance, lens, mm};
use crate::table::Row;

pub struct Case(Row);

impl Case {
    pub fn of(inputs: &str) -> Self {
        Self(Row::of_pairs(inputs))
    }

    pub fn text(&self, key: &str) -> &str {
        self.0.text(key)
    }

    pub fn figure(&self, key: &str) -> f64 {
        self.0.figure(key)
    }

    pub fn figure_or(&self, key: &str, other: f64) -> f64 {
        self.0.figure_or(key, other)
    }

    pub fn has(&self, key: &str) -> bool {
        self.0.has(key)
    }

    /// The same fact with some of its inputs replaced.
    pub fn with(&self, changes: &[(&str, &str)]) -> Self {
        Self(self.0.with(changes))
    }

    /// The lens; one of which neither hiatus nor pupils are given is thin.
    pub fn lens(&self) -> UnitFocus {
        lens(&self.0)
    }

    pub fn n(&self) -> FNumber {
        FNumber::new(self.figure_or("n", 1.0)).unwrap()
    }

    pub fn circle(&self) -> Circle {
        Circle::new(Length::mm(self.figure("circle"))).unwrap()
    }

    /// A gate whose width is the side in question.
    pub fn gate(&self) -> Gate {
        let side = Length::mm(self.figure_or("size", 36.0));
        Gate::new(side, side).unwrap()
    }

    /// The focus distance, from the image plane as the library wants it.
    ///
    /// A distance from the lens is never handed over as it is: where the lens
    /// stands follows from it, and the image plane from that (D = u + e + v).
    pub fn focus(&self) -> FocusDistance {
        let lens = self.lens();
        let f = lens.focal_length().to_mm();
        if self.has("magnification") {
            let width = self.gate().width() / self.figure("magnification");
            return lens.distance_for_width(self.gate(), width, &mut ()).0;
        }
        let given = self.figure("focus");
        if given.is_infinite() {
            return FocusDistance::INFINITY;
        }
        let pupil_behind_h = f / lens.pupil_magnification().value() - f;
        let u = match self.text("from") {
            "image_plane" => return distance(given),
            "lens" | "front_principal" => given,
            "entrance_pupil" => given - pupil_behind_h,
            "front_focal_point" => given + f,
            other => panic!("from {other}?"),
        };
        let v = f * u / (u - f);
        distance(u + lens.hiatus().to_mm() + v)
    }

    /// The lens set to that focus.
    pub fn set(&self) -> Focused {
        self.lens()
            .at(self.focus(), Branch::Far, self.n(), &mut ())
            .unwrap()
    }

    /// How far the point distances are measured from stands in front of the
    /// image plane, at a setting.
    pub fn plane(&self, set: &Focused) -> f64 {
        let f = self.lens().focal_length().to_mm();
        let pupil = set.pupil_station().to_mm();
        let principal = pupil + f / self.lens().pupil_magnification().value() - f;
        match self.text("from") {
            "image_plane" => 0.0,
            "entrance_pupil" => pupil,
            "lens" | "front_principal" => principal,
            "front_focal_point" => principal + f,
            other => panic!("from {other}?"),
        }
    }

    /// Near and far limit from the fact's own point.
    pub fn limits(&self) -> (f64, f64) {
        self.limits_at(&self.set())
    }

    /// The same at another setting of the lens.
    pub fn limits_at(&self, set: &Focused) -> (f64, f64) {
        let limits = set.limits(self.circle(), &mut ());
        let plane = self.plane(set);
        (
            mm(limits.near.reach()) - plane,
            mm(limits.far.reach()) - plane,
        )
    }

    pub fn total(&self) -> f64 {
        mm(self.set().depth(self.circle(), &mut ()).total)
    }

    pub fn hyperfocal(&self) -> Hyperfocal {
        self.lens()
            .hyperfocal(self.n(), self.circle(), &mut ())
            .unwrap()
    }

    /// The lens set to its hyperfocal distance.
    pub fn at_hyperfocal(&self) -> Focused {
        let focus = FocusDistance::at(self.hyperfocal().from_image_plane).unwrap();
        self.lens()
            .at(focus, Branch::Far, self.n(), &mut ())
            .unwrap()
    }
}
