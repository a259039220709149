//! Depth steps: a chain of focus distances, each one depth limit nearer than the
//! last, from far to near.

use super::confusion::Circle;
use super::conjugate::Branch;
use super::focus::Focus;
use super::focused::Focused;
use super::hold::{NoSuchLimit, focused_for_far};
use super::limits::Limits;
use crate::formula::Record;
use crate::units::{FNumber, FocusDistance};

/// How the sharp ranges of neighbouring steps meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Chain {
    /// Each focus stands at the near limit of the one before: a subject that
    /// goes soft is refocused there and then.
    #[default]
    Overlapping,
    /// Each far limit stands at the near limit of the one before: the fewest
    /// steps without a gap.
    Touching,
}

/// One depth step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DepthStep {
    /// Where to focus.
    pub focus: FocusDistance,
    /// What is sharp there.
    pub limits: Limits,
}

/// A walk down the steps, from far to near.
#[derive(Clone, Debug)]
pub struct DepthSteps<'a, L> {
    lens: &'a L,
    n: FNumber,
    circle: Circle,
    chain: Chain,
    /// Where the next step begins: its focus, or its far limit.
    from: FocusDistance,
}

impl<'a, L: Focus> DepthSteps<'a, L> {
    /// Steps from `from`: the first focus where they overlap, the first far
    /// limit where they touch.
    #[must_use]
    pub const fn new(
        lens: &'a L,
        n: FNumber,
        circle: Circle,
        chain: Chain,
        from: FocusDistance,
    ) -> Self {
        Self {
            lens,
            n,
            circle,
            chain,
            from,
        }
    }

    /// The next step toward the camera.
    ///
    /// # Errors
    /// [`NoSuchLimit`] where the lens can be set no nearer.
    pub fn next_step(&mut self, rec: &mut impl Record) -> Result<DepthStep, NoSuchLimit> {
        let set: Focused = match self.chain {
            Chain::Overlapping => {
                let setting = self.lens.setting(self.from, Branch::Far, rec)?;
                self.lens.set(setting, self.n, rec)
            }
            Chain::Touching => focused_for_far(self.lens, self.from, self.n, self.circle, rec)?,
        };
        let limits = set.limits(self.circle, rec);
        let focus = match self.chain {
            Chain::Overlapping => self.from,
            Chain::Touching => set.focus(),
        };
        self.from = limits.near;
        Ok(DepthStep { focus, limits })
    }
}
