//! Wave optics through the command: light and contrast typed, keys, refusals,
//! and the independent tables of `tests/oracle/waves.py`.

use std::path::Path;

use markwright::optics::{Branch, Detail, Focused, Pupil, UnitFocus};
use markwright::units::{
    FNumber, FocusDistance, Length, PupilMagnification, SpatialFrequency, parse,
};
use serde_json::Value;

use crate::run::{Ran, in_json};

const LENS: [&str; 3] = ["--focal=50mm", "--hiatus=-5mm", "--pupil-magnification=1.1"];

fn ask(command: &'static str, more: &[&str]) -> Ran {
    in_json(&[&[command], &LENS[..], more].concat())
}

fn kinds(answer: &Value) -> Vec<&str> {
    let notes = answer["assumptions"].as_array().unwrap();
    notes
        .iter()
        .map(|note| note["kind"].as_str().unwrap())
        .collect()
}

fn number(value: &Value) -> f64 {
    match value {
        Value::String(text) if text == "infinity" => f64::INFINITY,
        value => value.as_f64().unwrap_or_else(|| panic!("{value}")),
    }
}

fn close(ours: f64, other: f64, what: &str) {
    let same = ours.is_infinite() && other.is_infinite();
    assert!(
        same || (ours - other).abs() <= 1e-9 * other.abs(),
        "{what}: {ours}, not {other}"
    );
}

/// The lens above, set.
fn set(focus_mm: f64, n: f64) -> Focused {
    let lens = UnitFocus::new(
        Length::mm(50.0),
        Pupil::Hiatus(Length::mm(-5.0)),
        PupilMagnification::new(1.1).unwrap(),
        &mut (),
    );
    let n = FNumber::new(n).unwrap();
    lens.at(at(focus_mm), Branch::Far, n, &mut ()).unwrap()
}

fn at(mm: f64) -> FocusDistance {
    FocusDistance::at(Length::mm(mm)).unwrap()
}

fn detail(frequency: f64, light: &str) -> Detail {
    Detail {
        frequency: SpatialFrequency::new(frequency).unwrap(),
        light: parse::light(light).unwrap(),
        pitch: None,
    }
}

#[test]
fn rows_say_what_limits_where_a_light_or_a_contrast_is_typed_and_only_there() {
    let plain = ask("depth", &["--stop=f/4", "--circle=0.025mm", "--at=2m,6m"]).json();
    assert!(plain["rows"][0]["airy_mm"].is_null() && plain["light"].is_null());
    let by_circle = [
        "--stop=f/4",
        "--circle=0.025mm",
        "--wavelength=550nm",
        "--at=2m,6m",
    ];
    let by_circle = ask("depth", &by_circle).json();
    for (row, bare) in [0, 1].map(|i| (&by_circle["rows"][i], &plain["rows"][i])) {
        // 2 × 1.21967 × 550 nm × N_w (Goodman).
        let n_w = number(&row["working_f_number"]);
        close(
            number(&row["airy_mm"]),
            2.439_339_782_533_009 * 0.00055 * n_w,
            "airy",
        );
        assert_eq!(row["limit"], "defocus");
        assert_eq!(row["circle_mm"], 0.025);
        assert!(row["in_focus"].is_null());
        assert_eq!(row["near_mm"], bare["near_mm"]);
    }
    assert_eq!(by_circle["light"][0]["wavelength_mm"], 0.00055);
    assert!(!kinds(&by_circle).contains(&"wavelength_assumed"));
    let by_contrast = ask(
        "depth",
        &["--stop=f/4", "--contrast=0.3@40/mm", "--at=0.5m,6m"],
    );
    let by_contrast = by_contrast.json();
    let rows = &by_contrast["rows"];
    // The nearer, the slimmer the cone: each row has a circle of its own.
    assert_ne!(rows[0]["circle_mm"], rows[1]["circle_mm"]);
    assert!(number(&rows[0]["in_focus"]) < number(&rows[1]["in_focus"]));
    assert_eq!(by_contrast["contrast"], 0.3);
    assert_eq!(by_contrast["frequency_per_mm"], 40.0);
    assert!(kinds(&by_contrast).contains(&"wavelength_assumed"));
    assert!(!kinds(&by_contrast).contains(&"circle_assumed"));
    // A very small circle is finer than what diffraction leaves.
    let fine = ask(
        "depth",
        &[
            "--stop=f/22",
            "--circle=0.01mm",
            "--wavelength=550nm",
            "--at=2m",
        ],
    );
    assert_eq!(fine.json()["rows"][0]["limit"], "diffraction");
}

#[test]
fn near_and_far_have_just_the_wanted_contrast() {
    for (stop, light) in [
        (2.8, "550nm"),
        (8.0, "486nm:1,546nm:2,633nm:1"),
        (16.0, "633nm"),
    ] {
        let stop_typed = format!("--stop=f/{stop}");
        let light_typed = format!("--wavelength={light}");
        let more = [
            "--contrast=0.3@40/mm",
            &stop_typed,
            &light_typed,
            "--at=0.5m,2m,20m",
        ];
        let answer = ask("depth", &more).json();
        let detail = detail(40.0, light);
        for row in answer["rows"].as_array().unwrap() {
            let set = set(number(&row["focus_mm"]), stop);
            for limit in [&row["near_mm"], &row["far_mm"]].map(number) {
                if limit.is_infinite() {
                    continue;
                }
                let contrast = set.contrast(at(limit), &detail).unwrap().value();
                assert!((contrast - 0.3).abs() < 1e-9, "{contrast} at {limit}");
            }
        }
        // Focused at the hyperfocal distance, infinity has it.
        let hyperfocal = number(&answer["hyperfocal_mm"]);
        let set = set(hyperfocal, stop);
        let contrast = set.contrast(FocusDistance::INFINITY, &detail).unwrap();
        assert!((contrast.value() - 0.3).abs() < 1e-9, "{contrast:?}");
    }
}

#[test]
fn what_hold_finds_by_contrast_depth_confirms() {
    let mix = "--wavelength=486nm:1,546nm:2,633nm:1";
    for (near, far) in [("2m", "3m"), ("2m", "6m"), ("5m", "inf"), ("0.5m", "0.52m")] {
        let (near_typed, far_typed) = (format!("--near={near}"), format!("--far={far}"));
        let found = ask(
            "hold",
            &["--contrast=0.2@30/mm", mix, &near_typed, &far_typed],
        )
        .json();
        let best = number(&found["optimum_f_number"]);
        let needed = number(&found["f_number"]);
        assert!(needed <= best && best <= number(&found["darkest_f_number"]));
        let stop = format!("--stop=f/{needed}");
        let focus = format!("--at={}mm", number(&found["focus_mm"]));
        let back = ask("depth", &["--contrast=0.2@30/mm", mix, &stop, &focus]).json();
        let row = &back["rows"][0];
        close(number(&row["near_mm"]), number(&found["near_mm"]), "near");
        // A billionth in 1/distance: near infinity the last digits are many metres.
        let vergence = |value: &Value| 1.0 / number(value);
        let off = vergence(&row["far_mm"]) - vergence(&found["far_mm"]);
        assert!(
            off.abs() < 1e-9 * vergence(&row["focus_mm"]),
            "{far}: {off}"
        );
    }
}

#[test]
fn one_limit_by_contrast_is_the_limit_depth_gives_back() {
    for limit in ["--near=2m", "--far=6m", "--far=inf"] {
        let typed = ["--contrast=0.3@40/mm", "--wavelength=550nm", "--stop=f/5.6"];
        let found = ask("hold", &[&typed[..], &[limit]].concat()).json();
        let focus = format!("--at={}mm", number(&found["focus_mm"]));
        let back = ask("depth", &[&typed[..], &[&focus]].concat()).json();
        let row = &back["rows"][0];
        close(
            number(&row["circle_mm"]),
            number(&found["circle_mm"]),
            "circle",
        );
        close(number(&row["near_mm"]), number(&found["near_mm"]), "near");
        let (ours, other) = (number(&row["far_mm"]), number(&found["far_mm"]));
        assert!((1.0 / ours - 1.0 / other).abs() < 1e-12, "{ours} {other}");
    }
}

#[test]
fn the_best_stop_is_told_with_a_light_and_no_circle_is_halved_under_a_contrast() {
    let plain = ["--circle=0.025mm", "--near=2m", "--far=3m"];
    assert!(ask("hold", &plain).json()["optimum_f_number"].is_null());
    let light = ask("hold", &[&plain[..], &["--wavelength=550nm"]].concat()).json();
    let best = number(&light["optimum_f_number"]);
    assert!(light["half_circle"].is_object());
    // There blur is as large as the Airy diameter, by the sheet's own figures.
    let stop = format!("--stop=f/{best}");
    let focus = format!("--at={}mm", number(&light["focus_mm"]));
    let more = [
        &stop,
        &focus,
        "--object=2m,3m",
        "--circle=0.025mm",
        "--wavelength=550nm",
    ];
    let row = &ask("depth", &more).json()["rows"][0];
    for object in row["objects"].as_array().unwrap() {
        close(
            number(&object["blur_mm"]).abs(),
            number(&row["airy_mm"]),
            "blur",
        );
    }
    let contrast = ask("hold", &["--contrast=0.3@40/mm", "--near=2m", "--far=3m"]).json();
    assert!(contrast["half_circle"].is_null());
}

#[test]
fn a_contrast_out_of_reach_is_an_answer_with_the_best_there_is() {
    let none = ask(
        "depth",
        &["--contrast=0.5@100/mm", "--stop=f/11", "--at=2m"],
    );
    assert_eq!(none.code, 3, "{}", none.err);
    let error = none.error();
    assert_eq!(error["kind"], "mtf_unreachable");
    let best =
        detail(100.0, "550nm").in_focus(set(2000.0, 11.0).working_f_number(&mut ()), &mut ());
    // The first that fails may be the hyperfocal focus, at infinity or nearly so.
    let most = detail(100.0, "550nm").in_focus(FNumber::new(11.0).unwrap(), &mut ());
    let nearest = number(&error["nearest"]);
    assert!(
        nearest >= best.value() - 1e-12 && nearest <= most.value() + 1e-12,
        "{nearest}"
    );
    // Opened to what the message allows, it can be done.
    let message = error["message"].as_str().unwrap();
    let (_, stop) = message.split_once("f-number up to ").unwrap();
    let stop = format!("--stop=f/{}", stop.parse::<f64>().unwrap() / 1.05);
    let open = ask("depth", &["--contrast=0.5@100/mm", &stop, "--at=2m"]);
    assert_eq!(open.code, 0, "{}", open.err);
    let none = ask("hold", &["--contrast=0.3@40/mm", "--near=2m", "--far=20m"]);
    assert_eq!(none.code, 3, "{}", none.err);
    let error = none.error();
    assert_eq!(error["kind"], "cannot_hold");
    let nearest = number(&error["nearest"]);
    assert!(nearest < 0.3);
    // So much, and no more, can be held.
    for (part, code) in [(0.999, 0), (1.001, 3)] {
        let contrast = format!("--contrast={}@40/mm", nearest * part);
        let ran = ask("hold", &[&contrast, "--near=2m", "--far=20m"]);
        assert_eq!(ran.code, code, "{contrast}: {}", ran.err);
    }
}

#[test]
fn a_range_that_no_marked_stop_holds_says_so() {
    let pair = ["--contrast=0.3@40/mm", "--near=2m", "--far=10.3m"];
    let found = ask("hold", &pair).json();
    let (least, most) = (
        number(&found["f_number"]),
        number(&found["darkest_f_number"]),
    );
    assert!(kinds(&found).contains(&"no_marked_stop"), "{found}");
    // By thirds, exact or as engraved (ISO 517): none between the two.
    let third = |i: i32| libm::exp2(f64::from(i) / 6.0);
    let mut marks = (0..60).map(third).chain([20.0, 22.0]);
    assert!(marks.all(|mark| mark < least || mark > most));
    let wider = ["--contrast=0.3@40/mm", "--near=2m", "--far=5m"];
    assert!(!kinds(&ask("hold", &wider).json()).contains(&"no_marked_stop"));
}

#[test]
fn detail_finer_than_two_photosites_is_warned_of() {
    let more = |pitch| ["--stop=f/2.8", "--at=2m", "--contrast=0.2@110/mm", pitch];
    // 1 / (2 × 5 µm) is 100 cycles/mm, 1 / (2 × 4.5 µm) is 111.1.
    let coarse = ask("depth", &more("--photosite=5um")).json();
    assert!(kinds(&coarse).contains(&"beyond_nyquist"), "{coarse}");
    assert_eq!(coarse["photosite_mm"], 0.005);
    let fine = ask("depth", &more("--photosite=4.5um")).json();
    assert!(!kinds(&fine).contains(&"beyond_nyquist"));
    let hold = [
        "--near=2m",
        "--far=2.02m",
        "--contrast=0.2@110/mm",
        "--photosite=5um",
    ];
    assert!(kinds(&ask("hold", &hold).json()).contains(&"beyond_nyquist"));
}

#[test]
fn what_excludes_or_needs_one_another_is_a_fault_of_usage() {
    let refused = [
        vec!["--contrast=0.3@40/mm", "--circle=0.025mm"],
        vec!["--circle=0.025mm", "--photosite=5um"],
    ];
    for more in refused {
        let rest = ["--stop=f/4", "--at=2m"];
        let ran = ask("depth", &[&more[..], &rest[..]].concat());
        assert_eq!((ran.code, &ran.error()["kind"]), (2, &"usage".into()));
    }
    for contrast in [
        "1@40/mm",
        "0@40/mm",
        "0.3",
        "0.3@0/mm",
        "nan@40/mm",
        "0.3@40",
    ] {
        let typed = format!("--contrast={contrast}");
        let ran = ask("depth", &[&typed, "--stop=f/4", "--at=2m"]);
        assert_eq!(ran.code, 2, "{contrast}");
    }
}

/// Rows of a table of the oracle, by column.
fn rows(file: &str) -> Vec<impl Fn(&str) -> String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/oracle")
        .join(file);
    let mut table = csv::Reader::from_path(path).unwrap();
    let header = table.headers().unwrap().clone();
    let rows: Vec<csv::StringRecord> = table.records().map(Result::unwrap).collect();
    rows.into_iter()
        .map(|row| {
            let header = header.clone();
            move |column: &str| {
                let place = header.iter().position(|name| name == column).unwrap();
                row[place].to_owned()
            }
        })
        .collect()
}

fn figure(text: &str) -> f64 {
    text.replace("infinity", "inf").parse().unwrap()
}

fn distance(text: &str) -> String {
    match text {
        "infinity" => "inf".into(),
        mm => format!("{mm}mm"),
    }
}

/// Lens, light and photosites of a row, as they are typed.
fn typed(row: &impl Fn(&str) -> String) -> Vec<String> {
    let light: Vec<String> = row("light")
        .split(' ')
        .map(|line| line.replace(':', "nm:"))
        .collect();
    let mut typed = vec![
        format!("--focal={}mm", row("focal")),
        format!("--hiatus={}mm", row("hiatus")),
        format!("--pupil-magnification={}", row("pupil")),
        format!("--wavelength={}", light.join(",")),
    ];
    if row("pitch") != "none" {
        typed.push(format!("--photosite={}mm", row("pitch")));
    }
    typed
}

fn run(command: &str, typed: &[String]) -> Ran {
    let words: Vec<&str> = core::iter::once(command)
        .chain(typed.iter().map(String::as_str))
        .collect();
    in_json(&words)
}

#[test]
fn depth_by_contrast_is_that_of_the_independent_table() {
    let mut reached = 0;
    for row in rows("contrast.csv").into_iter().take(60) {
        let mut words = typed(&row);
        words.extend([
            format!("--contrast={}@{}/mm", row("contrast"), row("frequency")),
            format!("--stop=f/{}", row("n")),
            format!("--at={}", distance(&row("focus"))),
        ]);
        let ran = run("depth", &words);
        if row("circle") == "unreachable" {
            assert_eq!(ran.code, 3, "{words:?}");
            assert_eq!(ran.error()["kind"], "mtf_unreachable");
            continue;
        }
        let answer = ran.json();
        let ours = &answer["rows"][0];
        for (key, column) in [
            ("airy_mm", "airy"),
            ("circle_mm", "circle"),
            ("in_focus", "in_focus"),
            ("near_mm", "near"),
            ("far_mm", "far"),
        ] {
            close(number(&ours[key]), figure(&row(column)), column);
        }
        assert_eq!(ours["limit"], row("limit").as_str());
        reached += 1;
    }
    assert!(reached > 30, "{reached}");
}

#[test]
fn the_best_stop_is_that_of_the_independent_table() {
    let mut shown = 0;
    for row in rows("optimum.csv").into_iter().take(40) {
        let best = figure(&row("contrast"));
        let pair = [
            format!("--near={}", distance(&row("near"))),
            format!("--far={}", distance(&row("far"))),
        ];
        let words = [&typed(&row)[..], &pair[..]].concat();
        if row("pitch") == "none" {
            let answer = run("hold", &words).json();
            close(
                number(&answer["optimum_f_number"]),
                figure(&row("n_equal")),
                "n_equal",
            );
            close(number(&answer["focus_mm"]), figure(&row("focus")), "focus");
        }
        if best > 0.02 {
            let wanted = format!("--contrast={}@{}/mm", best / 2.0, row("frequency"));
            let answer = run("hold", &[&words[..], &[wanted]].concat()).json();
            close(
                number(&answer["optimum_f_number"]),
                figure(&row("n_best")),
                "n_best",
            );
            shown += 1;
        }
    }
    assert!(shown > 20, "{shown}");
}
