//! What people write is what is meant, and comes back.

use super::parse::{angle, distance, gain, gate, length, number, stop};
use super::show::{Round, Step, exact_distance, in_64ths, rounded, step_for};
use super::*;

const HERE: BareUnit = BareUnit::Refused(None);
const IN_FEET: BareUnit = BareUnit::Refused(Some(Unit::Feet));

fn mm(text: &str, bare: BareUnit) -> f64 {
    match distance(text, bare).unwrap().reach() {
        Reach::At(length) => length.to_mm(),
        Reach::Infinity => f64::INFINITY,
    }
}

#[test]
fn every_spelling_of_eight_feet_six_is_the_same() {
    for text in [
        "8'6\"",
        "8′6″",
        "8’6”",
        "8ft6in",
        "8ft 6 in",
        "8 ft 6",
        "102in",
        "102\"",
        "8'6",
        "8' 6''",
        "8feet 6inches",
        "8'-6\"",
    ] {
        assert_eq!(mm(text, HERE), 2590.8, "{text}");
    }
    for text in ["8-6", "8 6"] {
        assert_eq!(mm(text, IN_FEET), 2590.8, "{text}");
        assert!(matches!(
            distance(text, HERE),
            Err(Unreadable::BareNumber { .. })
        ));
    }
    for text in ["8'6½\"", "8ft6 1/2in", "8'6 1/2\"", "8'6.5\"", "8-6½"] {
        assert_eq!(mm(text, IN_FEET), 2603.5, "{text}");
    }
}

#[test]
fn published_conversions_hold() {
    // 25.4 mm to the inch, exactly (international yard and pound agreement, 1959);
    // trade figures F18.
    assert_eq!(mm("5'6\"", HERE), 1676.4);
    assert_eq!(mm("7'3½\"", HERE), 2222.5);
    assert_eq!(mm("10'", HERE), 3048.0);
    assert_eq!(mm("1/8in", HERE), 3.175);
}

#[test]
fn metric_is_exact_as_typed() {
    assert_eq!(mm("2.6m", HERE), 2600.0);
    assert_eq!(mm("260cm", HERE), 2600.0);
    assert_eq!(mm("2600 mm", HERE), 2600.0);
    assert_eq!(mm("0.35 m", HERE), 350.0);
    assert_eq!(mm("∞", HERE), f64::INFINITY);
    assert_eq!(mm("Inf", HERE), f64::INFINITY);
}

#[test]
fn decimal_feet_are_refused_with_both_readings() {
    for (text, bare) in [
        ("5.6ft", HERE),
        ("5.6'", HERE),
        ("5.6", IN_FEET),
        ("5.6", BareUnit::Engraved(Unit::Feet)),
    ] {
        assert_eq!(
            distance(text, bare),
            Err(Unreadable::AmbiguousFeet {
                as_feet_and_inches: Some("5′6″".into()),
                as_decimal: "5′7 3⁄16″".into()
            }),
            "{text}"
        );
    }
    assert_eq!(mm("5.0ft", HERE), 1524.0);
}

#[test]
fn what_is_no_distance_is_said_to_be_none() {
    for text in [
        "", "five", "8'12\"", "8'6\"x", "--", "1/0in", "5'6'7\"", "2.6.1m", "x'6\"",
    ] {
        assert!(
            matches!(distance(text, HERE), Err(Unreadable::NotThis { .. })),
            "{text}"
        );
    }
    for text in ["nan", "NaNm", "-inf"] {
        assert!(
            matches!(distance(text, HERE), Err(Unreadable::NotFinite { .. })),
            "{text}"
        );
    }
    for text in ["0m", "-3m", "0'", "-5in"] {
        assert!(
            matches!(distance(text, HERE), Err(Unreadable::NotPositive { .. })),
            "{text}"
        );
    }
    assert!(matches!(
        distance("3", HERE),
        Err(Unreadable::BareNumber { .. })
    ));
    assert!(distance("1e30m", HERE).is_err());
    assert_eq!(distance("05-Jun", HERE), Err(Unreadable::SpreadsheetDate));
}

#[test]
fn exponents_are_read_wherever_a_number_is() {
    for (text, wanted) in [
        ("1e3mm", 1000.0),
        ("2.5e3 mm", 2500.0),
        ("1E+03mm", 1000.0),
        ("2.6e0m", 2600.0),
        ("2600e-3 m", 2600.0),
        ("1e1ft", 3048.0),
        ("1e1'6\"", 3200.4),
        ("1.02e2in", 2590.8),
        (".5e1m", 5000.0),
    ] {
        assert_eq!(mm(text, HERE), wanted, "{text}");
    }
    assert_eq!(length("1e-2mm", &range::CIRCLE).unwrap(), Length::mm(0.01));
    assert_eq!(length("1e1um", &range::CIRCLE).unwrap(), Length::mm(0.01));
    assert_eq!(number("1.60E+01", &range::DIAMETER), Ok(16.0));
    assert_eq!(
        stop("f/2.8e0", None),
        Ok(Stop::F(FNumber::new(2.8).unwrap()))
    );
    let side = |mm: f64| Length::mm(mm);
    assert_eq!(gate("2.4e1x1.8e1mm"), Ok((side(24.0), side(18.0))));
    assert_eq!(
        angle("3e2deg", &range::TRAVEL_ANGLE).unwrap().to_deg(),
        300.0
    );
    assert_eq!(gain("3e1deg/mm").unwrap(), Gain::new(30.0).unwrap());
}

#[test]
fn an_exponent_keeps_every_bound_and_refusal() {
    for text in [
        "1e30m", "1e400mm", "1e9999ft", "1e99in", "9e-1mm", "1e-400m",
    ] {
        assert!(
            matches!(
                distance(text, HERE),
                Err(Unreadable::OutOfRange { .. } | Unreadable::NotPositive { .. })
            ),
            "{text}: {:?}",
            distance(text, HERE)
        );
    }
    assert!(matches!(
        number("1e400", &range::DIAMETER),
        Err(Unreadable::OutOfRange { .. })
    ));
    // Half an exponent is none, and one follows figures alone.
    for text in [
        "1e", "1emm", "1e+mm", "e3mm", "1ee3mm", "1e3e3mm", "1e3.5mm",
    ] {
        assert!(
            matches!(distance(text, HERE), Err(Unreadable::NotThis { .. })),
            "{text}"
        );
    }
    assert!(matches!(
        distance("1e3", HERE),
        Err(Unreadable::BareNumber { .. })
    ));
    for text in ["5.6e0ft", "56e-1ft"] {
        assert!(
            matches!(distance(text, HERE), Err(Unreadable::AmbiguousFeet { .. })),
            "{text}"
        );
    }
    for text in ["nan", "inf", "-inf", "NaN", "infinity"] {
        assert_eq!(
            number(text, &range::DIAMETER),
            Err(Unreadable::NotFinite { name: "diameter" }),
            "{text}"
        );
    }
}

#[test]
fn a_fraction_of_a_foot_is_refused_with_both_readings() {
    for text in ["6½'", "6 1/2'", "6½ ft", "6 1/2feet"] {
        let refused = distance(text, HERE).unwrap_err();
        let both = Unreadable::FractionOfFeet {
            as_feet: "6′6″".into(),
            as_inches: "6½″".into(),
        };
        assert_eq!(refused, both, "{text}");
        assert!(refused.help().unwrap().contains("6′6″ or 6½″"));
    }
    assert!(matches!(
        distance("½'", HERE),
        Err(Unreadable::FractionOfFeet { .. })
    ));
}

#[test]
fn help_for_figures_without_a_unit_can_be_typed() {
    let help = |text: &str, bare| distance(text, bare).unwrap_err().help().unwrap();
    assert_eq!(help("8-6", HERE), "write 8'6\"");
    assert_eq!(
        help("8 6", BareUnit::Refused(Some(Unit::Metres))),
        "write 8'6\""
    );
    // Six and a half feet or inches: nobody can tell.
    for bare in [HERE, IN_FEET, BareUnit::Engraved(Unit::Feet)] {
        assert!(help("6 1/2", bare).contains("6 1/2in"));
    }
}

#[test]
fn stops_mean_the_number_typed() {
    assert_eq!(
        stop("f/2.8", None).unwrap(),
        Stop::F(FNumber::new(2.8).unwrap())
    );
    assert_eq!(
        stop("T2.9", None).unwrap(),
        Stop::T(TNumber::new(2.9).unwrap())
    );
    assert_eq!(
        stop("2.8", Some(StopKind::T)).unwrap(),
        Stop::T(TNumber::new(2.8).unwrap())
    );
    assert!(matches!(
        stop("2.8", None),
        Err(Unreadable::AmbiguousStop { .. })
    ));
    // 2^(1/6) and sqrt(2) from the definition of a stop.
    assert!((stop("T2.8 1/3", None).unwrap().number() - 2.8 * 1.122_462_048_309_373).abs() < 1e-14);
    assert!((stop("f2.8/4", None).unwrap().number() - 3.346_640_106_136_302).abs() < 1e-14);
    assert!(matches!(
        stop("f/0", None),
        Err(Unreadable::NotPositive { .. })
    ));
    assert!(matches!(
        stop("f/nan", None),
        Err(Unreadable::NotFinite { .. })
    ));
    assert!(matches!(
        stop("f/0.1", None),
        Err(Unreadable::OutOfRange { .. })
    ));
    assert!(matches!(
        stop("wide", None),
        Err(Unreadable::NotThis { .. })
    ));
}

#[test]
fn gates_are_read_in_either_unit() {
    let (width, height) = gate("0.980x0.735in").unwrap();
    assert!((width.to_mm() - 24.892).abs() < 1e-12 && (height.to_mm() - 18.669).abs() < 1e-12);
    let (width, height) = gate("24.89 x 18.66 mm").unwrap();
    assert_eq!((width.to_mm(), height.to_mm()), (24.89, 18.66));
    for text in ["24.89x18.66", "24.89mm", "axbmm", "0x5mm", "1x1e9mm"] {
        assert!(gate(text).is_err(), "{text}");
    }
}

#[test]
fn lengths_are_read_in_every_unit() {
    let read = |text| length(text, &range::CIRCLE).unwrap().to_mm();
    assert_eq!(read("25um"), 0.025);
    assert_eq!(read("0.025 mm"), 0.025);
    assert_eq!(read("0.001in"), 0.001 * 25.4);
    assert!(matches!(
        length("0.025", &range::CIRCLE),
        Err(Unreadable::BareNumber { .. })
    ));
}

#[test]
fn twelve_inches_never_show() {
    for count in 0..(20 * 12 * 64) {
        let text = in_64ths(count);
        assert!(!text.contains("′12"), "{text}");
    }
    assert_eq!(in_64ths(12 * 64), "1′");
    assert_eq!(in_64ths(2 * 12 * 64 + 16), "2′0¼″");
    assert_eq!(in_64ths((5 * 12 + 7) * 64 + 12), "5′7 3⁄16″");
}

#[test]
fn figures_round_to_the_safe_side() {
    let six_feet = Reach::At(Length::inches(72.0));
    let inch = step_for(six_feet, Unit::Feet, Reach::Infinity);
    assert_eq!(inch, Step::Inch64ths(32));
    let near = Length::inches(69.3);
    assert_eq!(rounded(near, inch, Round::Up), "5′9½″");
    assert_eq!(rounded(near, inch, Round::Down), "5′9″");
    assert_eq!(
        rounded(Length::mm(2590.0), Step::TenthsOfMm(200), Round::Up),
        "2.60 m"
    );
    // Depth of 3 in at 9 ft would be three steps of an inch: half an inch then.
    let fine = step_for(
        Reach::At(Length::inches(108.0)),
        Unit::Feet,
        Reach::At(Length::inches(3.0)),
    );
    assert_eq!(fine, Step::Inch64ths(32));
}

#[test]
fn every_eighth_stands_close_to_its_inches() {
    // One sign needs no gap, whatever its length in bytes.
    assert_eq!(in_64ths(6 * 64 + 24), "6⅜″");
    assert_eq!(in_64ths(6 * 64 + 32), "6½″");
    assert_eq!(in_64ths(6 * 64 + 12), "6 3⁄16″");
}

#[test]
fn lengths_beyond_any_figure_are_shown_without_falling() {
    for mm in [1e30, -1e30, 1e100] {
        for step in [Step::Inch64ths(64), Step::TenthsOfMm(200)] {
            for round in [Round::Up, Round::Down, Round::Nearest] {
                assert!(!rounded(Length::mm(mm), step, round).is_empty());
            }
        }
    }
    assert!(matches!(
        distance("99999999999999999.6", IN_FEET),
        Err(Unreadable::OutOfRange { .. })
    ));
}

proptest::proptest! {
    #[test]
    fn what_is_shown_reads_back_the_same_in_feet(count in 1i64..200_000) {
        let typed = Length::from_inch_64ths(count);
        let shown = exact_distance(FocusDistance::at(typed.max(Length::mm(1.0))).unwrap(), Unit::Feet);
        let back = distance(&shown, HERE).unwrap();
        proptest::prop_assert_eq!(back.reach(), Reach::At(typed.max(Length::mm(1.0))));
    }

    #[test]
    fn what_is_shown_reads_back_the_same_in_metres(mm in 1.0f64..1e9) {
        let typed = FocusDistance::at(Length::mm(mm)).unwrap();
        let back = distance(&exact_distance(typed, Unit::Metres), HERE).unwrap();
        proptest::prop_assert_eq!(back, typed);
    }

    #[test]
    fn no_text_makes_a_parser_fall(text in "\\PC{0,40}") {
        let _ = distance(&text, HERE);
        let _ = distance(&text, IN_FEET);
        let _ = number(&text, &range::DIAMETER);
        let _ = stop(&text, None);
        let _ = gate(&text);
        let _ = length(&text, &range::CIRCLE);
    }

    #[test]
    fn no_number_makes_a_parser_fall(text in "[-+]?[0-9.]{0,6}(e[-+]?[0-9]{0,12})?(mm|'|in|ft| 1/2'|/4)?") {
        let _ = distance(&text, HERE).map_err(|refused| (refused.to_string(), refused.help()));
        let _ = stop(&text, None);
        let _ = length(&text, &range::HIATUS);
    }
}

#[test]
fn limits_are_told_in_the_unit_people_say_them_in() {
    let said = |text: &str, range: &'static range::Range| {
        let reason = parse::length(text, range).expect_err("out of range");
        format!("{reason}; {}", reason.help().expect("help"))
    };
    assert_eq!(
        said("0.5mm", &range::DISTANCE),
        "distance 0.5 mm is outside 1 mm to 1000 km; look again at the figure and its unit"
    );
    assert!(said("19mm", &range::CIRCUMFERENCE).contains("19 mm is outside 20 to 2000 mm"));
    assert!(said("2000m", &range::BESIDE).contains("2 km is outside 0 to 1 km"));
}
