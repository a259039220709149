//! How fast a subject goes.

use crate::units::{Length, Unit, Unreadable, parse, range};

/// How fast a subject goes along its path: a length each second, above zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Speed {
    each_second: Length,
    /// Said as people say it of vehicles.
    an_hour: bool,
}

/// A walk and a run (common practice, no source).
const WALK: Length = Length::mm(1400.0);
const RUN: Length = Length::mm(4000.0);
/// Millimetres in an international mile.
const MILE: f64 = 1_609_344.0;

impl Speed {
    /// A speed from the way gone in one second; `None` at zero or below.
    #[must_use]
    pub fn each_second(way: Length) -> Option<Self> {
        way.is_positive().then_some(Self {
            each_second: way,
            an_hour: false,
        })
    }

    /// The way gone in one second.
    #[must_use]
    pub const fn in_one_second(self) -> Length {
        self.each_second
    }

    /// Whether it is to be taken for that of a vehicle: faster than a run, or said in
    /// kilometres or miles an hour.
    #[must_use]
    pub fn is_a_vehicles(self) -> bool {
        self.an_hour || self.each_second > RUN
    }

    /// Reads a speed: `1.2m/s`, `4ft/s`, `4.5km/h`, `3mph`, `walk` (1.4 m/s),
    /// `run` (4 m/s).
    ///
    /// # Errors
    /// [`Unreadable`]: not a speed, or out of range.
    pub fn parse(text: &str) -> Result<Self, Unreadable> {
        const NO: Unreadable = Unreadable::NotThis {
            wanted: "a speed",
            example: "1.2m/s, 4ft/s, 4.5km/h, 3mph, walk or run",
        };
        let clean = text.trim().to_lowercase();
        let an_hour = |figure: &str, way: f64, range| -> Result<Length, Unreadable> {
            Ok(Length::mm(parse::number(figure, range)? * way / 3600.0))
        };
        let way = if let Some(way) = clean.strip_suffix("/s") {
            parse::length(way, &range::SPEED).map_err(|reason| match reason {
                Unreadable::NotThis { .. } => NO,
                other => other,
            })?
        } else if let Some(figure) = clean.strip_suffix("km/h") {
            an_hour(figure, 1e6, &range::SPEED_KM_PER_H)?
        } else if let Some(figure) = clean.strip_suffix("mph") {
            an_hour(figure, MILE, &range::SPEED_MPH)?
        } else {
            match clean.as_str() {
                "walk" => WALK,
                "run" => RUN,
                _ => return Err(NO),
            }
        };
        let speed = Self::each_second(way).ok_or(Unreadable::NotPositive { name: "speed" })?;
        Ok(Self {
            an_hour: clean.ends_with("km/h") || clean.ends_with("mph"),
            ..speed
        })
    }
}

/// A speed, given as the way of one second, to the nearest hundredth of a metre or
/// foot a second.
#[must_use]
pub fn speed_in_words(each_second: Length, unit: Unit) -> String {
    let mm = each_second.to_mm();
    match unit {
        Unit::Metres => format!("{:.2} m/s", mm / 1000.0),
        Unit::Feet => format!("{:.2} ft/s", mm / 304.8),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_faster_than_a_run_or_said_an_hour_is_a_vehicle() {
        let vehicle = |text: &str| Speed::parse(text).unwrap().is_a_vehicles();
        for text in ["walk", "run", "4m/s", "13ft/s"] {
            assert!(!vehicle(text), "{text}");
        }
        for text in ["4.01m/s", "14ft/s", "5km/h", "3 MPH"] {
            assert!(vehicle(text), "{text}");
        }
    }

    #[test]
    fn speeds_read_as_people_say_them() {
        let mm = |text: &str| Speed::parse(text).unwrap().in_one_second().to_mm();
        assert_eq!(mm("1.2m/s"), 1200.0);
        assert_eq!(mm("4ft/s"), 1219.2);
        assert!((mm("3.6 km/h") - 1000.0).abs() < 1e-9);
        // 1 mph = 0.44704 m/s exactly (NIST SP 811).
        assert!((mm("10mph") - 4470.4).abs() < 1e-9);
        assert!(mm("walk") < mm("run"));
        for text in ["", "fast", "0m/s", "-1m/s", "1.2", "infm/s", "1.2m", "mph"] {
            assert!(Speed::parse(text).is_err(), "{text}");
        }
    }
}
