//! Readers that are not ours: poppler and qpdf. A missing tool fails.

use std::path::PathBuf;
use std::process::Command;

use markwright::draw::Paper;
use markwright::scene::Page;

use super::pages::{on, paper, pdf};
use super::reader::read;

/// A PDF in a folder of its own that goes when this does.
pub struct File {
    _folder: tempfile::TempDir,
    path: PathBuf,
}

fn file(paper: &Paper) -> File {
    file_of(&on(paper))
}

/// Pages as a file.
pub fn file_of(pages: &[Page]) -> File {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("pages.pdf");
    std::fs::write(&path, pdf(pages)).expect("written");
    File {
        _folder: folder,
        path,
    }
}

/// What a tool prints; fails by the tool's name when it is missing or unhappy.
pub fn run(tool: &str, arguments: &[&str], file: &File, last: &[&str]) -> Vec<u8> {
    let output = Command::new(tool)
        .args(arguments)
        .arg(&file.path)
        .args(last)
        .output()
        .unwrap_or_else(|fault| panic!("{tool} cannot be run: {fault}"));
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success(), "{tool}: {said}");
    output.stdout
}

#[test]
#[ignore = "needs poppler and qpdf; .ci/run runs it"]
fn qpdf_finds_nothing_to_complain_of() {
    for paper in Paper::all() {
        let said = run("qpdf", &["--check"], &file(paper), &[]);
        assert!(
            !String::from_utf8_lossy(&said).contains("WARNING"),
            "{}",
            paper.id()
        );
    }
}

#[test]
#[ignore = "needs poppler and qpdf; .ci/run runs it"]
fn pdfinfo_measures_the_paper() {
    let said = run("pdfinfo", &["-box"], &file(paper("a4")), &[]);
    let said = String::from_utf8_lossy(&said).into_owned();
    // 210 × 297 mm in points of 1/72 in: 595.2756 × 841.8898.
    assert!(said.contains("595.276 x 841.89 pts"), "{said}");
    assert!(said.contains("PDF version:     1.7"), "{said}");
    assert!(said.contains("Pages:           2"), "{said}");
}

#[test]
#[ignore = "needs poppler and qpdf; .ci/run runs it"]
fn pdftotext_gives_every_character_back() {
    for paper in Paper::all() {
        let said = assert_text_comes_back(&file(paper));
        assert!(said.contains("Is this printer true?"), "{}", paper.id());
    }
}

/// Every character of a file is among what pdftotext gives, which is returned.
pub fn assert_text_comes_back(file: &File) -> String {
    let sorted = |words: &str| {
        let mut all: Vec<char> = words.chars().filter(|one| !one.is_whitespace()).collect();
        all.sort_unstable();
        all
    };
    let said = run("pdftotext", &["-raw"], file, &["-"]);
    let said = String::from_utf8_lossy(&said).into_owned();
    let pages = read(&std::fs::read(&file.path).expect("written above"));
    let ours: String = pages
        .iter()
        .flat_map(|page| &page.words)
        .map(|words| words.text.as_str())
        .collect();
    assert_eq!(sorted(&said), sorted(&ours));
    said
}

#[test]
#[ignore = "needs poppler and qpdf; .ci/run runs it"]
fn pdffonts_sees_both_faces_embedded_subset_and_searchable() {
    let said = run("pdffonts", &[], &file(paper("a4")), &[]);
    let said = String::from_utf8_lossy(&said).into_owned();
    let faces: Vec<&str> = said.lines().filter(|line| line.contains("MRKWR")).collect();
    assert_eq!(faces.len(), 2, "{said}");
    assert!(
        faces.iter().all(|line| line.contains("yes yes yes")),
        "{said}"
    );
}

#[test]
#[ignore = "needs poppler and qpdf; .ci/run runs it"]
fn the_rulers_measure_100_mm_as_dots() {
    const DOTS_PER_MM: f64 = 600.0 / 25.4;
    let arguments = ["-r", "600", "-gray", "-f", "1", "-l", "1", "-singlefile"];
    let picture = run("pdftoppm", &arguments, &file(paper("a4")), &[]);
    let (width, dots) = grey(&picture);
    let black = |x: usize, y: usize| dots[y * width + x] < 128;
    let dot = |millimetres: f64| (millimetres * DOTS_PER_MM) as usize;
    // The rulers' zero on A4 is 13 mm from the left and 20 mm from the bottom;
    // 1.6 mm outside of the base lines only ticks of 5 and 10 mm reach.
    let across = middles(dot(9.0)..dot(115.0), |x| black(x, dot(277.0 + 1.6)));
    let along = middles(dot(175.5)..dot(281.0), |y| black(dot(13.0 - 1.6), y));
    for (axis, ticks) in [("across", across), ("along", along)] {
        assert_eq!(ticks.len(), 21, "{axis}: {ticks:?}");
        let length = (ticks[20] - ticks[0]) / DOTS_PER_MM;
        assert!((length - 100.0).abs() < 0.05, "{axis}: {length} mm");
    }
}

/// The middle of each run of black dots.
fn middles(range: std::ops::Range<usize>, black: impl Fn(usize) -> bool) -> Vec<f64> {
    let (mut runs, mut begun) = (Vec::new(), None);
    for place in range {
        match (black(place), begun) {
            (true, None) => begun = Some(place),
            (false, Some(first)) => {
                runs.push((first + place - 1) as f64 / 2.0);
                begun = None;
            }
            (true, Some(_)) | (false, None) => {}
        }
    }
    runs
}

/// Width and dots of a PGM picture (binary, one byte a dot).
fn grey(picture: &[u8]) -> (usize, &[u8]) {
    let head: Vec<usize> = picture
        .split(|byte| byte.is_ascii_whitespace())
        .skip(1)
        .take(3)
        .filter_map(|word| std::str::from_utf8(word).ok()?.parse().ok())
        .collect();
    let [width, height, 255] = head[..] else {
        panic!("not a PGM picture: {head:?}");
    };
    (width, &picture[picture.len() - width * height..])
}
