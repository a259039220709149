//! `rack` along the way of a moving subject: moments, rates, the vehicle.

use std::fs;

use serde_json::Value;

use crate::arithmetic::assert_steps_hold;
use crate::run::{Ran, markwright, markwright_in};

pub const BY_HAND: [&str; 9] = [
    "rack", "--focal", "50mm", "--stop", "f/2.8", "--circle", "0.025mm", "--gain", "30deg/mm",
];

pub fn ran(more: &[&str]) -> Ran {
    markwright(&[&BY_HAND[..], more, &["--as", "json"]].concat())
}

pub fn rack(more: &[&str]) -> Value {
    ran(more).json()
}

pub fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("no number: {value}"))
}

pub fn near(value: &Value, wanted: f64, by: f64) {
    let value = number(value);
    assert!((value - wanted).abs() <= by, "{value} is not {wanted}");
}

pub fn moment<'a>(answer: &'a Value, what: &str) -> &'a Value {
    let moments = answer["moments"].as_array().unwrap();
    let found = moments.iter().find(|moment| {
        let words = moment["what"].as_str().unwrap();
        words.split(' ').any(|word| word == what)
    });
    found.unwrap_or_else(|| panic!("no {what}"))
}

#[test]
fn toward_the_camera_moments_have_the_published_rates() {
    // 50 mm, 30 deg/mm: 20.8 deg/s at 2 m and 93.5 at 1 m: own computation in the
    // optics (d theta/dD = -G m^2/(1 - m^2)), by another program.
    let answer = rack(&[
        "--from", "3m", "--to", "1m", "--speed", "1m/s", "--every", "0.5",
    ]);
    let moments = answer["moments"].as_array().unwrap();
    assert_eq!(moments.len(), 5);
    near(&moments[2]["seconds"], 1.0, 1e-12);
    near(&moments[2]["focus_mm"], 2000.0, 1e-9);
    near(&moments[2]["deg_per_s"], 20.8, 0.05);
    near(&moments[4]["deg_per_s"], 93.5, 0.05);
    assert_eq!(moments[4]["what"], "end fastest");
    assert_eq!(answer["peak_deg_per_s"], moments[4]["deg_per_s"]);
    // Away from it, the same the other way.
    let away = rack(&["--from", "1m", "--to", "3m", "--speed", "1m/s"]);
    near(&away["moments"][0]["deg_per_s"], -93.5, 0.05);
    assert_eq!(away["moments"].as_array().unwrap().len(), 11);
    assert_eq!(away["moments"][0]["what"], "begin fastest");
}

#[test]
fn a_pass_goes_there_and_back() {
    // The right-angled triangle of 3, 4 and 5: the way is 4 m on either side.
    let answer = rack(&[
        "--from",
        "5m",
        "--passing",
        "3m",
        "--to",
        "5m",
        "--speed",
        "2m/s",
    ]);
    near(&answer["path"]["length_mm"], 8000.0, 1e-9);
    near(&answer["seconds"], 4.0, 1e-12);
    near(&answer["turn_deg"], 0.0, 1e-12);
    assert_eq!(answer["direction"], "none");
    let closest = moment(&answer, "closest");
    near(&closest["seconds"], 2.0, 1e-12);
    near(&closest["focus_mm"], 3000.0, 1e-12);
    near(&closest["deg_per_s"], 0.0, 1e-12);
    near(&answer["nearest_focus_mm"], 3000.0, 1e-12);
    let there = number(&closest["position_deg"]) - number(&answer["from"]["position_deg"]);
    near(&answer["turning_deg"], 2.0 * there, 1e-9);
    assert_eq!(answer["rows"].as_array().unwrap().len(), 3);
    // The peak is the highest of a fine scan.
    let scan = [
        "--from",
        "5m",
        "--passing",
        "3m",
        "--to",
        "5m",
        "--speed",
        "2m/s",
        "--every",
        "0.01",
    ];
    let scan = rack(&scan);
    let rates = scan["moments"].as_array().unwrap().iter();
    let highest = rates
        .filter(|moment| !moment["what"].as_str().unwrap().contains("fastest"))
        .map(|moment| number(&moment["deg_per_s"]).abs())
        .fold(0.0, f64::max);
    let peak = number(&answer["peak_deg_per_s"]);
    assert!(
        highest <= peak && highest > peak * 0.9999,
        "{highest} {peak}"
    );
    // Left out, it ends at the closest point.
    let half = rack(&["--from", "5m", "--passing", "3m", "--seconds", "2"]);
    near(&half["speed_mm_per_s"], 2000.0, 1e-9);
    near(&half["to"]["distance_mm"], 3000.0, 1e-12);
    assert_eq!(half["turning_deg"], half["turn_deg"]);
    // On one side of it: 5 to 3.4 m is 4 − 1.6 m of way, and back as much.
    for ends in [["5m", "3.4m"], ["3.4m", "5m"]] {
        let [from, to] = ends;
        let one = rack(&[
            "--from",
            from,
            "--passing",
            "3m",
            "--to",
            to,
            "--before-passing",
            "--speed",
            "walk",
        ]);
        near(&one["path"]["length_mm"], 2400.0, 1e-9);
        assert_eq!(one["path"]["passes_closest"], false);
    }
}

#[test]
fn a_frame_that_stands_counts_along_its_axis_and_square_to_the_line_nothing_moves() {
    // Aimed where the subject is 5 m away, 4 m before the closest point 3 m away: the axis
    // is (−4, 3)/5, and at the closest point (0, 3) the focus is 9/5 m, 12/5 m beside it.
    let answer = rack(&[
        "--from",
        "5m",
        "--passing",
        "3m",
        "--frame-at",
        "5m",
        "--speed",
        "1m/s",
    ]);
    let begin = moment(&answer, "begin");
    near(&begin["focus_mm"], 5000.0, 1e-9);
    near(&begin["aside_mm"], 0.0, 1e-9);
    let end = moment(&answer, "closest");
    near(&end["focus_mm"], 1800.0, 1e-9);
    near(&end["taped_mm"], 3000.0, 1e-9);
    near(&end["aside_mm"], 2400.0, 1e-9);
    let kinds = answer["assumptions"].as_array().unwrap().iter();
    assert!(kinds.clone().any(|note| note["kind"] == "frame_stands"));
    let square = rack(&[
        "--from",
        "5m",
        "--passing",
        "3m",
        "--to",
        "5m",
        "--frame-at",
        "3m",
        "--speed",
        "1m/s",
    ]);
    assert!(square["peak_deg_per_s"].is_null() && square["late_s"].is_null());
    near(&square["turning_deg"], 0.0, 1e-9);
    for moment in square["moments"].as_array().unwrap() {
        near(&moment["focus_mm"], 3000.0, 1e-9);
        near(&moment["deg_per_s"], 0.0, 0.0);
    }
}

#[test]
fn a_circle_is_as_long_as_a_circle_and_as_deep_as_its_diameter() {
    let round = |more: &[&str]| {
        let path = [
            "--from",
            "6m",
            "--circling",
            "4m",
            "--radius",
            "2m",
            "--to",
            "6m",
            "--seconds",
            "10",
        ];
        rack(&[&path[..], more].concat())
    };
    let pans = round(&[]);
    near(
        &pans["path"]["length_mm"],
        4000.0 * std::f64::consts::PI,
        1e-9,
    );
    near(&moment(&pans, "closest")["focus_mm"], 2000.0, 1e-9);
    // A quarter round: (2, 4) m.
    let quarter = round(&["--every", "2.5"]);
    near(
        &quarter["moments"][1]["taped_mm"],
        20_f64.sqrt() * 1000.0,
        1e-6,
    );
    // Aimed at the centre, it is then beside it, at its distance.
    let centre = round(&["--every", "2.5", "--frame-on-centre"]);
    let moments = centre["moments"].as_array().unwrap();
    let mut beside = moments.iter();
    let beside = beside.find(|moment| moment["seconds"] == 2.5).unwrap();
    near(&beside["focus_mm"], 4000.0, 1e-9);
    near(&beside["aside_mm"], -2000.0, 1e-9);
    assert_eq!(centre["path"]["frame"], "fixed_on_centre");
}

#[test]
fn the_sharp_stretch_holds_the_subject_just_within_the_circle() {
    // What depth says of a subject when the ring stands at either edge: the blur is the
    // circle, by the near and far limits of another formula.
    let answer = rack(&["--from", "4m", "--to", "1m", "--speed", "walk"]);
    for moment in answer["moments"].as_array().unwrap() {
        let subject = number(&moment["focus_mm"]);
        for (edge, sign) in [("sharp_from_deg", -1.0), ("sharp_to_deg", 1.0)] {
            // position = G f m; D = e + f (2 + m + 1/m), thin.
            let m = number(&moment[edge]) / (30.0 * 50.0);
            let focus = format!("{}mm", 50.0 * (2.0 + m + 1.0 / m));
            let object = format!("{subject}mm");
            let depth = markwright(&[
                "depth", "--focal", "50mm", "--stop", "f/2.8", "--circle", "0.025mm", "--at",
                &focus, "--object", &object, "--as", "json",
            ])
            .json();
            near(
                &depth["rows"][0]["objects"][0]["blur_mm"],
                sign * 0.025,
                1e-9,
            );
        }
    }
    // Far away everything to infinity is sharp, and that is said by name.
    let far = rack(&["--from", "200m", "--to", "20m", "--speed", "run"]);
    assert_eq!(far["moments"][0]["sharp_from_deg"], "infinity");
    assert!(far["moments"][10]["sharp_from_deg"].is_f64());
    let close = rack(&[
        "--from",
        "4m",
        "--to",
        "1m",
        "--speed",
        "walk",
        "--close-focus",
        "1m",
    ]);
    assert_eq!(close["moments"][10]["sharp_to_deg"], "close_focus");
}

#[test]
fn how_late_the_ring_may_be_is_the_stretch_over_the_rate() {
    let answer = rack(&[
        "--from",
        "5m",
        "--passing",
        "2m",
        "--to",
        "4m",
        "--speed",
        "run",
    ]);
    let fastest = moment(&answer, "fastest");
    let (at, rate) = (
        number(&fastest["position_deg"]),
        number(&fastest["deg_per_s"]),
    );
    near(
        &answer["late_s"],
        (at - number(&fastest["sharp_from_deg"])) / rate,
        1e-9,
    );
    near(
        &answer["early_s"],
        (number(&fastest["sharp_to_deg"]) - at) / rate,
        1e-9,
    );
    assert_eq!(answer["fastest_s"], fastest["seconds"]);
    assert_eq!(answer["fastest_taped_mm"], fastest["taped_mm"]);
    // Going away the ring is late toward close focus.
    let away = rack(&["--from", "1m", "--to", "4m", "--speed", "walk"]);
    let begin = moment(&away, "fastest");
    let (at, rate) = (number(&begin["position_deg"]), number(&begin["deg_per_s"]));
    near(
        &away["late_s"],
        (number(&begin["sharp_to_deg"]) - at) / -rate,
        1e-9,
    );
}

#[test]
fn a_vehicle_is_cautioned_beside_its_figures() {
    let said = |more: &[&str]| {
        let answer = rack(more);
        let notes = answer["assumptions"].as_array().unwrap().clone();
        notes.iter().any(|note| note["kind"] == "vehicle")
    };
    assert!(said(&[
        "--from",
        "20m",
        "--passing",
        "4m",
        "--speed",
        "30km/h"
    ]));
    assert!(said(&["--from", "20m", "--to", "4m", "--speed", "3mph"]));
    assert!(said(&["--from", "20m", "--to", "4m", "--speed", "5m/s"]));
    assert!(said(&[
        "--from",
        "20m",
        "--passing",
        "4m",
        "--seconds",
        "2"
    ]));
    assert!(!said(&[
        "--from",
        "20m",
        "--passing",
        "4m",
        "--speed",
        "run"
    ]));
    assert!(!said(&["--from", "5m", "--to", "4m"]));
    let words = [
        &BY_HAND[..],
        &["--from", "20m", "--passing", "4m", "--speed", "30km/h"],
    ];
    let words = markwright(&words.concat()).out;
    let line = |start: &str| words.lines().position(|line| line.starts_with(start));
    // Above the table, and once.
    assert!(line("caution, a vehicle").unwrap() < line("  SECONDS").unwrap());
    assert_eq!(words.matches("a vehicle").count(), 1);
}

#[test]
fn as_csv_there_is_a_row_a_moment() {
    let line = [
        "--from",
        "5m",
        "--passing",
        "2m",
        "--speed",
        "walk",
        "--as",
        "csv",
    ];
    let table = markwright(&[&BY_HAND[..], &line[..]].concat());
    assert_eq!(table.code, 0, "{}", table.err);
    let lines: Vec<&str> = table.out.lines().collect();
    assert!(lines[0].starts_with("seconds,what,way_mm,taped_mm,focus_mm,position_deg,knob_deg,"));
    // Eleven equal times; the last is the closest, the fastest stands between.
    assert_eq!(lines.len(), 1 + 12);
    assert!(lines[1].starts_with("0.0,begin,"));
    // Without a speed there is the one row there was.
    let still = ["--from", "5m", "--to", "2m", "--as", "csv"];
    let still = markwright(&[&BY_HAND[..], &still[..]].concat());
    assert_eq!(still.out.lines().count(), 2);
    assert!(still.out.starts_with("turn_deg,"));
}

#[test]
fn every_step_of_a_path_evaluates() {
    for path in [
        &["--from", "3m", "--to", "1m", "--speed", "walk"][..],
        &[
            "--from",
            "5m",
            "--passing",
            "2m",
            "--to",
            "3m",
            "--speed",
            "walk",
        ],
        &[
            "--from",
            "5m",
            "--passing",
            "2m",
            "--frame-at",
            "2.4m",
            "--seconds",
            "3",
        ],
        &[
            "--from",
            "5m",
            "--circling",
            "4m",
            "--radius",
            "2m",
            "--to",
            "4m",
            "--speed",
            "run",
        ],
        &[
            "--from",
            "6m",
            "--circling",
            "4m",
            "--radius",
            "2m",
            "--to",
            "5m",
            "--speed",
            "run",
            "--frame-on-centre",
            "--before-passing",
        ],
    ] {
        let answer = rack(&[path, &["--explain"]].concat());
        let symbols = assert_steps_hold(&answer, &["position_deg"]);
        for wanted in ["position", "rate", "m_edge", "late"] {
            assert!(symbols.iter().any(|symbol| symbol == wanted), "{wanted}");
        }
    }
}

#[test]
fn a_ring_in_millimetres_of_unknown_size_is_told_in_millimetres() {
    let folder = tempfile::tempdir().unwrap();
    markwright_in(folder.path(), &["new", "."]);
    let read = |name: &str| fs::read_to_string(folder.path().join(name)).unwrap();
    // The 50 mm's marks in millimetres, and nothing known of how far its ring is round.
    let table = read("lenses.csv");
    let header = table.lines().find(|line| line.starts_with("id,")).unwrap();
    let names: Vec<&str> = header.split(',').collect();
    let kept = |line: &str| {
        if line.starts_with("50,") {
            let cells = line.split(',').zip(&names);
            let cells = cells.map(|(cell, name)| match *name {
                name if name.starts_with("ring_") || name.starts_with("travel") => "",
                _ => cell,
            });
            cells.collect::<Vec<_>>().join(",")
        } else {
            line.to_owned()
        }
    };
    let lenses: Vec<String> = table.lines().map(kept).collect();
    fs::write(folder.path().join("lenses.csv"), lenses.join("\n")).unwrap();
    let marks = "distance,position_mm\ninf,0\n4m,20\n2m,42\n1m,95\n0.75m,140\n";
    fs::write(folder.path().join("marks/50.csv"), marks).unwrap();
    let line = [
        "rack",
        "--lens",
        "50",
        "--from",
        "5m",
        "--passing",
        "2m",
        "--to",
        "4m",
        "--speed",
        "walk",
        "--as",
        "json",
        "--plot",
        "p.pdf",
    ];
    let ran = markwright_in(folder.path(), &line);
    let answer = ran.json();
    assert!(answer["turn_deg"].is_null() && answer["peak_deg_per_s"].is_null());
    assert!(number(&answer["peak_mm_per_s"]) > 5.0);
    assert!(number(&answer["late_s"]) > 0.0);
    let closest = moment(&answer, "closest");
    near(&closest["ring_mm"], 42.0, 1e-9);
    assert!(closest["position_deg"].is_null() && closest["sharp_from_mm"].is_f64());
    assert!(folder.path().join("p.pdf").is_file());
}
