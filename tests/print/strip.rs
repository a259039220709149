//! Strips for hand units, read back from the file and measured: a strip is a tape
//! for a wheel, seen on its face as a ring is from behind.

use markwright::draw::Paper;
use markwright::draw::strip;
use markwright::gear::{Sense, Side, WitnessEdge};
use markwright::scene::Correction;
use markwright::sheets::NoStrip;
use markwright::units::Unit;

use super::checks::assert_rulers_are_true;
use super::driven::Driven;
use super::lenses::Lens;
use super::many::{Dice, assert_clean, lens};
use super::measure::{Piece, measured, pieces};
use super::pages::{paper, pdf};
use super::reader::{Read, read};

fn on_paper(driven: &Driven, id: &str) -> Vec<Read> {
    let strip = driven.strip().expect("a strip");
    let pages = strip::draw(&[strip], paper(id), Correction::NONE).expect("room");
    read(&pdf(&pages))
}

/// The tape that is as long as the strip: π (wheel + h) · usable / 360, its ticks
/// toward the body, which is in front of the face as a lens's front is of its rear.
fn as_tape(driven: &Driven) -> (Lens, Side) {
    let lens = Lens {
        diameter: driven.wheel,
        travel: driven.usable.expect("an angle"),
        sense: driven.wheel_sense.expect("a sense"),
        witness: WitnessEdge::Front,
        ..driven.lens.clone()
    };
    (lens, Side::Right)
}

fn all_pieces(pages: &[Read]) -> Vec<Piece> {
    pages.iter().flat_map(pieces).collect()
}

/// The wheel seen on its face, x right, y up, z toward the eye; its strip's page
/// has its top toward the eye. Worked out here by turning a point of the rim.
#[test]
fn turned_toward_close_focus_the_nearer_mark_comes_to_the_index() {
    for sense in [Sense::Clockwise, Sense::CounterClockwise] {
        let driven = Driven {
            wheel_sense: Some(sense),
            ..Driven::fifty()
        };
        let piece = &all_pieces(&on_paper(&driven, "a4"))[0];
        let along = |figure: &str| {
            let all = piece.words.iter().filter(|words| words.0 == figure);
            let high = |at: &super::reader::Box| at.high.1 - at.low.1;
            let large = all.max_by(|one, other| high(&one.1).total_cmp(&high(&other.1)));
            let at = large.expect("a figure").1;
            (at.low.0 + at.high.0) / 2.0
        };
        let nearer_right = along("2") > along("∞");
        // On top of the rim, tops of figures toward the eye (+z): one looks down,
        // and the page's right is the cross product of up the page (+z) and away
        // from the eye's side, (0, 0, 1) × (0, −1, 0) reversed: −x.
        let right_is_x = -1.0;
        // Clockwise the top goes to +x; the next mark comes from the other side.
        let top_goes_x = if sense == Sense::Clockwise { 1.0 } else { -1.0 };
        let comes_from_right = -top_goes_x * right_is_x > 0.0;
        assert_eq!(nearer_right, comes_from_right, "{sense:?}");
        // The arrow goes where the surface goes.
        assert_eq!(piece.arrow() > 0.0, !comes_from_right);
    }
}

#[test]
fn the_scale_is_as_long_as_the_usable_angle_of_the_wheel() {
    // π × (60 + 0.1) × 290 / 360 = 152.0967.
    let strip = Driven::fifty().strip().expect("a strip");
    assert!((strip.scale.length.to_mm() - 152.0967).abs() < 1e-3);
    for usable in [90.0, 290.0, 360.0] {
        for unit in [Unit::Feet, Unit::Metres] {
            let mut driven = Driven {
                usable: Some(usable),
                ..Driven::fifty()
            };
            driven.lens.unit = unit;
            let (lens, side) = as_tape(&driven);
            let found = measured(&lens, side, &all_pieces(&on_paper(&driven, "a4")));
            assert!(found.is_ok(), "{usable}: {found:?}");
        }
    }
}

#[test]
fn a_strip_says_for_which_wheel_and_preset_it_is_and_what_to_calibrate_to() {
    let driven = Driven {
        beyond: (Some(4.0), Some(5.0)),
        ..Driven::fifty()
    };
    let pages = on_paper(&driven, "a4");
    let all: Vec<&str> = pages[0]
        .words
        .iter()
        .map(|words| words.text.as_str())
        .collect();
    let text = all.join(" ");
    for words in [
        "hand unit 1",
        "preset P4",
        "for a wheel ⌀ 60.0 mm, 290.0° of it used",
        "the 290° of the wheel are the ring from infinity to 2 ft",
        "not to the hard stops, which lie beyond",
        "put this line at the index",
        "wheel turns clockwise to close focus, seen on its face",
        "check against a tape before use",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    // Both units, and the preset on the strip itself.
    let piece = &all_pieces(&pages)[0];
    let on_it = |words: &str| piece.words.iter().any(|(it, _)| it.contains(words));
    assert!(
        on_it("preset P4") && on_it("hand unit 1"),
        "{:?}",
        piece.words
    );
    assert!(on_it("ft") && on_it("m"));
}

#[test]
fn a_hand_unit_that_is_not_known_and_one_that_turns_too_far_are_refused() {
    let driven = Driven {
        wheel: None,
        wheel_sense: None,
        ..Driven::fifty()
    };
    let Err(reason @ NoStrip::Unknown { .. }) = driven.strip() else {
        panic!("a strip for a wheel of no size");
    };
    assert!(
        reason.to_string().contains("wheel_diameter and no sense"),
        "{reason}"
    );
    let driven = Driven {
        usable: Some(361.0),
        ..Driven::fifty()
    };
    assert!(matches!(driven.strip(), Err(NoStrip::BeyondOnce { .. })));
}

#[test]
fn every_page_of_strips_has_true_rulers() {
    for paper in Paper::all() {
        for page in on_paper(&Driven::fifty(), paper.id()) {
            assert_rulers_are_true(&page, 1.0, 1.0, paper.id());
        }
    }
}

#[test]
fn a_thousand_strips_are_true_and_nothing_on_them_collides() {
    let mut dice = Dice(11);
    let mut printed = 0;
    for _ in 0..10 {
        let mut batch = Vec::new();
        let mut pages = Vec::new();
        for _ in 0..100 {
            let mut lens = lens(&mut dice);
            // A kit writes words in cells of a table.
            lens.names.label = Some("X".into());
            lens.diameter = Some(80.0);
            lens.travel = dice.within(35.0, 362.0);
            let driven = Driven {
                wheel: Some(dice.within(25.0, 110.0)),
                usable: Some(dice.within(60.0, 360.0)),
                wheel_sense: Some(dice.of(&[Sense::Clockwise, Sense::CounterClockwise])),
                preset: dice.maybe("P4".to_owned()),
                engraved: dice.one_in(2),
                lens,
                ..Driven::fifty()
            };
            let strip = driven.strip().expect("a strip");
            let id = dice.of(&["a4", "letter", "a5"]);
            match strip::draw(&[strip], paper(id), Correction::NONE) {
                Ok(drawn) => {
                    batch.push((driven, drawn.len()));
                    pages.extend(drawn);
                }
                Err(reason) => assert!(!reason.to_string().is_empty()),
            }
        }
        let mut read = read(&pdf(&pages)).into_iter();
        for (driven, count) in batch {
            let pages: Vec<Read> = read.by_ref().take(count).collect();
            let what = format!("{driven:?}");
            for page in &pages {
                assert_clean(page, 7.9, &what);
            }
            let (mut lens, side) = as_tape(&driven);
            // A triangle may stand at either end too, and covers what is beside it.
            lens.engraved.push(f64::INFINITY);
            let found = measured(&lens, side, &all_pieces(&pages));
            assert!(found.is_ok(), "{found:?}: {what}");
            printed += 1;
        }
    }
    assert!(printed > 950, "{printed} of 1000");
}
