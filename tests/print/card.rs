//! Cards: legible, complete, nothing over anything else, and figures that err
//! only to the safe side.

mod figures;
mod looks;
mod pictures;
pub mod setups;

use markwright::draw::Paper;
use markwright::draw::card::{CardStyle, Ground, Layouts, draw};
use markwright::scene::Page;
use markwright::sheets::Card;
use markwright::units::Unit;

use self::setups::{Given, example, random};
use super::pages::{paper, pdf};
use super::reader::{Box, Read, Words, read};

/// Least heights in millimetres: trade practice for reading at 40 to 70 cm in
/// near dark (cards: 4 mm for what is read first, 2.5 mm for the rest).
const FOCUS: f64 = 5.0;
const LIMIT: f64 = 4.0;
const MISS: f64 = 2.5;
const SMALLEST: f64 = 2.0;
/// f32 points and three decimals of type size.
const ROUNDING: f64 = 2e-3;

/// How many setups are tried.
const SETUPS: usize = 500;

/// The layouts that are embedded.
pub fn embedded() -> Layouts {
    markwright::data::layouts(None).expect("they read")
}

fn pages(card: &Card, paper: &Paper, ground: Ground) -> Vec<Page> {
    let layout = embedded().card;
    let style = CardStyle::new(ground, &layout);
    draw(core::slice::from_ref(card), paper, &style)
        .unwrap_or_else(|none| panic!("{none}: {card:#?}"))
}

fn read_of(card: &Card, paper: &Paper, ground: Ground) -> Vec<Read> {
    read(&pdf(&pages(card, paper, ground)))
}

/// A string with blanks away and raised and lowered figures on the line.
pub fn plain(text: &str) -> String {
    const SETS: [&str; 2] = ["⁰¹²³⁴⁵⁶⁷⁸⁹", "₀₁₂₃₄₅₆₇₈₉"];
    let figure = |c: char| {
        let digit = SETS.iter().find_map(|set| set.chars().position(|d| d == c));
        digit.and_then(|digit| char::from_digit(u32::try_from(digit).ok()?, 10))
    };
    text.chars()
        .filter(|c| !c.is_whitespace())
        .map(|c| figure(c).unwrap_or(c))
        .collect()
}

/// A figure as it stands in its column: a unit the column's head names is away.
pub fn cell(text: &str, unit: Unit, named: &str) -> String {
    match unit {
        Unit::Metres => plain(text.strip_suffix(named).unwrap_or(text)),
        Unit::Feet => plain(text),
    }
}

/// The words of a page with one face on it, and the rectangle they keep to.
pub fn assert_clear(read: &Read, within: &Box, hole: &Box, name: &str) {
    let inks: Vec<(&Words, Box)> = read
        .words
        .iter()
        .filter_map(|words| Some((words, words.ink()?)))
        .collect();
    for (index, (words, ink)) in inks.iter().enumerate() {
        assert!(within.contains(ink), "{name}: {words:?} leaves the margins");
        assert!(!hole.overlaps(ink), "{name}: {words:?} over the hole");
        let least = words.height() >= SMALLEST - ROUNDING;
        assert!(least, "{name}: {words:?} too small");
        for (other, over) in inks.iter().skip(index + 1) {
            assert!(!ink.overlaps(over), "{name}: {words:?} over {other:?}");
        }
    }
}

pub fn assert_face(read: &Read, paper: &str, right: bool, name: &str) {
    let (width, height) = (read.width, read.height);
    // Letters may reach up to 0.2 mm over the ends of their advance.
    let safe = Box::between((7.8, 8.0), (width - 7.8, height - 15.0));
    // 6 mm wide, its middle 10 mm from both edges.
    let middle = if right { width - 10.0 } else { 10.0 };
    let hole = Box::between((middle - 3.0, 7.0), (middle + 3.0, 13.0));
    assert_clear(read, &safe, &hole, &format!("{paper} {name}"));
}

/// Whether some words are these and at least so high.
fn shows(read: &Read, text: &str, least: f64) -> bool {
    let high = |words: &&Words| words.height() >= least - ROUNDING;
    text.is_empty()
        || read
            .words
            .iter()
            .filter(high)
            .any(|words| plain(&words.text) == text)
}

fn assert_complete(card: &Card, faces: &[Read]) {
    let [dark, table] = faces else {
        panic!("two faces of {card:#?}");
    };
    let unit = card.unit;
    for line in &card.lines {
        let figures = [
            (&line.focus, " m", FOCUS),
            (&line.near, " m", LIMIT),
            (&line.far, " m", LIMIT),
            (&line.nearer, " cm", MISS),
            (&line.farther, " cm", MISS),
        ];
        for (figure, named, least) in figures {
            let shown = cell(figure, unit, named);
            assert!(
                shows(dark, &shown, least),
                "{figure} in {line:?}: {dark:#?}"
            );
        }
    }
    for stop in &card.table.stops {
        assert!(shows(table, &plain(stop), MISS), "{stop}");
    }
    for line in &card.table.lines {
        assert!(
            shows(table, &cell(&line.focus, unit, " m"), LIMIT),
            "{line:?}"
        );
        for figure in line
            .misses
            .iter()
            .flat_map(|(nearer, farther)| [nearer, farther])
        {
            assert!(
                shows(table, &cell(figure, unit, " cm"), MISS),
                "{figure} in {line:?}"
            );
        }
    }
    let count = |read: &Read| read.words.iter().filter(|words| words.text == "≈").count();
    let cautious = card.lines.iter().filter(|line| line.cautious).count();
    assert_eq!(count(dark), cautious);
    let cautious = card.table.lines.iter().filter(|line| line.cautious).count();
    assert_eq!(count(table), cautious);
    let signs = dark.words.iter().filter(|words| words.text == "«").count();
    assert_eq!(signs, card.lines.iter().filter(|line| line.edge).count());
    for (read, foot) in [(dark, &card.foot), (table, &card.table.foot)] {
        let all: String = read.words.iter().map(|words| plain(&words.text)).collect();
        for paragraph in foot {
            assert!(all.contains(&plain(paragraph)), "{paragraph} in {all}");
        }
        assert!(all.contains(&card.code.to_string()), "{all}");
    }
    let all: String = dark.words.iter().map(|words| plain(&words.text)).collect();
    let hyperfocal = card.hyperfocal.as_deref().expect("a plain lens");
    assert!(all.contains(&plain(hyperfocal)), "{all}");
    assert!(all.contains(&plain(&card.stop)), "{all}");
}

#[test]
fn five_hundred_lenses_are_drawn_whole_and_without_collision() {
    let papers = ["a6", "4x6", "a5"];
    let mut drawn = 0;
    for (index, given) in random(SETUPS).iter().enumerate() {
        let Some(card) = given.card() else { continue };
        let id = papers[index % papers.len()];
        let ground = if index % 2 == 0 {
            Ground::Light
        } else {
            Ground::Dark
        };
        let faces = read_of(&card, paper(id), ground);
        assert_complete(&card, &faces);
        assert_face(&faces[0], id, false, &format!("{given:?}"));
        assert_face(&faces[1], id, true, &format!("{given:?}"));
        drawn += 1;
    }
    // A setup whose circle is too coarse for its focal length has no card.
    assert!(drawn > SETUPS * 9 / 10, "only {drawn} had a card");
}

#[test]
fn a_cut_out_card_is_a6_twice_and_words_keep_8_mm_from_its_edges_and_fold() {
    for (index, given) in random(60).iter().enumerate() {
        let Some(card) = given.card() else { continue };
        let id = ["a4", "letter"][index % 2];
        let [read] = &read_of(&card, paper(id), Ground::Light)[..] else {
            panic!("one page a card");
        };
        // It lies across the page: read with the page's right edge toward one.
        let upright = |length: f64| {
            move |line: &&super::reader::Line| {
                let (dx, dy) = (line.to.0 - line.from.0, line.to.1 - line.from.1);
                dx.abs() < 1e-3 && (dy.abs() - length).abs() < 1e-3 && !line.dashed
            }
        };
        let edges: Vec<_> = read.lines.iter().filter(upright(210.0)).collect();
        let xs = edges.iter().map(|line| line.from.0);
        let left = xs.clone().fold(f64::MAX, f64::min);
        let right = xs.fold(f64::MIN, f64::max);
        assert!((right - left - 148.0).abs() < 1e-3, "{left} to {right}");
        let bottom = edges[0].from.1.max(edges[0].to.1);
        let turned = read.words.iter().filter(|words| {
            let inside = words.at.0 > left && words.at.0 < right;
            inside && words.at.1 > bottom - 210.0 && words.at.1 < bottom
        });
        let (mut faces, mut count) = ([Vec::new(), Vec::new()], 0);
        for words in turned {
            faces[usize::from(words.at.1 < bottom - 105.0)].push(words.clone());
            count += 1;
        }
        let small = read_of(&card, paper("a6"), Ground::Light);
        assert!(count > 100.min(small[0].words.len()), "{count} words");
        for (face, words) in faces.into_iter().enumerate() {
            let base = bottom - 105.0 * face as f64;
            let within = Box::between((left + 8.0, base - 97.2), (right - 8.0, base - 7.8));
            let hole = if face == 0 { base - 10.0 } else { base - 95.0 };
            let hole = Box::between((left + 7.0, hole - 3.0), (left + 13.0, hole + 3.0));
            let read = Read {
                words,
                ..Read::default()
            };
            assert_clear(&read, &within, &hole, &format!("{id} {given:?}"));
        }
    }
}

#[test]
fn pages_are_exactly_their_paper_and_the_same_bytes_twice() {
    // ISO 216, and inches of 25.4 mm.
    let sizes = [
        ("a4", 210.0, 297.0, 1),
        ("letter", 215.9, 279.4, 1),
        ("a5", 148.0, 210.0, 2),
        ("a6", 105.0, 148.0, 2),
        ("4x6", 101.6, 152.4, 2),
    ];
    let card = example(Unit::Feet);
    for (id, width, height, count) in sizes {
        let pages = pages(&card, paper(id), Ground::Dark);
        let bytes = pdf(&pages);
        let read = read(&bytes);
        assert_eq!(read.len(), count, "{id}");
        for page in read {
            assert!((page.width - width).abs() < 1e-4, "{id}: {}", page.width);
            assert!((page.height - height).abs() < 1e-4, "{id}: {}", page.height);
        }
        assert_eq!(bytes, pdf(&pages), "{id}");
    }
}

#[test]
fn names_of_any_length_and_letters_are_cut_where_one_sees_it() {
    for unit in [Unit::Feet, Unit::Metres] {
        let mut given = Given::ordinary(unit);
        given.focal_name = Some("25–250 with extender".into());
        given.label = format!("{} \u{1F3A5}\u{202E}\n lens", "wide ".repeat(400));
        given.serial = "7".repeat(300);
        given.title = "ő".repeat(2000);
        given.format = "Super 35 ".repeat(30);
        let card = given.card().expect("an ordinary setup");
        for id in ["a6", "4x6", "a5"] {
            let faces = read_of(&card, paper(id), Ground::Light);
            assert_complete(&card, &faces);
            for (face, right) in faces.iter().zip([false, true]) {
                assert_face(face, id, right, "odd names");
                let cut = face.words.iter().filter(|words| words.text.contains('…'));
                assert!(cut.count() >= 3, "{face:#?}");
            }
        }
    }
}

#[test]
fn the_title_of_a_small_card_stands_whole_where_there_is_room_for_it() {
    let mut card = example(Unit::Metres);
    card.names.title = Some("Glasshouse at night".into());
    // Little beside it, as where the label says no more than the focal length.
    card.names.serial = Some("7".into());
    card.names.camera = None;
    card.names.label = None;
    card.names.id = None;
    for id in ["a6", "4x6"] {
        for read in read_of(&card, paper(id), Ground::Light) {
            let whole = read
                .words
                .iter()
                .filter(|words| words.text.contains("Glasshouse at night"));
            assert_eq!(whole.count(), 1, "{id}");
            assert!(
                !read.words.iter().any(|words| words.text.contains('…')),
                "{id}"
            );
        }
    }
}

#[test]
fn a_zoom_and_a_stop_with_a_third_stand_at_least_6_mm_high() {
    let mut given = Given::ordinary(Unit::Feet);
    given.focal_name = Some("25–250".into());
    let mut card = given.card().expect("an ordinary setup");
    card.stop = "T2.8 1/3".into();
    for id in ["a6", "4x6", "a5"] {
        let faces = read_of(&card, paper(id), Ground::Light);
        for text in ["25–250", "T2.81/3"] {
            assert!(shows(&faces[0], text, 6.0), "{id}: {text}");
        }
    }
    let faces = read_of(&example(Unit::Feet), paper("a6"), Ground::Light);
    assert!(shows(&faces[0], "50", 10.0) && shows(&faces[0], "T2.8", 10.0));
}

#[test]
fn a_roll_has_no_room_and_says_so() {
    let roll = Paper::roll(
        markwright::units::Length::mm(24.0),
        markwright::units::Length::mm(400.0),
    )
    .expect("a roll");
    let layout = embedded().card;
    let style = CardStyle::new(Ground::Light, &layout);
    let none = draw(&[example(Unit::Feet)], &roll, &style);
    let words = none.expect_err("no room").to_string();
    assert!(
        words.contains("does not fit") && words.contains("24"),
        "{words}"
    );
}
