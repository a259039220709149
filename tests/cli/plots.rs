//! `print plots`: from a kit and by hand, and what is refused.

use std::fs;

use crate::run::{markwright, markwright_in};

const BY_HAND: [&str; 8] = [
    "print", "plots", "--focal", "50mm", "--stop", "f/2.8", "--circle", "0.025mm",
];

fn with(more: &[&'static str]) -> Vec<&'static str> {
    [&BY_HAND[..], more].concat()
}

#[test]
fn a_focal_length_and_a_stop_make_two_plots() {
    let folder = tempfile::tempdir().unwrap();
    let answer = markwright_in(folder.path(), &with(&["--out", "o", "--as", "json"])).json();
    let sheets = answer["sheets"].as_array().unwrap();
    assert_eq!(sheets.len(), 2);
    assert!(sheets.iter().all(|sheet| sheet["what"] == "plot"));
    assert_ne!(sheets[0]["code"], sheets[1]["code"]);
    let first = fs::read(folder.path().join("o/plots.pdf")).unwrap();
    assert!(first.starts_with(b"%PDF-1.7"));
    let again = markwright_in(folder.path(), &with(&["--out", "o", "--replace"]));
    assert_eq!(again.code, 0, "{}", again.err);
    assert_eq!(fs::read(folder.path().join("o/plots.pdf")).unwrap(), first);
    for form in ["svg", "png"] {
        let drawn = markwright_in(folder.path(), &with(&["--out", "o", "--to", form]));
        assert_eq!(drawn.code, 0, "{}", drawn.err);
        for number in ["01", "02"] {
            let file = format!("o/plots-{number}.{form}");
            assert!(folder.path().join(&file).is_file(), "{file}");
        }
    }
}

#[test]
fn a_kit_has_plots_of_all_its_lenses_or_of_one() {
    let folder = tempfile::tempdir().unwrap();
    assert_eq!(markwright_in(folder.path(), &["new", "kit"]).code, 0);
    let lenses = fs::read_to_string(folder.path().join("kit/lenses.csv")).unwrap();
    let count = lenses
        .lines()
        .filter(|line| !line.starts_with('#') && !line.trim().is_empty())
        .count()
        - 1;
    let print = [
        "print",
        "plots",
        "--kit",
        "kit",
        "--as",
        "json",
        "--replace",
    ];
    let all = markwright_in(folder.path(), &print).json();
    assert_eq!(all["sheets"].as_array().unwrap().len(), 2 * count);
    let one = [&print[..], &["--lens", "50", "--at", "6',10'"]].concat();
    let one = markwright_in(folder.path(), &one).json();
    assert_eq!(one["sheets"].as_array().unwrap().len(), 2);
    // Nearer than it goes: none of its plots, so nothing by name.
    let inside = [&print[..], &["--lens", "50", "--at", "6\""]].concat();
    let inside = markwright_in(folder.path(), &inside);
    assert_eq!(inside.code, 3, "{}", inside.err);
    assert_eq!(inside.error()["kind"], "inside_close_focus");
}

#[test]
fn options_of_plots_are_refused_without_plots_and_beyond_what_can_be_told_apart() {
    let stray = markwright(&["print", "ruler", "--at", "2m", "--as", "json"]);
    assert_eq!((stray.code, &stray.error()["kind"]), (2, &"usage".into()));
    let many = markwright(&with(&["--at", "1m,2m,3m,4m,5m,6m,7m", "--as", "json"]));
    assert_eq!((many.code, &many.error()["kind"]), (2, &"too_large".into()));
    let bare = markwright(&with(&["--stops", "2.8,f/4", "--as", "json"]));
    assert_eq!(
        (bare.code, &bare.error()["kind"]),
        (2, &"ambiguous_stop".into())
    );
    let small = markwright(&with(&["--paper", "a6", "--as", "json"]));
    assert_eq!(small.code, 3, "{}", small.err);
}

#[test]
fn a_wanted_contrast_makes_a_plot_of_its_own() {
    let wanted = ["--contrast", "0.3@40/mm", "--out", "o", "--as", "json"];
    let folder = tempfile::tempdir().unwrap();
    let print = [
        "print", "plots", "--focal", "50mm", "--stop", "f/2.8", "--at", "2m",
    ];
    let answer = markwright_in(folder.path(), &[&print[..], &wanted[..]].concat()).json();
    assert_eq!(answer["sheets"].as_array().unwrap().len(), 1);
    let stops = [
        &print[..],
        &wanted[..],
        &["--stops", "f/2.8,f/8", "--replace"],
    ]
    .concat();
    let stops = markwright_in(folder.path(), &stops).json();
    assert_eq!(stops["sheets"].as_array().unwrap().len(), 1);
    assert_ne!(stops["sheets"][0]["code"], answer["sheets"][0]["code"]);
    let notes = answer["assumptions"].as_array().unwrap();
    let kinds: Vec<&str> = notes
        .iter()
        .map(|note| note["kind"].as_str().unwrap())
        .collect();
    assert!(kinds.contains(&"wavelength_assumed") && !kinds.contains(&"circle_assumed"));
    let refused: [&[&str]; 5] = [
        &["--contrast", "0.3@40/mm", "--circle", "0.02mm"],
        &["--wavelength", "550nm"],
        &["--photosite", "5um"],
        &[
            "--contrast",
            "0.3@40/mm",
            "--at",
            "3m",
            "--stops",
            "f/4,f/8",
        ],
        &["--contrast", "0.3"],
    ];
    for more in refused {
        let ran = markwright(&[&print[..], more, &["--as", "json"]].concat());
        assert_eq!(ran.code, 2, "{more:?}");
    }
    let stray = markwright(&["print", "ruler", "--contrast", "0.3@40/mm", "--as", "json"]);
    assert_eq!((stray.code, &stray.error()["kind"]), (2, &"usage".into()));
    // More than there is even in focus.
    let fine = ["--contrast", "0.9@100/mm", "--as", "json"];
    let fine = markwright(&[&print[..], &fine[..]].concat());
    assert_eq!(fine.code, 3, "{}", fine.err);
    assert_eq!(fine.error()["kind"], "mtf_unreachable");
}
