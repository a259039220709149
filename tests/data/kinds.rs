//! Zooms at their focal lengths, and `breathing/ID.csv`.

use markwright::data::{Kind, MemoryFiles, understood};
use markwright::gear::{Lens, NotAFocal};
use markwright::optics::Pupil;
use markwright::units::Length;

use crate::given::{KIT, errors, good, the_error};

const LENSES: &str = "id,focal_mm,t_number,close_focus,squeeze,card_focals,rear_filter_mm\n\
                      Z,20..300,2.8,4',1,25 50,\nB,40,2.1,1'3\",1,,0.1\nA,40,2.1,1'3\",2,,\n";

/// Hiatus, pupil magnification and widest T-number along it.
const ZOOM: &str = "focal_mm,hiatus_mm,pupil_magnification,t_number\n\
                    100,5,1.1,2.9\n25,60,1.5,2.8\n250,-40,0.9,3.4\n50,40,1.3,2.8\n";

fn kit(name: &str, content: &str) -> MemoryFiles {
    MemoryFiles::new()
        .with("kit.toml", KIT)
        .with("lenses.csv", LENSES)
        .with(name, content)
}

#[track_caller]
fn lens(files: &MemoryFiles, id: &str) -> Lens {
    good(files).0.lens(id).unwrap().0.clone()
}

fn at(zoom: &Lens, mm: f64) -> (f64, f64, f64) {
    let lens = zoom.at_focal(Length::mm(mm)).unwrap();
    let figures = lens.figures();
    assert_eq!(figures.focal_length, Length::mm(mm));
    let Some(Pupil::Hiatus(hiatus)) = figures.pupil else {
        panic!("rows tell the hiatus");
    };
    let p = figures.pupil_magnification.unwrap();
    (hiatus.to_mm(), p.value(), lens.widest().number())
}

#[test]
fn between_its_rows_a_zoom_runs_on_a_monotone_cubic() {
    let zoom = lens(&kit("zoom/Z.csv", ZOOM), "Z");
    // scipy 1.17.1, interpolate.PchipInterpolator over the rows in order of focal length.
    let known = [
        (35.0, 51.765_373_134_328_36, 1.409_292_307_692_307_6, 2.8),
        (
            70.0,
            24.423_880_597_014_93,
            1.200_195_804_195_804_3,
            2.823_68,
        ),
        (
            180.0,
            -27.586_666_666_666_67,
            0.952_002_693_602_693_6,
            3.130_494_814_814_815,
        ),
        // On a row, that row.
        (50.0, 40.0, 1.3, 2.8),
    ];
    for (focal, hiatus, p, t) in known {
        let ours = at(&zoom, focal);
        for (ours, theirs) in [(ours.0, hiatus), (ours.1, p), (ours.2, t)] {
            assert!((ours - theirs).abs() < 1e-12, "{focal}: {ours} {theirs}");
        }
    }
}

#[test]
fn beyond_its_rows_nothing_is_known_and_beyond_its_ends_it_does_not_go() {
    let zoom = lens(&kit("zoom/Z.csv", ZOOM), "Z");
    let short = zoom.at_focal(Length::mm(22.0)).unwrap();
    assert_eq!(short.figures().pupil, None);
    assert_eq!(short.widest().to_string(), "T2.8");
    // Unless told otherwise it stands at its longest.
    assert_eq!(zoom.figures().focal_length, Length::mm(300.0));
    let (wide, long) = (Length::mm(20.0), Length::mm(300.0));
    for outside in [19.0, 301.0] {
        let refused = zoom.at_focal(Length::mm(outside));
        assert_eq!(refused, Err(NotAFocal::Outside { wide, long }));
    }
    let prime = lens(&kit("zoom/Z.csv", ZOOM), "B");
    let forty = Length::mm(40.0);
    assert_eq!(
        prime.at_focal(Length::mm(50.0)),
        Err(NotAFocal::Prime(forty))
    );
    assert!(prime.at_focal(forty).is_ok());
}

#[test]
fn hiatus_and_pupil_station_may_stand_in_one_zoom() {
    // 50 mm: t = e + f (2 - 1/p) = 40 + 50 (2 - 1/1.25) = 100.
    let rows = "focal_mm,hiatus_mm,entrance_pupil_mm,pupil_magnification\n\
                50,40,,1.25\n100,,140,1.25\n";
    let zoom = lens(&kit("zoom/Z.csv", rows), "Z");
    let figures = zoom.at_focal(Length::mm(75.0)).unwrap().figures();
    let Some(Pupil::Station(station)) = figures.pupil else {
        panic!("{:?}", figures.pupil);
    };
    assert!((station.to_mm() - 120.0).abs() < 1e-12, "{station:?}");
}

#[test]
fn a_focal_length_that_stands_twice_is_told() {
    let twice = ZOOM.replace("\n100,", "\n50,");
    let files = kit("zoom/Z.csv", &twice);
    the_error(&files, Kind::Duplicate, "zoom/Z.csv", (5, 1), "focal_mm");
}

/// What a 40 mm lens frames at 0.45 m on 24.89 mm (s35-3perf) is 237 mm.
const BREATHING: &str = "distance,magnification,entrance_pupil_mm\n0.45m,0.1050,\n0.9m,0.0475,\n";

#[test]
fn breathing_reads_by_magnification_or_by_what_fills_the_frame() {
    let by_m = lens(&kit("breathing/B.csv", BREATHING), "B")
        .fitted()
        .breathing;
    assert_eq!(by_m.len(), 2);
    assert_eq!(by_m[0].distance, Length::mm(450.0));
    // Half a unit of the last place.
    assert!((by_m[0].rounding - 0.000_05).abs() < 1e-15);
    let width = format!("distance,field_width_mm\n0.45m,{}\n", 24.89 / 0.105);
    let by_width = lens(&kit("breathing/B.csv", &width), "B")
        .fitted()
        .breathing;
    assert!((by_width[0].magnification - 0.105).abs() < 1e-15);
    // The vertical meridian is magnified as many times as the squeeze more.
    let squeezed = lens(
        &kit("breathing/A.csv", "distance,field_width_mm\n0.45m,474\n"),
        "A",
    );
    let squeezed = squeezed.fitted().breathing[0].magnification;
    assert!((squeezed - 2.0 * 24.89 / 474.0).abs() < 1e-15);
}

#[test]
fn breathing_that_cannot_be_is_told_where_it_stands() {
    let m = |rows: &str| format!("distance,magnification\n{rows}\n");
    let refused = |file: &str, content: &str, kind: Kind| {
        let found = errors(&kit(file, content));
        assert_eq!(found.len(), 1, "{found:#?}");
        assert_eq!(found[0].kind, kind, "{}", found[0].message);
        let place = found[0].place.clone().unwrap();
        assert_eq!(place.file.as_deref(), Some(file));
        assert!(place.line.is_some(), "{place:?}");
        found[0].message.clone()
    };
    let b = "breathing/B.csv";
    refused(b, &m("0.45m,0.05\n0.9m,0.1"), Kind::OutOfOrder);
    refused(b, &m("0.45m,0.9"), Kind::OutOfRange);
    refused(b, &m("inf,0.1"), Kind::NotFinite);
    refused(b, &m("0.45m,"), Kind::Missing);
    refused(b, &m("45,0.105"), Kind::BareNumber);
    let both = "distance,magnification,field_width_mm\n0.45m,0.105,237\n";
    refused(b, both, Kind::Duplicate);
    let zoom = refused("breathing/Z.csv", &m("2m,0.15"), Kind::OutOfRange);
    assert!(zoom.contains("single focal length"), "{zoom}");
    let stray = errors(&kit("breathing/X.csv", BREATHING));
    assert_eq!(stray[0].kind, Kind::UnknownId);
    // Two cameras: what filled the frame?
    let cameras = "title = \"T\"\nunits = \"feet\"\n[camera.A]\nformat = \"s35-3perf\"\n\
                   [camera.B]\ngate = \"36 x 24 mm\"\n";
    let files = kit(b, "distance,field_width_mm\n0.45m,237\n").with("kit.toml", cameras);
    the_error(&files, Kind::OutOfRange, b, (2, 7), "field_width_mm");
}

#[test]
fn check_says_what_zoom_squeeze_breathing_and_filter_mean() {
    let files = kit("zoom/Z.csv", ZOOM).with("breathing/B.csv", BREATHING);
    let said = understood(&good(&files).0);
    let about = |id: &str, about: &str| {
        let found = said
            .iter()
            .find(|said| said.lens.as_deref() == Some(id) && said.about == about);
        found.map(|said| said.words.clone()).unwrap()
    };
    assert!(about("Z", "zoom").contains("cards are printed for 25, 50 mm"));
    assert!(about("A", "squeeze").contains("2 times"));
    // Told down to 0.45 m only, and the scale goes to 1'3".
    let breathing = about("B", "breathing");
    assert!(
        breathing.contains("2 rows") && breathing.contains("1′3″"),
        "{breathing}"
    );
    // 0.1 mm of common glass is 0.034 mm.
    assert!(about("B", "rear_filter").contains("0.03 mm too near"));
}
