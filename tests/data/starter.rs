//! The starter kit reads, and its marks are those of its lenses.

use markwright::data::{MemoryFiles, starter};
use markwright::gear::{Kit, Lens, Mark, MarkKind, Marks};
use markwright::optics::Branch;
use markwright::units::Reach;

use crate::given;

fn files() -> MemoryFiles {
    starter()
        .iter()
        .fold(MemoryFiles::new(), |files, (path, text)| {
            files.with(path, *text)
        })
}

fn kit() -> Kit {
    given::good(&files()).0
}

#[test]
fn the_starter_kit_reads_without_fault_or_warning() {
    let (kit, warnings) = given::good(&files());
    assert!(warnings.is_empty(), "{warnings:#?}");
    assert_eq!(kit.lenses.len(), 7);
    assert!(kit.lenses.iter().all(|(_, marks)| marks.is_some()));
    assert_eq!(kit.prep.len(), 9);
    assert_eq!(kit.shots.len(), 5);
}

#[test]
fn its_lenses_pass_between_85_and_90_percent_of_the_light() {
    for (lens, _) in &kit().lenses {
        let tau = lens.transmittance().map(|tau| tau.value());
        assert!(
            tau.is_some_and(|tau| (0.85..=0.90).contains(&tau)),
            "{} {tau:?}",
            lens.id()
        );
    }
}

/// Arc from the infinity mark by the helicoid's law (optics.md i: G f m), worked
/// here from the conjugate equation, not with the scale's own law.
fn by_law(lens: &Lens, mark: &Mark) -> f64 {
    let optics = lens.figures().unit_focus(&mut ());
    let (f, e) = (optics.focal_length().to_mm(), optics.hiatus().to_mm());
    let m = |distance: f64| {
        let k = (distance - e) / f - 2.0;
        (k - (k * k - 4.0).sqrt()) / 2.0
    };
    let close = lens.close_focus().reach().finite().unwrap().to_mm();
    let travel = lens.ring().travel().unwrap().to_deg();
    let round = lens.ring().circumference().unwrap().to_mm();
    let at = match mark.distance.reach() {
        Reach::At(distance) => m(distance.to_mm()),
        Reach::Infinity => 0.0,
    };
    travel * at / m(close) / 360.0 * round
}

/// How far marks stand from the law: their mean, and the most from that.
fn residuals(lens: &Lens, marks: &Marks, kind: MarkKind) -> (f64, f64) {
    let marks = marks.of(kind, None);
    let position = |mark: &Mark| mark.position.value();
    let (first, last) = (position(marks[0]), position(marks[marks.len() - 1]));
    let way = if last > first { 1.0 } else { -1.0 };
    let off: Vec<f64> = marks
        .iter()
        .map(|mark| way * position(mark) - by_law(lens, mark))
        .collect();
    let mean = off.iter().sum::<f64>() / off.len() as f64;
    let most = off.iter().map(|off| (off - mean).abs()).fold(0.0, f64::max);
    (mean, most)
}

#[test]
fn its_marks_are_those_of_a_helicoid_with_one_small_scale_error() {
    for (lens, marks) in &kit().lenses {
        let marks = marks.as_ref().unwrap();
        let (eye, off) = residuals(lens, marks, MarkKind::Eye);
        assert!(off < 0.3, "{}: an eye mark is {off} mm off", lens.id());
        let (engraved, off) = residuals(lens, marks, MarkKind::Engraved);
        assert!(off < 0.3, "{}: an engraved mark is {off} mm off", lens.id());
        // The error between the two, as an image-plane error: the lens moves
        // (eye - engraved) / (mm of ring a mm of lens).
        let optics = lens.figures().unit_focus(&mut ());
        let close = optics
            .magnification(lens.close_focus(), Branch::Far, &mut ())
            .unwrap();
        let round = lens.ring().circumference().unwrap().to_mm();
        let travel = lens.ring().travel().unwrap().to_deg() / 360.0 * round;
        let ring_per_lens = travel / (optics.focal_length().to_mm() * close.value());
        let delta = (eye - engraved).abs() / ring_per_lens;
        assert!(delta < 0.06, "{}: {delta} mm", lens.id());
        assert!(marks.of(MarkKind::Eye, None).len() >= 9);
        assert_eq!(marks.engraved().len(), 2);
    }
}

#[test]
fn every_file_of_the_starter_folder_is_embedded() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("charts/starter");
    for (path, text) in starter() {
        assert_eq!(std::fs::read_to_string(folder.join(path)).unwrap(), *text);
    }
    let count = |folder: &std::path::Path| {
        let entries = std::fs::read_dir(folder).unwrap();
        entries
            .filter(|entry| entry.as_ref().unwrap().path().is_file())
            .count()
    };
    assert_eq!(
        count(&folder) + count(&folder.join("marks")),
        starter().len()
    );
}
