//! Two thousand lenses and rings nobody chose.

use std::collections::BTreeMap;

use markwright::draw::Paper;
use markwright::draw::tape::{self, NoRoom};
use markwright::gear::{Sense, Side, WitnessEdge};
use markwright::scene::{Correction, Page};
use markwright::sheets::{Names, NoTape};
use markwright::units::{Length, Unit};

use super::face::{is_tiny, lacking};
use super::lenses::Lens;
use super::measure::{Piece, measured, pieces};
use super::pages::pdf;
use super::reader::{Box, Read, read};

/// Splitmix64 (Steele, Lea, Flood 2014), so that a failure can be had again.
pub struct Dice(pub u64);

impl Dice {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    pub fn within(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn one_in(&mut self, count: u64) -> bool {
        self.next().is_multiple_of(count)
    }

    pub fn of<T: Copy>(&mut self, all: &[T]) -> T {
        all[(self.next() % all.len() as u64) as usize]
    }

    pub fn maybe<T>(&mut self, value: T) -> Option<T> {
        (!self.one_in(3)).then_some(value)
    }
}

pub const WORDS: [&str; 8] = [
    "",
    "B",
    "50 mm",
    "near set, second lens",
    "a label that somebody wrote with much love and no thought for the width of a tape",
    "Wwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww",
    "Ж 字 \u{202E} \u{7} \n é",
    "1/2 ± ″",
];

pub fn lens(dice: &mut Dice) -> Lens {
    let focal = dice.of(&[
        8.0, 12.0, 18.0, 25.0, 32.0, 50.0, 75.0, 100.0, 135.0, 200.0, 300.0,
    ]);
    let close_focus = focal * dice.within(4.5, 40.0);
    let travel = if dice.one_in(12) {
        360.0
    } else {
        dice.within(35.0, 362.0)
    };
    let unit = dice.of(&[Unit::Feet, Unit::Metres]);
    let each = match unit {
        Unit::Feet => 304.8,
        Unit::Metres => 1000.0,
    };
    let engraved = [
        f64::INFINITY,
        50.0,
        20.0,
        10.0,
        8.0,
        6.0,
        5.0,
        4.0,
        3.0,
        2.0,
        1.0,
        0.5,
    ];
    let engraved = engraved
        .into_iter()
        .map(|distance| distance * each)
        .filter(|&distance| distance >= close_focus);
    let engraved: Vec<f64> = engraved.filter(|_| dice.one_in(3)).collect();
    let band = dice.within(3.0, 30.0);
    let word = |dice: &mut Dice| {
        let word = dice.of(&WORDS).to_owned();
        dice.maybe(word)
    };
    Lens {
        focal,
        stop: dice.of(&[1.3, 2.0, 2.8, 5.6, 16.0]),
        circle: dice.within(0.005, 0.04),
        close_focus,
        travel,
        diameter: Some(dice.within(38.0, 156.0)),
        thickness: dice.within(0.05, 0.6),
        sense: dice.of(&[Sense::Clockwise, Sense::CounterClockwise]),
        witness: dice.of(&[WitnessEdge::Rear, WitnessEdge::Front]),
        band: dice.maybe(band),
        unit,
        stops: if dice.one_in(3) {
            (Some(dice.within(0.0, 30.0)), Some(dice.within(0.0, 30.0)))
        } else {
            (None, None)
        },
        own: None,
        engraved,
        engraved_off: 0.0,
        off: None,
        measured: None,
        names: Names {
            title: word(dice),
            focal: dice
                .of(&["8", "18", "100", "25–250", "a very long focal length"])
                .into(),
            widest: dice.maybe("T2.1".to_owned()),
            id: word(dice),
            label: word(dice),
            serial: word(dice),
            camera: dice.maybe("A".to_owned()),
            prepared: dice.maybe("2031-04-02".to_owned()),
        },
    }
}

/// Measured marks of a ring that is not quite a helicoid, from any zero.
fn with_marks(mut lens: Lens, dice: &mut Dice) -> Lens {
    let (zero, sign) = (dice.within(-100.0, 300.0), dice.of(&[-1.0, 1.0]));
    let count = 2 + dice.next() % 12;
    let mut shares: Vec<f64> = (0..count).map(|_| dice.within(0.0, 1.0)).collect();
    shares.push(if dice.one_in(2) { 0.0 } else { 0.07 });
    shares.sort_by(f64::total_cmp);
    shares.dedup_by(|one, other| (*one - *other).abs() < 0.01);
    let scale = dice.within(30.0, 420.0);
    let rows = shares.iter().map(|&share| {
        let distance = if share == 0.0 {
            f64::INFINITY
        } else {
            lens.close_focus / share
        };
        (
            distance,
            zero + sign * scale * (share + 0.03 * share * share),
        )
    });
    lens.measured = Some(rows.collect());
    if dice.one_in(2) {
        lens.diameter = None;
    }
    lens
}

fn refused(fault: &NoRoom) -> &'static str {
    match fault {
        NoRoom::Band { .. } => "band under 4.8 mm",
        NoRoom::Paper { .. } => "paper too small",
        NoRoom::Figures { .. } => "required figures collide",
    }
}

#[test]
fn two_thousand_lenses_print_without_a_collision_or_say_why_not() {
    let mut all: BTreeMap<&str, u32> = BTreeMap::new();
    std::thread::scope(|scope| {
        let parts = [1, 2, 3, 4].map(|seed| scope.spawn(move || five_hundred(seed)));
        for part in parts {
            for (what, count) in part.join().expect("nothing failed in a part") {
                *all.entry(what).or_default() += count;
            }
        }
    });
    println!("{all:?}");
    assert_eq!(all.values().sum::<u32>(), 2000);
    assert!(all["printed"] > 1700, "{all:?}");
    // All but impossible: full turns with both reference marks at one end.
    let collide = all.get("required figures collide");
    assert!(collide.is_none_or(|&count| count < 10), "{all:?}");
}

/// Prints and measures; how many came out how.
fn five_hundred(seed: u64) -> BTreeMap<&'static str, u32> {
    let (mut dice, mut prep) = (Dice(seed), Dice(seed + 100));
    let roll = Paper::roll(Length::mm(25.0), Length::mm(330.0)).expect("a roll");
    let papers: Vec<&Paper> = Paper::all().iter().chain([&roll]).collect();
    let mut counts: BTreeMap<&str, u32> = BTreeMap::new();
    let mut count = |what| *counts.entry(what).or_default() += 1;
    let mut printed: Vec<(Lens, Side, &Paper, Vec<Page>)> = Vec::new();
    for _ in 0..500 {
        let mut lens = lens(&mut dice);
        if dice.one_in(3) {
            lens = with_marks(lens, &mut dice);
        }
        if prep.one_in(4) {
            lens.off = Some((prep.within(0.0, 0.15), prep.within(0.0, 0.08)));
        }
        let side = dice.of(&[Side::Left, Side::Right]);
        let paper = dice.of(&papers);
        let tape = match lens.tape() {
            Ok(tape) => tape,
            Err(NoTape::CoversItself { .. }) => {
                count("covers itself");
                continue;
            }
            Err(other) => panic!("{other:?}: {lens:?}"),
        };
        match tape::draw(&[tape], side, paper, Correction::NONE) {
            Ok(pages) => {
                count("printed");
                printed.push((lens, side, paper, pages));
            }
            Err(fault) => {
                assert!(!fault.to_string().is_empty());
                count(refused(&fault));
            }
        }
    }
    let mut faces_lack = 0;
    // One file for many, since each file carries its letters.
    for batch in printed.chunks(100) {
        let pages: Vec<Page> = batch.iter().flat_map(|tape| tape.3.clone()).collect();
        let mut read = read(&pdf(&pages)).into_iter();
        for (lens, side, paper, pages) in batch {
            let read: Vec<Read> = read.by_ref().take(pages.len()).collect();
            let what = format!("on {}, {side:?}: {lens:?}", paper.id());
            let is_roll = *paper == &roll;
            for page in &read {
                assert_clean(page, if is_roll { 1.9 } else { 7.9 }, &what);
            }
            let pieces: Vec<Piece> = read.iter().flat_map(pieces).collect();
            assert!(!pieces.is_empty(), "{what}");
            let lacks = lacking(lens, &pieces);
            if !lacks.is_empty() {
                assert!(is_tiny(lens, paper.id()), "no {lacks:?} {what}");
                assert!(
                    !lacks.contains(&"arrow") && !lacks.contains(&"unit"),
                    "{lacks:?} {what}"
                );
                faces_lack += 1;
            }
            if lens.measured.is_none() {
                let found = measured(lens, *side, &pieces);
                assert!(found.is_ok(), "{found:?}: {what}");
            }
        }
    }
    // Of some 450; how many are tiny is up to the dice.
    assert!(faces_lack < 10, "{faces_lack} faces lack something");
    counts
}

/// No words on one another or on a line of a tape, none outside their tape or
/// the margins, nothing too small to read.
pub fn assert_clean(page: &Read, margin: f64, what: &str) {
    let all = &page.words;
    for (index, one) in all.iter().enumerate() {
        for other in &all[index + 1..] {
            let apart = !one.figures().overlaps(&other.figures());
            assert!(apart, "{one:?} on {other:?}: {what}");
        }
        for (x, y) in [one.at, one.end] {
            let inside =
                x >= margin && y >= margin && x <= page.width - margin && y <= page.height - margin;
            assert!(inside, "{one:?} beyond the margin: {what}");
        }
        assert!(one.size * 1493.0 / 2048.0 > 1.999, "{one:?}: {what}");
    }
    for line in &page.lines {
        assert!(line.width > 0.249 && line.width < 0.351, "{line:?}: {what}");
    }
    for piece in pieces(page) {
        assert_triangles_clear(&piece, what);
        for (words, at) in &piece.words {
            let inside = at.low.0 >= -0.01
                && at.low.1 >= -0.01
                && at.high.0 <= piece.length + 0.01
                && at.high.1 <= piece.height + 0.01;
            assert!(inside, "{words} leaves its tape: {what}");
            for fill in &piece.fills {
                let apart = !around(fill).overlaps(at);
                assert!(apart, "{fill:?} on {words}: {what}");
            }
            for line in &piece.lines {
                let crossed = shrunk(at).is_some_and(|at| crosses(line.from, line.to, &at));
                assert!(!crossed, "{line:?} through {words} {at:?}: {what}");
            }
        }
    }
}

/// No other mark runs through the triangle of one the tape is lined up on.
fn assert_triangles_clear(piece: &Piece, what: &str) {
    for on_top in [false, true] {
        let from_edge = |at: &(f64, f64)| if on_top { piece.height - at.1 } else { at.1 };
        let ticks = piece.ticks(on_top);
        // Its tip is drawn first, on a line from the edge.
        let has_line = |tip: &(f64, f64)| {
            let ends = |tick: &(f64, f64)| {
                (tick.0 - tip.0).abs() < 0.01 && (tick.1 - from_edge(tip)).abs() < 0.01
            };
            ticks.iter().any(ends)
        };
        for corners in piece
            .fills
            .iter()
            .filter(|corners| corners.len() == 3 && has_line(&corners[0]))
        {
            let (tip, around) = (corners[0], around(corners));
            let through = ticks.iter().find(|tick| {
                let beside = (tick.0 - tip.0).abs() > 0.02;
                let within = tick.0 > around.low.0 && tick.0 < around.high.0;
                beside && within && tick.1 > from_edge(&tip) + 0.5
            });
            assert!(through.is_none(), "{through:?} through {corners:?}: {what}");
        }
    }
}

/// The rectangle around corners.
fn around(corners: &[(f64, f64)]) -> Box {
    let start = Box {
        low: (f64::MAX, f64::MAX),
        high: (f64::MIN, f64::MIN),
    };
    corners.iter().fold(start, |around, corner| Box {
        low: (around.low.0.min(corner.0), around.low.1.min(corner.1)),
        high: (around.high.0.max(corner.0), around.high.1.max(corner.1)),
    })
}

/// A rectangle without a rim that lines may graze.
pub fn shrunk(at: &Box) -> Option<Box> {
    let rim = 0.05;
    let low = (at.low.0 + rim, at.low.1 + rim);
    let high = (at.high.0 - rim, at.high.1 - rim);
    (low.0 < high.0 && low.1 < high.1).then_some(Box { low, high })
}

/// Whether a line has a part within a rectangle (Liang and Barsky's clipping).
pub fn crosses(from: (f64, f64), to: (f64, f64), at: &Box) -> bool {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let (mut first, mut last) = (0.0_f64, 1.0_f64);
    for (step, room) in [
        (-dx, from.0 - at.low.0),
        (dx, at.high.0 - from.0),
        (-dy, from.1 - at.low.1),
        (dy, at.high.1 - from.1),
    ] {
        if step == 0.0 {
            if room < 0.0 {
                return false;
            }
        } else if step < 0.0 {
            first = first.max(room / step);
        } else {
            last = last.min(room / step);
        }
    }
    first < last
}
