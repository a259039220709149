//! What a lens's own scale reads at taped distances: a row of `prep.csv`.

use super::marks::{in_one_cell, not_read_back};
use super::{Cell, Expected, Figure, Into, Session, Taken, ends, way};
use crate::answers::{NoPrep, PrepPoint, prep};
use crate::data::fault::{Fault, Kind};
use crate::gear::{Lens, MarkPosition, PositionUnit};
use crate::scale::fit::LensReading;
use crate::scale::{LensLaw, RingPosition, Zero};
use crate::units::{Angle, BareUnit, FocusDistance, Length, Reach, Stop, parse};

/// Readings as they were typed.
enum Read {
    Scale(Vec<FocusDistance>),
    Turn(Vec<MarkPosition>),
}

impl Session<'_> {
    /// Takes a reading of the scale: written and read, and judged as prep day
    /// will.
    pub(super) fn take_scale(
        &mut self,
        (taped, typed): (FocusDistance, &str),
        readings: &[String],
        stop: Stop,
    ) -> Result<Taken, Vec<Fault>> {
        let read = self.read(readings)?;
        let cell = match &read {
            Read::Scale(_) => readings.join(" "),
            Read::Turn(numbers) => in_one_cell(numbers),
        };
        let mut cells = vec![
            ("lens", Cell::Name(self.lens.id().as_str().to_owned())),
            ("stop", Cell::Figure(self.stop_as_typed.clone())),
            ("taped", Cell::Figure(typed.to_owned())),
            (self.column, Cell::Figure(cell)),
        ];
        if let Some(camera) = self.camera.as_ref().filter(|_| self.table.has("camera")) {
            cells.push(("camera", Cell::Name(camera.clone())));
        }
        let before = self.same_row(taped, stop);
        let mut warnings = self.add(&cells)?;
        let file_line = self.table.last_line();
        if !self.is_read_back(taped, stop, &read) {
            self.withdraw();
            return Err(vec![not_read_back(&self.file)]);
        }
        let point = match self.judged(file_line) {
            Ok(point) => point,
            Err(fault) => {
                self.withdraw();
                return Err(vec![self.of_line(fault, file_line)]);
            }
        };
        if let Some(line) = before {
            let message = format!(
                "{} at {stop} stands already on line {line}: both rows count",
                self.shown(taped)
            );
            warnings.push(Fault::warning(Kind::Duplicate, message));
        }
        if point
            .as_ref()
            .is_some_and(|point| point.settings < readings.len())
        {
            let message = "one of these readings is far off the others, and prep leaves it out";
            warnings.push(Fault::warning(Kind::OutOfOrder, message));
        }
        warnings.extend(point.as_ref().and_then(|point| far_off(&self.lens, point)));
        Ok(self.told(taped, &read, point, (file_line, warnings)))
    }

    fn read(&self, readings: &[String]) -> Result<Read, Vec<Fault>> {
        if let Into::Turn(_) = self.into {
            return self.numbers(readings, PositionUnit::Deg).map(Read::Turn);
        }
        let bare = match self.lens.engraved() {
            Some(unit) => BareUnit::Engraved(unit),
            None => BareUnit::Refused(Some(self.kit.units)),
        };
        let mut faults = Vec::new();
        let mut distances = Vec::with_capacity(readings.len());
        for text in readings {
            match parse::distance(text, bare) {
                Ok(distance) => distances.push(distance),
                Err(reason) => faults.push(Fault::unreadable(text, &reason)),
            }
        }
        match faults.is_empty() {
            true => Ok(Read::Scale(distances)),
            false => Err(faults),
        }
    }

    /// The line of a row that says the same of this lens.
    fn same_row(&self, taped: FocusDistance, stop: Stop) -> Option<usize> {
        let camera = self.camera.as_ref().filter(|_| self.table.has("camera"));
        let rows = self.kit.prep.iter();
        let mut same = rows.filter(|row| {
            row.lens == *self.lens.id()
                && row.taped == taped
                && row.stop == stop
                && row.camera.as_ref() == camera
        });
        same.next().map(|row| row.line)
    }

    fn is_read_back(&self, taped: FocusDistance, stop: Stop, read: &Read) -> bool {
        use crate::gear::Reading;
        self.kit.prep.last().is_some_and(|row| {
            let as_meant = match (&row.reading, read) {
                (Reading::Scale(own), Read::Scale(meant)) => own == meant,
                (Reading::Turn(own), Read::Turn(meant)) => {
                    let own = own.iter().map(|turn| turn.to_deg());
                    own.eq(meant.iter().map(|number| number.value()))
                }
                _ => false,
            };
            as_meant && row.lens == *self.lens.id() && row.taped == taped && row.stop == stop
        })
    }

    /// The row as prep day counts it; a fault where it cannot be counted at all.
    /// What stands against other rows is for `prep` to tell.
    fn judged(&self, line: usize) -> Result<Option<PrepPoint>, Fault> {
        let camera = self.camera.as_deref();
        let found = prep(&self.kit, camera, &[self.lens.id().clone()], &mut ());
        match found {
            Ok(answer) => {
                let mut points = answer.lenses.into_iter().flat_map(|lens| lens.points);
                Ok(points.find(|point| point.line == line))
            }
            Err(reasons) => {
                let own = |reason: &NoPrep| match reason {
                    NoPrep::Reading(bad) => bad.line == line,
                    _ => false,
                };
                match reasons.into_iter().find(own) {
                    Some(reason) => Err(reason.into()),
                    None => Ok(None),
                }
            }
        }
    }

    fn told(
        &self,
        taped: FocusDistance,
        read: &Read,
        point: Option<PrepPoint>,
        (file_line, warnings): (usize, Vec<Fault>),
    ) -> Taken {
        let camera = self.camera.as_deref();
        let law = LensLaw::of_scale(&self.lens, self.marks.as_ref(), camera).ok();
        let (figures, mean, spread, turn, expected) = match read {
            Read::Scale(distances) => {
                let only = distances.first().filter(|_| distances.len() == 1);
                let mean = only.copied().or(point.and_then(|point| point.reading));
                let (spread, turn) = self.apart(distances, law.as_ref());
                (
                    distances.iter().copied().map(Figure::Distance).collect(),
                    mean.map(Figure::Distance),
                    spread.map(Figure::Apart),
                    turn,
                    mean.map(|mean| self.against_tape(taped, mean, law.as_ref())),
                )
            }
            Read::Turn(numbers) => {
                let only = numbers.first().filter(|_| numbers.len() == 1).copied();
                let turn = point.and_then(|point| point.turn);
                let mean = only.or(turn.and_then(|turn| MarkPosition::new(turn.to_deg()).ok()));
                let spread = ends(numbers)
                    .filter(|_| numbers.len() > 1)
                    .and_then(|(low, high)| way(low, high));
                let against = mean.zip(law.as_ref());
                (
                    numbers.iter().copied().map(Figure::Number).collect(),
                    mean.map(Figure::Number),
                    spread.map(Figure::Number),
                    spread.map(|spread| Angle::deg(spread.value())),
                    against.and_then(|(mean, law)| self.against_law(taped, mean, law)),
                )
            }
        };
        let settings = match read {
            Read::Scale(distances) => distances.len(),
            Read::Turn(numbers) => numbers.len(),
        };
        let (spread_turn, wide) = Self::spread(turn, settings);
        Taken {
            distance: taped,
            readings: figures,
            mean,
            spread,
            spread_turn,
            wide,
            expected,
            line: self.heard,
            file_line,
            warnings,
        }
    }

    /// How far apart readings on the scale are: as a distance, and as a turn.
    fn apart(
        &self,
        distances: &[FocusDistance],
        law: Option<&LensLaw<'_>>,
    ) -> (Option<Length>, Option<Angle>) {
        let mut sorted = distances.to_vec();
        sorted.sort_by(|a, b| match a.is_nearer_than(*b) {
            true => core::cmp::Ordering::Less,
            false => core::cmp::Ordering::Greater,
        });
        let (Some(&near), Some(&far)) = (sorted.first(), sorted.last()) else {
            return (None, None);
        };
        if sorted.len() < 2 {
            return (None, None);
        }
        let turn = law.and_then(|law| turn_between(self.place(law, near)?, self.place(law, far)?));
        (difference(far, near), turn)
    }

    /// The reading against the tape: what the scale should have said.
    fn against_tape(
        &self,
        taped: FocusDistance,
        mean: FocusDistance,
        law: Option<&LensLaw<'_>>,
    ) -> Expected {
        let offset = self.lens.scale_offset();
        let reading = match taped.reach() {
            Reach::At(length) => FocusDistance::at(length - offset).unwrap_or(taped),
            Reach::Infinity => taped,
        };
        let turn =
            law.and_then(|law| turn_between(law.law.position(taped).ok()?, self.place(law, mean)?));
        Expected {
            reading: Figure::Distance(reading),
            by: "tape",
            camera: None,
            off: difference(mean, reading).map(Figure::Apart),
            off_turn: turn.map(Angle::abs),
        }
    }

    /// The reading in degrees against the law of the lens's own scale.
    fn against_law(
        &self,
        taped: FocusDistance,
        mean: MarkPosition,
        law: &LensLaw<'_>,
    ) -> Option<Expected> {
        let degrees = self.marks.as_ref().map(|marks| marks.unit()) == Some(PositionUnit::Deg);
        let reading = match law.number_at(taped).filter(|_| degrees) {
            Some(number) => number,
            None if law.law.zero() == Zero::Infinity => {
                let turn = law.law.position(taped).ok()?.turn()?;
                MarkPosition::new(turn.to_deg()).ok()?
            }
            None => return None,
        };
        let off = way(reading, mean)?;
        let marks = law.marks.as_ref();
        Some(Expected {
            reading: Figure::Number(reading),
            by: marks.map_or(law.law.standing().name(), |set| set.kind.name()),
            camera: law
                .of_another_camera(self.camera.as_deref())
                .map(str::to_owned),
            off: Some(Figure::Number(off)),
            off_turn: Some(Angle::deg(off.value()).abs()),
        })
    }

    /// Where the ring stands when the scale says a distance.
    fn place(&self, law: &LensLaw<'_>, said: FocusDistance) -> Option<RingPosition> {
        let from_plane = match said.reach() {
            Reach::At(length) => FocusDistance::at(length + self.lens.scale_offset()).ok()?,
            Reach::Infinity => said,
        };
        law.law.position(from_plane).ok()
    }
}

/// Beyond so much nobody believes an image-plane error before the reading was
/// taken again: ten times what mounts are set within. Common practice; no source
/// is known.
const HARDLY: Length = Length::mm(0.2);

/// So many standard deviations of ring and tape are added to that.
const BOTH_OFF: f64 = 4.0;

/// What is said of a reading that no ordinary error explains.
fn far_off(lens: &Lens, point: &PrepPoint) -> Option<Fault> {
    let reading = LensReading {
        lens: lens.figures().unit_focus(&mut ()),
        chart: point.taped,
        travel: point.travel,
        sd: point.tape_sd,
        group: 0,
    };
    let error = reading.error_as_taped().abs();
    let ring = Length::mm(point.ring_sd.to_deg() / point.gain?.value());
    let both = ring + reading.moved_by_tape(point.tape_sd);
    (error > HARDLY + both * BOTH_OFF).then(|| {
        let message = format!(
            "scale and tape differ as if the image plane were {:.1} mm off: hardly any lens or \
             camera is",
            error.to_mm()
        );
        Fault::warning(Kind::OutOfOrder, message)
            .with_help("read the scale and the tape again; undo takes the line back")
    })
}

fn turn_between(from: RingPosition, to: RingPosition) -> Option<Angle> {
    to.minus(from).turn()
}

fn difference(one: FocusDistance, other: FocusDistance) -> Option<Length> {
    let (one, other) = (one.reach().finite()?, other.reach().finite()?);
    Some(one - other)
}
