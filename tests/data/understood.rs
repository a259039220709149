//! What the kit is understood to mean is said back in words.

use markwright::data::{MemoryFiles, understood};

use crate::given::{KIT, MARKS, good};

fn said(lens: &str, about: &str) -> String {
    let header = "id,focal_mm,t_number,close_focus,engraved,sense,travel_deg,ring_circumference_mm";
    let files = MemoryFiles::new()
        .with("kit.toml", KIT)
        .with(
            "lenses.csv",
            format!(
                "{header}\n40,40,2.1,1'3\",feet,clockwise,,\n\
                 75,75,2.1,2'3\",,counter-clockwise,300,283\n100,100,2.8,3',,,,\n"
            ),
        )
        .with("marks/40.csv", format!("{MARKS}4',,eye\n"));
    let said = understood(&good(&files).0);
    let own = said
        .iter()
        .find(|said| said.lens.as_deref() == Some(lens) && said.about == about);
    own.unwrap_or_else(|| panic!("{about} of {lens} in {said:#?}"))
        .words
        .clone()
}

#[test]
fn the_sense_is_said_in_words() {
    let words = said("40", "sense");
    assert!(words.contains("infinity to close focus") && words.contains("moves to the right"));
    assert!(said("75", "sense").contains("moves to the left"));
    assert!(said("100", "sense").contains("nobody said"));
}

#[test]
fn what_is_assumed_is_said() {
    assert!(said("40", "stop").contains("0.80 is assumed"));
    assert!(said("40", "pupils").contains("unknown"));
}

#[test]
fn marks_are_counted_and_their_standing_told() {
    let words = said("40", "marks");
    assert!(words.contains("4 marks found by eye, ∞ to 2′"), "{words}");
    assert!(
        words.contains("6′, 3′") && words.contains("1 row has no position yet"),
        "{words}"
    );
    assert!(said("40", "standing").contains("measured: by eye"));
    assert!(said("75", "standing").contains("computed"));
    assert!(said("100", "standing").contains("unknown"));
}

#[test]
fn what_a_tape_still_wants_is_told() {
    assert_eq!(said("40", "tape"), "a tape can be printed");
    assert_eq!(said("75", "tape"), "a tape can be printed");
    let words = said("100", "tape");
    assert!(
        words.contains("sense") && words.contains("travel_deg"),
        "{words}"
    );
}
