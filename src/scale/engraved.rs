//! Where on a lens's own scale a distance stands: between which engraved marks,
//! and how much of the way along the ring.

use super::of_lens::LensLaw;
use super::position::RingPosition;
use crate::gear::MarkKind;
use crate::units::FocusDistance;

/// A part of the way that one judges by eye.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Part {
    over: u8,
    under: u8,
}

impl Part {
    /// All of the way.
    pub const WHOLE: Self = Self { over: 1, under: 1 };

    /// From an eighth to the whole.
    pub const ALL: [Self; 10] = [
        Self { over: 1, under: 8 },
        Self { over: 1, under: 4 },
        Self { over: 1, under: 3 },
        Self { over: 3, under: 8 },
        Self { over: 1, under: 2 },
        Self { over: 5, under: 8 },
        Self { over: 2, under: 3 },
        Self { over: 3, under: 4 },
        Self { over: 7, under: 8 },
        Self::WHOLE,
    ];

    fn share(self) -> f64 {
        f64::from(self.over) / f64::from(self.under)
    }

    /// As one letter; nothing for the whole.
    #[must_use]
    pub const fn sign(self) -> &'static str {
        match (self.over, self.under) {
            (1, 8) => "⅛",
            (1, 4) => "¼",
            (1, 3) => "⅓",
            (3, 8) => "⅜",
            (1, 2) => "½",
            (5, 8) => "⅝",
            (2, 3) => "⅔",
            (3, 4) => "¾",
            (7, 8) => "⅞",
            _ => "",
        }
    }
}

/// A place on a lens's own scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnScale {
    /// The engraved mark on the side of close focus.
    pub from: FocusDistance,
    /// The one on the side of infinity.
    pub to: FocusDistance,
    /// How much of the way along the ring from one to the other, rounded toward
    /// infinity.
    pub part: Part,
    /// Where the lens is really focused with the ring set there.
    pub focus: FocusDistance,
}

impl LensLaw<'_> {
    /// Where a distance stands on the lens's own scale, no nearer than it is;
    /// `own` is the law of that scale, `engraved` are its marks. `None` where the
    /// scale is not known, or does not go so far.
    #[must_use]
    pub fn on_scale(
        &self,
        own: &LensLaw<'_>,
        engraved: &[FocusDistance],
        distance: FocusDistance,
    ) -> Option<OnScale> {
        // Marks found by eye say where the lens focuses, not what is engraved.
        if own
            .marks
            .as_ref()
            .is_some_and(|set| set.kind == MarkKind::Eye)
        {
            return None;
        }
        let scale = own.law.clone().uncorrected();
        let here = self.place_on(own, self.law.position(distance).ok()?);
        let placed = engraved
            .iter()
            .filter_map(|&mark| Some((mark, scale.position(mark).ok()?)));
        let is_far = |place: &RingPosition| place.raw <= here.raw;
        let (far, near): (Vec<_>, Vec<_>) = placed.partition(|(_, place)| is_far(place));
        let to = far.into_iter().max_by(|a, b| a.1.raw.total_cmp(&b.1.raw))?;
        let from = near
            .into_iter()
            .min_by(|a, b| a.1.raw.total_cmp(&b.1.raw))?;
        let whole = from.1.raw - to.1.raw;
        let share = (from.1.raw - here.raw) / whole;
        // What stands on a mark to the last digits stands on it.
        let no_less = |part: &Part| part.share() >= share - 1e-9;
        Part::ALL.into_iter().filter(no_less).find_map(|part| {
            let place = RingPosition {
                raw: from.1.raw - whole * part.share(),
                ..here
            };
            let focus = self.law.distance(own.place_on(self, place))?;
            Some(OnScale {
                from: from.0,
                to: to.0,
                part,
                focus,
            })
        })
    }

    /// The same place of the ring, as another law of the lens counts.
    fn place_on(&self, other: &LensLaw<'_>, place: RingPosition) -> RingPosition {
        if self.marks.is_none() || other.marks.is_none() {
            return place;
        }
        let (zero, sign) = self.law.reading();
        other.at_number((zero + sign * place.raw) / self.factor)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::{Pupil, UnitFocus};
    use crate::scale::prep::Displacement;
    use crate::scale::{RingGiven, RingLaw};
    use crate::units::{Gain, Length, PupilMagnification};

    /// A thin 50 mm helicoid of 30 degrees a mm, engraved by computation.
    fn computed() -> LensLaw<'static> {
        let thin = Pupil::Hiatus(Length::ZERO);
        let lens = UnitFocus::new(Length::mm(50.0), thin, PupilMagnification::ONE, &mut ());
        let ring = RingGiven {
            circumference: None,
            close_focus: FocusDistance::at(Length::mm(600.0)).ok(),
        };
        LensLaw {
            law: RingLaw::helicoid(lens, Gain::new(30.0).unwrap(), ring),
            marks: None,
            factor: 1.0,
        }
    }

    fn metres(m: f64) -> FocusDistance {
        FocusDistance::at(Length::m(m)).unwrap()
    }

    fn scale() -> [FocusDistance; 4] {
        [
            metres(5.0),
            metres(10.0),
            metres(20.0),
            FocusDistance::INFINITY,
        ]
    }

    #[test]
    fn a_distance_stands_between_its_marks_by_its_part_of_the_ring_rounded_up() {
        // Along the ring 1/D counts, but for the hair of 2 f: between 10 and 20 m,
        // 12 m stands a third of the way, and a hair farther than that.
        let law = computed();
        let place = law.on_scale(&law, &scale(), metres(12.0)).unwrap();
        assert_eq!((place.from, place.to), (metres(10.0), metres(20.0)));
        assert_eq!(place.part.sign(), "⅜");
        assert!(metres(12.0).is_nearer_than(place.focus));
        // That hair puts half of the way from 20 m to infinity at 39.9 m.
        let place = law.on_scale(&law, &scale(), metres(39.8)).unwrap();
        assert!(
            place.to.is_infinite() && place.part.sign() == "½",
            "{place:?}"
        );
        // A mark's own distance stands on it.
        let place = law.on_scale(&law, &scale(), metres(10.0)).unwrap();
        assert_eq!((place.to, place.part), (metres(10.0), Part::WHOLE));
    }

    #[test]
    fn on_a_camera_that_is_off_the_place_moves_with_the_law() {
        let own = computed();
        let found = Displacement {
            error: Length::mm(0.05),
            standard_error: Length::ZERO,
        };
        let law = computed().law.corrected(found, None);
        let law = LensLaw { law, ..computed() };
        // f² / D = 2500/12000 = 0.208 mm of travel, 0.05 less on the scale; from 10 m
        // at 0.250 to 20 m at 0.125 that is 0.73 of the way.
        let place = law.on_scale(&own, &scale(), metres(12.0)).unwrap();
        assert_eq!((place.from, place.to), (metres(10.0), metres(20.0)));
        assert_eq!(place.part.sign(), "¾");
        assert!(!place.focus.is_nearer_than(metres(12.0)));
        // With the image plane too far, what is far stands beyond infinity.
        assert_eq!(law.on_scale(&own, &scale(), metres(60.0)), None);
    }
}
