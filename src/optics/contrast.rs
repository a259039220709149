//! Depth by contrast: the blur at which detail has just the wanted contrast.
//!
//! That blur is the circle of confusion for the depth formulas. It depends on
//! the working f-number, so each focus distance has its own.

use core::fmt;

use super::confusion::{Circle, circle_of_lines};
use super::conjugate::Magnification;
use super::detail::{Detail, Limiting, defocus};
use super::diffraction::airy;
use super::focus::Focus;
use super::focused::{BehindPupil, Focused};
use super::hold::{NoSuchLimit, focused_for_far};
use super::limits::kappa;
use super::otf::{FIRST_LOBE, STEEPEST};
use crate::formula::{How, Record, Told};
use crate::numerics::root_between;
use crate::units::{Contrast, FNumber, FocusDistance, Length, Light, Ratio, SpatialFrequency};

/// The circle as wide as one cycle of detail: where no focus is known yet, it
/// stands for the circle of a wanted contrast.
#[must_use]
pub fn one_cycle(frequency: SpatialFrequency, rec: &mut impl Record) -> Circle {
    Circle::computed(Length::mm(circle_of_lines(frequency.value(), rec)))
}

/// Not even in focus does detail reach the wanted contrast.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MtfUnreachable {
    /// What was wanted.
    pub contrast: Contrast,
    /// In how fine a detail.
    pub frequency: SpatialFrequency,
    /// Contrast in focus, the most there is; below zero where photosites turn
    /// light into dark.
    pub best: Ratio,
    /// The finest detail that reaches the wanted contrast in focus.
    pub largest_frequency: SpatialFrequency,
    /// The working f-number down to which one may close for it; `None` where the
    /// photosites alone are too coarse.
    pub darkest: Option<FNumber>,
}

/// Figures are rounded to the side on which the contrast is reached.
impl fmt::Display for MtfUnreachable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let down = |value: f64| libm::floor(value * 100.0) / 100.0;
        let (contrast, frequency) = (self.contrast.value(), self.frequency.value());
        write!(
            f,
            "contrast {contrast} at {frequency} cycles/mm is out of reach: even in focus it is \
             {:.3}; {contrast} is reached up to {} cycles/mm",
            self.best.value(),
            down(self.largest_frequency.value()),
        )?;
        match self.darkest {
            Some(n) => write!(f, ", or at a working f-number up to {}", down(n.value())),
            None => f.write_str(" and, for these photosites, at no stop"),
        }
    }
}

impl core::error::Error for MtfUnreachable {}

/// A blur that was searched for, and how.
struct Solved {
    blur: Length,
    bracket: (f64, f64),
    residual: f64,
}

impl Detail {
    /// The blur at which contrast first comes down to what is wanted, going out
    /// of focus: the circle of confusion for depth at that contrast.
    ///
    /// # Errors
    /// [`MtfUnreachable`] when there is not more than that in focus.
    pub fn circle_at(
        &self,
        wanted: Contrast,
        working_f_number: FNumber,
        rec: &mut impl Record,
    ) -> Result<Circle, MtfUnreachable> {
        let best = self.in_focus(working_f_number, rec);
        let solved = self
            .solve(wanted, working_f_number, best)
            .ok_or_else(|| self.unreachable(wanted, working_f_number, best))?;
        self.note(&solved, rec);
        Ok(Circle::computed(solved.blur))
    }

    /// Records how it was found: the transfer function cannot be turned round, so
    /// the step shows how its argument hangs together with the blur, the circle of
    /// the answer.
    fn note(&self, solved: &Solved, rec: &mut impl Record) {
        let (bracket, residual) = (solved.bracket, solved.residual);
        let how = How::Solved { bracket, residual };
        let (b, nu) = (solved.blur.to_mm(), self.frequency.value());
        defocus(b, nu, &mut Told { rec, how });
    }

    /// Searches for the blur; `None` where contrast in focus is not above what
    /// is wanted.
    fn solve(&self, wanted: Contrast, n_w: FNumber, best: Ratio) -> Option<Solved> {
        let (wanted, best) = (wanted.value(), best.value());
        if best <= wanted {
            return None;
        }
        let photosites = self.photosites();
        let left = |a: f64| self.lens_contrast(a, n_w) * photosites - wanted;
        // As far as the shortest wavelength falls, all fall: one crossing at most.
        let finest = 1.0 - self.sigma_at(self.light.shortest(), n_w, &mut ());
        let (mut near, mut far) = (0.0, FIRST_LOBE / finest);
        let mut over = left(far);
        // One wavelength is below zero there. Several may not be; contrast falls
        // no faster than this, so no step leaps over a crossing, but for one that
        // grazes the wanted contrast for less than the least step.
        let steepest = STEEPEST * finest * best;
        let least = far / 64.0;
        while over > 0.0 {
            near = far;
            far = near + (over / steepest).max(least);
            over = left(far);
        }
        let a = root_between(left, near, far).filter(|&a| a > 0.0)?;
        let blur = a / (core::f64::consts::PI * self.frequency.value());
        Some(Solved {
            blur: Length::mm(blur),
            bracket: (near, far),
            residual: left(a),
        })
    }

    fn unreachable(&self, contrast: Contrast, n_w: FNumber, best: Ratio) -> MtfUnreachable {
        let wanted = contrast.value();
        // In focus contrast falls with frequency from 1 down to nought at the
        // cut-off or at one cycle a photosite, whichever comes first.
        let mm = self.light.shortest().length().to_mm();
        let cut_off = 1.0 / (mm * n_w.value());
        let end = match self.pitch {
            Some(pitch) => cut_off.min(1.0 / pitch.length().to_mm()),
            None => cut_off,
        };
        let coarser = |nu: f64| Self {
            frequency: SpatialFrequency::computed(nu),
            ..self.clone()
        };
        let over = |nu: f64| coarser(nu).in_focus(n_w, &mut ()).value() - wanted;
        let largest = root_between(over, end * 1e-12, end).unwrap_or(0.0);
        let end = 1.0 / (mm * self.frequency.value());
        let over = |n: f64| self.in_focus(FNumber::computed(n), &mut ()).value() - wanted;
        // No root where the photosites alone leave less than is wanted.
        let darkest = root_between(over, end * 1e-12, end);
        MtfUnreachable {
            contrast,
            frequency: self.frequency,
            best,
            largest_frequency: SpatialFrequency::computed(largest),
            darkest: darkest.map(FNumber::computed),
        }
    }
}

impl Focused {
    /// The Airy diameter of a light at this focus and stop.
    #[must_use]
    pub fn airy(&self, light: &Light, rec: &mut impl Record) -> Length {
        airy(light, self.working_f_number(&mut ()), rec)
    }

    /// The circle of confusion that stands for a contrast, at this focus and stop.
    ///
    /// # Errors
    /// [`MtfUnreachable`] when there is not more than that in focus.
    pub fn circle_at(
        &self,
        wanted: Contrast,
        detail: &Detail,
        rec: &mut impl Record,
    ) -> Result<Circle, MtfUnreachable> {
        detail.circle_at(wanted, self.working_f_number(&mut ()), rec)
    }

    /// Contrast of detail on an object; negative where light and dark have
    /// changed places.
    ///
    /// # Errors
    /// [`BehindPupil`] when the object stands at or behind the entrance pupil.
    pub fn contrast(&self, object: FocusDistance, detail: &Detail) -> Result<Ratio, BehindPupil> {
        let blur = self.blur(object, &mut ())?;
        Ok(detail.contrast(blur, self.working_f_number(&mut ())))
    }

    /// What keeps detail of this blur from being sharper; for [`Focused::limits`]
    /// the blur is their circle.
    #[must_use]
    pub fn limiting(&self, blur: Length, detail: &Detail) -> Limiting {
        detail.limiting(blur, self.working_f_number(&mut ()))
    }
}

/// Why there is no hyperfocal focus for a contrast.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoHyperfocal {
    /// Not even at infinity focus is there more contrast than that.
    Unreachable(MtfUnreachable),
    /// No setting has its far limit at infinity.
    NoSuchLimit(NoSuchLimit),
}

/// The hyperfocal focus of a contrast, at which infinity just has it, and the
/// circle that stands for the contrast there.
///
/// Both hang together: the circle goes by the working f-number, and that by the
/// focus, at which infinity is blurred to just the circle.
///
/// # Errors
/// [`NoHyperfocal`] when the contrast is out of reach, or no setting has its far
/// limit at infinity.
pub fn hyperfocal_at_contrast(
    lens: &impl Focus,
    n: FNumber,
    wanted: Contrast,
    detail: &Detail,
    rec: &mut impl Record,
) -> Result<(Focused, Circle), NoHyperfocal> {
    let set = |setting: f64| lens.set(Magnification::computed(setting), n, &mut ());
    let circle_of = |set: &Focused| set.circle_at(wanted, detail, &mut ());
    let infinity = |set: &Focused| set.pupil().to_mm() * set.magnification().value();
    // Where the light cone is too slim for the contrast nothing may be blurred.
    let over = |setting: f64| {
        let set = set(setting);
        let circle = circle_of(&set).map_or(0.0, |circle| circle.diameter().to_mm());
        infinity(&set) - circle
    };
    let at_infinity = circle_of(&set(0.0)).map_err(NoHyperfocal::Unreachable)?;
    let last = lens.last_setting().value();
    let circle = match root_between(over, 0.0, last) {
        Some(setting) => Circle::computed(Length::mm(infinity(&set(setting)))),
        // No setting has it; which way, the search for one with this circle says.
        None => circle_of(&set(last)).unwrap_or(at_infinity),
    };
    let focused = focused_for_far(lens, FocusDistance::INFINITY, n, circle, rec)
        .map_err(NoHyperfocal::NoSuchLimit)?;
    // What the setting rests on, told where the pupil is known.
    kappa(circle.diameter().to_mm(), focused.pupil().to_mm(), rec);
    let n_w = focused.working_f_number(rec);
    let best = detail.in_focus(n_w, rec);
    if let Some(solved) = detail.solve(wanted, n_w, best) {
        let blur = circle.diameter();
        detail.note(&Solved { blur, ..solved }, rec);
    }
    Ok((focused, circle))
}
