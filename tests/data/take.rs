//! The take-down at the bench, without terminal or files: what is understood, what
//! is refused, and that every byte of what was there is kept.

use markwright::data::take::{Cell, Figure, Growing, Heard, Session, Taken, Wish};
use markwright::data::{Kind, MemoryFiles, kit};
use markwright::gear::{MarkKind, PositionUnit};
use proptest::prelude::*;

use crate::given::{KIT, MARKS, good, with};

const FILE: &str = "marks/40.csv";

fn wish(lens: &str) -> Wish<'_> {
    Wish {
        lens,
        ..Wish::default()
    }
}

fn scale(lens: &str) -> Wish<'_> {
    Wish {
        scale: true,
        ..wish(lens)
    }
}

#[track_caller]
fn open<'a>(files: &'a MemoryFiles, wish: Wish<'_>) -> Session<'a> {
    match Session::open(files, wish) {
        Ok(session) => session,
        Err(faults) => panic!("{faults:#?}"),
    }
}

#[track_caller]
fn refused_at_start(files: &MemoryFiles, wish: Wish<'_>) -> (Kind, String) {
    match Session::open(files, wish) {
        Ok(_) => panic!("it began"),
        Err(faults) => {
            let help = faults[0].help.clone().unwrap_or_default();
            (faults[0].kind, format!("{} {help}", faults[0].message))
        }
    }
}

#[track_caller]
fn took(session: &mut Session<'_>, line: &str) -> Taken {
    match session.hear(line) {
        Heard::Took(taken) => *taken,
        other => panic!("{line}: {other:#?}"),
    }
}

#[track_caller]
fn refused(session: &mut Session<'_>, line: &str) -> (Kind, String) {
    let before = session.content().map(<[u8]>::to_vec);
    match session.hear(line) {
        Heard::Refused(faults) => {
            let now = session.content().map(<[u8]>::to_vec);
            assert_eq!(now, before, "{line}: nothing is written for it");
            let help = faults[0].help.clone().unwrap_or_default();
            (faults[0].kind, format!("{} {help}", faults[0].message))
        }
        other => panic!("{line}: {other:#?}"),
    }
}

fn text(session: &Session<'_>) -> String {
    String::from_utf8(session.content().unwrap().to_vec()).unwrap()
}

fn number(figure: Option<Figure>) -> f64 {
    match figure {
        Some(Figure::Number(number)) => number.value(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_line_becomes_a_row_and_its_mean_is_that_of_its_readings() {
    let files = with(FILE, MARKS);
    let mut session = open(&files, wish("40"));
    let taken = took(&mut session, "8' 33.2 33.5mm 33.3");
    assert_eq!(text(&session), format!("{MARKS}8',33.2 33.5 33.3,eye\n"));
    // (33.2 + 33.5 + 33.3) / 3 and 33.5 − 33.2.
    assert!((number(taken.mean) - 100.0 / 3.0).abs() < 1e-12);
    assert!((number(taken.spread) - 0.3).abs() < 1e-12);
    assert_eq!((taken.line, taken.file_line), (1, 8));
    // No ring size is known: nobody knows the degrees.
    assert_eq!((taken.spread_turn, taken.wide), (None, None));
    let (kit, _) = good(&with(FILE, text(&session)));
    let marks = kit.lenses[0].1.as_ref().unwrap();
    let row = marks.rows().last().unwrap();
    assert_eq!((row.settings.len(), row.kind), (3, MarkKind::Eye));
    assert!((row.position.value() - 100.0 / 3.0).abs() < 1e-12);
}

#[test]
fn undo_takes_back_line_by_line_down_to_what_was_there() {
    for before in [MARKS.to_owned(), MARKS.trim_end().to_owned()] {
        let files = with(FILE, before.clone());
        let mut session = open(&files, wish("40"));
        took(&mut session, "8' 33");
        took(&mut session, "4' 64");
        assert!(matches!(session.hear("undo"), Heard::Undid(_)));
        // The distance is free again.
        took(&mut session, "4' 65");
        assert!(matches!(session.hear("UNDO"), Heard::Undid(_)));
        assert!(matches!(session.hear("undo"), Heard::Undid(_)));
        assert_eq!(session.hear("undo"), Heard::NothingToUndo);
        assert_eq!(text(&session), before);
        assert_eq!(
            (session.answer().undone, session.answer().taken.len()),
            (3, 0)
        );
    }
}

#[test]
fn a_slip_is_said_with_what_would_be_right() {
    let files = with(FILE, MARKS);
    let mut session = open(&files, wish("40"));
    for (line, kind, words) in [
        ("8 33", Kind::BareNumber, "8'"),
        ("5.6' 45", Kind::AmbiguousFeet, "5′6″"),
        ("eight 33", Kind::NotADistance, "8'6"),
        ("8'", Kind::TooFew, "no reading"),
        (
            "8' 20",
            Kind::OutOfOrder,
            "between 10′ at 30 and 5′ at 50.5",
        ),
        (
            "8' 60",
            Kind::OutOfOrder,
            "between 10′ at 30 and 5′ at 50.5",
        ),
        ("20' 31", Kind::OutOfOrder, "between ∞ at 10 and 10′ at 30"),
        ("1'6 140", Kind::OutOfOrder, "above 2′ at 150"),
        ("5' 50.6", Kind::Duplicate, "at 50.5"),
        ("1' 190", Kind::InsideCloseFocus, "1′3″"),
        ("8' 33deg", Kind::Usage, "position_mm"),
        ("8' 7'11", Kind::Usage, "--scale"),
        ("8' 33,2,33,5", Kind::Usage, "spaces between"),
        ("8' 9999", Kind::OutOfRange, "5000"),
        ("8' nan", Kind::NotADistance, "no distance with a reading"),
        ("doen", Kind::NotADistance, "done"),
    ] {
        let (own, said) = refused(&mut session, line);
        assert_eq!(own, kind, "{line}: {said}");
        assert!(said.contains(words), "{line}: {said}");
    }
    assert_eq!(session.answer().refused.len(), 16);
    took(&mut session, "8' 33");
    // What a tape may be off is no slip, but worth a word.
    let near = took(&mut session, "1'2 3/4\" 220");
    assert_eq!(near.warnings[0].kind, Kind::InsideCloseFocus);
}

#[test]
fn a_repeat_within_one_session_is_refused_from_the_first_mark_on() {
    let lens = "id,focal_mm,t_number,close_focus\n40,40,2.1,1'3\"\n";
    let files = MemoryFiles::new()
        .with("kit.toml", KIT)
        .with("lenses.csv", lens);
    let mut session = open(&files, wish("40"));
    assert_eq!(session.content(), None, "no file before the first line");
    took(&mut session, "inf 10");
    let (kind, said) = refused(&mut session, "inf 11");
    assert_eq!(kind, Kind::Duplicate);
    assert!(said.contains("one line"), "{said}");
    took(&mut session, "10' 30");
    let grown = text(&session);
    assert!(grown.starts_with("# Where distances stand on the ring of lens 40"));
    assert!(grown.ends_with("distance,position_mm,kind\ninf,10,eye\n10',30,eye\n"));
    session.hear("undo");
    session.hear("undo");
    assert_eq!(session.content(), None, "as it was before");
}

#[test]
fn one_mark_alone_waits_for_its_second_in_the_next_session_too() {
    let files = with(FILE, "distance,position_mm,kind\n5',50,eye\n");
    assert!(kit::read(&files).is_err());
    let mut session = open(&files, wish("40"));
    took(&mut session, "10' 30");
    good(&with(FILE, text(&session)));
}

#[test]
fn the_spread_of_repeats_is_held_against_what_a_ring_may_be_off() {
    let lens = "id,focal_mm,t_number,close_focus,ring_circumference_mm\n40,40,2.1,1'3\",360\n";
    let files = with("lenses.csv", lens);
    let mut session = open(&files, wish("40"));
    // One degree is one millimetre here. The range of three is within 3.314
    // standard deviations of 0.3° 95 times in 100 (Harter's table): 0.994°.
    for (line, turn, wide) in [
        ("8' 33 33.9 33.5", 0.9, false),
        ("4' 60 61.1 60.5", 1.1, true),
    ] {
        let taken = took(&mut session, line);
        assert!((taken.spread_turn.unwrap().to_deg() - turn).abs() < 1e-9);
        assert_eq!(taken.wide, Some(wide), "{line}");
    }
    // Of a pair, 2.772 × 0.3° = 0.832°.
    let pair = took(&mut session, "30' 17 17.84");
    assert_eq!(pair.wide, Some(true));
    let one = took(&mut session, "20' 20");
    assert_eq!((one.spread, one.spread_turn), (None, None));
}

#[test]
fn a_mark_is_held_against_the_law_of_those_before_it() {
    let helicoid = |mm: f64| {
        // A thin lens of 40 mm: m from u² − D u + f D = 0, one degree a mm.
        let u = (mm + libm::sqrt(mm * (mm - 160.0))) / 2.0;
        10.0 + 800.0 * 40.0 / (u - 40.0)
    };
    let row = |mm: f64| format!("{mm}mm,{},eye\n", helicoid(mm));
    let marks = format!(
        "distance,position_deg,kind\ninf,10,eye\n{}{}{}",
        row(6000.0),
        row(2000.0),
        row(800.0)
    );
    let lens = "id,focal_mm,t_number,close_focus,hiatus_mm\n40,40,2.1,0.5m,0\n";
    let files = with(FILE, marks).with("lenses.csv", lens);
    let mut session = open(&files, wish("40"));
    let taken = took(&mut session, &format!("1.2m {}", helicoid(1200.0) + 0.5));
    let expected = taken.expected.unwrap();
    assert_eq!(expected.by, "eye");
    assert!((number(Some(expected.reading)) - helicoid(1200.0)).abs() < 1e-6);
    assert!((number(expected.off) - 0.5).abs() < 1e-6);
    assert!((expected.off_turn.unwrap().to_deg() - 0.5).abs() < 1e-6);
}

#[test]
fn the_scale_is_taken_for_prep_in_the_unit_of_the_lens() {
    let files = with(
        "prep.csv",
        "lens,stop,taped,reading,note\n75,T2.1,6',6',x\n",
    );
    let mut session = open(&files, scale("40"));
    let taken = took(&mut session, "6' 5'11 6' 6'1");
    assert_eq!(
        text(&session),
        "lens,stop,taped,reading,note\n75,T2.1,6',6',x\n40,T2.1,6',5'11 6' 6'1,\n"
    );
    // The lens's own scale is in feet: there a bare number is one.
    let bare = took(&mut session, "10' 11");
    assert_eq!(bare.readings.len(), 1);
    let off = bare.expected.unwrap().off;
    // One foot, by definition.
    assert!(matches!(off, Some(Figure::Apart(off)) if (off.to_mm() - 304.8).abs() < 1e-9));
    let Some(Figure::Distance(mean)) = taken.mean else {
        panic!("{taken:?}")
    };
    // Averaged as travel, which all but halves the way between.
    let mean = mean.reach().finite().unwrap().to_mm();
    assert!((mean - 1828.8).abs() < 1.0, "{mean}");
    let far = took(&mut session, "inf inf");
    assert!(far.distance.is_infinite() && far.spread.is_none());
    let (kind, _) = refused(&mut session, "9 9'");
    assert_eq!(kind, Kind::BareNumber, "a tape has no unit of its own");
    let (kind, _) = refused(&mut session, "6' 3in");
    assert_eq!(kind, Kind::OutsideMarks, "off the scale");
    let again = took(&mut session, "6' 6'");
    assert_eq!(again.warnings[0].kind, Kind::Duplicate, "both rows count");
}

#[test]
fn a_reading_no_error_explains_is_taken_with_a_warning() {
    let files = with("prep.csv", "lens,stop,taped,reading\n");
    let mut session = open(&files, scale("40"));
    assert!(took(&mut session, "6' 6'1").warnings.is_empty());
    let odd = took(&mut session, "6'6 12'");
    assert_eq!(odd.warnings[0].kind, Kind::OutOfOrder);
}

#[test]
fn stops_are_written_as_they_were_meant() {
    let stopped = |stop| Wish {
        stop: Some(stop),
        ..scale("40")
    };
    let files = with("prep.csv", "lens,stop,taped,reading\n");
    for (typed, written) in [("T2.8 1/3", "T2.8 1/3"), ("4", "4"), ("T4/5.6", "T4/5.6")] {
        let mut session = open(&files, stopped(typed));
        took(&mut session, "6' 6'");
        assert!(text(&session).ends_with(&format!("\n40,{written},6',6'\n")));
    }
    assert_eq!(
        refused_at_start(&files, stopped("T1.4")).0,
        Kind::OutOfRange
    );
    assert_eq!(refused_at_start(&files, stopped("x")).0, Kind::Usage);
    let session = open(&files, scale("40"));
    assert_eq!(session.answer().assumptions[0].kind, "widest_assumed");
}

#[test]
fn degrees_of_the_scale_go_into_their_own_column() {
    let degrees = Wish {
        unit: Some(PositionUnit::Deg),
        ..scale("40")
    };
    let files = with("prep.csv", "lens,stop,taped,reading_deg\n");
    let mut session = open(&files, degrees);
    took(&mut session, "6' 41.2deg 41.5");
    assert!(text(&session).ends_with("\n40,T2.1,6',41.2 41.5\n"));
    let files = with("prep.csv", "lens,stop,taped,reading\n");
    let (kind, said) = refused_at_start(&files, degrees);
    assert_eq!(kind, Kind::Missing);
    assert!(
        said.contains("reading_deg") && said.contains("line 1"),
        "{said}"
    );
}

const CAMERAS: &str = "\
title = \"Two\"
units = \"metres\"
[camera.A]
format = \"s35-3perf\"
[camera.B]
format = \"s35-3perf\"
";

#[test]
fn the_camera_is_written_and_said_aloud_where_nobody_chose() {
    let files = with(
        FILE,
        "distance;position_mm;kind;camera\ninf;10;eye;A\n3m;30,5;eye;A\n",
    )
    .with("kit.toml", CAMERAS);
    let mut session = open(&files, wish("40"));
    let note = &session.answer().assumptions[0];
    assert_eq!(note.kind, "camera_assumed");
    took(&mut session, "2,6m 33,5 33,7");
    assert!(
        text(&session).ends_with(
            "\n2,6m;33.5 33.7;eye;A\n"
                .replace("33.5 33.7", "33,5 33,7")
                .as_str()
        )
    );
    let on_b = Wish {
        camera: Some("B"),
        ..wish("40")
    };
    let mut session = open(&files, on_b);
    let notes = session.answer().assumptions;
    assert!(
        notes.iter().all(|note| note.kind == "ring_size_unknown"),
        "{notes:?}"
    );
    // 3 m stands on A alone.
    took(&mut session, "3m 31");
    assert!(text(&session).ends_with("\n3m;31;eye;B\n"));
    let nobody = Wish {
        camera: Some("C"),
        ..wish("40")
    };
    assert_eq!(refused_at_start(&files, nobody).0, Kind::UnknownId);
}

#[test]
fn a_file_that_lacks_a_column_is_refused_at_the_start() {
    let files = with(FILE, "distance,position_mm\ninf,10\n3m,30\n");
    let (kind, said) = refused_at_start(&files, wish("40"));
    assert_eq!(kind, Kind::Missing);
    assert!(
        said.contains("column kind") && said.contains("line 1"),
        "{said}"
    );
    let files = with(FILE, MARKS).with("kit.toml", CAMERAS);
    let (_, said) = refused_at_start(&files, wish("40"));
    assert!(said.contains("column camera"), "{said}");
    let files = with(FILE, "# nothing but a remark\n");
    assert_eq!(refused_at_start(&files, wish("40")).0, Kind::Missing);
    let other = Wish {
        unit: Some(PositionUnit::Deg),
        ..wish("40")
    };
    let (kind, said) = refused_at_start(&with(FILE, MARKS), other);
    assert_eq!(kind, Kind::Usage);
    assert!(said.contains("position_mm"), "{said}");
}

#[test]
fn a_kit_that_is_wrong_elsewhere_or_a_lens_nobody_has_is_told_first() {
    let files = with("marks/75.csv", "distance,position_mm\n5',1\n6',x\n");
    assert!(Session::open(&files, wish("40")).is_err());
    let (kind, said) = refused_at_start(&with(FILE, MARKS), wish("4O"));
    assert_eq!(kind, Kind::UnknownId);
    assert!(said.contains("40"), "{said}");
    assert_eq!(
        refused_at_start(&with(FILE, MARKS), wish("../40")).0,
        Kind::UnknownId
    );
}

#[test]
fn every_position_unit_of_a_file_is_taken() {
    for (column, rows, line) in [
        ("position_deg", "inf,0,eye\n3',90,eye\n", "5' 41.5°"),
        ("position_fraction", "inf,0,eye\n3',0.5,eye\n", "5' 0.25"),
        (
            "position_counts",
            "inf,0,eye\n3',30000,eye\n",
            "5' 12000 12003",
        ),
    ] {
        let files = with(FILE, format!("distance,{column},kind\n{rows}"));
        let mut session = open(&files, wish("40"));
        took(&mut session, line);
        good(&with(FILE, text(&session)));
    }
}

/// A marks file as editors and spreadsheets leave one.
fn any_manner() -> impl Strategy<Value = (String, char)> {
    let end = prop_oneof![Just("\n"), Just("\r\n"), Just("\r")];
    let separator = prop_oneof![Just(','), Just(';'), Just('\t')];
    let remark = prop_oneof![Just(""), Just("# read on a strip; twice, by hand")];
    let tail = prop_oneof![Just(""), Just("\u{2028}"), Just("# the end, or so")];
    (
        end,
        separator,
        remark,
        tail,
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
    )
        .prop_map(|(end, separator, remark, tail, marked, closed, padded)| {
            let s = separator;
            let point = if s == ',' { '.' } else { ',' };
            let pad = if padded {
                format!("{s}{s}")
            } else {
                String::new()
            };
            let mut lines = vec![
                remark.to_owned(),
                format!("kind{s}distance{s}sd_deg{s}position_mm{pad}"),
                format!("eye{s}inf{s}{s}10{point}5{pad}"),
                String::new(),
                format!("eye{s}\"5'\"{s}0{point}2{s}50{point}25{pad}"),
                format!("engraved{s}6'{s}{s}45{pad}"),
            ];
            if tail.starts_with('#') {
                lines.push(tail.to_owned());
            }
            let mark = if marked { "\u{feff}" } else { "" };
            let last = if closed { end } else { "" };
            (format!("{mark}{}{last}", lines.join(end)), separator)
        })
}

proptest! {
    #[test]
    fn every_byte_that_was_there_stands_before_what_is_added((before, separator) in any_manner()) {
        let files = with(FILE, before.clone());
        let mut session = open(&files, wish("40"));
        took(&mut session, "8' 33.5 33.25");
        took(&mut session, "2.4m 40");
        let after = text(&session);
        prop_assert!(after.starts_with(&before));
        let added = &after[before.len()..];
        let line_end = if before.contains("\r\n") { "\r\n" } else if before.contains('\r') { "\r" } else { "\n" };
        let point = if separator == ',' { '.' } else { ',' };
        let pad = if before.contains(&format!("position_mm{separator}{separator}")) {
            format!("{separator}{separator}")
        } else {
            String::new()
        };
        let s = separator;
        let rows = format!(
            "eye{s}8'{s}{s}33{point}5 33{point}25{pad}{line_end}eye{s}2{point}4m{s}{s}40{pad}{line_end}"
        );
        let gap = if before.ends_with(['\n', '\r']) { "" } else { line_end };
        prop_assert_eq!(added, format!("{gap}{rows}"));
        let (kit, _) = good(&with(FILE, after));
        let marks = kit.lenses[0].1.as_ref().unwrap();
        prop_assert_eq!(marks.rows().len(), 5);
        session.hear("undo");
        session.hear("undo");
        prop_assert_eq!(text(&session), before);
    }

    #[test]
    fn no_line_makes_a_session_panic_or_the_kit_unreadable(
        lines in proptest::collection::vec(
            "\\PC{0,20}|[0-9]{1,2}' [0-9]{1,3}|[0-9]{1,2}m [0-9.]{1,4}m? [0-9'\"]{1,4}|inf inf|undo",
            1..12,
        ),
        of_scale in any::<bool>(),
    ) {
        const PREP: &str = "lens,stop,taped,reading\n";
        let (file, before) = if of_scale { ("prep.csv", PREP) } else { (FILE, MARKS) };
        let files = with(file, before);
        let mut session = open(&files, if of_scale { scale("40") } else { wish("40") });
        for line in &lines {
            session.hear(line);
            prop_assert!(text(&session).starts_with(before));
        }
        good(&with(file, text(&session)));
        let answer = session.answer();
        prop_assert!(answer.taken.len() + 2 * answer.undone + answer.refused.len() <= lines.len());
    }
}

#[test]
fn a_cell_that_would_be_read_otherwise_is_quoted() {
    let mut table = Growing::open("t", b"a;b;c\n".to_vec()).unwrap().unwrap();
    let name = |text: &str| Cell::Name(text.to_owned());
    assert!(table.add(&[("c", name("x;y")), ("a", name("\"q\" r"))]));
    assert!(table.add(&[("b", Cell::Figure("2'9\"".into())), ("nobody", name("z"))]));
    assert_eq!(table.bytes(), b"a;b;c\n\"\"\"q\"\" r\";;\"x;y\"\n;2'9\";\n");
    assert_eq!(table.last_line(), 3);
    assert!(table.take_back() && table.take_back() && !table.take_back());
    assert_eq!(table.bytes(), b"a;b;c\n");
}

#[test]
fn a_file_full_to_the_brim_takes_no_row() {
    let mut full = b"distance,position_mm,kind\ninf,10,eye\n5',50,eye\n#".to_vec();
    full.resize(16 * 1024 * 1024 - 5, b'x');
    let files = with(FILE, full);
    let mut session = open(&files, wish("40"));
    assert_eq!(refused(&mut session, "8' 33").0, Kind::TooLarge);
}
