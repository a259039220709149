//! A pasted line of the distances engraved on a lens.

use crate::data::fault::{Fault, Kind, shortened};
use crate::data::fields::with_points;
use crate::data::kit::distances;
use crate::units::{BareUnit, FocusDistance, Unit, parse};

/// The flag the line was typed with.
pub(super) const FLAG: &str = "--line";

/// Distances as they were typed, in order.
pub(super) type Engraved = Vec<(FocusDistance, String)>;

/// Reads a line of distances; they must go one way.
pub(super) fn read(text: &str, bare: BareUnit) -> Result<Engraved, Vec<Fault>> {
    let feet = matches!(
        bare,
        BareUnit::Engraved(Unit::Feet) | BareUnit::Refused(Some(Unit::Feet))
    );
    // Feet have no decimals: a comma stands between two of them.
    let apart = match feet {
        true => text.replace(',', " "),
        false => with_points(text),
    };
    let mut faults = Vec::new();
    if apart.chars().any(|c| c.is_control() && c != '\t') {
        let message = format!("a control character stands in \"{}\"", shortened(text));
        return Err(vec![Fault::new(Kind::NotText, message).at_flag(FLAG)]);
    }
    let mut read: Engraved = Vec::new();
    for part in distances(&apart.to_lowercase()) {
        match parse::distance(&part, bare) {
            Ok(distance) => read.push((distance, part)),
            Err(reason) => {
                let fault = Fault::unreadable(&part, &reason).at_flag(FLAG);
                let help = match (reason, fault.help.clone()) {
                    (crate::units::Unreadable::BareNumber { .. }, help) => {
                        Some(in_what_unit(help.as_deref()))
                    }
                    (_, help) => help,
                };
                faults.push(Fault { help, ..fault });
            }
        }
    }
    if faults.is_empty() {
        faults.extend(out_of_order(&read));
    }
    if faults.is_empty() && read.is_empty() {
        let fault = Fault::new(Kind::TooFew, "no distance stands in the line").at_flag(FLAG);
        faults
            .push(fault.with_help("write what the lens's scale reads, as \"2 2'6 3 4 6 10 inf\""));
    }
    match faults.is_empty() {
        true => Ok(read),
        false => Err(faults),
    }
}

/// What would be right for distances without a unit.
pub(super) fn in_what_unit(help: Option<&str>) -> String {
    let all = "say --distances-in feet or --distances-in metres for all of them";
    match help {
        Some(help) => format!("{help}; or {all}"),
        None => all.to_owned(),
    }
}

fn out_of_order(read: &Engraved) -> Vec<Fault> {
    let (Some(first), Some(last)) = (read.first(), read.last()) else {
        return Vec::new();
    };
    let grows = first.0.is_nearer_than(last.0);
    let pairs = read.windows(2).filter_map(|pair| {
        let ((before, a), (after, b)) = (&pair[0], &pair[1]);
        let fault = |kind, message: String| Some(Fault::new(kind, message).at_flag(FLAG));
        if before == after {
            return fault(Kind::Duplicate, format!("{b} stands twice, as {a} and {b}"));
        }
        let on = match grows {
            true => before.is_nearer_than(*after),
            false => after.is_nearer_than(*before),
        };
        if on {
            return None;
        }
        let way = if grows { "nearer" } else { "farther" };
        let message = format!("{b} stands behind {a} and is {way}");
        fault(Kind::OutOfOrder, message)
            .map(|fault| fault.with_help("a scale goes one way, from its first mark to its last"))
    });
    pairs.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Reach;

    fn mm(text: &str, bare: BareUnit) -> Vec<f64> {
        let read = read(text, bare).unwrap_or_else(|faults| panic!("{faults:#?}"));
        read.iter()
            .map(|(distance, _)| match distance.reach() {
                Reach::At(length) => length.to_mm(),
                Reach::Infinity => f64::INFINITY,
            })
            .collect()
    }

    #[test]
    fn a_scale_is_read_as_it_is_engraved() {
        // 1 ft = 304.8 mm, 1 in = 25.4 mm, exactly.
        let feet = BareUnit::Engraved(Unit::Feet);
        let read = mm("1'6 1'9 2 2'6 3 4, 5,7 10 INF", feet);
        let inches = [18.0, 21.0, 24.0, 30.0, 36.0, 48.0, 60.0, 84.0, 120.0];
        let own: Vec<f64> = inches.iter().map(|inches| inches * 254.0 / 10.0).collect();
        assert_eq!(read[..9], own[..]);
        assert_eq!(read[9], f64::INFINITY);
        let metres = BareUnit::Engraved(Unit::Metres);
        assert_eq!(mm("∞ 3 1,5 0,6", metres)[1..], [3000.0, 1500.0, 600.0]);
        assert_eq!(mm("0.6 1.5 3", metres), [600.0, 1500.0, 3000.0]);
    }

    #[test]
    fn slips_are_named() {
        let feet = BareUnit::Engraved(Unit::Feet);
        let kinds = |text: &str, bare| -> Vec<Kind> {
            let faults = read(text, bare).unwrap_err();
            faults.iter().map(|fault| fault.kind).collect()
        };
        assert_eq!(kinds("2 3 2'6 4", feet), [Kind::OutOfOrder]);
        assert_eq!(kinds("2 3 36in 4", feet), [Kind::Duplicate]);
        assert_eq!(kinds("2 5.6 7", feet)[0], Kind::AmbiguousFeet);
        assert_eq!(kinds("", feet), [Kind::TooFew]);
        let bare = read("2 3", BareUnit::Refused(None)).unwrap_err();
        assert_eq!(bare[0].kind, Kind::BareNumber);
        assert!(bare[0].help.as_ref().unwrap().contains("--distances-in"));
    }
}
