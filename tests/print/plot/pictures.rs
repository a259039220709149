//! The pictures of plots in `docs/`. `UPDATE=1 cargo test --test print pictures`
//! draws them anew.

use std::path::Path;

use markwright::draw::plot::{Lie, draw};
use markwright::export::{Resolution, to_png};
use markwright::sheets::Plot;
use markwright::units::{NOMINAL_STOPS, Unit};

use super::super::card::setups::Given;
use super::super::pages::paper;
use super::pulls::passing;
use super::{blur, contrast, setup, waves, wish};

#[test]
fn every_picture_of_a_plot_in_docs_is_there_and_can_be_drawn() {
    let fifty = Given::ordinary(Unit::Feet);
    // From 1.4 to 22, as engraved.
    let stops = NOMINAL_STOPS[1..10].iter().map(|&widest| {
        let wide_open = Given {
            widest,
            closed: 0,
            ..Given::ordinary(Unit::Feet)
        };
        setup(&wide_open)
    });
    let stops: Vec<_> = stops.collect();
    let of_stops = Plot::limits(&stops[0], &stops[1..], &wish(&fifty, &[]));
    let eighteen = Given {
        focal_mm: 18.0,
        close_mm: 250.0,
        closed: 0,
        pupils: Some((43.0, 2.0)),
        label: "Prime 18".into(),
        serial: "2051".into(),
        ..Given::ordinary(Unit::Metres)
    };
    let metres = Given::ordinary(Unit::Metres);
    let engraved = [2.8, 5.6, 11.0, 16.0].map(|widest| {
        let at = Given {
            widest,
            ..Given::ordinary(Unit::Metres)
        };
        let setup = at.setup_in(0, Some(waves("0.3@40/mm", true)));
        setup.expect("an ordinary setup")
    });
    let through_stops = Plot::contrast(&engraved[0], &engraved[1..], &wish(&metres, &["2m"]));
    let pictures = [
        ("blur", blur(&fifty, &["6'", "10'", "20'"]), Lie::Landscape),
        (
            "blur-metres",
            blur(&eighteen, &["1m", "2m", "inf"]),
            Lie::Portrait,
        ),
        (
            "contrast",
            contrast(&fifty, &[2], "0.3@40/mm", false, &["6'", "10'", "20'"]),
            Lie::Landscape,
        ),
        (
            "contrast-stops",
            through_stops.expect("so much").expect("one was wanted"),
            Lie::Landscape,
        ),
        ("pull", passing(&fifty), Lie::Landscape),
        ("limits", of_stops.expect("it has one"), Lie::Landscape),
    ];
    let docs = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs");
    let words = std::fs::read_to_string(docs.join("plots.md")).expect("docs/plots.md");
    for (name, plot, lie) in pictures {
        let file = format!("plot-{name}.png");
        let page = draw(&plot, paper("a4"), lie).expect("room");
        let dots = Resolution::dots_per_inch(110).expect("ordinary");
        let png = to_png(&page, dots).expect("a picture");
        if std::env::var_os("UPDATE").is_some() {
            std::fs::write(docs.join(&file), png).expect("written");
        }
        assert!(docs.join(&file).is_file(), "{file}");
        assert!(words.contains(&file), "{file}");
    }
}
