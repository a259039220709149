//! `rack` along a path: what is refused, and the plot that is written beside the
//! answer.

use std::fs;

use crate::paths::{BY_HAND, near, ran};
use crate::run::markwright_in;

#[test]
fn a_pull_inside_close_focus_or_off_the_marks_says_where_and_when() {
    // 1.25 m is reached 0.75 m before the closest point 1 m away: 4.148980 s on its way.
    let close = ran(&[
        "--from",
        "5m",
        "--passing",
        "1m",
        "--to",
        "5m",
        "--speed",
        "1m/s",
        "--close-focus",
        "1.25m",
    ]);
    assert_eq!(close.code, 3);
    let error = close.error();
    assert_eq!(error["kind"], "inside_close_focus");
    near(&error["nearest"], 1250.0, 1e-9);
    let message = error["message"].as_str().unwrap();
    assert!(message.starts_with("4.14 s on its way"), "{message}");
    assert!(message.contains("1.250 m"), "{message}");
    let optics = ran(&["--from", "5m", "--to", "0.1m", "--speed", "1m/s"]);
    assert_eq!(
        (optics.code, &optics.error()["kind"]),
        (3, &"inside_4f".into())
    );
    // Along its axis the frame's distance comes to nothing behind the camera.
    let behind = ran(&[
        "--from",
        "5m",
        "--passing",
        "2m",
        "--to",
        "9m",
        "--frame-at",
        "4m",
        "--speed",
        "1m/s",
    ]);
    assert_eq!(
        (behind.code, &behind.error()["kind"]),
        (3, &"inside_4f".into())
    );
    // A kit's lens whose marks end before infinity.
    let folder = tempfile::tempdir().unwrap();
    markwright_in(folder.path(), &["new", "."]);
    let marks = "distance,position_deg\n4m,0\n3m,9.5\n2m,28.5\n";
    fs::write(folder.path().join("marks/50.csv"), marks).unwrap();
    let line = [
        "rack",
        "--lens",
        "50",
        "--from",
        "3m",
        "--passing",
        "2.5m",
        "--to",
        "90m",
        "--speed",
        "walk",
        "--as",
        "json",
    ];
    let marks = markwright_in(folder.path(), &line);
    assert_eq!(marks.error()["kind"], "outside_marks", "{}", marks.err);
    assert!(marks.err.contains("s on its way"));
}

#[test]
fn a_path_that_cannot_be_is_refused_at_its_flag() {
    let cases: [(&[&str], &str, &str); 20] = [
        (&["--from", "5m", "--passing", "2m"], "usage", "--speed"),
        (&["--from", "5m"], "usage", ""),
        (
            &["--from", "1m", "--passing", "2m", "--speed", "walk"],
            "out_of_range",
            "--from",
        ),
        (
            &[
                "--from",
                "5m",
                "--passing",
                "2m",
                "--to",
                "1m",
                "--speed",
                "walk",
            ],
            "out_of_range",
            "--to",
        ),
        (
            &["--from", "inf", "--passing", "2m", "--speed", "walk"],
            "not_finite",
            "--from",
        ),
        (
            &["--from", "5m", "--passing", "inf", "--speed", "walk"],
            "not_finite",
            "--passing",
        ),
        (
            &["--from", "2m", "--passing", "2m", "--speed", "walk"],
            "usage",
            "--to",
        ),
        (
            &[
                "--from",
                "5m",
                "--passing",
                "2m",
                "--frame-at",
                "1m",
                "--speed",
                "walk",
            ],
            "out_of_range",
            "--frame-at",
        ),
        (
            &[
                "--from",
                "5m",
                "--to",
                "2m",
                "--frame-at",
                "3m",
                "--speed",
                "walk",
            ],
            "usage",
            "",
        ),
        (
            &[
                "--from",
                "5m",
                "--to",
                "2m",
                "--before-passing",
                "--speed",
                "walk",
            ],
            "usage",
            "--before-passing",
        ),
        (
            &[
                "--from",
                "5m",
                "--passing",
                "2m",
                "--before-passing",
                "--speed",
                "walk",
            ],
            "usage",
            "",
        ),
        (
            &[
                "--from",
                "5m",
                "--to",
                "5m",
                "--passing",
                "2m",
                "--before-passing",
                "--speed",
                "walk",
            ],
            "usage",
            "--to",
        ),
        (
            &[
                "--from",
                "5m",
                "--to",
                "3m",
                "--circling",
                "4m",
                "--speed",
                "walk",
            ],
            "usage",
            "",
        ),
        (
            &[
                "--from",
                "5m",
                "--to",
                "3m",
                "--circling",
                "4m",
                "--radius",
                "4m",
                "--speed",
                "walk",
            ],
            "out_of_range",
            "--radius",
        ),
        (
            &[
                "--from",
                "7m",
                "--to",
                "3m",
                "--circling",
                "4m",
                "--radius",
                "2m",
                "--speed",
                "walk",
            ],
            "out_of_range",
            "--from",
        ),
        (
            &[
                "--from",
                "5m",
                "--circling",
                "4m",
                "--radius",
                "2m",
                "--speed",
                "walk",
            ],
            "usage",
            "",
        ),
        (
            &[
                "--from",
                "5m",
                "--to",
                "3m",
                "--circling",
                "4m",
                "--radius",
                "2m",
                "--passing",
                "2m",
                "--speed",
                "walk",
            ],
            "usage",
            "",
        ),
        (
            &["--from", "5m", "--to", "3m", "--every", "1"],
            "usage",
            "--speed",
        ),
        (
            &[
                "--from", "5m", "--to", "3m", "--speed", "walk", "--every", "0",
            ],
            "not_positive",
            "--every",
        ),
        (
            &[
                "--from", "100m", "--to", "3m", "--speed", "1m/s", "--every", "0.01",
            ],
            "too_large",
            "--every",
        ),
    ];
    for (line, kind, flag) in cases {
        let ran = ran(line);
        assert_eq!(ran.code, 2, "{line:?}: {}", ran.err);
        let error = ran.error();
        assert_eq!(error["kind"], kind, "{line:?}: {}", ran.err);
        if !flag.is_empty() {
            assert_eq!(error["place"]["key"], flag, "{line:?}: {}", ran.err);
        }
    }
    let words = |line: &[&str]| ran(line).error()["message"].as_str().unwrap().to_owned();
    let line = words(&["--from", "1m", "--passing", "2m", "--speed", "walk"]);
    assert!(line.contains("2 m or more"), "{line}");
    let circle = [
        "--from",
        "14'",
        "--to",
        "6'",
        "--circling",
        "8'",
        "--radius",
        "3'",
        "--speed",
        "walk",
    ];
    let circle = words(&circle);
    assert!(circle.contains("from 5′ to 11′ away"), "{circle}");
}

#[test]
fn a_plot_is_written_beside_the_answer_and_never_over_a_file_of_the_users() {
    let folder = tempfile::tempdir().unwrap();
    let plot = |more: &[&str]| {
        let path = [
            "--from",
            "5m",
            "--passing",
            "2m",
            "--speed",
            "walk",
            "--as",
            "json",
        ];
        markwright_in(folder.path(), &[&BY_HAND[..], &path[..], more].concat())
    };
    for (name, starts) in [
        ("a.pdf", &b"%PDF-1.7"[..]),
        ("b.svg", b"<svg"),
        ("c.PNG", b"\x89PNG"),
    ] {
        let answer = plot(&["--plot", name]).json();
        assert_eq!(answer["plot"]["file"], name);
        assert_eq!(answer["plot"]["code"].as_str().unwrap().len(), 6);
        let bytes = fs::read(folder.path().join(name)).unwrap();
        let head = &bytes[..bytes.len().min(200)];
        assert!(
            head.windows(starts.len()).any(|window| window == starts),
            "{name}"
        );
        let again = plot(&["--plot", name]);
        assert_eq!((again.code, &again.error()["kind"]), (2, &"exists".into()));
        assert_eq!(again.error()["place"]["key"], "--plot");
        assert_eq!(plot(&["--plot", name, "--replace"]).code, 0);
        assert_eq!(
            fs::read(folder.path().join(name)).unwrap(),
            bytes,
            "same bytes"
        );
    }
    fs::write(folder.path().join("mine.pdf"), "mine").unwrap();
    let mine = plot(&["--plot", "mine.pdf", "--replace"]);
    assert_eq!(mine.error()["kind"], "exists");
    assert_eq!(fs::read(folder.path().join("mine.pdf")).unwrap(), b"mine");
    for (more, kind) in [
        (&["--plot", "d.jpg"][..], "usage"),
        (&["--plot", "d"], "usage"),
        (&["--plot", "d.pdf", "--paper", "a9"], "unknown_id"),
        (&["--replace"], "usage"),
        (&["--paper", "a4"], "usage"),
    ] {
        let ran = plot(more);
        assert_eq!(
            (ran.code, &ran.error()["kind"]),
            (2, &kind.into()),
            "{more:?}"
        );
    }
    let small = plot(&["--plot", "d.pdf", "--paper", "a6"]);
    assert_eq!(
        (small.code, &small.error()["kind"]),
        (3, &"does_not_fit".into())
    );
    assert!(!folder.path().join("d.pdf").exists());
    // Without a speed there is no time to plot against.
    let still = [
        "--from", "5m", "--to", "2m", "--plot", "e.pdf", "--as", "json",
    ];
    let still = markwright_in(folder.path(), &[&BY_HAND[..], &still[..]].concat());
    assert_eq!((still.code, &still.error()["kind"]), (2, &"usage".into()));
    assert!(!folder.path().join("e.pdf").exists());
}
