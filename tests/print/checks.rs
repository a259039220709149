//! What every printed page must be (the file is read, not the drawing).

use lopdf::{Document, Object};
use markwright::draw::{Arrangement, Checks, Paper};
use markwright::scene::{Correction, Item, Page, Point, TextRun};
use markwright::units::Length;

use super::pages::{on, paper, pdf};
use super::reader::{Line, Read, read};

/// How far a mark of a ruler may be off its place, in millimetres.
const TRUE: f64 = 0.05;

/// Papers and their sizes by their standards: ISO 216, and inches of 25.4 mm.
const SIZES: [(&str, f64, f64); 5] = [
    ("a4", 210.0, 297.0),
    ("letter", 8.5 * 25.4, 11.0 * 25.4),
    ("a5", 148.0, 210.0),
    ("a6", 105.0, 148.0),
    ("4x6", 4.0 * 25.4, 6.0 * 25.4),
];

fn near(one: f64, other: f64, within: f64) -> bool {
    (one - other).abs() <= within
}

/// The ruler's base line that starts at the rulers' common zero: the longest
/// solid line along an axis of 4 in or 2 in times a stretch.
fn base_line(read: &Read, upright: bool, stretch: f64) -> (Line, f64) {
    for inches in [4.0, 2.0] {
        let length = inches * 25.4 * stretch;
        let found = read.lines.iter().find(|line| {
            let (dx, dy) = (line.to.0 - line.from.0, line.to.1 - line.from.1);
            let (along, across) = if upright { (dy, dx) } else { (dx, dy) };
            !line.dashed && near(along.abs(), length, TRUE) && near(across, 0.0, 1e-3)
        });
        if let Some(&line) = found {
            return (line, inches);
        }
    }
    panic!("a page without a ruler (upright: {upright})");
}

/// Distances from zero at which ticks stand on a base line.
fn ticks(read: &Read, base: &Line, upright: bool) -> Vec<f64> {
    let on_base = |line: &&Line| {
        if upright {
            near(line.from.0, base.from.0, 1e-3) && near(line.from.1, line.to.1, 1e-3)
        } else {
            near(line.from.1, base.from.1, 1e-3) && near(line.from.0, line.to.0, 1e-3)
        }
    };
    let ticks = read.lines.iter().filter(on_base).map(|line| {
        if upright {
            base.from.1 - line.from.1
        } else {
            line.from.0 - base.from.0
        }
    });
    ticks.collect()
}

pub fn assert_rulers_are_true(read: &Read, across: f64, along: f64, name: &str) {
    for (upright, stretch) in [(false, across), (true, along)] {
        let (base, inches) = base_line(read, upright, stretch);
        let found = ticks(read, &base, upright);
        let millimetres = if inches == 4.0 { 100 } else { 50 };
        for mark in 0..=millimetres {
            let place = f64::from(mark) * stretch;
            let there = found.iter().any(|&tick| near(tick, place, TRUE));
            assert!(there, "{name}: no tick at {mark} mm (upright: {upright})");
        }
        for eighth in 0..=(inches as i32 * 8) {
            let place = f64::from(eighth) * 25.4 / 8.0 * stretch;
            let there = found.iter().any(|&tick| near(tick, place, TRUE));
            assert!(
                there,
                "{name}: no tick at {eighth}/8 in (upright: {upright})"
            );
        }
    }
}

#[test]
fn every_page_is_exactly_as_large_as_its_paper() {
    for (id, width, height) in SIZES {
        for page in read(&pdf(&on(paper(id)))) {
            // f32 points resolve 0.00002 mm at this size.
            assert!(near(page.width, width, 1e-4), "{id}: {}", page.width);
            assert!(near(page.height, height, 1e-4), "{id}: {}", page.height);
        }
    }
}

#[test]
fn every_tick_of_every_ruler_is_within_a_twentieth_of_a_millimetre() {
    for paper in Paper::all() {
        for page in read(&pdf(&on(paper))) {
            assert_rulers_are_true(&page, 1.0, 1.0, paper.id());
        }
    }
}

#[test]
fn large_papers_have_100_mm_on_both_axes() {
    for id in ["a4", "letter", "a5"] {
        for page in read(&pdf(&on(paper(id)))) {
            assert_eq!(base_line(&page, false, 1.0).1, 4.0);
            assert_eq!(base_line(&page, true, 1.0).1, 4.0);
        }
    }
}

#[test]
fn a_roll_has_its_ruler_along_it_and_leaves_the_rest_its_full_width() {
    let roll = Paper::roll(Length::mm(24.0), Length::mm(400.0)).expect("a roll");
    let checks = Checks::on(&roll, Arrangement::Edge);
    let mut page = roll.page();
    page.extend(checks.items());
    let read = read(&pdf(&[page]));
    let (base, inches) = base_line(&read[0], true, 1.0);
    assert_eq!(inches, 4.0);
    let found = ticks(&read[0], &base, true);
    for mark in 0..=100 {
        assert!(
            found.iter().any(|&tick| near(tick, f64::from(mark), TRUE)),
            "{mark}"
        );
    }
    assert_eq!(checks.free().width(), Length::mm(20.0));
    assert!(checks.free().height() > Length::mm(280.0));
}

#[test]
fn the_correction_stretches_the_rulers_too() {
    let (horizontal, vertical) = (Length::mm(96.0), Length::mm(101.0));
    let correction = Correction::from_printed_100mm(horizontal, vertical).expect("plausible");
    let pages: Vec<Page> = on(paper("a4"))
        .into_iter()
        .map(|page| page.with_correction(correction))
        .collect();
    for page in read(&pdf(&pages)) {
        assert_rulers_are_true(&page, 100.0 / 96.0, 100.0 / 101.0, "corrected a4");
        // The paper itself is not stretched.
        assert!(near(page.width, 210.0, 1e-4));
    }
}

#[test]
fn a_bank_card_just_covers_its_outline() {
    // ISO/IEC 7810, ID-1: 85.60 × 53.98 mm.
    for id in ["a4", "letter"] {
        for page in read(&pdf(&on(paper(id)))) {
            let has = |length: f64| {
                let sides = page.lines.iter().filter(|line| {
                    let (dx, dy) = (line.to.0 - line.from.0, line.to.1 - line.from.1);
                    line.dashed && near(dx.abs() + dy.abs(), length, 0.001)
                });
                sides.count() >= 2
            };
            assert!(has(85.60) && has(53.98), "{id}");
        }
    }
    for id in ["a5", "a6", "4x6"] {
        for page in read(&pdf(&on(paper(id)))) {
            let (across, _) = base_line(&page, false, 1.0);
            let (along, _) = base_line(&page, true, 1.0);
            let marked = |from: f64, axis: fn(&Line) -> f64, length: f64| {
                page.lines
                    .iter()
                    .any(|line| near((axis(line) - from).abs(), length, TRUE))
            };
            assert!(marked(across.from.0, |line| line.from.0, 53.98), "{id}");
            assert!(marked(along.from.1, |line| line.from.1, 85.60), "{id}");
        }
    }
}

#[test]
fn no_word_and_no_line_lies_outside_the_safe_margins() {
    for paper in Paper::all() {
        for page in read(&pdf(&on(paper))) {
            let inside = |(x, y): (f64, f64)| {
                x >= 7.9 && x <= page.width - 7.9 && y >= 7.9 && y <= page.height - 14.9
            };
            for words in &page.words {
                let ok = inside(words.at) && inside(words.end);
                assert!(ok, "{}: {words:?}", paper.id());
            }
            for line in &page.lines {
                assert!(
                    inside(line.from) && inside(line.to),
                    "{}: {line:?}",
                    paper.id()
                );
            }
        }
    }
}

#[test]
fn no_two_lines_of_words_overlap() {
    for paper in Paper::all() {
        for (number, page) in read(&pdf(&on(paper))).iter().enumerate() {
            for (index, one) in page.words.iter().enumerate() {
                for other in &page.words[index + 1..] {
                    let ok = !one.figures().overlaps(&other.figures());
                    assert!(ok, "{} page {number}: {one:?} and {other:?}", paper.id());
                }
            }
        }
    }
}

#[test]
fn every_page_names_its_paper_and_asks_not_to_be_scaled() {
    for paper in Paper::all() {
        for page in read(&pdf(&on(paper))) {
            let says = |part: &str| page.words.iter().any(|words| words.text.contains(part));
            assert!(says(paper.name()) && says("no scaling"), "{}", paper.id());
            assert!(says("measured"), "{}", paper.id());
        }
    }
}

#[test]
fn figures_are_at_least_2_mm_high_and_lines_neither_faint_nor_fat() {
    for paper in Paper::all() {
        for page in read(&pdf(&on(paper))) {
            for words in &page.words {
                // The H of the face is 1493/2048 of the em.
                assert!(words.size * 1493.0 / 2048.0 > 1.999, "{words:?}");
            }
            for line in &page.lines {
                assert!(line.width > 0.249 && line.width < 0.351, "{line:?}");
            }
        }
    }
}

#[test]
fn the_file_asks_for_actual_size_and_claims_nothing_it_is_not() {
    let bytes = pdf(&on(paper("a4")));
    assert!(bytes.starts_with(b"%PDF-1.7\n"));
    let document = Document::load_mem(&bytes).expect("our PDF opens");
    let catalog = document.catalog().expect("a catalog");
    let preferences = catalog.get(b"ViewerPreferences").and_then(Object::as_dict);
    let scaling = preferences.expect("preferences").get(b"PrintScaling");
    assert_eq!(scaling.and_then(Object::as_name).expect("a name"), b"None");
    let information = document.trailer.get(b"Info").and_then(Object::as_reference);
    let information = document.get_dictionary(information.expect("information"));
    for absent in ["GTS_PDFXVersion", "CreationDate", "ModDate"] {
        assert!(
            !information
                .as_ref()
                .expect("information")
                .has(absent.as_bytes())
        );
    }
}

#[test]
fn layers_are_ours_in_name_and_maker() {
    let document = Document::load_mem(&pdf(&on(paper("a4")))).expect("our PDF opens");
    let makers = document.objects.values().filter_map(|object| {
        let maker = object.as_dict().ok()?.get(b"CreatorInfo").ok()?;
        maker.as_dict().ok()?.get(b"Creator").ok()?.as_str().ok()
    });
    let makers: Vec<&[u8]> = makers.collect();
    assert!(!makers.is_empty());
    assert!(makers.iter().all(|maker| maker.starts_with(b"markwright")));
}

#[test]
fn fonts_are_subset_under_a_fixed_tag() {
    let bytes = pdf(&on(paper("a4")));
    // The two whole faces are 1.3 MB.
    assert!(bytes.len() < 120_000, "{} bytes", bytes.len());
    let text = String::from_utf8_lossy(&bytes);
    assert!(text.contains("/MRKWRA+DejaVuSansCondensed"));
    assert!(text.contains("/MRKWRB+DejaVuSansCondensed-Bold"));
}

#[test]
fn the_same_pages_give_the_same_bytes_in_one_process() {
    assert_eq!(pdf(&on(paper("a4"))), pdf(&on(paper("a4"))));
}

#[test]
fn a_word_is_as_wide_in_the_file_as_it_was_measured() {
    let words = "A long line of words whose end must lie where the layout thinks it does: 1′11¾″";
    let run = TextRun::new(words, Length::mm(3.0), Point::mm(20.0, 50.0));
    let measured = run.width().to_mm();
    let mut page = paper("a4").page();
    page.push(run);
    let read = read(&pdf(&[page]));
    let found = &read[0].words[0];
    assert!(near(found.end.0 - found.at.0, measured, 0.01));
}

#[test]
fn no_text_can_break_the_file() {
    let nasty = ") Tj ET <b>&amp; \\( ]]> >> endstream endobj % \u{7} é ∞ ″ 字";
    let mut page = paper("a4").page().with_title(nasty);
    page.push(TextRun::new(nasty, Length::mm(3.0), Point::mm(20.0, 50.0)));
    let read = read(&pdf(&[page]));
    let expected = ") Tj ET <b>&amp; \\( ]]> >> endstream endobj % □ é ∞ ″ □";
    assert_eq!(read[0].words[0].text, expected);
}

#[test]
fn what_is_in_a_group_is_moved_and_turned_but_never_scaled() {
    let mut page = paper("a4").page();
    let line = Item::line(
        Point::ORIGIN,
        Point::mm(30.0, 0.0),
        markwright::scene::Pen::FINE,
    );
    page.push(Item::placed(
        Point::mm(100.0, 100.0),
        markwright::scene::Turn::QUARTER,
        vec![Item::moved(Point::mm(5.0, 0.0), vec![line])],
    ));
    let read = read(&pdf(&[page]));
    let line = read[0].lines[0];
    assert!(near(line.from.0, 100.0, 1e-4) && near(line.from.1, 105.0, 1e-4));
    assert!(near(line.to.0, 100.0, 1e-4) && near(line.to.1, 135.0, 1e-4));
}

/// Strips of a page: their cut edges read from left to right, and all ticks on
/// each graduated edge as distances from its cut end.
fn strips(page: &Read) -> Vec<Vec<f64>> {
    let mut edges: Vec<f64> = page
        .lines
        .iter()
        .filter(|line| line.dashed && near(line.from.0, line.to.0, 1e-3))
        .filter(|line| (line.from.1 - line.to.1).abs() > 90.0)
        .map(|line| line.from.0)
        .collect();
    edges.sort_by(f64::total_cmp);
    // Of each pair the right one, as the page is held upright, is graduated.
    let graduated = edges.chunks(2).map(|pair| pair[pair.len() - 1]);
    let ticks = |edge: f64| -> Vec<f64> {
        let on_edge = page.lines.iter().filter(|line| {
            let across = near(line.from.1, line.to.1, 1e-3);
            !line.dashed && across && near(line.to.0, edge, 1e-3)
        });
        let places: Vec<f64> = on_edge.map(|line| line.to.1).collect();
        let zero = places.iter().copied().fold(f64::MIN, f64::max);
        places.into_iter().map(|place| zero - place).collect()
    };
    graduated
        .map(ticks)
        .filter(|ticks| !ticks.is_empty())
        .collect()
}

fn has_every_millimetre(ticks: &[f64], to: u32) -> bool {
    (0..=to).all(|mark| ticks.iter().any(|&tick| near(tick, f64::from(mark), TRUE)))
}

#[test]
fn the_strip_has_a_tick_at_every_millimetre_and_goes_on_at_250() {
    let read = read(&pdf(&on(paper("a4"))));
    let page = &read[1];
    let figure = |text: &str| page.words.iter().filter(|words| words.text == text).count();
    // Three pairs on A4; the rulers have one 100 each.
    assert_eq!((figure("100"), figure("500"), figure("250")), (2 + 3, 3, 6));
    let strips = strips(page);
    assert_eq!(strips.len(), 6);
    assert!(strips.iter().all(|ticks| has_every_millimetre(ticks, 260)));
}

#[test]
fn a_postcard_has_strips_round_any_ring_in_pieces_each_with_its_place() {
    for (id, pieces, join) in [
        ("a6", 5, 100),
        ("4x6", 5, 100),
        ("a5", 4, 150),
        ("letter", 3, 200),
    ] {
        let read = read(&pdf(&on(paper(id))));
        let pages = &read[1..];
        let all: Vec<Vec<f64>> = pages.iter().flat_map(strips).collect();
        assert!(all.len() >= pieces, "{id}: {} strips", all.len());
        assert!(
            all.iter()
                .all(|ticks| has_every_millimetre(ticks, join + 8)),
            "{id}"
        );
        let says = |text: &str| {
            pages
                .iter()
                .flat_map(|page| &page.words)
                .any(|words| words.text.contains(text))
        };
        for number in 2..=pieces {
            assert!(says(&format!("strip {number} here")), "{id}: {number}");
        }
        assert!(!says(&format!("strip {} here", pieces + 1)), "{id}");
        // 156 mm across, the widest ring there is, is 490 mm round.
        assert!(says("490"), "{id}");
        for step in 1..=5 {
            assert!(says(&format!("{step}. ")), "{id}: step {step}");
        }
    }
}

#[test]
fn every_strip_says_how_much_longer_than_the_ring_it_reads() {
    // π × 0.10 mm: 0.314 mm (trade figure F22 has the same for a tape).
    for paper in Paper::all() {
        let read = read(&pdf(&on(paper)));
        let words = || read[1..].iter().flat_map(|page| &page.words);
        let is_said = |words: &&super::reader::Words| {
            words
                .text
                .contains("reading − 0.3 mm (strip 0.10 mm thick)")
        };
        let strips: usize = read[1..].iter().map(|page| strips(page).len()).sum();
        assert_eq!(words().filter(is_said).count(), strips, "{}", paper.id());
        assert!(
            words().any(|words| words.text.contains("subtract 0.3 mm")),
            "{}",
            paper.id()
        );
    }
}

#[test]
fn the_printer_test_speaks_of_the_scales_that_are_on_its_page() {
    for paper in Paper::all() {
        let read = read(&pdf(&on(paper)));
        let page = &read[0];
        let all: Vec<&str> = page.words.iter().map(|words| words.text.as_str()).collect();
        let text = all.join(" ");
        let long = |upright| base_line(page, upright, 1.0).1 == 4.0;
        let scales = match (long(false), long(true)) {
            (true, true) => "measure both scales from 0 to 100",
            (false, true) => {
                "scale along the short edge from 0 to 50 and the one along the long edge from 0 to 100"
            }
            other => panic!("{}: {other:?}", paper.id()),
        };
        assert!(text.contains(scales), "{}: {text}", paper.id());
        assert_eq!(text.contains("Both 100.0"), long(false), "{}", paper.id());
        assert_eq!(
            text.contains("counts twice"),
            !long(false),
            "{}",
            paper.id()
        );
        // An outline or marks, and what they are for.
        assert!(text.contains("bank card"), "{}", paper.id());
    }
}
