//! Which distances deserve a figure when not all fit.

use std::sync::OnceLock;

use crate::units::{BareUnit, FocusDistance, Length, Unit, parse};

/// The table of worths.
const TABLE: &str = include_str!("../../charts/worths.csv");

/// How much it is worth that a mark has its figure; worths of figures add up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Worth(u32);

impl Worth {
    /// Worth nothing; such a figure is left out.
    pub const NONE: Self = Self(0);

    /// A worth; those of the table run from 1 to 100.
    #[must_use]
    pub const fn of(points: u32) -> Self {
        Self(points)
    }

    /// Its points.
    #[must_use]
    pub const fn points(self) -> u32 {
        self.0
    }
}

/// Whether a mark may lose its figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Duty {
    /// Without it the sheet must not be printed: the mark one lines up on.
    Required,
    /// It may give way to its neighbours.
    Wanted,
}

/// The distances usually marked, in one unit, with their worths, the farthest
/// first (`charts/worths.csv`).
#[must_use]
pub fn usual_marks(unit: Unit) -> &'static [(FocusDistance, Worth)] {
    type Marks = Vec<(FocusDistance, Worth)>;
    static FEET: OnceLock<Marks> = OnceLock::new();
    static METRES: OnceLock<Marks> = OnceLock::new();
    let read = |name: &str| {
        TABLE
            .lines()
            .filter_map(|row| from_row(row, name))
            .collect()
    };
    match unit {
        Unit::Feet => FEET.get_or_init(|| read("feet")),
        Unit::Metres => METRES.get_or_init(|| read("metres")),
    }
}

/// What a mark of [`fine_marks`] is worth.
pub(super) const FINE: Worth = Worth(10);

/// The most marks a short range is divided by.
const MOST_FINE: f64 = 40.0;

/// Round distances that divide a short range, from far to near: where something
/// attached leaves a lens a hand's breadth, the usual ones are too few.
pub(super) fn fine_marks(unit: Unit, near: Length, far: Length) -> Vec<FocusDistance> {
    let steps = match unit {
        Unit::Feet => [0.25, 0.5, 1.0, 3.0, 6.0].map(Length::inches),
        Unit::Metres => [5.0, 10.0, 20.0, 50.0, 100.0].map(Length::mm),
    };
    let range = (far - near).to_mm();
    let fits = |step: &&Length| range / step.to_mm() <= MOST_FINE;
    let Some(step) = steps.iter().find(fits).map(|step| step.to_mm()) else {
        return Vec::new();
    };
    let last = libm::floor(far.to_mm() / step) as i64;
    let first = libm::ceil(near.to_mm() / step) as i64;
    (first..=last)
        .rev()
        .filter_map(|count| FocusDistance::at(Length::mm(step * count as f64)).ok())
        .collect()
}

/// A row of this unit; `None` for others (a test holds every row to be read).
fn from_row(row: &str, unit: &str) -> Option<(FocusDistance, Worth)> {
    let mut cells = row.split(',');
    if cells.next()? != unit {
        return None;
    }
    let distance = parse::distance(cells.next()?, BareUnit::Refused(None)).ok()?;
    let points = cells.next()?.parse().ok()?;
    Some((distance, Worth(points)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Reach;

    #[test]
    fn every_row_of_the_table_is_read() {
        let rows = TABLE.lines().count() - 1;
        let read = usual_marks(Unit::Feet).len() + usual_marks(Unit::Metres).len();
        assert_eq!(read, rows);
    }

    #[test]
    fn marks_come_from_far_to_near_and_begin_at_infinity() {
        for unit in [Unit::Feet, Unit::Metres] {
            let marks = usual_marks(unit);
            assert_eq!(marks[0].0, FocusDistance::INFINITY);
            let finite: Vec<Length> = marks[1..]
                .iter()
                .filter_map(|mark| mark.0.reach().finite())
                .collect();
            assert_eq!(finite.len(), marks.len() - 1);
            assert!(finite.windows(2).all(|pair| pair[0] > pair[1]));
        }
    }

    #[test]
    fn six_feet_is_worth_more_than_five_and_a_half() {
        let worth = |millimetres: f64| {
            usual_marks(Unit::Feet)
                .iter()
                .find(|mark| mark.0.reach() == Reach::At(Length::mm(millimetres)))
                .map(|mark| mark.1)
        };
        // 1 ft = 304.8 mm exactly.
        let (six, five_and_a_half) = (worth(1828.8), worth(1676.4));
        assert!(five_and_a_half.is_some() && six > five_and_a_half);
    }
}
