//! Any kind of lens, as setups hold it.

use super::attachment::{
    Attached, Bare, CloseUp, f_number_extended, focal_length_extended, t_number_extended,
};
use super::breathing::Breathing;
use super::confusion::{Circle, Gate};
use super::conjugate::{Branch, Magnification, OutOfReach, magnification_for_width};
use super::field::AngleOfView;
use super::focus::Focus;
use super::focused::Focused;
use super::hold::focused_for_far;
use super::limits::kappa;
use super::unit_focus::UnitFocus;
use crate::formula::{How, Record, Told};
use crate::numerics::root_between;
use crate::units::{FNumber, FocusDistance, Length, PupilMagnification, Reach, TNumber};

/// A lens of any kind.
#[derive(Clone, Debug, PartialEq)]
pub enum AnyLens {
    /// One that focuses by moving as a whole.
    Unit(UnitFocus),
    /// One that breathes.
    Breathing(Box<Breathing>),
    /// One with something attached.
    Attached(Box<Attached>),
}

impl AnyLens {
    /// What the lens itself is, focused at infinity and with nothing attached.
    #[must_use]
    pub fn bare(&self) -> UnitFocus {
        match self {
            Self::Unit(lens) => *lens,
            Self::Breathing(lens) => lens.at_infinity(),
            Self::Attached(whole) => whole.bare().at_infinity(),
        }
    }

    /// The focal length at infinity focus, of the whole with an extender.
    #[must_use]
    pub fn focal_length(&self, rec: &mut impl Record) -> Length {
        let own = self.bare().focal_length().to_mm();
        let whole = self
            .extenders()
            .fold(own, |f, e| focal_length_extended(f, e, rec));
        Length::mm(whole)
    }

    /// The f-number of the whole where the lens itself has one.
    #[must_use]
    pub fn f_number(&self, own: FNumber, rec: &mut impl Record) -> FNumber {
        let whole = self
            .extenders()
            .fold(own.value(), |n, e| f_number_extended(n, e, rec));
        FNumber::computed(whole)
    }

    /// The T-number of the whole where the lens itself has one.
    #[must_use]
    pub fn t_number(&self, own: TNumber, rec: &mut impl Record) -> TNumber {
        let whole = self
            .extenders()
            .fold(own.value(), |t, e| t_number_extended(t, e, rec));
        TNumber::computed(whole)
    }

    fn extenders(&self) -> impl Iterator<Item = f64> {
        let whole = match self {
            Self::Attached(whole) => Some(whole),
            Self::Unit(_) | Self::Breathing(_) => None,
        };
        whole.into_iter().flat_map(|whole| whole.factors())
    }

    /// The hiatus of the lens itself.
    #[must_use]
    pub fn hiatus(&self) -> Length {
        self.bare().hiatus()
    }

    /// The pupil magnification of the lens itself.
    #[must_use]
    pub fn pupil_magnification(&self) -> PupilMagnification {
        self.bare().pupil_magnification()
    }

    /// By how much an extender multiplies f- and T-numbers; 1 without.
    #[must_use]
    pub fn light_factor(&self) -> f64 {
        self.extenders().product()
    }

    /// What the lens's own scale reads at a setting, whatever is attached.
    #[must_use]
    pub fn mark_at(&self, setting: Magnification) -> FocusDistance {
        let f1 = FNumber::computed(1.0);
        match self {
            Self::Unit(lens) => lens.distance_at(setting, &mut ()),
            Self::Breathing(lens) => lens.set(setting, f1, &mut ()).focus(),
            Self::Attached(whole) => whole.bare().mark_at(setting),
        }
    }

    /// The focus whose far limit is infinity; `None` where no setting has one.
    #[must_use]
    pub fn hyperfocal_focus(
        &self,
        n: FNumber,
        circle: Circle,
        rec: &mut impl Record,
    ) -> Option<Focused> {
        let set = focused_for_far(self, FocusDistance::INFINITY, n, circle, rec).ok()?;
        // What the setting rests on, told where the pupil is known.
        kappa(circle.diameter().to_mm(), set.pupil().to_mm(), rec);
        Some(set)
    }

    /// Angles of view at the ring's infinity mark.
    #[must_use]
    pub fn angles_at_infinity(&self, gate: Gate, rec: &mut impl Record) -> AngleOfView {
        let infinity = Magnification::computed(0.0);
        let set = self.set(infinity, FNumber::computed(1.0), rec);
        set.angles(gate, rec)
    }

    /// The lens focused at `distance` for fields of view, which do not depend
    /// on the stop.
    ///
    /// # Errors
    /// [`OutOfReach`] when no setting focuses there.
    pub fn framing(
        &self,
        distance: FocusDistance,
        branch: Branch,
        rec: &mut impl Record,
    ) -> Result<Focused, OutOfReach> {
        match self {
            Self::Unit(lens) => lens.framing(distance, branch, rec),
            Self::Breathing(_) | Self::Attached(_) => {
                self.at(distance, branch, FNumber::computed(1.0), rec)
            }
        }
    }

    /// The focus distance at which `width` fills the gate's width.
    ///
    /// # Errors
    /// [`OutOfReach`] where no setting of the ordinary range frames so little, or
    /// with what is attached so much.
    pub fn distance_for_width(
        &self,
        gate: Gate,
        width: Length,
        rec: &mut impl Record,
    ) -> Result<(FocusDistance, Magnification), OutOfReach> {
        let m = match self {
            Self::Unit(lens) => return Ok(lens.distance_for_width(gate, width, rec)),
            Self::Breathing(_) | Self::Attached(_) => {
                magnification_for_width(gate.width().to_mm(), width.to_mm(), rec)
            }
        };
        let f1 = FNumber::computed(1.0);
        let of = |setting: f64| self.set(Magnification::computed(setting), f1, &mut ());
        let short = |setting: f64| of(setting).magnification().value() - m;
        let Some(found) = root_between(short, 0.0, self.last_setting().value()) else {
            return Err(match of(0.0).focus().reach() {
                Reach::At(farthest) if short(0.0) > 0.0 => OutOfReach::BeyondFarthest { farthest },
                _ => OutOfReach::InsideRows {
                    nearest: self.closest(),
                },
            });
        };
        let how = How::Solved {
            bracket: (0.0, self.last_setting().value()),
            residual: short(found),
        };
        let told = &mut Told { rec, how };
        let (m, found) = (Magnification::computed(m), Magnification::computed(found));
        let setting = self.setting_with(m, found, told);
        let set = self.set(setting, f1, rec);
        Ok((set.focus(), set.magnification()))
    }

    /// The lens for one that only moves as a whole.
    #[must_use]
    pub const fn unit(&self) -> Option<UnitFocus> {
        match self {
            Self::Unit(lens) => Some(*lens),
            Self::Breathing(_) | Self::Attached(_) => None,
        }
    }

    /// The setting at which its ring reads `mark`.
    ///
    /// # Errors
    /// [`OutOfReach`] when it has no such mark, or really focuses beyond
    /// infinity there.
    pub fn setting_at_mark(
        &self,
        mark: FocusDistance,
        rec: &mut impl Record,
    ) -> Result<Magnification, OutOfReach> {
        match self {
            Self::Attached(whole) => whole.setting_at_mark(mark, rec),
            Self::Unit(_) | Self::Breathing(_) => self.setting(mark, Branch::Far, rec),
        }
    }

    /// The farthest distance any setting of the ordinary range focuses on; `None`:
    /// infinity.
    #[must_use]
    pub fn farthest(&self) -> Option<Length> {
        match self.setting(FocusDistance::INFINITY, Branch::Far, &mut ()) {
            Err(OutOfReach::BeyondFarthest { farthest }) => Some(farthest),
            _ => None,
        }
    }

    /// The close-up lenses before it, from the lens to the object.
    #[must_use]
    pub fn front(&self) -> &[CloseUp] {
        match self {
            Self::Attached(whole) => whole.front(),
            Self::Unit(_) | Self::Breathing(_) => &[],
        }
    }
}

impl From<Bare> for AnyLens {
    fn from(bare: Bare) -> Self {
        match bare {
            Bare::Unit(lens) => Self::Unit(lens),
            Bare::Breathing(lens) => Self::Breathing(lens),
        }
    }
}

impl Focus for AnyLens {
    fn set(&self, setting: Magnification, n: FNumber, rec: &mut impl Record) -> Focused {
        match self {
            Self::Unit(lens) => lens.set(setting, n, rec),
            Self::Breathing(lens) => lens.set(setting, n, rec),
            Self::Attached(whole) => whole.set(setting, n, rec),
        }
    }

    fn setting(
        &self,
        distance: FocusDistance,
        branch: Branch,
        rec: &mut impl Record,
    ) -> Result<Magnification, OutOfReach> {
        match self {
            Self::Unit(lens) => lens.setting(distance, branch, rec),
            Self::Breathing(lens) => lens.setting(distance, branch, rec),
            Self::Attached(whole) => whole.setting(distance, branch, rec),
        }
    }

    fn at(
        &self,
        distance: FocusDistance,
        branch: Branch,
        n: FNumber,
        rec: &mut impl Record,
    ) -> Result<Focused, OutOfReach> {
        match self {
            Self::Unit(lens) => Focus::at(lens, distance, branch, n, rec),
            Self::Breathing(lens) => lens.at(distance, branch, n, rec),
            Self::Attached(whole) => whole.at(distance, branch, n, rec),
        }
    }

    fn setting_with(
        &self,
        m: Magnification,
        found: Magnification,
        rec: &mut impl Record,
    ) -> Magnification {
        match self {
            Self::Unit(_) | Self::Breathing(_) => m,
            Self::Attached(whole) => whole.setting_with(m, found, rec),
        }
    }

    fn last_setting(&self) -> Magnification {
        match self {
            Self::Unit(lens) => lens.last_setting(),
            Self::Breathing(lens) => lens.last_setting(),
            Self::Attached(whole) => whole.last_setting(),
        }
    }

    fn closest(&self) -> Length {
        match self {
            Self::Unit(lens) => lens.closest(),
            Self::Breathing(lens) => lens.closest(),
            Self::Attached(whole) => whole.closest(),
        }
    }
}
