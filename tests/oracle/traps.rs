//! The mistakes that are easily made with these formulas, each as a sentence
//! and a check that the library does not make it. Figures are worked examples
//! of facts.csv or follow from the definition in the sentence.

mod circles;
mod conjugates;
mod depth;
mod fields;
mod ring;
mod stops;
mod waves;

use markwright::gear::{CircleOn, Fitted, LensFigures, Wanted};
use markwright::optics::{Branch, Circle, CircleRule, Focused, Gate, Pupil, UnitFocus};
use markwright::units::{FNumber, Length, PupilMagnification, Stop};

use crate::depth::{distance, mm};

/// A lens of focal length, hiatus and pupil magnification.
fn lens(f: f64, e: f64, p: f64) -> UnitFocus {
    UnitFocus::new(
        Length::mm(f),
        Pupil::Hiatus(Length::mm(e)),
        PupilMagnification::new(p).unwrap(),
        &mut (),
    )
}

fn set(lens: UnitFocus, d: f64, n: f64) -> Focused {
    let n = FNumber::new(n).unwrap();
    lens.at(distance(d), Branch::Far, n, &mut ()).unwrap()
}

fn circle(mm: f64) -> Circle {
    Circle::new(Length::mm(mm)).unwrap()
}

fn gate(w: f64, h: f64) -> Gate {
    Gate::new(Length::mm(w), Length::mm(h)).unwrap()
}

fn total(set: Focused, c: f64) -> f64 {
    mm(set.depth(circle(c), &mut ()).total)
}

fn limits(set: Focused, c: f64) -> (f64, f64) {
    let limits = set.limits(circle(c), &mut ());
    (mm(limits.near.reach()), mm(limits.far.reach()))
}

/// A lens of which nothing but the focal length is known.
fn wanted(f: f64, stop: Stop) -> Wanted {
    Wanted {
        lens: LensFigures {
            focal_length: Length::mm(f),
            pupil: None,
            pupil_magnification: None,
            transmittance: None,
        },
        stop: Some(stop),
        frame: None,
        circle: Some(CircleRule::Fixed(Length::mm(0.025))),
        branch: Branch::Far,
        circle_on: CircleOn::Sensor,
        fitted: Fitted::default(),
        waves: None,
        notes: Vec::new(),
    }
}
