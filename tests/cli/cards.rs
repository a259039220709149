//! The other cards of a set: figures as the answers have them, places on scales
//! as a simulated bench has them, and what is refused.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::corrected::{LENSES, bench, gain, turn};
use crate::run::{markwright, markwright_in};

/// The words of the pages a command printed as drawings.
fn words(folder: &Path, args: &[&str], name: &str) -> Vec<String> {
    let all = [
        args,
        &[
            "--to",
            "svg",
            "--paper",
            "a5",
            "--out",
            "svg",
            "--replace",
            "-q",
        ],
    ]
    .concat();
    let ran = markwright_in(folder, &all);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let mut words = Vec::new();
    for page in 1.. {
        let file = folder.join(format!("svg/{name}-{page:02}.svg"));
        let Ok(text) = fs::read_to_string(file) else {
            break;
        };
        let runs = text.split("<text ").skip(1);
        let runs = runs.filter_map(|run| run.split_once('>')?.1.split_once("</text>"));
        words.extend(runs.map(|(words, _)| words.to_owned()));
    }
    fs::remove_dir_all(folder.join("svg")).unwrap();
    words
}

fn mm(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("no number: {value}"))
}

/// Metres as a card has them, in mm.
fn metres(text: &str) -> f64 {
    text.trim_start_matches('≈')
        .parse::<f64>()
        .unwrap_or_else(|_| panic!("no metres: {text}"))
        * 1000.0
}

/// The words that follow a focal length on a card, up to the next.
fn row<'a>(words: &'a [String], focal: &str) -> &'a [String] {
    let at = words
        .iter()
        .position(|word| word == focal)
        .unwrap_or_else(|| panic!("{focal} in {words:?}"));
    let rest = &words[at + 1..];
    let ends = |word: &String| LENSES.iter().any(|lens| lens.0.to_string() == *word);
    let end = rest.iter().position(ends).unwrap_or(rest.len());
    &rest[..end]
}

const STOPS: [&str; 5] = ["f/2", "f/2.8", "f/4", "f/5.6", "f/8"];

#[test]
fn hyperfocal_figures_are_those_of_depth_rounded_up() {
    let folder = tempfile::tempdir().unwrap();
    bench(folder.path(), &[("A", 0.0)], "engraved", "20,both");
    fs::remove_file(folder.path().join("prep.csv")).unwrap();
    let words = words(folder.path(), &["print", "hyperfocals"], "hyperfocals");
    assert!(
        words.iter().any(|word| word == "camera not tested"),
        "{words:?}"
    );
    assert!(
        words.iter().any(|word| word.contains("not by the scale")),
        "{words:?}"
    );
    for (focal, ..) in LENSES {
        let id = focal.to_string();
        let row = row(&words, &id);
        // No scale is trusted: two figures a stop, and nothing of a place.
        let shown: Vec<f64> = row[..10].iter().map(|text| metres(text)).collect();
        for (stop, pair) in STOPS.iter().zip(shown.chunks(2)) {
            let ask = ["depth", "--lens", &id, "--stop", stop, "--as", "json"];
            let exact = mm(&markwright_in(folder.path(), &ask).json()["hyperfocal_mm"]);
            // Up to 2 cm, or 1 m beyond 30 m.
            let step = if exact > 30_000.0 { 1000.0 } else { 20.0 };
            assert!(
                pair[0] >= exact - 1e-6 && pair[0] < exact + step,
                "{id} {stop}: {pair:?} {exact}"
            );
            let at = format!("{}mm", pair[0]);
            let ask = [&ask[..], &["--at", &at]].concat();
            let there = &markwright_in(folder.path(), &ask).json()["rows"][0];
            let near = mm(&there["near_mm"]);
            assert!(
                pair[1] >= near - 1e-6 && pair[1] < near + step,
                "{id} {stop}: {pair:?} {near}"
            );
            assert_eq!(there["far_mm"], "infinity");
        }
        assert!(
            !row.iter().any(|word| word.contains('–') && word.len() > 3),
            "{row:?}"
        );
    }
}

/// What part of the way is written.
fn part(sign: &str) -> f64 {
    let signs = [
        ("⅛", 0.125),
        ("¼", 0.25),
        ("⅓", 1.0 / 3.0),
        ("⅜", 0.375),
        ("½", 0.5),
        ("⅝", 0.625),
        ("⅔", 2.0 / 3.0),
        ("¾", 0.75),
        ("⅞", 0.875),
    ];
    signs
        .iter()
        .find(|(known, _)| *known == sign)
        .unwrap_or_else(|| panic!("{sign}"))
        .1
}

/// Checks the places on the scales of a bench whose image plane is off by `delta`;
/// how many there were.
fn assert_places(folder: &Path, delta: f64) -> usize {
    let words = words(
        folder,
        &["print", "hyperfocals", "--camera", "A"],
        "hyperfocals",
    );
    let mut count = 0;
    for lens @ (focal, ..) in LENSES {
        let row = row(&words, &focal.to_string());
        let places = row.iter().filter_map(|word| {
            let (from, rest) = word.split_once('–')?;
            let (to, sign) = rest.split_once(' ')?;
            // Not the example at the foot.
            (sign.chars().count() == 1).then_some(())?;
            Some((from.parse::<f64>().ok()?, to, sign))
        });
        let shown: Vec<f64> = row
            .iter()
            .filter_map(|word| word.parse::<f64>().ok())
            .collect();
        for (from, to, sign) in places {
            // Degrees from infinity: theta = G f m, which on a ring whose image plane
            // is off by delta stand G delta nearer to infinity.
            let of = |metres: f64| turn(lens, metres * 1000.0);
            let far = if to == "∞" {
                0.0
            } else {
                of(to.parse().unwrap())
            };
            let set = of(from) - (of(from) - far) * part(sign);
            let focused = set + gain(lens) * delta;
            // It is no nearer than a hyperfocal distance of the row, and by less than
            // a sixth of the way farther.
            let fits = shown.iter().filter(|metres| {
                let wanted = of(**metres);
                focused <= wanted + 1e-2 && wanted - focused < (of(from) - far) * 0.17
            });
            assert!(fits.count() >= 1, "{focal}: {from} {to} {sign} in {row:?}");
            count += 1;
        }
    }
    count
}

#[test]
fn places_on_a_true_camera_are_those_of_a_helicoid_rounded_toward_infinity() {
    let folder = tempfile::tempdir().unwrap();
    bench(folder.path(), &[("A", 0.0)], "engraved", "20,both");
    let words = words(
        folder.path(),
        &["print", "hyperfocals", "--camera", "A"],
        "hyperfocals",
    );
    assert!(words.iter().any(|word| word == "camera true"), "{words:?}");
    assert!(assert_places(folder.path(), 0.0) >= 12);
}

#[test]
fn places_on_a_camera_that_is_off_are_those_of_the_corrected_law() {
    let folder = tempfile::tempdir().unwrap();
    bench(folder.path(), &[("A", -0.08)], "engraved", "20,both");
    let words = words(
        folder.path(),
        &["print", "hyperfocals", "--camera", "A"],
        "hyperfocals",
    );
    assert!(words.iter().any(|word| word == "camera off"), "{words:?}");
    // Found to 0.002 mm, see above.
    assert!(assert_places(folder.path(), -0.08) >= 8);
}

#[test]
fn fields_are_those_of_field_rounded_down() {
    let folder = tempfile::tempdir().unwrap();
    bench(folder.path(), &[("A", 0.0)], "engraved", "20,both");
    let one = words(
        folder.path(),
        &["print", "fields", "--lens", "50"],
        "fields",
    );
    let at = one
        .iter()
        .position(|word| word == "3")
        .unwrap_or_else(|| panic!("{one:?}"));
    let ask = ["field", "--lens", "50", "--at", "3m", "--as", "json"];
    let answer = markwright_in(folder.path(), &ask).json();
    let exact = &answer["rows"][0];
    for (text, key) in [(&one[at + 1], "width_mm"), (&one[at + 2], "height_mm")] {
        let exact = mm(&exact[key]);
        assert!(
            metres(text) <= exact + 1e-6 && metres(text) > exact - 20.0,
            "{text} {exact}"
        );
    }
    for (text, key) in [
        (&one[at + 3], "horizontal_deg"),
        (&one[at + 4], "vertical_deg"),
    ] {
        let shown: f64 = text.trim_end_matches('°').parse().unwrap();
        let exact = mm(&exact[key]);
        assert!(shown <= exact && shown > exact - 0.1, "{text} {exact}");
    }
    // A set has a card of its own before those of its lenses.
    let ran = markwright_in(
        folder.path(),
        &["print", "fields", "--out", "o", "--as", "json"],
    )
    .json();
    let sheets = ran["sheets"].as_array().unwrap();
    assert_eq!(sheets.len(), 1 + LENSES.len());
    assert_eq!(sheets[0]["what"], "fields");
    assert!(sheets[1..].iter().all(|sheet| sheet["what"] == "field"));
}

#[test]
fn conversions_need_no_lens_and_take_a_kits_transmittances() {
    let folder = tempfile::tempdir().unwrap();
    let bare = words(folder.path(), &["print", "conversions"], "conversions");
    for text in ["f at 0.90", "f at 0.80", "f at 0.70"] {
        assert!(bare.iter().any(|word| word == text), "{text} in {bare:?}");
    }
    assert_eq!(markwright_in(folder.path(), &["new", "kit", "-q"]).code, 0);
    let own = words(
        folder.path(),
        &["print", "conversions", "--kit", "kit"],
        "conversions",
    );
    // 1.94/2.1 squared is 0.853, 1.97/2.1 squared 0.880 (lenses.csv).
    for text in ["f at 0.85", "f at 0.88"] {
        assert!(own.iter().any(|word| word == text), "{text} in {own:?}");
    }
}

#[test]
fn one_face_is_one_page_a_lens_and_layouts_are_a_folder_of_files() {
    let folder = tempfile::tempdir().unwrap();
    assert_eq!(markwright_in(folder.path(), &["new", "kit", "-q"]).code, 0);
    let print = [
        "print",
        "cards",
        "--kit",
        "kit",
        "--lens",
        "50",
        "--paper",
        "a6",
        "--as",
        "json",
        "--replace",
    ];
    let with = |more: &[&str]| markwright_in(folder.path(), &[&print[..], more].concat());
    assert_eq!(with(&[]).json()["written"][0]["pages"], 2);
    assert_eq!(with(&["--face", "table"]).json()["written"][0]["pages"], 1);
    let own = folder.path().join("own");
    fs::create_dir(&own).unwrap();
    let none = with(&["--layouts", "own"]);
    assert_eq!((none.code, &none.error()["kind"]), (2, &"missing".into()));
    // A folder with no layout and one with a slip in a name are told apart.
    fs::write(own.join("fields.toml"), "").unwrap();
    fs::write(own.join("cards.toml"), "").unwrap();
    let slip = with(&["--layouts", "own"]);
    assert_eq!(
        (slip.code, &slip.error()["kind"]),
        (2, &"unknown_id".into())
    );
    assert_eq!(slip.error()["help"], "did you mean card.toml?");
    fs::remove_file(own.join("cards.toml")).unwrap();
    fs::write(own.join("card.toml"), "lines = 3\nwords = []\n").unwrap();
    let code = |more: &[&str]| with(more).json()["sheets"][0]["code"].clone();
    assert_ne!(code(&[]), code(&["--layouts", "own"]));
    for (text, kind, says) in [
        ("linez = 3", "unknown_key", "did you mean lines?"),
        (
            "columns = [\"limit\"]",
            "unknown_key",
            "did you mean limits?",
        ),
        ("columns = []", "too_few", "limits"),
        (
            "words = [\"circle\"]",
            "unknown_key",
            "morning, gate, title, hyperfocal",
        ),
        ("margin_mm = 2", "out_of_range", ""),
        ("figure_mm = 3.9", "out_of_range", ""),
        ("lines = 2.5", "not_a_distance", "write it like 12"),
        ("lines = ", "usage", ""),
    ] {
        fs::write(own.join("card.toml"), format!("# our cards\n{text}\n")).unwrap();
        let refused = with(&["--layouts", "own"]);
        let error = refused.error();
        assert_eq!(
            (refused.code, error["kind"].as_str()),
            (2, Some(kind)),
            "{text}: {error}"
        );
        assert_eq!(
            (&error["place"]["file"], &error["place"]["line"]),
            (&"card.toml".into(), &2.into()),
            "{text}"
        );
        let help = error["help"].as_str().unwrap_or_default();
        assert!(help.contains(says), "{text}: {help}");
    }
}

#[test]
fn what_does_not_fit_and_what_is_stray_is_refused() {
    let by_hand = [
        "print",
        "cards",
        "--focal",
        "50mm",
        "--stop",
        "T2.8",
        "--close-focus",
        "2ft",
        "--format",
        "s35-3perf",
        "--as",
        "json",
    ];
    let with = |more: &[&str]| markwright(&[&by_hand[..], more].concat());
    let folder = tempfile::tempdir().unwrap();
    fs::write(
        folder.path().join("card.toml"),
        "figure_mm = 12\nlimit_mm = 12\n",
    )
    .unwrap();
    let layouts = folder.path().to_str().unwrap();
    let tall = with(&["--layouts", layouts, "--paper", "a6", "--look", "large"]);
    assert_eq!(
        (tall.code, &tall.error()["kind"]),
        (3, &"does_not_fit".into())
    );
    assert_eq!(with(&["--look", "large", "--paper", "a6"]).code, 0);
    for stray in [
        ["--face", "table"],
        ["--layouts", layouts],
        ["--orientation", "landscape"],
    ] {
        let refused = markwright(&[&["print", "ruler", "--as", "json"][..], &stray].concat());
        assert_eq!(
            (refused.code, &refused.error()["kind"]),
            (2, &"usage".into()),
            "{stray:?}"
        );
    }
    let formless = markwright(&[
        "print", "fields", "--focal", "50mm", "--stop", "T2.8", "--as", "json",
    ]);
    assert_eq!(
        (formless.code, &formless.error()["kind"]),
        (2, &"usage".into())
    );
}
