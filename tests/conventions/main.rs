//! Each convention of the house, a sentence and a check. Two people who differ
//! in one of these give different figures and are both right.

use approx::assert_relative_eq;
use markwright::answers;
use markwright::data::{MemoryFiles, kit};
use markwright::gear::{CircleOn, Fitted, LensFigures, Sense, Wanted};
use markwright::optics::{Branch, Circle, CircleRule, Focused, Pupil, UnitFocus};
use markwright::scale::{RingGiven, RingLaw, RingPosition, Zero, real_focus};
use markwright::scene::{Affine, Page, Point, Turn};
use markwright::units::show::{Round, Step, rounded};
use markwright::units::{
    Angle, BareUnit, FNumber, FocusDistance, Gain, Length, PupilMagnification, Reach, Stop,
    StopKind, TNumber, Transmittance, Unit, Unreadable, parse,
};

fn lens(f: f64, e: f64, p: f64) -> UnitFocus {
    UnitFocus::new(
        Length::mm(f),
        Pupil::Hiatus(Length::mm(e)),
        PupilMagnification::new(p).unwrap(),
        &mut (),
    )
}

fn at(mm: f64) -> FocusDistance {
    FocusDistance::at(Length::mm(mm)).unwrap()
}

fn mm(reach: Reach<Length>) -> f64 {
    match reach {
        Reach::At(length) => length.to_mm(),
        Reach::Infinity => f64::INFINITY,
    }
}

fn set(lens: UnitFocus, focus: FocusDistance) -> Focused {
    let n = FNumber::new(2.8).unwrap();
    lens.at(focus, Branch::Far, n, &mut ()).unwrap()
}

fn wanted(stop: Stop) -> Wanted {
    Wanted {
        lens: LensFigures {
            focal_length: Length::mm(50.0),
            pupil: Some(Pupil::Hiatus(Length::ZERO)),
            pupil_magnification: Some(PupilMagnification::ONE),
            transmittance: Some(Transmittance::new(0.81).unwrap()),
        },
        stop: Some(stop),
        frame: None,
        circle: Some(CircleRule::Fixed(Length::mm(0.025))),
        branch: Branch::Far,
        circle_on: CircleOn::Sensor,
        fitted: Fitted::default(),
        waves: None,
        notes: Vec::new(),
    }
}

mod planes {
    use super::*;

    /// A distance of which nothing is said is from the image plane to the
    /// object, along the axis: D = u + e + v.
    #[test]
    fn distances_are_from_the_image_plane() {
        // u = 3 m, f = 50, so v = 150 000 / 2950, and a hiatus of 20.
        let (u, e) = (3000.0, 20.0);
        let v = 50.0 * u / (u - 50.0);
        let set = set(lens(50.0, e, 1.0), at(u + e + v));
        assert_relative_eq!(set.magnification().value(), v / u, max_relative = 1e-13);
    }

    /// A distance is above zero, toward the object; there is none behind the
    /// image plane.
    #[test]
    fn distances_are_positive_toward_the_object() {
        for refused in [0.0, -1000.0] {
            let refused = FocusDistance::at(Length::mm(refused));
            assert!(matches!(refused, Err(Unreadable::NotPositive { .. })));
        }
    }

    /// Infinity is a value of its own and sorts last; it is a magnification of
    /// nought and no large number.
    #[test]
    fn infinity_is_a_value() {
        assert!(at(1e9).is_nearer_than(FocusDistance::INFINITY));
        assert!(!FocusDistance::INFINITY.is_nearer_than(FocusDistance::INFINITY));
        let far = set(lens(50.0, 0.0, 1.0), FocusDistance::INFINITY);
        assert_eq!(far.magnification().value(), 0.0);
        assert!(set(lens(50.0, 0.0, 1.0), at(1e9)).magnification().value() > 0.0);
    }

    /// The entrance pupil's station is its distance IN FRONT of the image
    /// plane; a telephoto lens may have it behind, and then it is negative.
    #[test]
    fn the_pupil_station_is_positive_in_front() {
        let station = |lens| set(lens, FocusDistance::INFINITY).pupil_station().to_mm();
        // A thin lens at infinity focus stands f in front of the image.
        assert_eq!(station(lens(50.0, 0.0, 1.0)), 50.0);
        // t = e + f (2 − 1/p): 60 + 200 (2 − 4).
        assert_eq!(station(lens(200.0, 60.0, 0.25)), -340.0);
    }

    /// The hiatus runs from H to H′ and is positive when H′ is nearer the
    /// image: positive for two-group retrofocus AND telephoto lenses, negative
    /// for two positive groups.
    #[test]
    fn the_hiatus_is_positive_toward_the_image() {
        // Groups f1, f2, d apart: power 1/f1 + 1/f2 − d/(f1 f2), H at d f/f2 behind
        // the first, H′ at d f/f1 in front of the second.
        let hiatus = |f1: f64, f2: f64, d: f64| {
            let f = 1.0 / (1.0 / f1 + 1.0 / f2 - d / (f1 * f2));
            let (h, h2) = (d * f / f2, d - d * f / f1);
            (f, h2 - h)
        };
        for (f1, f2, d, positive) in [
            (-90.0, 45.0, 60.0, true),
            (80.0, -70.0, 55.0, true),
            (95.0, 90.0, 25.0, false),
        ] {
            let (f, e) = hiatus(f1, f2, d);
            assert_eq!(e > 0.0, positive, "{f1} {f2}");
            // Parallel light through both groups comes to focus where the library's
            // lens, focused at infinity, has its image plane: f behind H′.
            let behind_second = 1.0 / (1.0 / f2 + 1.0 / (f1 - d));
            let lens = lens(f, e, 1.0);
            assert_relative_eq!(d - d * f / f1 + f, d + behind_second, max_relative = 1e-12);
            // And its front principal plane is e + f in front of that.
            let station = set(lens, FocusDistance::INFINITY).pupil_station().to_mm();
            assert_relative_eq!(
                station,
                d + behind_second - d * f / f2,
                max_relative = 1e-12
            );
        }
    }

    /// Pupil magnification is exit over entrance: above 1 the entrance pupil
    /// stands in front of H, as on retrofocus lenses.
    #[test]
    fn pupil_magnification_is_exit_over_entrance() {
        let in_front_of_h = |p| {
            let thin = set(lens(40.0, 0.0, 1.0), FocusDistance::INFINITY).pupil_station();
            set(lens(40.0, 0.0, p), FocusDistance::INFINITY).pupil_station() - thin
        };
        assert_eq!(in_front_of_h(2.0), Length::mm(20.0));
        assert_eq!(in_front_of_h(0.5), Length::mm(-40.0));
    }

    /// Magnification is positive, image over object; the macro range is m ≥ 1.
    #[test]
    fn magnification_is_positive_and_the_macro_range_is_above_one() {
        let lens = lens(50.0, 0.0, 1.0);
        // u + v = 225 = 150 + 75: half or twice life size.
        let m = |branch| {
            lens.magnification(at(225.0), branch, &mut ())
                .unwrap()
                .value()
        };
        assert_relative_eq!(m(Branch::Far), 0.5, max_relative = 1e-14);
        assert_relative_eq!(m(Branch::Macro), 2.0, max_relative = 1e-14);
    }

    /// Blur is positive behind the focus and negative in front of it.
    #[test]
    fn blur_is_positive_behind_the_focus() {
        let set = set(lens(50.0, 0.0, 1.0), at(3000.0));
        let blur = |d| set.blur(d, &mut ()).unwrap().to_mm();
        assert!(blur(at(4000.0)) > 0.0 && blur(FocusDistance::INFINITY) > 0.0);
        assert!(blur(at(2000.0)) < 0.0);
    }

    /// The circle is a diameter in the recorded image.
    #[test]
    fn the_circle_is_a_diameter() {
        let set = set(lens(50.0, 0.0, 1.0), at(3000.0));
        let circle = Circle::new(Length::mm(0.03)).unwrap();
        let far = set.limits(circle, &mut ()).far;
        let blur = set.blur(far, &mut ()).unwrap();
        assert_relative_eq!(blur.to_mm(), 0.03, max_relative = 1e-10);
    }
}

mod stops {
    use super::*;

    /// The number typed is the number meant: f/2.8 is 2.8 and not √8.
    #[test]
    fn a_stop_is_the_number_typed() {
        for (text, kind, number) in [
            ("f/2.8", StopKind::F, 2.8),
            ("f/22", StopKind::F, 22.0),
            ("T2.9", StopKind::T, 2.9),
        ] {
            let stop = parse::stop(text, None).unwrap();
            assert_eq!((stop.kind(), stop.number()), (kind, number));
        }
    }

    /// Depth goes by the f-number, exposure by the T-number: T = N / √τ.
    #[test]
    fn f_is_for_depth_and_t_for_exposure() {
        // τ = 0.81: f/1.8 is T2.
        let by_t = wanted(Stop::T(TNumber::new(2.0).unwrap()));
        let by_f = wanted(Stop::F(FNumber::new(1.8).unwrap()));
        let depth = |wanted: &Wanted| {
            let setup = wanted.depth_setup(&mut ()).unwrap();
            answers::depth(&setup, &[at(3000.0)], &[], &mut ()).unwrap()
        };
        let (t, f) = (depth(&by_t), depth(&by_f));
        assert_relative_eq!(t.premises.f_number.value(), 1.8, max_relative = 1e-14);
        assert_relative_eq!(
            f.premises.t_number.unwrap().value(),
            2.0,
            max_relative = 1e-14
        );
        let near = |answer: &answers::DepthAnswer| mm(answer.rows[0].near.reach());
        assert_relative_eq!(near(&t), near(&f), max_relative = 1e-13);
    }

    /// A stop without f or T is refused, unless the lens says which it has; a
    /// lens with both numbers counts in T.
    #[test]
    fn a_bare_stop_goes_by_the_lens_and_a_lens_with_both_means_t() {
        assert!(matches!(
            parse::stop("2.8", None),
            Err(Unreadable::AmbiguousStop { .. })
        ));
        let kind = |header: &str, row: &str| {
            let files = MemoryFiles::new()
                .with("kit.toml", KIT)
                .with("lenses.csv", format!("{header}\n{row}\n"));
            kit::read(&files).unwrap().0.lenses[0].0.stop_kind()
        };
        let both = kind(
            "id,focal_mm,f_number,t_number,close_focus",
            "a,50,1.8,2,0.6m",
        );
        assert_eq!(both, StopKind::T);
        assert_eq!(
            kind("id,focal_mm,f_number,close_focus", "a,50,1.8,0.6m"),
            StopKind::F
        );
    }
}

const KIT: &str =
    "title = \"Conventions\"\nunits = \"metres\"\n[recording]\nformat = \"s35-3perf\"\n";

mod rings {
    use super::*;

    fn law() -> RingLaw {
        let bare = RingGiven {
            circumference: None,
            close_focus: None,
        };
        RingLaw::helicoid(lens(50.0, 0.0, 1.0), Gain::new(30.0).unwrap(), bare)
    }

    fn turn(focus: FocusDistance) -> f64 {
        law().position(focus).unwrap().turn().unwrap().to_deg()
    }

    /// Positions count from infinity and grow toward close focus.
    #[test]
    fn positions_grow_from_infinity_toward_close_focus() {
        assert_eq!(law().zero(), Zero::Infinity);
        assert_eq!(turn(FocusDistance::INFINITY), 0.0);
        assert!(turn(at(600.0)) > turn(at(2000.0)) && turn(at(2000.0)) > 0.0);
    }

    /// The way to the near limit is positive, to the far limit negative; the
    /// ring tolerance has no sign.
    #[test]
    fn offsets_have_the_sign_of_positions() {
        let circle = Circle::new(Length::mm(0.025)).unwrap();
        let depth = law().depth(at(2000.0), FNumber::new(2.0).unwrap(), circle);
        let depth = depth.unwrap();
        let sign = |place: RingPosition| place.turn().unwrap().to_deg();
        assert!(sign(depth.near_offset) > 0.0 && sign(depth.far_offset) < 0.0);
        assert!(sign(depth.tolerance) > 0.0);
    }

    /// The image-plane error is positive when the image plane is too far from
    /// the lens; focus then falls nearer than the ring says.
    #[test]
    fn an_image_plane_error_is_positive_away_from_the_lens() {
        let real = |delta: f64| {
            real_focus(lens(50.0, 0.0, 1.0), at(3000.0), Length::mm(delta), &mut ()).unwrap()
        };
        assert!(real(0.02).is_nearer_than(at(3000.0)));
        assert!(at(3000.0).is_nearer_than(real(-0.02)));
    }

    /// The sense of a ring is the way it TURNS, seen from behind the camera,
    /// going from infinity to close focus.
    #[test]
    fn sense_is_seen_from_behind_going_to_close_focus() {
        for (sense, side) in [
            (Sense::Clockwise, "right"),
            (Sense::CounterClockwise, "left"),
        ] {
            let words = sense.in_words();
            assert!(words.starts_with("turned from infinity to close focus"));
            assert!(words.contains(&format!("goes {} seen from behind", sense.name())));
            // Clockwise is the way of a clock's hands: up there they move right.
            assert!(words.ends_with(&format!("top moves to the {side}")));
        }
    }
}

mod writing {
    use super::*;

    /// An inch is 25.4 mm and a foot 12 inches, exactly.
    #[test]
    fn an_inch_is_25_4_mm() {
        let read = |text| {
            mm(parse::distance(text, BareUnit::Refused(None))
                .unwrap()
                .reach())
        };
        assert_eq!(read("1in"), 25.4);
        assert_eq!(read("1'"), 304.8);
        assert_eq!(Length::inches(1.0).to_mm(), 25.4);
        assert_eq!(Length::from_inch_64ths(64).to_mm(), 25.4);
        assert_eq!(Length::points(72.0).to_mm(), 25.4);
    }

    /// A bare number is no distance, whatever the unit of output; only a lens's
    /// own scale has a unit.
    #[test]
    fn a_bare_number_is_no_distance() {
        for habit in [None, Some(Unit::Feet), Some(Unit::Metres)] {
            let bare = parse::distance("3", BareUnit::Refused(habit));
            assert!(matches!(bare, Err(Unreadable::BareNumber { .. })));
        }
        let read = |unit| {
            parse::distance("3", BareUnit::Engraved(unit))
                .unwrap()
                .reach()
        };
        assert_eq!(mm(read(Unit::Feet)), 914.4);
        assert_eq!(mm(read(Unit::Metres)), 3000.0);
    }

    /// Figures for people are rounded inward: near up, far down, so that what
    /// is printed as sharp is sharp.
    #[test]
    fn figures_are_rounded_to_the_safe_side() {
        let two_cm = Step::TenthsOfMm(200);
        let length = Length::mm(2771.11); // fact F6.1.near
        assert_eq!(rounded(length, two_cm, Round::Up), "2.78 m");
        let length = Length::mm(3270.11); // fact F6.1.far
        assert_eq!(rounded(length, two_cm, Round::Down), "3.26 m");
    }

    /// In JSON lengths are mm, infinity is the word, and a T-number that is not
    /// known is null.
    #[test]
    fn json_has_millimetres_and_the_word_infinity() {
        let mut wanted = wanted(Stop::F(FNumber::new(2.8).unwrap()));
        wanted.lens.transmittance = None;
        let setup = wanted.depth_setup(&mut ()).unwrap();
        let foci = [at(3000.0), FocusDistance::INFINITY];
        let answer = answers::depth(&setup, &foci, &[], &mut ()).unwrap();
        let json = serde_json::to_value(&answer).unwrap();
        assert_eq!(json["focal_length_mm"], 50.0);
        assert_eq!(json["t_number"], serde_json::Value::Null);
        assert_eq!(json["rows"][0]["focus_mm"], 3000.0);
        let far = &json["rows"][1];
        for key in ["focus_mm", "far_mm", "behind_mm", "total_mm"] {
            assert_eq!(far[key], "infinity", "{key}");
        }
        assert_eq!(far["magnification"], 0.0);
    }
}

mod paper {
    use super::*;

    /// The origin is the top left corner, x runs right, y runs DOWN, 1 mm of a
    /// scene is 1 mm of paper, and a turn is clockwise as seen.
    #[test]
    fn a_scene_is_in_millimetres_from_the_top_left() {
        let page = Page::new("a4", Length::mm(210.0), Length::mm(297.0)).unwrap();
        let here = Point::mm(10.0, 20.0);
        assert_eq!(page.to_paper().apply(here), here);
        let quarter = Affine::placed(Point::ORIGIN, Turn::clockwise(Angle::deg(90.0)));
        // What lay to the right of the origin lies below it.
        assert_eq!(quarter.apply(Point::mm(5.0, 0.0)), Point::mm(0.0, 5.0));
    }
}
