//! Attachments, lenses that breathe or squeeze, zooms: what the command says.
//! Figures without a source beside them are those of tests/oracle/kinds.py.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::run::{in_json, markwright, markwright_in};

const LENS: [&str; 7] = [
    "depth", "--focal", "50mm", "--stop", "f/2.8", "--circle", "0.025mm",
];

fn depth(args: &[&str]) -> Value {
    in_json(&[&LENS[..], args].concat()).json()
}

fn refused(args: &[&str]) -> Value {
    in_json(&[&LENS[..], args].concat()).error()
}

fn near(value: &Value, expected: f64, tolerance: f64) {
    let value = value
        .as_f64()
        .unwrap_or_else(|| panic!("no number: {value}"));
    assert!(
        (value - expected).abs() <= tolerance,
        "{value} against {expected}"
    );
}

fn kinds(answer: &Value) -> Vec<&str> {
    let notes = answer["assumptions"].as_array().unwrap().iter();
    notes.map(|note| note["kind"].as_str().unwrap()).collect()
}

#[test]
fn a_close_up_lens_is_answered_from_both_planes() {
    let answer = depth(&["--mark", "inf,2m", "--close-up", "+2@90mm"]);
    let row = &answer["rows"][0];
    assert_eq!(row["mark_mm"], "infinity");
    near(&row["focus_mm"], 590.0, 1e-9);
    near(&row["near_mm"], 583.089_014, 1e-6);
    near(&row["far_mm"], 597.091_336, 1e-6);
    // 1/P from the close-up lens, which stands 90 mm before the image plane.
    near(&row["from_close_up"]["focus_mm"], 500.0, 1e-9);
    near(&row["from_close_up"]["near_mm"], 493.089_014, 1e-6);
    near(&row["from_close_up"]["far_mm"], 507.091_336, 1e-6);
    let row = &answer["rows"][1];
    near(&row["mark_mm"], 2000.0, 0.0);
    near(&row["focus_mm"], 486.265_56, 1e-5);
    near(&row["magnification"], 0.126_930_068, 1e-9);
    near(&row["entrance_pupil_mm"], 48.072_949, 1e-6);
    assert!(kinds(&answer).contains(&"scale_void"));
    assert_eq!(answer["hyperfocal_mm"], Value::Null);
    assert!(kinds(&answer).contains(&"no_hyperfocal"));
    assert_eq!(answer["fitted"]["front"][0]["dioptres"], 2.0);
    // Nothing of all this without one.
    let plain = depth(&["--at", "2m"]);
    assert!(plain.get("fitted").is_none());
    assert!(plain["rows"][0].get("from_close_up").is_none());
}

#[test]
fn a_split_close_up_lens_has_two_ranges() {
    let answer = depth(&["--mark", "inf,2m", "--split-close-up", "+2@90mm"]);
    let rows = answer["rows"].as_array().unwrap();
    near(&rows[0]["focus_mm"], 590.0, 1e-9);
    assert_eq!(rows[0]["bare_half"]["focus_mm"], "infinity");
    // f²/(N c) from the pupil, 50 mm before the image plane.
    near(&rows[0]["bare_half"]["near_mm"], 2500.0 / 0.07 + 50.0, 1e-6);
    near(&rows[1]["bare_half"]["focus_mm"], 2000.0, 1e-6);
    near(&rows[1]["bare_half"]["near_mm"], 1901.63147, 1e-5);
    near(&rows[1]["bare_half"]["far_mm"], 2109.41495, 1e-5);
    let text = markwright(&[&LENS[..], &["--mark", "inf", "--split-close-up", "+2@90mm"]].concat());
    assert!(text.out.contains("over half the frame"), "{}", text.out);
    assert!(text.out.contains("left bare"), "{}", text.out);
    let both = refused(&[
        "--close-up",
        "+1@90mm",
        "--split-close-up",
        "+2@90mm",
        "--at",
        "1m",
    ]);
    assert_eq!(both["kind"], "usage");
}

#[test]
fn what_is_behind_the_lens_stands_as_it_was_typed() {
    let tube_first = depth(&["--mark", "inf", "--tube", "10mm", "--extender", "2+30mm"]);
    let row = &tube_first["rows"][0];
    near(&row["focus_mm"], 390.0, 1e-9);
    near(&row["near_mm"], 388.953_662, 1e-6);
    near(&row["magnification"], 0.4, 1e-12);
    near(&row["working_f_number"], 6.72, 1e-12);
    let tube_last = depth(&["--mark", "inf", "--extender", "2+30mm", "--tube=10mm"]);
    let row = &tube_last["rows"][0];
    near(&row["focus_mm"], 1223.33333, 1e-5);
    near(&row["far_mm"], 1239.42529, 1e-5);
    near(&row["magnification"], 0.1, 1e-12);
    near(&row["working_f_number"], 6.346_666_7, 1e-7);
    let order = |answer: &Value| {
        let parts = answer["fitted"]["behind"].as_array().unwrap().clone();
        let kind = |part: &Value| part["kind"].as_str().unwrap().to_owned();
        parts.iter().map(kind).collect::<Vec<_>>()
    };
    assert_eq!(order(&tube_first), ["tube", "extender"]);
    assert_eq!(order(&tube_last), ["extender", "tube"]);
    assert!(kinds(&tube_last).contains(&"extender_thin"));
    assert!(!kinds(&tube_first).contains(&"extender_thin"));
    // Of two of a kind the first is the one nearer the lens.
    let two = depth(&[
        "--mark",
        "inf",
        "--tube",
        "5mm",
        "--extender",
        "2+30mm",
        "--tube",
        "7mm",
    ]);
    let parts = &two["fitted"]["behind"];
    assert_eq!(parts[0]["length_mm"], 5.0);
    assert_eq!(parts[2]["length_mm"], 7.0);
    let text = markwright(
        &[
            &LENS[..],
            &["--mark", "inf", "--extender", "2+30mm", "--tube", "10mm"],
        ]
        .concat(),
    );
    let named = "behind it 2× extender (+30 mm), then 10 mm tube";
    assert!(text.out.contains(named), "{}", text.out);
}

#[test]
fn focal_length_and_stops_are_those_with_the_extender() {
    let args = [
        "depth",
        "--focal",
        "50mm",
        "--stop",
        "T2.8",
        "--transmittance",
        "0.81",
        "--circle",
        "0.025mm",
        "--at",
        "inf",
        "--extender",
        "1.4+20mm",
    ];
    let answer = in_json(&args).json();
    near(&answer["focal_length_mm"], 70.0, 1e-12);
    near(&answer["t_number"], 3.92, 1e-12);
    // N = T sqrt(tau).
    near(&answer["f_number"], 2.8 * 0.9 * 1.4, 1e-12);
    near(&answer["lens_itself"]["focal_length_mm"], 50.0, 0.0);
    near(&answer["lens_itself"]["t_number"], 2.8, 0.0);
    // f²/(N c) before the pupil, for the whole: 70² / (3.528 × 0.025), and the pupil at 70 mm.
    near(
        &answer["rows"][0]["near_mm"],
        4900.0 / (3.528 * 0.025) + 70.0,
        1e-6,
    );
}

#[test]
fn what_is_beyond_reach_names_the_nearest() {
    // m = 10/50 at the infinity mark: D = f (2 + m + 1/m) = 360 mm.
    let beyond = refused(&["--at", "1m", "--tube", "10mm"]);
    assert_eq!(beyond["kind"], "beyond_infinity");
    near(&beyond["nearest"], 360.0, 1e-9);
    // The plate takes 1 (1 - 1/1.5168) mm off the image distance: marks farther than
    // m = 0.3407/50 focus nowhere.
    let m = (1.0 - 1.0 / 1.5168) / 50.0;
    let beyond = refused(&["--mark", "inf", "--rear-filter", "1mm"]);
    assert_eq!(beyond["kind"], "beyond_infinity");
    near(&beyond["nearest"], 50.0 * (2.0 + m + 1.0 / m), 1e-6);
    assert_eq!(beyond["place"]["key"], "--mark");
    // The row is all that is told of a lens that breathes.
    let inside = refused(&["--at", "0.4m", "--reproduction", "0.15@450mm"]);
    assert_eq!(inside["kind"], "inside_close_focus");
    near(&inside["nearest"], 450.0, 1e-9);
    let no_focus = in_json(&[
        "depth",
        "--focal",
        "12mm",
        "--stop",
        "f/2.8",
        "--at",
        "1m",
        "--rear-filter",
        "50mm/4",
    ])
    .error();
    assert_eq!(no_focus["kind"], "beyond_infinity");
}

#[test]
fn what_cannot_be_attached_is_refused_by_name() {
    let too_strong = refused(&["--at", "1m", "--close-up", "+20@200mm"]);
    assert_eq!(too_strong["kind"], "out_of_range");
    assert_eq!(too_strong["place"]["key"], "--close-up");
    let inside = refused(&[
        "--entrance-pupil",
        "62mm",
        "--at",
        "1m",
        "--close-up",
        "+1@60mm",
    ]);
    assert_eq!(inside["kind"], "out_of_range");
    assert!(
        inside["message"]
            .as_str()
            .unwrap()
            .contains("inside the lens")
    );
    for extender in ["2+0mm", "1.4-10mm", "0.71+8mm"] {
        // Alone it may have any length; what stands behind it needs to know its place.
        let alone = ["--at", "2m", "--extender", extender];
        assert!(
            in_json(&[&LENS[..], &alone].concat()).code == 0,
            "{extender}"
        );
        let unknown = refused(&[&alone[..], &["--tube", "2mm"]].concat());
        assert_eq!(unknown["kind"], "out_of_range", "{extender}");
        assert_eq!(unknown["place"]["key"], "--extender", "{extender}");
    }
    for (args, kind) in [
        (["--extender", "1.4"], "usage"),
        (["--extender", "9+10mm"], "out_of_range"),
        (["--tube", "-3mm"], "not_positive"),
        (["--tube", "10"], "bare_number"),
        (["--rear-filter", "1mm/0.5"], "out_of_range"),
        (["--close-up", "0@90mm"], "not_positive"),
        (["--close-up", "+2"], "usage"),
        (["--squeeze", "4"], "out_of_range"),
        (["--reproduction", "0.15"], "usage"),
        (["--reproduction", "0.9@450mm"], "out_of_range"),
        (["--reproduction", "0.05@450mm,0.1@900mm"], "out_of_order"),
        (["--anamorph", "rear"], "usage"),
    ] {
        let at = [&["--at", "3m"][..], &args].concat();
        assert_eq!(refused(&at)["kind"], kind, "{args:?}");
    }
}

#[test]
fn a_lens_that_squeezes_has_both_meridians() {
    let lens = [
        "depth",
        "--focal",
        "100mm",
        "--stop",
        "f/2.8",
        "--circle",
        "0.025mm",
        "--at",
        "3m",
        "--squeeze",
        "2",
    ];
    let answer = in_json(&lens).json();
    let row = &answer["rows"][0];
    near(&row["near_mm"], 2944.39113, 1e-5);
    near(&row["far_mm"], 3057.82942, 1e-5);
    near(&row["horizontal_near_mm"], 2789.67852, 1e-5);
    near(&row["horizontal_far_mm"], 3246.05576, 1e-5);
    assert!(kinds(&answer).contains(&"vertical_meridian"));
    let screen = in_json(&[&lens[..], &["--circle-on", "screen"]].concat()).json();
    near(&screen["rows"][0]["horizontal_near_mm"], 2890.87733, 1e-5);
    near(&screen["rows"][0]["near_mm"], 2944.39113, 1e-5);
    // A rear one that is round on the screen is as deep either way, and says so.
    let rear = ["--anamorph", "rear", "--circle-on", "screen"];
    let rear = in_json(&[&lens[..], &rear].concat()).json();
    let row = &rear["rows"][0];
    near(
        &row["horizontal_near_mm"],
        row["near_mm"].as_f64().unwrap(),
        1e-9,
    );
    assert!(rear["assumptions"].to_string().contains("holds as long"));
    let text = markwright(&lens);
    assert!(text.out.contains("side to side\n"), "{}", text.out);
    assert!(
        text.out.contains("side-to-side detail holds longer"),
        "{}",
        text.out
    );
    let csv = markwright(&[&lens[..], &["--as", "csv"]].concat());
    assert!(
        csv.out.starts_with("focus_mm,near_mm,far_mm,"),
        "{}",
        csv.out
    );
    assert!(
        csv.out.contains("horizontal_near_mm,horizontal_far_mm"),
        "{}",
        csv.out
    );
}

#[test]
fn a_lens_that_breathes_says_that_it_is_a_model_and_how_good() {
    let answer = depth(&["--at", "1m,inf", "--reproduction", "0.15@450mm"]);
    near(&answer["rows"][0]["near_mm"], 976.993_666, 1e-6);
    near(&answer["rows"][0]["far_mm"], 1024.18154, 1e-5);
    near(&answer["rows"][0]["magnification"], 0.056_214_084_8, 1e-9);
    near(&answer["rows"][1]["magnification"], 0.0, 0.0);
    let notes = answer["assumptions"].to_string();
    assert!(
        notes.contains("breathing_model") && notes.contains("one row"),
        "{notes}"
    );
    assert_eq!(answer["fitted"]["breathing"][0]["magnification"], 0.15);
    let macro_range = refused(&["--at", "1m", "--macro", "--reproduction", "0.15@450mm"]);
    assert_eq!(macro_range["kind"], "usage");
}

#[test]
fn ring_positions_are_refused_where_the_scale_is_void() {
    let ring = in_json(&[
        "ring", "--focal", "50mm", "--stop", "f/2", "--gain", "30deg/mm", "--at", "2m", "--tube",
        "10mm",
    ]);
    assert_eq!(ring.error()["kind"], "usage");
}

const KIT: &str = "title = \"T\"\nunits = \"metres\"\n[recording]\nformat = \"s35-4perf\"\n\
                   [sharpness]\ncircle = \"0.025 mm\"\n";
const LENSES: &str = "\
id,focal_mm,t_number,close_focus,hiatus_mm,pupil_magnification,squeeze,anamorph,card_focals,rear_filter_mm
P,50,2,0.6m,-5,1.1,,,,0.5
A,100,2.8,1m,0,1,2,rear,,
Z,25..250,2.8,1.2m,,,,,25 50 100 250,
B,50,2,0.45m,0,1,,,,
";

fn kit(folder: &Path) {
    fs::write(folder.join("kit.toml"), KIT).unwrap();
    fs::write(folder.join("lenses.csv"), LENSES).unwrap();
    fs::create_dir(folder.join("zoom")).unwrap();
    let rows = "focal_mm,hiatus_mm,pupil_magnification,t_number\n50,40,1.3,2.8\n100,5,1.1,3.1\n";
    fs::write(folder.join("zoom/Z.csv"), rows).unwrap();
    fs::create_dir(folder.join("breathing")).unwrap();
    let rows = "distance,magnification\n450mm,0.15\n";
    fs::write(folder.join("breathing/B.csv"), rows).unwrap();
}

#[test]
fn a_lens_of_the_kit_squeezes_breathes_and_stops_where_its_ring_does() {
    let folder = tempfile::tempdir().unwrap();
    kit(folder.path());
    let asked =
        |args: &[&str]| markwright_in(folder.path(), &[&["depth", "--as", "json"], args].concat());
    let squeezed = asked(&["--lens", "A", "--stop", "f/2.8", "--at", "3m"]).json();
    let row = &squeezed["rows"][0];
    near(&row["near_mm"], 2944.39113, 1e-5);
    // A rear one: the circle is S times as much of the squeezed meridian's, not S².
    near(&row["horizontal_near_mm"], 2890.87733, 1e-5);
    let breathing = asked(&["--lens", "B", "--stop", "f/2.8", "--at", "1m"]).json();
    near(&breathing["rows"][0]["near_mm"], 976.993_666, 1e-6);
    // P goes to 0.6 m; with a close-up lens it still ends there on its own ring.
    let attached = ["--lens", "P", "--stop", "f/2.8", "--close-up", "+1@100mm"];
    let end = asked(&[&attached[..], &["--mark", "0.6m"]].concat()).json();
    let end = end["rows"][0]["focus_mm"].as_f64().unwrap();
    let inside = asked(&[&attached[..], &["--at", "0.3m"]].concat()).error();
    assert_eq!(inside["kind"], "inside_close_focus");
    near(&inside["nearest"], end, 1e-9);
    let at_end = format!("{end}mm");
    assert_eq!(asked(&[&attached[..], &["--at", &at_end]].concat()).code, 0);
    let mark = asked(&[&attached[..], &["--mark", "0.5m"]].concat()).error();
    assert_eq!(mark["kind"], "inside_close_focus");
    near(&mark["nearest"], 600.0, 0.0);
    // Its filter is said, and not counted; the one that was typed is.
    let bare = asked(&["--lens", "P", "--stop", "f/2.8", "--at", "2m"]).json();
    assert!(kinds(&bare).contains(&"rear_filter"));
    assert!(bare.get("fitted").is_none());
    let typed = [
        "--lens",
        "P",
        "--stop",
        "f/2.8",
        "--at",
        "2m",
        "--rear-filter",
        "1mm",
    ];
    let typed = asked(&typed).json();
    assert_eq!(typed["fitted"]["behind"].as_array().unwrap().len(), 1);
    let notes = typed["assumptions"].to_string();
    assert!(notes.contains("the kit's own filter"), "{notes}");
}

#[test]
fn a_zoom_stands_where_it_is_told_to() {
    let folder = tempfile::tempdir().unwrap();
    kit(folder.path());
    let asked = |args: &[&str]| {
        markwright_in(
            folder.path(),
            &[&["depth", "--as", "json", "--at", "5m"], args].concat(),
        )
    };
    let at = asked(&["--lens", "Z", "--focal", "100mm"]).json();
    near(&at["focal_length_mm"], 100.0, 0.0);
    near(&at["hiatus_mm"], 5.0, 0.0);
    near(&at["t_number"], 3.1, 0.0);
    // Between two rows a monotone cubic is the straight line.
    let between = asked(&["--lens", "Z", "--focal", "75mm"]).json();
    near(&between["hiatus_mm"], 22.5, 1e-12);
    near(&between["pupil_magnification"], 1.2, 1e-12);
    near(&between["t_number"], 2.95, 1e-12);
    assert!(kinds(&between).contains(&"zoom_between"));
    let beyond = asked(&["--lens", "Z", "--focal", "200mm"]).json();
    assert!(kinds(&beyond).contains(&"pupils_unknown"));
    let longest = asked(&["--lens", "Z"]).json();
    near(&longest["focal_length_mm"], 250.0, 0.0);
    assert!(kinds(&longest).contains(&"zoom_longest"));
    let outside = asked(&["--lens", "Z", "--focal", "300mm"]).error();
    assert_eq!(outside["kind"], "out_of_range");
    assert_eq!(outside["place"]["key"], "--focal");
    near(&outside["nearest"], 250.0, 0.0);
    let prime = asked(&["--lens", "P", "--focal", "75mm"]).error();
    assert_eq!(prime["kind"], "usage");
    assert!(prime["message"].as_str().unwrap().contains("50 mm"));
    assert_eq!(asked(&["--lens", "P", "--focal", "50mm"]).code, 0);
    let nonsense = asked(&["--lens", "Z", "--focal", "wide"]).error();
    assert_eq!(nonsense["place"]["key"], "--focal");
}

#[test]
fn a_zoom_has_a_card_for_each_of_its_card_focals() {
    let folder = tempfile::tempdir().unwrap();
    kit(folder.path());
    let printed = |args: &[&str]| {
        let args = [&["print", "--as", "json", "--replace"], args].concat();
        markwright_in(folder.path(), &args).json()
    };
    let count = |answer: &Value| answer["sheets"].as_array().unwrap().len();
    let cards = printed(&["cards", "--lens", "Z"]);
    assert_eq!(count(&cards), 4);
    let codes: std::collections::BTreeSet<String> = cards["sheets"]
        .as_array()
        .unwrap()
        .iter()
        .map(|sheet| sheet["code"].as_str().unwrap().to_owned())
        .collect();
    assert_eq!(codes.len(), 4, "each is another card");
    assert!(!cards["assumptions"].to_string().contains("zoom_longest"));
    assert_eq!(
        count(&printed(&["cards", "--lens", "Z", "--focal", "75mm"])),
        1
    );
    assert_eq!(count(&printed(&["cards"])), 7);
    // A plot is of the lens as it stands.
    let plots = printed(&["plots", "cards", "--lens", "Z"]);
    assert_eq!(count(&plots), 2 + 4);
}
