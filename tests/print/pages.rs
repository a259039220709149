//! The pages under test, and how they are written.

use markwright::draw::{Paper, ruler_sheet, strip_ruler};
use markwright::export::{Exporter, Pdf};
use markwright::scene::Page;
use markwright::sheets::{RulerSheet, StripRuler};

/// One page of every sheet on a paper.
pub fn on(paper: &Paper) -> Vec<Page> {
    vec![
        ruler_sheet::draw(&RulerSheet, paper),
        strip_ruler::draw(&StripRuler::new(), paper),
    ]
}

/// A paper of the table.
pub fn paper(id: &str) -> &'static Paper {
    Paper::named(id).expect("a paper of the table")
}

/// Pages as the bytes of a PDF file.
pub fn pdf(pages: &[Page]) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut out = Pdf::new(&mut bytes, "Test").expect("a vector takes all");
    for page in pages {
        out.page(page).expect("a page");
    }
    out.finish().expect("the end");
    bytes
}
