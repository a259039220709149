//! What is screwed to a lens: close-up lenses in front; extenders, reducers,
//! tubes and filters behind.
//!
//! Each is a way to other four numbers (q, m, A, t) at the same setting of the
//! ring; nothing else learns of them.

use core::fmt;

use super::breathing::Breathing;
use super::conjugate::{Branch, Magnification, OutOfReach, in_focus};
use super::focus::Focus;
use super::focused::Focused;
use super::unit_focus::UnitFocus;
use crate::formula::{How, Record, Told, formula};
use crate::numerics::root_between;
use crate::units::{FNumber, FocusDistance, Length, Reach};

formula! {
    /// A close-up lens seen from the entrance pupil, before the object.
    pupil_behind_close_up(z: mm, t: mm) -> d: mm = z - t;
    source "geometry: the close-up lens stands z in front of the image plane, the pupil t"
}

formula! {
    /// Beam at the close-up lens: the object's distance from it times m.
    beam_at_close_up(q: mm, m: ratio, d: mm) -> w: mm = q - m * d;
    source "m (s - d) with m s = q, s from the pupil to the object"
}

formula! {
    /// The power of a close-up lens in 1/mm.
    power_in_mm(dioptres: per_m) -> phi: per_mm = dioptres / 1000.0;
    source "one dioptre is one over a metre"
}

formula! {
    /// Magnification with a close-up lens.
    magnification_with_close_up(m: ratio, phi: per_mm, w: mm) -> m_c: ratio = m + phi * w;
    source "thin lens: 1/o = 1/(s - d) + phi and m_c = m (s - d)/o"
}

formula! {
    /// Where the pupil is seen through a close-up lens.
    pupil_through_close_up(d: mm, phi: per_mm) -> d_c: mm = d / (1.0 - phi * d);
    source "thin lens: the pupil imaged by the close-up lens"
}

formula! {
    /// How large the pupil is seen through a close-up lens.
    pupil_width_through_close_up(A: mm, phi: per_mm, d: mm) -> A_c: mm = A / (1.0 - phi * d);
    source "thin lens: lateral magnification of the pupil's image"
}

formula! {
    /// The camera constant with a close-up lens.
    camera_constant_with_close_up(w: mm, m_c: ratio, d_c: mm) -> q_c: mm = w + m_c * d_c;
    source "q = m s with s = o + d_c and m_c o = w"
}

formula! {
    /// The station of the pupil seen through a close-up lens.
    pupil_station_with_close_up(z: mm, d_c: mm) -> t_c: mm = z - d_c;
    source "geometry: the pupil's image stands d_c behind the close-up lens"
}

formula! {
    /// An extender's factor on the magnification.
    magnification_extended(m: ratio, E: ratio) -> m_E: ratio = E * m;
    source "the image is E times as large"
}

formula! {
    /// An extender's factor on the camera constant.
    camera_constant_extended(q: mm, E: ratio) -> q_E: mm = E * q;
    source "q = m s: the object's distance does not change"
}

formula! {
    /// The pupil's station behind an added length.
    pupil_station_lengthened(t: mm, y: mm) -> t_y: mm = t + y;
    source "the image plane is farther from the lens by y"
}

formula! {
    /// Magnification when the image plane moves back by y.
    magnification_lengthened(m: ratio, y: mm, f: mm) -> m_y: ratio = m + y / f;
    source "Newton: the image distance from the focal point is f m"
}

formula! {
    /// The camera constant when the image plane moves back by y.
    camera_constant_lengthened(q: mm, y: mm, p: ratio) -> q_y: mm = q + y / p;
    source "q = f (1 + m/p) with m grown by y/f"
}

formula! {
    /// How far a plate behind the lens moves the image back.
    plate_shift(thick: mm, index: ratio) -> y: mm = thick * (1.0 / index - 1.0);
    source "paraxial plate: thickness (1 - 1/n); the image plane is then too near by as much"
}

formula! {
    /// Where the lens is focused.
    focus_of(q: mm, m: ratio, t: mm) -> D: mm = q / m + t;
    source "s = q/m from the entrance pupil, and the pupil's station"
}

formula! {
    /// The lens's own magnification at a setting, from that of the whole.
    setting_of_whole(m: ratio, lengthened: ratio, E: ratio) -> m_0: ratio = (m - lengthened) / E;
    source "each extender multiplies m, each added length adds to it"
}

/// A close-up lens.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CloseUp {
    /// Its power in dioptres, above 0.
    pub dioptres: f64,
    /// Where it stands at this focus, from the image plane.
    pub at: Length,
}

/// Something behind a lens, named from the lens to the image plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Behind {
    /// An extender (factor above 1) or reducer (below 1), and how much longer
    /// it makes the whole.
    Extender {
        /// Its factor.
        factor: f64,
        /// How much farther the lens stands from the image plane.
        length: Length,
    },
    /// An extension tube.
    Tube(Length),
    /// A filter the lens was not made for.
    Filter {
        /// Its thickness.
        thickness: Length,
        /// Its refractive index.
        index: f64,
    },
}

/// The lens itself, without what is attached.
#[derive(Clone, Debug, PartialEq)]
pub enum Bare {
    /// One that focuses by moving as a whole.
    Unit(UnitFocus),
    /// One that breathes.
    Breathing(Breathing),
}

/// A lens with what is attached to it.
#[derive(Clone, Debug, PartialEq)]
pub struct Attached {
    bare: Bare,
    behind: Vec<Behind>,
    front: Vec<CloseUp>,
}

/// Why something cannot be attached.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CannotAttach {
    /// A close-up lens would stand behind the entrance pupil's image, or is so
    /// strong that the pupil has no image in front of it.
    TooStrong(CloseUp),
}

impl fmt::Display for CannotAttach {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self::TooStrong(lens) = self;
        write!(
            f,
            "a close-up lens of {} dioptres at {} mm from the image plane is too strong for the \
             entrance pupil behind it: the pupil's distance must stay under {:.1} mm",
            lens.dioptres,
            lens.at.to_mm(),
            1000.0 / lens.dioptres
        )
    }
}

impl core::error::Error for CannotAttach {}

/// The four numbers, on their way through what is attached.
#[derive(Clone, Copy)]
struct Numbers {
    q: f64,
    m: f64,
    a: f64,
    t: f64,
}

const F1: FNumber = FNumber::computed(1.0);

impl Bare {
    /// What it is focused at infinity.
    #[must_use]
    pub const fn at_infinity(&self) -> UnitFocus {
        match self {
            Self::Unit(lens) => *lens,
            Self::Breathing(lens) => lens.at_infinity(),
        }
    }

    fn numbers(&self, setting: f64, n: FNumber, rec: &mut impl Record) -> Numbers {
        let setting = Magnification::computed(setting);
        let set = match self {
            Self::Unit(lens) => lens.set(setting, n, rec),
            Self::Breathing(lens) => lens.set(setting, n, rec),
        };
        Numbers {
            q: set.camera_constant().to_mm(),
            m: set.magnification().value(),
            a: set.pupil().to_mm(),
            t: set.pupil_station().to_mm(),
        }
    }

    fn setting(
        &self,
        distance: FocusDistance,
        rec: &mut impl Record,
    ) -> Result<Magnification, OutOfReach> {
        match self {
            Self::Unit(lens) => lens.setting(distance, Branch::Far, rec),
            Self::Breathing(lens) => lens.setting(distance, Branch::Far, rec),
        }
    }

    /// What its scale reads at a setting.
    #[must_use]
    pub fn mark_at(&self, setting: Magnification) -> FocusDistance {
        match self {
            Self::Unit(lens) => lens.set(setting, F1, &mut ()).focus(),
            Self::Breathing(lens) => lens.set(setting, F1, &mut ()).focus(),
        }
    }

    fn last(&self) -> f64 {
        match self {
            Self::Unit(lens) => lens.last_setting().value(),
            Self::Breathing(lens) => lens.last_setting().value(),
        }
    }
}

impl Attached {
    /// A lens with what is behind it, from the lens to the image plane, and the
    /// close-up lenses before it, in any order.
    ///
    /// # Errors
    /// [`CannotAttach`] when a close-up lens leaves no pupil to look through.
    pub fn new(
        bare: Bare,
        behind: Vec<Behind>,
        mut front: Vec<CloseUp>,
    ) -> Result<Self, CannotAttach> {
        front.sort_by(|a, b| a.at.to_mm().total_cmp(&b.at.to_mm()));
        let whole = Self {
            bare,
            behind,
            front,
        };
        // The pupil draws away from the image plane as the lens is racked out.
        for setting in [0.0, whole.bare.last()] {
            let mut numbers = whole.through_behind(setting, F1, &mut ());
            for lens in &whole.front {
                let phi = power_in_mm(lens.dioptres, &mut ());
                let d = pupil_behind_close_up(lens.at.to_mm(), numbers.t, &mut ());
                if setting == 0.0 && phi * d >= 0.95 {
                    return Err(CannotAttach::TooStrong(*lens));
                }
                numbers = through_close_up(numbers, lens, &mut ());
            }
        }
        Ok(whole)
    }

    /// The lens itself.
    #[must_use]
    pub const fn bare(&self) -> &Bare {
        &self.bare
    }

    /// The focal length of the whole behind the close-up lenses: the lens's
    /// times each extender's factor.
    #[must_use]
    pub fn factor(&self) -> f64 {
        self.behind.iter().fold(1.0, |product, part| match part {
            Behind::Extender { factor, .. } => product * factor,
            Behind::Tube(_) | Behind::Filter { .. } => product,
        })
    }

    fn through_behind(&self, setting: f64, n: FNumber, rec: &mut impl Record) -> Numbers {
        let lens = self.bare.at_infinity();
        let (mut f, mut p) = (
            lens.focal_length().to_mm(),
            lens.pupil_magnification().value(),
        );
        let mut now = self.bare.numbers(setting, n, rec);
        for part in &self.behind {
            match *part {
                Behind::Extender { factor, length } => {
                    now.m = magnification_extended(now.m, factor, rec);
                    now.q = camera_constant_extended(now.q, factor, rec);
                    now.t = pupil_station_lengthened(now.t, length.to_mm(), rec);
                    (f, p) = (f * factor, p * factor);
                }
                Behind::Tube(length) => {
                    let y = length.to_mm();
                    now.m = magnification_lengthened(now.m, y, f, rec);
                    now.q = camera_constant_lengthened(now.q, y, p, rec);
                    now.t = pupil_station_lengthened(now.t, y, rec);
                }
                Behind::Filter { thickness, index } => {
                    let y = plate_shift(thickness.to_mm(), index, rec);
                    now.m = magnification_lengthened(now.m, y, f, rec);
                    // The image plane itself stays where it is, and so does t.
                    now.q = camera_constant_lengthened(now.q, y, p, rec);
                }
            }
        }
        now
    }

    /// What all added lengths add to the magnification, and the product of the
    /// factors: m = E·m₀ + added.
    fn line(&self) -> (f64, f64) {
        let mut f = self.bare.at_infinity().focal_length().to_mm();
        let (mut factor, mut added) = (1.0, 0.0);
        for part in &self.behind {
            match *part {
                Behind::Extender { factor: e, .. } => {
                    (factor, added, f) = (factor * e, added * e, f * e);
                }
                Behind::Tube(length) => added += length.to_mm() / f,
                Behind::Filter { thickness, index } => {
                    added += plate_shift(thickness.to_mm(), index, &mut ()) / f;
                }
            }
        }
        (added, factor)
    }

    fn whole(&self, setting: f64, n: FNumber, rec: &mut impl Record) -> Numbers {
        let behind = self.through_behind(setting, n, rec);
        let fronts = self.front.iter();
        fronts.fold(behind, |now, lens| through_close_up(now, lens, rec))
    }

    /// The farthest distance any setting focuses on; `None`: infinity and
    /// beyond.
    fn farthest(&self) -> Option<Length> {
        let far = self.whole(0.0, F1, &mut ());
        (far.m > 0.0).then(|| Length::mm(focus_of(far.q, far.m, far.t, &mut ())))
    }

    /// The farthest mark of the lens's own scale that still has a focus.
    fn farthest_mark(&self) -> Option<Length> {
        let m = |setting: f64| self.whole(setting, F1, &mut ()).m;
        let setting = root_between(m, 0.0, self.bare.last())?;
        let mark = self.bare.mark_at(Magnification::computed(setting));
        mark.reach().finite()
    }

    /// The setting at which the ring reads `mark` on the bare lens's scale, and
    /// the lens there: where the mark really focuses.
    ///
    /// # Errors
    /// [`OutOfReach`] when the bare lens has no such mark, or when the setting
    /// then lies beyond infinity.
    pub fn at_mark(
        &self,
        mark: FocusDistance,
        n: FNumber,
        rec: &mut impl Record,
    ) -> Result<Focused, OutOfReach> {
        let setting = self.bare.setting(mark, rec)?;
        if self.whole(setting.value(), n, &mut ()).m < 0.0 {
            return Err(OutOfReach::MarkBeyondInfinity {
                farthest: self.farthest_mark(),
            });
        }
        Ok(self.set(setting, n, rec))
    }
}

fn through_close_up(now: Numbers, lens: &CloseUp, rec: &mut impl Record) -> Numbers {
    let phi = power_in_mm(lens.dioptres, rec);
    let z = lens.at.to_mm();
    let d = pupil_behind_close_up(z, now.t, rec);
    let w = beam_at_close_up(now.q, now.m, d, rec);
    let m = magnification_with_close_up(now.m, phi, w, rec);
    let d_c = pupil_through_close_up(d, phi, rec);
    Numbers {
        m,
        a: pupil_width_through_close_up(now.a, phi, d, rec),
        q: camera_constant_with_close_up(w, m, d_c, rec),
        t: pupil_station_with_close_up(z, d_c, rec),
    }
}

impl Focus for Attached {
    fn set(&self, setting: Magnification, n: FNumber, rec: &mut impl Record) -> Focused {
        let Numbers { q, m, a, t } = self.whole(setting.value(), n, rec);
        let focus = if m > 0.0 {
            let distance = focus_of(q, m, t, rec);
            FocusDistance::computed(Reach::At(Length::mm(distance)))
        } else {
            FocusDistance::INFINITY
        };
        Focused {
            camera_constant: Length::mm(q),
            magnification: Magnification::computed(m.max(0.0)),
            pupil: Length::mm(a),
            pupil_station: Length::mm(t),
            focus,
        }
    }

    fn setting(
        &self,
        distance: FocusDistance,
        branch: Branch,
        rec: &mut impl Record,
    ) -> Result<Magnification, OutOfReach> {
        // Positive where the setting focuses nearer than the distance.
        let excess = |setting: f64| {
            let now = self.whole(setting, F1, &mut ());
            match distance.reach() {
                Reach::At(d) => now.m * (d.to_mm() - now.t) - now.q,
                Reach::Infinity => now.m,
            }
        };
        let last = self.bare.last();
        // Beyond 1:1 of the whole the distance grows again.
        let turn = self.unity(last);
        let (from, to) = match branch {
            Branch::Far => (0.0, turn),
            Branch::Macro => (turn, last),
        };
        let (at_from, at_to) = (excess(from), excess(to));
        let exact = |setting: f64| Ok(Magnification::computed(setting));
        // The distance at either end comes back with its last digits changed.
        let scale = self.whole(from, F1, &mut ()).q.abs();
        if at_from.abs() <= scale * 1e-13 {
            return exact(from);
        }
        let Some(found) = root_between(excess, from, to) else {
            return match (branch, self.farthest()) {
                (Branch::Far, Some(farthest)) if at_from > 0.0 => {
                    Err(OutOfReach::BeyondFarthest { farthest })
                }
                (Branch::Far, None) if at_from > 0.0 => Err(OutOfReach::BeyondInfinity),
                (Branch::Macro, _) if distance.is_infinite() => Err(OutOfReach::MacroAtInfinity),
                _ if at_to.abs() <= scale * 1e-13 => exact(to),
                _ => Err(OutOfReach::InsideRows {
                    nearest: self.closest(),
                }),
            };
        };
        let Reach::At(distance) = distance.reach() else {
            return exact(found);
        };
        let how = How::Solved {
            bracket: (from, to),
            residual: excess(found),
        };
        let now = self.whole(found, F1, &mut ());
        if !self.front.is_empty() {
            let told = &mut Told { rec, how };
            in_focus(now.q, distance.to_mm(), now.t, told);
            return exact(found);
        }
        let m = in_focus(now.q, distance.to_mm(), now.t, &mut Told { rec, how });
        let (added, factor) = self.line();
        exact(setting_of_whole(m, added, factor, rec))
    }

    fn last_setting(&self) -> Magnification {
        Magnification::computed(self.unity(self.bare.last()))
    }

    fn closest(&self) -> Length {
        let now = self.whole(self.unity(self.bare.last()), F1, &mut ());
        Length::mm(focus_of(now.q, now.m, now.t, &mut ()))
    }
}

impl Attached {
    /// The setting at which the image is as large as the object, at most the
    /// last.
    fn unity(&self, last: f64) -> f64 {
        let beyond = |setting: f64| self.whole(setting, F1, &mut ()).m - 1.0;
        if beyond(last) <= 0.0 {
            return last;
        }
        root_between(beyond, 0.0, last).unwrap_or(0.0)
    }
}
