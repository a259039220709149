//! From rows to readings that belong together.

use super::conclude::concluded;
use super::judged::{Judged, OnTest, PrepDay, PrepFault};
use super::limits::TAPE_ZERO_SD;
use super::own_scale::OwnScale;
use super::reading::{Bench, Taken};
use super::stops::{by_stop, disagree};
use super::suspects::sort;
use crate::formula::Record;
use crate::scale::fit::LensReading;
use crate::units::Length;

/// A lens on its way to a verdict.
pub(super) struct InHand<'a> {
    pub on: &'a OnTest<'a>,
    pub scale: OwnScale<'a>,
    pub taken: Vec<Taken>,
    /// Places of its readings among all, and their groups.
    pub from: usize,
    /// One group, or one for each stop.
    pub parts: Vec<Vec<usize>>,
    pub first_group: usize,
}

impl InHand<'_> {
    /// Its groups among all.
    pub fn groups(&self) -> Vec<usize> {
        (self.first_group..self.first_group + self.parts.len()).collect()
    }

    /// Its readings among all.
    pub fn members(&self) -> Vec<usize> {
        (self.from..self.from + self.taken.len()).collect()
    }
}

impl PrepDay<'_> {
    /// Judges the day. Lenses without a row are left out of the answer's
    /// figures but keep their place: give only lenses that were read.
    ///
    /// # Errors
    /// Every [`PrepFault`] there is.
    pub fn judge(&self, rec: &mut impl Record) -> Result<Option<Judged>, Vec<PrepFault>> {
        let mut lenses = self.take(rec)?;
        let zero_sd = Length::mm(TAPE_ZERO_SD);
        // First each stop by itself: does the focus of a lens move with it?
        for lens in &mut lenses {
            lens.parts = by_stop(&lens.taken);
        }
        if lenses.iter().any(|lens| lens.parts.len() > 1) {
            let (readings, groups) = numbered(&mut lenses);
            let Some(sorted) = sort(&readings, groups, zero_sd) else {
                return Ok(None);
            };
            for lens in &mut lenses {
                if !disagree(&sorted, &lens.groups()) {
                    lens.parts = vec![(0..lens.taken.len()).collect()];
                }
            }
        }
        let (readings, groups) = numbered(&mut lenses);
        let Some(sorted) = sort(&readings, groups, zero_sd) else {
            return Ok(None);
        };
        Ok(Some(concluded(&lenses, &sorted, rec)))
    }

    /// Every row as lens travel.
    fn take(&self, rec: &mut impl Record) -> Result<Vec<InHand<'_>>, Vec<PrepFault>> {
        let mut faults = Vec::new();
        let mut out = Vec::new();
        for on in &self.lenses {
            let scale = match OwnScale::of(on.lens, on.marks, self.camera) {
                Ok(scale) => scale,
                Err(why) => {
                    let lens = on.lens.id().clone();
                    faults.push(PrepFault::Law { lens, why });
                    continue;
                }
            };
            let bench = Bench {
                lens: on.lens,
                scale: &scale,
                hook: self.hook,
            };
            let mut taken = Vec::with_capacity(on.rows.len());
            for row in &on.rows {
                let row = if on.with_steps {
                    bench.taken(row, rec)
                } else {
                    bench.taken(row, &mut ())
                };
                match row {
                    Ok(row) => taken.push(row),
                    Err(bad) => faults.push(PrepFault::Reading(bad)),
                }
            }
            out.push(InHand {
                on,
                scale,
                taken,
                from: 0,
                parts: Vec::new(),
                first_group: 0,
            });
        }
        if faults.is_empty() {
            Ok(out)
        } else {
            Err(faults)
        }
    }
}

/// All readings in a row, each with the number of its group.
fn numbered(lenses: &mut [InHand<'_>]) -> (Vec<LensReading>, usize) {
    let mut readings = Vec::new();
    let mut groups = 0;
    for lens in lenses {
        lens.from = readings.len();
        lens.first_group = groups;
        readings.extend(lens.taken.iter().map(|row| row.as_travel));
        for (number, part) in lens.parts.iter().enumerate() {
            for &at in part {
                readings[lens.from + at].group = groups + number;
            }
        }
        groups += lens.parts.len();
    }
    (readings, groups)
}
