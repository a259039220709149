//! Circle of confusion: the blur one has agreed to call sharp.
//!
//! The circle is a diameter in the recorded image. It is a choice for a look
//! and a screen, not a constant of nature, so its rule travels with it.

use super::field::diagonal;
use crate::formula::{Record, formula};
use crate::units::{AspectRatio, Length, Unreadable, range};

/// The area of the image plane that counts: width and height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gate {
    width: Length,
    height: Length,
}

impl Gate {
    /// A gate from its sides.
    ///
    /// # Errors
    /// [`Unreadable`] when a side is not positive or out of range.
    pub fn new(width: Length, height: Length) -> Result<Self, Unreadable> {
        range::GATE_SIDE.check(width.to_mm())?;
        range::GATE_SIDE.check(height.to_mm())?;
        Ok(Self { width, height })
    }

    /// Width on the image plane.
    #[must_use]
    pub const fn width(self) -> Length {
        self.width
    }

    /// Height on the image plane.
    #[must_use]
    pub const fn height(self) -> Length {
        self.height
    }

    /// The same height with another width.
    pub(super) const fn with_width(self, width: Length) -> Self {
        Self { width, ..self }
    }

    /// From corner to corner.
    #[must_use]
    pub fn diagonal(self, rec: &mut impl Record) -> Length {
        Length::mm(diagonal(self.width.to_mm(), self.height.to_mm(), rec))
    }

    /// The largest area of a given aspect ratio that fits into the gate.
    #[must_use]
    pub fn extract(self, ratio: AspectRatio, rec: &mut impl Record) -> Self {
        let (w, h, r) = (self.width.to_mm(), self.height.to_mm(), ratio.value());
        if r * h >= w {
            Self {
                width: self.width,
                height: Length::mm(extracted_height(w, r, rec)),
            }
        } else {
            Self {
                width: Length::mm(extracted_width(h, r, rec)),
                height: self.height,
            }
        }
    }
}

formula! {
    /// Height of a picture of ratio R across the whole width.
    extracted_height(w: mm, R: ratio) -> h: mm = w / R;
    source "definition of the aspect ratio"
}

formula! {
    /// Width of a picture of ratio R over the whole height.
    extracted_width(h: mm, R: ratio) -> w: mm = h * R;
    source "definition of the aspect ratio"
}

formula! {
    /// A fraction of the gate's diagonal.
    circle_of_diagonal(d: mm, divisor: ratio) -> c: mm = d / divisor;
    source "diagonal/1500 and its kin: common practice, no source"
}

formula! {
    /// So many photosites.
    circle_of_pixels(count: ratio, w: mm, pixels: ratio) -> c: mm = count * w / pixels;
    source "pixel multiple: common practice, no source"
}

formula! {
    /// One line pair at a wanted resolution.
    circle_of_lines(R: per_mm) -> c: mm = 1.0 / R;
    source "one line pair: c = 1/R (a common variant halves it)"
}

formula! {
    /// What the eye resolves on the screen, carried back to the image.
    circle_of_viewing(w: mm, screen: mm, distance: mm, alpha: arcmin) -> c: mm
        = w / screen * distance * tan(alpha / 60.0 * pi / 180.0);
    source "visual acuity of alpha at the viewing distance, divided by the enlargement"
}

/// A circle of confusion, as a diameter on the image plane.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Circle(Length);

impl Circle {
    /// A circle from its diameter.
    ///
    /// # Errors
    /// [`Unreadable`] when not positive or out of range.
    pub fn new(diameter: Length) -> Result<Self, Unreadable> {
        range::CIRCLE.check(diameter.to_mm())?;
        Ok(Self(diameter))
    }

    /// A result of a formula over a checked circle.
    pub(super) const fn computed(diameter: Length) -> Self {
        Self(diameter)
    }

    /// The diameter on the image plane.
    #[must_use]
    pub const fn diameter(self) -> Length {
        self.0
    }

    /// How this circle stands to the gate, where that deserves a warning.
    #[must_use]
    pub fn judged_on(self, gate: Gate) -> CircleSize {
        let diagonal = gate.diagonal(&mut ()).to_mm();
        let c = self.0.to_mm();
        if c > diagonal / 1000.0 {
            CircleSize::Coarse
        } else if c < diagonal / 3000.0 {
            CircleSize::Fine
        } else {
            CircleSize::Ordinary
        }
    }
}

/// A circle beside the gate's diagonal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CircleSize {
    /// Coarser than diagonal/1000.
    Coarse,
    /// Between the two.
    Ordinary,
    /// Finer than diagonal/3000.
    Fine,
}

/// How a circle of confusion was arrived at.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(
    feature = "serde",
    derive(serde::Serialize),
    serde(rename_all = "snake_case")
)]
pub enum CircleRule {
    /// A diameter somebody chose.
    Fixed(Length),
    /// The gate's diagonal over a divisor.
    Diagonal {
        /// The divisor, usually 1000 to 3000.
        divisor: f64,
    },
    /// So many photosites of those across the gate's width.
    Pixels {
        /// How many count as sharp.
        count: f64,
        /// Photosites across the width.
        across: f64,
    },
    /// One line pair at so many line pairs a millimetre.
    Lines {
        /// Line pairs a millimetre.
        per_mm: f64,
    },
    /// A contrast that must remain; its circle goes by the focus and the stop.
    Contrast {
        /// The contrast, 0 to 1.
        contrast: f64,
        /// In how many cycles a millimetre.
        per_mm: f64,
    },
    /// What the eye resolves on a screen.
    Viewing {
        /// Width of the screen.
        screen: Length,
        /// From the eye to the screen.
        distance: Length,
        /// Resolution of the eye in minutes of arc.
        arcmin: f64,
    },
}

impl CircleRule {
    /// The circle this rule gives: on the whole gate for fractions of the
    /// diagonal and photosites, on the extracted picture for viewing.
    ///
    /// # Errors
    /// [`Unreadable`] when the result is no ordinary circle.
    pub fn circle(
        self,
        gate: Gate,
        picture: Gate,
        rec: &mut impl Record,
    ) -> Result<Circle, Unreadable> {
        let diameter = match self {
            Self::Fixed(diameter) => return Circle::new(diameter),
            Self::Diagonal { divisor } => {
                circle_of_diagonal(gate.diagonal(rec).to_mm(), divisor, rec)
            }
            Self::Pixels { count, across } => {
                circle_of_pixels(count, gate.width().to_mm(), across, rec)
            }
            // One cycle: what goes by the focus and the stop is found there.
            Self::Lines { per_mm } | Self::Contrast { per_mm, .. } => circle_of_lines(per_mm, rec),
            Self::Viewing {
                screen,
                distance,
                arcmin,
            } => circle_of_viewing(
                picture.width().to_mm(),
                screen.to_mm(),
                distance.to_mm(),
                arcmin,
                rec,
            ),
        };
        range::CIRCLE
            .check(diameter)
            .map(|mm| Circle(Length::mm(mm)))
    }
}
