//! The strip that tests a printer round a ring: exactly as long as the way round.

use std::path::Path;

use markwright::draw::ring_strip::draw;
use markwright::export::{Resolution, to_png};
use markwright::scene::{Correction, Page};
use markwright::sheets::RingStrip;
use markwright::units::Length;

use super::checks::assert_rulers_are_true;
use super::pages::{paper, pdf};
use super::reader::{Line, Read, read};

/// How far a line may be off its place, in millimetres.
const TRUE: f64 = 0.01;
/// Office paper of 80 g/m².
const PAPER: f64 = 0.10;

fn strip(diameter: f64, drawn_for: f64) -> RingStrip {
    RingStrip::new(Length::mm(diameter), Length::mm(drawn_for))
}

fn level(line: &Line) -> bool {
    (line.from.1 - line.to.1).abs() < 1e-3
}

/// A piece on the page: its edge with the figures, its other edge, its cut end
/// and its far end. Strips run up the page from their cut end.
#[derive(Clone, Copy, Debug)]
struct Piece {
    top: f64,
    foot: f64,
    cut: f64,
    end: f64,
}

fn pieces(page: &Read) -> Vec<Piece> {
    let mut edges: Vec<&Line> = page
        .lines
        .iter()
        .filter(|line| line.dashed && (line.from.0 - line.to.0).abs() < 1e-3)
        .collect();
    edges.sort_by(|one, other| one.from.0.total_cmp(&other.from.0));
    edges
        .windows(2)
        .filter(|pair| (pair[1].from.0 - pair[0].from.0 - 18.0).abs() < 0.01)
        .map(|pair| Piece {
            top: pair[0].from.0,
            foot: pair[1].from.0,
            cut: pair[0].from.1.max(pair[0].to.1),
            end: pair[0].from.1.min(pair[0].to.1),
        })
        .collect()
}

/// Distances from a piece's cut end of its level lines that touch an edge.
fn at_edge(page: &Read, piece: &Piece, edge: f64, longer: f64) -> Vec<f64> {
    let touches = |x: f64| (x - edge).abs() < 1e-3;
    let lines = page.lines.iter().filter(|line| !line.dashed && level(line));
    let mut found: Vec<f64> = lines
        .filter(|line| touches(line.from.0) || touches(line.to.0))
        .filter(|line| (line.from.0 - line.to.0).abs() > longer)
        .map(|line| piece.cut - line.from.1)
        .collect();
    found.sort_by(f64::total_cmp);
    found
}

/// Joins the pieces: the long lines across, where the next piece is laid.
fn laid(pages: &[Read]) -> Vec<(usize, Piece, f64)> {
    let mut all = Vec::new();
    let mut from = 0.0;
    for (number, page) in pages.iter().enumerate() {
        for piece in pieces(page) {
            all.push((number, piece, from));
            // A whole line across, neither at the cut nor at the end.
            let across = at_edge(page, &piece, piece.top, 17.9);
            if let Some(at) = across.into_iter().find(|at| *at > 1.0) {
                from += at;
            }
        }
    }
    all
}

#[test]
fn a_true_strip_just_meets_itself_and_a_short_one_at_its_figure() {
    for (diameter, id) in [
        (80.0, "a4"),
        (80.0, "letter"),
        (36.0, "a4"),
        (56.3, "a5"),
        (114.0, "a4"),
        (95.0, "a6"),
        (60.0, "4x6"),
        (156.0, "letter"),
    ] {
        for drawn_for in [100.0, 97.5, 92.0, 108.0] {
            let sheet = strip(diameter, drawn_for);
            let pages = draw(&sheet, paper(id)).expect("it fits");
            let read = read(&pdf(&pages));
            let all = laid(&read);
            let (number, last, from) = *all.last().expect("a piece");
            // π (d + h), with the page drawn as for a true printer.
            let round = std::f64::consts::PI * (diameter + PAPER);
            let name = format!("{diameter} on {id}, {drawn_for}");
            let top = at_edge(&read[number], &last, last.top, 6.0);
            let meets = top.iter().any(|at| (from + at - round).abs() < TRUE);
            assert!(meets, "{name}: {top:?} from {from} against {round}");
            // A printer that makes w of 100 mm makes w/100 of a page that was
            // stretched by 100/drawn_for.
            let foot = at_edge(&read[number], &last, last.foot, 1.9);
            let figures: Vec<f64> = read[number]
                .words
                .iter()
                .filter(|words| words.at.0 > last.top && words.at.0 < last.foot)
                .filter(|words| (last.foot - words.at.0 - 4.6).abs() < 0.01)
                .map(|words| words.text.parse().expect("a figure"))
                .collect();
            assert!(figures.len() >= 2, "{name}: {figures:?}");
            for printed in figures {
                let comes_out = printed / 100.0 * (100.0 / drawn_for);
                let place = round / comes_out;
                let there = foot.iter().any(|at| (from + at - place).abs() < TRUE);
                assert!(there, "{name}: no line at {place} for {printed}");
            }
            assert!(
                last.cut - last.end >= *foot.last().expect("lines"),
                "{name}"
            );
        }
    }
}

#[test]
fn eighty_millimetres_go_on_a4_in_one_piece() {
    let read = read(&pdf(
        &draw(&strip(80.0, 100.0), paper("a4")).expect("it fits")
    ));
    assert_eq!(read.len(), 1);
    assert_eq!(pieces(&read[0]).len(), 1);
}

#[test]
fn the_pages_are_true_legible_and_within_the_margins() {
    for id in ["a4", "letter", "a5", "a6", "4x6"] {
        for diameter in [36.0, 41.0, 80.0, 120.0] {
            let sheets = [100.0, 109.5, 91.0].map(|drawn_for| strip(diameter, drawn_for));
            let pages = sheets.map(|sheet| draw(&sheet, paper(id)).expect("it fits"));
            for page in read(&pdf(&pages.concat())) {
                assert_rulers_are_true(&page, 1.0, 1.0, id);
                let inside = |(x, y): (f64, f64)| {
                    x >= 7.9 && x <= page.width - 7.9 && y >= 7.9 && y <= page.height - 14.9
                };
                for line in &page.lines {
                    assert!(inside(line.from) && inside(line.to), "{id}: {line:?}");
                }
                for (at, words) in page.words.iter().enumerate() {
                    assert!(inside(words.at) && inside(words.end), "{id}: {words:?}");
                    assert!(words.height() > 1.999, "{words:?}");
                    for other in &page.words[at + 1..] {
                        let ok = !words.figures().overlaps(&other.figures());
                        assert!(ok, "{id}, {diameter}: {words:?} and {other:?}");
                    }
                }
            }
        }
    }
}

#[test]
fn the_correction_of_a_page_makes_its_strip_as_much_longer() {
    let printed = (Length::mm(100.0), Length::mm(97.5));
    let correction = Correction::from_printed_100mm(printed.0, printed.1).expect("plausible");
    let pages: Vec<Page> = draw(&strip(45.0, 97.5), paper("a4"))
        .expect("it fits")
        .into_iter()
        .map(|page| page.with_correction(correction))
        .collect();
    let read = read(&pdf(&pages));
    let (_, piece, _) = laid(&read)[0];
    let round = std::f64::consts::PI * (45.0 + PAPER) * 100.0 / 97.5;
    let top = at_edge(&read[0], &piece, piece.top, 6.0);
    assert!(top.iter().any(|at| (at - round).abs() < TRUE), "{top:?}");
}

#[test]
fn pictures_of_a_strip_are_there_and_can_be_drawn() {
    let docs = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs");
    let words = std::fs::read_to_string(docs.join("target.md")).expect("docs/target.md");
    let page = draw(&strip(80.0, 100.0), paper("a4"))
        .expect("it fits")
        .remove(0);
    let dots = Resolution::dots_per_inch(100).expect("ordinary");
    let png = to_png(&page, dots).expect("a picture");
    let file = "ring-strip.png";
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(docs.join(file), png).expect("written");
    }
    assert!(docs.join(file).is_file(), "{file}");
    assert!(words.contains(file), "{file}");
}
