//! Three hundred setups nobody chose.

use markwright::draw::plot::{Lie, draw};
use markwright::gear::DepthSetup;
use markwright::scene::Page;
use markwright::sheets::{Plot, PlotWish};
use markwright::units::{FocusDistance, Length};

use super::super::card::setups::{Given, random};
use super::super::many::{crosses, shrunk};
use super::super::pages::{paper, pdf};
use super::super::reader::{Box, Line, Read, Words, read};
use super::{CURVE_PEN, distance, waves};

/// How many setups are tried.
const SETUPS: usize = 300;

fn plots(given: &Given, index: usize) -> Vec<Plot> {
    let Some(card) = given.wish() else {
        return Vec::new();
    };
    let times = |factor: f64| {
        FocusDistance::at(Length::mm((given.close_mm * factor).round())).expect("a distance")
    };
    // From none to six focus distances, some next to each other, some at the end.
    let at = [1.0, 1.13, 2.0, 2.1, 9.0].map(times);
    let mut at: Vec<FocusDistance> = at.into_iter().take(index % 6).collect();
    if index.is_multiple_of(3) {
        at.push(distance("inf"));
    }
    let wish = PlotWish {
        names: card.names,
        unit: card.unit,
        close_focus: Some(card.close_focus),
        at,
    };
    let stops: Vec<DepthSetup> = (0..9).filter_map(|stop| given.setup(stop)).collect();
    let blur = given
        .setup(given.closed)
        .and_then(|setup| Plot::blur(&setup, &wish).ok());
    let limits = stops
        .split_first()
        .and_then(|(widest, others)| Plot::limits(widest, others, &wish).ok());
    let contrast = contrast(given, index, &wish);
    blur.into_iter().chain(limits).chain(contrast).collect()
}

/// Of every other setup contrast, at all distances, or at several stops and the
/// first of them.
fn contrast(given: &Given, index: usize, wish: &PlotWish) -> Option<Plot> {
    if index.is_multiple_of(2) {
        return None;
    }
    let wanted = ["0.3@40/mm", "0.1@20/mm", "0.6@10/mm", "0.8@30/mm"][index / 4 % 4];
    let stops = if index % 4 == 1 {
        vec![given.closed]
    } else {
        (0..=index % 5).collect()
    };
    let setup = |stop| given.setup_in(stop, Some(waves(wanted, index.is_multiple_of(5))));
    let stops: Vec<DepthSetup> = stops.into_iter().filter_map(setup).collect();
    let (first, others) = stops.split_first()?;
    Plot::contrast(first, others, wish).ok()?
}

#[test]
fn three_hundred_setups_are_drawn_without_a_collision() {
    let papers = ["a4", "letter", "a5", "a4"];
    let mut drawn: Vec<(String, Page)> = Vec::new();
    let mut refused = 0;
    for (index, given) in random(SETUPS).iter().enumerate() {
        let id = papers[index % papers.len()];
        let lie = if index % 7 < 4 {
            Lie::Landscape
        } else {
            Lie::Portrait
        };
        for plot in plots(given, index) {
            match draw(&plot, paper(id), lie) {
                Ok(page) => drawn.push((format!("{} {id} {lie:?} {given:?}", plot.title), page)),
                Err(none) => {
                    // Six focus distances in rows of their own need more than A5.
                    assert_eq!(id, "a5", "{none}: {given:?} {:?} {:?}", plot.spans, plot.x);
                    refused += 1;
                }
            }
        }
    }
    // A setup whose circle is too coarse for its focal length has no plot.
    assert!(
        drawn.len() > 5 * SETUPS / 2 * 9 / 10,
        "only {} drawn",
        drawn.len()
    );
    assert!(refused < SETUPS / 10, "{refused} had no room");
    // One file for many, since each file carries its letters.
    for batch in drawn.chunks(100) {
        let pages: Vec<Page> = batch.iter().map(|(_, page)| page.clone()).collect();
        for (read, (what, _)) in read(&pdf(&pages)).iter().zip(batch) {
            assert_clean(read, what);
            let curve = |line: &Line| (line.width - CURVE_PEN).abs() < 1e-3;
            assert!(read.lines.iter().any(curve), "{what}");
        }
    }
}

/// No words on one another, under a line or beyond the margins; nothing smaller
/// or thinner than can be read.
pub fn assert_clean(read: &Read, what: &str) {
    let side = if read.width > read.height { 15.0 } else { 8.0 };
    let safe = Box::between(
        (side - 0.2, 7.8),
        (read.width - side + 0.2, read.height - 14.8),
    );
    let inks: Vec<(&Words, Box)> = read
        .words
        .iter()
        .filter_map(|words| Some((words, words.ink()?)))
        .collect();
    for (index, (words, ink)) in inks.iter().enumerate() {
        assert!(safe.contains(ink), "{words:?} leaves the margins: {what}");
        assert!(words.height() > 2.499, "{words:?} too small: {what}");
        for (other, over) in inks.iter().skip(index + 1) {
            assert!(!ink.overlaps(over), "{words:?} over {other:?}: {what}");
        }
        let Some(ink) = shrunk(ink) else { continue };
        for line in &read.lines {
            let through = crosses(line.from, line.to, &ink);
            assert!(!through, "{line:?} through {words:?}: {what}");
        }
    }
    for line in &read.lines {
        assert!(line.width > 0.249 && line.width < 0.501, "{line:?}: {what}");
        for (x, y) in [line.from, line.to] {
            let at = Box::between((x, y), (x, y));
            assert!(safe.contains(&at), "{line:?} leaves the margins: {what}");
        }
    }
}
