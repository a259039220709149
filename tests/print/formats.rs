//! SVG and PNG, and that pages leave one by one.

use std::cell::RefCell;
use std::io::{self, Write};
use std::rc::Rc;

use markwright::export::{
    Exporter, Letters, PageFormat, Pdf, Resolution, Separate, to_png, to_svg,
};
use markwright::scene::{Ink, Point, TextRun};
use markwright::units::Length;

use super::pages::{on, paper};

#[test]
fn svg_has_one_unit_the_millimetre() {
    let svg = to_svg(&paper("a4").page(), Letters::Text);
    assert!(svg.contains("width=\"210mm\" height=\"297mm\" viewBox=\"0 0 210 297\""));
}

#[test]
fn svg_stays_well_formed_whatever_is_written_in_it() {
    let nasty = "</text><script>\"'&]]>\u{1}\u{0}<b>";
    let mut page = paper("a4").page().with_title(nasty);
    page.push(TextRun::new(nasty, Length::mm(3.0), Point::mm(20.0, 50.0)));
    let svg = to_svg(&page, Letters::Text);
    assert!(!svg.contains("<script") && !svg.contains("<b>"));
    assert!(svg.contains("&lt;b&gt;</text>"));
    // Every `<` opens one of our own elements and every element is closed.
    let mut open = Vec::new();
    for part in svg.split('<').skip(1) {
        let tag = part.split('>').next().expect("a tag ends");
        let name = tag.split([' ', '/']).find(|word| !word.is_empty());
        let name = name.expect("a tag has a name");
        if tag.starts_with('/') {
            assert_eq!(open.pop(), Some(name));
        } else if !tag.ends_with('/') {
            open.push(name);
        }
    }
    assert_eq!(open, Vec::<&str>::new());
    assert!(svg.chars().all(|one| one == '\n' || !one.is_control()));
}

#[test]
fn letters_as_outlines_need_no_face() {
    let svg = to_svg(&on(paper("a4"))[0], Letters::Outlines);
    assert!(!svg.contains("<text"));
    assert!(to_svg(&on(paper("a4"))[0], Letters::Text).contains("Is this printer true?</text>"));
}

#[test]
fn png_says_how_many_dots_make_a_metre() {
    let png = to_png(&paper("a6").page(), Resolution::PRINT).expect("a small page");
    let chunk = png
        .windows(4)
        .position(|name| name == b"pHYs")
        .expect("pHYs");
    let number = |at: usize| u32::from_be_bytes([png[at], png[at + 1], png[at + 2], png[at + 3]]);
    // 300 / 0.0254 = 11811.02 dots a metre; unit 1 is the metre (PNG, 11.3.5.3).
    assert_eq!(
        (number(chunk + 4), number(chunk + 8), png[chunk + 12]),
        (11811, 11811, 1)
    );
    // 105 × 148 mm at 300 dots an inch.
    assert_eq!((number(16), number(20)), (1240, 1748));
}

#[test]
fn a_dark_page_is_black_to_its_edges() {
    let dark = paper("a6").page().with_background(Ink::Black);
    let png = to_png(&dark, Resolution::dots_per_inch(36).expect("in range")).expect("small");
    let light = to_png(
        &paper("a6").page(),
        Resolution::dots_per_inch(36).expect("in range"),
    );
    assert_ne!(png, light.expect("small"));
    assert!(to_svg(&dark, Letters::Text).contains("height=\"148\" fill=\"#000\""));
}

#[test]
fn the_same_page_gives_the_same_svg_and_png() {
    let (one, other) = (&on(paper("a6"))[1], &on(paper("a6"))[1]);
    assert_eq!(to_svg(one, Letters::Text), to_svg(other, Letters::Text));
    let png = |page| to_png(page, Resolution::PRINT).expect("a small page");
    assert_eq!(png(one), png(other));
}

/// A writer that others can look into.
#[derive(Clone, Default)]
struct Shared(Rc<RefCell<Vec<u8>>>);

impl Write for Shared {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.borrow_mut().extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

#[test]
fn a_pdf_page_is_written_before_the_next_is_drawn() {
    let out = Shared::default();
    let mut pdf = Pdf::new(out.clone(), "Test").expect("written");
    let mut sizes = vec![out.0.borrow().len()];
    for page in on(paper("a4")) {
        pdf.page(&page).expect("written");
        sizes.push(out.0.borrow().len());
    }
    assert!(
        sizes.windows(2).all(|pair| pair[1] > pair[0] + 500),
        "{sizes:?}"
    );
}

#[test]
fn a_pdf_without_a_page_is_an_error() {
    let pdf = Pdf::new(Vec::new(), "Test").expect("written");
    assert!(pdf.finish().is_err());
}

#[test]
fn separate_files_are_numbered_from_one() {
    let mut numbers = Vec::new();
    let outs: RefCell<Vec<Shared>> = RefCell::default();
    let mut separate = Separate::new(PageFormat::Svg(Letters::Text), |number| {
        numbers.push(number);
        let out = Shared::default();
        outs.borrow_mut().push(out.clone());
        Ok(out)
    });
    for page in &on(paper("a6"))[..2] {
        separate.page(page).expect("written");
    }
    separate.finish().expect("written");
    assert_eq!(numbers, [1, 2]);
    assert!(
        outs.borrow()
            .iter()
            .all(|out| out.0.borrow().ends_with(b"</svg>\n"))
    );
}
