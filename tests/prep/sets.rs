//! Simulated days of several lenses on a camera: whose error is it?

use markwright::scale::prep::{BodyVerdict, Judged, LensVerdict, OnTest, PrepDay};
use markwright::units::{Length, Stop, StopKind};

use crate::bench::{LENSES, RING_SD, Read, Real, World, row};
use crate::random::Chance;

struct Counted {
    of: u32,
    one: u32,
    two: u32,
}

impl Counted {
    const fn none() -> Self {
        Self {
            of: 0,
            one: 0,
            two: 0,
        }
    }

    fn add(&mut self, found: f64, truth: f64, sd: f64) {
        let miss = (found - truth).abs() / sd;
        self.of += 1;
        self.one += u32::from(miss < 1.0);
        self.two += u32::from(miss < 2.0);
    }

    fn holds(&self, what: &str) {
        let share = |part: u32| 100.0 * f64::from(part) / f64::from(self.of);
        let (one, two) = (share(self.one), share(self.two));
        println!("{what}: {one:.1} % within one standard error, {two:.1} % within two");
        assert!((one - 68.3).abs() <= 4.0, "{what}: {one}");
        assert!((two - 95.4).abs() <= 3.0, "{what}: {two}");
    }

    /// The same where few lenses leave how much they differ uncertain: errors
    /// are then on the safe side.
    fn holds_at_least(&self, what: &str) {
        let share = |part: u32| 100.0 * f64::from(part) / f64::from(self.of);
        let (one, two) = (share(self.one), share(self.two));
        println!("{what}: {one:.1} % within one standard error, {two:.1} % within two");
        assert!((66.0..80.0).contains(&one), "{what}: {one}");
        assert!((94.0..99.0).contains(&two), "{what}: {two}");
    }
}

/// Distances each lens of a set is read at, mm.
const DISTANCES: [f64; 6] = [1250.0, 1500.0, 2000.0, 3000.0, 5000.0, 8000.0];

fn judge(lenses: &[Real], world: impl Fn(usize) -> World, chance: &mut Chance) -> Judged {
    let written: Vec<_> = lenses
        .iter()
        .enumerate()
        .map(|(at, real)| real.lens(&format!("{at}")))
        .collect();
    let rows: Vec<Vec<_>> = lenses
        .iter()
        .zip(&written)
        .enumerate()
        .map(|(at, (real, lens))| {
            let mut row = |&taped: &f64| row(real, lens, taped, world(at), Read::Turn, 0.0, chance);
            DISTANCES.iter().map(&mut row).collect()
        })
        .collect();
    let on_test = written.iter().zip(&rows).map(|(lens, rows)| OnTest {
        lens,
        marks: None,
        rows: rows.iter().collect(),
        tolerated: Length::mm(0.05),
        with_steps: false,
    });
    let day = PrepDay {
        camera: None,
        hook: Length::ZERO,
        lenses: on_test.collect(),
    };
    day.judge(&mut ()).unwrap().unwrap()
}

#[test]
fn camera_lenses_and_tape_are_known_as_well_as_they_are_said_to_be() {
    let [mut camera, mut as_read, mut own, mut zero] = [const { Counted::none() }; 4];
    let mut chance = Chance::of(11);
    for _ in 0..1000 {
        let lenses: Vec<Real> = (0..6).map(|_| chance.one_of(&LENSES)).collect();
        let (delta, tape_zero) = (chance.normal(0.03), chance.normal(3.0));
        // What mounts are set to by custom.
        let shares: Vec<f64> = lenses.iter().map(|_| chance.normal(0.01)).collect();
        let world = |at: usize| World {
            delta: delta + shares[at],
            tape_zero,
        };
        let day = judge(&lenses, world, &mut chance);
        let body = day.body.found.unwrap();
        camera.add(body.error.to_mm(), delta, body.standard_error.to_mm());
        zero.add(
            day.tape_zero.error.to_mm(),
            tape_zero,
            day.tape_zero.standard_error.to_mm(),
        );
        for (lens, share) in day.lenses.iter().zip(&shares) {
            let read = lens.as_read;
            as_read.add(
                read.error.to_mm(),
                delta + share,
                read.standard_error.to_mm(),
            );
            let by_itself = lens.own.unwrap();
            own.add(
                by_itself.error.to_mm(),
                *share,
                by_itself.standard_error.to_mm(),
            );
        }
    }
    camera.holds_at_least("camera");
    as_read.holds("lens as read");
    own.holds_at_least("lens by itself");
    zero.holds("zero of the tape");
}

#[test]
fn a_lens_that_is_off_alone_is_not_the_cameras_fault() {
    let mut chance = Chance::of(12);
    let (mut right, mut disturbed) = (0, 0);
    const DAYS: i32 = 300;
    for _ in 0..DAYS {
        let world = |at: usize| World {
            delta: if at == 2 { 0.12 } else { 0.0 },
            tape_zero: 1.0,
        };
        let lenses = [1, 3, 5, 6, 7].map(|at| LENSES[at]);
        let day = judge(&lenses, world, &mut chance);
        let own = |at: usize| day.lenses[at].own_verdict;
        let shifted =
            day.lenses[2].verdict == LensVerdict::Shifted && own(2) == Some(LensVerdict::Shifted);
        let others = [0, 1, 3, 4]
            .iter()
            .all(|&at| own(at) != Some(LensVerdict::Shifted));
        right += i32::from(shifted && others);
        disturbed += i32::from(day.body.verdict == BodyVerdict::Off);
    }
    assert!(right >= DAYS * 95 / 100, "{right} of {DAYS}");
    assert!(disturbed <= DAYS * 5 / 100, "{disturbed} of {DAYS}");
}

#[test]
fn a_camera_that_is_off_makes_all_lenses_read_shifted_and_none_to_blame() {
    let mut chance = Chance::of(13);
    let mut right = 0;
    const DAYS: i32 = 300;
    for _ in 0..DAYS {
        let world = |_| World {
            delta: -0.1,
            tape_zero: -2.0,
        };
        let lenses = [1, 3, 5, 6].map(|at| LENSES[at]);
        let day = judge(&lenses, world, &mut chance);
        let blamed = |own: Option<LensVerdict>| own == Some(LensVerdict::Shifted);
        let none = day.lenses.iter().all(|lens| !blamed(lens.own_verdict));
        right += i32::from(day.body.verdict == BodyVerdict::Off && none);
    }
    assert!(right >= DAYS * 95 / 100, "{right} of {DAYS}");
}

#[test]
fn two_cameras_are_compared_by_lenses_read_on_both() {
    let mut counted = Counted::none();
    let mut chance = Chance::of(14);
    for _ in 0..1000 {
        let lenses: Vec<Real> = (0..3).map(|_| chance.one_of(&LENSES)).collect();
        // Lenses off by much cancel.
        let shares: Vec<f64> = lenses.iter().map(|_| chance.normal(0.05)).collect();
        let on = |delta: f64, chance: &mut Chance| {
            let tape_zero = chance.normal(3.0);
            let world = |at: usize| World {
                delta: delta + shares[at],
                tape_zero,
            };
            judge(&lenses, world, chance)
        };
        let (a, b) = (on(0.02, &mut chance), on(-0.01, &mut chance));
        let apart = a.farther_than(&b, &[(0, 0), (1, 1), (2, 2)]).unwrap();
        counted.add(apart.error.to_mm(), 0.03, apart.standard_error.to_mm());
        assert_eq!(a.farther_than(&b, &[(0, 0)]), None, "never on one lens");
    }
    counted.holds("between cameras");
}

/// One lens read at two stops, the focus moved by `moved` at the second.
fn two_stops(moved: f64, seed: u64) -> LensVerdict {
    let mut chance = Chance::of(seed);
    let real = LENSES[5];
    let lens = real.lens("x");
    let mut rows = Vec::new();
    for (stop, delta) in [(2.0, 0.01), (5.6, 0.01 + moved)] {
        let world = World {
            delta,
            tape_zero: 1.0,
        };
        for taped in DISTANCES {
            let mut row = row(&real, &lens, taped, world, Read::Scale, 0.0, &mut chance);
            row.stop = Stop::new(StopKind::F, stop).unwrap();
            rows.push(row);
        }
    }
    let day = PrepDay {
        camera: None,
        hook: Length::ZERO,
        lenses: vec![OnTest {
            lens: &lens,
            marks: None,
            rows: rows.iter().collect(),
            tolerated: Length::mm(0.05),
            with_steps: false,
        }],
    };
    day.judge(&mut ()).unwrap().unwrap().lenses[0].verdict
}

#[test]
fn focus_that_moves_with_the_stop_is_told_from_focus_that_does_not() {
    let moving = |moved: f64| {
        (0..500)
            .filter(|&seed| two_stops(moved, seed) == LensVerdict::MovesWithStop)
            .count()
    };
    let (still, moved) = (moving(0.0), moving(0.05));
    assert!(still <= 5, "{still} of 500 that stand still");
    assert!(moved >= 475, "{moved} of 500 that move");
}

#[test]
fn a_scale_wrong_in_places_is_called_uneven_and_no_reader_blamed() {
    let mut chance = Chance::of(15);
    let real = LENSES[5];
    let lens = real.lens("x");
    let (mut uneven, mut blamed) = (0, 0);
    for _ in 0..300 {
        let world = World {
            delta: 0.0,
            tape_zero: 0.0,
        };
        let mut rows = Vec::new();
        for taped in [
            1200.0, 1300.0, 1700.0, 2000.0, 2300.0, 3500.0, 5000.0, 6000.0, 7000.0,
        ] {
            // From 1.7 to 2.3 m the scale stands 4° off.
            let off = if (1700.0..=2300.0).contains(&taped) {
                4.0 / RING_SD
            } else {
                0.0
            };
            rows.push(row(
                &real,
                &lens,
                taped,
                world,
                Read::Turn,
                off,
                &mut chance,
            ));
        }
        let day = PrepDay {
            camera: None,
            hook: Length::ZERO,
            lenses: vec![OnTest {
                lens: &lens,
                marks: None,
                rows: rows.iter().collect(),
                tolerated: Length::mm(0.05),
                with_steps: false,
            }],
        };
        let found = day.judge(&mut ()).unwrap().unwrap();
        uneven += i32::from(found.lenses[0].verdict == LensVerdict::Uneven);
        blamed += i32::from(found.lenses[0].points.iter().any(|point| point.suspect));
    }
    assert!(uneven >= 285, "{uneven} of 300");
    assert!(blamed <= 15, "{blamed} of 300");
}
