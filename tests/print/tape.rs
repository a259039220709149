//! Tapes, read back from the file and measured.

use markwright::draw::tape;
use markwright::gear::{Sense, Side};
use markwright::scene::Correction;
use markwright::units::Unit;

use super::lenses::Lens;
use super::pages::{paper, pdf};

#[test]
#[ignore = "writes pictures to look at into the folder TAPES names"]
fn pictures_to_look_at() {
    let folder = std::env::var("TAPES").expect("a folder");
    let write = |name: &str, lenses: &[Lens], side, id: &str| {
        let tapes: Vec<_> = lenses
            .iter()
            .map(|lens| lens.tape().expect("a tape"))
            .collect();
        let pages = tape::draw(&tapes, side, paper(id), Correction::NONE).expect("room");
        std::fs::write(format!("{folder}/{name}.pdf"), pdf(&pages)).expect("written");
    };
    let fifty = Lens::fifty();
    let mut eighteen = Lens::fifty();
    eighteen.focal = 18.0;
    eighteen.close_focus = 304.8;
    eighteen.travel = 270.0;
    eighteen.names.focal = "18".into();
    eighteen.stops = (Some(2.5), Some(3.0));
    let mut hundred = Lens::fifty();
    hundred.focal = 100.0;
    hundred.close_focus = 914.4;
    hundred.unit = Unit::Metres;
    hundred.diameter = Some(74.0);
    hundred.engraved = vec![1000.0, 2000.0, f64::INFINITY];
    hundred.names.focal = "100".into();
    hundred.names.camera = Some("A".into());
    hundred.measured = Some(vec![
        (f64::INFINITY, 200.0),
        (10000.0, 182.0),
        (5000.0, 163.3),
        (3000.0, 136.0),
        (2000.0, 101.0),
        (1500.0, 63.0),
        (1100.0, 12.0),
    ]);
    write(
        "first",
        &[fifty.clone(), eighteen.clone(), hundred.clone()],
        Side::Left,
        "a4",
    );
    let mut narrow = fifty.clone();
    narrow.band = Some(8.0);
    let mut twelve = fifty.clone();
    twelve.band = Some(12.5);
    let mut quarter = fifty.clone();
    quarter.band = Some(6.0);
    write("narrow", &[narrow, twelve, quarter], Side::Left, "a4");
    let mut all_round = fifty.clone();
    all_round.travel = 354.0;
    all_round.diameter = Some(76.0);
    let mut short = hundred.clone();
    short.measured = None;
    short.travel = 90.0;
    write("round", &[all_round, short], Side::Right, "a4");
    let mut long = fifty.clone();
    long.diameter = Some(145.0);
    long.travel = 330.0;
    long.close_focus = 450.0;
    write("split", &[long.clone()], Side::Left, "a4");
    write("small", &[fifty.clone()], Side::Left, "a6");
    let mut counter = fifty.clone();
    counter.sense = Sense::CounterClockwise;
    write(
        "left",
        &[fifty.clone(), counter.clone()],
        Side::Left,
        "letter",
    );
    write("right", &[fifty, counter], Side::Right, "letter");
}
