//! `marks/ID.csv`: any zero, either direction, any order; and nothing else.

use markwright::data::{Fault, Kind, MemoryFiles, Severity};
use markwright::gear::{MarkKind, Marks, PositionUnit};
use markwright::units::{FocusDistance, Length, Reach};

use crate::given::{KIT, LENSES, MARKS, errors, good, the_error, told, with};

const FILE: &str = "marks/40.csv";

#[track_caller]
fn marks(text: &str) -> Marks {
    good(&with(FILE, text)).0.lenses.remove(0).1.expect("marks")
}

/// The marks with one replacement, and what is told of it.
#[track_caller]
fn slip(from: &str, to: &str, kind: Kind, spot: (usize, usize), key: &str) -> String {
    assert!(MARKS.contains(from), "{from}");
    let error = the_error(&with(FILE, MARKS.replace(from, to)), kind, FILE, spot, key);
    format!("{} {}", error.message, error.help.unwrap_or_default())
}

#[test]
fn marks_read_with_any_zero_in_either_direction_and_order() {
    let plain = marks(MARKS);
    assert_eq!(plain.unit(), PositionUnit::Mm);
    assert_eq!(plain.rows().len(), 6);
    assert_eq!(plain.engraved().len(), 2);
    let mut lines: Vec<&str> = MARKS.lines().collect();
    lines[1..].reverse();
    let turned = marks(&lines.join("\n"));
    let best = turned.best(None).expect("a set");
    assert_eq!(best.kind, MarkKind::Eye);
    let far_to_near: Vec<f64> = best.rows.iter().map(|mark| mark.position.value()).collect();
    assert_eq!(far_to_near, [10.0, 30.0, 50.5, 150.0]);
    marks("distance,position_mm\ninf,-5\n10',-25\n5',-45\n");
}

#[test]
fn every_way_to_count_positions_is_read() {
    for (column, unit) in [
        ("position_mm", PositionUnit::Mm),
        ("position_deg", PositionUnit::Deg),
        ("position_fraction", PositionUnit::Fraction),
        ("position_counts", PositionUnit::Counts),
    ] {
        let text = format!("distance,{column},sd_deg,camera\ninf,0,0.2,A\n3',1,,A\n");
        let marks = marks(&text);
        assert_eq!(marks.unit(), unit);
        assert_eq!(marks.rows()[0].sd.map(|sd| sd.to_deg()), Some(0.2));
        assert_eq!(marks.rows()[0].camera.as_deref(), Some("A"));
        assert_eq!(marks.rows()[0].kind, MarkKind::Read);
    }
}

#[test]
fn repeats_in_one_cell_are_averaged() {
    let text = "distance;position_mm\ninf;10,2 9,8\n5';50,5\n2';149 150 152\n";
    let marks = marks(text);
    let positions: Vec<f64> = marks
        .rows()
        .iter()
        .map(|mark| mark.position.value())
        .collect();
    // (10.2 + 9.8) / 2 and (149 + 150 + 152) / 3.
    assert_eq!(positions, [10.0, 50.5, 451.0 / 3.0]);
    let settings: Vec<usize> = marks
        .rows()
        .iter()
        .map(|mark| mark.settings.len())
        .collect();
    assert_eq!(settings, [2, 0, 3], "a single setting is its own mean");
    slip(
        "10',30,",
        "10',30 x,",
        Kind::NotADistance,
        (3, 5),
        "position_mm",
    );
    slip(
        "10',30,",
        "10',30 9999,",
        Kind::OutOfRange,
        (3, 5),
        "position_mm",
    );
    // It is the mean that goes on from the other marks.
    slip(
        "10',30,",
        "10',30 90,",
        Kind::OutOfOrder,
        (4, 4),
        "position_mm",
    );
}

#[test]
fn one_column_says_where_marks_stand() {
    let files = with(FILE, "distance,kind\ninf,eye\n");
    the_error(&files, Kind::Missing, FILE, (1, 1), "position_mm");
    let files = with(FILE, "distance,position_mm,position_deg\ninf,0,0\n3',9,9\n");
    the_error(&files, Kind::Duplicate, FILE, (1, 22), "position_deg");
}

#[test]
fn rows_without_position_are_counted_and_left_out() {
    let marks = marks(&format!("{MARKS}4',,eye\n7',,eye\n"));
    assert_eq!((marks.rows().len(), marks.skipped()), (6, 2));
}

#[test]
fn a_file_without_any_position_yet_is_a_warning() {
    let (kit, warnings) = good(&with(FILE, "distance,position_mm\n10',\n5',\n"));
    assert!(kit.lenses[0].1.is_none());
    assert_eq!(
        told(&warnings[0]),
        (Kind::TooFew, FILE.into(), None, None, None)
    );
    assert_eq!(warnings[0].severity, Severity::Warning);
}

#[test]
fn fewer_than_two_marks_are_too_few() {
    for text in ["distance,position_mm\n", "distance,position_mm\n5',1\n"] {
        let found = errors(&with(FILE, text));
        assert_eq!(found.len(), 1);
        assert_eq!(
            told(&found[0]),
            (Kind::TooFew, FILE.into(), None, None, None)
        );
    }
    // One of a kind and one of another make no ring either.
    let found = errors(&with(
        FILE,
        "distance,position_mm,kind\n5',1,eye\n6',2,engraved\n",
    ));
    assert_eq!(found[0].kind, Kind::TooFew);
}

#[test]
fn a_distance_stands_once_in_each_kind() {
    let said = slip(
        "10',30,eye",
        "5',30,eye",
        Kind::Duplicate,
        (4, 1),
        "distance",
    );
    assert!(said.contains("line 3"), "{said}");
    slip(
        "10',30,eye",
        "inf,30,eye",
        Kind::Duplicate,
        (3, 1),
        "distance",
    );
    // The same distance engraved and found by eye is two facts.
    let marks = marks(&format!("{MARKS}5',51,engraved\n").replace("6',45", "6',40"));
    assert_eq!(marks.rows().len(), 7);
}

#[test]
fn positions_that_turn_back_are_out_of_order() {
    let said = slip(
        "5',50.5",
        "5',20.5",
        Kind::OutOfOrder,
        (4, 4),
        "position_mm",
    );
    assert!(said.contains("line 3"), "{said}");
    slip("5',50.5", "5',30", Kind::OutOfOrder, (4, 4), "position_mm");
    // Engraved marks that run against the eye's.
    slip(
        "6',45,engraved",
        "6',95,engraved",
        Kind::OutOfOrder,
        (7, 4),
        "position_mm",
    );
}

#[test]
fn marks_of_two_cameras_stand_side_by_side() {
    let text =
        "distance,position_mm,kind,camera\ninf,0,eye,A\n5',50,eye,A\ninf,1,eye,B\n5',51,eye,B\n";
    let two = KIT.replace(
        "[recording]",
        "[camera.B]\nformat = \"s35-3perf\"\n[camera.A]",
    );
    let files = with(FILE, text).with("kit.toml", two);
    let (kit, _) = good(&files);
    let marks = kit.lenses[0].1.as_ref().expect("marks");
    let first = |camera: &str| {
        marks.best(Some(camera)).expect("a set").rows[0]
            .position
            .value()
    };
    assert_eq!((first("A"), first("B")), (0.0, 1.0));
    let files = files.with(FILE, text.replace("5',51,eye,B", "5',51,eye,C"));
    let found = errors(&files);
    assert_eq!(told(&found[0]).0, Kind::UnknownId);
    assert_eq!((told(&found[0]).2, told(&found[0]).3), (Some(5), Some(11)));
}

#[test]
fn cells_that_cannot_be_are_told_by_their_kind() {
    slip(
        "5',50.5",
        "5,50.5x",
        Kind::NotADistance,
        (4, 3),
        "position_mm",
    );
    slip("5',50.5", "5',nan", Kind::NotFinite, (4, 4), "position_mm");
    slip("5',50.5", "5',inf", Kind::NotFinite, (4, 4), "position_mm");
    slip(
        "5',50.5",
        "5',99999",
        Kind::OutOfRange,
        (4, 4),
        "position_mm",
    );
    slip("5',50.5", "0',50.5", Kind::NotPositive, (4, 1), "distance");
    slip(
        "5',50.5",
        "5.6,50.5",
        Kind::AmbiguousFeet,
        (4, 1),
        "distance",
    );
    slip("50.5,eye", "50.5,eyes", Kind::UnknownId, (4, 9), "kind");
    slip("5',50.5", ",50.5", Kind::Missing, (4, 1), "distance");
}

#[test]
fn bare_distances_are_those_of_the_engraved_scale() {
    let at = |text: &str| marks(text).rows()[0].distance;
    assert_eq!(
        at("distance,position_mm\n5,10\ninf,0\n"),
        FocusDistance::at(Length::mm(1524.0)).expect("5 ft")
    );
    let plain = LENSES.replace(",engraved", "").replace(",feet", "");
    let files = with(FILE, "distance,position_mm\n5,10\ninf,0\n").with("lenses.csv", plain);
    the_error(&files, Kind::BareNumber, FILE, (2, 1), "distance");
}

#[test]
fn a_mark_inside_four_focal_lengths_names_the_limit() {
    // 4 × 40 mm: 160 mm.
    let found = errors(&with(FILE, MARKS.replace("2',150", "0.15m,150")));
    assert_eq!(found.len(), 1, "{found:#?}");
    let place = (
        Kind::Inside4f,
        FILE.to_owned(),
        Some(5),
        Some(1),
        Some("distance".to_owned()),
    );
    assert_eq!(told(&found[0]), place);
    assert!(found[0].message.contains("0.160 m"), "{}", found[0].message);
}

#[test]
fn a_mark_nearer_than_close_focus_is_a_warning_that_names_both() {
    let (_, warnings) = good(&with(FILE, MARKS.replace("2',150", "1'2\",150")));
    // Moved so far, it is also off the line of the others, which is told after.
    let nearer = |fault: &&Fault| fault.kind == Kind::InsideCloseFocus;
    assert_eq!(warnings.iter().filter(nearer).count(), 1);
    assert_eq!(warnings.len(), 2, "{warnings:#?}");
    let place = (Kind::InsideCloseFocus, FILE.to_owned(), Some(5), Some(1));
    let (kind, file, line, column, _) = told(&warnings[0]);
    assert_eq!((kind, file, line, column), place);
    let message = &warnings[0].message;
    assert!(
        message.contains("1′2″") && message.contains("1′3″"),
        "{message}"
    );
}

#[test]
fn marks_of_no_lens_name_the_nearest() {
    let found = errors(&with("marks/4O.csv", MARKS));
    assert_eq!(
        told(&found[0]),
        (Kind::UnknownId, "marks/4O.csv".into(), None, None, None)
    );
    let files =
        with("lenses.csv", LENSES.replace("\n40,", "\nprime-40,")).with("marks/prime40.csv", MARKS);
    let found = errors(&files);
    let said = found
        .iter()
        .map(|fault| fault.help.clone().unwrap_or_default());
    assert!(
        said.collect::<String>().contains("did you mean prime-40"),
        "{found:#?}"
    );
    // What is no table is nobody's business.
    good(&with("marks/notes.txt", "x").with("marks/.hidden.csv", "x"));
}

#[test]
fn files_of_lenses_are_found_whatever_their_capitals() {
    let lenses = LENSES.replace("\n40,", "\nP4,");
    let files = MemoryFiles::new()
        .with("kit.toml", KIT)
        .with("lenses.csv", lenses)
        .with("marks/p4.CSV", MARKS);
    assert!(good(&files).0.lenses[0].1.is_some());
    let found = errors(&files.with("marks/P4.csv", MARKS));
    assert_eq!(found[0].kind, Kind::Duplicate);
}

#[test]
fn engraved_marks_of_a_scale_from_the_front_are_carried_to_the_image_plane() {
    let lenses = "id,focal_mm,t_number,close_focus,engraved,scale_from,front_distance_mm\n\
                  40,40,2.1,1'3\",feet,front,100\n";
    let (kit, _) = good(&with("lenses.csv", lenses));
    let marks = kit.lenses[0].1.as_ref().expect("marks");
    let mm = |distance: FocusDistance| match distance.reach() {
        Reach::At(length) => length.to_mm(),
        Reach::Infinity => f64::INFINITY,
    };
    // 3 ft from the front are 914.4 + 100 mm; 5 ft taped stay 1524 mm.
    assert_eq!(mm(marks.engraved()[1].distance), 1014.4);
    assert_eq!(mm(marks.of(MarkKind::Eye, None)[2].distance), 1524.0);
}

#[test]
fn marks_that_can_hardly_be_true_are_doubted() {
    let starter = |file: &str, from: &str, to: &str| {
        let mut files = MemoryFiles::new();
        for (name, text) in markwright::data::starter() {
            let text = if *name == file {
                assert!(text.contains(from), "{from}");
                text.replace(from, to)
            } else {
                (*text).to_owned()
            };
            files = files.with(name, text);
        }
        let (_, warnings) = good(&files);
        warnings
    };
    assert_eq!(starter("kit.toml", "feet", "feet"), []);
    let text = markwright::data::starter()
        .iter()
        .find(|file| file.0 == "marks/50.csv");
    let row = |begins: &str, ends: &str| {
        let rows = text.expect("the 50").1.lines();
        let mut found = rows.filter(|row| row.starts_with(begins) && row.ends_with(ends));
        found.next().expect("such a row").to_owned()
    };
    // An engraved mark read a quarter of the ring away, and one slip of the eye.
    for (begins, kind, to) in [
        ("3'", "engraved", "3',170,engraved"),
        ("4'", "eye", "4',87,eye"),
    ] {
        let warnings = starter("marks/50.csv", &row(begins, kind), to);
        assert_eq!(warnings.len(), 1, "{to}: {warnings:#?}");
        assert!(warnings[0].message.contains("off") || warnings[0].message.contains("far"));
    }
    // A travel that is not what the marks span.
    let warnings = starter("lenses.csv", ",294,", ",29,");
    assert_eq!(warnings.len(), 1, "{warnings:#?}");
}
