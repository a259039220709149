//! Stops as they are marked: full stops, and the halves and thirds between.

use core::fmt;

use super::stop::{FNumber, NOMINAL_STOPS, Stop, StopKind, TNumber, closed_by};
use crate::numerics::math::exp2;

/// Into how many parts a stop is divided.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Division {
    /// Full stops alone.
    Full,
    /// Half stops.
    Half,
    /// Third stops.
    Third,
}

impl Division {
    const fn parts(self) -> u8 {
        match self {
            Self::Full => 1,
            Self::Half => 2,
            Self::Third => 3,
        }
    }
}

/// A marked stop: a full stop as engraved, closed by so many parts.
///
/// Its number is the one that is read when it is typed: a third past 11 is
/// 11 × 2^(1/6).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MarkedStop {
    stop: Stop,
    full: f64,
    part: u8,
    parts: u8,
}

/// A needed stop this share above a mark is that mark: what a mark just does
/// comes back from a calculation with its last digits changed.
const ON_THE_MARK: f64 = 1e-12;

/// Full stops wider than f/1, from the widest a lens in air can have, and
/// darker than f/64 (the nominal series carried on; no lens has such marks).
const WIDER: [f64; 2] = [0.5, 0.7];
const DARKER: [f64; 6] = [90.0, 128.0, 180.0, 256.0, 360.0, 512.0];

/// How many full stops are tried.
const MOST_STOPS: usize = 80;

impl MarkedStop {
    /// The first mark at least as dark as `number`, of any size.
    #[must_use]
    pub fn at_least(kind: StopKind, number: f64, division: Division) -> Self {
        let enough = |mark: f64| mark >= number * (1.0 - ON_THE_MARK);
        let parts = division.parts();
        let (full, part) = (0..MOST_STOPS)
            .flat_map(|stop| (0..parts).map(move |part| (full_stop(stop), part)))
            .find(|&(full, part)| enough(closed(full, part, parts)))
            .unwrap_or((number, 0));
        let number = closed(full, part, parts);
        let stop = match kind {
            StopKind::F => Stop::F(FNumber::computed(number)),
            StopKind::T => Stop::T(TNumber::computed(number)),
        };
        Self {
            stop,
            full,
            part,
            parts,
        }
    }

    /// A stop that is a mark of the lens's own, as its widest.
    #[must_use]
    pub const fn own(stop: Stop) -> Self {
        Self {
            stop,
            full: stop.number(),
            part: 0,
            parts: 1,
        }
    }

    /// The stop.
    #[must_use]
    pub const fn stop(self) -> Stop {
        self.stop
    }
}

fn closed(full: f64, part: u8, parts: u8) -> f64 {
    match part {
        0 => full,
        part => closed_by(full, f64::from(part) / f64::from(parts)),
    }
}

/// A full stop by its place in the series, by its engraved number where there
/// is one.
fn full_stop(place: usize) -> f64 {
    let named = WIDER.iter().chain(&NOMINAL_STOPS).chain(&DARKER);
    // From 0.5, two stops before f/1.
    let exact = || exp2((place as f64 - 2.0) / 2.0);
    named.copied().nth(place).unwrap_or_else(exact)
}

/// `f/11 2/3`, `T4`.
impl fmt::Display for MarkedStop {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let full = libm::round(self.full * 100.0) / 100.0;
        match self.stop.kind() {
            StopKind::F => write!(out, "f/{full}")?,
            StopKind::T => write!(out, "T{full}")?,
        }
        match self.part {
            0 => Ok(()),
            part => write!(out, " {part}/{}", self.parts),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::parse;

    fn next(number: f64, division: Division) -> String {
        let mark = MarkedStop::at_least(StopKind::F, number, division);
        assert!(mark.stop().number() >= number * (1.0 - 1e-12));
        mark.to_string()
    }

    #[test]
    fn the_next_mark_is_the_first_that_is_dark_enough() {
        // optics.md: 2 m to 4 m at 50 mm need f/13.246.
        assert_eq!(next(13.246, Division::Full), "f/16");
        assert_eq!(next(13.246, Division::Half), "f/16");
        assert_eq!(next(13.246, Division::Third), "f/11 2/3");
        assert_eq!(next(2.8, Division::Third), "f/2.8");
        assert_eq!(next(2.800_000_000_000_001, Division::Third), "f/2.8");
        assert_eq!(next(2.81, Division::Third), "f/2.8 1/3");
        assert_eq!(next(0.85, Division::Third), "f/0.7 2/3");
        assert_eq!(next(0.01, Division::Third), "f/0.5");
        assert_eq!(next(64.1, Division::Full), "f/90");
        assert_eq!(next(1e6, Division::Full), "f/1048576");
    }

    #[test]
    fn marks_rise_and_read_back_as_the_same_number() {
        let mut last = 0.0;
        for i in 0..60 {
            let number = 1.0 + f64::from(i);
            let mark = MarkedStop::at_least(StopKind::T, number, Division::Third);
            assert!(mark.stop().number() >= last);
            last = mark.stop().number();
            let read = parse::stop(&mark.to_string(), None).unwrap();
            assert_eq!(read, mark.stop(), "{mark}");
        }
    }
}
