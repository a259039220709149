//! A ring's law on a camera whose image plane is off: where distances really
//! stand, counted as the ring's own scale counts.

use super::knot;
use super::law::RingLaw;
use super::position::RingPosition;
use super::prep::Displacement;
use crate::formula::Record;
use crate::numerics::math::sqrt;
use crate::optics::{Branch, undisplaced_magnification};
use crate::units::{Angle, FocusDistance};

impl RingLaw {
    /// The law on a camera whose image plane is off by what was found there: the
    /// zero stays that of the ring's own scale, distances move.
    ///
    /// `hard_stop` is how far the ring turns beyond its infinity mark, where
    /// that is known: what stands farther is out of reach.
    #[must_use]
    pub fn corrected(self, found: Displacement, hard_stop: Option<Angle>) -> Self {
        let f = self.lens().focal_length().to_mm();
        let moved = found.error.to_mm() / f;
        let (far, near) = self.told();
        let stop = hard_stop.and_then(|turn| {
            let place = RingPosition {
                raw: -turn.to_deg() / self.degrees()?,
                measure: self.measure(),
                circumference: self.ring().circumference,
            };
            self.magnification_at(place)
        });
        // The scale of a ring goes on beyond its infinity mark.
        let farthest = if far <= 0.0 {
            stop.map_or(0.0, |stop| stop + moved)
        } else {
            far + moved
        };
        let told = (farthest.max(0.0), (near + moved).min(near));
        self.moved(found, told)
    }

    /// What the ring's own scale stands for at a magnification: theta = theta_0 +
    /// G (f m - delta), for with the image plane delta too far the lens stands delta
    /// nearer to infinity.
    pub(super) fn on_scale(&self, m: f64, rec: &mut impl Record) -> f64 {
        match self.correction() {
            None => m,
            Some(found) => {
                let f = self.lens().focal_length().to_mm();
                undisplaced_magnification(m, found.error.to_mm(), f, rec)
            }
        }
    }

    /// What the place of a distance may be off, from what the marks may be off
    /// and the image-plane error it is corrected for: one standard deviation;
    /// `None` where neither is known or the law does not tell the distance.
    #[must_use]
    pub fn standard_error(&self, distance: FocusDistance) -> Option<RingPosition> {
        let place = self.position(distance).ok()?;
        let lens = self.lens();
        let m = lens.magnification(distance, Branch::Far, &mut ()).ok()?;
        let m = m.value();
        let of_marks = knot::told(self.knots(), self.on_scale(m, &mut ())).map(|(_, sd)| sd);
        let of_plane = self
            .correction()
            .map(|found| self.slope(m) * found.standard_error.to_mm());
        let raw = match (of_marks, of_plane) {
            (None, None) => return None,
            (one, other) => {
                let (one, other) = (one.unwrap_or(0.0), other.unwrap_or(0.0));
                sqrt(one * one + other * other)
            }
        };
        Some(RingPosition { raw, ..place })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::UnitFocus;
    use crate::scale::{RingGiven, real_focus};
    use crate::units::{Gain, Length, PupilMagnification, Reach};

    fn lens() -> UnitFocus {
        let f = Length::mm(50.0);
        let thin = crate::optics::Pupil::Hiatus(Length::ZERO);
        UnitFocus::new(f, thin, PupilMagnification::ONE, &mut ())
    }

    fn law() -> RingLaw {
        let ring = RingGiven {
            circumference: None,
            close_focus: FocusDistance::at(Length::mm(600.0)).ok(),
        };
        RingLaw::helicoid(lens(), Gain::new(30.0).unwrap(), ring)
    }

    fn found(error: f64, standard_error: f64) -> Displacement {
        Displacement {
            error: Length::mm(error),
            standard_error: Length::mm(standard_error),
        }
    }

    fn at(law: &RingLaw, distance: FocusDistance) -> f64 {
        law.position(distance).unwrap().turn().unwrap().to_deg()
    }

    fn metres(m: f64) -> FocusDistance {
        FocusDistance::at(Length::m(m)).unwrap()
    }

    #[test]
    fn every_distance_moves_by_one_turn_g_delta() {
        // theta = theta_0 + G (f m - delta): 30 deg/mm and 0.02 mm make 0.6 deg.
        let corrected = law().corrected(found(0.02, 0.0), None);
        for distance in [FocusDistance::INFINITY, metres(5.0), metres(0.6)] {
            let moved = at(&corrected, distance) - at(&law(), distance);
            assert!((moved + 0.6).abs() < 1e-9, "{moved}");
        }
    }

    #[test]
    fn a_distance_stands_where_the_engraved_mark_really_focuses() {
        // Engraved 1, 2, 5, 10 m, infinity with 0.02 mm: the table of the
        // flange-focal-distance error, to its last digit.
        let corrected = law().corrected(found(0.02, 0.0), None);
        let table = [(1.0, 0.994), (2.0, 1.972), (5.0, 4.815), (10.0, 9.274)];
        for (engraved, real) in table {
            let mark = metres(engraved);
            let exact = real_focus(lens(), mark, Length::mm(0.02), &mut ()).unwrap();
            let Reach::At(length) = exact.reach() else {
                panic!("a finite mark focuses at a finite distance");
            };
            assert!((length.to_mm() / 1000.0 - real).abs() < 6e-4);
            assert!((at(&corrected, exact) - at(&law(), mark)).abs() < 1e-9);
        }
    }

    #[test]
    fn what_the_ring_cannot_reach_is_not_told() {
        // Too far by 0.02 mm, infinity stands 0.6 deg beyond the infinity mark.
        let free = law().corrected(found(0.02, 0.0), Some(Angle::deg(1.0)));
        assert!(free.tells(FocusDistance::INFINITY));
        let stopped = law().corrected(found(0.02, 0.0), Some(Angle::ZERO));
        assert!(!stopped.tells(FocusDistance::INFINITY));
        // f^2 / delta = 125 m from the front focal point.
        assert!(stopped.tells(metres(125.0)) && !stopped.tells(metres(125.2)));
        // Too near, the close-focus mark focuses farther off than it says.
        let near = law().corrected(found(-0.02, 0.0), None);
        assert!(near.tells(FocusDistance::INFINITY) && !near.tells(metres(0.6)));
        assert!(near.tells(metres(0.602)));
    }

    #[test]
    fn what_the_correction_may_be_off_is_in_every_place() {
        let corrected = law().corrected(found(0.04, 0.01), None);
        let sd = corrected.standard_error(metres(2.0)).unwrap();
        // G times the standard error.
        assert!((sd.turn().unwrap().to_deg() - 0.3).abs() < 1e-9);
        assert_eq!(law().standard_error(metres(2.0)), None);
    }
}
