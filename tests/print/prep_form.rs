//! The form of prep day: legible, room to write in, nothing over anything else.

use markwright::draw::prep_form::draw;
use markwright::sheets::{ChartAt, Code, LensToRead, PrepForm};

use super::pages::{paper, pdf};
use super::reader::{Box, read};

/// What is read first at the chart (trade practice for 40 to 70 cm), and the
/// least of all words on it, in millimetres.
const FIRST: f64 = 4.0;
const LEAST: f64 = 2.5;
const ROUNDING: f64 = 2e-3;

fn form(lenses: usize, label: &str, wide: bool) -> PrepForm {
    let charts = ["3′6″", "12′", "5.5 m"];
    let chart = |(at, taped): (usize, &str)| ChartAt {
        taped: taped.to_owned(),
        wanted: if at == 2 { "only if undecided" } else { "" },
    };
    let lens = |number: usize| LensToRead {
        label: format!("{label} {number}"),
        serial: format!("no. {number}"),
        stop: "T2.1".into(),
        charts: if wide {
            Vec::new()
        } else {
            charts.into_iter().enumerate().map(chart).collect()
        },
        instead: wide.then(|| "collimator: too wide to be judged by eye".into()),
    };
    PrepForm {
        production: label.repeat(4),
        camera: "camera A · no. 7".into(),
        prepared: None,
        settings_each: 3,
        lenses: (1..=lenses).map(lens).collect(),
        notes: vec![
            ("how to read", vec!["set it from both sides ".repeat(12); 3]),
            ("when to stop", vec!["when it is decided ".repeat(9); 4]),
        ],
        code: Code::of(label),
    }
}

#[test]
fn a_form_is_legible_has_room_to_write_and_keeps_within_the_paper() {
    let labels = [
        "50 mm",
        "a label that is longer than any cell of this form could be",
    ];
    for id in ["a4", "letter", "a5"] {
        let paper = paper(id);
        let safe = paper.safe();
        let corner =
            |x: markwright::units::Length, y: markwright::units::Length| (x.to_mm(), y.to_mm());
        let safe = Box::between(
            corner(safe.left(), safe.top()),
            corner(safe.right(), safe.bottom()),
        );
        for (lenses, label, wide) in [
            (1, labels[0], false),
            (12, labels[1], false),
            (30, labels[0], true),
        ] {
            let form = form(lenses, label, wide);
            let pages = read(&pdf(&draw(&form, paper).unwrap()));
            let mut distances = 0;
            for page in &pages {
                let ink: Vec<Box> = page.words.iter().filter_map(|words| words.ink()).collect();
                for (at, one) in ink.iter().enumerate() {
                    assert!(safe.contains(one), "{id}: {:?}", page.words[at]);
                    for (other, words) in ink.iter().zip(&page.words).skip(at + 1) {
                        assert!(!one.overlaps(other), "{id}: {:?} {words:?}", page.words[at]);
                    }
                    let height = page.words[at].height();
                    assert!(height >= LEAST - ROUNDING, "{:?}", page.words[at]);
                }
                let first = page.words.iter().filter(|words| words.text == "3′6″");
                for words in first {
                    distances += 1;
                    assert!(words.height() >= FIRST - ROUNDING);
                }
                // Every page says whose it is.
                let code = form.code.to_string();
                assert!(page.words.iter().any(|words| words.text.contains(&code)));
                rows_are_high_enough(page);
            }
            assert_eq!(distances, if wide { 0 } else { lenses });
        }
    }
}

/// Level lines that part rows stand 8 mm apart or more: room to write.
fn rows_are_high_enough(page: &super::reader::Read) {
    let mut levels: Vec<f64> = page
        .lines
        .iter()
        .filter(|line| (line.from.1 - line.to.1).abs() < 1e-6)
        .map(|line| line.from.1)
        .collect();
    levels.sort_by(f64::total_cmp);
    levels.dedup_by(|a, b| (*a - *b).abs() < 0.01);
    for pair in levels.windows(2) {
        assert!(pair[1] - pair[0] >= 8.0, "{pair:?}");
    }
}

#[test]
fn a_paper_too_narrow_to_write_on_is_refused() {
    for id in ["a6", "4x6"] {
        assert!(draw(&form(1, "50 mm", false), paper(id)).is_err());
    }
}
