//! The pictures of prep reports in `docs/`. `UPDATE=1 cargo test --test print
//! pictures` draws them anew.

use std::path::Path;

use markwright::export::{Resolution, to_png};
use markwright::units::Unit;

use super::bench::ordinary;
use super::{answer, lens_pages, set_pages};

#[test]
fn every_picture_of_a_report_in_docs_is_there_and_can_be_drawn() {
    let kit = ordinary(Unit::Feet);
    let answer = answer(&kit, None);
    let misread = answer.lenses.iter().find(|lens| lens.id == "75");
    let misread = misread.expect("a lens of the set");
    let pictures = [
        ("set", set_pages(&answer, &kit, "a4").swap_remove(0)),
        (
            "lens",
            lens_pages(&answer, misread, &kit, "a4").swap_remove(0),
        ),
    ];
    let docs = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs");
    let words = std::fs::read_to_string(docs.join("prep.md")).expect("docs/prep.md");
    for (name, page) in pictures {
        let file = format!("prep-{name}.png");
        let dots = Resolution::dots_per_inch(110).expect("ordinary");
        let png = to_png(&page, dots).expect("a picture");
        if std::env::var_os("UPDATE").is_some() {
            std::fs::write(docs.join(&file), png).expect("written");
        }
        assert!(docs.join(&file).is_file(), "{file}");
        assert!(words.contains(&file), "{file}");
    }
}
