//! The pictures of cards in `docs/`. `UPDATE=1 cargo test --test print pictures`
//! draws them anew.

use std::path::Path;

use markwright::draw::card::{CardStyle, Ground, draw};
use markwright::export::{Resolution, to_png};
use markwright::units::Unit;

use super::super::pages::paper;
use super::setups::Given;

/// An 18 mm lens of which only the focal length is known.
fn eighteen() -> Given {
    Given {
        focal_mm: 18.0,
        closed: 3,
        close_mm: 250.0,
        pupils: None,
        transmittance: None,
        label: "Prime 18".into(),
        serial: "2051".into(),
        ..Given::ordinary(Unit::Feet)
    }
}

/// A 100 mm lens in metres.
fn hundred() -> Given {
    Given {
        focal_mm: 100.0,
        close_mm: 700.0,
        pupils: Some((-31.0, 1.146)),
        label: "Prime 100".into(),
        serial: "2063".into(),
        date: Some("2031-04-02".into()),
        ..Given::ordinary(Unit::Metres)
    }
}

#[test]
fn every_picture_of_a_card_in_docs_is_there_and_can_be_drawn() {
    let fifty = Given::ordinary(Unit::Feet);
    let pictures = [
        ("dark-set", &fifty, Ground::Dark, 0),
        ("table", &fifty, Ground::Light, 1),
        ("cautious", &eighteen(), Ground::Dark, 0),
        ("metres", &hundred(), Ground::Light, 0),
        ("metres-table", &hundred(), Ground::Dark, 1),
    ];
    let docs = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs");
    let words = std::fs::read_to_string(docs.join("cards.md")).expect("docs/cards.md");
    for (name, given, ground, face) in pictures {
        let file = format!("card-{name}.png");
        let card = given.card().expect("an ordinary setup");
        let layout = super::embedded().card;
        let style = CardStyle::new(ground, &layout);
        let pages = draw(&[card], paper("a6"), &style).expect("room");
        let dots = Resolution::dots_per_inch(150).expect("ordinary");
        let png = to_png(&pages[face], dots).expect("a picture");
        if std::env::var_os("UPDATE").is_some() {
            std::fs::write(docs.join(&file), png).expect("written");
        }
        assert!(docs.join(&file).is_file(), "{file}");
        assert!(words.contains(&file), "{file}");
    }
}
