//! `lens add` without a disk: what the files become, what is refused, and that
//! every byte of what was there is kept.

use markwright::data::keys::LENSES as COLUMNS;
use markwright::data::put::{LensAdded, NewLens, add_lens, option_of};
use markwright::data::{Fault, Files, Kind, MemoryFiles};
use markwright::gear::{Focal, Sense};
use markwright::units::{FocusDistance, Length, Reach};
use proptest::prelude::*;

use crate::given::{LENSES, good, with};

fn add(files: &dyn Files, id: &str, columns: &[(&str, &str)]) -> Result<LensAdded, Vec<Fault>> {
    let columns: Vec<_> = columns
        .iter()
        .map(|(name, typed)| (COLUMNS.key(name).unwrap(), (*typed).to_owned()))
        .collect();
    add_lens(
        files,
        NewLens {
            id,
            columns: &columns,
        },
    )
}

#[track_caller]
fn added(files: &dyn Files, id: &str, columns: &[(&str, &str)]) -> LensAdded {
    add(files, id, columns).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

/// Kind and flag of every fault.
#[track_caller]
fn refused(files: &dyn Files, id: &str, columns: &[(&str, &str)]) -> Vec<(Kind, String)> {
    let faults = add(files, id, columns).unwrap_err();
    let key = |fault: &Fault| fault.place.clone().unwrap_or_default().key;
    faults
        .iter()
        .map(|fault| (fault.kind, key(fault).unwrap_or_default()))
        .collect()
}

/// The files with what was changed.
fn after(files: &MemoryFiles, added: &LensAdded) -> MemoryFiles {
    let changes = added.changes.iter();
    changes.fold(files.clone(), |files, change| {
        files.with(&change.file, change.after.clone())
    })
}

const WIDE: &str = "\
id,label,focal_mm,f_number,t_number,close_focus,engraved,sense,ring_circumference_mm,travel_deg,travel_mm,hiatus_mm,card_focals
40,,40,,2.1,1'3\",feet,,,,,,
";

#[test]
fn every_option_lands_in_its_column_and_reads_back() {
    let files = with("lenses.csv", WIDE);
    let row = [
        ("label", "The \"long\" one, B"),
        ("focal_mm", "2in"),
        ("t_number", "2.1"),
        ("close_focus", "0.6m"),
        ("engraved", "metres"),
        ("sense", "counter-clockwise"),
        ("ring_circumference_mm", "26.7cm"),
        ("travel_deg", "296"),
        ("hiatus_mm", "-15.6mm"),
    ];
    let added = added(&files, "A 50", &row);
    assert_eq!((added.answer.line, added.answer.lens.as_str()), (3, "A 50"));
    let (kit, _) = good(&after(&files, &added));
    let (lens, marks) = kit.lens("A 50").unwrap();
    assert!(marks.is_none(), "none is read yet");
    // 1 in = 25.4 mm.
    assert_eq!(lens.focal(), Focal::Prime(Length::mm(50.8)));
    assert_eq!(lens.label(), "The \"long\" one, B");
    assert_eq!(lens.close_focus().reach(), Reach::At(Length::mm(600.0)));
    assert_eq!(lens.ring().sense(), Some(Sense::CounterClockwise));
    assert_eq!(lens.ring().circumference(), Some(Length::mm(267.0)));
    let said = |about| {
        let said = added
            .answer
            .understood
            .iter()
            .find(|said| said.about == about);
        said.map(|said| said.words.clone()).unwrap()
    };
    assert!(said("sense").contains("counter-clockwise"));
    assert!(said("tape").contains("a tape can be printed"));
}

#[test]
fn a_zoom_carries_its_unit_once_or_twice() {
    let files = with("lenses.csv", WIDE);
    for typed in ["25..250mm", "25mm..250mm", "2.5cm..25cm"] {
        let row = [
            ("focal_mm", typed),
            ("f_number", "2.8"),
            ("close_focus", "1.2m"),
            ("card_focals", "25 50 250"),
        ];
        let (kit, _) = good(&after(&files, &added(&files, "zoom", &row)));
        let zoom = Focal::Zoom {
            wide: Length::mm(25.0),
            long: Length::mm(250.0),
        };
        assert_eq!(kit.lens("zoom").unwrap().0.focal(), zoom, "{typed}");
    }
}

#[test]
fn the_form_asks_for_the_distances_of_its_scale_down_to_close_focus() {
    let files = with("lenses.csv", WIDE);
    for (engraved, close, of_the_trade, last) in [
        // Marks usual on engraved scales (trade practice: no source but lenses).
        (
            "feet",
            "1'5\"",
            &["inf", "50'", "20'", "10'", "6'", "3'", "2'6\"", "1'6\""][..],
            "1'5\"",
        ),
        (
            "metres",
            "0.6m",
            &["inf", "20m", "10m", "5m", "3m", "2m", "1.5m", "0.7m"],
            "0.6m",
        ),
    ] {
        let row = [
            ("focal_mm", "50mm"),
            ("t_number", "2"),
            ("close_focus", close),
            ("engraved", engraved),
        ];
        let added = added(&files, "50", &row);
        let change = &added.changes[1];
        assert_eq!(
            (change.file.as_str(), &change.before),
            ("marks/50.csv", &None)
        );
        let text = String::from_utf8(change.after.clone()).unwrap();
        // The kit's camera has no name: rows need no camera.
        assert!(text.contains("\ndistance,position_mm,kind\n"), "{text}");
        assert!(text.starts_with("# Where distances stand"), "{text}");
        for mark in of_the_trade {
            assert!(
                text.contains(&format!("\n{mark},,engraved\n")),
                "{mark}: {text}"
            );
        }
        assert!(text.ends_with(&format!("\n{last},,engraved\n")), "{text}");
        let asked = &added.answer.asked;
        assert_eq!(asked[0], FocusDistance::INFINITY);
        assert!(asked.windows(2).all(|pair| pair[1].is_nearer_than(pair[0])));
        let rows = text.lines().filter(|line| line.ends_with(",,engraved"));
        assert_eq!(rows.count(), asked.len());
    }
}

#[test]
fn every_fault_is_told_at_its_option_and_at_once() {
    let files = with("lenses.csv", WIDE);
    let row = [
        ("focal_mm", "35"),
        ("t_number", "wide"),
        ("close_focus", "5.6"),
        ("engraved", "feet"),
        ("sense", "left"),
        ("mount", "54 mm"),
        ("travel_deg", "-3"),
    ];
    let told = refused(&files, "35", &row);
    for fault in [
        (Kind::BareNumber, "--focal"),
        (Kind::NotADistance, "--t-number"),
        (Kind::AmbiguousFeet, "--close-focus"),
        (Kind::UnknownId, "--sense"),
        (Kind::Missing, "mount"),
        (Kind::NotPositive, "--travel-deg"),
    ] {
        let fault = (fault.0, fault.1.to_owned());
        assert!(told.contains(&fault), "{fault:?} in {told:#?}");
    }
    assert_eq!(told.len(), 6, "{told:#?}");
}

#[test]
fn what_is_missing_twice_or_unheard_of_is_named() {
    let files = with("lenses.csv", WIDE);
    let told = refused(&files, "35", &[]);
    for flag in ["--focal", "--close-focus", "--t-number"] {
        assert!(told.contains(&(Kind::Missing, flag.into())), "{told:?}");
    }
    let enough = [
        ("focal_mm", "40mm"),
        ("t_number", "2"),
        ("close_focus", "2'"),
    ];
    let faults = add(&files, "40", &enough).unwrap_err();
    assert_eq!(faults[0].kind, Kind::Duplicate);
    assert_eq!(faults[0].message, "lens 40 stands already on line 2");
    for id in ["", "a/b", "#1", ".x", "a\nb"] {
        assert!(add(&files, id, &enough).is_err(), "{id}");
    }
    // Inside four focal lengths nothing focuses.
    let near = [
        ("focal_mm", "100mm"),
        ("t_number", "2"),
        ("close_focus", "0.3m"),
    ];
    assert_eq!(
        refused(&files, "x", &near),
        [(Kind::Inside4f, "--close-focus".into())]
    );
    for typed in ["a\tb", "a\u{1b}[1m", "a\nb,c"] {
        let row = [&enough[..], &[("label", typed)]].concat();
        assert_eq!(
            refused(&files, "x", &row)[0],
            (Kind::NotText, "--label".into())
        );
    }
    // A row that would be a remark is no lens.
    let remark = "label,id,focal_mm,t_number,close_focus\n,40,40,2,2'\n";
    let row = [&enough[..], &[("label", "# one")]].concat();
    assert!(add(&with("lenses.csv", remark), "x", &row).is_err());
}

#[test]
fn a_kit_without_lenses_gets_its_first_and_one_that_is_broken_is_told_of() {
    let enough = [
        ("focal_mm", "65mm"),
        ("t_number", "2"),
        ("close_focus", "2'"),
    ];
    let bare = MemoryFiles::new()
        .with("kit.toml", crate::given::KIT)
        .with("lenses.csv", "id,focal_mm,t_number,close_focus\n");
    let first = added(&bare, "65", &enough);
    assert_eq!(good(&after(&bare, &first)).0.lenses.len(), 1);
    let broken = with("prep.csv", "lens,stop,taped\n40,T2,x\n");
    let faults = add(&broken, "65", &enough).unwrap_err();
    let file = faults[0].place.clone().unwrap().file;
    assert_eq!(file.as_deref(), Some("prep.csv"));
    let none = MemoryFiles::new().with("kit.toml", crate::given::KIT);
    assert_eq!(
        add(&none, "65", &enough).unwrap_err()[0].kind,
        Kind::Missing
    );
    let empty = with("lenses.csv", "# nothing\n");
    assert_eq!(
        add(&empty, "65", &enough).unwrap_err()[0].kind,
        Kind::Missing
    );
}

#[test]
fn marks_that_are_there_are_left_alone() {
    let marks = "distance,position_mm,kind\ninf,10,eye\n4',50,eye\n";
    let files = with("marks/65.csv", marks);
    let enough = [
        ("focal_mm", "65mm"),
        ("t_number", "2"),
        ("close_focus", "2'"),
    ];
    let added = added(&files, "65", &enough);
    assert_eq!(added.changes.len(), 1);
    assert!(!added.answer.marks_written && added.answer.asked.is_empty());
    let (kit, _) = good(&after(&files, &added));
    assert!(kit.lens("65").unwrap().1.is_some());
}

#[test]
fn options_are_named_after_their_columns_and_no_two_alike() {
    let named: Vec<String> = COLUMNS.keys.iter().map(option_of).collect();
    for (column, option) in [
        ("focal_mm", "focal"),
        ("t_number", "t-number"),
        ("ring_circumference_mm", "circumference"),
        ("travel_deg", "travel-deg"),
        ("travel_mm", "travel-length"),
        ("ring_teeth", "ring-teeth"),
    ] {
        assert_eq!(option_of(COLUMNS.key(column).unwrap()), option);
    }
    let mut apart = named.clone();
    apart.sort();
    apart.dedup();
    assert_eq!(apart.len(), named.len());
}

proptest! {
    #[test]
    fn every_byte_is_kept_and_the_row_reads_back(
        ends in prop_oneof![Just("\n"), Just("\r\n")],
        sign in prop_oneof![Just(','), Just(';'), Just('\t')],
        open_end in any::<bool>(),
        bom in any::<bool>(),
        focal in 100u32..2000,
        stop in 10u32..80,
        close in 1u32..400,
        label in "[A-Za-z0-9 ,;\"'.-]{0,12}",
    ) {
        // Tenths of a millimetre, of a stop, and centimetres beyond four focal lengths.
        let (focal, stop) = (f64::from(focal) / 10.0, f64::from(stop) / 10.0);
        let close = f64::from(close) / 100.0 + 4.0 * focal / 1000.0 + 0.01;
        let head = "id,label,focal_mm,t_number,close_focus\n40,,40,2,0.5m\n75,,75,2,1m\n";
        let mut text = head.replace(',', &sign.to_string()).replace('\n', ends);
        if open_end {
            text.truncate(text.len() - ends.len());
        }
        let text = format!("{}{text}", if bom { "\u{feff}" } else { "" });
        let files = with("lenses.csv", text.clone());
        let (focal_typed, stop_typed) = (format!("{focal}mm"), stop.to_string());
        let close_typed = format!("{close}m");
        let mut row = vec![
            ("focal_mm", focal_typed.as_str()),
            ("t_number", &stop_typed),
            ("close_focus", &close_typed),
        ];
        if !label.trim().is_empty() {
            row.push(("label", &label));
        }
        let added = added(&files, "new", &row);
        let change = &added.changes[0];
        prop_assert_eq!(change.before.as_deref(), Some(text.as_bytes()));
        prop_assert!(change.after.starts_with(text.as_bytes()));
        let (kit, _) = good(&after(&files, &added));
        let (lens, _) = kit.lens("new").unwrap();
        prop_assert_eq!(lens.focal(), Focal::Prime(Length::mm(focal)));
        prop_assert_eq!(lens.t_number().unwrap().value(), stop);
        let meant = markwright::units::parse::distance(
            &close_typed,
            markwright::units::BareUnit::Refused(None),
        );
        prop_assert_eq!(lens.close_focus(), meant.unwrap());
        let label = if label.trim().is_empty() { "new" } else { label.trim() };
        prop_assert_eq!(lens.label(), label);
    }
}

#[test]
fn the_given_kit_takes_a_lens_too() {
    let files = with("lenses.csv", LENSES);
    let enough = [
        ("focal_mm", "65mm"),
        ("t_number", "2"),
        ("close_focus", "2'"),
    ];
    assert_eq!(added(&files, "65", &enough).answer.line, 4);
}
