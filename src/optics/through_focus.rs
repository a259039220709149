//! Contrast against distance, for a curve.

use core::f64::consts::PI;

use super::confusion::Circle;
use super::detail::Detail;
use super::focused::Focused;
use super::otf::FIRST_LOBE;
use crate::units::{FNumber, FocusDistance, Length, Ratio};

/// How far out a curve goes, in lengths of the first lobe: past the first zero
/// and the reversal after it.
const LOBES: f64 = 1.6;

/// Most points a curve has on each side of the focus.
const MOST: usize = 2000;

/// One point of a curve of contrast through focus.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct ContrastPoint {
    /// Where the detail stands.
    #[cfg_attr(feature = "serde", serde(rename = "distance_mm"))]
    pub distance: FocusDistance,
    /// Diameter of its blur on the image plane, + behind the focus, − in front.
    #[cfg_attr(feature = "serde", serde(rename = "blur_mm"))]
    pub blur: Length,
    /// Its contrast; negative where light and dark have changed places.
    pub contrast: Ratio,
}

impl Focused {
    /// Contrast of detail against its distance, from near to far, the focus
    /// among them.
    ///
    /// The points lie at even steps of blur, so that the curve is as finely drawn
    /// on either side, and reach past the first zero of contrast; on the far side
    /// infinity ends them where its blur is smaller than that.
    ///
    /// - `each_side`: points on each side of the focus, from 1 to 2000.
    #[must_use]
    pub fn through_focus(&self, detail: &Detail, each_side: usize) -> Vec<ContrastPoint> {
        let each_side = each_side.clamp(1, MOST);
        let n_w = self.working_f_number(&mut ());
        let step = reach(detail, n_w) / each_side as f64;
        let point = |distance, blur| ContrastPoint {
            distance,
            blur,
            contrast: detail.contrast(blur, n_w),
        };
        let (mut near, mut far) = (Vec::new(), Vec::new());
        let mut infinite = self.focus().is_infinite();
        for i in 1..=each_side {
            let blur = Length::mm(step * i as f64);
            let limits = self.limits(Circle::computed(blur), &mut ());
            near.push(point(limits.near, -blur));
            if infinite {
                continue;
            }
            infinite = limits.far.is_infinite();
            let blur = if infinite {
                self.pupil() * self.magnification().value()
            } else {
                blur
            };
            far.push(point(limits.far, blur));
        }
        near.reverse();
        near.push(point(self.focus(), Length::ZERO));
        near.extend(far);
        near
    }
}

/// The blur a curve goes out to, in mm.
fn reach(detail: &Detail, n_w: FNumber) -> f64 {
    let sigma = detail.sigma_at(detail.light.shortest(), n_w, &mut ());
    // Near the cut-off a lobe is without end, and there is little to see.
    let passed = (1.0 - sigma).max(0.1);
    LOBES * FIRST_LOBE / (passed * PI * detail.frequency.value())
}
