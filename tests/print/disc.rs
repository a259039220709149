//! Discs, read back from the file and measured.

use markwright::draw::Paper;
use markwright::draw::disc::{self, NoRoom};
use markwright::gear::{GearingKnownBy, Sense, Side};
use markwright::scene::Correction;
use markwright::sheets::NoDisc;
use markwright::units::Length;

use super::checks::assert_rulers_are_true;
use super::disc_measure::{Found, crossed, found, measured, outside, overlapping, turns};
use super::driven::Driven;
use super::outside::{assert_text_comes_back, file_of, run};
use super::pages::{paper, pdf};
use super::reader::{Read, read};

const SENSES: [Sense; 2] = [Sense::Clockwise, Sense::CounterClockwise];
const SIDES: [Side; 2] = [Side::Left, Side::Right];

fn on_paper(driven: &Driven, id: &str) -> Vec<Read> {
    read(&pdf(&driven.pages(id).expect("room")))
}

fn discs_of(driven: &Driven, id: &str) -> Vec<Found> {
    on_paper(driven, id).iter().flat_map(found).collect()
}

/// Distance of the mark a disc is lined up at, in mm.
fn aligned(driven: &Driven, speed: usize) -> f64 {
    let disc = &driven.discs().expect("discs")[speed];
    let at = disc.scale.align.distance.reach().finite();
    at.map_or(f64::INFINITY, Length::to_mm)
}

fn assert_measured(driven: &Driven, id: &str) -> usize {
    let all = discs_of(driven, id);
    let ticks = all.iter().enumerate().map(|(speed, disc)| {
        let ticks = measured(driven, speed, disc, aligned(driven, speed));
        assert!(ticks.is_ok(), "{ticks:?}: {driven:?}");
        assert_eq!(overlapping(&disc.words).map(|two| format!("{two:?}")), None);
        assert_eq!(crossed(disc), None, "{driven:?}");
        assert_eq!(outside(disc).map(|words| format!("{words:?}")), None);
        ticks.unwrap_or(0)
    });
    ticks.sum()
}

#[test]
fn every_tick_stands_at_its_angle_whichever_way_the_disc_turns() {
    for sense in SENSES {
        for side in SIDES {
            for reversed in [false, true] {
                for several in [true, false] {
                    let mut driven = if several {
                        Driven::fifty()
                    } else {
                        Driven::single()
                    };
                    driven.lens.sense = sense;
                    driven.side = Some(side);
                    driven.reversed = reversed;
                    assert!(assert_measured(&driven, "a4") > 12, "{driven:?}");
                }
            }
        }
    }
}

#[test]
fn the_arrow_goes_the_way_the_disc_turns_and_nearer_marks_lie_against_it() {
    for sense in SENSES {
        for side in SIDES {
            for reversed in [false, true] {
                let mut driven = Driven::single();
                driven.lens.sense = sense;
                driven.side = Some(side);
                driven.reversed = reversed;
                let all = discs_of(&driven, "a4");
                assert_eq!(
                    all[0].arrow(),
                    turns(&driven),
                    "{sense:?} {side:?} {reversed}"
                );
            }
        }
    }
}

#[test]
fn the_measurement_notices_a_tick_a_tenth_of_a_degree_off() {
    let driven = Driven::single();
    let align = aligned(&driven, 0);
    let count = driven.discs().expect("a disc")[0].scale.marks.len();
    let mut noticed = 0;
    for index in 0..count {
        let mut disc = driven.discs().expect("a disc").remove(0);
        let mark = &mut disc.scale.marks[index];
        // A tenth of a degree on a radius of 46 mm.
        mark.at = mark.at + Length::mm(0.0803);
        let pages = disc::draw(&[disc], paper("a4"), Correction::NONE).expect("room");
        let all = found(&read(&pdf(&pages))[0]);
        noticed += usize::from(measured(&driven, 0, &all[0], align).is_err());
    }
    // Marks too crowded to be drawn cannot be seen to be off.
    assert!(noticed > count / 2, "{noticed} of {count}");
}

#[test]
fn more_than_one_turn_is_numbered_on_as_many_tracks() {
    // 300° × 2.75 = 825°: three turns.
    let all = discs_of(&Driven::fifty(), "a4");
    assert_eq!(all[0].tracks().len(), 3);
    let numbers: Vec<String> = all[0].tags().into_iter().map(|tag| tag.0).collect();
    assert_eq!(numbers, ["1", "2", "3"]);
    let all = discs_of(&Driven::single(), "a4");
    assert_eq!(all[0].tracks().len(), 1);
    assert!(all[0].tags().is_empty());
}

#[test]
fn more_turns_than_tracks_are_refused_with_the_reason() {
    let driven = Driven {
        ratios: vec![4.0],
        ..Driven::fifty()
    };
    // 3300° are more than nine turns.
    let refused = driven.pages("a4");
    let Err(
        reason @ NoRoom::Turns {
            turns: 10, tracks, ..
        },
    ) = refused
    else {
        panic!("{refused:?}");
    };
    assert!(tracks < 10);
    assert!(
        reason.to_string().contains("takes 10 turns of the knob"),
        "{reason}"
    );
}

#[test]
fn a_disc_for_each_speed_says_which() {
    let driven = Driven {
        ratios: vec![1.0, 0.5],
        ..Driven::fifty()
    };
    let all = discs_of(&driven, "a4");
    assert_eq!(all.len(), 2);
    assert!(all[0].says("speed 1 of 2") && all[1].says("speed 2 of 2"));
    assert_measured(&driven, "a4");
    // What was measured over the scale was measured at the first.
    let driven = Driven {
        knob_travel: Some(700.0),
        ..driven
    };
    assert_measured(&driven, "a4");
    let discs = driven.discs().expect("discs");
    assert!((discs[0].knob.turn.to_deg() - 700.0).abs() < 1e-9);
    assert!((discs[1].knob.turn.to_deg() - 350.0).abs() < 1e-9);
    let kinds = |index: usize| discs[index].scale.assumptions.iter().map(|note| note.kind);
    assert!(kinds(1).any(|kind| kind == "measured_at_the_first_speed"));
}

#[test]
fn the_knobs_measured_turn_wins_over_the_teeth() {
    let driven = Driven {
        knob_travel: Some(410.0),
        ..Driven::fifty()
    };
    let disc = driven.discs().expect("a disc").remove(0);
    assert!((disc.knob.turn.to_deg() - 410.0).abs() < 1e-9);
    let known = disc.gearing.expect("a gearing").known_by;
    assert!(matches!(known, GearingKnownBy::Travel { .. }));
    assert_measured(&driven, "a4");
}

#[test]
fn without_a_gearing_there_is_no_disc_but_what_is_wanting() {
    let driven = Driven {
        ring_teeth: None,
        drive_teeth: None,
        ..Driven::fifty()
    };
    let wanting = vec!["ring_teeth", "drive_teeth"];
    assert_eq!(driven.discs(), Err(NoDisc::NoGearing { wanting }));
}

#[test]
fn a_disc_says_who_it_is_and_how_far_the_knob_may_be_off() {
    let all = discs_of(&Driven::single(), "a4");
    let disc = &all[0];
    for words in [
        "50 B",
        "no. 1027",
        "T2.1",
        "date",
        "ENGRAVED",
        "VERIFY BY EYE",
        "turn this way = nearer",
        "of knob is sharp at 3 ft, f/2.8",
        "▲ set the ring to its own engraved 3 ft, put this line at the index",
    ] {
        assert!(disc.says(words), "{words}: {:?}", disc.words);
    }
}

/// With the lens thin and the subject at 3 ft the ring may be off until the blur
/// there is the circle: by bisection, b = A m |s/s' − 1| in the image, the pupil
/// moving with the ring (optics.md i).
#[test]
fn the_tolerance_is_what_bisection_finds() {
    let driven = Driven::single();
    let (f, n, c, d) = (50.0_f64, 2.8, 0.025, 914.4);
    // Thin lens focused by extension f m: image distance q = f (1 + m), the lens
    // stands q in front of the image plane, and the subject d − q from the lens.
    let blur = |m: f64| {
        let q = f * (1.0 + m);
        let object = d - q;
        let image = f * object / (object - f);
        f / n * (image - q).abs() / image
    };
    // At m the subject is sharp: (d − q) q = f d, whose smaller root is q.
    let sharp = ((d - (d * d - 4.0 * f * d).sqrt()) / 2.0) / f - 1.0;
    let edge = |away: f64| {
        let (mut low, mut high) = (0.0_f64, 0.02_f64);
        for _ in 0..200 {
            let half = (low + high) / 2.0;
            if blur(sharp + away * half) < c {
                low = half;
            } else {
                high = half;
            }
        }
        low
    };
    let least = edge(1.0).min(edge(-1.0));
    let close = driven.lens.close_focus;
    let nearest = ((close - (close * close - 4.0 * f * close).sqrt()) / 2.0) / f - 1.0;
    let expected = least / nearest * driven.lens.travel * driven.gearing(0);
    let disc = driven.discs().expect("a disc").remove(0);
    let band = disc.scale.sharp.as_ref().expect("a dimension");
    let half = disc.angle(band.half).to_deg();
    assert!((half - expected).abs() < 1e-6, "{half} and {expected}");
    assert!(band.figures.ends_with('°'));
    let figure: f64 = band
        .figures
        .trim_matches(['±', '°'])
        .parse()
        .expect("a number");
    assert!(figure <= half && half - figure < 0.1);
}

#[test]
fn sizes_that_were_not_said_are_said_to_be_assumed() {
    let driven = Driven {
        outer: None,
        inner: None,
        side: None,
        ..Driven::fifty()
    };
    assert_measured(&driven, "a4");
    let pages = on_paper(&driven, "a4");
    let says = |part: &str| pages[0].words.iter().any(|words| words.text.contains(part));
    assert!(says("92 mm with a hole of"), "{:?}", pages[0].words);
    let disc = driven.discs().expect("a disc").remove(0);
    let kinds: Vec<&str> = disc
        .scale
        .assumptions
        .iter()
        .map(|note| note.kind)
        .collect();
    assert!(kinds.contains(&"disc_size_assumed") && kinds.contains(&"knob_side_assumed"));
}

#[test]
fn hard_stops_are_drawn_where_the_knob_comes_up() {
    let driven = Driven {
        beyond: (Some(5.0), Some(4.0)),
        ..Driven::single()
    };
    assert_measured(&driven, "a4");
    let disc = &discs_of(&driven, "a4")[0];
    let hatch = |disc: &Found| {
        let slanted = disc.lines.iter().filter(|line| {
            let far = |at: (f64, f64)| (at.0 * at.0 + at.1 * at.1).sqrt();
            let (one, other) = (far(line.from), far(line.to));
            let (dx, dy) = (line.to.0 - line.from.0, line.to.1 - line.from.1);
            let long = (dx * dx + dy * dy).sqrt();
            ((one - other).abs() - 2.0).abs() < 0.01 && (long - 2.8).abs() < 0.2
        });
        slanted.count()
    };
    assert!(hatch(disc) > 5);
    assert_eq!(hatch(&discs_of(&Driven::single(), "a4")[0]), 0);
}

#[test]
fn every_page_of_discs_has_true_rulers_whatever_the_paper() {
    for paper in Paper::all() {
        let driven = Driven {
            outer: Some(60.0),
            inner: Some(20.0),
            ratios: vec![0.4, 0.6, 0.3],
            ..Driven::fifty()
        };
        for page in on_paper(&driven, paper.id()) {
            assert_rulers_are_true(&page, 1.0, 1.0, paper.id());
            let says = |part: &str| page.words.iter().any(|words| words.text.contains(part));
            assert!(says(paper.name()) && says("no scaling"), "{}", paper.id());
            assert_eq!(overlapping(&page.words).map(|two| format!("{two:?}")), None);
        }
        assert_measured(&driven, paper.id());
    }
}

#[test]
fn a_paper_that_is_too_small_is_refused_with_one_that_would_do() {
    let refused = Driven::fifty().pages("a6");
    let Err(NoRoom::Paper { would_do, .. }) = refused else {
        panic!("{refused:?}");
    };
    assert_eq!(would_do.as_deref(), Some("a5"));
    let driven = Driven {
        outer: Some(400.0),
        ..Driven::fifty()
    };
    assert!(matches!(
        driven.pages("a4"),
        Err(NoRoom::Paper { would_do: None, .. })
    ));
}

#[test]
fn a_narrow_ring_of_paper_is_refused() {
    let driven = Driven {
        outer: Some(60.0),
        inner: Some(52.0),
        ..Driven::single()
    };
    let refused = driven.pages("a4");
    assert!(
        matches!(refused, Err(NoRoom::Turns { tracks: 0, .. })),
        "{refused:?}"
    );
}

#[test]
fn no_discs_give_no_pages_and_the_same_discs_the_same_bytes() {
    assert_eq!(disc::draw(&[], paper("a4"), Correction::NONE), Ok(vec![]));
    let bytes = || pdf(&Driven::fifty().pages("letter").expect("room"));
    assert_eq!(bytes(), bytes());
}

#[test]
#[ignore = "needs poppler and qpdf; .ci/run runs it"]
fn other_readers_find_every_word_of_a_disc_and_no_fault() {
    for id in ["a4", "letter", "a5"] {
        let file = file_of(&Driven::fifty().pages(id).expect("room"));
        assert_text_comes_back(&file);
        let said = run("qpdf", &["--check"], &file, &[]);
        assert!(!String::from_utf8_lossy(&said).contains("WARNING"));
    }
}
