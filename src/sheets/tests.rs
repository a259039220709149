//! Tapes and cards of a lens worked by hand.

use super::*;
use crate::gear::{CircleOn, Fitted, LensFigures, Sense, Wanted, WitnessEdge, close_up};
use crate::optics::{Branch, CircleRule};
use crate::scale::prep::Displacement;
use crate::scale::{RingGiven, RingLaw};
use crate::units::{Angle, FocusDistance, Length, Stop, StopKind, Unit};

fn wanted(stop: f64) -> Wanted {
    Wanted {
        lens: LensFigures {
            focal_length: Length::mm(50.0),
            pupil: None,
            pupil_magnification: None,
            transmittance: None,
        },
        stop: Some(Stop::new(StopKind::F, stop).unwrap()),
        frame: None,
        circle: Some(CircleRule::Fixed(Length::mm(0.025))),
        branch: Branch::Far,
        circle_on: CircleOn::Sensor,
        fitted: Fitted::default(),
        waves: None,
        notes: Vec::new(),
    }
}

fn tape() -> Tape {
    tape_of(wanted(2.8))
}

fn tape_of(wanted: Wanted) -> Tape {
    tape_with(wanted, None)
}

/// A tape corrected for what prep day found.
fn tape_with(wanted: Wanted, found: Option<Displacement>) -> Tape {
    let setup = wanted.depth_setup(&mut ()).unwrap();
    let close = FocusDistance::at(Length::m(0.6)).unwrap();
    let ring = RingGiven {
        circumference: Some(Length::mm(80.0 * core::f64::consts::PI)),
        close_focus: Some(close),
    };
    let law = RingLaw::of_travel(setup.setup.lens.bare(), close, Angle::deg(300.0), ring).unwrap();
    let at = law.position(close).unwrap().along_tape(Length::mm(0.1));
    let references = vec![Reference {
        distance: close,
        at: at.unwrap(),
    }];
    let law = match found {
        Some(found) => law.corrected(found, None),
        None => law,
    };
    let wish = TapeWish {
        names: Names {
            focal: "50".into(),
            ..Names::default()
        },
        sense: Sense::Clockwise,
        engraved: None,
        witness: WitnessEdge::Rear,
        thickness: Length::mm(0.1),
        band: None,
        unit: Unit::Feet,
        beyond_infinity: None,
        beyond_near: None,
        references,
        reference: ReferenceKind::Ends,
        bodies: Vec::new(),
        measured: Vec::new(),
    };
    Tape::new(&law, &setup, wish).unwrap()
}

#[test]
fn a_tape_is_as_long_as_its_mid_thickness_wraps() {
    // Trade figure F22 (own computation): 80 mm ring, 300 degrees, 0.10 mm paper.
    assert!((tape().length.to_mm() - 209.70).abs() < 0.005);
}

/// Degrees of this ring for a millimetre of lens travel: 300 over f²/(u − f) at
/// 0.6 m, u = 544.949 (trade figure F10, own computation).
const GAIN: f64 = 300.0 / 5.0510;

#[test]
fn a_correction_moves_every_mark_by_the_gain_times_what_was_found() {
    let found = Displacement {
        error: Length::mm(0.04),
        standard_error: Length::mm(0.002),
    };
    let (plain, moved) = (tape(), tape_with(wanted(2.8), Some(found)));
    assert!(moved.corrected && !plain.corrected);
    // Along paper 0.1 mm thick on a ring of 80 mm.
    let by = GAIN * 0.04 * core::f64::consts::PI * 80.1 / 360.0;
    for tick in &moved.marks {
        let same = plain.marks.iter().find(|other| other.figure == tick.figure);
        let same = same.unwrap_or_else(|| panic!("{tick:?}"));
        assert!(((same.at - tick.at).to_mm() - by).abs() < 1e-3, "{tick:?}");
    }
    // It is lined up on the ring's own mark, which stays where it is.
    assert_eq!(moved.align.at, plain.align.at);
}

#[test]
fn a_mark_that_may_be_off_more_than_half_of_the_ring_tolerance_says_so() {
    // N (1 + m) c of travel is tolerated, 0.070 to 0.077 mm; half of it is 0.035 to 0.039.
    for (standard_error, doubted) in [(0.0165, false), (0.02, true)] {
        let found = Displacement {
            error: Length::mm(0.2),
            standard_error: Length::mm(standard_error),
        };
        let tape = tape_with(wanted(2.8), Some(found));
        let two = GAIN * 2.0 * standard_error * core::f64::consts::PI * 80.1 / 360.0;
        for tick in &tape.marks {
            assert_eq!(tick.doubt.is_some(), doubted, "{tick:?}");
            if let Some(doubt) = tick.doubt {
                assert!((doubt.to_mm() - two).abs() < 1e-3, "{tick:?}");
            }
        }
    }
}

#[test]
fn with_a_close_up_lens_a_tape_says_where_the_whole_focuses() {
    let close_up = close_up("+1@90mm").unwrap();
    let tape = tape_of(Wanted {
        fitted: Fitted {
            front: vec![close_up],
            ..Fitted::default()
        },
        ..wanted(2.8)
    });
    let m = |d: f64| 50.0 / ((d + (d * d - 200.0 * d).sqrt()) / 2.0 - 50.0);
    for (figure, inches) in [("2", 24.0), ("2\u{2032}6", 30.0), ("3", 36.0)] {
        let tick = tape.marks.iter().find(|tick| tick.figure == figure);
        let tick = tick.unwrap_or_else(|| panic!("{figure} is on {:?}", tape.marks));
        // One dioptre 90 mm before the image plane: thin lens, by hand.
        let beyond = 1.0 / (1.0 / (inches * 25.4 - 90.0) - 0.001);
        let place = m(90.0 + beyond) / m(600.0) * tape.length.to_mm();
        assert!((tick.at.to_mm() - place).abs() < 1e-6, "{figure}");
    }
    // No farther than a metre from the close-up lens, and none of the ring's own.
    let farthest = tape.marks.first().map(|tick| tick.figure.clone());
    assert_eq!(farthest.as_deref(), Some("3\u{2032}6"));
    assert!(tape.sharp.is_none());
    assert!(
        tape.assumptions
            .iter()
            .any(|note| note.kind == "scale_void")
    );
}

#[test]
fn the_sharp_dimension_is_what_the_ring_allows() {
    // Trade figure F12 (own computation): about ±4.2° of this ring, 2.9 to 3.3 mm on 80 mm.
    let sharp = tape().sharp.unwrap();
    assert!(
        sharp.words.starts_with("±3.2 mm") || sharp.words.starts_with("±3.0 mm"),
        "{}",
        sharp.words
    );
}

#[test]
fn a_card_says_nothing_more_hopeful_than_the_limits() {
    let setup = wanted(2.8).depth_setup(&mut ()).unwrap();
    let wish = CardWish {
        names: Names {
            focal: "50".into(),
            ..Names::default()
        },
        unit: Unit::Feet,
        engraved: None,
        close_focus: FocusDistance::at(Length::inches(24.0)).unwrap(),
        stops: [2.0, 2.8, 4.0]
            .map(|n| wanted(n).depth_setup(&mut ()).unwrap())
            .to_vec(),
        words: CardWords::ALL,
    };
    let card = Card::new(&setup, wish).unwrap();
    assert!(card.lines.len() <= MOST_LINES);
    for pair in card.lines.windows(2) {
        assert_ne!(pair[0].focus, pair[1].focus);
    }
    assert_eq!(card.lines[0].focus, "2′");
}
