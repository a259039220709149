//! `prep`: what is said of simulated benches whose truth is known.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::arithmetic::assert_steps_hold;
use crate::run::{Ran, markwright_in};

const KIT: &str = "\
title = \"bench\"
units = \"metres\"
[recording]
format = \"s35-3perf\"
[sharpness]
circle = \"0.025 mm\"
working_stop = \"f/2.8\"
";

const LENSES: &str = "id,focal_mm,f_number,close_focus,engraved,hiatus_mm,travel_deg\n";

/// A thin lens of the bench.
fn lens(id: &str, focal: u32, close: &str) -> String {
    format!("{id},{focal},2,{close},metres,0,300\n")
}

/// Runs `prep` in a kit of these files.
fn prep(kit: &str, lenses: &str, rows: &str, args: &[&str]) -> Ran {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), kit, lenses, rows);
    markwright_in(folder.path(), &[&["prep"], args].concat())
}

fn write(folder: &Path, kit: &str, lenses: &str, rows: &str) {
    fs::write(folder.join("kit.toml"), kit).unwrap();
    fs::write(folder.join("lenses.csv"), format!("{LENSES}{lenses}")).unwrap();
    fs::write(folder.join("prep.csv"), rows).unwrap();
}

fn in_json(kit: &str, lenses: &str, rows: &str) -> Value {
    prep(kit, lenses, rows, &["--as", "json"]).json()
}

/// Magnification of a thin lens, from u² − D u + f D = 0.
fn magnification(focal: f64, distance: f64) -> f64 {
    let long = (distance + libm::sqrt(distance * (distance - 4.0 * focal))) / 2.0;
    focal / (long - focal)
}

/// What a thin lens's scale says, mm, when a chart at `distance` is sharp with
/// the image plane `delta` too far.
fn said(focal: f64, distance: f64, delta: f64) -> f64 {
    let m = magnification(focal, distance) - delta / focal;
    focal * (2.0 + m + 1.0 / m)
}

/// Rows of one lens, read without error at these distances.
fn rows_of(id: &str, focal: f64, delta: f64, distances: &[f64]) -> String {
    let row = |&distance: &f64| {
        let said = said(focal, distance, delta);
        format!("{id},f/2,{distance}mm,{said:.4}mm\n")
    };
    distances.iter().map(row).collect()
}

const HEAD: &str = "lens,stop,taped,reading\n";
const FAR: [f64; 5] = [1500.0, 2000.0, 2500.0, 3000.0, 4000.0];

fn mm(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("no number: {value}"))
}

#[test]
fn the_starter_kit_is_read_back_as_it_was_made() {
    let folder = tempfile::tempdir().unwrap();
    assert_eq!(markwright_in(folder.path(), &["new", "kit"]).code, 0);
    let ran = markwright_in(folder.path(), &["prep", "--kit", "kit", "--as", "json"]);
    let answer = ran.json();
    // tests/oracle/starter_marks.py made the readings from these.
    for (lens, truth) in [(0, 0.015), (1, 0.025), (2, 0.035)] {
        let lens = &answer["lenses"][lens];
        let off = (mm(&lens["image_plane_error_mm"]) - truth).abs();
        assert!(off <= 2.0 * mm(&lens["standard_error_mm"]), "{lens}");
    }
    let text = markwright_in(folder.path(), &["prep", "--kit", "kit"]);
    assert_eq!(text.code, 0, "{}", text.err);
    assert!(text.out.contains("too far from the lens"));
    let csv = markwright_in(folder.path(), &["prep", "--kit", "kit", "--as", "csv"]);
    let mut lines = csv.out.lines().map(|line| line.split(',').count());
    let width = lines.next().unwrap();
    assert_eq!(lines.filter(|&cells| cells == width).count(), 3);
}

#[test]
fn the_contract_holds_and_points_keep_the_order_of_the_file() {
    let rows = format!(
        "{HEAD}{}",
        rows_of("50", 50.0, 0.03, &[3000.0, 700.0, 2000.0, 1200.0])
    );
    let answer = in_json(KIT, &lens("50", 50, "0.6m"), &rows);
    let camera = &answer["camera"];
    assert!(camera["image_plane_error_mm"].is_null() && camera["standard_error_mm"].is_null());
    assert_eq!(camera["verdict"], "undecided", "never on one lens");
    let lens = &answer["lenses"][0];
    assert_eq!(lens["id"], "50");
    assert!(lens["own_error_mm"].is_null() && lens["own_standard_error_mm"].is_null());
    assert_eq!(lens["degrees_of_freedom"], 3);
    assert!(mm(&lens["chi_square"]) < 1e-3);
    let taped: Vec<f64> = lens["points"]
        .as_array()
        .unwrap()
        .iter()
        .map(|point| {
            assert!(point["reading_deg"].is_null() && point["suspect"] == false);
            assert!(mm(&point["reading_mm"]) > 0.0 && mm(&point["residual_deg"]).abs() < 0.01);
            mm(&point["taped_mm"])
        })
        .collect();
    assert_eq!(taped, [3000.0, 700.0, 2000.0, 1200.0]);
    // f/2.8 and 0.025 mm: half the depth of focus is N c.
    assert!((mm(&lens["tolerated_error_mm"]) - 0.07).abs() < 1e-12);
    assert!(answer["assumptions"].as_array().unwrap().len() > 1);
}

#[test]
fn marks_really_focus_where_the_printed_tables_say() {
    // Image plane 0.02 mm too far, thin lenses: where 1, 2, 5, 10 m and infinity
    // really focus, m, worked out apart from this program to the digits shown.
    let tables = [
        (25, "0.3m", [0.972, 1.886, 4.323, 7.597, 31.3]),
        (50, "0.6m", [0.994, 1.972, 4.815, 9.274, 125.0]),
        (100, "1m", [0.999, 1.994, 4.954, 9.812, 500.0]),
    ];
    for (focal, close, expected) in tables {
        let rows = format!("{HEAD}{}", rows_of("x", f64::from(focal), 0.02, &FAR));
        let answer = in_json(KIT, &lens("x", focal, close), &rows);
        let marks = answer["lenses"][0]["marks"].as_array().unwrap();
        let at = |mark: Value| {
            let found = marks.iter().find(|told| told["mark_mm"] == mark);
            mm(&found.unwrap_or_else(|| panic!("{mark}"))["real_focus_mm"]) / 1000.0
        };
        let found = [1000.0, 2000.0, f64::NAN, 10_000.0].map(|mark| {
            if mark.is_nan() {
                f64::NAN
            } else {
                at(mark.into())
            }
        });
        for (found, expected) in found.into_iter().zip(expected) {
            assert!(
                found.is_nan() || (found - expected).abs() < 0.0011,
                "{focal}: {found}"
            );
        }
        let infinity = at("infinity".into());
        assert!(
            (infinity / expected[4] - 1.0).abs() < 0.003,
            "{focal}: {infinity}"
        );
        // The blur is the same for all, error over working f-number.
        let blur = mm(&marks[0]["blur_mm"]);
        assert!((blur - 0.02 / 2.8).abs() < 1e-6, "{blur}");
        assert_eq!(marks[0]["shows"], false);
        assert!(marks[0]["no_longer_shows_at"].is_null(), "not even at f/2");
    }
}

#[test]
fn an_error_shows_from_the_stop_on_that_it_makes_a_circle_at() {
    let rows = format!("{HEAD}{}", rows_of("50", 50.0, 0.09, &FAR));
    let answer = in_json(KIT, &lens("50", 50, "0.6m"), &rows);
    let told = &answer["lenses"][0]["marks"][0];
    // 0.09 mm over 0.025 mm: the blur is a circle at f/3.6, and wider it shows.
    assert!((mm(&told["shows_wider_than"]) - 3.6).abs() < 0.01, "{told}");
    assert_eq!(
        (&told["shows"], &told["no_longer_shows_at"]),
        (&true.into(), &"f/4".into())
    );
    let lens = &answer["lenses"][0];
    assert_eq!(lens["verdict"], "shifted");
}

#[test]
fn a_hook_beside_the_axis_reads_as_an_image_plane_error_until_it_is_known() {
    // 80 mm beside the axis, a chart 0.6 m away along it.
    let taped = libm::sqrt(600.0 * 600.0 + 80.0 * 80.0);
    let rows = format!("{HEAD}50,f/2,{taped}mm,600mm\n");
    let lenses = lens("50", 50, "0.6m");
    let error = |kit: &str| mm(&in_json(kit, &lenses, &rows)["lenses"][0]["image_plane_error_mm"]);
    assert!((error(KIT) + 0.054).abs() < 0.0005, "{}", error(KIT));
    let hooked = KIT.replace("extraction", "").replace(
        "format = \"s35-3perf\"\n",
        "format = \"s35-3perf\"\nhook_offset_mm = 80\n",
    );
    assert!(error(&hooked).abs() < 1e-6, "{}", error(&hooked));
}

#[test]
fn a_misreading_is_named_and_set_aside() {
    let rows = format!(
        "{HEAD}{}50,f/2,2500mm,3.1m\n",
        rows_of("50", 50.0, 0.0, &FAR)
    );
    let ran = prep(KIT, &lens("50", 50, "0.6m"), &rows, &["--as", "json"]);
    let answer = ran.json();
    let lens = &answer["lenses"][0];
    let suspects: Vec<bool> = lens["points"]
        .as_array()
        .unwrap()
        .iter()
        .map(|point| point["suspect"] == true)
        .collect();
    assert_eq!(suspects, [false, false, false, false, false, true]);
    assert_eq!(lens["verdict"], "true_scale");
    assert!(mm(&lens["image_plane_error_mm"]).abs() < 1e-4);
}

#[test]
fn what_too_few_readings_leave_open_is_undecided_with_the_reading_that_settles_it() {
    let lenses = lens("50", 50, "0.6m");
    let settle = |rows: &str| {
        let answer = in_json(KIT, &lenses, &format!("{HEAD}{rows}"));
        let lens = answer["lenses"][0].clone();
        assert_eq!(lens["verdict"], "undecided", "{lens}");
        lens["settle"].clone()
    };
    let few = settle(&rows_of("50", 50.0, 0.0, &[2000.0, 3000.0]));
    assert!(
        mm(&few["taped_mm"]) >= 1000.0 && few["stop"] == "f/2",
        "{few}"
    );
    let one_distance = settle(&rows_of("50", 50.0, 0.0, &[2000.0, 2000.0, 2000.0, 2000.0]));
    assert!((mm(&one_distance["taped_mm"]) - 2000.0).abs() > 100.0);
    // So loose that nothing is seen: not true, undecided.
    let loose = "lens,stop,taped,reading,reading_sd_deg\n";
    let rows = rows_of("50", 50.0, 0.0, &FAR).replace("mm\n", "mm,5\n");
    let answer = in_json(KIT, &lenses, &format!("{loose}{rows}"));
    let lens = &answer["lenses"][0];
    assert_eq!(lens["verdict"], "undecided");
    assert!(mm(&lens["settle"]["readings"]) >= 1.0);
}

#[test]
fn a_body_is_judged_on_neither_one_lens_nor_close_readings() {
    let lenses = format!("{}{}", lens("50", 50, "0.6m"), lens("25", 25, "0.3m"));
    let of = |distances: &[f64]| {
        let rows = [("50", 50.0), ("25", 25.0)].map(|(id, f)| rows_of(id, f, 0.09, distances));
        in_json(KIT, &lenses, &format!("{HEAD}{}", rows.concat()))["camera"].clone()
    };
    let close = of(&[650.0, 700.0, 800.0, 900.0]);
    assert!(close["image_plane_error_mm"].is_null() && close["verdict"] == "undecided");
    assert!(close["settle"].as_str().unwrap().contains("1 m"));
    let far = of(&FAR);
    assert!(
        (mm(&far["image_plane_error_mm"]) - 0.09).abs() < 0.002,
        "{far}"
    );
    assert_eq!(far["verdict"], "off");
}

#[test]
fn what_is_off_goes_to_a_technician_and_nobody_is_told_to_set_it() {
    let lenses = format!("{}{}", lens("50", 50, "0.6m"), lens("25", 25, "0.3m"));
    let rows = [("50", 50.0), ("25", 25.0)].map(|(id, f)| rows_of(id, f, -0.12, &FAR));
    let rows = format!("{HEAD}{}", rows.concat());
    let text = prep(KIT, &lenses, &rows, &[]).out.to_lowercase();
    assert!(text.contains("rental house's technician"), "{text}");
    assert!(text.contains("too near the lens"), "{text}");
    for word in ["shim", "unscrew", "adjust"] {
        assert!(!text.contains(word), "{word}: {text}");
    }
    // 0.005 mm at best.
    assert!(text.contains("0.120 mm ±"), "{text}");
}

#[test]
fn every_step_can_be_done_again_from_the_answer() {
    let hooked = KIT.replace(
        "format = \"s35-3perf\"\n",
        "format = \"s35-3perf\"\nhook_offset_mm = 80\n",
    );
    let lenses = format!("{}{}", lens("50", 50, "0.6m"), lens("25", 25, "0.3m"));
    let mut rows = [("50", 50.0), ("25", 25.0)]
        .map(|(id, f)| rows_of(id, f, 0.02, &FAR))
        .concat();
    // Several settings, infinity, and a misreading.
    rows.push_str("50,f/2,2200mm,2.21m 2.22m 2.2m\n50,f/2,inf,inf\n50,f/2,2500mm,3.2m\n");
    for only in [&[][..], &["--lens", "50"][..], &["--lens", "25"][..]] {
        let args = [&["--explain", "--as", "json"], only].concat();
        let answer = prep(&hooked, &lenses, &format!("{HEAD}{rows}"), &args).json();
        let symbols = assert_steps_hold(&answer, &[]);
        for symbol in ["tau", "sd", "delta", "se"] {
            assert!(
                symbols.contains(&symbol.to_owned()),
                "{symbol}: {symbols:?}"
            );
        }
    }
}

#[test]
fn two_cameras_are_told_apart() {
    let kit = KIT.replace("[recording]", "[camera.A]").replace(
        "[sharpness]\ncircle = \"0.025 mm\"\nworking_stop = \"f/2.8\"\n",
        "[camera.A.sharpness]\ncircle = \"0.025 mm\"\nworking_stop = \"f/2.8\"\n\
         [camera.B]\nformat = \"s35-3perf\"\n[camera.B.sharpness]\ncircle = \"0.025 mm\"\n",
    );
    let lenses = format!("{}{}", lens("50", 50, "0.6m"), lens("25", 25, "0.3m"));
    let mut rows = String::from("lens,stop,taped,reading,camera\n");
    for (camera, delta) in [("A", 0.01), ("B", 0.05)] {
        for (id, focal) in [("50", 50.0), ("25", 25.0)] {
            let own = rows_of(id, focal, delta, &FAR);
            rows.push_str(&own.replace("mm\n", &format!("mm,{camera}\n")));
        }
    }
    let answer = in_json(&kit, &lenses, &rows);
    assert_eq!(answer["camera"]["name"], "A");
    assert_eq!(answer["other_cameras"][0]["camera"]["name"], "B");
    let pair = &answer["between_cameras"][0];
    assert!((mm(&pair["difference_mm"]) + 0.04).abs() < 1e-3, "{pair}");
    let b = prep(&kit, &lenses, &rows, &["--camera", "B", "--as", "json"]).json();
    assert!((mm(&b["camera"]["image_plane_error_mm"]) - 0.05).abs() < 2e-3);
}

#[test]
fn focus_that_moves_with_the_stop_is_said() {
    let open = rows_of("50", 50.0, 0.0, &FAR);
    let closed = rows_of("50", 50.0, 0.08, &FAR).replace(",f/2,", ",f/5.6,");
    let rows = format!("{HEAD}{open}{closed}");
    let answer = in_json(KIT, &lens("50", 50, "0.6m"), &rows);
    let lens = &answer["lenses"][0];
    assert_eq!(lens["verdict"], "moves_with_stop");
    let at = lens["by_stop"].as_array().unwrap();
    assert_eq!(
        (&at[0]["stop"], &at[1]["stop"]),
        (&"f/2".into(), &"f/5.6".into())
    );
    assert!((mm(&at[1]["image_plane_error_mm"]) - 0.08).abs() < 1e-3);
}

#[test]
fn what_cannot_be_is_told_with_its_place() {
    let lenses = lens("50", 50, "0.6m");
    let good = rows_of("50", 50.0, 0.0, &FAR);
    let told = |rows: &str, args: &[&str]| {
        prep(KIT, &lenses, rows, &[&["--as", "json"], args].concat()).error()
    };
    let off = told(&format!("{HEAD}{good}50,f/2,3m,0.25m\n"), &[]);
    assert_eq!(
        (&off["kind"], &off["place"]["line"]),
        (&"outside_marks".into(), &7.into())
    );
    let turn = told("lens,stop,taped,reading_deg\n50,f/2,3m,700\n", &[]);
    assert_eq!(turn["kind"], "outside_marks");
    let near = told(&format!("{HEAD}50,f/2,0.21m,0.6m\n"), &[]);
    assert_eq!(
        (&near["kind"], &near["place"]["key"]),
        (&"inside_close_focus".into(), &"taped".into())
    );
    assert_eq!(told(HEAD, &[])["kind"], "missing");
    assert_eq!(
        told(&format!("{HEAD}{good}"), &["--lens", "51"])["kind"],
        "unknown_id"
    );
    assert_eq!(
        told(&format!("{HEAD}{good}"), &["--camera", "C"])["kind"],
        "unknown_id"
    );
    let two = format!("{lenses}{}", lens("75", 75, "0.9m"));
    let unread = prep(
        KIT,
        &two,
        &format!("{HEAD}{good}"),
        &["--lens", "75", "--as", "json"],
    );
    assert_eq!(unread.error()["kind"], "missing");
    let nowhere = crate::run::in_json(&["prep"]);
    assert_eq!(nowhere.error()["kind"], "missing");
}

#[test]
fn marks_that_turn_back_are_refused_before_anything_is_concluded() {
    let folder = tempfile::tempdir().unwrap();
    let rows = format!("{HEAD}{}", rows_of("50", 50.0, 0.0, &FAR));
    write(folder.path(), KIT, &lens("50", 50, "0.6m"), &rows);
    fs::create_dir(folder.path().join("marks")).unwrap();
    let marks = "distance,position_deg,kind\ninf,0,engraved\n3m,60,engraved\n2m,50,engraved\n1m,150,engraved\n";
    fs::write(folder.path().join("marks/50.csv"), marks).unwrap();
    let ran = markwright_in(folder.path(), &["prep", "--as", "json"]);
    assert_eq!(ran.error()["kind"], "out_of_order");
}
