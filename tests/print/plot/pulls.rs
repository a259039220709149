//! The ring against time: the curve where a closed form has it, nothing over
//! anything else.

use markwright::answers::{Pull, RackAnswer, RackWish, rack};
use markwright::draw::plot::{Lie, draw};
use markwright::gear::{DepthSetup, Gearing, GearingKnownBy, Speed};
use markwright::scale::{RingGiven, RingLaw, SubjectPath};
use markwright::scene::Page;
use markwright::sheets::{Plot, PullWish};
use markwright::units::{Angle, FocusDistance, Gain, Length, Ratio, Unit};

use super::super::card::setups::{Given, random};
use super::super::pages::{paper, pdf};
use super::super::reader::read;
use super::curves::assert_follows;
use super::many::assert_clean;
use super::{distance, frame, page, setup, wish};

const GAIN: f64 = 30.0;

fn law(given: &Given, setup: &DepthSetup) -> RingLaw {
    let ring = RingGiven {
        circumference: None,
        close_focus: FocusDistance::at(Length::mm(given.close_mm)).ok(),
    };
    RingLaw::helicoid(setup.setup.lens.bare(), Gain::new(GAIN).unwrap(), ring)
}

fn answered(
    given: &Given,
    setup: &DepthSetup,
    path: SubjectPath,
    speed: Speed,
    gearing: Option<f64>,
) -> Option<(Plot, RackAnswer)> {
    let law = law(given, setup);
    let wanted = RackWish {
        path,
        pull: Pull::At(speed),
        every: None,
        sense: None,
        gearing: gearing.map(|turns| Gearing {
            ratio: Ratio::new(turns).unwrap(),
            known_by: GearingKnownBy::Travel {
                knob: Angle::deg(turns * 300.0),
                ring: Angle::deg(300.0),
            },
        }),
    };
    let answer = rack(&law, setup, &wanted, &mut ()).ok()?;
    let names = wish(given, &[]);
    let wish = PullWish {
        names: names.names,
        unit: names.unit,
    };
    let plot = Plot::pull(&law, setup, &path, &answer, &wish)?;
    Some((plot, answer))
}

fn mm_a_second(speed: f64) -> Speed {
    Speed::each_second(Length::mm(speed)).unwrap()
}

/// A car that passes: the picture of `docs/`.
pub fn passing(given: &Given) -> Plot {
    let ends = (distance("40'"), distance("25'"));
    let path = SubjectPath::passing(Length::inches(96.0), None, ends, true).unwrap();
    let speed = Speed::parse("15mph").unwrap();
    let found = answered(given, &setup(given), path, speed, Some(3.2));
    found.expect("a pull").0
}

#[test]
fn the_ring_of_a_pass_is_drawn_where_a_closed_form_has_it() {
    let given = Given {
        pupils: Some((0.0, 1.0)),
        ..Given::ordinary(Unit::Metres)
    };
    let setup = setup(&given);
    let lens = setup.setup.lens.bare();
    let (f, e) = (lens.focal_length().to_mm(), lens.hiatus().to_mm());
    let (closest, begin, v) = (2000.0_f64, 6000.0_f64, 1400.0);
    let ends = (distance("6m"), distance("5m"));
    let path = SubjectPath::passing(Length::mm(closest), None, ends, true).unwrap();
    let (plot, answer) = answered(&given, &setup, path, mm_a_second(v), None).unwrap();
    for (id, lie) in [("a4", Lie::Landscape), ("a4", Lie::Portrait)] {
        let read = page(&plot, id, lie);
        let frame = frame(&read);
        let (width, height) = (frame.high.0 - frame.low.0, frame.high.1 - frame.low.1);
        let whole = plot.x.to.value();
        let (low, high) = (plot.y.from.value(), plot.y.to.value());
        let x_begin = -(begin * begin - closest * closest).sqrt();
        // Thin-lens conjugates with the hiatus: u is the longer root of u² − Lu + fL = 0.
        let ring = |seconds: f64| {
            let x = x_begin + v * seconds;
            let long = (closest * closest + x * x).sqrt() - e;
            let u = (long + (long * (long - 4.0 * f)).sqrt()) / 2.0;
            GAIN * f * f / (u - f)
        };
        let place = |seconds: f64| {
            (
                frame.low.0 + width * seconds / whole,
                frame.high.1 - height * (ring(seconds) - low) / (high - low),
            )
        };
        let truth = (0..=1000).map(|look| place(whole * f64::from(look) / 1000.0));
        assert_follows(&read, &frame, &[truth.collect()]);
        // The closest point and the fastest turn are said, and both dots lie on the curve.
        for word in ["closest 2.00 m", "fastest"] {
            let said = |words: &&super::super::reader::Words| words.text.starts_with(word);
            assert!(read.words.iter().any(|words| said(&words)), "{word}");
        }
        let dots = &plot.points;
        assert_eq!(dots.len(), 2);
        for (at, up) in dots {
            assert!((ring(at.value()) - up.value()).abs() < 1e-6);
        }
    }
    assert!(
        answer
            .ring
            .assumptions
            .iter()
            .all(|note| note.kind != "vehicle")
    );
}

#[test]
fn a_vehicle_has_its_caution_on_the_plot() {
    let plot = passing(&Given::ordinary(Unit::Feet));
    for (id, lie) in [
        ("a4", Lie::Landscape),
        ("a4", Lie::Portrait),
        ("a5", Lie::Landscape),
        ("a5", Lie::Portrait),
    ] {
        let read = page(&plot, id, lie);
        let all: Vec<&str> = read.words.iter().map(|words| words.text.as_str()).collect();
        let all = all.join(" ");
        assert!(all.contains("caution, a vehicle"), "{id} {lie:?}: {all}");
        assert!(all.contains("first assistant director's word"), "{all}");
        assert!(!all.contains('…'), "{id} {lie:?}: {all}");
    }
}

#[test]
fn pulls_of_all_kinds_are_drawn_without_a_collision() {
    let mut drawn: Vec<(String, Page)> = Vec::new();
    for (index, given) in random(120).iter().enumerate() {
        let Some(setup) = given.setup(given.closed) else {
            continue;
        };
        let near = given.close_mm * [1.0, 1.4, 3.0][index % 3];
        let at = |times: f64| FocusDistance::at(Length::mm((near * times).round())).unwrap();
        let far = [1.5, 4.0, 30.0][index / 3 % 3];
        let closest = Length::mm(near.round());
        let path = match index % 5 {
            0 => SubjectPath::along_axis(at(far), at(1.0)),
            1 => SubjectPath::passing(closest, None, (at(far), at(1.0)), true).unwrap(),
            2 => SubjectPath::passing(closest, None, (at(far), at(far / 1.2)), true).unwrap(),
            3 => SubjectPath::circling(
                closest * 2.0,
                closest,
                index % 2 == 0,
                (at(2.9_f64.min(far)), at(2.0)),
                true,
            )
            .unwrap(),
            _ => SubjectPath::passing(closest, Some(closest), (at(far), at(1.2)), true).unwrap(),
        };
        let speed = mm_a_second([500.0, 1400.0, 9000.0][index / 2 % 3]);
        let gearing = (index % 2 == 0).then_some(2.5);
        let Some((plot, _)) = answered(given, &setup, path, speed, gearing) else {
            continue;
        };
        let id = ["a4", "letter"][index % 2];
        let lie = [Lie::Landscape, Lie::Portrait][index / 2 % 2];
        let page = draw(&plot, paper(id), lie).unwrap_or_else(|none| panic!("{none}: {given:?}"));
        drawn.push((format!("{id} {lie:?} {path:?} {given:?}"), page));
    }
    assert!(drawn.len() > 90, "only {} drawn", drawn.len());
    let pages: Vec<Page> = drawn.iter().map(|(_, page)| page.clone()).collect();
    for (read, (what, _)) in read(&pdf(&pages)).iter().zip(&drawn) {
        assert_clean(read, what);
    }
}
