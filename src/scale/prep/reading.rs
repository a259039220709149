//! A row of prep day as lens travel: what the scale said, where the chart
//! stood, and what either may be off.

use super::own_scale::OwnScale;
use crate::formula::{Record, formula};
use crate::gear::{Lens, LensId, PrepRow, Reading};
use crate::optics::{Branch, Magnification, OutOfReach, axial_distance};
use crate::scale::errors::{RING_SD, tape_sd};
use crate::scale::fit::{LensReading, travel_per_tape};
use crate::scale::settings::{Mean, mean};
use crate::units::{Angle, FocusDistance, Length, Reach, Stop};

formula! {
    /// What one reading may be off, as lens travel.
    sd_of_reading(ring: deg, G: deg_per_mm, k: settings, a: ratio, tape: mm) -> sd: mm
        = sqrt(ring / G * (ring / G) / k + a * tape * (a * tape));
    source "ring and tape err apart from one another; k settings are averaged"
}

/// Why a row of prep day is no reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Unusable {
    /// The tape is no longer than the hook is beside the axis.
    InsideHook {
        /// How far the hook is beside the axis.
        hook: Length,
    },
    /// The chart stood nearer than the lens goes; the nearest it does go to.
    ChartTooNear(FocusDistance),
    /// The scale goes nowhere near that reading; its ends.
    OffScale {
        /// Its nearest distance.
        close_focus: FocusDistance,
        /// Its turn from the infinity mark to there.
        travel: Angle,
    },
}

/// A row of prep day that is no reading.
#[derive(Clone, Debug, PartialEq)]
pub struct BadReading {
    /// The line of the file.
    pub line: usize,
    /// The lens.
    pub lens: LensId,
    /// Why.
    pub why: Unusable,
}

/// A row as it was taken.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Taken {
    pub line: usize,
    pub stop: Stop,
    pub taped: FocusDistance,
    /// On the engraved scale, several settings averaged.
    pub reading: Option<FocusDistance>,
    /// As an angle, several settings averaged.
    pub turn: Option<Angle>,
    /// How many settings count.
    pub settings: usize,
    /// Whether one of the settings was left out.
    pub one_left_out: bool,
    /// As lens travel; its group is not known yet.
    pub as_travel: LensReading,
    /// What one setting of the ring may be off.
    pub ring_sd: Angle,
    /// What the tape may be off.
    pub tape_sd: Length,
    /// Degrees for a millimetre of travel, there.
    pub gain: f64,
}

/// How many standard deviations off the end of the scale a reading may lie: a
/// misreading may, a slip of the pen lies farther.
const MISREAD: f64 = 30.0;
/// How many standard deviations a tape may be off before a chart is too near.
const TAPE_OFF: f64 = 4.0;
/// No image plane is off by more than this many mm: by so much the ring may
/// stand beyond the ends of its scale.
const WORST_PLANE: f64 = 0.5;

/// What stands round a row.
#[derive(Clone, Copy)]
pub(super) struct Bench<'a> {
    pub lens: &'a Lens,
    pub scale: &'a OwnScale<'a>,
    pub hook: Length,
}

impl Bench<'_> {
    /// The row as lens travel.
    pub fn taken(&self, row: &PrepRow, rec: &mut impl Record) -> Result<Taken, BadReading> {
        let bad = |why| BadReading {
            line: row.line,
            lens: row.lens.clone(),
            why,
        };
        let chart = self.chart(row.taped, rec).map_err(bad)?;
        let optics = self.scale.lens();
        let m = optics
            .magnification(chart, Branch::Far, rec)
            .map_err(|_| bad(Unusable::ChartTooNear(self.lens.close_focus())))?
            .value();
        let expected = optics.focal_length().to_mm() * m;
        let gain = self.scale.gain(expected);
        let ring = row.reading_sd.unwrap_or(RING_SD).to_deg();
        let tape = row.taped_sd.unwrap_or_else(|| tape_sd(row.taped)).to_mm();
        let slope = travel_per_tape(m.min(0.999), rec);
        let travels = self
            .travels(&row.reading)
            .ok_or_else(|| bad(self.off_scale()))?;
        let Mean {
            value,
            kept,
            scatter,
        } = mean(&travels, ring / gain);
        let as_declared = scatter == ring / gain;
        let ring = if as_declared { ring } else { scatter * gain };
        let sd = sd_of_reading(ring, gain, kept.len() as f64, slope, tape, rec);
        // The tape may be off too, by far less than a slip of the pen.
        if self.is_off(expected - TAPE_OFF * slope * tape, ring) {
            return Err(bad(Unusable::ChartTooNear(self.lens.close_focus())));
        }
        if self.is_off(value, sd * gain) {
            return Err(bad(self.off_scale()));
        }
        let (reading, turn) = self.as_read(&row.reading, &kept, value);
        Ok(Taken {
            line: row.line,
            stop: row.stop,
            taped: row.taped,
            reading,
            turn,
            settings: kept.len(),
            one_left_out: kept.len() < travels.len(),
            as_travel: LensReading {
                lens: optics,
                chart,
                travel: Length::mm(value),
                sd: Length::mm(sd),
                group: 0,
            },
            ring_sd: Angle::deg(ring),
            tape_sd: Length::mm(tape),
            gain,
        })
    }

    /// Along the axis, for a tape whose hook sits beside it.
    fn chart(
        &self,
        taped: FocusDistance,
        rec: &mut impl Record,
    ) -> Result<FocusDistance, Unusable> {
        let Reach::At(length) = taped.reach() else {
            return Ok(taped);
        };
        if self.hook == Length::ZERO {
            return Ok(taped);
        }
        let axial = axial_distance(length, self.hook, rec);
        let axial = axial.ok_or(Unusable::InsideHook { hook: self.hook })?;
        Ok(FocusDistance::computed(Reach::At(axial)))
    }

    /// Each setting as travel from infinity; `None` where the scale does not
    /// tell one.
    fn travels(&self, reading: &Reading) -> Option<Vec<f64>> {
        match reading {
            Reading::Scale(distances) => distances
                .iter()
                .map(|&distance| self.travel_at(distance).ok())
                .collect(),
            Reading::Turn(turns) => turns
                .iter()
                .map(|&turn| Some(self.scale.travel_at(turn)?.to_mm()))
                .collect(),
        }
    }

    /// Where the lens stands when its own scale says `distance`.
    fn travel_at(&self, distance: FocusDistance) -> Result<f64, OutOfReach> {
        let offset = self.lens.scale_offset();
        let from_plane = FocusDistance::computed(distance.reach().map(|length| length + offset));
        let optics = self.scale.lens();
        let m = optics.magnification(from_plane, Branch::Far, &mut ())?;
        Ok(optics.focal_length().to_mm() * m.value())
    }

    /// What was read, one figure for all settings that count.
    fn as_read(
        &self,
        reading: &Reading,
        kept: &[usize],
        travel: f64,
    ) -> (Option<FocusDistance>, Option<Angle>) {
        match (reading, kept) {
            (Reading::Scale(distances), &[only]) => (distances.get(only).copied(), None),
            (Reading::Scale(_), _) => (Some(self.distance_at(travel)), None),
            (Reading::Turn(turns), _) => {
                let sum = kept.iter().filter_map(|&at| turns.get(at));
                let sum = sum.fold(Angle::ZERO, |sum, &turn| sum + turn);
                (None, Some(sum / kept.len().max(1) as f64))
            }
        }
    }

    /// What the lens's own scale says at a travel.
    fn distance_at(&self, travel: f64) -> FocusDistance {
        let optics = self.scale.lens();
        let m = travel / optics.focal_length().to_mm();
        let from_plane = optics.distance_at(Magnification::computed(m), &mut ());
        let offset = self.lens.scale_offset();
        FocusDistance::computed(from_plane.reach().map(|length| length - offset))
    }

    fn off_scale(&self) -> Unusable {
        Unusable::OffScale {
            close_focus: self.lens.close_focus(),
            travel: Angle::deg(self.scale.turn(self.scale.close_travel())),
        }
    }

    /// Whether a travel lies clearly beyond the ends of the scale, for a reading
    /// that may be off by `sd` degrees.
    fn is_off(&self, travel: f64, sd: f64) -> bool {
        let whole = self.scale.turn(self.scale.close_travel());
        let spare = WORST_PLANE * self.scale.gain(travel) + MISREAD * sd;
        let beyond = |turn: Option<Angle>| turn.map_or(0.0, Angle::to_deg);
        let ring = self.lens.ring();
        let turn = self.scale.turn(travel);
        turn < -beyond(ring.beyond_infinity()) - spare
            || turn > whole + beyond(ring.beyond_near()) + spare
    }
}
