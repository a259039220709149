//! Subjects on their way: the ring against time, its sharp stretch and its rate.

use markwright::optics::Circle;
use markwright::scale::{
    Measure, RingGiven, RingLaw, RingPosition, Standing, SteadyPull, SubjectPath,
};
use markwright::units::{FNumber, FocusDistance, Gain, Length, Reach, Time};

use crate::depth::{distance, lens, mm};
use crate::table::{Row, rows, same};

const BARE: RingGiven = RingGiven {
    circumference: None,
    close_focus: None,
};

fn path(row: &Row) -> SubjectPath {
    let length = |column: &str| Length::mm(row.figure(column));
    let ends = (distance(row.figure("from")), distance(row.figure("to")));
    let passes = row.text("passes") == "yes";
    let still = row.text("frame") == "still";
    let path = match row.text("kind") {
        "axis" => return SubjectPath::along_axis(ends.0, ends.1),
        "passing" => {
            let frame_at = still.then(|| length("frame_at"));
            SubjectPath::passing(length("size"), frame_at, ends, passes)
        }
        _ => SubjectPath::circling(length("size"), length("radius"), still, ends, passes),
    };
    path.unwrap_or_else(|why| panic!("{row:?}: {why:?}"))
}

fn pull(row: &Row) -> SteadyPull {
    let law = RingLaw::helicoid(lens(row), Gain::new(row.figure("gain")).unwrap(), BARE);
    SteadyPull::new(&law, path(row), Length::mm(row.figure("speed"))).unwrap()
}

fn turn(place: Option<RingPosition>) -> f64 {
    place.unwrap().turn().unwrap().to_deg()
}

/// Where the ring is to be after so many seconds.
fn position(pull: &SteadyPull, seconds: f64) -> f64 {
    let way = pull.way(Time::try_seconds(seconds).unwrap(), &mut ());
    turn(pull.position(&pull.spot(way, &mut ()).unwrap(), &mut ()))
}

/// How fast it turns when the subject has gone some way.
fn rate(pull: &SteadyPull, way: Length) -> f64 {
    turn(pull.rate(&pull.spot(way, &mut ()).unwrap(), &mut ()))
}

#[test]
fn a_pull_agrees_with_the_independent_table() {
    let (mut still, mut to_infinity) = (0, 0);
    for row in rows("pull.csv") {
        let pull = pull(&row);
        let whole = pull.time(pull.length(), &mut ()).to_seconds();
        same(whole, row.figure("whole"), 1e-9, "whole", &row);
        let way = pull.way(Time::try_seconds(row.figure("seconds")).unwrap(), &mut ());
        let spot = pull.spot(way, &mut ()).unwrap();
        same(spot.taped.to_mm(), row.figure("taped"), 1e-9, "taped", &row);
        same(
            mm(spot.focus.reach()),
            row.figure("focus"),
            1e-9,
            "focus",
            &row,
        );
        let place = turn(pull.position(&spot, &mut ()));
        same(place, row.figure("position_deg"), 1e-9, "position", &row);
        let peak = row.figure("peak_deg_per_s");
        // Rates come from the law's slope by a difference, which keeps ten digits, and
        // near the turning point they are small beside the peak.
        let within = 1e-9 * peak.max(1e-3);
        let here = turn(pull.rate(&spot, &mut ()));
        assert!(
            (here - row.figure("deg_per_s")).abs() <= within,
            "{row:?}: {here}"
        );
        let fastest = pull.fastest().map_or(0.0, |way| rate(&pull, way).abs());
        assert!((fastest - peak).abs() <= within, "{row:?}: {fastest}");
        let n = FNumber::new(row.figure("n")).unwrap();
        let circle = Circle::new(Length::mm(row.figure("circle"))).unwrap();
        let sharp = pull.law().sharp_ring(spot.focus, n, circle, &mut ());
        let edge = |ours: Option<RingPosition>, theirs: f64| {
            let ours = turn(ours);
            let tolerance = 1e-9 * (theirs - place).abs() + 1e-12 * place;
            assert!((ours - theirs).abs() <= tolerance, "{row:?}: {ours}");
        };
        edge(sharp.toward_close_focus, row.figure("sharp_to_deg"));
        match row.text("sharp_from_deg") {
            "infinity" => assert_eq!(sharp.toward_infinity, None, "{row:?}"),
            _ => edge(sharp.toward_infinity, row.figure("sharp_from_deg")),
        }
        let turns: Vec<f64> = pull
            .turns()
            .into_iter()
            .map(|(_, at)| turn(pull.law().position(at).ok()))
            .collect();
        let turning: f64 = turns.windows(2).map(|two| (two[1] - two[0]).abs()).sum();
        assert!((turning - row.figure("turning_deg")).abs() <= 1e-9 * turns[0].max(1.0));
        still += usize::from(row.text("frame") == "still");
        to_infinity += usize::from(row.text("sharp_from_deg") == "infinity");
    }
    // The table has what it is for.
    assert!(still > 5 && to_infinity > 5, "{still} {to_infinity}");
}

#[test]
fn a_rate_is_the_slope_of_the_positions_and_none_is_faster_than_the_fastest() {
    for row in rows("pull.csv") {
        let pull = pull(&row);
        let whole = pull.time(pull.length(), &mut ()).to_seconds();
        let fastest = pull.fastest().map_or(0.0, |way| rate(&pull, way).abs());
        // A step that halves the digits of a double (central difference).
        let step = whole * 1e-5;
        for look in 1..2000 {
            let seconds = whole * f64::from(look) / 2000.0;
            let way = pull.way(Time::try_seconds(seconds).unwrap(), &mut ());
            let here = rate(&pull, way);
            assert!(
                here.abs() <= fastest * (1.0 + 1e-9),
                "{row:?} at {seconds} s"
            );
            let rise = position(&pull, seconds + step) - position(&pull, seconds - step);
            let slope = rise / (2.0 * step);
            assert!(
                (slope - here).abs() <= 1e-4 * fastest + 1e-9,
                "{row:?} at {seconds} s: {here} against {slope}"
            );
        }
    }
}

#[test]
fn the_ring_turns_by_the_published_rate_times_how_fast_the_distance_shrinks() {
    // d theta/dt = -G m^2/(1 - m^2) dD/dt (derived from D = e + f (2 + m + 1/m)), and for a
    // pass dD/dt = v s/D with s the way from the closest point: both closed forms, with m
    // from f/(u - f), u the longer conjugate of a thin lens.
    let (f, gain, v, closest) = (50.0, 30.0, 1500.0, 2000.0_f64);
    let thin = Row::of_pairs("focal=50;hiatus=0;pupil=1");
    let law = RingLaw::helicoid(lens(&thin), Gain::new(gain).unwrap(), BARE);
    let at = |mm: f64| distance(mm);
    let path = SubjectPath::passing(Length::mm(closest), None, (at(6000.0), at(4000.0)), true);
    let pull = SteadyPull::new(&law, path.unwrap(), Length::mm(v)).unwrap();
    let begin = -(6000.0_f64 * 6000.0 - closest * closest).sqrt();
    for s in [-5000.0, -2000.0, -500.0, 0.0, 700.0, 3000.0] {
        let d = (closest * closest + s * s).sqrt();
        let u = (d + (d * (d - 4.0 * f)).sqrt()) / 2.0;
        let m = f / (u - f);
        let wanted = -gain * m * m / (1.0 - m * m) * v * s / d;
        let got = rate(&pull, Length::mm(s - begin));
        assert!((got - wanted).abs() < 1e-7, "{s}: {got} against {wanted}");
    }
}

#[test]
fn where_the_ring_ends_on_the_way_is_told_to_the_moment() {
    // Closed form: a subject that passes at 1 m is 1.25 m away 0.75 m before it.
    let thin = Row::of_pairs("focal=50;hiatus=0;pupil=1");
    let ring = RingGiven {
        close_focus: Some(distance(1250.0)),
        ..BARE
    };
    let law = RingLaw::helicoid(lens(&thin), Gain::new(30.0).unwrap(), ring);
    let ends: (FocusDistance, FocusDistance) = (distance(5000.0), distance(5000.0));
    let path = SubjectPath::passing(Length::mm(1000.0), None, ends, true).unwrap();
    let pull = SteadyPull::new(&law, path, Length::mm(1000.0)).unwrap();
    let untold = pull.untold().unwrap();
    let begin = (25e6_f64 - 1e6).sqrt();
    assert!((untold.spot.way.to_mm() - (begin - 750.0)).abs() < 1e-6);
    assert!((untold.spot.taped.to_mm() - 1250.0).abs() < 1e-6);
    let far = SubjectPath::passing(Length::mm(1250.0), None, ends, true).unwrap();
    let pull = SteadyPull::new(&law, far, Length::mm(1000.0)).unwrap();
    assert_eq!(pull.untold(), None);
    assert!(matches!(pull.turns()[1].1.reach(), Reach::At(at) if at == Length::mm(1250.0)));
}

#[test]
fn through_uneven_marks_and_at_the_end_of_a_long_way_the_fastest_turn_is_found() {
    // Marks as no helicoid has them: the ring turns fast about 10 m, 4 m and close up. What
    // is fastest is the highest of a scan of the positions themselves, a thousand times finer
    // than the way.
    let thin = Row::of_pairs("focal=50;hiatus=0;pupil=1");
    let marks = [
        (f64::INFINITY, 0.0),
        (12_000.0, 2.0),
        (9_000.0, 30.0),
        (5_000.0, 33.0),
        (3_500.0, 80.0),
        (2_000.0, 85.0),
        (1_000.0, 140.0),
    ];
    let marks = marks.map(|(at, position)| (distance(at), position));
    let law = RingLaw::through_marks(lens(&thin), &marks, Measure::Turn, Standing::Measured, BARE);
    let law = law.unwrap();
    let closest = |mm: f64, from: f64, to: f64, passes| {
        let ends = (distance(from), distance(to));
        SubjectPath::passing(Length::mm(mm), None, ends, passes).unwrap()
    };
    for (path, looks) in [
        (
            SubjectPath::along_axis(distance(30_000.0), distance(1_000.0)),
            20_000,
        ),
        (
            SubjectPath::along_axis(distance(30_000.0), distance(1_500.0)),
            20_000,
        ),
        (
            SubjectPath::along_axis(distance(6_000.0), distance(20_000.0)),
            20_000,
        ),
        (closest(2_500.0, 15_000.0, 12_000.0, true), 20_000),
        (closest(3_000.0, 400_000.0, 3_100.0, false), 200_000),
    ] {
        let pull = SteadyPull::new(&law, path, Length::mm(1000.0)).unwrap();
        let fastest = rate(&pull, pull.fastest().unwrap()).abs();
        let whole = pull.time(pull.length(), &mut ()).to_seconds();
        let step = whole / f64::from(looks);
        let mut before = position(&pull, 0.0);
        let mut highest = 0.0_f64;
        for look in 1..=looks {
            let next = position(&pull, step * f64::from(look));
            highest = highest.max((next - before).abs() / step);
            before = next;
        }
        // Each stretch of the scan is as fast as some place in it.
        assert!(
            highest <= fastest * (1.0 + 1e-6),
            "{path:?}: {highest} {fastest}"
        );
        assert!(highest >= fastest * 0.995, "{path:?}: {highest} {fastest}");
    }
}
