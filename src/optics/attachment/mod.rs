//! What is screwed to a lens: close-up lenses in front; extenders, reducers,
//! tubes and filters behind.
//!
//! Each is a way to other four numbers (q, m, A, t) at the same setting of the
//! ring; nothing else learns of them.

mod bare;
mod behind;
mod close_up;

use core::fmt;

use super::conjugate::{Branch, Magnification, OutOfReach, focus_of, in_focus};
use super::focus::Focus;
use super::focused::Focused;
use crate::formula::{How, Record, Told};
use crate::numerics::root_between;
use crate::units::{FNumber, FocusDistance, Length, Reach};
use behind::Rear;

pub(super) use behind::{f_number_extended, focal_length_extended, t_number_extended};

pub use bare::Bare;
pub use behind::{Behind, image_moved_by_filter};
pub use close_up::CloseUp;

/// The four numbers, on their way through what is attached.
#[derive(Clone, Copy)]
struct Numbers {
    q: f64,
    m: f64,
    a: f64,
    t: f64,
}

const F1: FNumber = FNumber::computed(1.0);

/// Why something cannot be attached.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CannotAttach {
    /// A close-up lens is so strong that the entrance pupil is seen through it
    /// at infinity or not at all.
    TooStrong(CloseUp),
    /// A close-up lens would stand at or behind the entrance pupil.
    InsideTheLens {
        /// The close-up lens.
        close_up: CloseUp,
        /// The pupil's distance in front of the image plane.
        pupil: Length,
    },
    /// Something stands behind an extender that, as it is described, cannot be
    /// thin, so that nobody knows where it takes the lens's image from.
    PlaceUnknown(Behind),
    /// No setting makes a real image of a real object.
    NoRealFocus,
}

impl fmt::Display for CannotAttach {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooStrong(lens) => write!(
                f,
                "a close-up lens of {} dioptres at {} mm from the image plane is too strong for \
                 the entrance pupil behind it, which would have to be nearer to it than {:.1} mm",
                lens.dioptres,
                lens.at.to_mm(),
                950.0 / lens.dioptres
            ),
            Self::InsideTheLens { close_up, pupil } => write!(
                f,
                "a close-up lens at {} mm from the image plane would stand inside the lens, whose \
                 entrance pupil is {:.1} mm in front of the image plane",
                close_up.at.to_mm(),
                pupil.to_mm()
            ),
            Self::PlaceUnknown(_) => f.write_str(
                "nothing can be reckoned behind an extender unless it makes the whole longer (a \
                 reducer shorter): give how much, as 1.4+15mm or 0.71-8mm",
            ),
            Self::NoRealFocus => {
                f.write_str("with that attached no setting of the lens focuses on anything")
            }
        }
    }
}

impl core::error::Error for CannotAttach {}

/// A lens with what is attached to it.
#[derive(Clone, Debug, PartialEq)]
pub struct Attached {
    bare: Bare,
    behind: Vec<Behind>,
    rear: Rear,
    front: Vec<CloseUp>,
    /// The last place of the ring, or of what the lens is told for.
    last: f64,
    /// Whether the ring is known to end there.
    ring_ends: bool,
    /// Where distances stop drawing nearer: the end of the ordinary range.
    turn: f64,
}

impl Attached {
    /// A lens with what is behind it, from the lens to the image plane, and the
    /// close-up lenses before it, in any order. Its ring may end before the
    /// lens's optics would: at `close_focus` of its own scale.
    ///
    /// # Errors
    /// [`CannotAttach`] when the whole would be no lens.
    pub fn new(
        bare: Bare,
        behind: Vec<Behind>,
        mut front: Vec<CloseUp>,
        close_focus: Option<FocusDistance>,
    ) -> Result<Self, CannotAttach> {
        front.sort_by(|a, b| a.at.to_mm().total_cmp(&b.at.to_mm()));
        let rear = Rear::of(&behind, &mut ())?;
        let end = close_focus.and_then(|close| bare.setting(close, &mut ()).ok());
        let last = end.map_or(bare.last(), Magnification::value);
        let mut whole = Self {
            bare,
            behind,
            rear,
            front,
            last,
            ring_ends: end.is_some(),
            turn: last,
        };
        whole.turn = whole.find_turn();
        // The pupil draws away from the image plane as the lens is racked out:
        // at the infinity mark it is seen through most.
        let mut numbers = whole.through_behind(0.0, F1, &mut ());
        for lens in &whole.front {
            if lens.is_too_strong(numbers.t) {
                return Err(CannotAttach::TooStrong(*lens));
            }
            numbers = lens.before(numbers, &mut ());
        }
        if whole.whole(whole.turn, F1, &mut ()).m <= 0.0 {
            return Err(CannotAttach::NoRealFocus);
        }
        Ok(whole)
    }

    /// The lens itself.
    #[must_use]
    pub const fn bare(&self) -> &Bare {
        &self.bare
    }

    /// The factor of each extender as it is named, from the lens to the image
    /// plane.
    pub(super) fn factors(&self) -> impl Iterator<Item = f64> {
        self.behind.iter().filter_map(|part| match part {
            Behind::Extender { factor, .. } => Some(*factor),
            Behind::Tube { .. } | Behind::Filter { .. } => None,
        })
    }

    /// The close-up lenses, from the lens to the object.
    #[must_use]
    pub fn front(&self) -> &[CloseUp] {
        &self.front
    }

    /// A close-up lens that stands at or behind the entrance pupil, and where
    /// that is.
    #[must_use]
    pub fn inside_the_lens(&self) -> Option<(CloseUp, Length)> {
        let pupil = self.through_behind(0.0, F1, &mut ()).t;
        let inside = self.front.iter().find(|lens| lens.at.to_mm() <= pupil);
        inside.map(|lens| (*lens, Length::mm(pupil)))
    }

    fn through_behind(&self, setting: f64, n: FNumber, rec: &mut impl Record) -> Numbers {
        let lens = self.bare.numbers(setting, n, rec);
        let f = self.bare.focal_length(setting);
        let p = self.bare.at_infinity().pupil_magnification().value();
        // Told anew for whoever keeps the steps; it could be made, so it can.
        let rear = Rear::of(&self.behind, rec).unwrap_or(self.rear);
        rear.behind(&self.behind, lens, (f, p), rec)
    }

    fn whole(&self, setting: f64, n: FNumber, rec: &mut impl Record) -> Numbers {
        let behind = self.through_behind(setting, n, rec);
        let fronts = self.front.iter();
        fronts.fold(behind, |now, lens| lens.before(now, rec))
    }

    /// The distance of a setting that focuses on one.
    fn focus(&self, setting: f64) -> Length {
        let now = self.whole(setting, F1, &mut ());
        Length::mm(focus_of(now.q, now.m, now.t, &mut ()))
    }

    /// The last setting that may focus on a distance beyond 1:1: the end of the
    /// ring, or, of a lens told by its figures alone, as far as the lens would
    /// have to stand off if all of the distance lay behind it.
    fn macro_end(&self, distance: FocusDistance) -> f64 {
        match (&self.bare, self.ring_ends, distance.reach()) {
            (Bare::Unit(lens), false, Reach::At(distance)) => {
                let most = distance.to_mm() / lens.focal_length().to_mm();
                most.max(self.last)
            }
            _ => self.last,
        }
    }

    /// The setting at which the ring reads `mark` on the bare lens's scale:
    /// where that really focuses is another matter.
    ///
    /// # Errors
    /// [`OutOfReach`] when the bare lens has no such mark, or when the setting
    /// then lies beyond infinity.
    pub fn setting_at_mark(
        &self,
        mark: FocusDistance,
        rec: &mut impl Record,
    ) -> Result<Magnification, OutOfReach> {
        let setting = self.bare.setting(mark, rec)?;
        if self.whole(setting.value(), F1, &mut ()).m < 0.0 {
            let infinity = self.setting(FocusDistance::INFINITY, Branch::Far, &mut ());
            let farthest = infinity.ok().map(|setting| self.bare.mark_at(setting));
            return Err(OutOfReach::MarkBeyondInfinity {
                farthest: farthest.and_then(|mark| mark.reach().finite()),
            });
        }
        Ok(setting)
    }

    /// The setting at which distances stop drawing nearer, at most the last.
    fn find_turn(&self) -> f64 {
        match &self.bare {
            // Where the lens alone would make the image as large as the object.
            Bare::Unit(lens) => {
                let lengthened = self.rear.length / lens.focal_length().to_mm();
                (1.0 - lengthened).max(0.0).min(self.last)
            }
            Bare::Breathing(_) => {
                // 1/D, which has no infinity in its way.
                let vergence = |setting: f64| {
                    let now = self.through_behind(setting, F1, &mut ());
                    now.m / (now.q + now.m * now.t)
                };
                first_summit(vergence, self.last)
            }
        }
    }

    /// The settings of the ordinary range. So much may be behind the lens that
    /// even at its infinity mark the image is larger than the object: then
    /// distances grow from there on, and that is all there is.
    fn ordinary(&self) -> (f64, f64) {
        if self.turn > 0.0 {
            (0.0, self.turn)
        } else {
            (0.0, self.last)
        }
    }

    /// The lens's own magnification from that of the whole, step by step; the
    /// numbers on the way are those of the setting that was found.
    fn undone(&self, found: f64, m: f64, rec: &mut impl Record) -> f64 {
        let mut behind = vec![self.through_behind(found, F1, &mut ())];
        for lens in &self.front {
            if let Some(&now) = behind.last() {
                behind.push(lens.before(now, &mut ()));
            }
        }
        let fronts = self.front.iter().zip(&behind).rev();
        let m = fronts.fold(m, |m, (lens, &now)| lens.undone(m, now, rec));
        self.rear.undone(m, self.bare.focal_length(found), rec)
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
        let (from, to) = match branch {
            Branch::Far => self.ordinary(),
            Branch::Macro => (self.turn, self.macro_end(distance)),
        };
        let (at_from, at_to) = (excess(from), excess(to));
        // The distance at either end comes back with its last digits changed.
        let rounding = 1e-13 * self.whole(from, F1, &mut ()).q.abs();
        if from == 0.0 && at_from.abs() <= rounding {
            return Ok(Magnification::computed(0.0));
        }
        let found = match root_between(excess, from, to) {
            Some(found) => found,
            None if at_to.abs() <= rounding => to,
            None if distance.is_infinite() && branch == Branch::Macro => {
                return Err(OutOfReach::MacroAtInfinity);
            }
            None if at_from > 0.0 => {
                let (from, to) = (self.focus(from), self.focus(to));
                return Err(OutOfReach::BeyondFarthest {
                    farthest: from.max(to),
                });
            }
            None => {
                return Err(OutOfReach::InsideRows {
                    nearest: self.closest(),
                });
            }
        };
        let how = How::Solved {
            bracket: (from, to),
            residual: excess(found),
        };
        let told = &mut Told { rec, how };
        let now = self.whole(found, F1, &mut ());
        let m = match distance.reach() {
            Reach::At(distance) => in_focus(now.q, distance.to_mm(), now.t, told),
            Reach::Infinity => 0.0,
        };
        Ok(Magnification::computed(self.undone(found, m, told)))
    }

    fn setting_with(
        &self,
        m: Magnification,
        found: Magnification,
        rec: &mut impl Record,
    ) -> Magnification {
        Magnification::computed(self.undone(found.value(), m.value(), rec))
    }

    fn last_setting(&self) -> Magnification {
        Magnification::computed(self.turn)
    }

    fn closest(&self) -> Length {
        self.focus(self.turn)
    }
}

/// Where a function first stops rising, from 0 on to `last`.
fn first_summit(f: impl Fn(f64) -> f64, last: f64) -> f64 {
    const LOOKS: i32 = 200;
    let at = |look: i32| last * f64::from(look) / f64::from(LOOKS);
    let Some(falls) = (0..LOOKS).find(|&look| f(at(look)) >= f(at(look + 1))) else {
        return last;
    };
    let (mut from, mut to) = (at((falls - 1).max(0)), at(falls + 1));
    // Thirds: at the summit itself a function is too flat to be split finer.
    for _ in 0..60 {
        let third = (to - from) / 3.0;
        if f(from + third) < f(to - third) {
            from += third;
        } else {
            to -= third;
        }
    }
    // Where it falls from the start on, the start is the summit.
    if from <= 0.0 { 0.0 } else { from }
}
