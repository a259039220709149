//! Looks, faces alone, cards that lie, and layouts of a crew's own.

use std::collections::BTreeMap;

use markwright::draw::Paper;
use markwright::draw::card::{CardStyle, Faces, Ground, Layout, draw};
use markwright::draw::plot::Lie;
use markwright::sheets::Card;
use markwright::units::Unit;

use super::super::pages::{paper, pdf};
use super::super::reader::{Box, Read, read};
use super::setups::{Given, example, random};
use super::{assert_clear, cell, embedded};

fn drawn(card: &Card, paper: &Paper, style: &CardStyle<'_>) -> Option<Vec<Read>> {
    let pages = draw(core::slice::from_ref(card), paper, style).ok()?;
    Some(read(&pdf(&pages)))
}

/// Heights of the words that are one of some figures.
fn heights(read: &Read, figures: &[String]) -> BTreeMap<String, f64> {
    let shown = read.words.iter().filter_map(|words| {
        let text = super::plain(&words.text);
        figures.contains(&text).then(|| (text, words.height()))
    });
    shown.collect()
}

/// Nothing over anything else, over the hole or in the margins, on a page of a
/// face alone.
fn assert_alone(read: &Read, lies: bool, right: bool, name: &str) {
    // A paper that lies keeps what a printer may hold at both sides.
    let side = if lies { 14.8 } else { 7.8 };
    let (width, height) = (read.width, read.height);
    let safe = Box::between((side, 8.0), (width - side, height - 15.0));
    let middle = if right { width - 10.0 } else { 10.0 };
    let hole = Box::between((middle - 3.0, 7.0), (middle + 3.0, 13.0));
    assert_clear(read, &safe, &hole, name);
}

#[test]
fn large_figures_are_1_4_times_as_high_as_light_ones_and_never_touch() {
    let layout = embedded().card;
    let (mut lines, mut refused) = (0, 0);
    for (index, given) in random(90).iter().enumerate() {
        let Some(card) = given.card() else { continue };
        let id = ["a6", "4x6", "a5"][index % 3];
        let light = CardStyle::new(Ground::Light, &layout);
        let large = CardStyle {
            large: true,
            ..light
        };
        let small = drawn(&card, paper(id), &light).expect("light ones fit");
        let Some(faces) = drawn(&card, paper(id), &large) else {
            refused += 1;
            continue;
        };
        let name = format!("{id} {given:?}");
        for (read, right) in faces.iter().zip([false, true]) {
            assert_alone(read, false, right, &name);
        }
        let unit = card.unit;
        let of = |text: &str, named: &str| cell(text, unit, named);
        let focuses: Vec<String> = card
            .lines
            .iter()
            .map(|line| of(&line.focus, " m"))
            .collect();
        let bold = |read: &Read| {
            let bold = read
                .words
                .iter()
                .filter(|words| words.bold && words.at.1 > 26.0);
            Read {
                words: bold.cloned().collect(),
                ..Read::default()
            }
        };
        let (was, is) = (
            heights(&bold(&small[0]), &focuses),
            heights(&bold(&faces[0]), &focuses),
        );
        assert!(!is.is_empty(), "{name}");
        for (text, height) in &is {
            let light = was.get(text).copied().unwrap_or(0.0);
            assert!(
                *height >= light * 1.4 - 5e-3,
                "{text} {light} {height} {name}"
            );
        }
        assert!(is.len() <= was.len());
        lines += is.len();
        // The misses of the table, apart from those that are a stop's number.
        let misses: Vec<String> = card
            .table
            .lines
            .iter()
            .flat_map(|line| &line.misses)
            .flat_map(|(nearer, farther)| [of(nearer, " cm"), of(farther, " cm")])
            .filter(|text| text.starts_with(['−', '+']))
            .collect();
        let (was, is) = (heights(&small[1], &misses), heights(&faces[1], &misses));
        assert!(!is.is_empty(), "{name}");
        for (text, height) in &is {
            assert!(*height >= was[text] * 1.4 - 5e-3, "{text} {name}");
        }
    }
    assert!(
        lines > 300 && refused < 5,
        "{lines} lines, {refused} refused"
    );
}

#[test]
fn where_not_all_lines_have_room_those_first_in_rank_are_kept() {
    let layout = embedded().card;
    for unit in [Unit::Feet, Unit::Metres] {
        let card = example(unit);
        let style = CardStyle {
            large: true,
            ..CardStyle::new(Ground::Light, &layout)
        };
        let faces = drawn(&card, paper("a6"), &style).expect("room");
        let focus = |line: &markwright::sheets::CardLine| cell(&line.focus, unit, " m");
        let shown = |line: &markwright::sheets::CardLine| {
            let bold = faces[0]
                .words
                .iter()
                .filter(|words| words.bold && words.at.1 > 26.0);
            let mut bold = bold;
            bold.any(|words| super::plain(&words.text) == focus(line))
        };
        let (kept, lost): (Vec<_>, Vec<_>) = card.lines.iter().partition(|line| shown(line));
        assert!(kept.len() >= 4 && !lost.is_empty(), "{kept:?}");
        let last = kept.iter().map(|line| line.rank).max();
        let first = lost.iter().map(|line| line.rank).min();
        assert!(last < first, "{kept:?} {lost:?}");
        // 10 ft and 3 ft, 2 m and 1 m are worth most (charts/worths.csv).
        let worthiest = match unit {
            Unit::Feet => ["10′", "3′"],
            Unit::Metres => ["2 m", "1 m"],
        };
        for text in worthiest {
            assert!(kept.iter().any(|line| line.focus == text), "{text}");
        }
    }
}

#[test]
fn a_face_alone_has_the_whole_paper_and_larger_figures() {
    let layout = embedded().card;
    let card = example(Unit::Feet);
    let both = CardStyle::new(Ground::Light, &layout);
    for (faces, beside) in [(Faces::Dark, 0), (Faces::Table, 1)] {
        let alone = CardStyle { faces, ..both };
        for id in ["a6", "4x6", "a5", "a4", "letter"] {
            let pages = drawn(&card, paper(id), &alone).expect("room");
            let [read] = &pages[..] else {
                panic!("one page on {id}");
            };
            assert_alone(read, false, false, id);
            let focuses: Vec<String> = card.lines.iter().map(|l| super::plain(&l.focus)).collect();
            let least = |read: &Read| {
                let all = heights(read, &focuses).into_values();
                all.fold(f64::MAX, f64::min)
            };
            let folded = drawn(&card, paper("a6"), &both).expect("room");
            assert!(least(read) >= least(&folded[beside]) - 1e-6, "{id}");
            if id == "a4" {
                assert!(least(read) > 1.5 * least(&folded[beside]), "{id}");
            }
        }
    }
}

#[test]
fn cards_lie_on_every_paper_and_keep_their_lines_apart() {
    let layout = embedded().card;
    let style = CardStyle {
        lie: Lie::Landscape,
        ..CardStyle::new(Ground::Light, &layout)
    };
    for (index, given) in random(60).iter().enumerate() {
        let Some(card) = given.card() else { continue };
        let id = ["a6", "4x6", "a5"][index % 3];
        let Some(faces) = drawn(&card, paper(id), &style) else {
            continue;
        };
        for (read, right) in faces.iter().zip([false, true]) {
            assert!(read.width > read.height, "{id}");
            assert_alone(read, true, right, &format!("{id} {given:?}"));
        }
    }
}

#[test]
fn a_folded_card_that_lies_has_both_holes_at_one_place_when_folded() {
    let layout = embedded().card;
    let style = CardStyle {
        lie: Lie::Landscape,
        ..CardStyle::new(Ground::Light, &layout)
    };
    for id in ["a4", "letter"] {
        let pages = drawn(&example(Unit::Feet), paper(id), &style).expect("room");
        let [read] = &pages[..] else {
            panic!("one page");
        };
        // A6 on its side (ISO 216), twice, one below the other.
        let long = |line: &&super::super::reader::Line| {
            let (dx, dy) = (line.to.0 - line.from.0, line.to.1 - line.from.1);
            dy.abs() < 1e-3 && (dx.abs() - 148.0).abs() < 1e-3
        };
        let mut ys: Vec<f64> = read
            .lines
            .iter()
            .filter(long)
            .map(|line| line.from.1)
            .collect();
        ys.sort_by(f64::total_cmp);
        let (top, bottom) = (ys[0], ys[ys.len() - 1]);
        assert!((bottom - top - 210.0).abs() < 1e-3, "{id}: {ys:?}");
        assert!(
            ys.iter().any(|y| (y - top - 105.0).abs() < 1e-3),
            "{id}: no fold"
        );
        // The second face stands on its head: its words run to the left.
        let (mut upright, mut turned) = (0, 0);
        for words in &read.words {
            if words.at.1 < top || words.at.1 > bottom || words.at.0 < 20.0 {
                continue;
            }
            if words.end.0 > words.at.0 {
                upright += 1;
                assert!(words.at.1 < top + 105.0, "{words:?}");
            } else if words.end.0 < words.at.0 {
                turned += 1;
                assert!(words.at.1 > top + 105.0, "{words:?}");
            }
        }
        assert!(upright > 40 && turned > 40, "{id}: {upright} {turned}");
    }
}

#[test]
fn a_layout_changes_margins_heights_lines_stops_columns_and_words() {
    let card = example(Unit::Feet);
    let plain = embedded().card;
    let on = |layout: &Layout| {
        let style = CardStyle::new(Ground::Light, layout);
        drawn(&card, paper("a5"), &style).expect("room")
    };
    let before = on(&plain);
    let focuses: Vec<String> = card.lines.iter().map(|l| super::plain(&l.focus)).collect();
    let mm = markwright::units::Length::mm;
    // Margins.
    let faces = on(&Layout {
        margin: mm(20.0),
        ..plain.clone()
    });
    let left = faces[0]
        .words
        .iter()
        .map(|words| words.at.0)
        .fold(f64::MAX, f64::min);
    assert!(left > 19.8, "{left}");
    // Lines, the tall ones fewer.
    let faces = on(&Layout {
        lines: 4,
        ..plain.clone()
    });
    assert_eq!(heights(&faces[0], &focuses).len(), 4);
    let faces = on(&Layout {
        figures: mm(12.0),
        ..plain.clone()
    });
    let tall = heights(&faces[0], &focuses);
    assert!(tall.values().all(|height| *height >= 12.0 - 2e-3) && tall.len() < 12);
    // Stops: the working stop and wide open stay.
    let faces = on(&Layout {
        stops: 2,
        ..plain.clone()
    });
    let heads: Vec<&String> = card
        .table
        .stops
        .iter()
        .filter(|stop| faces[1].words.iter().any(|words| words.text == **stop))
        .collect();
    assert_eq!(heads, ["T1.4", "T2.8"]);
    // Columns.
    let says = |read: &Read, text: &str| {
        read.words
            .iter()
            .any(|words| super::plain(&words.text) == text)
    };
    let near = super::plain(&card.lines[3].near);
    let nearer = super::plain(&card.lines[3].nearer);
    assert!(says(&before[0], &near) && says(&before[0], &nearer));
    use markwright::draw::card::Column;
    for (column, gone, stays) in [
        (Column::Limits, &nearer, &near),
        (Column::Misses, &near, &nearer),
    ] {
        let faces = on(&Layout {
            columns: vec![column],
            ..plain.clone()
        });
        assert!(
            !says(&faces[0], gone) && says(&faces[0], stays),
            "{column:?}"
        );
    }
}

#[test]
fn words_can_be_left_out_but_not_what_figures_rest_on() {
    let given = Given::ordinary(Unit::Feet);
    let mut wish = given.wish().expect("an ordinary setup");
    wish.words = markwright::sheets::CardWords {
        morning: false,
        gate: false,
        title: false,
        hyperfocal: false,
    };
    let setup = given.setup(given.closed).expect("it has depth");
    let card = Card::new(&setup, wish).expect("it has depth");
    let layout = embedded().card;
    let faces = drawn(&card, paper("a6"), &CardStyle::new(Ground::Light, &layout)).expect("room");
    for read in &faces {
        let all: String = read.words.iter().map(|words| words.text.as_str()).collect();
        for gone in ["chart at", "perforations", "Salt", "hyperfocal"] {
            assert!(!all.contains(gone), "{gone} in {all}");
        }
        for stays in [
            "circle 0.0250 mm",
            "check against a tape",
            "image plane",
            &card.code.to_string(),
        ] {
            assert!(all.contains(stays), "{stays} not in {all}");
        }
    }
    assert!(faces[0].words.iter().any(|words| words.text == "T2.8"));
}
