//! Anamorphic lenses, a meridian at a time: the vertical one is the lens as it
//! is named, the horizontal one is squeezed.

use super::confusion::{Circle, Gate};
use super::conjugate::magnification_for_width;
use super::focused::Focused;
use crate::formula::{Record, formula};
use crate::units::{AspectRatio, Length, Ratio};

formula! {
    /// The camera constant of the squeezed meridian.
    camera_constant_squeezed(q: mm, S: ratio) -> q_x: mm = q / S;
    source "the image is S times narrower: f_x = f_y/S"
}

formula! {
    /// The magnification of the squeezed meridian.
    magnification_squeezed(m: ratio, S: ratio) -> m_x: ratio = m / S;
    source "the image is S times narrower"
}

formula! {
    /// The pupil's width seen through a squeezing front.
    pupil_squeezed(A: mm, S: ratio) -> A_x: mm = A / S;
    source "front afocal anamorphot: the pupil is an oval, S times as high as wide"
}

formula! {
    /// A circle that is round on the screen, in the squeezed meridian.
    circle_squeezed(c: mm, S: ratio) -> c_x: mm = c / S;
    source "the screen spreads the width S times"
}

formula! {
    /// The width of the gate once it is spread again.
    desqueezed_width(w: mm, S: ratio) -> w_S: mm = w * S;
    source "the screen spreads the width S times"
}

formula! {
    /// The aspect ratio on the image plane.
    squeezed_aspect(R: ratio, S: ratio) -> R_S: ratio = R / S;
    source "the screen spreads the width S times"
}

/// Which part of an anamorphic lens squeezes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(
    feature = "serde",
    derive(serde::Serialize),
    serde(rename_all = "lowercase")
)]
pub enum Anamorph {
    /// The front: the pupil seen from the front is an oval.
    Front,
    /// The rear, behind the iris: the pupil is round.
    Rear,
}

/// How much a lens squeezes the width, and with which part.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Squeeze {
    /// How many times, 1 to 3.
    pub ratio: Ratio,
    /// The part.
    pub part: Anamorph,
}

impl Squeeze {
    /// The horizontal meridian of a lens whose vertical one is `vertical`. Both
    /// share the focus and the pupil's station: that is the model's limit.
    #[must_use]
    pub fn horizontal(self, vertical: &Focused, rec: &mut impl Record) -> Focused {
        let s = self.ratio.value();
        let q = camera_constant_squeezed(vertical.camera_constant.to_mm(), s, rec);
        let m = magnification_squeezed(vertical.magnification.value(), s, rec);
        let pupil = match self.part {
            Anamorph::Front => Length::mm(pupil_squeezed(vertical.pupil.to_mm(), s, rec)),
            Anamorph::Rear => vertical.pupil,
        };
        Focused {
            camera_constant: Length::mm(q),
            magnification: super::Magnification::computed(m),
            pupil,
            ..*vertical
        }
    }
}

/// A picture as the screen shows it, its width spread again.
#[must_use]
pub fn desqueezed(picture: Gate, squeeze: Option<Squeeze>, rec: &mut impl Record) -> Gate {
    match squeeze {
        None => picture,
        Some(squeeze) => {
            let width = desqueezed_width(picture.width().to_mm(), squeeze.ratio.value(), rec);
            picture.with_width(Length::mm(width))
        }
    }
}

/// The magnification, in the vertical meridian, at which a width fills the gate's.
#[must_use]
pub fn magnification_of_framed(
    gate: Gate,
    squeeze: Option<Squeeze>,
    framed: Length,
) -> super::Magnification {
    let screen = desqueezed(gate, squeeze, &mut ()).width();
    let m = magnification_for_width(screen.to_mm(), framed.to_mm(), &mut ());
    super::Magnification::computed(m)
}

/// The aspect ratio on the image plane of one on the screen, where it can be.
#[must_use]
pub fn squeezed_ratio(
    screen: AspectRatio,
    squeeze: Option<Squeeze>,
    rec: &mut impl Record,
) -> AspectRatio {
    squeeze
        .map(|squeeze| squeezed_aspect(screen.value(), squeeze.ratio.value(), rec))
        .and_then(|ratio| AspectRatio::new(ratio).ok())
        .unwrap_or(screen)
}

/// The circle in the squeezed meridian that is round on the screen.
#[must_use]
pub fn circle_on_screen(circle: Circle, squeeze: Squeeze, rec: &mut impl Record) -> Circle {
    let (c, s) = (circle.diameter().to_mm(), squeeze.ratio.value());
    Circle::computed(Length::mm(circle_squeezed(c, s, rec)))
}
