//! The pages under test, and how they are written.

use markwright::draw::{Paper, ruler_sheet, strip_ruler};
use markwright::export::{Exporter, Pdf};
use markwright::scene::Page;
use markwright::sheets::{RulerSheet, StripRuler};

/// Every sheet on a paper: the printer test, then strips.
pub fn on(paper: &Paper) -> Vec<Page> {
    let mut pages = vec![ruler_sheet::draw(&RulerSheet::default(), paper)];
    pages.extend(strip_ruler::draw(&StripRuler::new(), paper));
    pages
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
