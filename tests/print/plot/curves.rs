//! Curves against answers, point by point.

use markwright::answers::{DepthRow, depth};
use markwright::draw::plot::Lie;
use markwright::gear::DepthSetup;
use markwright::optics::{Branch, Focus, Focused};
use markwright::sheets::{Axis, Plot};
use markwright::units::{FocusDistance, Length, Unit};

use super::super::card::setups::Given;
use super::super::reader::{Box, Line, Read};
use super::{CURVE_PEN, blur, contrast, distance, frame, limits, mm, page, part, setup, waves};

/// How far a drawn curve may be from the true one, in millimetres.
const WITHIN: f64 = 0.1;

/// The lines of curves.
fn drawn(read: &Read) -> Vec<Line> {
    let heavy = |line: &&Line| (line.width - CURVE_PEN).abs() < 1e-3;
    read.lines.iter().filter(heavy).copied().collect()
}

fn off(at: (f64, f64), line: &Line) -> f64 {
    let (dx, dy) = (line.to.0 - line.from.0, line.to.1 - line.from.1);
    let along = ((at.0 - line.from.0) * dx + (at.1 - line.from.1) * dy) / (dx * dx + dy * dy);
    let along = along.clamp(0.0, 1.0);
    let (x, y) = (
        line.from.0 + along * dx - at.0,
        line.from.1 + along * dy - at.1,
    );
    (x * x + y * y).sqrt()
}

/// Each true point within the frame lies on a drawn line, and the middle of each
/// drawn line on a true curve.
pub(super) fn assert_follows(read: &Read, frame: &Box, truth: &[Vec<(f64, f64)>]) {
    let lines = drawn(read);
    let inside = |at: &(f64, f64)| {
        at.0 >= frame.low.0 && at.0 <= frame.high.0 && at.1 >= frame.low.1 && at.1 <= frame.high.1
    };
    let mut checked = 0;
    for at in truth.iter().flatten().filter(|at| inside(at)) {
        let nearest = lines
            .iter()
            .map(|line| off(*at, line))
            .fold(f64::MAX, f64::min);
        assert!(nearest <= WITHIN, "{at:?} is {nearest} mm from any curve");
        checked += 1;
    }
    assert!(checked > 300, "only {checked} points inside");
    let true_lines: Vec<Line> = truth
        .iter()
        .flat_map(|curve| curve.windows(2))
        .map(|pair| Line {
            from: pair[0],
            to: pair[1],
            width: 0.0,
            dashed: false,
        })
        .collect();
    for line in &lines {
        let middle = (
            (line.from.0 + line.to.0) / 2.0,
            (line.from.1 + line.to.1) / 2.0,
        );
        let nearest = true_lines
            .iter()
            .map(|line| off(middle, line))
            .fold(f64::MAX, f64::min);
        assert!(nearest <= WITHIN, "{line:?} is {nearest} mm from the truth");
    }
}

/// So many distances, evenly spaced in their reciprocals, the last left out.
fn samples(axis: &Axis, count: u32) -> Vec<f64> {
    let (near, far) = (1.0 / axis.from.value(), 1.0 / axis.to.value());
    (0..count)
        .map(|index| 1.0 / (near + (far - near) * f64::from(index) / f64::from(count)))
        .collect()
}

fn at(mm: f64) -> FocusDistance {
    FocusDistance::at(Length::mm(mm)).expect("a distance")
}

fn rows(setup: &DepthSetup, focuses: &[FocusDistance], objects: &[FocusDistance]) -> Vec<DepthRow> {
    depth(setup, focuses, objects, &mut ())
        .expect("an answer")
        .rows
}

fn hyperfocal(setup: &DepthSetup) -> f64 {
    let answer = depth(setup, &[], &[], &mut ()).expect("an answer");
    answer.hyperfocal.expect("one in front of it").to_mm()
}

fn assert_blur_follows(given: &Given, focuses: &[&str], id: &str, lie: Lie) {
    let plot = blur(given, focuses);
    let read = page(&plot, id, lie);
    let frame = frame(&read);
    let objects: Vec<FocusDistance> = samples(&plot.x, 1500).into_iter().map(at).collect();
    let focuses: Vec<FocusDistance> = plot
        .spans
        .iter()
        .map(|span| distance(span.words[1].trim_start_matches("focus ")))
        .collect();
    let setup = setup(given);
    let circle = setup.circle.circle.diameter().to_mm();
    let (width, height) = (frame.high.0 - frame.low.0, frame.high.1 - frame.low.1);
    let truth: Vec<Vec<(f64, f64)>> = rows(&setup, &focuses, &objects)
        .iter()
        .map(|row| {
            row.objects
                .iter()
                .map(|object| {
                    let circles = object.blur.to_mm().abs() / circle;
                    let across = frame.low.0 + width * part(&plot.x, mm(object.object));
                    (across, frame.high.1 - height * circles / plot.y.to.value())
                })
                .collect()
        })
        .collect();
    assert_follows(&read, &frame, &truth);
}

fn assert_limits_follow(given: &Given, plot: &Plot, id: &str, lie: Lie) {
    let read = page(plot, id, lie);
    let frame = frame(&read);
    let x = plot.x.from.value();
    let focuses: Vec<FocusDistance> = samples(&plot.x, 800).into_iter().map(at).collect();
    let (width, height) = (frame.high.0 - frame.low.0, frame.high.1 - frame.low.1);
    let place = |focus: f64, limit: f64| {
        (
            frame.low.0 + width * part(&plot.x, focus),
            frame.high.1 - height * part(&plot.y, limit),
        )
    };
    let mut truth = Vec::new();
    for stop in 0..given.stops {
        let setup = given.setup(stop).expect("a stop");
        let rows = rows(&setup, &focuses, &[]);
        truth.push(
            rows.iter()
                .map(|row| place(mm(row.focus), mm(row.near)))
                .collect(),
        );
        let finite = rows.iter().filter(|row| mm(row.far).is_finite());
        let mut far: Vec<(f64, f64)> = finite
            .map(|row| place(mm(row.focus), mm(row.far)))
            .collect();
        // Up to the frame, which it reaches at the hyperfocal distance.
        let hyperfocal = hyperfocal(&setup);
        if hyperfocal > x {
            far.push(place(hyperfocal, f64::INFINITY));
        }
        truth.push(far);
    }
    assert_follows(&read, &frame, &truth);
}

#[test]
fn blur_is_drawn_within_a_tenth_of_a_millimetre_of_the_answers() {
    let ordinary = Given::ordinary(Unit::Feet);
    assert_blur_follows(
        &ordinary,
        &["6'", "10'", "20'", "inf"],
        "a4",
        Lie::Landscape,
    );
    // Large pupils near the subject bend the curves most.
    let near = Given {
        focal_mm: 100.0,
        closed: 0,
        close_mm: 460.0,
        pupils: Some((-31.0, 1.146)),
        ..Given::ordinary(Unit::Metres)
    };
    assert_blur_follows(&near, &["0.46m", "0.5m"], "a5", Lie::Portrait);
    let wide = Given {
        focal_mm: 8.0,
        close_mm: 180.0,
        pupils: Some((40.0, 2.2)),
        ..Given::ordinary(Unit::Metres)
    };
    assert_blur_follows(&wide, &["0.2m", "1m", "inf"], "letter", Lie::Landscape);
}

#[test]
fn limits_are_drawn_within_a_tenth_of_a_millimetre_of_the_answers() {
    for unit in [Unit::Feet, Unit::Metres] {
        let given = Given::ordinary(unit);
        assert_limits_follow(&given, &limits(&given), "a4", Lie::Landscape);
        assert_limits_follow(&given, &limits(&given), "a5", Lie::Portrait);
    }
    let wide = Given {
        focal_mm: 12.0,
        close_mm: 160.0,
        pupils: Some((40.0, 2.2)),
        ..Given::ordinary(Unit::Metres)
    };
    assert_limits_follow(&wide, &limits(&wide), "a4", Lie::Landscape);
}

/// Contrast as the plot should show it, at one place of the frame after another.
fn assert_contrast_follows(
    given: &Given,
    stops: &[usize],
    (wanted, mix): (&str, bool),
    focuses: &[&str],
    (id, lie): (&str, Lie),
) {
    let plot = contrast(given, stops, wanted, mix, focuses);
    let read = page(&plot, id, lie);
    let frame = frame(&read);
    let (bottom, top) = (plot.y.from.value(), plot.y.to.value());
    let (width, height) = (frame.high.0 - frame.low.0, frame.high.1 - frame.low.1);
    let place = |at: f64, contrast: f64| {
        let up = height * (contrast - bottom) / (top - bottom);
        (frame.low.0 + width * part(&plot.x, at), frame.high.1 - up)
    };
    let waves = waves(wanted, mix);
    let (level, detail) = waves.wanted().expect("one was wanted");
    let mut objects = samples(&plot.x, 1500);
    objects.push(plot.x.to.value());
    let mut truth = Vec::new();
    for &stop in stops {
        let setup = given.setup_in(stop, Some(waves.clone())).expect("a stop");
        for focus in focuses {
            let (lens, n) = (&setup.setup.lens, setup.exposure.f_number);
            let set: Focused = lens
                .at(distance(focus), Branch::Far, n, &mut ())
                .expect("it focuses there");
            let contrast = |mm: &f64| {
                let object = if mm.is_finite() {
                    at(*mm)
                } else {
                    FocusDistance::INFINITY
                };
                set.contrast(object, &detail).expect("before the pupil")
            };
            let curve = objects.iter().map(|mm| place(*mm, contrast(mm).value()));
            truth.push(curve.collect());
            // Where a limit stands, the curve has just the wanted contrast.
            let row = &rows(&setup, &[distance(focus)], &[])[0];
            for limit in [row.near, row.far].map(mm) {
                assert!(
                    limit.is_infinite() || (contrast(&limit).value() - level.value()).abs() < 1e-9
                );
                let span = plot
                    .spans
                    .iter()
                    .find(|span| [span.from.value(), span.to.value()].contains(&limit));
                assert!(span.is_some(), "no dimension ends at {limit}");
            }
        }
    }
    assert_follows(&read, &frame, &truth);
    let (_, level) = place(plot.x.from.value(), level.value());
    let line = read.lines.iter().find(|line| {
        (line.from.1 - level).abs() < 0.05
            && (line.to.1 - level).abs() < 0.05
            && !line.dashed
            && (line.to.0 - line.from.0 - width).abs() < 1e-3
    });
    assert!(line.is_some(), "no line at the wanted contrast");
}

#[test]
fn contrast_is_drawn_within_a_tenth_of_a_millimetre_of_the_library() {
    let ordinary = Given::ordinary(Unit::Feet);
    let green = ("0.3@40/mm", false);
    let a4 = ("a4", Lie::Landscape);
    assert_contrast_follows(&ordinary, &[2], green, &["6'", "10'", "20'"], a4);
    assert_contrast_follows(&ordinary, &[2, 4, 6], ("0.2@30/mm", true), &["2m"], a4);
    // A narrow hill on a wide axis, with many lobes beside it.
    let long = Given {
        focal_mm: 100.0,
        closed: 4,
        pupils: Some((-31.0, 1.146)),
        ..Given::ordinary(Unit::Metres)
    };
    let a5 = ("a5", Lie::Portrait);
    assert_contrast_follows(&long, &[4], ("0.5@20/mm", true), &["1m", "inf"], a5);
    // Nothing is reversed where a small stop holds all there is to see.
    let wide = Given {
        focal_mm: 12.0,
        close_mm: 400.0,
        pupils: Some((40.0, 2.2)),
        ..Given::ordinary(Unit::Metres)
    };
    assert_contrast_follows(&wide, &[6], ("0.4@20/mm", false), &["2m"], a4);
}

#[test]
fn what_is_reversed_is_drawn_below_zero_and_said_there() {
    let given = Given::ordinary(Unit::Feet);
    let plot = contrast(&given, &[2], "0.3@40/mm", false, &["6'", "10'"]);
    let read = page(&plot, "a4", Lie::Landscape);
    let frame = frame(&read);
    let (bottom, top) = (plot.y.from.value(), plot.y.to.value());
    assert!(bottom < 0.0, "{bottom}");
    let zero = frame.high.1 + (frame.high.1 - frame.low.1) * bottom / (top - bottom);
    let deep = drawn(&read).iter().any(|line| line.from.1 > zero + 5.0);
    assert!(deep, "no curve goes below zero");
    let said = read.words.iter().find(|words| words.text == "reversed");
    assert!(said.is_some_and(|words| words.at.1 > zero), "{said:?}");
    assert!(
        read.words
            .iter()
            .any(|words| words.text.contains("below 0 reversed"))
    );
}

#[test]
fn drop_lines_stand_at_the_limits_and_their_figures_err_to_the_safe_side() {
    for unit in [Unit::Feet, Unit::Metres] {
        let given = Given::ordinary(unit);
        let plot = blur(&given, &["5ft", "3m", "12ft"]);
        let read = page(&plot, "a4", Lie::Landscape);
        let frame = frame(&read);
        let focuses = ["5ft", "3m", "12ft"].map(distance);
        for (row, focus) in rows(&setup(&given), &focuses, &[]).iter().zip(&focuses) {
            for limit in [row.near, row.far] {
                let width = frame.high.0 - frame.low.0;
                let place = frame.low.0 + width * part(&plot.x, mm(limit));
                let line = read.lines.iter().find(|line| {
                    let upright =
                        (line.from.0 - place).abs() < 0.05 && (line.to.0 - place).abs() < 0.05;
                    upright && !line.dashed && (line.from.1 - frame.high.1).abs() < 1e-3
                });
                assert!(
                    line.is_some_and(|line| line.to.1 < frame.low.1),
                    "{limit:?}"
                );
            }
            let span = plot
                .spans
                .iter()
                .find(|span| (span.at.value() - mm(*focus)).abs() < 1e-9)
                .expect("a span each");
            let [near, _, far] = &span.words;
            let near = mm(distance(near.trim_start_matches("near ")));
            let far = mm(distance(far.trim_start_matches("far ")));
            assert!(near >= mm(row.near) - 1e-6 && near < mm(*focus), "{span:?}");
            assert!(far <= mm(row.far) + 1e-6 && far > mm(*focus), "{span:?}");
            for words in &span.words {
                assert!(
                    read.words.iter().any(|shown| shown.text == *words),
                    "{words}"
                );
            }
        }
    }
}

#[test]
fn hyperfocal_distances_are_marked_and_their_figures_rounded_up() {
    let given = Given::ordinary(Unit::Metres);
    let plot = limits(&given);
    let read = page(&plot, "a4", Lie::Landscape);
    for stop in 0..given.stops {
        let setup = given.setup(stop).expect("a stop");
        let exact = hyperfocal(&setup);
        let name = setup.exposure.stop.to_string();
        let words = read
            .words
            .iter()
            .find_map(|words| words.text.strip_prefix(&format!("{name}  ")));
        let shown = mm(distance(words.expect("a callout")));
        assert!(
            shown >= exact - 1e-6 && shown < exact * 1.05 + 20.0,
            "{shown} for {exact}"
        );
        // The far limit is infinite there, the near limit half of it: from the
        // entrance pupil exactly (Kingslake, Optics in Photography).
        let points: Vec<_> = plot
            .points
            .iter()
            .filter(|(at, _)| (at.value() - exact).abs() < 1e-6)
            .collect();
        assert_eq!(points.len(), 2, "{name}");
        assert!(points[0].1.value().is_infinite());
        assert!((points[1].1.value() / exact - 0.5).abs() < 0.01);
    }
}
