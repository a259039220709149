//! Depth, hyperfocal and working f-number over the whole range of lenses, each
//! figure to five units of a double's last place times what the question
//! itself magnifies such an error by (README.md, "How closely…").

use markwright::answers;
use markwright::gear::{CircleOn, Fitted, LensFigures, Wanted};
use markwright::optics::{Branch, Circle, CircleRule, Pupil, UnitFocus};
use markwright::units::{FNumber, FocusDistance, Length, PupilMagnification, Reach, Stop};

use crate::table::{Row, rows, same, within};

/// Half the step between doubles, relative.
const EPSILON: f64 = f64::EPSILON / 2.0;
/// How many of them times the condition are allowed; 3 were measured.
const ALLOWED: f64 = 5.0;

pub fn lens(row: &Row) -> UnitFocus {
    UnitFocus::new(
        Length::mm(row.figure("focal")),
        Pupil::Hiatus(Length::mm(row.figure_or("hiatus", 0.0))),
        PupilMagnification::new(row.figure_or("pupil", 1.0)).unwrap(),
        &mut (),
    )
}

pub fn distance(mm: f64) -> FocusDistance {
    if mm.is_infinite() {
        FocusDistance::INFINITY
    } else {
        FocusDistance::at(Length::mm(mm)).unwrap()
    }
}

pub fn mm(reach: Reach<Length>) -> f64 {
    match reach {
        Reach::At(length) => length.to_mm(),
        Reach::Infinity => f64::INFINITY,
    }
}

pub fn circle(row: &Row) -> Circle {
    Circle::new(Length::mm(row.figure("circle"))).unwrap()
}

pub fn branch(row: &Row) -> Branch {
    if row.has("branch") && row.text("branch") == "macro" {
        Branch::Macro
    } else {
        Branch::Far
    }
}

/// The lens, stop and circle of a row, as somebody would ask about them.
pub fn wanted(row: &Row) -> Wanted {
    Wanted {
        lens: LensFigures {
            focal_length: Length::mm(row.figure("focal")),
            pupil: Some(Pupil::Hiatus(Length::mm(row.figure("hiatus")))),
            pupil_magnification: Some(PupilMagnification::new(row.figure("pupil")).unwrap()),
            transmittance: None,
        },
        stop: Some(Stop::F(FNumber::new(row.figure("n")).unwrap())),
        frame: None,
        circle: Some(CircleRule::Fixed(circle(row).diameter())),
        branch: branch(row),
        circle_on: CircleOn::Sensor,
        fitted: Fitted::default(),
        waves: None,
        notes: Vec::new(),
    }
}

/// What a question magnifies a rounding error by, figure by figure.
struct Condition {
    magnification: f64,
    working_n: f64,
    in_front: f64,
    far: f64,
    behind: f64,
    /// Terms of either sign are added in the next two: with the size of the
    /// terms, which the error is measured against.
    station: (f64, f64),
    near: (f64, f64),
}

impl Condition {
    fn of(row: &Row) -> Self {
        let figure = |column| row.figure(column);
        let (f, e, p) = (figure("focal"), figure("hiatus").abs(), figure("pupil"));
        let (m, d) = (figure("magnification"), figure("focus"));
        let q = f * (1.0 + m / p);
        let kappa = figure("circle") * figure("n") / f;
        let terms = e + f * (2.0 + m + 1.0 / p);
        // At infinity focus m is 0 as it stands, and nothing is magnified.
        let (runaway, k, nearer) = if m == 0.0 {
            (0.0, f64::INFINITY, 1.0)
        } else {
            let runaway = (d + e + 4.0 * f) / (f * (1.0 / m - m).abs());
            (runaway, kappa / m, 1.0 + (1.0 + runaway) * kappa / m)
        };
        Self {
            magnification: 1.0 + runaway,
            working_n: 1.0 + runaway * (m / p) / (1.0 + m / p),
            in_front: 1.0 + 2.0 * runaway,
            far: 1.0 + (1.0 + runaway) * k / (1.0 - k).abs(),
            behind: 1.0 + (1.0 + 2.0 * runaway) / (1.0 - k).abs(),
            station: (1.0 + runaway * m, terms),
            near: (nearer, terms + q / (m + kappa)),
        }
    }
}

#[test]
fn depth_agrees_with_the_independent_table_to_its_last_digits() {
    let (mut plain, mut all) = (0, 0);
    for row in rows("depth.csv") {
        let lens = lens(&row);
        let n = FNumber::new(row.figure("n")).unwrap();
        let circle = circle(&row);
        let focus = distance(row.figure("focus"));
        let set = lens.at(focus, branch(&row), n, &mut ()).unwrap();
        let (limits, depth) = (set.limits(circle, &mut ()), set.depth(circle, &mut ()));
        let working_n = set.working_f_number(&mut ()).value();
        let condition = Condition::of(&row);
        let is_plain = row.text("conditioning") == "plain";
        let check = |ours: f64, column: &str, (condition, size): (f64, f64)| {
            let theirs = row.figure(column);
            let tolerance = ALLOWED * EPSILON * condition * size;
            within(ours, theirs, tolerance, column, &row);
            if is_plain {
                within(ours, theirs, 1e-9 * size, column, &row);
            }
        };
        let relative = |ours: f64, column: &str, condition: f64| {
            check(ours, column, (condition, row.figure(column).abs()));
        };
        let m = set.magnification().value();
        relative(m, "magnification", condition.magnification);
        relative(working_n, "working_n", condition.working_n);
        let station = set.pupil_station().to_mm();
        check(station, "entrance_pupil", condition.station);
        check(mm(limits.near.reach()), "near", condition.near);
        relative(mm(limits.far.reach()), "far", condition.far);
        relative(mm(depth.in_front), "in_front", condition.in_front);
        relative(mm(depth.behind), "behind", condition.behind);
        relative(mm(depth.total), "total", condition.behind);
        all += 1;
        plain += usize::from(is_plain);
    }
    assert_eq!((all, plain), (2540, 2220));
}

#[test]
fn hyperfocal_agrees_with_the_independent_table_from_every_plane() {
    let mut checked = 0;
    for row in rows("depth.csv") {
        if row.figure("hyperfocal").is_infinite() {
            continue;
        }
        let lens = lens(&row);
        let n = FNumber::new(row.figure("n")).unwrap();
        let circle = circle(&row);
        let ours = lens.hyperfocal(n, circle, &mut ()).unwrap();
        // All terms are positive but the hiatus, which may cancel some of them.
        let cancelled = (row.figure("hiatus").abs() - row.figure("hiatus")).max(0.0);
        for (ours, column, cancelled) in [
            (ours.from_image_plane, "hyperfocal", cancelled),
            (ours.from_front_focal_point, "hf_front_focal_point", 0.0),
            (ours.from_front_principal_plane, "hf_principal", 0.0),
            (ours.from_entrance_pupil, "hf_pupil", 0.0),
        ] {
            let theirs = row.figure(column);
            let size = theirs + cancelled;
            within(ours.to_mm(), theirs, ALLOWED * EPSILON * size, column, &row);
        }
        checked += 1;
    }
    assert!(checked > 2000, "only {checked} rows have a hyperfocal");
}

#[test]
fn the_answer_says_what_the_table_says() {
    // The answer goes through Wanted and DepthSetup; nothing is lost or mixed up there.
    for row in rows("depth.csv").iter().step_by(7) {
        let wanted = wanted(row);
        let setup = wanted.depth_setup(&mut ()).unwrap();
        let answer =
            answers::depth(&setup, &[distance(row.figure("focus"))], &[], &mut ()).unwrap();
        assert_eq!(answer.assumptions, []);
        let ours = &answer.rows[0];
        let tolerance = if row.text("conditioning") == "plain" {
            1e-9
        } else {
            // Here the last digits of the question decide: the other test tells how.
            1e-3
        };
        for (ours, column) in [
            (ours.magnification.value(), "magnification"),
            (mm(ours.near.reach()), "near"),
            (mm(ours.far.reach()), "far"),
            (mm(ours.in_front), "in_front"),
            (mm(ours.behind), "behind"),
            (mm(ours.total), "total"),
            (ours.working_f_number.value(), "working_n"),
            (answer.hyperfocal.unwrap().to_mm(), "hyperfocal"),
            (
                answer.hyperfocal_from.front_focal_point.unwrap().to_mm(),
                "hf_front_focal_point",
            ),
            (
                answer
                    .hyperfocal_from
                    .front_principal_plane
                    .unwrap()
                    .to_mm(),
                "hf_principal",
            ),
            (
                answer.hyperfocal_from.entrance_pupil.unwrap().to_mm(),
                "hf_pupil",
            ),
        ] {
            same(ours, row.figure(column), tolerance, column, row);
        }
    }
}
