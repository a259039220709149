//! What spreadsheets and editors do to files: taken as they come, or refused
//! with kind and place.

use markwright::data::{Kind, MemoryFiles, Severity};
use markwright::units::{Length, Reach};

use crate::given::{KIT, LENSES, MARKS, errors, good, the_error, told, with};

fn close_focus(files: &MemoryFiles, id: &str) -> f64 {
    let (kit, _) = good(files);
    let close = kit.lens(id).expect("the lens is there").0.close_focus();
    match close.reach() {
        Reach::At(length) => length.to_mm(),
        Reach::Infinity => f64::INFINITY,
    }
}

#[test]
fn the_undamaged_kit_is_good() {
    let (kit, warnings) = good(&with("kit.toml", KIT));
    assert!(warnings.is_empty(), "{warnings:#?}");
    assert_eq!(kit.lenses.len(), 2);
}

#[test]
fn feet_and_inches_read_quoted_and_unquoted() {
    // 2 ft 6 in is 762 mm (25.4 mm to the inch).
    let files = with(
        "lenses.csv",
        "id,focal_mm,t_number,close_focus\n40,40,2.1,2'6\"\n",
    );
    assert_eq!(close_focus(&files, "40"), 762.0);
    let files = with(
        "lenses.csv",
        "id,focal_mm,t_number,close_focus\n40,40,2.1,\"2'6\"\"\"\n",
    );
    assert_eq!(close_focus(&files, "40"), 762.0);
}

#[test]
fn a_byte_order_mark_and_any_line_end_are_taken() {
    for lines in [
        format!("\u{feff}{LENSES}"),
        LENSES.replace('\n', "\r\n"),
        LENSES.replace('\n', "\r"),
        LENSES.trim_end().to_owned(),
        format!("\n\n{LENSES}\n\n"),
    ] {
        assert_eq!(close_focus(&with("lenses.csv", lines), "40"), 381.0);
    }
}

#[test]
fn places_count_lines_whatever_ends_them() {
    for end in ["\n", "\r\n", "\r"] {
        let damaged = LENSES.replace("75,75,", "75,x,").replace('\n', end);
        the_error(
            &with("lenses.csv", damaged),
            Kind::NotADistance,
            "lenses.csv",
            (3, 4),
            "focal_mm",
        );
    }
}

#[test]
fn comment_lines_may_stand_anywhere_and_count_as_lines() {
    let damaged = LENSES.replace(
        "75,75,",
        "# a lens, with a note\n\"# quoted, by a spreadsheet\",,,,\n75,,",
    );
    let error = the_error(
        &with("lenses.csv", damaged),
        Kind::Missing,
        "lenses.csv",
        (5, 1),
        "focal_mm",
    );
    assert!(error.help.expect("help").contains("focal length"));
}

#[test]
fn semicolons_and_tabs_bring_decimal_commas() {
    let text = "id;focal_mm;t_number;close_focus;label\n40;40,5;2,1;0,45m;40,5 with a comma\n";
    for text in [text.to_owned(), text.replace(';', "\t")] {
        let (kit, _) = good(&with("lenses.csv", text));
        let lens = &kit.lens("40").expect("the lens").0;
        assert_eq!(lens.focal().longest(), Length::mm(40.5));
        assert_eq!(lens.close_focus().reach(), Reach::At(Length::mm(450.0)));
        assert_eq!(lens.label(), "40,5 with a comma");
    }
}

#[test]
fn figures_in_a_spreadsheets_scientific_form_are_taken() {
    let text = "id,focal_mm,t_number,close_focus,travel_deg,ring_circumference_mm\n\
                40,4.00E+01,2.1E+00,4.5E+02mm,2.9E+02,2.67e2\n";
    for text in [text.to_owned(), text.replace(',', ";").replace('.', ",")] {
        let (kit, _) = good(&with("lenses.csv", text));
        let lens = &kit.lens("40").expect("the lens").0;
        assert_eq!(lens.focal().longest(), Length::mm(40.0));
        assert_eq!(lens.close_focus().reach(), Reach::At(Length::mm(450.0)));
        assert_eq!(lens.ring().circumference(), Some(Length::mm(267.0)));
        assert_eq!(lens.ring().travel().map(|turn| turn.to_deg()), Some(290.0));
    }
    let marks = MARKS
        .replace("2',150", "2',1.50E+02")
        .replace("inf,10", "inf,1E+01");
    let (kit, _) = good(&with("marks/40.csv", marks));
    let rows = kit.lenses[0].1.as_ref().expect("marks").rows().to_vec();
    assert_eq!(rows[0].position.value(), 10.0);
    assert_eq!(rows[3].position.value(), 150.0);
}

#[test]
fn rows_and_headers_padded_by_a_spreadsheet_are_taken() {
    let text = "id,focal_mm,t_number,close_focus,engraved,,\n40,40,2.1,1'3\",feet,,,\n,,,,,,\n";
    assert_eq!(close_focus(&with("lenses.csv", text), "40"), 381.0);
}

#[test]
fn a_cell_turned_into_a_date_is_named_as_such() {
    let damaged = MARKS.replace("5',50.5", "05-Jun,50.5");
    let error = the_error(
        &with("marks/40.csv", damaged),
        Kind::SpreadsheetDate,
        "marks/40.csv",
        (4, 1),
        "distance",
    );
    assert!(error.help.expect("help").contains("as text"));
    for (cell, damaged) in [("40,40,", "Apr 40,40,"), ("40,40,", "40,1.4.2031,")] {
        let files = with("lenses.csv", LENSES.replacen(cell, damaged, 1));
        let kinds: Vec<Kind> = errors(&files).iter().map(|fault| fault.kind).collect();
        assert!(kinds.contains(&Kind::SpreadsheetDate), "{kinds:?}");
    }
}

#[test]
fn a_stop_between_two_numbers_is_no_date() {
    let files = with(
        "shots.csv",
        "shot,lens,stop,cue,distance\n1,40,2.8/4,door,6'\n",
    );
    // Midway between 2.8 and 4 is their geometric mean.
    let stop = good(&files).0.shots[0].stop.number();
    assert!((stop * stop - 2.8 * 4.0).abs() < 1e-9, "{stop}");
}

#[test]
fn bytes_that_are_no_text_are_told_with_their_line() {
    let mut bytes = LENSES.as_bytes().to_vec();
    let at = LENSES.find("75,75").expect("the row is there");
    bytes[at + 1] = 0xe9;
    the_error(
        &with("lenses.csv", bytes),
        Kind::NotText,
        "lenses.csv",
        (3, 2),
        "",
    );
}

#[test]
fn a_zero_byte_is_told_with_its_line() {
    let damaged = LENSES.replace("75,75", "75,\0\u{37}5");
    the_error(
        &with("lenses.csv", damaged),
        Kind::NotText,
        "lenses.csv",
        (3, 4),
        "",
    );
}

#[test]
fn utf_16_is_called_by_its_name() {
    let little: Vec<u8> = LENSES.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let big: Vec<u8> = LENSES.encode_utf16().flat_map(u16::to_be_bytes).collect();
    let marked = [vec![0xff, 0xfe], little.clone()].concat();
    for bytes in [little, big, marked] {
        let errors = errors(&with("lenses.csv", bytes));
        assert_eq!(errors.len(), 1, "{errors:#?}");
        assert_eq!(told(&errors[0]).0, Kind::NotText);
        assert_eq!(told(&errors[0]).1, "lenses.csv");
        assert!(
            errors[0].message.contains("UTF-16"),
            "{}",
            errors[0].message
        );
    }
}

#[test]
fn two_columns_of_one_name_are_refused() {
    let damaged = LENSES
        .replace(",engraved", ",focal_mm")
        .replace(",feet", ",40");
    the_error(
        &with(
            "lenses.csv",
            damaged
                .replace("1'3\",40", "1'3\",1")
                .replace("2'3\",40", "2'3\",1"),
        ),
        Kind::Duplicate,
        "lenses.csv",
        (1, 34),
        "focal_mm",
    );
}

#[test]
fn an_unknown_column_names_the_nearest_known_one() {
    let damaged = LENSES.replace("close_focus", "closefocus");
    let errors = errors(&with("lenses.csv", damaged));
    let first = &errors[0];
    let wanted = (
        Kind::UnknownKey,
        "lenses.csv".to_owned(),
        Some(1),
        Some(22),
        Some("closefocus".to_owned()),
    );
    assert_eq!(told(first), wanted);
    assert!(first.help.as_ref().expect("help").contains("close_focus"));
}

#[test]
fn a_short_row_says_what_is_missing() {
    let damaged = LENSES.replace("75,75,2.1,2'3\",feet", "75,75,2.1,2'3\"");
    let error = the_error(
        &with("lenses.csv", damaged),
        Kind::Missing,
        "lenses.csv",
        (3, 11),
        "",
    );
    assert!(error.message.contains("engraved"), "{}", error.message);
}

#[test]
fn a_long_row_says_what_is_extra() {
    let damaged = LENSES.replace("2'3\",feet", "2'3\",feet,oops");
    let error = the_error(
        &with("lenses.csv", damaged),
        Kind::Usage,
        "lenses.csv",
        (3, 21),
        "",
    );
    assert!(error.message.contains("oops"), "{}", error.message);
}

#[test]
fn a_quote_that_is_not_closed_is_told_where_it_opens() {
    let damaged = LENSES.replace("75,75,2.1,2'3\",feet", "75,75,2.1,\"2'3\",feet");
    let good = with("lenses.csv", damaged);
    // "2'3" closes at once: 2'3 is two feet three.
    assert_eq!(close_focus(&good, "75"), 685.8);
    let damaged = LENSES.replace("75,75,2.1,2'3\",feet", "75,75,2.1,\"2'3\"\",feet");
    let told = errors(&with("lenses.csv", damaged));
    let place = told[0].place.clone().expect("a place");
    assert_eq!(
        (told[0].kind, place.line, place.column),
        (Kind::Usage, Some(3), Some(11))
    );
}

#[test]
fn an_empty_file_and_a_header_alone_are_told() {
    for empty in ["", "\n\n", "# nothing\n"] {
        let errors = errors(&with("lenses.csv", empty));
        assert_eq!(told(&errors[0]).0, Kind::Missing);
        assert_eq!(told(&errors[0]).1, "lenses.csv");
    }
    let header = LENSES.lines().next().expect("a header");
    let files = with("lenses.csv", header);
    let kinds: Vec<Kind> = errors(&files).iter().map(|fault| fault.kind).collect();
    // The marks of lens 40 now belong to no lens as well.
    assert_eq!(kinds, [Kind::TooFew, Kind::UnknownId]);
}

#[test]
fn a_file_over_16_mib_is_too_large() {
    let mut large = LENSES.as_bytes().to_vec();
    large.resize(16 * 1024 * 1024 + 1, b'\n');
    let told_of = errors(&with("lenses.csv", large));
    assert_eq!(told_of.len(), 1);
    assert_eq!(
        told(&told_of[0]),
        (Kind::TooLarge, "lenses.csv".into(), None, None, None)
    );
}

#[test]
fn ten_thousand_lenses_are_taken_and_one_more_is_not() {
    let header = "id,focal_mm,t_number,close_focus\n";
    let lens = |number: usize| format!("L{number},40,2.1,0.5m\n");
    let many: String = (0..10_000).map(lens).collect();
    let files = MemoryFiles::new().with("kit.toml", KIT);
    let (kit, _) = good(&files.clone().with("lenses.csv", format!("{header}{many}")));
    assert_eq!(kit.lenses.len(), 10_000);
    let more = format!("{header}{many}one,40,2.1,0.5m\n");
    the_error(
        &files.with("lenses.csv", more),
        Kind::TooLarge,
        "lenses.csv",
        (10_002, 1),
        "",
    );
}

#[test]
fn a_thousand_marks_are_taken_and_one_more_is_not() {
    let marks = |count: usize| {
        let rows = (0..count).map(|n| format!("{}mm,{n}\n", 2_000_000 - n * 1000));
        format!("distance,position_mm\n{}", rows.collect::<String>())
    };
    let (kit, _) = good(&with("marks/40.csv", marks(1000)));
    let marks_read = kit.lenses[0].1.as_ref().expect("marks").rows().len();
    assert_eq!(marks_read, 1000);
    the_error(
        &with("marks/40.csv", marks(1001)),
        Kind::TooLarge,
        "marks/40.csv",
        (1002, 1),
        "",
    );
}

#[test]
fn a_file_that_is_wrong_throughout_is_told_in_bounded_length() {
    let rows: String = (0..5000).map(|n| format!("L{n},x,y,z\n")).collect();
    let text = format!("id,focal_mm,t_number,close_focus\n{rows}");
    let files = MemoryFiles::new()
        .with("kit.toml", KIT)
        .with("lenses.csv", text);
    assert!(errors(&files).len() <= 201);
}

#[test]
fn faults_of_all_files_come_in_one_run() {
    let files = with("kit.toml", KIT.replace("feet", "furlongs"))
        .with("lenses.csv", LENSES.replace("75,75", "75,-75"))
        .with("marks/40.csv", MARKS.replace("5',50.5", "5',nan"))
        .with("prep.csv", "lens,stop,taped,reading\n40,2.1 x,6',6'\n")
        .with("shots.csv", "shot,lens,stop,cue,distance\n1,40,T2.8,a,0m\n");
    let found: Vec<(Kind, String)> = errors(&files)
        .iter()
        .map(|fault| (told(fault).0, told(fault).1))
        .collect();
    let wanted = [
        (Kind::UnknownId, "kit.toml"),
        (Kind::NotFinite, "marks/40.csv"),
        (Kind::NotPositive, "lenses.csv"),
        (Kind::NotADistance, "prep.csv"),
        (Kind::NotPositive, "shots.csv"),
    ];
    let wanted = wanted.map(|(kind, file)| (kind, file.to_owned()));
    assert_eq!(found, wanted);
}

#[test]
fn a_warning_alone_does_not_stop_a_kit() {
    let (_, warnings) = good(&with("marks/40.csv", "distance,position_mm\n10',\n5',\n"));
    assert_eq!(warnings.len(), 1);
    assert_eq!(warnings[0].severity, Severity::Warning);
}
