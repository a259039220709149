//! `prep.csv` and `shots.csv`: read whole for later work.

use markwright::data::{Kind, Severity};
use markwright::gear::{Kit, Reading};
use markwright::units::{Length, Reach};

use crate::given::{good, the_error, told, with};

const PREP: &str = "\
lens,stop,taped,reading,reading_deg,camera,taped_sd,reading_sd_deg,temperature,note
40,2.1,6',5'10 5'11 6',,,3mm,,20 °C,first
75,T2.1,inf,,1.5 1.75,A,,0.3,,
";

const SHOTS: &str = "\
shot,lens,stop,cue,distance,seconds,speed,across,height,tilt,shot_distance,shot_stop,note,note_2
1A,40,2.8,door,14',,,,,,,,a,b
1A,40,2.8,table,7'6\",2.5,1.2m/s,2',4'6\",-10deg,7'5\",T2.8 1/3,,
1B,75,f/4,eyes,2m,,3.6km/h,,,,,,,
";

fn kit(name: &str, text: &str) -> Kit {
    good(&with(name, text)).0
}

#[test]
fn prep_rows_read_with_repeats() {
    let kit = kit("prep.csv", PREP);
    let Reading::Scale(readings) = &kit.prep[0].reading else {
        panic!("on the scale")
    };
    let mm: Vec<Option<Length>> = readings.iter().map(|at| at.reach().finite()).collect();
    // 5′10″, 5′11″ and 6′ in 1/64 inch.
    let wanted = [70, 71, 72].map(|inches| Some(Length::from_inch_64ths(inches * 64)));
    assert_eq!(mm, wanted);
    assert_eq!(kit.prep[0].stop.to_string(), "T2.1");
    assert_eq!(kit.prep[0].temperature.as_deref(), Some("20 °C"));
    assert_eq!(kit.prep[0].note.as_deref(), Some("first"));
    let Reading::Turn(turns) = &kit.prep[1].reading else {
        panic!("as an angle")
    };
    assert_eq!(turns.len(), 2);
    assert_eq!(kit.prep[1].taped.reach(), Reach::Infinity);
    assert_eq!(kit.prep[1].line, 3);
}

#[test]
fn repeats_in_one_cell_are_told_apart_from_parts_of_one_reading() {
    let read = |cell: &str| {
        let kit = kit(
            "prep.csv",
            &format!("lens,stop,taped,reading\n40,T2.1,6',{cell}\n"),
        );
        let Reading::Scale(readings) = kit.prep[0].reading.clone() else {
            panic!()
        };
        let mm = readings.iter().filter_map(|at| at.reach().finite());
        mm.map(|at| at.to_mm() / 25.4).collect::<Vec<f64>>()
    };
    assert_eq!(read("5'10 1/2\" 6'"), [70.5, 72.0]);
    assert_eq!(read("5' 10\" 6'"), [70.0, 72.0]);
    assert_eq!(read("6 6'1"), [72.0, 73.0]);
    assert_eq!(read("5'10½ 72in"), [70.5, 72.0]);
    let metric = read("2 m 2.032 m");
    assert!((metric[1] - 80.0).abs() < 1e-9, "{metric:?}");
}

#[test]
fn a_prep_row_that_cannot_be_is_told() {
    let slip = |from: &str, to: &str, kind: Kind, spot: (usize, usize), key: &str| {
        assert!(PREP.contains(from), "{from}");
        the_error(
            &with("prep.csv", PREP.replacen(from, to, 1)),
            kind,
            "prep.csv",
            spot,
            key,
        )
    };
    slip(",6',5", ",6,5", Kind::BareNumber, (2, 8), "taped");
    slip(
        "6',5'10",
        "6',5.10",
        Kind::AmbiguousFeet,
        (2, 11),
        "reading",
    );
    slip(
        "5'10 5'11 6',,",
        "6',3,",
        Kind::Duplicate,
        (2, 14),
        "reading_deg",
    );
    slip(
        "1.5 1.75",
        "1.5 nan",
        Kind::NotFinite,
        (3, 14),
        "reading_deg",
    );
}

#[test]
fn a_reading_still_to_be_taken_is_left_out() {
    let form = PREP.replacen("5'10 5'11 6',,", ",,", 1);
    let kit = kit("prep.csv", &form);
    assert_eq!(kit.prep.len(), 1);
    assert_eq!(kit.prep[0].line, 3);
    // Without a column to write them into it is no form.
    let none = "lens,stop,taped\n40,T2.1,6'\n";
    let files = with("prep.csv", none.to_owned());
    the_error(&files, Kind::Missing, "prep.csv", (2, 1), "reading");
}

#[test]
fn shots_read_with_notes_carried_through() {
    let kit = kit("shots.csv", SHOTS);
    assert_eq!(kit.shots.len(), 3);
    let table = &kit.shots[1];
    assert_eq!((table.shot.as_str(), table.cue.as_str()), ("1A", "table"));
    assert_eq!(table.stop.to_string(), "T2.8");
    assert_eq!(table.seconds.map(|pull| pull.as_millis()), Some(2500));
    assert_eq!(
        table.speed.map(|speed| speed.in_one_second()),
        Some(Length::mm(1200.0))
    );
    assert_eq!(table.height, Some(Length::inches(54.0)));
    assert_eq!(table.tilt.map(|tilt| tilt.to_deg()), Some(-10.0));
    assert!(table.shot_stop.is_some() && table.shot_distance.is_some());
    let notes = [
        ("note".to_owned(), "a".to_owned()),
        ("note_2".to_owned(), "b".to_owned()),
    ];
    assert_eq!(kit.shots[0].notes, notes);
    // 3.6 km/h are 1 m/s.
    assert_eq!(
        kit.shots[2].speed.map(|speed| speed.in_one_second()),
        Some(Length::mm(1000.0))
    );
}

#[test]
fn a_shot_that_cannot_be_is_told() {
    let slip = |from: &str, to: &str, kind: Kind, spot: (usize, usize), key: &str| {
        assert!(SHOTS.contains(from), "{from}");
        the_error(
            &with("shots.csv", SHOTS.replacen(from, to, 1)),
            kind,
            "shots.csv",
            spot,
            key,
        )
    };
    let again = format!("{SHOTS}1A,40,2.8,door,14',,,,,,,,,\n");
    let error = the_error(
        &with("shots.csv", again),
        Kind::OutOfOrder,
        "shots.csv",
        (5, 1),
        "shot",
    );
    assert!(error.message.contains("1A"));
    slip(
        "2.5,1.2m/s",
        "-2,1.2m/s",
        Kind::NotPositive,
        (3, 22),
        "seconds",
    );
    slip("1.2m/s", "fast", Kind::NotADistance, (3, 26), "speed");
    slip("-10deg", "-10", Kind::BareNumber, (3, 41), "tilt");
    slip(
        "eyes,2m",
        "eyes,-2m",
        Kind::NotPositive,
        (4, 16),
        "distance",
    );
}

#[test]
fn an_unknown_lens_names_the_nearest() {
    let lenses = "id,focal_mm,t_number,close_focus\nprime-75,75,2.1,2'3\"\n40,40,2.1,2'\n";
    let files = with("lenses.csv", lenses)
        .with("prep.csv", "lens,stop,taped,reading\nprime75,T2.1,6',6'\n");
    let (kit, found) = good(&files);
    assert_eq!(kit.prep.len(), 0);
    assert_eq!(told(&found[0]).0, Kind::UnknownId);
    assert!(found[0].message.contains("prime75") && found[0].message.contains("left out"));
    assert!(found[0].help.clone().expect("help").contains("prime-75"));
}

#[test]
fn rows_of_lenses_the_kit_has_not_are_left_out_with_one_warning_a_file() {
    // A lens of neither name: what else its rows say is not judged.
    let prep = PREP.replace("\n75,", "\n57,").replace("\n40,", "\n4O,");
    let shots = SHOTS.replace("1B,75", "1B,76");
    let (whole, _) = good(&with("shots.csv", SHOTS));
    let (kit, found) = good(&with("prep.csv", prep.clone()).with("shots.csv", shots));
    assert_eq!(kit.prep.len(), 0);
    assert_eq!(kit.shots.len() + 1, whole.shots.len());
    let mut strays = found.iter().filter(|fault| fault.kind == Kind::UnknownId);
    let (first, second) = (strays.next().expect("one"), strays.next().expect("two"));
    assert!(strays.next().is_none());
    for (fault, file, line) in [(first, "prep.csv", 2), (second, "shots.csv", 4)] {
        assert_eq!(fault.severity, Severity::Warning);
        let place = fault.place.as_ref().expect("a place");
        assert_eq!(
            (place.file.as_deref(), place.line),
            (Some(file), Some(line))
        );
        assert!(
            fault
                .help
                .as_ref()
                .expect("help")
                .contains("may be deleted")
        );
    }
    let rows = prep.lines().count() - 1;
    assert!(
        first.message.starts_with(&format!("{rows} rows")),
        "{}",
        first.message
    );
    assert!(first.message.contains("4O") && first.message.contains("57"));
    assert!(second.message.contains("76"), "{}", second.message);
}

#[test]
fn a_control_character_in_a_note_is_told() {
    let text = SHOTS.replace(",a,b", ",a,b\u{1b}[2J");
    the_error(
        &with("shots.csv", text),
        Kind::NotText,
        "shots.csv",
        (2, 29),
        "note_2",
    );
}
