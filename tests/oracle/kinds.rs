//! Lenses with something attached, lenses that breathe and anamorphic lenses
//! against tables of traced rays (`kinds.py`), to 1e-9.
//!
//! How closely doubles can agree: at the hyperfocal and at the turn where
//! distances stop drawing nearer a figure magnifies the last digit of the
//! question. The tables keep a part in a thousand away from the hyperfocal; what
//! is left of either is `condition` below, and 1e-9 is met with room to spare.

use markwright::answers::{self, DepthAnswer};
use markwright::gear::{
    CircleOn, Fitted, LensFigures, Wanted, breathing_row, close_up, extender, filter, tube,
};
use markwright::optics::{
    Anamorph, AnyLens, Behind, Branch, CircleRule, Focus, Focused, Gate, Pupil, Squeeze, UnitFocus,
};
use markwright::units::{FNumber, FocusDistance, Length, PupilMagnification, Ratio, Stop};

use crate::depth::{distance, lens, mm};
use crate::table::{Row, rows, within};

/// Half the step between doubles, relative.
const EPSILON: f64 = f64::EPSILON / 2.0;

/// What stands behind the lens, typed as the command has it.
fn behind(text: &str) -> Vec<Behind> {
    let part = |part: &str| {
        let words: Vec<&str> = part.split(' ').collect();
        match words[..] {
            ["extender", factor, length] => {
                let sign = if length.starts_with('-') { "" } else { "+" };
                extender(&format!("{factor}{sign}{length}mm"))
            }
            ["tube", length] => tube(&format!("{length}mm")),
            ["filter", thickness, index] => filter(&format!("{thickness}mm/{index}")),
            _ => panic!("{part}?"),
        }
        .unwrap()
    };
    parts(text).map(part).collect()
}

fn parts(text: &str) -> impl Iterator<Item = &str> {
    text.split('|').filter(|part| !part.is_empty())
}

/// `0.15@450.0/95.0` as it is typed: `0.15@450.0mm/95.0mm`.
fn breathing(text: &str) -> Vec<markwright::optics::BreathingRow> {
    let row = |part: &str| breathing_row(&(part.replace('/', "mm/") + "mm")).unwrap();
    parts(text).map(row).collect()
}

fn fitted(row: &Row) -> Fitted {
    let front = |part: &str| close_up(&format!("{part}mm")).unwrap();
    Fitted {
        breathing: breathing(row.text("row")),
        behind: behind(row.text("behind")),
        front: parts(row.text("front")).map(front).collect(),
        ..Fitted::default()
    }
}

fn n(row: &Row) -> FNumber {
    FNumber::new(row.figure("n")).unwrap()
}

fn circle(row: &Row) -> markwright::optics::Circle {
    markwright::optics::Circle::new(Length::mm(row.figure("circle"))).unwrap()
}

/// How much the last digit of the magnification moves the far limit, and the
/// last digit of the distance the magnification.
fn condition(row: &Row, set: &Focused) -> f64 {
    let m = set.magnification().value();
    let kappa = row.figure("circle") / set.pupil().to_mm();
    let setting = if row.has("setting") {
        row.figure("setting")
    } else {
        m
    };
    let near_turn = 1.0 / (1.0 - setting).abs().max(0.01);
    let near_hyperfocal = m.max(kappa) / (m - kappa).abs();
    (1.0 + near_turn) * (1.0 + near_hyperfocal)
}

struct Agreement<'a> {
    row: &'a Row,
    condition: f64,
    worst: f64,
}

impl Agreement<'_> {
    /// Within 1e-9; keeps by how many last digits times the condition at most.
    fn check(&mut self, ours: f64, column: &str, terms: f64) {
        let theirs = self.row.figure(column);
        let size = if theirs.is_infinite() {
            0.0
        } else {
            theirs.abs() + terms
        };
        within(ours, theirs, 1e-9 * size, column, self.row);
        if size > 0.0 {
            let ours = (ours - theirs).abs() / (EPSILON * size * self.condition);
            self.worst = self.worst.max(ours);
        }
    }
}

#[test]
fn whatever_is_attached_in_whatever_order_agrees_with_traced_rays() {
    let (mut worst, mut checked) = (0.0_f64, 0);
    for row in rows("attachments.csv") {
        let whole = fitted(&row).lens(lens(&row), &mut ()).unwrap();
        let (setting, set) = if row.text("mark").is_empty() {
            let wanted = distance(row.figure("wanted"));
            let setting = whole.setting(wanted, Branch::Far, &mut ());
            let setting = setting.unwrap_or_else(|why| panic!("{why} in {row:?}"));
            (
                setting,
                whole.at(wanted, Branch::Far, n(&row), &mut ()).unwrap(),
            )
        } else {
            let mark = distance(row.figure("mark"));
            let setting = whole.setting_at_mark(mark, &mut ()).unwrap();
            (setting, whole.set(setting, n(&row), &mut ()))
        };
        let limits = set.limits(circle(&row), &mut ());
        // Terms of either sign are added: against their size, not the sum's.
        let terms = row.figure("hiatus").abs() + 4.0 * row.figure("focal");
        let mut agree = Agreement {
            condition: condition(&row, &set),
            row: &row,
            worst,
        };
        agree.check(setting.value(), "setting", set.magnification().value());
        agree.check(mm(set.focus().reach()), "focus", terms);
        agree.check(mm(limits.near.reach()), "near", terms);
        agree.check(mm(limits.far.reach()), "far", terms);
        agree.check(
            set.magnification().value(),
            "magnification",
            setting.value(),
        );
        agree.check(set.pupil_station().to_mm(), "pupil_station", terms);
        agree.check(set.working_f_number(&mut ()).value(), "working_n", 0.0);
        worst = agree.worst;
        checked += 1;
    }
    assert_eq!(checked, 320);
    assert!(worst < 20.0, "{worst} last digits times the condition");
}

#[test]
fn lenses_that_breathe_agree_with_traced_rays() {
    let gate = |row: &Row| {
        let w = Length::mm(row.figure("gate_width"));
        Gate::new(w, w).unwrap()
    };
    let mut worst = 0.0_f64;
    let rows = rows("breathing.csv");
    for row in &rows {
        let fitted = Fitted {
            breathing: breathing(row.text("rows")),
            ..Fitted::default()
        };
        let whole = fitted.lens(lens(row), &mut ()).unwrap();
        let focus = distance(row.figure("focus"));
        let set = whole.at(focus, Branch::Far, n(row), &mut ()).unwrap();
        let limits = set.limits(circle(row), &mut ());
        let terms = row.figure("hiatus").abs() + 4.0 * row.figure("focal");
        let mut agree = Agreement {
            condition: condition(row, &set),
            row,
            worst,
        };
        agree.check(set.magnification().value(), "magnification", 0.0);
        agree.check(mm(limits.near.reach()), "near", terms);
        agree.check(mm(limits.far.reach()), "far", terms);
        agree.check(set.pupil_station().to_mm(), "pupil_station", terms);
        agree.check(set.working_f_number(&mut ()).value(), "working_n", 0.0);
        let angles = set.angles(gate(row), &mut ());
        agree.check(angles.horizontal.to_deg(), "angle", 0.0);
        // q = f (1 + m/p): the focal length of that setting alone.
        let there = set.camera_constant().to_mm()
            / (1.0 + set.magnification().value() / row.figure("pupil"));
        agree.check(there, "focal_there", 0.0);
        worst = agree.worst;
    }
    assert_eq!(rows.len(), 160);
    assert!(worst < 20.0, "{worst} last digits times the condition");
}

fn squeeze(row: &Row) -> Squeeze {
    Squeeze {
        ratio: Ratio::new(row.figure("squeeze")).unwrap(),
        part: match row.text("part") {
            "front" => Anamorph::Front,
            "rear" => Anamorph::Rear,
            other => panic!("{other}?"),
        },
    }
}

/// The answer people get, with the circle round on the image plane or screen.
fn anamorphic(row: &Row, circle_on: CircleOn) -> DepthAnswer {
    let wanted = Wanted {
        lens: LensFigures {
            focal_length: Length::mm(row.figure("focal")),
            pupil: Some(Pupil::Hiatus(Length::mm(row.figure("hiatus")))),
            pupil_magnification: Some(PupilMagnification::new(row.figure("pupil")).unwrap()),
            transmittance: None,
        },
        stop: Some(Stop::F(n(row))),
        frame: None,
        circle: Some(CircleRule::Fixed(Length::mm(row.figure("circle")))),
        branch: Branch::Far,
        circle_on,
        fitted: Fitted {
            squeeze: Some(squeeze(row)),
            ..Fitted::default()
        },
        notes: Vec::new(),
        waves: None,
    };
    let setup = wanted.depth_setup(&mut ()).unwrap();
    answers::depth(&setup, &[distance(row.figure("focus"))], &[], &mut ()).unwrap()
}

#[test]
fn both_meridians_of_anamorphic_lenses_agree_with_traced_rays() {
    let reach = |limit: FocusDistance| mm(limit.reach());
    let mut worst = 0.0_f64;
    let rows = rows("anamorphic.csv");
    for row in &rows {
        let bare: UnitFocus = lens(row);
        let focus = distance(row.figure("focus"));
        let vertical = AnyLens::Unit(bare).at(focus, Branch::Far, n(row), &mut ());
        let vertical = vertical.unwrap();
        let side = squeeze(row).horizontal(&vertical, &mut ());
        let [sensor, screen] =
            [CircleOn::Sensor, CircleOn::Screen].map(|on| anamorphic(row, on).rows.remove(0));
        let terms = row.figure("hiatus").abs() + 4.0 * row.figure("focal");
        // Either meridian may stand near its own hyperfocal.
        let condition = [vertical, side]
            .iter()
            .map(|set| condition(row, set))
            .fold(100.0, f64::max);
        let mut agree = Agreement {
            condition,
            row,
            worst,
        };
        agree.check(reach(sensor.near), "near", terms);
        agree.check(reach(sensor.far), "far", terms);
        for (answer, near, far) in [
            (&sensor, "near_x", "far_x"),
            (&screen, "near_x_screen", "far_x_screen"),
        ] {
            let horizontal = answer.horizontal.unwrap();
            agree.check(reach(horizontal.near), near, terms);
            agree.check(reach(horizontal.far), far, terms);
        }
        agree.check(sensor.magnification.value(), "magnification", 0.0);
        agree.check(side.magnification().value(), "magnification_x", 0.0);
        let w = Length::mm(row.figure("gate_width"));
        let angles = side.angles(Gate::new(w, w).unwrap(), &mut ());
        agree.check(angles.horizontal.to_deg(), "angle_x", 0.0);
        worst = agree.worst;
    }
    assert_eq!(rows.len(), 120);
    assert!(worst < 20.0, "{worst} last digits times the condition");
}
