//! One slip is one fault: what cannot be judged because of it is left alone.

use markwright::data::{Fault, Kind, MemoryFiles, Severity, kit, starter};

use crate::given::{LENSES, MARKS, errors, good, told, with};

/// The starter kit, which has marks, prep and shots, with other lenses.
fn starter_with(lenses: impl Into<Vec<u8>>) -> MemoryFiles {
    let mut files = MemoryFiles::new();
    for (name, text) in starter() {
        files = files.with(name, *text);
    }
    files.with("lenses.csv", lenses)
}

fn lenses() -> &'static str {
    let mut files = starter().iter();
    files
        .find(|(name, _)| *name == "lenses.csv")
        .expect("lenses")
        .1
}

#[track_caller]
fn the_only(files: &MemoryFiles) -> Fault {
    let mut found = errors(files);
    assert_eq!(found.len(), 1, "{found:#?}");
    found.remove(0)
}

#[test]
fn lenses_that_cannot_be_read_are_one_fault() {
    let bytes = [lenses().as_bytes(), &[0xff, 0xfe, 0x00]].concat();
    for (damaged, kind) in [
        (bytes, Kind::NotText),
        (Vec::new(), Kind::Missing),
        (lenses().replace("\nid,", "\n\"id,").into(), Kind::Usage),
        (
            lenses().replace("\nid,", "\nname,").into(),
            Kind::UnknownKey,
        ),
    ] {
        let fault = the_first(&starter_with(damaged));
        assert_eq!(fault.kind, kind);
    }
    let mut files = MemoryFiles::new();
    for (name, text) in starter().iter().filter(|(name, _)| *name != "lenses.csv") {
        files = files.with(name, *text);
    }
    assert_eq!(the_only(&files).kind, Kind::Missing);
}

/// All faults are of `lenses.csv`; the first of them.
#[track_caller]
fn the_first(files: &MemoryFiles) -> Fault {
    let mut found = errors(files);
    for fault in &found {
        assert_eq!(told(fault).1, "lenses.csv", "{found:#?}");
    }
    found.remove(0)
}

#[test]
fn a_lens_whose_id_cannot_be_read_is_one_fault() {
    let damaged = lenses().replace("\n50,50 mm,", "\n5/0,50 mm,");
    let fault = the_only(&starter_with(damaged));
    assert_eq!(
        (told(&fault).0, told(&fault).1),
        (Kind::OutOfRange, "lenses.csv".into())
    );
    let damaged = lenses().replace("\n50,50 mm,", "\n40,50 mm,");
    assert_eq!(the_only(&starter_with(damaged)).kind, Kind::Duplicate);
}

#[test]
fn what_a_broken_lens_would_have_made_clear_is_not_asked() {
    // Bare stops and readings are of the lens's kind and unit.
    let broken = LENSES.replace("40,40,2.1,1'3\",feet", "40,x,2.1,1'3\",foot");
    let files = with("lenses.csv", broken)
        .with("marks/40.csv", MARKS.replace("5',", "5,"))
        .with("prep.csv", "lens,stop,taped,reading\n40,2.1,6',5.9 6\n")
        .with(
            "shots.csv",
            "shot,lens,stop,cue,distance\n1,40,2.8,door,14'\n",
        );
    the_first(&files);
    // What is wrong whatever the lens is told all the same.
    let files = files.with("prep.csv", "lens,stop,taped,reading\n40,2.1,6',near\n");
    let found = errors(&files);
    assert!(
        found.iter().any(|fault| told(fault).1 == "prep.csv"),
        "{found:#?}"
    );
}

#[test]
fn a_name_no_lens_has_is_still_told_where_all_lenses_are_known() {
    let broken = LENSES.replace("75,75,2.1", "75,75,x");
    let files = with("lenses.csv", broken).with(
        "shots.csv",
        "shot,lens,stop,cue,distance\n1,41,T2.8,door,14'\n",
    );
    let all = kit::read(&files).expect_err("a lens is broken");
    let warning = all.iter().find(|fault| fault.kind == Kind::UnknownId);
    assert_eq!(warning.expect("a warning").severity, Severity::Warning);
}

#[test]
fn marks_of_a_renamed_lens_name_the_file_they_should_be() {
    for renamed in ["40mm", "4O", "prime-40"] {
        let lenses = LENSES.replace("\n40,", &format!("\n{renamed},"));
        // The 75 has marks of its own: it is not the one.
        let files =
            with("lenses.csv", lenses).with("marks/75.csv", "distance,position_mm\ninf,0\n3',90\n");
        let fault = the_only(&files);
        assert_eq!(fault.kind, Kind::UnknownId);
        let help = fault.help.expect("help");
        let wanted = format!("rename the file to marks/{renamed}.csv");
        assert!(help.contains(&wanted), "{help}");
    }
    // Nothing of its name is left.
    let lenses = LENSES.replace("\n40,", "\nnormal,");
    let help = the_only(&with("lenses.csv", lenses)).help.expect("help");
    assert!(!help.contains("rename"), "{help}");
    // A lens that has its marks is not offered.
    let files = with("marks/40b.csv", MARKS);
    assert!(!the_only(&files).help.expect("help").contains("rename"));
    good(&with("marks/40.csv", MARKS));
}
