//! Simulated prep days: how often is what is said so?

use markwright::scale::prep::{Judged, LensVerdict, OnTest, PrepDay};
use markwright::units::Length;

use crate::bench::{LENSES, Read, Real, World, distances, row};
use crate::random::Chance;

/// What was counted over many days.
#[derive(Debug, Default)]
struct Count {
    days: u32,
    within_one: u32,
    within_two: u32,
    misread: u32,
    named: u32,
    good_named: u32,
    /// Days that ought to be called true or shifted, and those that were.
    ought_true: u32,
    called_true: u32,
    ought_shifted: u32,
    called_shifted: u32,
    true_unknowing: u32,
}

/// Days of each kind.
const DAYS: u32 = 4000;

fn share(part: u32, whole: u32) -> f64 {
    100.0 * f64::from(part) / f64::from(whole.max(1))
}

/// One lens of any kind on one camera.
fn day(points: usize, one_in_ten_off: bool, chance: &mut Chance, count: &mut Count) {
    let cam = chance.one_of(&[0.0, 0.0, -0.4, 0.4]);
    let real = Real {
        cam,
        ..chance.one_of(&LENSES)
    };
    let read = chance.one_of(&[Read::Scale, Read::Turn]);
    let tolerated = chance.one_of(&[0.02, 0.04, 0.07]);
    let world = World {
        delta: tolerated * chance.one_of(&[0.0, 0.1, 0.25, 1.5, 2.0]) * chance.sign(),
        tape_zero: chance.normal(3.0),
    };
    let lens = real.lens("x");
    let marks = (cam != 0.0).then(|| real.marks());
    let taped = distances(&real, points, world.delta, read, chance);
    let mut off = vec![0.0; points];
    if one_in_ten_off {
        for _ in 0..(points + 5) / 10 {
            off[chance.below(points)] = chance.sign() * chance.between(6.0, 20.0);
        }
    }
    let rows: Vec<_> = taped
        .iter()
        .zip(&off)
        .map(|(&taped, &off)| row(&real, &lens, taped, world, read, off, chance))
        .collect();
    let day = PrepDay {
        camera: None,
        hook: Length::ZERO,
        lenses: vec![OnTest {
            lens: &lens,
            marks: marks.as_ref(),
            rows: rows.iter().collect(),
            tolerated: Length::mm(tolerated),
            with_steps: false,
        }],
    };
    let Judged { lenses, .. } = day.judge(&mut ()).unwrap().unwrap();
    let found = &lenses[0];
    let (error, se) = (
        found.as_read.error.to_mm(),
        found.as_read.standard_error.to_mm(),
    );
    let miss = (error - world.delta).abs() / se;
    count.days += 1;
    count.within_one += u32::from(miss < 1.0);
    count.within_two += u32::from(miss < 2.0);
    let mut good_named = false;
    for (point, off) in found.points.iter().zip(&off) {
        count.misread += u32::from(*off != 0.0);
        count.named += u32::from(*off != 0.0 && point.suspect);
        good_named |= *off == 0.0 && point.suspect;
    }
    count.good_named += u32::from(good_named);
    let real_off = world.delta.abs();
    let said = |verdict| u32::from(found.verdict == verdict);
    if real_off <= tolerated / 4.0 && se <= tolerated / 5.0 {
        count.ought_true += 1;
        count.called_true += said(LensVerdict::TrueScale);
    }
    if real_off >= 5.0 * se && real_off >= 1.5 * tolerated {
        count.ought_shifted += 1;
        count.called_shifted += said(LensVerdict::Shifted);
    }
    if se > tolerated / 2.0 {
        count.true_unknowing += said(LensVerdict::TrueScale);
    }
}

fn days(number: u32, points: usize, one_in_ten_off: bool) -> Count {
    let mut count = Count::default();
    for seed in 0..number {
        let mut chance = Chance::of(u64::from(seed) * 10 + points as u64);
        day(points, one_in_ten_off, &mut chance, &mut count);
    }
    count
}

/// The issue's own bounds, in percent.
fn verdicts_hold(count: &Count) {
    let called_true = share(count.called_true, count.ought_true);
    let called_shifted = share(count.called_shifted, count.ought_shifted);
    assert!(
        count.ought_true > 500 && count.ought_shifted > 500,
        "{count:?}"
    );
    assert!(called_true >= 95.0, "{count:?}");
    assert!(called_shifted >= 95.0, "{count:?}");
    assert_eq!(count.true_unknowing, 0, "{count:?}");
}

#[test]
fn errors_of_clean_days_are_as_large_as_they_are_said_to_be() {
    for points in [10, 15] {
        let count = days(DAYS, points, false);
        let (one, two) = (share(count.within_one, DAYS), share(count.within_two, DAYS));
        println!("{points} points: {one:.1} % within one standard error, {two:.1} % within two");
        assert!((one - 68.3).abs() <= 3.0, "{count:?}");
        assert!((two - 95.4).abs() <= 2.0, "{count:?}");
        assert!(share(count.good_named, DAYS) <= 1.0, "{count:?}");
        verdicts_hold(&count);
    }
}

#[test]
fn one_reading_in_ten_misread_is_named_and_does_no_harm() {
    for points in [10, 15] {
        let count = days(DAYS, points, true);
        let (one, two) = (share(count.within_one, DAYS), share(count.within_two, DAYS));
        let named = share(count.named, count.misread);
        println!("{points} points: {one:.1} %, {two:.1} %, {named:.2} % named");
        assert!((one - 68.3).abs() <= 4.0, "{count:?}");
        assert!(two >= 93.0, "{count:?}");
        assert!(named >= 97.0, "{count:?}");
        verdicts_hold(&count);
    }
}
