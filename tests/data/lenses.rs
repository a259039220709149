//! `lenses.csv` and `zoom/ID.csv`: every column, and what a lens cannot be.

use markwright::data::{Kind, MemoryFiles};
use markwright::gear::{Anamorph, Focal, HardStops, Lens, ScaleFrom, Sense, WitnessEdge};
use markwright::units::{Length, Stop, StopKind, Unit};

use crate::given::{KIT, errors, good, the_error, told};

fn one(header: &str, row: &str) -> MemoryFiles {
    MemoryFiles::new()
        .with("kit.toml", KIT)
        .with("lenses.csv", format!("{header}\n{row}\n"))
}

const NEEDED: &str = "id,focal_mm,t_number,close_focus";

/// A lens with one more column.
fn with(column: &str, cell: &str) -> MemoryFiles {
    one(
        &format!("{NEEDED},{column}"),
        &format!("40,40,2.1,1'6\",{cell}"),
    )
}

#[track_caller]
fn lens(files: &MemoryFiles) -> Lens {
    good(files).0.lenses.remove(0).0
}

/// A lens whose row is wrong in one cell.
#[track_caller]
fn refused(row: &str, kind: Kind, column: usize, key: &str) -> String {
    let error = the_error(&one(NEEDED, row), kind, "lenses.csv", (2, column), key);
    format!("{} {}", error.message, error.help.unwrap_or_default())
}

/// A lens whose one further cell is wrong.
#[track_caller]
fn refused_in(column: &str, cell: &str, kind: Kind) -> String {
    let error = the_error(&with(column, cell), kind, "lenses.csv", (2, 16), column);
    format!("{} {}", error.message, error.help.unwrap_or_default())
}

#[test]
fn every_column_of_lenses_is_read() {
    let header = "id,label,serial,focal_mm,f_number,t_number,close_focus,engraved,hiatus_mm,\
                  pupil_magnification,sense,ring_circumference_mm,travel_deg,beyond_inf_deg,\
                  beyond_near_deg,stops,witness,band_mm,marks_diameter_mm,tape_thickness_mm,\
                  front_diameter_mm,front_distance_mm,ring_teeth,knob_travel_deg,\
                  hand_unit_preset,squeeze,anamorph,scale_from,mount,rear_filter_mm";
    let row = "P 40.a-b_c,Forty,no. 1,40,1.9,2.1,1'6,feet,-3,1.2,counter-clockwise,283,290,2,3,\
               none,front,14,90,0.15,114,180,128,410,P4,2,rear,front,bayonet,0.1";
    let lens = lens(&one(header, row));
    assert_eq!(lens.id().as_str(), "P 40.a-b_c");
    assert_eq!((lens.label(), lens.serial()), ("Forty", Some("no. 1")));
    assert_eq!(lens.focal(), Focal::Prime(Length::mm(40.0)));
    assert_eq!(lens.widest().to_string(), "T2.1");
    assert_eq!(lens.stop_kind(), StopKind::T);
    assert_eq!(lens.engraved(), Some(Unit::Feet));
    let ring = lens.ring();
    assert_eq!(ring.sense(), Some(Sense::CounterClockwise));
    assert_eq!(ring.circumference(), Some(Length::mm(283.0)));
    assert_eq!(ring.travel().map(|turn| turn.to_deg()), Some(290.0));
    assert_eq!(ring.beyond_infinity().map(|turn| turn.to_deg()), Some(2.0));
    assert_eq!(ring.beyond_near().map(|turn| turn.to_deg()), Some(3.0));
    assert_eq!(ring.stops(), Some(HardStops::None));
    assert_eq!(ring.witness(), WitnessEdge::Front);
    assert_eq!(ring.band(), Some(Length::mm(14.0)));
    assert_eq!(ring.marks_diameter(), Some(Length::mm(90.0)));
    assert_eq!(ring.tape_thickness(), Length::mm(0.15));
    assert_eq!(lens.front_diameter(), Some(Length::mm(114.0)));
    assert_eq!(lens.front_distance(), Some(Length::mm(180.0)));
    assert_eq!(lens.ring_teeth(), Some(128));
    assert_eq!(lens.knob_travel().map(|turn| turn.to_deg()), Some(410.0));
    assert_eq!(lens.hand_unit_preset(), Some("P4"));
    assert_eq!(lens.squeeze().map(|squeeze| squeeze.value()), Some(2.0));
    assert_eq!(lens.anamorph(), Some(Anamorph::Rear));
    assert_eq!(lens.scale_from(), ScaleFrom::Front);
    assert_eq!(lens.mount(), Some("bayonet"));
    assert_eq!(lens.rear_filter(), Some(Length::mm(0.1)));
}

#[test]
fn what_is_not_said_is_the_usual() {
    let lens = lens(&one(NEEDED, "40,40,2.1,1'6\""));
    assert_eq!(lens.label(), "40");
    assert_eq!(lens.ring().witness(), WitnessEdge::Rear);
    assert_eq!(lens.ring().tape_thickness(), Length::mm(0.10));
    assert_eq!(lens.scale_from(), ScaleFrom::ImagePlane);
    assert_eq!(lens.transmittance(), None);
}

#[test]
fn a_ring_comes_from_its_diameter_and_an_arc() {
    let header = format!("{NEEDED},ring_diameter_mm,travel_mm");
    let lens = lens(&one(&header, "40,40,2.1,1'6\",90,212.0575"));
    // 90 mm across is 282.743 mm round; three quarters of it are 270°.
    let round = lens.ring().circumference().expect("round").to_mm();
    assert!((round - 282.7433).abs() < 1e-4, "{round}");
    let turn = lens.ring().travel().expect("travel").to_deg();
    assert!((turn - 270.0).abs() < 1e-4, "{turn}");
    refused_in("travel_mm", "212", Kind::Missing);
    let both = format!("{NEEDED},ring_circumference_mm,ring_diameter_mm");
    let found = errors(&one(&both, "40,40,2.1,1'6\",283,90"));
    assert_eq!((found.len(), found[0].kind), (1, Kind::Duplicate));
}

#[test]
fn any_two_of_f_t_and_transmittance_give_the_third() {
    let header = "id,focal_mm,close_focus,f_number,t_number,transmittance";
    let of = |cells: &str| lens(&one(header, &format!("40,40,1'6\",{cells}")));
    // T = N / sqrt(tau): f/2 at 0.64 is T2.5.
    let both = of("2,2.5,");
    assert!((both.transmittance().expect("tau").value() - 0.64).abs() < 1e-12);
    assert!(matches!(both.widest(), Stop::T(_)));
    let t = of("2,,0.64");
    assert!((t.t_number().expect("T").value() - 2.5).abs() < 1e-12);
    assert_eq!(t.stop_kind(), StopKind::F);
    let f = of(",2.5,0.64");
    assert!((f.f_number().expect("f").value() - 2.0).abs() < 1e-12);
    // A tenth of a stop is 7 % in light: 0.64 and 0.67 agree, 0.64 and 0.70 do not.
    of("2,2.5,0.67");
    let files = one(header, "40,40,1'6\",2,2.5,0.70");
    let error = the_error(
        &files,
        Kind::OutOfRange,
        "lenses.csv",
        (2, 18),
        "transmittance",
    );
    assert!(error.message.contains("0.64"), "{}", error.message);
}

#[test]
fn a_t_number_below_the_f_number_is_refused() {
    let files = one(
        "id,focal_mm,close_focus,f_number,t_number",
        "40,40,1'6\",2.8,2.0",
    );
    the_error(&files, Kind::OutOfRange, "lenses.csv", (2, 16), "t_number");
}

#[test]
fn a_lens_without_a_stop_is_refused() {
    let files = one("id,focal_mm,close_focus", "40,40,1'6\"");
    the_error(&files, Kind::Missing, "lenses.csv", (2, 1), "t_number");
}

#[test]
fn figures_that_cannot_be_are_told_by_their_kind() {
    refused("40,0,2.1,1'6\"", Kind::NotPositive, 4, "focal_mm");
    refused("40,-40,2.1,1'6\"", Kind::NotPositive, 4, "focal_mm");
    refused("40,nan,2.1,1'6\"", Kind::NotFinite, 4, "focal_mm");
    refused("40,inf,2.1,1'6\"", Kind::NotFinite, 4, "focal_mm");
    refused("40,1e7,2.1,1'6\"", Kind::OutOfRange, 4, "focal_mm");
    refused("40,forty,2.1,1'6\"", Kind::NotADistance, 4, "focal_mm");
    refused("40,40,0,1'6\"", Kind::NotPositive, 7, "t_number");
    refused("40,40,999,1'6\"", Kind::OutOfRange, 7, "t_number");
    refused("40,40,2.1,0m", Kind::NotPositive, 11, "close_focus");
    refused("40,40,2.1,nan", Kind::NotFinite, 11, "close_focus");
    refused("40,40,2.1,inf", Kind::NotFinite, 11, "close_focus");
    refused("40,40,2.1,near", Kind::NotADistance, 11, "close_focus");
    refused_in("transmittance", "1.1", Kind::OutOfRange);
    refused_in("pupil_magnification", "0", Kind::NotPositive);
    refused_in("hiatus_mm", "nan", Kind::NotFinite);
    refused_in("ring_circumference_mm", "5", Kind::OutOfRange);
    refused_in("travel_deg", "-300", Kind::NotPositive);
    refused_in("beyond_inf_deg", "-1", Kind::OutOfRange);
    refused_in("ring_teeth", "12.5", Kind::NotADistance);
    refused_in("sense", "right", Kind::UnknownId);
}

#[test]
fn a_word_that_is_nearly_a_choice_names_it() {
    let said = refused_in("sense", "clokwise", Kind::UnknownId);
    assert!(said.contains("did you mean clockwise"), "{said}");
}

#[test]
fn bare_distances_are_refused_unless_the_scale_has_a_unit() {
    refused("40,40,2.1,1.5", Kind::AmbiguousFeet, 11, "close_focus");
    refused("40,40,2.1,2", Kind::BareNumber, 11, "close_focus");
    let header = format!("{NEEDED},engraved");
    let close = |row: &str| lens(&one(&header, row)).close_focus().reach().finite();
    assert_eq!(close("40,40,2.1,0.45,metres"), Some(Length::mm(450.0)));
    assert_eq!(close("40,40,2.1,2,feet"), Some(Length::mm(609.6)));
    // 1.5 feet stays refused: 1′5″ or 1′6″.
    let files = one(&header, "40,40,2.1,1.5,feet");
    the_error(
        &files,
        Kind::AmbiguousFeet,
        "lenses.csv",
        (2, 11),
        "close_focus",
    );
}

#[test]
fn close_focus_inside_four_focal_lengths_names_the_limit() {
    // 4 × 40 mm with no hiatus: 160 mm.
    let said = refused("40,40,2.1,0.15m", Kind::Inside4f, 11, "close_focus");
    assert!(said.contains("0.160 m"), "{said}");
    // A hiatus of -30 mm lets it in: 130 mm.
    lens(&one(&format!("{NEEDED},hiatus_mm"), "40,40,2.1,0.15m,-30"));
    // One of +20 mm keeps out what would be in without: 180 mm.
    let files = one(&format!("{NEEDED},hiatus_mm"), "40,40,2.1,0.17m,20");
    let error = the_error(&files, Kind::Inside4f, "lenses.csv", (2, 11), "close_focus");
    assert_eq!(error.nearest, Some(180.0));
}

#[test]
fn ids_that_cannot_name_files_are_refused() {
    for id in [
        "../../x",
        "a/b",
        "a\\b",
        ".hidden",
        "end.",
        "<b>",
        "a:b",
        "é\u{202e}x",
    ] {
        refused(&format!("{id},40,2.1,1'6\""), Kind::OutOfRange, 1, "id");
    }
    refused("a\u{7}b,40,2.1,1'6\"", Kind::NotText, 1, "id");
    let long = "x".repeat(41);
    refused(&format!("{long},40,2.1,1'6\""), Kind::OutOfRange, 1, "id");
    for id in ["x".repeat(40), "ä 40-b_c.d".into()] {
        lens(&one(NEEDED, &format!("{id},40,2.1,1'6\"")));
    }
    refused(",40,2.1,1'6\"", Kind::Missing, 1, "id");
}

#[test]
fn an_id_that_stands_twice_is_refused_capitals_or_not() {
    for (id, word) in [("P4", "already"), ("p4", "capitals")] {
        let files = one(NEEDED, &format!("P4,40,2.1,1'6\"\n{id},50,2.1,1'6\""));
        let error = the_error(&files, Kind::Duplicate, "lenses.csv", (3, 1), "id");
        assert!(error.message.contains(word), "{}", error.message);
        assert!(error.message.contains("line 2"), "{}", error.message);
    }
}

const ZOOM: &str =
    "focal_mm,hiatus_mm,pupil_magnification,t_number\n25,60,1.5,2.8\n250,-40,0.9,3.1\n";

fn zoom(row: &str, file: &str) -> MemoryFiles {
    one(&format!("{NEEDED},card_focals"), row).with("zoom/Z.csv", file)
}

#[test]
fn a_zoom_reads_with_what_varies_along_it() {
    let lens = lens(&zoom("Z,25..250,2.8,4',25 50 100 250", ZOOM));
    assert_eq!(
        lens.focal(),
        Focal::Zoom {
            wide: Length::mm(25.0),
            long: Length::mm(250.0)
        }
    );
    assert_eq!(lens.card_focals().len(), 4);
    assert_eq!(lens.zoom().len(), 2);
    assert_eq!(lens.figures().focal_length, Length::mm(250.0));
}

#[test]
fn a_zoom_that_cannot_be_is_refused() {
    let at = |row: &str, file: &str| {
        let found = errors(&zoom(row, file));
        assert_eq!(found.len(), 1, "{found:#?}");
        let (kind, file, line, column, _) = told(&found[0]);
        (kind, file, line.unwrap_or(0), column.unwrap_or(0))
    };
    let good = "Z,25..250,2.8,4',25 50";
    let lenses = || "lenses.csv".to_owned();
    assert_eq!(
        at("Z,250..25,2.8,4',", "focal_mm\n"),
        (Kind::OutOfOrder, lenses(), 2, 3)
    );
    assert_eq!(
        at("Z,25..250,2.8,4',20", ZOOM),
        (Kind::OutOfRange, lenses(), 2, 18)
    );
    assert_eq!(
        at("Z,25..,2.8,4',", ZOOM),
        (Kind::NotADistance, lenses(), 2, 3)
    );
    assert_eq!(at("Z,40,2.8,4',", ZOOM), (Kind::OutOfRange, lenses(), 2, 3));
    let outside = ZOOM.replace("\n25,", "\n20,");
    assert_eq!(
        at(good, &outside),
        (Kind::OutOfRange, "zoom/Z.csv".into(), 2, 1)
    );
    let wrong = ZOOM.replace("1.5", "-1.5");
    assert_eq!(
        at(good, &wrong),
        (Kind::NotPositive, "zoom/Z.csv".into(), 2, 7)
    );
}

#[test]
fn a_scale_from_the_front_needs_to_know_where_the_front_is() {
    let files = with("scale_from", "front");
    the_error(
        &files,
        Kind::Missing,
        "lenses.csv",
        (2, 1),
        "front_distance_mm",
    );
}
