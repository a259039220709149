//! Sixteen hundred discs nobody chose.

use std::collections::BTreeMap;

use markwright::draw::disc::NoRoom;
use markwright::gear::{Sense, Side};
use markwright::scene::Page;
use markwright::units::Length;

use super::disc_measure::{crossed, found, measured, outside, overlapping, turns};
use super::driven::Driven;
use super::many::{Dice, lens};
use super::pages::pdf;
use super::reader::{Read, read};

fn driven(dice: &mut Dice) -> Driven {
    let mut lens = lens(dice);
    // A kit writes words in cells of a table.
    let label = dice.of(&[
        "X",
        "50 B",
        "near set, second lens",
        "somebody wrote this with much love and no thought",
    ]);
    lens.names.label = Some(label.into());
    lens.diameter = Some(80.0);
    lens.travel = dice.within(35.0, 362.0);
    let inner = dice.within(18.0, 50.0);
    let outer = inner + dice.within(20.0, 74.0);
    let by_teeth = !dice.one_in(4);
    let ratio = dice.of(&[0.25, 0.4, 0.5, 1.0, 1.0, 1.5, 2.0]);
    let stop = |dice: &mut Dice| {
        let beyond = dice.within(0.5, 12.0);
        dice.one_in(3).then_some(beyond)
    };
    Driven {
        ring_teeth: by_teeth.then(|| dice.of(&[80, 98, 104, 110, 116, 128])),
        drive_teeth: by_teeth.then(|| dice.of(&[30, 35, 40, 60])),
        ratios: if dice.one_in(5) {
            vec![ratio, ratio / 2.0]
        } else {
            vec![ratio]
        },
        knob_travel: (!by_teeth).then(|| dice.within(60.0, 1000.0)),
        side: dice.of(&[None, Some(Side::Left), Some(Side::Right)]),
        reversed: dice.one_in(2),
        outer: Some(outer),
        inner: Some(inner),
        beyond: (stop(dice), stop(dice)),
        engraved: dice.one_in(2),
        wheel: None,
        usable: None,
        wheel_sense: Some(Sense::Clockwise),
        preset: None,
        lens,
    }
}

fn refused(reason: &NoRoom) -> &'static str {
    match reason {
        NoRoom::Turns { .. } => "more turns than tracks",
        NoRoom::Figures { .. } => "required figures collide",
        NoRoom::Words { .. } => "no room for words",
        NoRoom::Paper { .. } => "paper too small",
    }
}

#[test]
fn sixteen_hundred_discs_are_true_or_say_why_not() {
    let mut all: BTreeMap<&str, u32> = BTreeMap::new();
    std::thread::scope(|scope| {
        let parts = [21, 22, 23, 24].map(|seed| scope.spawn(move || four_hundred(seed)));
        for part in parts {
            for (what, count) in part.join().expect("nothing failed in a part") {
                *all.entry(what).or_default() += count;
            }
        }
    });
    println!("{all:?}");
    assert_eq!(all.values().sum::<u32>(), 1600);
    assert!(all["printed"] > 950, "{all:?}");
    let collide = all.get("required figures collide");
    assert!(collide.is_none_or(|&count| count < 60), "{all:?}");
}

/// Prints and measures; how many kits came out how.
fn four_hundred(seed: u64) -> BTreeMap<&'static str, u32> {
    let mut dice = Dice(seed);
    let mut counts: BTreeMap<&str, u32> = BTreeMap::new();
    let mut printed: Vec<(Driven, Vec<f64>, Vec<Page>)> = Vec::new();
    for _ in 0..400 {
        let driven = driven(&mut dice);
        let discs = driven
            .discs()
            .unwrap_or_else(|reason| panic!("{reason:?}: {driven:?}"));
        let align = discs.iter().map(|disc| {
            let at = disc.scale.align.distance.reach().finite();
            at.map_or(f64::INFINITY, Length::to_mm)
        });
        let id = dice.of(&["a4", "letter", "a5"]);
        match driven.pages(id) {
            Ok(pages) => {
                *counts.entry("printed").or_default() += 1;
                printed.push((driven.clone(), align.collect(), pages));
            }
            Err(reason) => {
                assert!(!reason.to_string().is_empty());
                *counts.entry(refused(&reason)).or_default() += 1;
            }
        }
    }
    for batch in printed.chunks(100) {
        let pages: Vec<Page> = batch.iter().flat_map(|disc| disc.2.clone()).collect();
        let mut read = read(&pdf(&pages)).into_iter();
        for (driven, align, pages) in batch {
            let read: Vec<Read> = read.by_ref().take(pages.len()).collect();
            for page in &read {
                assert_page(page, driven);
            }
            let discs: Vec<_> = read.iter().flat_map(found).collect();
            assert_eq!(discs.len(), driven.ratios.len(), "{driven:?}");
            for (speed, disc) in discs.iter().enumerate() {
                let ticks = measured(driven, speed, disc, align[speed]);
                assert!(ticks.is_ok(), "{ticks:?}: {driven:?}");
                assert_eq!(disc.arrow(), turns(driven), "{driven:?}");
                // The least wording cuts it off.
                let standing = if driven.engraved { "ENGRA" } else { "COMPU" };
                for words in [standing, "VERIFY BY EYE", "= nearer", "mm"] {
                    assert!(disc.says(words), "{words}: {driven:?}");
                }
                assert_eq!(crossed(disc), None, "{driven:?}");
                let beyond = outside(disc).map(|words| format!("{words:?}"));
                assert_eq!(beyond, None, "{driven:?}");
            }
        }
    }
    counts
}

/// No words on one another, none and no line beyond the margins, none too small.
fn assert_page(page: &Read, driven: &Driven) {
    let two = overlapping(&page.words).map(|two| format!("{two:?}"));
    assert_eq!(two, None, "{driven:?}");
    let inside = |(x, y): (f64, f64)| {
        x >= 7.9 && y >= 7.9 && x <= page.width - 7.9 && y <= page.height - 14.9
    };
    for words in &page.words {
        assert!(
            inside(words.at) && inside(words.end),
            "{words:?}: {driven:?}"
        );
        assert!(words.height() > 1.999, "{words:?}: {driven:?}");
    }
    for line in &page.lines {
        assert!(inside(line.from) && inside(line.to), "{line:?}: {driven:?}");
        assert!(
            line.width > 0.249 && line.width < 0.351,
            "{line:?}: {driven:?}"
        );
    }
    for bend in &page.bends {
        assert!(
            bend.points.iter().all(|&at| inside(at)),
            "{bend:?}: {driven:?}"
        );
    }
}
