//! What a law through marks is worth: its standard error, the mark that does not
//! belong, and the help of the engraved scale.

use super::blend::helping;
use super::errors::STRANGE;
use super::knot::{Knot, sd_in_degrees, strangest};
use super::law::RingLaw;
use super::of_lens::{LensLaw, NoLaw, given};
use crate::gear::{Lens, Mark, MarkKind, Marks};
use crate::optics::{Branch, Magnification};
use crate::units::{Angle, FocusDistance, Ratio};

/// Degrees from infinity to close focus on a ring nobody measured: typical of
/// cine lenses, from memory.
pub(super) const TYPICAL_TRAVEL: Angle = Angle::deg(300.0);

/// A mark that does not belong to the others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OddMark<'a> {
    /// The mark.
    pub mark: &'a Mark,
    /// How far it stands from where the others put it, as a share of the scale.
    pub share: Ratio,
    /// The same over what both may be off.
    pub in_sd: Ratio,
    /// Whether that is no chance.
    pub is_sure: bool,
}

impl<'a> LensLaw<'a> {
    /// Its marks as points, toward close focus.
    pub(super) fn knots_of(&self, lens: &Lens) -> Vec<Knot> {
        let marks = self.marks.as_ref().map_or(&[][..], |set| &set.rows);
        self.as_knots(lens, marks)
    }

    fn as_knots(&self, lens: &Lens, marks: &[&Mark]) -> Vec<Knot> {
        let law = &self.law;
        let (f, m) = (law.lens().focal_length().to_mm(), |distance| {
            law.lens()
                .magnification(distance, Branch::Far, &mut ())
                .map(Magnification::value)
        });
        let degrees = law.degrees().unwrap_or_else(|| {
            let travel = lens.ring().travel().unwrap_or(TYPICAL_TRAVEL);
            travel.to_deg() / span(lens, law)
        });
        // The mean gain does for what a tape may be off.
        let close = m(lens.close_focus()).unwrap_or(1.0);
        let gain = degrees * span(lens, law) / (f * close);
        let knot = |mark: &&Mark| {
            let m = m(mark.distance).ok()?;
            Some(Knot {
                m,
                place: self.at_number(mark.position.value()).raw,
                sd: sd_in_degrees(mark, m, gain, self.factor * degrees) / degrees,
            })
        };
        marks.iter().filter_map(knot).collect()
    }

    /// The law with engraved marks between those found by eye, where they know
    /// more of its shape.
    pub(super) fn helped_by_engraving(
        self,
        lens: &Lens,
        marks: &'a Marks,
        camera: Option<&str>,
    ) -> Result<Self, NoLaw> {
        let Some(set) = self.marks.as_ref().filter(|set| set.kind == MarkKind::Eye) else {
            return Ok(self);
        };
        let Some(engraved) = marks
            .own_scale(camera)
            .filter(|set| set.kind == MarkKind::Engraved)
        else {
            return Ok(self);
        };
        let scale = self.as_knots(lens, &engraved.rows);
        let help = helping(self.law.knots(), &scale);
        if help.is_empty() || scale.len() != engraved.rows.len() {
            return Ok(self);
        }
        let (zero, sign) = self.law.reading();
        let own = set.rows.iter().map(|mark| {
            let at = mark.position.value() * self.factor;
            (mark.distance, at)
        });
        let helping = help
            .iter()
            .map(|(number, knot)| (engraved.rows[*number].distance, zero + sign * knot.place));
        let points: Vec<(FocusDistance, f64)> = own.chain(helping).collect();
        let (measure, standing) = (self.law.measure(), self.law.standing());
        let optics = self.law.lens();
        let Ok(law) = RingLaw::through_marks(optics, &points, measure, standing, given(lens))
        else {
            // Without help the marks make a law.
            return Ok(self);
        };
        let mut knots = self.law.knots().to_vec();
        knots.extend(help.into_iter().map(|(_, knot)| knot));
        knots.sort_by(|a, b| a.m.total_cmp(&b.m));
        let law = law.with_knots(knots);
        Ok(Self { law, ..self })
    }

    /// The mark that is strangest, each inner one held against a smooth curve
    /// through its neighbours; `None` with fewer than five.
    #[must_use]
    pub fn odd_mark(&self, lens: &Lens) -> Option<OddMark<'a>> {
        let set = self.marks.as_ref()?;
        let found = strangest(&self.knots_of(lens))?;
        let share = (found.off / span(lens, &self.law)).abs();
        Some(OddMark {
            mark: set.rows.get(found.at)?,
            share: Ratio::new(share).ok()?,
            in_sd: Ratio::new(found.in_sd).ok()?,
            is_sure: found.in_sd.abs() > STRANGE,
        })
    }
}

/// The whole scale, in the law's measure.
fn span(lens: &Lens, law: &RingLaw) -> f64 {
    let m = law
        .lens()
        .magnification(lens.close_focus(), Branch::Far, &mut ());
    let close = m.map_or(1.0, Magnification::value);
    law.raw(close) - law.raw(0.0)
}
