//! Tapes, read back from the file and measured.

use markwright::draw::Paper;
use markwright::draw::tape::{self, NoRoom};
use markwright::gear::{Sense, Side, WitnessEdge};
use markwright::scene::{Correction, Page};
use markwright::sheets::{Tape, Tick};
use markwright::units::{Length, Unit};

use super::checks::assert_rulers_are_true;
use super::face::lacking;
use super::lenses::Lens;
use super::measure::{Piece, lie, measured, pieces, unit_beside};
use super::outside::{assert_text_comes_back, file_of, run};
use super::pages::{paper, pdf};
use super::pictures::{eighteen, hundred, middle};
use super::reader::{Read, read};

const SENSES: [Sense; 2] = [Sense::Clockwise, Sense::CounterClockwise];
const SIDES: [Side; 2] = [Side::Left, Side::Right];
const EDGES: [WitnessEdge; 2] = [WitnessEdge::Rear, WitnessEdge::Front];

pub fn drawn(tapes: &[Tape], side: Side, id: &str) -> Vec<Page> {
    tape::draw(tapes, side, paper(id), Correction::NONE).expect("room")
}

fn of(lens: &Lens) -> Tape {
    lens.tape().expect("a tape")
}

fn on_paper(lens: &Lens, side: Side, id: &str) -> Vec<Read> {
    read(&pdf(&drawn(&[of(lens)], side, id)))
}

fn all_pieces(pages: &[Read]) -> Vec<Piece> {
    pages.iter().flat_map(pieces).collect()
}

/// A 50 mm lens on a 145 mm ring: 418 mm of scale.
pub fn long() -> Lens {
    Lens {
        diameter: Some(145.0),
        travel: 330.0,
        close_focus: 450.0,
        ..Lens::fifty()
    }
}

/// Where the ∞ of the large figures stands, and where the close-focus figure.
fn ends(piece: &Piece) -> (f64, f64) {
    let middle = |figure: &str| {
        let all = piece.words.iter().filter(|(words, _)| words == figure);
        // The large one is the higher one.
        let large = all.max_by(|one, other| {
            let height = |at: &super::reader::Box| at.high.1 - at.low.1;
            height(&one.1).total_cmp(&height(&other.1))
        });
        let at = large.expect("a figure").1;
        (at.low.0 + at.high.0) / 2.0
    };
    (middle("∞"), middle("2"))
}

/// Growth, arrow and tick edge of the 50 mm lens with rear witness edge.
fn as_read(sense: Sense, side: Side) -> (&'static str, &'static str, &'static str) {
    let lens = Lens {
        sense,
        ..Lens::fifty()
    };
    let piece = &all_pieces(&on_paper(&lens, side, "a4"))[0];
    let (infinity, near) = ends(piece);
    let right_or_left = |right: bool| if right { "right" } else { "left" };
    let ticks = |on_top: bool| {
        piece
            .ticks(on_top)
            .iter()
            .filter(|tick| tick.1 > 2.0)
            .count()
    };
    (
        right_or_left(near > infinity),
        right_or_left(piece.arrow() > 0.0),
        if ticks(true) > ticks(false) {
            "top"
        } else {
            "bottom"
        },
    )
}

#[test]
fn clockwise_from_the_left_nearer_is_to_the_left_and_the_ring_goes_right() {
    let read = as_read(Sense::Clockwise, Side::Left);
    assert_eq!(read, ("left", "right", "bottom"));
}

#[test]
fn clockwise_from_the_right_nearer_is_to_the_right_and_the_ring_goes_left() {
    let read = as_read(Sense::Clockwise, Side::Right);
    assert_eq!(read, ("right", "left", "top"));
}

#[test]
fn counter_clockwise_from_the_left_nearer_is_to_the_right_and_the_ring_goes_left() {
    let read = as_read(Sense::CounterClockwise, Side::Left);
    assert_eq!(read, ("right", "left", "bottom"));
}

#[test]
fn counter_clockwise_from_the_right_nearer_is_to_the_left_and_the_ring_goes_right() {
    let read = as_read(Sense::CounterClockwise, Side::Right);
    assert_eq!(read, ("left", "right", "top"));
}

#[test]
fn a_front_witness_edge_is_the_top_from_the_left_and_the_bottom_from_the_right() {
    for (side, on_top) in [(Side::Left, true), (Side::Right, false)] {
        let lens = Lens {
            witness: WitnessEdge::Front,
            ..Lens::fifty()
        };
        let piece = &all_pieces(&on_paper(&lens, side, "a4"))[0];
        let long = |top: bool| piece.ticks(top).iter().filter(|tick| tick.1 > 2.0).count();
        assert!(long(on_top) > 5 * long(!on_top).max(1), "{side:?}");
    }
}

#[test]
fn every_tick_is_within_a_twentieth_of_a_millimetre_whichever_way_the_tape_lies() {
    for sense in SENSES {
        for side in SIDES {
            for witness in EDGES {
                for unit in [Unit::Feet, Unit::Metres] {
                    let lens = Lens {
                        sense,
                        witness,
                        unit,
                        ..Lens::fifty()
                    };
                    let found = measured(&lens, side, &all_pieces(&on_paper(&lens, side, "a4")));
                    let found = found.unwrap_or_else(|fault| {
                        panic!("{sense:?} {side:?} {witness:?} {unit:?}: {fault}")
                    });
                    assert!(found > 20, "{found} ticks");
                }
            }
        }
    }
}

#[test]
fn every_tick_of_a_tape_in_pieces_is_in_its_place_and_none_is_lost() {
    for sense in SENSES {
        for side in SIDES {
            for id in ["a4", "letter", "a5", "a6"] {
                let lens = Lens { sense, ..long() };
                let pieces = all_pieces(&on_paper(&lens, side, id));
                assert!(pieces.len() > 1, "{id}");
                let found = measured(&lens, side, &pieces);
                assert!(found.is_ok(), "{id} {sense:?} {side:?}: {found:?}");
            }
        }
    }
}

#[test]
fn the_measurement_notices_one_tick_a_tenth_of_a_millimetre_off() {
    let lens = Lens::fifty();
    let mut noticed = 0;
    for index in 0..of(&lens).marks.len() {
        let mut tape = of(&lens);
        let mark = &mut tape.marks[index];
        // A required mark is also the triangle's; the zero moves all the others.
        mark.at = mark.at + Length::mm(0.1);
        let found = read(&pdf(&drawn(&[tape], Side::Left, "a4")));
        let result = measured(&lens, Side::Left, &all_pieces(&found));
        noticed += usize::from(result.is_err());
        // A mark too crowded to be drawn cannot be seen to be off.
        let is_major = of(&lens).marks[index].major;
        assert!(result.is_err() || !is_major, "mark {index}: {result:?}");
    }
    let drawn = measured(
        &lens,
        Side::Left,
        &all_pieces(&on_paper(&lens, Side::Left, "a4")),
    );
    assert_eq!(Ok(noticed), drawn);
}

#[test]
fn every_page_of_tapes_has_true_rulers_and_is_as_large_as_its_paper() {
    for paper in Paper::all() {
        let tapes = [of(&Lens::fifty()), of(&long()), of(&eighteen())];
        let (width, height) = (paper.page().width(), paper.page().height());
        for page in read(&pdf(&drawn(&tapes, Side::Left, paper.id()))) {
            assert_rulers_are_true(&page, 1.0, 1.0, paper.id());
            assert!((page.width - width.to_mm()).abs() < 1e-4);
            assert!((page.height - height.to_mm()).abs() < 1e-4);
            let says = |part: &str| page.words.iter().any(|words| words.text.contains(part));
            assert!(says(paper.name()) && says("no scaling"), "{}", paper.id());
        }
    }
}

#[test]
fn a_tape_of_exactly_once_round_has_a_mark_at_either_end() {
    let lens = Lens {
        travel: 360.0,
        ..Lens::fifty()
    };
    let pages = on_paper(&lens, Side::Left, "a4");
    let ticks = all_pieces(&pages)[0].ticks(false);
    let ends = [0.0, 251.641];
    for end in ends {
        assert!(
            ticks
                .iter()
                .any(|tick| (tick.0 - end).abs() < 0.05 && tick.1 < 10.0)
        );
    }
}

#[test]
#[ignore = "needs poppler and qpdf; .ci/run runs it"]
fn other_readers_find_every_word_of_a_tape_and_no_fault() {
    for paper in Paper::all() {
        let tapes = [of(&Lens::fifty()), of(&hundred()), of(&long())];
        let file = file_of(&drawn(&tapes, Side::Right, paper.id()));
        let said = assert_text_comes_back(&file);
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains("check against a tape before use"));
        let said = run("qpdf", &["--check"], &file, &[]);
        assert!(!String::from_utf8_lossy(&said).contains("WARNING"));
    }
}

#[test]
fn a_tape_in_pieces_says_which_line_goes_on_which() {
    for page in on_paper(&long(), Side::Left, "a4") {
        let pieces = pieces(&page);
        let letters = |piece: &Piece| piece.words.iter().filter(|word| word.0 == "A").count();
        assert_eq!(pieces.iter().map(letters).collect::<Vec<_>>(), [1, 1]);
        let says = |part: &str| page.words.iter().any(|words| words.text.contains(part));
        assert!(says("joined, ∞ to 0.45 m must measure 417.9 mm"));
    }
}

#[test]
fn a_tape_that_goes_all_round_is_exactly_as_long_as_once_round() {
    for travel in [300.0, 330.0, 352.0, 359.9] {
        let lens = Lens {
            travel,
            diameter: Some(80.0),
            ..Lens::fifty()
        };
        let pages = on_paper(&lens, Side::Left, "a4");
        let piece = &all_pieces(&pages)[0];
        // π (80 + 0.1) = 251.641.
        assert!(
            (piece.length - 251.641).abs() < 0.01,
            "{travel}: {}",
            piece.length
        );
        let says = |part: &str| pages[0].words.iter().any(|words| words.text.contains(part));
        assert!(says("the two end lines must just meet"), "{travel}");
        assert!(measured(&lens, Side::Left, &[all_pieces(&pages).remove(0)]).is_ok());
    }
}

#[test]
fn hard_stops_are_drawn_only_when_given() {
    let hatched = |stops| {
        let lens = Lens {
            stops,
            ..Lens::fifty()
        };
        let pages = on_paper(&lens, Side::Left, "a4");
        let piece = &all_pieces(&pages)[0];
        let slanted = |line: &&super::reader::Line| {
            let (dx, dy) = (line.to.0 - line.from.0, line.to.1 - line.from.1);
            (dx.abs() - 2.4).abs() < 0.01 && (dy.abs() - 2.4).abs() < 0.01
        };
        piece.lines.iter().filter(slanted).count()
    };
    assert_eq!(hatched((None, None)), 0);
    let one = hatched((Some(5.0), None));
    assert!(one > 5);
    assert_eq!(hatched((Some(5.0), Some(3.0))), 2 * one);
}

#[test]
fn what_is_not_measured_says_so_in_capitals_and_what_is_names_its_camera() {
    let says = |lens: &Lens, part: &str| {
        let pages = on_paper(lens, Side::Left, "a4");
        pages[0].words.iter().any(|words| words.text.contains(part))
    };
    let computed = Lens::fifty();
    assert!(says(&computed, "COMPUTED, NOT MEASURED: VERIFY BY EYE"));
    let mut measured = Lens::fifty();
    measured.measured = Some(vec![
        (f64::INFINITY, 0.0),
        (3000.0, 40.0),
        (1500.0, 81.0),
        (800.0, 160.0),
    ]);
    measured.names.camera = Some("A".into());
    assert!(!says(&measured, "NOT MEASURED"));
    assert!(says(&measured, "measured on camera A only"));
    for part in [
        "check against a tape before use",
        "code ",
        "set the ring to its own engraved 3 ft",
    ] {
        assert!(says(&computed, part), "{part}");
    }
}

/// The figures of the large scale with the unit beside them, if any.
fn large_figures(piece: &Piece) -> Vec<String> {
    let names = ["ft", "m"];
    let figures = piece.words.iter().enumerate().map(|(index, (words, _))| {
        let unit = unit_beside(piece, index);
        unit.map_or(words.clone(), |unit| match unit {
            Unit::Feet => format!("{words} ft"),
            Unit::Metres => format!("{words} m"),
        })
    });
    figures
        .filter(|words| !names.contains(&words.as_str()))
        .collect()
}

#[test]
fn a_tape_in_the_other_unit_has_round_figures_and_calls_the_rings_own_marks_as_the_ring_does() {
    // Engraved and measured in feet, printed in metres.
    let mut feet = Lens {
        unit: Unit::Metres,
        own: Some(Unit::Feet),
        close_focus: 304.8,
        focal: 25.0,
        ..Lens::fifty()
    };
    let rows = [
        (f64::INFINITY, 0.0),
        (1828.8, 30.0),
        (914.4, 61.0),
        (609.6, 94.0),
        (355.6, 165.0),
        (304.8, 194.0),
    ];
    feet.measured = Some(rows.to_vec());
    let figures = large_figures(&all_pieces(&on_paper(&feet, Side::Left, "a4"))[0]);
    for own in ["1 ft", "3 ft", "6 ft"] {
        assert!(
            figures.iter().any(|figure| figure == own),
            "{own}: {figures:?}"
        );
    }
    let odd = |figure: &&String| {
        let decimals = figure.split_once('.').map_or("", |parts| parts.1);
        figure.starts_with(|c: char| c.is_ascii_digit())
            && decimals.trim_end_matches(" m").len() > 2
    };
    assert_eq!(figures.iter().find(odd), None);
    // Engraved in metres, printed in feet.
    let metres = Lens {
        own: Some(Unit::Metres),
        close_focus: 600.0,
        engraved: vec![1000.0, 2000.0],
        ..Lens::fifty()
    };
    let figures = large_figures(&all_pieces(&on_paper(&metres, Side::Left, "a4"))[0]);
    for own in ["0.6 m", "1 m", "2 m"] {
        assert!(
            figures.iter().any(|figure| figure == own),
            "{own}: {figures:?}"
        );
    }
    assert!(
        !figures.iter().any(|figure| figure.contains('⁄')),
        "{figures:?}"
    );
}

#[test]
fn every_tape_of_the_docs_says_who_it_is_and_what_its_figures_are_in() {
    let narrow = Lens {
        band: Some(8.0),
        ..Lens::fifty()
    };
    let slim = Lens {
        band: Some(12.0),
        ..Lens::fifty()
    };
    for lens in [Lens::fifty(), hundred(), eighteen(), narrow, slim, long()] {
        for side in SIDES {
            let pieces = all_pieces(&on_paper(&lens, side, "a4"));
            assert_eq!(lacking(&lens, &pieces), Vec::<&str>::new(), "{lens:?}");
        }
    }
}

/// A 65 mm lens on a ring 270 mm round, found by eye from infinity to 0.6 m.
fn sixty_five(engraved: Vec<f64>, engraved_off: f64) -> Lens {
    let rows = [
        (f64::INFINITY, 0.0),
        (10_000.0, 10.53),
        (5_000.0, 21.32),
        (3_000.0, 36.13),
        (2_000.0, 55.37),
        (1_500.0, 75.47),
        (1_200.0, 96.54),
        (1_000.0, 118.65),
        (800.0, 154.01),
        (700.0, 181.11),
        (600.0, 220.0),
    ];
    Lens {
        focal: 65.0,
        close_focus: 600.0,
        diameter: Some(270.0 / std::f64::consts::PI),
        band: Some(14.0),
        unit: Unit::Metres,
        own: Some(Unit::Metres),
        engraved,
        engraved_off,
        measured: Some(rows.to_vec()),
        ..Lens::fifty()
    }
}

#[test]
fn the_mark_a_tape_is_lined_up_on_has_its_figure_and_its_tick_where_it_was_measured() {
    // A tape is as long as the strip the marks were read on.
    let set = [("0.8", 800.0, 154.01), ("0.7", 700.0, 181.11)];
    for (name, millimetres, measured) in set {
        // A billionth is what rounding may make of the very same mark.
        for off in [0.0, 1e-9, 0.3, -0.3, 1.2, 2.0] {
            for side in SIDES {
                let lens = sixty_five(vec![millimetres, 2_000.0], off);
                let case = format!("{name} m, engraved {off} mm off, {side:?}");
                let piece = &all_pieces(&on_paper(&lens, side, "a4"))[0];
                let figures = piece.words.iter().filter(|(words, _)| words == name);
                assert_eq!(figures.count(), 1, "the figure of {case}");
                let (nearer_right, on_top) = lie(&lens, side);
                let sign = if nearer_right { 1.0 } else { -1.0 };
                // Lines across the whole tape are no ticks.
                let ticks = piece.ticks(on_top).into_iter();
                let ticks = ticks.filter(|tick| tick.1 < piece.height - 0.1);
                let ticks: Vec<f64> = ticks.map(|tick| sign * tick.0).collect();
                // Infinity is the first of them.
                let zero = ticks.iter().copied().fold(f64::MAX, f64::min);
                for place in [measured, measured + off] {
                    let there = |at: &&f64| (**at - zero - place).abs() < 0.05;
                    assert!(ticks.iter().any(|at| there(&at)), "{place} mm of {case}");
                }
            }
        }
    }
}

#[test]
fn beyond_the_marks_every_figure_says_so_and_no_tick_stands_alone() {
    // Measured from 10 m to 1.5 m.
    let tape = middle().tape().expect("a tape");
    let beyond = |tick: &&Tick| tick.beyond;
    let figures: Vec<&str> = tape
        .marks
        .iter()
        .filter(beyond)
        .map(|tick| tick.figure.as_str())
        .collect();
    assert!(figures.contains(&"≈∞") && figures.contains(&"≈20") && figures.contains(&"≈1.3"));
    assert!(figures.iter().all(|figure| figure.starts_with('≈')));
    let within = tape.marks.iter().filter(|tick| !tick.beyond);
    assert!(within.clone().count() > 10 && within.clone().any(|tick| tick.figure == "10"));
    assert!(
        within
            .map(|tick| &tick.figure)
            .all(|figure| !figure.contains('≈'))
    );
    let pages = on_paper(&middle(), Side::Left, "a4");
    let says = |part: &str| pages[0].words.iter().any(|words| words.text.contains(part));
    assert!(says("≈ IS BEYOND THE MARKS, COMPUTED: VERIFY BY EYE"));
    let piece = &all_pieces(&pages)[0];
    let drawn = |figure: &str| {
        piece
            .words
            .iter()
            .filter(|(words, _)| words == figure)
            .count()
    };
    // Large and small.
    assert_eq!((drawn("≈∞"), drawn("∞")), (2, 0));
    // Beyond the farthest mark, at zero, each tick has its figure; ∞ is the last.
    let far: Vec<&Tick> = tape
        .marks
        .iter()
        .filter(|tick| tick.at < Length::mm(-0.1))
        .collect();
    let with_figure = far.iter().filter(|tick| drawn(&tick.figure) > 0).count();
    let ticks: Vec<f64> = piece.ticks(false).iter().map(|tick| tick.0).collect();
    let last = ticks.iter().copied().fold(0.0, f64::max);
    let zero = last + far[0].at.to_mm();
    let found = ticks.iter().filter(|&&at| at > zero + 0.1).count();
    assert!(with_figure < far.len(), "some have no room for a figure");
    assert_eq!(found, with_figure);
    let whole = on_paper(&hundred(), Side::Left, "a4");
    assert!(!whole[0].words.iter().any(|words| words.text.contains('≈')));
}

#[test]
fn the_correction_stretches_a_tape_and_is_printed_on_it() {
    let lens = Lens {
        travel: 200.0,
        ..Lens::fifty()
    };
    let correction = Correction::from_printed_100mm(Length::mm(98.0), Length::mm(96.0));
    let pages = tape::draw(
        &[of(&lens)],
        Side::Left,
        paper("a4"),
        correction.expect("plausible"),
    );
    let read = read(&pdf(&pages.expect("room")));
    assert_rulers_are_true(&read[0], 100.0 / 98.0, 100.0 / 96.0, "corrected");
    let text: String = read[0]
        .words
        .iter()
        .map(|words| words.text.as_str())
        .collect();
    assert!(
        text.contains("measure 98.0 mm horizontal (short edge) and 96.0 mm vertical (long edge)"),
        "{text}"
    );
    // The rulers are called the same, so that a page that is turned does not mislead.
    for name in [
        "horizontal (short edge): must measure",
        "vertical (long edge): must measure",
    ] {
        assert!(text.contains(name), "{name}: {text}");
    }
    let mut wider = lens.clone();
    // The printer shrinks the tape's length by 0.96.
    wider.diameter = wider.diameter.map(|diameter| (diameter + 0.1) / 0.96 - 0.1);
    let found = measured(&wider, Side::Left, &all_pieces(&read));
    assert!(found.is_ok(), "{found:?}");
}

#[test]
fn too_narrow_a_band_and_too_small_a_paper_are_refused_with_what_would_do() {
    let narrow = Lens {
        band: Some(3.2),
        ..Lens::fifty()
    };
    let refused = tape::draw(&[of(&narrow)], Side::Left, paper("a4"), Correction::NONE);
    assert!(matches!(refused, Err(NoRoom::Band { .. })), "{refused:?}");
    let roll = Paper::roll(Length::mm(8.0), Length::mm(400.0)).expect("a roll");
    let refused = tape::draw(&[of(&Lens::fifty())], Side::Left, &roll, Correction::NONE);
    let Err(NoRoom::Paper { would_do, .. }) = refused else {
        panic!("a tape 4 mm high: {refused:?}");
    };
    assert_eq!(would_do.as_deref(), Some("4x6"));
}

#[test]
fn no_tapes_give_no_pages_and_the_same_tapes_the_same_bytes() {
    assert_eq!(drawn(&[], Side::Left, "a4"), vec![]);
    let bytes = || {
        pdf(&drawn(
            &[of(&Lens::fifty()), of(&long())],
            Side::Right,
            "letter",
        ))
    };
    assert_eq!(bytes(), bytes());
}

#[test]
fn the_lie_that_is_measured_with_is_the_one_that_is_drawn() {
    for sense in SENSES {
        for side in SIDES {
            let (growth, _, ticks) = as_read(sense, side);
            let expected = lie(
                &Lens {
                    sense,
                    ..Lens::fifty()
                },
                side,
            );
            assert_eq!((growth == "right", ticks == "top"), expected);
        }
    }
}
