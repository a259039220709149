//! What the lens's own scale reads under attachments, and what its stop then is.

use super::setup::{DepthSetup, Setup};
use crate::optics::Focus;
use crate::units::{FNumber, FocusDistance, Stop, TNumber};

impl Setup {
    /// What the lens's own scale reads when it is focused on a distance: that
    /// distance, but where something is attached; `None` out of its reach.
    #[must_use]
    pub fn scale_reads(&self, distance: FocusDistance) -> Option<FocusDistance> {
        let setting = self.lens.setting(distance, self.branch, &mut ()).ok()?;
        if self.fitted.voids_the_scale() {
            Some(self.lens.mark_at(setting))
        } else {
            Some(distance)
        }
    }

    /// Where the lens is focused when its own scale reads a mark; `None` where
    /// that is beyond infinity.
    #[must_use]
    pub fn focus_at_mark(&self, mark: FocusDistance) -> Option<FocusDistance> {
        let setting = self.lens.setting_at_mark(mark, &mut ()).ok()?;
        let f1 = FNumber::computed(1.0);
        Some(self.lens.set(setting, f1, &mut ()).focus())
    }
}

impl DepthSetup {
    /// The stop as sheets call it: with an extender that of the whole, and what
    /// the lens's own ring says.
    #[must_use]
    pub fn stop_in_words(&self) -> String {
        let factor = self.setup.lens.light_factor();
        let own = self.exposure.stop;
        if factor == 1.0 {
            return own.to_string();
        }
        let whole = match own {
            Stop::F(n) => Stop::F(n.times(factor)),
            Stop::T(t) => Stop::T(TNumber::computed(t.value() * factor)),
        };
        format!("{whole} ({own} on the lens)")
    }
}
