//! A law through marks: what it is worth, the mark that does not belong, the
//! help of the engraved scale.

use markwright::gear::{Lens, Mark, MarkKind, MarkPosition, Marks, PositionUnit};
use markwright::scale::LensLaw;
use markwright::units::Angle;

use crate::bench::{Real, at};
use crate::random::Chance;

const CAM: Real = Real {
    focal: 50.0,
    hiatus: -15.6,
    close: 457.2,
    travel: 294.0,
    cam: 0.4,
};

fn mark(distance: f64, turn: f64, kind: MarkKind, sd: Option<f64>) -> Mark {
    Mark {
        distance: at(distance),
        written: format!("{distance}"),
        position: MarkPosition::new(turn).unwrap(),
        settings: Vec::new(),
        kind,
        sd: sd.map(Angle::deg),
        camera: None,
    }
}

fn truth(distance: f64) -> f64 {
    CAM.turn(CAM.focal * CAM.magnification(distance))
}

const DISTANCES: [f64; 11] = [
    f64::INFINITY,
    10_000.0,
    5000.0,
    3000.0,
    2000.0,
    1500.0,
    1200.0,
    900.0,
    700.0,
    550.0,
    457.2,
];

/// Marks at all distances, each off by what `off` says.
fn marks(sd: f64, mut off: impl FnMut(usize) -> f64) -> Marks {
    let row = |(number, &distance): (usize, &f64)| {
        let turn = truth(distance) + off(number);
        mark(distance, turn, MarkKind::Eye, Some(sd))
    };
    let rows = DISTANCES.iter().enumerate().map(row).collect();
    Marks::new(PositionUnit::Deg, rows, 0).unwrap()
}

fn turn(law: &LensLaw<'_>, distance: f64) -> f64 {
    let zero = law.law.position(at(f64::INFINITY)).unwrap();
    let place = law.law.position(at(distance)).unwrap();
    place.minus(zero).turn().unwrap().to_deg()
}

fn band(law: &LensLaw<'_>, distance: f64) -> f64 {
    law.law
        .standard_error(at(distance))
        .unwrap()
        .turn()
        .unwrap()
        .to_deg()
}

#[test]
fn at_a_mark_the_law_is_as_good_as_the_mark() {
    let lens = CAM.lens("x");
    let marks = marks(0.3, |_| 0.0);
    let law = LensLaw::of(&lens, Some(&marks), None).unwrap();
    for distance in DISTANCES {
        assert!((band(&law, distance) - 0.3).abs() < 1e-9, "{distance}");
    }
}

#[test]
fn the_band_is_the_scatter_of_laws_through_marks_read_again_and_again() {
    let lens = CAM.lens("x");
    let exact = marks(0.05, |_| 0.0);
    let law = LensLaw::of(&lens, Some(&exact), None).unwrap();
    let mut chance = Chance::of(3);
    let between = [7000.0, 2400.0, 1000.0, 800.0, 480.0];
    let mut squares = [0.0; 5];
    const READ: usize = 2000;
    for _ in 0..READ {
        // Positions count from the mark at infinity, which is held still here.
        let again = marks(0.05, |number| {
            if number == 0 {
                0.0
            } else {
                chance.normal(0.05)
            }
        });
        let again = LensLaw::of(&lens, Some(&again), None).unwrap();
        for (sum, distance) in squares.iter_mut().zip(between) {
            let off = turn(&again, distance) - turn(&law, distance);
            *sum += off * off;
        }
    }
    for (sum, distance) in squares.into_iter().zip(between) {
        let scatter = libm::sqrt(sum / READ as f64);
        let told = band(&law, distance);
        let ratio = told / scatter;
        assert!(
            (0.93..1.07).contains(&ratio),
            "{distance}: {told} against {scatter}"
        );
    }
}

#[test]
fn a_mark_that_does_not_belong_is_named_and_good_ones_are_not() {
    let lens = CAM.lens("x");
    let (mut named, mut wrongly, mut chance) = (0, 0, Chance::of(4));
    const DAYS: u32 = 1000;
    for _ in 0..DAYS {
        let clean = marks(0.3, |_| chance.normal(0.3));
        let law = LensLaw::of(&lens, Some(&clean), None).unwrap();
        wrongly += u32::from(law.odd_mark(&lens).is_some_and(|odd| odd.is_sure));
        let bad = 1 + chance.below(9);
        let off = chance.sign() * chance.between(10.0, 20.0) * 0.3;
        let one_off = marks(0.3, |number| {
            chance.normal(0.3) + if number == bad { off } else { 0.0 }
        });
        let law = LensLaw::of(&lens, Some(&one_off), None).unwrap();
        let odd = law.odd_mark(&lens).filter(|odd| odd.is_sure);
        let right = |mark: &Mark| mark.distance == at(DISTANCES[bad]);
        named += u32::from(odd.is_some_and(|odd| right(odd.mark)));
    }
    assert!(wrongly <= DAYS / 100, "{wrongly} of {DAYS} named wrongly");
    assert!(named >= DAYS * 95 / 100, "{named} of {DAYS}");
}

/// Three marks by eye and an engraved scale that stands 2.5° off.
fn few_by_eye(lens: &Lens) -> (Marks, Marks) {
    let by_eye = |distance: f64| mark(distance, truth(distance) - 2.5, MarkKind::Eye, Some(0.3));
    let eye: Vec<Mark> = [3000.0, 1200.0, 550.0].map(by_eye).to_vec();
    let engraved = DISTANCES.map(|d| mark(d, truth(d), MarkKind::Engraved, Some(0.1)));
    let mut both = eye.clone();
    both.extend(engraved);
    assert_eq!(lens.close_focus(), at(CAM.close));
    let marks = |rows| Marks::new(PositionUnit::Deg, rows, 0).unwrap();
    (marks(eye), marks(both))
}

#[test]
fn the_engraved_scale_fills_between_marks_found_by_eye() {
    let lens = CAM.lens("x");
    let (eye, both) = few_by_eye(&lens);
    let alone = LensLaw::of(&lens, Some(&eye), None).unwrap();
    let helped = LensLaw::of(&lens, Some(&both), None).unwrap();
    // Seen from the mark at 1.2 m, which both have.
    let from = |law: &LensLaw<'_>, distance: f64| {
        let here = law.law.position(at(distance)).unwrap();
        let there = law.law.position(at(1200.0)).unwrap();
        here.minus(there).turn().unwrap().to_deg()
    };
    let exact = |distance| truth(distance) - truth(1200.0);
    for distance in [5000.0, 2000.0, 900.0, 700.0] {
        let off = (from(&helped, distance) - exact(distance)).abs();
        assert!(off < 0.1, "{distance}: {off}° off");
    }
    assert!(
        (from(&alone, 700.0) - exact(700.0)).abs() > 1.0,
        "three marks alone do not know"
    );
    // What was found by eye stays where it was found, and infinity is told.
    assert!((from(&helped, 3000.0) - exact(3000.0)).abs() < 1e-9);
    assert!((from(&helped, 550.0) - exact(550.0)).abs() < 1e-9);
    assert!(helped.law.tells(at(f64::INFINITY)));
    assert!(band(&helped, 2000.0) < 0.4);
}

#[test]
fn engraved_marks_beside_those_found_by_eye_change_nothing() {
    let lens = CAM.lens("x");
    let row = |&distance: &f64| mark(distance, truth(distance), MarkKind::Eye, None);
    let mut rows: Vec<Mark> = DISTANCES.iter().map(row).collect();
    let marks = |rows: &[Mark]| Marks::new(PositionUnit::Deg, rows.to_vec(), 0).unwrap();
    let eye = marks(&rows);
    let engraved =
        [3000.0, 1200.0, 900.0].map(|d| mark(d, truth(d) + 2.0, MarkKind::Engraved, None));
    rows.extend(engraved);
    let both = marks(&rows);
    let alone = LensLaw::of(&lens, Some(&eye), None).unwrap();
    let helped = LensLaw::of(&lens, Some(&both), None).unwrap();
    assert_eq!(alone.law, helped.law);
}

/// The standard error where each of the marks was read to be, with settings of so
/// many degrees about it.
fn error_with(kind: MarkKind, about: &[f64]) -> f64 {
    let row = |&distance: &f64| {
        let turn = truth(distance);
        let settings = about.iter().map(|by| MarkPosition::new(turn + by).unwrap());
        Mark {
            settings: settings.collect(),
            ..mark(distance, turn, kind, None)
        }
    };
    let rows = DISTANCES.iter().map(row).collect();
    let marks = Marks::new(PositionUnit::Deg, rows, 0).unwrap();
    let lens = CAM.lens("x");
    let law = LensLaw::of(&lens, Some(&marks), None).unwrap();
    let error = law.law.standard_error(at(1200.0)).unwrap();
    error.turn().unwrap().to_deg()
}

#[test]
fn several_settings_make_a_mark_surer_by_the_root_of_their_number() {
    // The variance of a mean is the variance over the number; 0.3° is one setting's.
    for (about, expected) in [
        (&[][..], 0.3),
        (&[0.1, -0.1], 0.3 / libm::sqrt(2.0)),
        (&[0.2, 0.0, -0.2], 0.3 / libm::sqrt(3.0)),
        (&[0.0; 9], 0.1),
        // Beyond chance the sample's own scatter: ±1.5 is 1.5 √2, by √2.
        (&[1.5, -1.5], 1.5),
    ] {
        let error = error_with(MarkKind::Read, about);
        assert!((error - expected).abs() < 1e-6, "{about:?}: {error}");
    }
    // However often it is set, an eye mark stands where the tape was.
    let tape = error_with(MarkKind::Eye, &[0.0; 900]);
    let once = error_with(MarkKind::Eye, &[]);
    let ring = libm::sqrt(once * once - 0.09);
    assert!(tape > 0.05 && (tape - libm::sqrt(ring * ring + 1e-4)).abs() < 1e-6);
}
