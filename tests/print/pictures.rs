//! The pictures of tapes, discs and strips in `docs/`. `UPDATE=1 cargo test --test print pictures`
//! draws them anew.

use std::path::Path;

use markwright::draw::strip;
use markwright::export::{Resolution, to_png};
use markwright::gear::{Sense, Side};
use markwright::scene::{Correction, Item, Page, Point, Turn};
use markwright::units::{Length, Unit};

use super::driven::Driven;
use super::lenses::Lens;
use super::pages::paper;
use super::tape::{drawn, long};

/// What a page is printed for, without its rulers.
fn items(page: &Page) -> Vec<Item> {
    let is_wanted = |item: &&Item| match item {
        Item::Group(group) => {
            matches!(
                group.layer,
                Some("tapes" | "strips" | "discs" | "cut lines")
            )
        }
        Item::Shape(_) | Item::Text(_) => false,
    };
    page.items().iter().filter(is_wanted).cloned().collect()
}

/// The discs of a page with their words.
fn upright(page: &Page) -> Page {
    let items = items(page);
    let around = items.iter().filter_map(Item::bounds);
    let around = around
        .reduce(markwright::scene::Rect::around)
        .expect("a disc");
    let rim = Length::mm(3.0);
    let size = (around.width() + rim * 2.0, around.height() + rim * 2.0);
    let mut picture = Page::new("picture", size.0, size.1).expect("an ordinary size");
    let corner = Point::new(rim - around.left(), rim - around.top());
    picture.push(Item::moved(corner, items));
    picture
}

/// The tapes of a page with their words, turned to be read.
fn picture(page: &Page) -> Page {
    let items = items(page);
    let around = items.iter().filter_map(Item::bounds);
    let around = around
        .reduce(markwright::scene::Rect::around)
        .expect("a tape");
    let rim = Length::mm(3.0);
    let size = (around.height() + rim * 2.0, around.width() + rim * 2.0);
    let mut picture = Page::new("picture", size.0, size.1).expect("an ordinary size");
    let corner = Point::new(around.bottom() + rim, rim - around.left());
    picture.push(Item::placed(corner, Turn::QUARTER, items));
    picture
}

/// A 100 mm lens in metres, its ring measured on camera A.
pub fn hundred() -> Lens {
    let mut lens = Lens {
        focal: 100.0,
        close_focus: 914.4,
        unit: Unit::Metres,
        diameter: Some(88.0),
        engraved: vec![1000.0, 2000.0, f64::INFINITY],
        measured: Some(vec![
            (f64::INFINITY, 200.0),
            (10000.0, 182.0),
            (5000.0, 163.3),
            (3000.0, 136.0),
            (2000.0, 101.0),
            (1500.0, 63.0),
            (1000.0, -16.2),
            (914.4, -41.4),
        ]),
        ..Lens::fifty()
    };
    lens.names.focal = "100".into();
    lens.names.label = Some("100 A".into());
    lens.names.serial = Some("3310".into());
    lens.names.camera = Some("A".into());
    lens.names.prepared = Some("2031-04-02".into());
    lens
}

/// The same ring, of which only the middle was measured.
pub fn middle() -> Lens {
    let mut lens = hundred();
    if let Some(rows) = &mut lens.measured {
        rows.retain(|row| row.0 > 1000.0 && row.0.is_finite());
    }
    lens.engraved = vec![2000.0, 5000.0];
    lens
}

/// An 18 mm lens with hard stops, its figures crowded toward infinity.
pub fn eighteen() -> Lens {
    let mut lens = Lens {
        focal: 18.0,
        close_focus: 304.8,
        travel: 270.0,
        stops: (Some(2.5), Some(3.0)),
        ..Lens::fifty()
    };
    lens.names.focal = "18".into();
    lens.names.label = Some("18 A".into());
    lens
}

#[test]
fn every_picture_in_docs_is_there_and_can_be_drawn() {
    let fifty = Lens::fifty();
    let counter = Lens {
        sense: Sense::CounterClockwise,
        ..Lens::fifty()
    };
    let narrow = Lens {
        band: Some(8.0),
        ..Lens::fifty()
    };
    let round = Lens {
        travel: 354.0,
        diameter: Some(76.0),
        ..Lens::fifty()
    };
    let mut corrected = Lens {
        off: Some((0.05, 0.02)),
        ..Lens::fifty()
    };
    corrected.names.camera = Some("A".into());
    let pictures = [
        ("left-clockwise", &fifty, Side::Left),
        ("left-counter-clockwise", &counter, Side::Left),
        ("right-clockwise", &fifty, Side::Right),
        ("right-counter-clockwise", &counter, Side::Right),
        ("measured", &hundred(), Side::Left),
        ("beyond-marks", &middle(), Side::Left),
        ("corrected", &corrected, Side::Left),
        ("hard-stops", &eighteen(), Side::Left),
        ("narrow", &narrow, Side::Left),
        ("all-round", &round, Side::Left),
        ("pieces", &long(), Side::Left),
    ];
    let pictures = pictures.map(|(name, lens, side)| {
        let page = drawn(&[lens.tape().expect("a tape")], side, "a4").remove(0);
        (format!("tape-{name}.png"), picture(&page))
    });
    in_docs("tapes.md", &pictures);
}

/// Draws pictures anew where that was asked for; they and a word of them are there.
fn in_docs(file: &str, pictures: &[(String, Page)]) {
    let docs = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs");
    let words = std::fs::read_to_string(docs.join(file)).expect("a page of docs");
    for (name, picture) in pictures {
        let dots = Resolution::dots_per_inch(150).expect("ordinary");
        let png = to_png(picture, dots).expect("a picture");
        if std::env::var_os("UPDATE").is_some() {
            std::fs::write(docs.join(name), png).expect("written");
        }
        assert!(docs.join(name).is_file(), "{name}");
        assert!(words.contains(name.as_str()), "{name}");
    }
}

#[test]
fn every_picture_of_discs_and_strips_in_docs_is_there_and_can_be_drawn() {
    let metres = Driven {
        lens: hundred(),
        beyond: (Some(3.0), Some(4.0)),
        side: Some(Side::Right),
        engraved: false,
        ..Driven::single()
    };
    let metres = Driven {
        lens: Lens {
            travel: 290.0,
            measured: None,
            ..metres.lens
        },
        ..metres
    };
    let discs = [
        ("disc-one-turn.png", Driven::single()),
        ("disc-three-turns.png", Driven::fifty()),
        ("disc-hard-stops.png", metres.clone()),
    ];
    let strips = [
        ("strip-feet.png", Driven::fifty()),
        ("strip-metres.png", metres),
    ];
    let discs = discs.map(|(name, driven)| {
        let page = driven.pages("a4").expect("room").remove(0);
        (name.to_owned(), upright(&page))
    });
    let strips = strips.map(|(name, driven)| {
        let strip = driven.strip().expect("a strip");
        let pages = strip::draw(&[strip], paper("a4"), Correction::NONE);
        (name.to_owned(), picture(&pages.expect("room").remove(0)))
    });
    let all: Vec<(String, Page)> = discs.into_iter().chain(strips).collect();
    in_docs("discs.md", &all);
}
