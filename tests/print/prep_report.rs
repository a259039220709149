//! The prep report: its figures are those of the answer, its drawings are to the
//! scale they print, nothing stands over anything else.

mod bench;
mod many;
mod pictures;

use markwright::answers::{PrepAnswer, PrepLens, prep};
use markwright::draw::prep_report::{draw_lens, draw_set};
use markwright::gear::Kit;
use markwright::scene::Page;
use markwright::sheets::{PrepLensSheet, PrepSetSheet};
use markwright::units::{Reach, Unit};

use super::outside::{assert_text_comes_back, file_of};
use super::pages::{paper, pdf};
use super::plot::{frame, part};
use super::reader::{Line, Read, read};
use bench::ordinary;

/// How far a line of a drawing may be off its place, in millimetres.
const TRUE: f64 = 0.05;

pub fn answer(kit: &Kit, camera: Option<&str>) -> PrepAnswer {
    prep(kit, camera, &[], &mut ()).unwrap_or_else(|why| panic!("{why:?}"))
}

pub fn set_pages(answer: &PrepAnswer, kit: &Kit, id: &str) -> Vec<Page> {
    draw_set(&PrepSetSheet::of(answer, kit), paper(id)).unwrap_or_else(|none| panic!("{none}"))
}

pub fn lens_sheet(answer: &PrepAnswer, lens: &PrepLens, kit: &Kit) -> PrepLensSheet {
    PrepLensSheet::of(answer, lens, kit, kit.units).expect("a lens of the kit")
}

pub fn lens_pages(answer: &PrepAnswer, lens: &PrepLens, kit: &Kit, id: &str) -> Vec<Page> {
    let sheet = lens_sheet(answer, lens, kit);
    draw_lens(&sheet, paper(id)).unwrap_or_else(|none| panic!("{none}"))
}

/// The words of pages over their title blocks without a blank, so that it does not
/// matter where lines and pages end.
fn solid(pages: &[Read]) -> String {
    let above = |page: &Read| {
        let title = page.words.iter();
        let title = title.filter(|words| words.text == "Prep report");
        let foot = title.map(|words| words.at.1).fold(0.0, f64::max);
        let words = page.words.iter();
        let words = words.filter(move |words| words.at.1 < foot - 6.0);
        words
            .map(|words| words.text.replace(' ', ""))
            .collect::<String>()
    };
    pages.iter().map(above).collect()
}

/// All words of pages, in the order they were written, joined by blanks.
pub fn text(pages: &[Read]) -> String {
    let words = pages.iter().flat_map(|page| &page.words);
    let words: Vec<&str> = words.map(|words| words.text.as_str()).collect();
    words.join(" ")
}

/// An error as it must be printed: to the nearest hundredth, two standard errors up.
fn shown(error: f64, standard_error: f64) -> String {
    let error = (error.abs() * 100.0).round() / 100.0;
    let either_way = (standard_error * 200.0 - 1e-9).ceil() / 100.0;
    format!("{error:.2} ± {either_way:.2}")
}

/// The sign of an error as it must be printed in a table.
fn way(error: f64) -> &'static str {
    match error {
        error if (error.abs() * 100.0).round() == 0.0 => "neither way",
        error if error < 0.0 => "too near",
        _ => "too far",
    }
}

/// Holds the table of a set against the answer it was made from.
pub fn assert_set(answer: &PrepAnswer, pages: &[Read]) {
    let words = || pages.iter().flat_map(|page| &page.words);
    let large = words().filter(|words| words.bold && words.height() > 4.0);
    let figures: Vec<&str> = large
        .map(|words| words.text.as_str())
        .filter(|text| text.starts_with(|c: char| c.is_ascii_digit()) && text.contains(" ± "))
        .filter(|text| !text.contains("mm"))
        .collect();
    let expected: Vec<String> = answer
        .lenses
        .iter()
        .map(|lens| {
            let (error, sd) = (lens.image_plane_error, lens.standard_error);
            shown(error.to_mm(), sd.to_mm())
        })
        .collect();
    assert_eq!(figures, expected);
    let ways: Vec<&str> = words()
        .map(|words| words.text.as_str())
        .filter(|text| ["neither way", "too near", "too far"].contains(text))
        .collect();
    let expected = answer.lenses.iter().flat_map(|lens| {
        let own = lens.own_error.map(|own| way(own.to_mm()));
        core::iter::once(way(lens.image_plane_error.to_mm())).chain(own)
    });
    assert_eq!(ways, expected.collect::<Vec<_>>());
    let all = text(pages);
    let camera = &answer.camera;
    if let (Some(error), Some(sd)) = (camera.image_plane_error, camera.standard_error) {
        let whole = shown(error.to_mm(), sd.to_mm());
        let (figure, either_way) = whole.split_once(" ± ").expect("both");
        let side = match way(error.to_mm()) {
            "neither way" => "neither way".to_owned(),
            way => format!(
                "{way} {}the lens",
                if way == "too far" { "from " } else { "" }
            ),
        };
        let line = format!("{figure} mm {side} ± {either_way} mm");
        assert!(all.contains(&line), "{line} in {all}");
    }
    for said in [
        "Check against a tape before use.",
        "technician",
        "after service",
    ] {
        assert!(all.contains(said), "{said} in {all}");
    }
    assert!(!all.contains("shim"), "{all}");
    let solid = solid(pages);
    for note in answer.assumptions.iter().map(|note| &note.message) {
        assert!(solid.contains(&note.replace(' ', "")), "{note} in {all}");
    }
    for line in &answer.advice {
        assert!(solid.contains(&line.replace(' ', "")), "{line} in {all}");
    }
}

/// Holds the tables of a lens against the answer they were made from.
pub fn assert_lens(lens: &PrepLens, pages: &[Read]) {
    let words = || pages.iter().flat_map(|page| &page.words);
    let bold = words()
        .filter(|words| words.bold)
        .map(|words| words.text.as_str());
    let residuals: Vec<&str> = bold.filter(|text| text.ends_with('°')).collect();
    let expected = lens.points.iter().map(|point| {
        let tenths = (point.residual.to_deg() * 10.0).round() / 10.0;
        match tenths {
            0.0 => "0.0°".to_owned(),
            tenths if tenths < 0.0 => format!("−{:.1}°", -tenths),
            tenths => format!("+{tenths:.1}°"),
        }
    });
    assert_eq!(residuals, expected.collect::<Vec<_>>());
    let is_blur = |text: &&str| {
        let (whole, part) = text.split_once('.').unwrap_or_default();
        part.len() == 3
            && format!("{whole}{part}")
                .bytes()
                .all(|byte| byte.is_ascii_digit())
    };
    let texts = words().map(|words| words.text.as_str());
    let blurs: Vec<&str> = texts.filter(is_blur).collect();
    let expected = lens.marks.iter();
    let expected = expected.map(|told| format!("{:.3}", told.blur.abs().to_mm()));
    assert_eq!(blurs, expected.collect::<Vec<_>>());
    let all = text(pages);
    let aside = lens.points.iter().filter(|point| point.suspect).count();
    assert_eq!(all.matches("set aside: misread?").count(), aside);
    let found = shown(lens.image_plane_error.to_mm(), lens.standard_error.to_mm());
    let (error, either_way) = found.split_once(" ± ").expect("both");
    assert!(all.contains(&format!("{error} mm")), "{error} in {all}");
    assert!(
        all.contains(&format!("± {either_way} mm")),
        "{either_way} in {all}"
    );
    let solid = solid(pages);
    for note in lens.assumptions.iter().map(|note| &note.message) {
        assert!(solid.contains(&note.replace(' ', "")), "{note} in {all}");
    }
    assert!(all.contains("Check against a tape before use."), "{all}");
}

fn upright(line: &Line) -> bool {
    (line.from.0 - line.to.0).abs() < 1e-3
}

#[test]
fn the_figures_of_the_report_are_those_of_the_answer() {
    for unit in [Unit::Feet, Unit::Metres] {
        let kit = ordinary(unit);
        for (camera, id) in [(None, "a4"), (Some("B"), "letter")] {
            let answer = answer(&kit, camera);
            assert_set(&answer, &read(&pdf(&set_pages(&answer, &kit, id))));
            for lens in &answer.lenses {
                assert_lens(lens, &read(&pdf(&lens_pages(&answer, lens, &kit, id))));
            }
        }
    }
}

#[test]
fn every_reading_of_a_lens_stands_where_its_residual_and_distance_say() {
    let kit = ordinary(Unit::Feet);
    let answer = answer(&kit, None);
    for lens in &answer.lenses {
        let sheet = lens_sheet(&answer, lens, &kit);
        let plot = sheet.residuals.as_ref().expect("readings");
        let page = &read(&pdf(&lens_pages(&answer, lens, &kit, "a4")))[0];
        let frame = frame(page);
        let (from, to) = (plot.y.from.value(), plot.y.to.value());
        let up = |degrees: f64| {
            frame.high.1 - (degrees - from) / (to - from) * (frame.high.1 - frame.low.1)
        };
        for point in &lens.points {
            let Reach::At(taped) = point.taped.reach() else {
                continue;
            };
            let along = part(&plot.x, taped.to_mm());
            let along = frame.low.0 + along * (frame.high.0 - frame.low.0);
            // A reading's own error, from what tape and ring may be off: the ring
            // by degrees of one setting, the tape by the travel it stands for.
            let m = {
                let (f, d) = (lens.focal_length.to_mm(), taped.to_mm());
                let long = (d + (d * (d - 4.0 * f)).sqrt()) / 2.0;
                f / (long - f)
            };
            let gain = point.gain.expect("a gain").value();
            let ring = point.ring_sd.to_deg() / (point.settings as f64).sqrt();
            let tape = point.tape_sd.to_mm() * m * m / (1.0 - m * m) * gain;
            let sd = (ring * ring + tape * tape).sqrt();
            let residual = point.residual.to_deg();
            if residual + sd > to || residual - sd < from {
                continue;
            }
            let ends = [up(residual + sd), up(residual - sd)];
            let bar = page.lines.iter().filter(|line| upright(line)).any(|line| {
                let (low, high) = (line.from.1.min(line.to.1), line.from.1.max(line.to.1));
                (line.from.0 - along).abs() < TRUE
                    && (low - ends[0]).abs() < TRUE
                    && (high - ends[1]).abs() < TRUE
            });
            assert!(bar, "{}: no bar at {along}, {ends:?}", lens.id);
        }
    }
}

#[test]
fn a_true_scale_is_drawn_where_the_lens_would_then_have_read() {
    // A thin lens on a helicoid read without error, its image plane 0.02 mm too
    // far: the ring stands 0.02 mm · 58.5°/mm short of what its scale would say.
    let lens = bench::Real::of("50", 50.0, 600.0, 0.02);
    let rows = [900.0, 1500.0, 3000.0].map(|taped| lens.row(taped, 0.02, &[0.0], false));
    let kit = bench::kit(&[(None, None)], &[lens], rows.to_vec(), Unit::Metres);
    let answer = answer(&kit, None);
    let read_lens = &answer.lenses[0];
    let sheet = lens_sheet(&answer, read_lens, &kit);
    let plot = sheet.residuals.as_ref().expect("readings");
    let page = &read(&pdf(&lens_pages(&answer, read_lens, &kit, "a4")))[0];
    let frame = frame(page);
    let (from, to) = (plot.y.from.value(), plot.y.to.value());
    // D = f (2 + m + 1/m) at 600 mm: m = 0.101020514; 300° over f m.
    let gain = 300.0 / (50.0 * 0.101_020_514);
    let shift = read_lens.image_plane_error.to_mm() * gain;
    assert!((shift - 0.02 * gain).abs() < 0.02, "{shift}");
    let height = frame.high.1 - frame.low.1;
    let place = frame.high.1 - (shift - from) / (to - from) * height;
    let line = page.lines.iter().any(|line| {
        line.dashed
            && (line.width - 0.5).abs() < 1e-3
            && (line.from.1 - place).abs() < TRUE
            && (line.to.1 - place).abs() < TRUE
    });
    assert!(line, "no broken line at {place}");
}

#[test]
fn the_drawing_of_errors_is_to_the_scale_it_prints() {
    let kit = ordinary(Unit::Metres);
    let answer = answer(&kit, None);
    let pages = read(&pdf(&set_pages(&answer, &kit, "a4")));
    let named = |page: &&Read| {
        let mut words = page.words.iter();
        words.any(|words| words.text.starts_with("image plane too near the lens"))
    };
    let page = pages.iter().find(named).expect("a drawing");
    let mut name = page.words.iter();
    let name = name.rfind(|words| words.text.starts_with("image plane too near"));
    let foot = name.expect("found").at.1;
    // Figures of the axis stand in one line above its name.
    let figures: Vec<(f64, f64)> = page
        .words
        .iter()
        .filter(|words| words.at.1 < foot && words.at.1 > foot - 7.0)
        .filter_map(|words| {
            let number: f64 = words.text.replace('−', "-").parse().ok()?;
            Some((number, (words.at.0 + words.end.0) / 2.0))
        })
        .collect();
    let (first, last) = (figures[0], figures[figures.len() - 1]);
    assert!(figures.len() >= 3, "{figures:?}");
    let mm = |along: f64| first.0 + (along - first.1) / (last.1 - first.1) * (last.0 - first.0);
    let per_mm = ((last.0 - first.0) / (last.1 - first.1)).abs();
    let level = |line: &&Line| {
        let length = (line.to.0 - line.from.0).abs();
        let heavy = (line.width - 0.35).abs() < 1e-3 && !line.dashed;
        heavy && (line.from.1 - line.to.1).abs() < 1e-3 && length > 0.5
    };
    let spans: Vec<(f64, f64)> = page
        .lines
        .iter()
        .filter(level)
        .map(|line| (mm(line.from.0), mm(line.to.0)))
        .collect();
    let camera = &answer.camera;
    let of_camera = camera.image_plane_error.zip(camera.standard_error);
    let lenses = answer.lenses.iter();
    let lenses = lenses.map(|lens| (lens.image_plane_error, lens.standard_error));
    for (error, sd) in lenses.chain(of_camera) {
        let ends = [-2.0, 2.0].map(|times| (error + sd * times).to_mm());
        let near = |one: f64, other: f64| (one - other).abs() < 0.1 * per_mm;
        let found = spans
            .iter()
            .any(|span| near(span.0, ends[0]) && near(span.1, ends[1]));
        assert!(found, "{ends:?} in {spans:?}");
    }
    // N c at f/2.8 and 0.025 mm, either way, in broken lines.
    for tolerated in [-0.07, 0.07] {
        let found = page.lines.iter().any(|line| {
            line.dashed && upright(line) && (mm(line.from.0) - tolerated).abs() < 0.1 * per_mm
        });
        assert!(found, "{tolerated}");
    }
}

#[test]
fn cameras_are_held_against_one_another_on_the_sheet() {
    let kit = ordinary(Unit::Feet);
    let answer = answer(&kit, None);
    let pair = &answer.between_cameras[0];
    let all = text(&read(&pdf(&set_pages(&answer, &kit, "a4"))));
    let difference = pair.difference.expect("read on both").to_mm();
    // Made 0.03 mm apart.
    assert!((difference - 0.03).abs() < 0.01, "{difference}");
    let figure = format!("camera B by {difference:.2} mm");
    let without = |text: &str| text.replace(' ', "");
    assert!(
        without(&all).contains(&without(&figure)),
        "{figure} in {all}"
    );
    assert!(all.contains("farther from the lens than"), "{all}");
}

#[test]
fn a_report_is_not_to_scale_and_the_same_bytes_twice() {
    let kit = ordinary(Unit::Feet);
    let answer = answer(&kit, None);
    let pages = set_pages(&answer, &kit, "a4");
    assert!(pages.iter().all(|page| !page.is_true_to_scale()));
    assert_eq!(pdf(&pages), pdf(&set_pages(&answer, &kit, "a4")));
    let sheet = lens_sheet(&answer, &answer.lenses[0], &kit);
    assert_ne!(
        sheet.code,
        lens_sheet(&answer, &answer.lenses[1], &kit).code
    );
    for page in lens_pages(&answer, &answer.lenses[0], &kit, "a4") {
        assert_eq!(page.code(), Some(sheet.code.to_string().as_str()));
        assert!(text(&read(&pdf(&[page]))).contains(&sheet.code.to_string()));
    }
}

#[test]
fn a_paper_too_small_says_so() {
    let kit = ordinary(Unit::Feet);
    let answer = answer(&kit, None);
    let none = draw_set(&PrepSetSheet::of(&answer, &kit), paper("a6")).expect_err("no room");
    let said = none.to_string();
    assert!(
        said.contains("camera A") && said.contains("does not fit on A6"),
        "{said}"
    );
}

#[test]
#[ignore = "needs poppler and qpdf; .ci/run runs it"]
fn pdftotext_gives_every_character_of_a_report_back() {
    let kit = ordinary(Unit::Feet);
    let answer = answer(&kit, None);
    let mut pages = set_pages(&answer, &kit, "a4");
    pages.extend(lens_pages(&answer, &answer.lenses[4], &kit, "a4"));
    let said = assert_text_comes_back(&file_of(&pages));
    assert!(said.contains("Readings as taken"), "{said}");
}
