//! The pictures of set cards in `docs/`. `UPDATE=1 cargo test --test print
//! pictures` draws them anew.

use std::path::Path;

use markwright::draw::card::{CardStyle, Faces, Ground, draw, draw_conversions, draw_field};
use markwright::draw::card::{draw_field_set, draw_hyperfocals};
use markwright::export::{Resolution, to_png};
use markwright::scene::Page;
use markwright::sheets::{Conversions, FieldCard, FieldSet, FieldWish};
use markwright::units::{Transmittance, Unit};

use super::super::card::embedded;
use super::super::card::setups::{Given, example};
use super::super::pages::paper;
use super::{field_wish, hyperfocals, names};

/// An invented set of primes.
fn set() -> Vec<Given> {
    [
        (18.0, 60.0, 2.2),
        (25.0, 50.0, 1.8),
        (35.0, 12.0, 1.35),
        (50.0, -15.6, 1.146),
        (100.0, -31.0, 1.146),
    ]
    .into_iter()
    .map(|(focal_mm, hiatus, pupil)| Given {
        focal_mm,
        close_mm: 254.0 + focal_mm * 6.0,
        pupils: Some((hiatus, pupil)),
        label: format!("Prime {focal_mm}"),
        ..Given::ordinary(Unit::Feet)
    })
    .collect()
}

#[test]
fn every_picture_of_a_set_card_in_docs_is_there_and_can_be_drawn() {
    let layouts = embedded();
    let light = |layout| CardStyle::new(Ground::Light, layout);
    let dark = |layout| CardStyle::new(Ground::Dark, layout);
    let wishes: Vec<FieldWish> = set()
        .iter()
        .filter_map(|given| field_wish(given, Some(2.39)))
        .collect();
    let one = FieldCard::new(wishes[2].clone()).expect("a field");
    let all = FieldSet::new(names(), &wishes, Unit::Feet).expect("a field");
    let taus: Vec<(String, Transmittance)> = [("18 25", 0.85), ("35", 0.86), ("50 100", 0.88)]
        .into_iter()
        .filter_map(|(focal, tau)| Some((focal.to_owned(), Transmittance::new(tau).ok()?)))
        .collect();
    let conversions = Conversions::new(names(), Unit::Feet, &taus);
    let hyperfocal = hyperfocals(&set(), 5).expect("depth");
    let a6 = paper("a6");
    let converted = draw_conversions(&conversions, a6, &light(&layouts.conversions)).expect("room");
    let large = CardStyle {
        large: true,
        ..light(&layouts.card)
    };
    let alone = CardStyle {
        faces: Faces::Table,
        ..light(&layouts.card)
    };
    let card = [example(Unit::Feet)];
    let pictures: [(&str, &[Page]); 7] = [
        (
            "hyperfocals",
            &draw_hyperfocals(&hyperfocal, a6, &dark(&layouts.hyperfocals)).expect("room")[..1],
        ),
        (
            "field",
            &draw_field(&one, a6, &light(&layouts.fields)).expect("room"),
        ),
        (
            "field-set",
            &draw_field_set(&all, a6, &dark(&layouts.fields)).expect("room")[..1],
        ),
        ("conversions", &converted[..1]),
        ("conversions-stops", &converted[1..2]),
        ("large", &draw(&card, a6, &large).expect("room")[..1]),
        (
            "table-alone",
            &draw(&card, paper("a5"), &alone).expect("room"),
        ),
    ];
    let docs = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs");
    let words = std::fs::read_to_string(docs.join("cards.md")).expect("docs/cards.md");
    for (name, pages) in pictures {
        let file = format!("card-{name}.png");
        let dots = Resolution::dots_per_inch(150).expect("ordinary");
        let png = to_png(&pages[0], dots).expect("a picture");
        if std::env::var_os("UPDATE").is_some() {
            std::fs::write(docs.join(&file), png).expect("written");
        }
        assert!(docs.join(&file).is_file(), "{file}");
        assert!(words.contains(&file), "{file}");
    }
}
