//! `kit.toml`: what it says, and where it is wrong.

use markwright::data::{Kind, MemoryFiles};
use markwright::gear::{Rods, Sense, Side, Sides};
use markwright::optics::CircleRule;
use markwright::units::{Length, Unit};

use crate::given::{KIT, LENSES, errors, good, the_error, told, with};

const FULL: &str = r#"
title = "Test"
units = "metres"
prepared = 2031-04-02
[camera.A]
format = "s35-3perf"
serial = "no. 7"
[camera.B]
gate = "24.00 x 18.00 mm"
extraction = 2.0
hook_offset_mm = 12.5
[camera.B.sharpness]
circle = "diagonal/1500"
[sharpness]
circle = "0.025 mm"
working_stop = "T2.8"
[follow]
drive_teeth = 40
knob_ratio = [1.0, 0.5]
knob_side = "right"
reversed = true
disc_outer = "92 mm"
disc_inner = "38 mm"
[[hand_unit]]
name = "one"
wheel_diameter = "60 mm"
usable_deg = 290
sense = "counter-clockwise"
[[hand_unit]]
name = "two"
[front]
back_diameter = "114 mm"
stages = 2
filter = "101.6 x 143.5 mm"
rods = "15mm-studio"
[print]
paper = "a5"
side = "both"
printed_100mm = [99.5, 100.25]
"#;

#[test]
fn every_key_of_kit_toml_is_read() {
    let (kit, _) = good(&with("kit.toml", FULL));
    assert_eq!(kit.units, Unit::Metres);
    assert_eq!(kit.prepared.as_deref(), Some("2031-04-02"));
    let [a, b] = kit.cameras.as_slice() else {
        panic!("two cameras")
    };
    assert_eq!(
        (a.name.as_deref(), b.name.as_deref()),
        (Some("A"), Some("B"))
    );
    assert_eq!(a.serial.as_deref(), Some("no. 7"));
    assert_eq!(a.circle, Some(CircleRule::Fixed(Length::mm(0.025))));
    assert_eq!(b.circle, Some(CircleRule::Diagonal { divisor: 1500.0 }));
    assert!(b.working_stop.is_some());
    // 24 mm over 2.0 is 12 mm.
    assert_eq!(b.frame.picture(None, &mut ()).height(), Length::mm(12.0));
    assert_eq!(b.hook_offset, Length::mm(12.5));
    let follow = kit.follow.expect("a follow focus");
    assert_eq!(follow.drive_teeth, Some(40));
    assert_eq!(follow.knob_ratios.len(), 2);
    assert_eq!(
        (follow.knob_side, follow.reversed),
        (Some(Side::Right), true)
    );
    assert_eq!(kit.hand_units.len(), 2);
    assert_eq!(kit.hand_units[0].sense, Some(Sense::CounterClockwise));
    let front = kit.front.expect("a front");
    assert_eq!((front.stages, front.rods), (Some(2), Some(Rods::Studio15)));
    assert_eq!(kit.print.paper, "a5");
    assert_eq!(kit.print.side, Sides::Both);
    assert_eq!(kit.print.printed_100mm[1], Length::mm(100.25));
}

#[test]
fn a_kit_without_kit_toml_or_lenses_says_so() {
    let files = MemoryFiles::new().with("lenses.csv", LENSES);
    assert_eq!(
        told(&errors(&files)[0]),
        (Kind::Missing, "kit.toml".into(), None, None, None)
    );
    let files = MemoryFiles::new().with("kit.toml", KIT);
    assert_eq!(
        told(&errors(&files)[0]),
        (Kind::Missing, "lenses.csv".into(), None, None, None)
    );
    assert_eq!(errors(&MemoryFiles::new()).len(), 2);
}

/// One slip in `kit.toml`: what is replaced, by what, and what is told where.
#[track_caller]
fn slip(from: &str, to: &str, kind: Kind, spot: (usize, usize), key: &str) -> String {
    assert!(KIT.contains(from), "{from}");
    let error = the_error(
        &with("kit.toml", KIT.replace(from, to)),
        kind,
        "kit.toml",
        spot,
        key,
    );
    format!("{} {}", error.message, error.help.unwrap_or_default())
}

#[test]
fn an_unknown_key_names_the_nearest() {
    let said = slip("units", "unit", Kind::UnknownKey, (2, 1), "unit");
    assert!(said.contains("units"), "{said}");
    let said = slip(
        "working_stop",
        "workingstop",
        Kind::UnknownKey,
        (8, 1),
        "workingstop",
    );
    assert!(said.contains("working_stop"), "{said}");
    let said = slip(
        "[sharpness]",
        "[sharpnes]",
        Kind::UnknownKey,
        (6, 2),
        "sharpnes",
    );
    assert!(said.contains("sharpness"), "{said}");
}

#[test]
fn a_missing_key_is_told() {
    let text = format!("{KIT}[[hand_unit]]\nusable_deg = 290\n");
    the_error(
        &with("kit.toml", text),
        Kind::Missing,
        "kit.toml",
        (9, 1),
        "name",
    );
    slip(
        "format = \"s35-3perf\"\n",
        "",
        Kind::Missing,
        (3, 2),
        "format",
    );
}

#[test]
fn without_a_title_a_kit_reads_and_without_units_it_warns() {
    let (kit, warnings) = good(&with("kit.toml", KIT.replace("title = \"Test\"\n", "")));
    assert_eq!((kit.title.as_str(), warnings.len()), ("", 0));
    let (kit, warnings) = good(&with("kit.toml", KIT.replace("units = \"feet\"\n", "")));
    assert_eq!((kit.units, warnings.len()), (Unit::Metres, 1));
    let wanted = (
        Kind::Missing,
        "kit.toml".into(),
        Some(1),
        Some(1),
        Some("units".into()),
    );
    assert_eq!(told(&warnings[0]), wanted);
}

#[test]
fn a_kit_without_a_camera_says_so() {
    let files = with("kit.toml", "title = \"Test\"\nunits = \"feet\"\n");
    let wanted = (
        Kind::Missing,
        "kit.toml".into(),
        None,
        None,
        Some("recording".into()),
    );
    assert_eq!(told(&errors(&files)[0]), wanted);
}

#[test]
fn camera_without_a_name_is_told_and_not_only_refused() {
    let head = "title = \"Test\"\nunits = \"feet\"\n";
    let files = with("kit.toml", format!("{head}[camera]\n"));
    let error = the_error(&files, Kind::Missing, "kit.toml", (3, 2), "camera");
    assert!(error.help.expect("help").contains("[recording]"));
    let files = with(
        "kit.toml",
        format!("{head}[camera]\nformat = \"s35-3perf\"\n"),
    );
    let error = the_error(&files, Kind::Usage, "kit.toml", (4, 1), "format");
    assert!(error.help.expect("help").contains("[camera.A]"));
}

#[test]
fn a_camera_has_a_name_one_can_print_and_type() {
    let camera = |name: &str| format!("[camera.\"{name}\"]\nformat = \"s35-3perf\"\n");
    let head = "title = \"Test\"\nunits = \"feet\"\n";
    for name in ["", "../x", "<b>", "a\\u001b[31m"] {
        let found = errors(&with("kit.toml", format!("{head}{}", camera(name))));
        assert_eq!(found.len(), 1, "{name}: {found:#?}");
        assert_eq!(found[0].kind, Kind::OutOfRange, "{name}");
    }
    let two = format!("{head}{}{}", camera("A"), camera("a"));
    let found = errors(&with("kit.toml", two));
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(found[0].kind, Kind::Duplicate);
}

#[test]
fn a_hundred_cameras_are_taken_and_one_more_is_not() {
    let cameras = |count: usize| {
        let tables = (0..count).map(|n| format!("[camera.C{n}]\nformat = \"s35-3perf\"\n"));
        format!("units = \"feet\"\n{}", tables.collect::<String>())
    };
    let (kit, _) = good(&with("kit.toml", cameras(100)));
    assert_eq!(kit.cameras.len(), 100);
    let files = with("kit.toml", cameras(101));
    the_error(&files, Kind::TooLarge, "kit.toml", (202, 9), "C100");
}

#[test]
fn places_far_down_a_long_file_are_right() {
    // Were each place a walk from the file's beginning, this would take minutes.
    let keys: String = (0..60_000).map(|n| format!("k{n} = 1\n")).collect();
    let text = format!("{keys}[recording]\nformat = \"s35-3perf\"\n");
    let found = errors(&with(
        "kit.toml",
        format!("title = \"é\"\nunits = \"feet\"\n{text}"),
    ));
    assert!(found.len() <= 201, "{}", found.len());
    let place = found[199].place.clone().expect("a place");
    assert_eq!((place.line, place.column), (Some(202), Some(1)));
}

#[test]
fn columns_count_characters_not_bytes() {
    let text = KIT.replace(
        "[recording]\nformat = \"s35-3perf\"\nextraction = 2.39\n",
        "recording = { serial = \"é\", form = \"s35-3perf\" }\n",
    );
    let found = errors(&with("kit.toml", text));
    let place = found[0].place.clone().expect("a place");
    assert_eq!(
        (place.line, place.column),
        (Some(3), Some(29)),
        "{found:#?}"
    );
}

#[test]
fn words_that_are_none_of_the_choices_name_the_nearest() {
    let said = slip("\"feet\"", "\"foot\"", Kind::UnknownId, (2, 9), "units");
    assert!(said.contains("feet"), "{said}");
    let said = slip("s35-3perf", "s35-3prf", Kind::UnknownId, (4, 10), "format");
    assert!(said.contains("s35-3perf"), "{said}");
}

#[test]
fn figures_that_cannot_be_are_told_by_their_kind() {
    slip("2.39", "-2.39", Kind::NotPositive, (5, 14), "extraction");
    slip("2.39", "nan", Kind::NotFinite, (5, 14), "extraction");
    slip("2.39", "inf", Kind::NotFinite, (5, 14), "extraction");
    slip("2.39", "239", Kind::OutOfRange, (5, 14), "extraction");
    slip("0.025 mm", "0.025", Kind::BareNumber, (7, 10), "circle");
    slip(
        "\"T2.8\"",
        "2.8",
        Kind::AmbiguousStop,
        (8, 16),
        "working_stop",
    );
    slip("0.025 mm", "thin", Kind::NotADistance, (7, 10), "circle");
}

#[test]
fn printed_rulers_outside_90_to_110_mm_are_refused() {
    let add = |figures: &str| format!("{KIT}[print]\nprinted_100mm = {figures}\n");
    good(&with("kit.toml", add("[90, 110]")));
    for (figures, kind) in [
        ("[89.9, 100]", Kind::OutOfRange),
        ("[100, 110.1]", Kind::OutOfRange),
        ("[100]", Kind::NotADistance),
        ("100", Kind::NotADistance),
        ("[0, 100]", Kind::NotPositive),
    ] {
        let files = with("kit.toml", add(figures));
        the_error(&files, kind, "kit.toml", (10, 17), "printed_100mm");
    }
}

#[test]
fn a_paper_nobody_draws_on_is_told_here_and_not_first_in_print() {
    let add = |paper: &str| with("kit.toml", format!("{KIT}[print]\npaper = \"{paper}\"\n"));
    let error = the_error(&add("a9"), Kind::UnknownId, "kit.toml", (10, 9), "paper");
    assert!(error.help.expect("help").contains("letter"));
    good(&add("Letter"));
}

#[test]
fn control_characters_are_refused_wherever_words_are_kept() {
    slip("Test", "a\\u001b[31mb", Kind::NotText, (1, 9), "title");
    slip("Test", "a\\nb", Kind::NotText, (1, 9), "title");
    good(&with("kit.toml", KIT.replace("Test", "a\\tb")));
}

#[test]
fn what_is_no_toml_is_told_with_its_place() {
    let files = with("kit.toml", KIT.replace("title = \"Test\"", "title = Test"));
    let found = errors(&files);
    let place = found[0].place.clone().expect("a place");
    assert_eq!(
        (found[0].kind, place.line),
        (Kind::Usage, Some(1)),
        "{found:#?}"
    );
    let files = with(
        "kit.toml",
        KIT.replace("[sharpness]", "format = \"academy\"\n[sharpness]"),
    );
    let found = errors(&files);
    let place = found[0].place.clone().expect("a place");
    assert_eq!(
        (found[0].kind, place.line),
        (Kind::Duplicate, Some(6)),
        "{found:#?}"
    );
}

#[test]
fn one_camera_and_several_do_not_go_together() {
    let text = format!("{KIT}[camera.A]\nformat = \"s35-3perf\"\n");
    let found = errors(&with("kit.toml", text));
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].kind, Kind::Duplicate);
    let text = KIT.replace("[sharpness]", "gate = \"24 x 18 mm\"\n[sharpness]");
    the_error(
        &with("kit.toml", text),
        Kind::Duplicate,
        "kit.toml",
        (6, 8),
        "gate",
    );
}

#[test]
fn a_table_where_a_value_belongs_is_told() {
    slip(
        "title = \"Test\"",
        "title = [[1]]",
        Kind::Usage,
        (1, 9),
        "title",
    );
    slip(
        "[sharpness]",
        "[[sharpness]]",
        Kind::Usage,
        (6, 3),
        "sharpness",
    );
    let text = format!("{KIT}[hand_unit]\nname = \"one\"\n");
    the_error(
        &with("kit.toml", text),
        Kind::Usage,
        "kit.toml",
        (9, 2),
        "hand_unit",
    );
}
