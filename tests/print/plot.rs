//! Plots: ticks and curves where their figures say, nothing over anything else.

mod curves;
pub mod many;
mod pictures;
mod pulls;

use markwright::draw::plot::{Lie, draw};
use markwright::gear::{DepthSetup, Waves};
use markwright::sheets::{Axis, Plot, PlotWish, Value};
use markwright::units::{BareUnit, FocusDistance, Unit, parse};

use super::card::setups::Given;
use super::outside::{assert_text_comes_back, file_of};
use super::pages::{paper, pdf};
use super::reader::{Box, Read, read};

/// How far a tick may be off its place, in millimetres.
const TRUE: f64 = 0.05;
/// The pens: frame and levels, curves; thinner ones are auxiliary.
const FRAME_PEN: f64 = 0.35;
const CURVE_PEN: f64 = 0.5;

pub fn distance(text: &str) -> FocusDistance {
    parse::distance(text, BareUnit::Refused(None)).unwrap_or_else(|why| panic!("{text}: {why}"))
}

/// What a plot of a lens is made from.
pub fn wish(given: &Given, at: &[&str]) -> PlotWish {
    let card = given.wish().expect("a close focus");
    PlotWish {
        names: card.names,
        unit: card.unit,
        close_focus: Some(card.close_focus),
        at: at.iter().map(|text| distance(text)).collect(),
    }
}

pub fn setup(given: &Given) -> DepthSetup {
    given.setup(given.closed).expect("an ordinary setup")
}

pub fn blur(given: &Given, at: &[&str]) -> Plot {
    Plot::blur(&setup(given), &wish(given, at)).expect("it focuses there")
}

pub fn limits(given: &Given) -> Plot {
    let stops: Vec<DepthSetup> = (0..given.stops)
        .filter_map(|stop| given.setup(stop))
        .collect();
    let (widest, others) = stops.split_first().expect("a stop");
    Plot::limits(widest, others, &wish(given, &[])).expect("it has a hyperfocal distance")
}

/// A wanted contrast, as 0.3@40/mm, in green light or in a mix of three.
pub fn waves(contrast: &str, mix: bool) -> Waves {
    let light = if mix {
        "486nm:1,546nm:2,633nm:1"
    } else {
        "546nm"
    };
    Waves {
        light: parse::light(light).expect("a light"),
        light_assumed: false,
        contrast: Some(parse::contrast_at(contrast).expect("a contrast")),
        pitch: None,
    }
}

/// Contrast through focus at the working stop, or at several.
pub fn contrast(given: &Given, stops: &[usize], wanted: &str, mix: bool, at: &[&str]) -> Plot {
    let setup = |&stop: &usize| given.setup_in(stop, Some(waves(wanted, mix)));
    let stops: Vec<DepthSetup> = stops.iter().filter_map(setup).collect();
    let (first, others) = stops.split_first().expect("a stop");
    let plot = Plot::contrast(first, others, &wish(given, at));
    plot.expect("so much contrast").expect("one was wanted")
}

pub fn page(plot: &Plot, id: &str, lie: Lie) -> Read {
    let page = draw(plot, paper(id), lie).unwrap_or_else(|none| panic!("{none}"));
    read(&pdf(&[page])).remove(0)
}

/// The frame of a plot: the highest rectangle of its pen.
pub fn frame(read: &Read) -> Box {
    let sides = read.lines.windows(4).filter_map(|four| {
        let pens = four
            .iter()
            .all(|line| (line.width - FRAME_PEN).abs() < 1e-3);
        let closed = pens
            && (0..4).all(|index| {
                let (one, next) = (four[index].to, four[(index + 1) % 4].from);
                (one.0 - next.0).abs() + (one.1 - next.1).abs() < 1e-6
            });
        closed.then(|| Box::between(four[0].from, four[2].from))
    });
    sides
        .reduce(|best, next| {
            let height = |rect: &Box| rect.high.1 - rect.low.1;
            if height(&next) > height(&best) {
                next
            } else {
                best
            }
        })
        .expect("a frame")
}

/// Where a distance stands along an axis of reciprocals, as a part of it:
/// worked out here from the definition.
pub fn part(axis: &Axis, mm: f64) -> f64 {
    let (from, to) = (axis.from.value(), axis.to.value());
    (1.0 / from - 1.0 / mm) / (1.0 / from - 1.0 / to)
}

pub fn mm(distance: FocusDistance) -> f64 {
    Value::distance(distance).value()
}

/// The figures on the level axis, with the middles of their words.
fn figures(read: &Read, frame: &Box, unit: Unit) -> Vec<(f64, f64)> {
    let below = |at: f64| at > frame.high.1 + 3.0 && at < frame.high.1 + 6.5;
    let words = read.words.iter().filter(|words| below(words.at.1));
    words
        .filter(|words| words.at.0 > frame.low.0 - 6.0 && words.at.0 < frame.high.0 + 6.0)
        .map(|words| {
            let text = match unit {
                Unit::Metres if words.text != "∞" => format!("{} m", words.text),
                _ => words.text.clone(),
            };
            let middle = (words.at.0 + words.end.0) / 2.0;
            (mm(distance(&text)), middle)
        })
        .collect()
}

#[test]
fn ticks_of_distances_stand_at_their_reciprocals_within_a_twentieth_of_a_millimetre() {
    for unit in [Unit::Feet, Unit::Metres] {
        let given = Given::ordinary(unit);
        for plot in [blur(&given, &[]), limits(&given)] {
            for (id, lie) in [("a4", Lie::Landscape), ("letter", Lie::Portrait)] {
                let read = page(&plot, id, lie);
                let frame = frame(&read);
                let figures = figures(&read, &frame, unit);
                assert!(figures.len() >= 6, "{figures:?}");
                assert!(
                    figures.iter().any(|(mm, _)| mm.is_infinite()),
                    "{figures:?}"
                );
                let width = frame.high.0 - frame.low.0;
                for (mm, middle) in figures {
                    let place = frame.low.0 + width * part(&plot.x, mm);
                    let tick = read.lines.iter().find(|line| {
                        let (from, to) = (line.from, line.to);
                        (from.0 - place).abs() <= TRUE
                            && (to.0 - place).abs() <= TRUE
                            && (from.1 - frame.high.1).abs() < 1e-3
                            && (to.1 - frame.high.1 - 2.0).abs() < 1e-3
                    });
                    assert!(tick.is_some(), "no tick for {mm} at {place}");
                    assert!((middle - place).abs() < 0.1, "{mm}: {middle}, not {place}");
                }
            }
        }
    }
}

#[test]
fn the_circles_on_the_left_are_the_millimetres_on_the_right() {
    let given = Given::ordinary(Unit::Metres);
    let plot = blur(&given, &["2m"]);
    let read = page(&plot, "a4", Lie::Landscape);
    let frame = frame(&read);
    let height = frame.high.1 - frame.low.1;
    let middle = |words: &super::reader::Words| words.at.1 - words.height() / 2.0;
    let beside = |left: bool| -> Vec<(f64, f64)> {
        let words = read.words.iter().filter(|words| {
            let inside = middle(words) > frame.low.1 - 0.1 && middle(words) < frame.high.1 + 0.1;
            let level = words.end.1 - words.at.1 > -1e-3;
            let side = if left {
                words.end.0 < frame.low.0 && words.end.0 > frame.low.0 - 4.0
            } else {
                words.at.0 > frame.high.0 && words.at.0 < frame.high.0 + 4.0
            };
            inside && level && side
        });
        words
            .map(|words| (words.text.parse().expect("a number"), middle(words)))
            .collect()
    };
    let top = plot.y.to.value();
    let circle = 0.025;
    for (figures, top) in [(beside(true), top), (beside(false), top * circle)] {
        assert!(figures.len() >= 4, "{figures:?}");
        for (figure, at) in figures {
            let place = frame.high.1 - height * figure / top;
            assert!((at - place).abs() < 0.1, "{figure} at {at}, not {place}");
        }
    }
}

#[test]
fn the_line_at_one_circle_stands_there_across_the_frame() {
    let plot = blur(&Given::ordinary(Unit::Feet), &[]);
    let read = page(&plot, "a4", Lie::Landscape);
    let frame = frame(&read);
    let place = frame.high.1 - (frame.high.1 - frame.low.1) / plot.y.to.value();
    let line = read.lines.iter().find(|line| {
        (line.from.1 - place).abs() < TRUE
            && (line.to.1 - place).abs() < TRUE
            && !line.dashed
            && (line.to.0 - line.from.0 - (frame.high.0 - frame.low.0)).abs() < 1e-3
    });
    assert!(line.is_some());
}

#[test]
fn every_plot_carries_setup_assumptions_caution_and_a_code_of_its_own() {
    let mut given = Given::ordinary(Unit::Feet);
    given.pupils = None;
    let plots = [blur(&given, &["6'"]), limits(&given)];
    for plot in &plots {
        let read = page(plot, "a4", Lie::Landscape);
        let all: String = read
            .words
            .iter()
            .map(|words| format!("{} ", words.text))
            .collect();
        let all = all.split_whitespace().collect::<Vec<_>>().join(" ");
        for part in [
            "50 mm",
            "check against a tape before use",
            "circle 0.0250 mm",
            "Super 35, 3 perforations",
            "pupils unknown",
            &plot.code.to_string(),
            "2047",
        ] {
            assert!(all.contains(part), "{part} in {all}");
        }
    }
    let contrast = contrast(&given, &[2], "0.3@40/mm", true, &["6'"]);
    let read = page(&contrast, "a4", Lie::Landscape);
    let all: Vec<&str> = read.words.iter().map(|words| words.text.as_str()).collect();
    let all = all.join(" ");
    for part in [
        "limits rest on the contrast",
        "contrast 0.3 at 40 cycles/mm",
        "486 (0.25), 546 (0.50), 633 (0.25)",
        "pupils unknown",
    ] {
        assert!(all.contains(part), "{part} in {all}");
    }
    assert!(!all.contains("circle"), "{all}");
    given.closed += 1;
    let other = blur(&given, &["6'"]);
    assert_ne!(plots[0].code.to_string(), other.code.to_string());
}

#[test]
fn a_plot_is_not_to_scale_and_the_same_bytes_twice() {
    let plot = blur(&Given::ordinary(Unit::Feet), &[]);
    for (lie, width, height) in [
        (Lie::Landscape, 297.0, 210.0),
        (Lie::Portrait, 210.0, 297.0),
    ] {
        let page = draw(&plot, paper("a4"), lie).expect("room");
        assert!(!page.is_true_to_scale());
        let bytes = pdf(core::slice::from_ref(&page));
        assert_eq!(bytes, pdf(&[page]));
        let read = read(&bytes).remove(0);
        // ISO 216; f32 points resolve 0.00002 mm at this size.
        assert!((read.width - width).abs() < 1e-4 && (read.height - height).abs() < 1e-4);
    }
}

#[test]
fn a_paper_too_small_says_so() {
    let plot = limits(&Given::ordinary(Unit::Feet));
    let none = draw(&plot, paper("a6"), Lie::Landscape).expect_err("no room");
    assert!(none.to_string().contains("does not fit on A6"), "{none}");
}

#[test]
#[ignore = "needs poppler and qpdf; .ci/run runs it"]
fn pdftotext_gives_every_character_of_a_plot_back() {
    let given = Given::ordinary(Unit::Feet);
    let contrast = contrast(&given, &[2], "0.3@40/mm", true, &["6'", "10'"]);
    let pages = [blur(&given, &["6'", "10'"]), limits(&given), contrast]
        .map(|plot| draw(&plot, paper("a4"), Lie::Landscape).expect("room"));
    let said = assert_text_comes_back(&file_of(&pages));
    assert!(
        said.contains("Blur against distance") && said.contains("focus 6′"),
        "{said}"
    );
}
