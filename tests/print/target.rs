//! Focus targets: lines as far apart as an independent sum says, on the paper.

use std::path::Path;

use markwright::draw::target::draw;
use markwright::export::{Resolution, to_png};
use markwright::gear::{CircleOn, Fitted, HoldSetup, LensFigures, Wanted};
use markwright::optics::{Branch, CircleRule, Detail, Pupil};
use markwright::scene::{Correction, Page};
use markwright::sheets::{Names, Target, TargetWish};
use markwright::units::{
    FNumber, FocusDistance, Length, Light, SpatialFrequency, StopKind, Unit, Wavelength,
};

use super::checks::assert_rulers_are_true;
use super::outside::{assert_text_comes_back, file_of, run};
use super::pages::{paper, pdf};
use super::reader::{Box, Read, read};

/// How far lines may be off their distance, in millimetres.
const TRUE: f64 = 0.01;
/// The narrowest line a printer is trusted with, and the widest period.
const FINEST: f64 = 0.1;
const COARSEST: f64 = 11.0;

/// A lens and its circle, in millimetres.
#[derive(Clone, Copy)]
struct Given {
    focal: f64,
    hiatus: f64,
    circle: f64,
}

impl Given {
    fn setup(self) -> HoldSetup {
        let wanted = Wanted {
            lens: LensFigures {
                focal_length: Length::mm(self.focal),
                pupil: Some(Pupil::Hiatus(Length::mm(self.hiatus))),
                pupil_magnification: None,
                transmittance: None,
            },
            stop: None,
            frame: None,
            circle: Some(CircleRule::Fixed(Length::mm(self.circle))),
            circle_on: CircleOn::Sensor,
            branch: Branch::Far,
            fitted: Fitted::default(),
            waves: None,
            notes: Vec::new(),
        };
        let setup = wanted.hold_setup(StopKind::F, &mut ());
        setup.expect("an ordinary lens")
    }

    fn target(self, unit: Unit, at: &[f64]) -> Target {
        let at = at
            .iter()
            .map(|&mm| FocusDistance::at(Length::mm(mm)).expect("a distance"));
        let wish = TargetWish {
            names: Names {
                focal: format!("{}", self.focal),
                ..Names::default()
            },
            unit,
            close_focus: None,
            at: at.collect(),
        };
        Target::new(&self.setup(), wish, &mut ())
    }

    /// How far apart its lines stand on a target at a distance.
    fn period(self, at: f64) -> f64 {
        std::f64::consts::PI * self.circle / lost() / self.magnification(at)
    }

    /// Image over object by halving the object's distance u until
    /// u + hiatus + v is the whole, with 1/u + 1/v = 1/f.
    fn magnification(self, at: f64) -> f64 {
        let f = self.focal;
        let (mut low, mut high) = (2.0 * f, at);
        for _ in 0..200 {
            let u = (low + high) / 2.0;
            let v = 1.0 / (1.0 / f - 1.0 / u);
            if u + self.hiatus + v < at {
                low = u;
            } else {
                high = u;
            }
        }
        let v = 1.0 / (1.0 / f - 1.0 / low);
        v / low
    }
}

/// 2 J1(x)/x by its power series (Abramowitz and Stegun 9.1.10; from memory).
fn disc_transfer(x: f64) -> f64 {
    let (mut term, mut sum) = (1.0, 0.0);
    for k in 1..40 {
        sum += term;
        term *= -(x * x / 4.0) / (f64::from(k) * f64::from(k + 1));
    }
    sum
}

/// Where it first is a tenth, by halving.
fn lost() -> f64 {
    let (mut low, mut high) = (0.0, 3.8);
    for _ in 0..100 {
        let x = (low + high) / 2.0;
        if disc_transfer(x) > 0.1 {
            low = x;
        } else {
            high = x;
        }
    }
    low
}

fn pages(target: &Target, id: &str) -> Vec<Page> {
    draw(target, paper(id)).expect("it fits")
}

/// Filled rectangles of a page.
fn boxes(page: &Read) -> Vec<Box> {
    let around = |corners: &Vec<(f64, f64)>| {
        let fold = |by: fn(f64, f64) -> f64, of: fn(&(f64, f64)) -> f64| {
            corners.iter().map(of).reduce(by).expect("corners")
        };
        Box {
            low: (fold(f64::min, |at| at.0), fold(f64::min, |at| at.1)),
            high: (fold(f64::max, |at| at.0), fold(f64::max, |at| at.1)),
        }
    };
    page.fills.iter().map(around).collect()
}

/// A group of lines: where it begins, how far apart they stand, how wide they
/// are, how many.
#[derive(Clone, Copy, Debug)]
struct Group {
    corner: (f64, f64),
    apart: f64,
    wide: f64,
    count: usize,
}

/// Groups of four or more equal rectangles in one row (upright) or column, from
/// the top to the bottom, then from the left.
fn groups(page: &Read, upright: bool) -> Vec<Group> {
    let turned = |at: (f64, f64)| if upright { at } else { (at.1, at.0) };
    let mut bars: Vec<Box> = boxes(page)
        .iter()
        .map(|bar| Box::between(turned(bar.low), turned(bar.high)))
        .filter(|bar| bar.high.0 - bar.low.0 < bar.high.1 - bar.low.1)
        .collect();
    let mut groups = Vec::new();
    while let Some(first) = bars.first().copied() {
        let alike = |bar: &Box| {
            let same = |one: f64, other: f64| (one - other).abs() < 1e-3;
            same(bar.low.1, first.low.1)
                && same(bar.high.1, first.high.1)
                && same(bar.high.0 - bar.low.0, first.high.0 - first.low.0)
        };
        let (mut own, others): (Vec<Box>, Vec<Box>) = bars.into_iter().partition(alike);
        bars = others;
        own.sort_by(|one, other| one.low.0.total_cmp(&other.low.0));
        if own.len() < 4 {
            continue;
        }
        let apart = own[1].low.0 - own[0].low.0;
        // Brackets of several fields are as alike, but not as even.
        let even = |pair: &[Box]| (pair[1].low.0 - pair[0].low.0 - apart).abs() < 1e-3;
        if !own.windows(2).all(even) {
            continue;
        }
        groups.push(Group {
            corner: turned(first.low),
            apart,
            wide: first.high.0 - first.low.0,
            count: own.len(),
        });
    }
    let key = |group: &Group| (group.corner.1, group.corner.0);
    groups.sort_by(|one, other| {
        let (one, other) = (key(one), key(other));
        // Groups of a field stand at one height.
        if (one.0 - other.0).abs() < 0.01 {
            one.1.total_cmp(&other.1)
        } else {
            one.0.total_cmp(&other.0)
        }
    });
    groups
}

/// Every group of a target against the periods its fields must have.
fn assert_periods(read: &[Read], wanted: &[f64], stretch: (f64, f64), name: &str) {
    for (upright, stretch) in [(true, stretch.0), (false, stretch.1)] {
        let mut wanted = wanted.iter().map(|period| period * stretch);
        for page in read {
            let all = groups(page, upright);
            let mut found = all.iter().peekable();
            while let Some(fine) = found.next() {
                let period = wanted.next().unwrap_or_else(|| panic!("{name}: {fine:?}"));
                let close = |one: f64, other: f64| (one - other).abs() < TRUE;
                assert!(
                    close(fine.apart, period) && close(fine.wide, period / 2.0),
                    "{name}: {fine:?} against {period}"
                );
                assert!(fine.wide >= FINEST * stretch - 1e-3, "{name}: {fine:?}");
                // What stands at the same height is its coarse group.
                let beside = found.next_if(|group| close(group.corner.1, fine.corner.1));
                if let Some(coarse) = beside {
                    assert!(
                        close(coarse.apart, 2.0 * period) && close(coarse.wide, period),
                        "{name}: {coarse:?} against twice {period}"
                    );
                }
                // Fewer lines are no pattern.
                let fewest = if beside.is_some() { 8 } else { 5 };
                assert!(fine.count >= fewest, "{name}: {fine:?}");
            }
        }
        assert_eq!(wanted.next(), None, "{name}: a field without lines");
    }
}

#[test]
fn a_blur_disc_leaves_a_tenth_where_lines_are_lost() {
    // By mpmath 1.3 with 30 digits: 3.41973900812759.
    assert!((lost() - 3.419_739_008_127_59).abs() < 1e-12);
    // By the disc itself: the mean of a wave over its chords. Period 1, disc
    // x/π across.
    let radius = lost() / std::f64::consts::PI / 2.0;
    let (mut light, mut area) = (0.0, 0.0);
    for step in 0..200_000 {
        let across = radius * ((f64::from(step) + 0.5) / 100_000.0 - 1.0);
        let chord = (radius * radius - across * across).sqrt();
        light += chord * libm::cos(2.0 * std::f64::consts::PI * across);
        area += chord;
    }
    assert!((light / area - 0.1).abs() < 1e-6, "{}", light / area);
}

#[test]
fn diffraction_moves_what_is_lost_as_much_as_the_documents_say() {
    // Circles of blur that leave a tenth at 550 nm of lines for a circle of
    // 0.025 mm, by mpmath's quadrature of Hopkins' integral.
    let circle = 0.025;
    let frequency = lost() / std::f64::consts::PI / circle;
    let nanometres = Length::mm(550e-6);
    let detail = Detail {
        frequency: SpatialFrequency::new(frequency).expect("ordinary"),
        light: Light::one(Wavelength::new(nanometres).expect("green")),
        pitch: None,
    };
    for (n, circles) in [(1.4, 1.033), (2.8, 1.068), (4.0, 1.099), (8.0, 1.216)] {
        let n = FNumber::new(n).expect("a stop");
        let left = detail.contrast(Length::mm(circle * circles), n).value();
        // The slope is 0.9 a circle, figures are to half a thousandth of one.
        assert!((left - 0.1).abs() < 1e-3, "{left}");
    }
}

#[test]
fn lines_stand_as_far_apart_as_an_independent_sum_says() {
    let mut fields = 0;
    for focal in [9.8, 14.0, 18.0, 25.0, 35.0, 50.0, 85.0, 135.0, 200.0, 400.0] {
        for circle in [0.008, 0.0125, 0.018, 0.025, 0.0333, 0.05, 0.1] {
            for (hiatus, id) in [(0.0, "a4"), (0.4 * focal, "letter"), (-0.2 * focal, "a4")] {
                let given = Given {
                    focal,
                    hiatus,
                    circle,
                };
                let at = [1000.0, 2000.0, 3000.0, 4500.0, 12000.0];
                let at: Vec<f64> = at
                    .into_iter()
                    .filter(|at| *at > 4.5 * focal + hiatus)
                    .collect();
                let target = given.target(Unit::Metres, &at);
                let all = at.iter().map(|&at| given.period(at));
                let held = |period: &f64| period / 2.0 >= FINEST && *period <= COARSEST;
                let wanted: Vec<f64> = all.filter(held).collect();
                assert_eq!(target.fields.len(), wanted.len());
                assert_eq!(target.left_out.len(), at.len() - wanted.len());
                let name = format!("{focal} mm, {circle} mm, {id}");
                let read = read(&pdf(&pages(&target, id)));
                assert_periods(&read, &wanted, (1.0, 1.0), &name);
                fields += wanted.len();
            }
        }
    }
    assert!(fields > 500, "only {fields}");
}

#[test]
fn the_usual_distances_are_1_2_3_m_or_3_6_10_ft() {
    let given = Given {
        focal: 50.0,
        hiatus: 0.0,
        circle: 0.025,
    };
    for (unit, names, at) in [
        (
            Unit::Metres,
            ["1 m", "2 m", "3 m"],
            [1000.0, 2000.0, 3000.0],
        ),
        (Unit::Feet, ["3′", "6′", "10′"], [914.4, 1828.8, 3048.0]),
    ] {
        let target = given.target(unit, &[]);
        let found: Vec<&str> = target
            .fields
            .iter()
            .map(|field| field.distance.as_str())
            .collect();
        assert_eq!(found, names);
        let wanted: Vec<f64> = at.iter().map(|&at| given.period(at)).collect();
        let read = read(&pdf(&pages(&target, "a4")));
        assert_periods(&read, &wanted, (1.0, 1.0), "usual");
        // 0.87 mm at 2 m: π 0.025 / 3.4197 / 0.026334.
        let says = |part: &str| read[0].words.iter().any(|words| words.text.contains(part));
        assert!(unit == Unit::Feet || says("at 2 m lines of 0.87 mm blur together"));
        assert!(says("for eye focus, not for judging a lens"));
    }
}

/// Whether two rectangles lie in one corner, as the legs of a bracket do.
fn a_bracket(one: &Box, other: &Box) -> bool {
    let same = |one: f64, other: f64| (one - other).abs() < 1e-3;
    let level = same(one.low.0, other.low.0) || same(one.high.0, other.high.0);
    level && (same(one.low.1, other.low.1) || same(one.high.1, other.high.1))
}

#[test]
fn a_target_is_legible_true_and_keeps_within_the_paper() {
    let lenses = [(12.0, 0.03), (18.0, 0.025), (50.0, 0.02), (135.0, 0.025)];
    for id in ["a4", "letter"] {
        for (focal, circle) in lenses {
            let given = Given {
                focal,
                hiatus: 0.0,
                circle,
            };
            let target = given.target(Unit::Metres, &[1000.0, 1500.0, 2000.0, 3000.0, 9000.0]);
            let safe = paper(id).safe();
            // Round figures reach a little beyond their height.
            let low = (safe.left().to_mm() - 0.1, safe.top().to_mm() - 0.1);
            let high = (safe.right().to_mm() + 0.1, safe.bottom().to_mm() + 0.1);
            let safe = Box::between(low, high);
            for page in read(&pdf(&pages(&target, id))) {
                assert_rulers_are_true(&page, 1.0, 1.0, id);
                let filled = boxes(&page);
                assert!(
                    filled.iter().all(|fill| safe.contains(fill)),
                    "{id}, {focal}"
                );
                for (at, one) in filled.iter().enumerate() {
                    for other in &filled[at + 1..] {
                        let ok = !one.overlaps(other) || a_bracket(one, other);
                        assert!(ok, "{id}, {focal}: {one:?} {other:?}");
                    }
                }
                let ink: Vec<Box> = page.words.iter().filter_map(|words| words.ink()).collect();
                for (at, one) in ink.iter().enumerate() {
                    let words = &page.words[at];
                    assert!(safe.contains(one), "{id}, {focal}: {words:?}");
                    assert!(words.height() > 1.999, "{words:?}");
                    for other in ink[at + 1..].iter().chain(&filled) {
                        assert!(!one.overlaps(other), "{id}, {focal}: {words:?} {other:?}");
                    }
                }
                // Every page says whose it is, and has its level line and its height.
                let says = |part: &str| page.words.iter().any(|words| words.text.contains(part));
                assert!(says(&target.code.to_string()) && says("over the floor"));
            }
            let distances = |page: &Read| {
                let own = page.words.iter().filter(|words| words.text.ends_with(" m"));
                own.filter(|words| words.bold && words.height() > 5.99)
                    .count()
            };
            let read = read(&pdf(&pages(&target, id)));
            assert_eq!(
                read.iter().map(distances).sum::<usize>(),
                target.fields.len()
            );
        }
    }
}

#[test]
fn what_is_too_fine_or_too_coarse_is_left_out_and_said() {
    let long = Given {
        focal: 135.0,
        hiatus: 0.0,
        circle: 0.025,
    };
    let target = long.target(Unit::Metres, &[]);
    // m = 0.186 at 1 m by 1/u + 1/v = 1/135: 0.023 / 0.186 = 0.123, lines of 0.06.
    assert!(target.left_out[0].contains("1 m: its lines would be 0.06"));
    let read = read(&pdf(&pages(&target, "a4")));
    let says = |part: &str| read[0].words.iter().any(|words| words.text.contains(part));
    assert!(says("left out: 1 m: its lines") && says("600 dots/in"));
    let wide = Given {
        focal: 12.0,
        hiatus: 0.0,
        circle: 0.03,
    };
    let target = wide.target(Unit::Metres, &[2000.0, 9000.0]);
    assert_eq!(target.fields.len(), 1);
    assert!(target.left_out[0].contains("9 m: its lines would stand 20.6 mm apart"));
}

#[test]
fn the_correction_stretches_the_lines_too() {
    let given = Given {
        focal: 50.0,
        hiatus: 0.0,
        circle: 0.025,
    };
    let printed = (Length::mm(96.0), Length::mm(101.0));
    let correction = Correction::from_printed_100mm(printed.0, printed.1).expect("plausible");
    let target = given.target(Unit::Metres, &[]);
    let pages: Vec<Page> = pages(&target, "a4")
        .into_iter()
        .map(|page| page.with_correction(correction))
        .collect();
    let wanted = [1000.0, 2000.0, 3000.0].map(|at| given.period(at));
    let stretch = (100.0 / 96.0, 100.0 / 101.0);
    assert_periods(&read(&pdf(&pages)), &wanted, stretch, "corrected");
}

#[test]
fn a_small_paper_is_refused_and_another_circle_has_another_code() {
    let given = Given {
        focal: 50.0,
        hiatus: 0.0,
        circle: 0.025,
    };
    let target = given.target(Unit::Metres, &[]);
    for id in ["a5", "a6", "4x6"] {
        assert!(draw(&target, paper(id)).is_err(), "{id}");
    }
    let other = Given {
        circle: 0.03,
        ..given
    };
    assert_ne!(other.target(Unit::Metres, &[]).code, target.code);
    assert_eq!(given.target(Unit::Metres, &[]).code, target.code);
}

#[test]
#[ignore = "needs poppler and qpdf; .ci/run runs it"]
fn other_readers_find_nothing_to_complain_of() {
    let given = Given {
        focal: 35.0,
        hiatus: 0.0,
        circle: 0.025,
    };
    let file = file_of(&pages(&given.target(Unit::Feet, &[]), "letter"));
    let said = run("qpdf", &["--check"], &file, &[]);
    assert!(!String::from_utf8_lossy(&said).contains("WARNING"));
    assert_text_comes_back(&file);
}

#[test]
fn pictures_of_targets_are_there_and_can_be_drawn() {
    let fifty = Given {
        focal: 50.0,
        hiatus: 0.0,
        circle: 0.025,
    };
    let wide = Given {
        focal: 12.0,
        ..fifty
    };
    let pictures = [
        ("target-50", fifty.target(Unit::Metres, &[]), "a4"),
        (
            "target-12",
            wide.target(Unit::Feet, &[1828.8, 3048.0]),
            "letter",
        ),
    ];
    let docs = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs");
    let words = std::fs::read_to_string(docs.join("target.md")).expect("docs/target.md");
    for (name, target, id) in pictures {
        let file = format!("{name}.png");
        let page = pages(&target, id).remove(0);
        let dots = Resolution::dots_per_inch(100).expect("ordinary");
        let png = to_png(&page, dots).expect("a picture");
        if std::env::var_os("UPDATE").is_some() {
            std::fs::write(docs.join(&file), png).expect("written");
        }
        assert!(docs.join(&file).is_file(), "{file}");
        assert!(words.contains(&file), "{file}");
    }
}
