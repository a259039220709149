//! `import` without a disk: what is understood of tables from elsewhere, what is
//! refused and where, and that marks that are there keep every byte.

mod whole;

use markwright::data::put::{From, IfThere, ImportWish, Imported, Named, import};
use markwright::data::{Fault, Kind, MemoryFiles};
use markwright::gear::{Mark, MarkKind, PositionUnit};
use markwright::units::{FocusDistance, Length, Reach, Unit};
use proptest::prelude::*;

use crate::given::{KIT, MARKS, good, told, with};

/// How a test imports.
#[derive(Clone, Copy)]
struct How<'a> {
    lens: &'a str,
    columns: Named<'a>,
    unit: Option<PositionUnit>,
    distances_in: Option<Unit>,
    if_there: IfThere,
}

const BY_NUMBER: Named<'static> = Named {
    distance: Some("1"),
    position: Some("2"),
    kind: None,
    camera: None,
    sd: None,
};

const MM: How<'static> = How {
    lens: "75",
    columns: BY_NUMBER,
    unit: Some(PositionUnit::Mm),
    distances_in: None,
    if_there: IfThere::Refuse,
};

fn table(files: &MemoryFiles, text: &[u8], how: How<'_>) -> Result<Imported, Vec<Fault>> {
    import(
        files,
        ImportWish {
            lens: how.lens,
            from: From::Table {
                name: "r.csv",
                bytes: text,
                columns: how.columns,
            },
            unit: how.unit,
            distances_in: how.distances_in,
            if_there: how.if_there,
        },
    )
}

fn line(files: &MemoryFiles, text: &str, how: How<'_>) -> Result<Imported, Vec<Fault>> {
    import(
        files,
        ImportWish {
            lens: how.lens,
            from: From::Line(text),
            unit: how.unit,
            distances_in: how.distances_in,
            if_there: how.if_there,
        },
    )
}

#[track_caller]
fn ok(result: Result<Imported, Vec<Fault>>) -> Imported {
    result.unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn after(files: &MemoryFiles, imported: &Imported) -> MemoryFiles {
    let changes = imported.changes.iter();
    changes.fold(files.clone(), |files, change| {
        files.with(&change.file, change.after.clone())
    })
}

/// The marks of a lens once imported.
#[track_caller]
fn marks(files: &MemoryFiles, imported: &Imported, lens: &str) -> Vec<Mark> {
    let (kit, _) = good(&after(files, imported));
    kit.lens(lens).unwrap().1.as_ref().unwrap().rows().to_vec()
}

fn mm(mark: &Mark) -> f64 {
    match mark.distance.reach() {
        Reach::At(length) => length.to_mm(),
        Reach::Infinity => f64::INFINITY,
    }
}

fn given() -> MemoryFiles {
    with("marks/40.csv", MARKS)
}

/// The faults of a table for lens 75, as kind, line, column.
#[track_caller]
fn refused(text: &str, how: How<'_>) -> Vec<(Kind, Option<usize>, Option<usize>)> {
    let faults = table(&given(), text.as_bytes(), how).unwrap_err();
    let place = |fault: &Fault| fault.place.clone().unwrap_or_default();
    faults
        .iter()
        .map(|fault| (fault.kind, place(fault).line, place(fault).column))
        .collect()
}

#[test]
fn a_table_is_read_however_its_cells_are_apart() {
    // 10 ft = 3048 mm, 3 ft = 914.4 mm, exactly.
    for (text, header) in [
        ("dist,strip\n10',20.5\n3',41.25\ninf,2\n", true),
        ("dist;strip\r\n10';20,5\r\n3';41,25\r\ninf;2\r\n", true),
        ("dist\tstrip\r10'\t20,5\r3'\t41,25\rinf\t2\r", true),
        (
            "\u{feff}\"dist\",\"strip\"\n\"10'\",\"20,5\"\n3',41.25 mm\n∞,2\n",
            true,
        ),
        ("10';20,5\n3';41,25\ninf;2\n", false),
        ("# notes, by hand\n\n10',20.5\n3',41.25\n\n,\ninf,2", false),
    ] {
        let imported = ok(table(&given(), text.as_bytes(), MM));
        let columns = imported.answer.columns.clone().unwrap();
        assert_eq!(columns.header_line.is_some(), header, "{text}");
        let read = marks(&given(), &imported, "75");
        let read: Vec<(f64, f64)> = read.iter().map(|m| (mm(m), m.position.value())).collect();
        assert_eq!(
            read,
            [(3048.0, 20.5), (914.4, 41.25), (f64::INFINITY, 2.0)],
            "{text}"
        );
    }
}

#[test]
fn columns_go_by_name_number_and_a_word_for_all_rows() {
    let text =
        "No;Art;Abstand;Ring;Streuung;Cam\n1;eye;10';20,5;0,2;A\n2;eye;3';41 41,5;;B\n3;;6';;;A\n";
    let two = KIT.replace(
        "[recording]",
        "[camera.A]\nformat = \"s35-3perf\"\n[camera.B]",
    );
    let files = given().with("kit.toml", two);
    let columns = Named {
        distance: Some("abstand"),
        position: Some("4"),
        kind: Some("Art"),
        camera: Some("Cam"),
        sd: Some("Streuung"),
    };
    // Of each camera there must be two marks: put all on one.
    let text_of_a = text.replace(";B\n", ";A\n");
    let imported = ok(table(&files, text_of_a.as_bytes(), How { columns, ..MM }));
    let read = marks(&files, &imported, "75");
    assert_eq!(read.len(), 2);
    assert!(
        read.iter()
            .all(|m| m.kind == MarkKind::Eye && m.camera.as_deref() == Some("A"))
    );
    assert_eq!(read[0].sd.unwrap().to_deg(), 0.2);
    assert_eq!(read[1].settings.len(), 2);
    // (41 + 41.5) / 2.
    assert_eq!(read[1].position.value(), 41.25);
    assert_eq!(imported.answer.rows.len(), 3);
    assert!(imported.answer.rows[2].positions.is_empty());
    let words = Named {
        kind: Some("engraved"),
        camera: Some("B"),
        sd: None,
        ..columns
    };
    let imported = ok(table(
        &files,
        text.as_bytes(),
        How {
            columns: words,
            ..MM
        },
    ));
    let read = marks(&files, &imported, "75");
    assert!(
        read.iter()
            .all(|m| m.kind == MarkKind::Engraved && m.camera.as_deref() == Some("B"))
    );
    let unsaid = Named {
        camera: None,
        ..words
    };
    let imported = ok(table(
        &files,
        text.as_bytes(),
        How {
            columns: unsaid,
            ..MM
        },
    ));
    let kinds: Vec<&str> = imported.answer.assumptions.iter().map(|a| a.kind).collect();
    assert_eq!(kinds, ["camera_unsaid"]);
}

#[test]
fn a_table_with_a_kits_own_names_needs_no_option() {
    let how = How {
        columns: Named::default(),
        unit: None,
        ..MM
    };
    let imported = ok(table(&given(), MARKS.as_bytes(), how));
    let here = marks(&given(), &imported, "75");
    let (kit, _) = good(&given());
    let there = kit.lens("40").unwrap().1.as_ref().unwrap().rows().to_vec();
    assert_eq!(here, there);
    assert_eq!(imported.answer.unit, "mm");
}

#[test]
fn bare_distances_are_those_of_the_scale_or_what_is_said() {
    let text = b"d,p\n10,20\n3,41\n";
    // The lens's scale is in feet.
    let imported = ok(table(&given(), text, MM));
    assert_eq!(mm(&marks(&given(), &imported, "75")[0]), 3048.0);
    assert_eq!(imported.answer.assumptions[0].kind, "unit_of_scale");
    let metres = How {
        distances_in: Some(Unit::Metres),
        ..MM
    };
    let imported = ok(table(&given(), text, metres));
    let read = marks(&given(), &imported, "75");
    assert_eq!((mm(&read[0]), mm(&read[1])), (10_000.0, 3000.0));
    assert!(imported.answer.assumptions.is_empty());
    // What was written says its unit itself.
    assert_eq!(imported.answer.rows[0].written, "10m");
    let no_scale = given().with(
        "lenses.csv",
        "id,focal_mm,t_number,close_focus\n40,40,2,1'3\"\n75,75,2,2'3\"\n",
    );
    let faults = table(&no_scale, text, MM).unwrap_err();
    assert!(faults.iter().all(|fault| fault.kind == Kind::BareNumber));
    assert!(
        faults[0]
            .help
            .as_ref()
            .unwrap()
            .contains("--distances-in feet")
    );
}

#[test]
fn every_bad_row_is_told_with_its_place() {
    let text = "d,p\n8-Jun,41\n=A1,42\n5.6,43\n6',=B3+1\n#REF!,3\n7','30\n8',\"30,146\"\n9',41.2deg\n\
                \"x,1\n10',1 2 3\n10',1\n,5\n11',nan\n12',1e9\n45814,3\n13',12.06.2031\n14',1\u{7}2\n-3',9\n";
    let told = refused(text, MM);
    let at = |kind, line, column| (kind, Some(line), Some(column));
    assert_eq!(
        told,
        [
            at(Kind::SpreadsheetDate, 2, 1),
            at(Kind::Usage, 3, 1),
            at(Kind::AmbiguousFeet, 4, 1),
            at(Kind::Usage, 5, 4),
            at(Kind::Usage, 6, 1),
            at(Kind::NotADistance, 7, 4),
            at(Kind::Usage, 8, 4),
            at(Kind::Usage, 9, 4),
            at(Kind::Usage, 10, 1),
            at(Kind::Missing, 13, 1),
            at(Kind::NotFinite, 14, 5),
            at(Kind::OutOfRange, 15, 5),
            at(Kind::SpreadsheetDate, 16, 1),
            at(Kind::SpreadsheetDate, 17, 5),
            at(Kind::NotText, 18, 5),
            at(Kind::NotPositive, 19, 1),
            at(Kind::Duplicate, 12, 1),
        ]
    );
    // Without a header a bad first row is a row still, no line of names.
    for first in ["8-Jun,20", "10',x", "=A1,20"] {
        let told = refused(&format!("{first}\n3',41\ninf,2\n"), MM);
        assert_eq!(told[0].1, Some(1), "{first}");
    }
    let columns = Named {
        kind: Some("k"),
        ..BY_NUMBER
    };
    let kinds = refused(
        "d,p,k\n10',1,eye\n5',2,eyes\n3',4,eye\n",
        How { columns, ..MM },
    );
    assert_eq!(kinds, [at(Kind::UnknownId, 3, 6)]);
}

#[test]
fn rows_are_judged_together_and_with_those_that_are_there() {
    let turned = refused("d,p\n10',20\n6',30\n3',25\n", MM);
    assert_eq!(turned[0], (Kind::OutOfOrder, Some(4), Some(4)));
    assert_eq!(refused("d,p\n10',20\n", MM)[0].0, Kind::TooFew);
    assert_eq!(refused("d,p\n,\n", MM)[0].0, Kind::TooFew);
    // 40 mm: nearer than four focal lengths nothing focuses.
    assert_eq!(refused("d,p\n10',20\n4in,30\n", MM)[0].0, Kind::Inside4f);
    // Lens 40 has 5' at 50.5 by eye on line 4 of its file.
    let eye = How {
        lens: "40",
        columns: Named {
            kind: Some("eye"),
            ..BY_NUMBER
        },
        if_there: IfThere::Append,
        ..MM
    };
    let faults = table(&given(), b"d,p\n5',51\n7',12\n", eye).unwrap_err();
    assert_eq!(
        told(&faults[0]),
        (
            Kind::Duplicate,
            "r.csv".into(),
            Some(2),
            Some(1),
            Some("d".into())
        )
    );
    assert!(
        faults[0].message.contains("on line 4 of marks/40.csv"),
        "{}",
        faults[0].message
    );
    assert_eq!(faults[1].kind, Kind::OutOfOrder);
    let fine = ok(table(&given(), b"d,p\n7',38\n", eye));
    assert_eq!(fine.answer.how, "appended");
    assert_eq!(
        fine.changes[0].after,
        [MARKS.as_bytes(), b"7',38,eye\n"].concat()
    );
}

#[test]
fn a_hundred_faults_are_told_and_how_many_more() {
    let rows: String = (0..250).map(|_| "x,y\n").collect();
    let faults = table(&given(), format!("d,p\n{rows}").as_bytes(), MM).unwrap_err();
    // Each row has two.
    assert_eq!(faults.len(), 101);
    assert!(
        faults[100].message.contains("400 more"),
        "{}",
        faults[100].message
    );
    let many: String = (0..1100)
        .map(|row| format!("{}mm,{row}\n", 100_000 - row * 10))
        .collect();
    let faults = table(&given(), many.as_bytes(), MM).unwrap_err();
    assert_eq!(
        (faults[0].kind, faults[0].place.clone().unwrap().line),
        (Kind::TooLarge, Some(1001))
    );
}

#[test]
fn what_is_no_table_is_told() {
    let kind = |bytes: &[u8]| table(&given(), bytes, MM).unwrap_err()[0].kind;
    assert_eq!(kind(b""), Kind::TooFew);
    assert_eq!(kind(b"# only a remark\n"), Kind::TooFew);
    assert_eq!(kind(b"d,p\n\xff,1\n"), Kind::NotText);
    assert_eq!(kind(b"d,p\n\x00,1\n"), Kind::NotText);
    assert_eq!(kind(&vec![b'a'; 16 * 1024 * 1024 + 1]), Kind::TooLarge);
    assert_eq!(kind(b"d\n1\n"), Kind::OutOfRange);
    assert_eq!(kind(&vec![b','; 2000]), Kind::TooLarge);
    assert_eq!(kind(&vec![b','; 1 << 20]), Kind::TooLarge);
}

#[test]
fn columns_that_cannot_be_are_told_at_their_options() {
    let text = b"Dist,Pos,Pos,x\n1',2,3,4\n";
    let faults = |columns| {
        let faults = table(&given(), text, How { columns, ..MM }).unwrap_err();
        let flag = |fault: &Fault| {
            fault
                .place
                .clone()
                .unwrap_or_default()
                .key
                .unwrap_or_default()
        };
        faults.iter().map(|f| (f.kind, flag(f))).collect::<Vec<_>>()
    };
    let named = |distance, position| Named {
        distance: Some(distance),
        position: Some(position),
        ..Named::default()
    };
    assert_eq!(
        faults(named("Disst", "9")),
        [
            (Kind::UnknownKey, "--distance".into()),
            (Kind::OutOfRange, "--position".into()),
        ]
    );
    assert_eq!(
        faults(named("Dist", "Pos")),
        [(Kind::Duplicate, "--position".into())]
    );
    assert_eq!(
        faults(named("Dist", "1")),
        [(Kind::Usage, "--position".into())]
    );
    assert_eq!(faults(Named::default()).len(), 2);
    let odd = Named {
        kind: Some("guess"),
        camera: Some("Z"),
        sd: Some("sd"),
        ..named("Dist", "2")
    };
    // The kit's camera has no name: any is taken.
    assert_eq!(
        faults(odd),
        [
            (Kind::UnknownKey, "--kind".into()),
            (Kind::UnknownKey, "--sd".into()),
        ]
    );
    let unsaid = table(&given(), b"d,p\n10',1\n5',2\n", How { unit: None, ..MM }).unwrap_err();
    assert_eq!(
        (unsaid[0].kind, told(&unsaid[0]).4.as_deref()),
        (Kind::Missing, Some("--unit"))
    );
    let lens = table(&given(), text, How { lens: "57", ..MM }).unwrap_err();
    assert_eq!(
        (lens[0].kind, told(&lens[0]).4.as_deref()),
        (Kind::UnknownId, Some("--lens"))
    );
}

#[test]
fn marks_that_are_there_are_kept_unless_asked() {
    let text = b"d,p\n10',1\n5',2\n";
    let how = How { lens: "40", ..MM };
    let faults = table(&given(), text, how).unwrap_err();
    assert_eq!(faults[0].kind, Kind::Exists);
    let replace = How {
        if_there: IfThere::Replace,
        ..how
    };
    let files = given().with("marks/40.csv.1", "older");
    let imported = ok(table(&files, text, replace));
    let change = |at: usize| {
        let change = &imported.changes[at];
        (
            change.file.as_str(),
            change.before.as_deref(),
            change.after.as_slice(),
        )
    };
    assert_eq!(change(0), ("marks/40.csv.2", None, MARKS.as_bytes()));
    assert_eq!(change(1).0, "marks/40.csv");
    assert_eq!(imported.answer.kept_as.as_deref(), Some("marks/40.csv.2"));
    assert_eq!(marks(&files, &imported, "40").len(), 2);
    // A broken file may be replaced, and not be appended to.
    let broken = given().with("marks/40.csv", "distance;what\n");
    assert!(table(&broken, text, replace).is_ok());
    let append = How {
        if_there: IfThere::Append,
        ..how
    };
    assert!(table(&broken, text, append).is_err());
    // Another unit does not go into a file; a column it has not is named.
    let degrees = How {
        unit: Some(PositionUnit::Deg),
        ..append
    };
    assert_eq!(
        told(&table(&given(), text, degrees).unwrap_err()[0])
            .4
            .as_deref(),
        Some("--unit")
    );
    let no_kind = given().with("marks/40.csv", "distance,position_mm\ninf,10\n10',30\n");
    let eye = How {
        columns: Named {
            kind: Some("eye"),
            ..BY_NUMBER
        },
        ..append
    };
    let faults = table(&no_kind, b"d,p\n5',50\n4',60\n", eye).unwrap_err();
    assert_eq!(
        told(&faults[0]),
        (
            Kind::Missing,
            "marks/40.csv".into(),
            Some(1),
            None,
            Some("kind".into())
        )
    );
}

#[test]
fn a_pasted_scale_becomes_rows_that_wait() {
    let imported = ok(line(&given(), "2'6 3 4 6 10 inf", How { unit: None, ..MM }));
    let text = String::from_utf8(imported.changes[0].after.clone()).unwrap();
    assert!(
        text.ends_with("distance,position_mm,kind\n2'6,,engraved\n3',,engraved\n4',,engraved\n6',,engraved\n10',,engraved\ninf,,engraved\n"),
        "{text}"
    );
    assert!(
        imported.answer.warnings.is_empty(),
        "that none is read is meant"
    );
    // These distances somebody chose: they are not written over unasked.
    let files = after(&given(), &imported);
    assert_eq!(line(&files, "3 4", MM).unwrap_err()[0].kind, Kind::Exists);
    let metres = How {
        distances_in: Some(Unit::Metres),
        unit: Some(PositionUnit::Deg),
        ..MM
    };
    let imported = ok(line(&given(), "0,7 1 2 ∞", metres));
    let text = String::from_utf8(imported.changes[0].after.clone()).unwrap();
    assert!(
        text.ends_with(
            "distance,position_deg,kind\n0.7m,,engraved\n1m,,engraved\n2m,,engraved\n∞,,engraved\n"
        ),
        "{text}"
    );
    let faults = line(&given(), "4in 3 4", MM).unwrap_err();
    assert_eq!(
        (faults[0].kind, told(&faults[0]).4.as_deref()),
        (Kind::Inside4f, Some("--line"))
    );
}

#[test]
fn a_scale_that_counts_from_the_front_is_counted_so() {
    // 100 mm from the image plane to the front: 1 m on the scale is 1.1 m.
    let lenses = "id,focal_mm,t_number,close_focus,engraved,scale_from,front_distance_mm\n\
                  40,40,2,1'3\",feet,,\n75,75,2,1m,metres,front,100\n";
    let files = given().with("lenses.csv", lenses);
    let columns = Named {
        kind: Some("engraved"),
        ..BY_NUMBER
    };
    let imported = ok(table(&files, b"d,p\n1,40\n4,12\n", How { columns, ..MM }));
    assert_eq!(mm(&marks(&files, &imported, "75")[0]), 1100.0);
    assert_eq!(imported.answer.rows[0].written, "1m");
}
