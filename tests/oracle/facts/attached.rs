//! Close-up lenses, tubes, extenders, plates and anamorphic lenses.

use markwright::gear::{Fitted, close_up, extender, filter, tube};
use markwright::numerics::math::log2;
use markwright::optics::{
    Anamorph, AnyLens, Behind, Branch, Circle, CloseUp, Focus, Focused, Gate, Magnification,
    Squeeze, circle_on_screen, desqueezed,
};
use markwright::units::{FNumber, FocusDistance, Length, Ratio};

use super::Said::{self, Is};
use super::case::Case;
use crate::depth::{distance, mm};

pub fn say(quantity: &str, case: &Case) -> Option<Said> {
    let g = |key: &str| case.figure(key);
    Some(Is(match quantity {
        "close_up_focus" => {
            // At 3 m from the close-up lens, which stands 80 mm before the plane.
            let mark = distance(g("focus") + 80.0);
            let set = at_mark(
                &case.with(&[("focal", "50")]),
                &[(g("dioptres"), 80.0)],
                mark,
            );
            focus(&set) - 80.0
        }
        "close_up_magnification" => {
            let set = at_mark(case, &[(g("dioptres"), 80.0)], FocusDistance::INFINITY);
            set.magnification().value()
        }
        // In contact with a thin lens: the angle of view is that of q = f (1 + m).
        "close_up_focal" => {
            let lens = [(g("dioptres"), g("focal"))];
            let set = at_mark(case, &lens, FocusDistance::INFINITY);
            set.camera_constant().to_mm() / (1.0 + set.magnification().value())
        }
        "close_up_near" => limits(case).0,
        "close_up_far" => limits(case).1,
        "contact_focal" => contact(case),
        "contact_dioptres" => 1000.0 / contact(case),
        "angle_desqueezed" => {
            let gate = gate(g("size"));
            let screen = desqueezed(gate, Some(squeeze(case)), &mut ());
            let angles = AnyLens::Unit(case.lens()).angles_at_infinity(screen, &mut ());
            angles.horizontal.to_deg()
        }
        "side_to_side_ratio" => side_to_side(case),
        "extender_loss" => {
            let whole = behind(case, extender(&format!("{}+20mm", g("factor"))).unwrap());
            // As many stops as the f-number of the whole grew by.
            2.0 * log2(whole.light_factor())
        }
        "tube_loss" => {
            let tube = tube(&format!("{}mm", g("tube"))).unwrap();
            let working = |lens: &AnyLens| {
                let n = FNumber::new(4.0).unwrap();
                let set = lens.set(infinity_mark(lens), n, &mut ());
                set.working_f_number(&mut ()).value()
            };
            let bare = AnyLens::Unit(case.lens());
            2.0 * log2(working(&behind(case, tube)) / working(&bare))
        }
        "plate_shift" => {
            // At the infinity mark the bare lens images the far world on the plane;
            // what the plate takes off m is the way of the image over f.
            let case = &case.with(&[("focal", "50")]);
            let plate = filter(&format!("{}mm/{}", g("thickness"), g("index"))).unwrap();
            let back = behind(case, plate).setting(FocusDistance::INFINITY, Branch::Far, &mut ());
            50.0 * back.unwrap().value()
        }
        _ => return None,
    }))
}

fn infinity_mark(lens: &AnyLens) -> Magnification {
    lens.setting_at_mark(FocusDistance::INFINITY, &mut ())
        .unwrap()
}

fn behind(case: &Case, part: Behind) -> AnyLens {
    let case = if case.has("focal") {
        case.with(&[])
    } else {
        case.with(&[("focal", "50")])
    };
    let fitted = Fitted {
        behind: vec![part],
        ..Fitted::default()
    };
    fitted.lens(case.lens(), &mut ()).unwrap()
}

/// Behind close-up lenses (dioptres, mm from the image plane), its ring on a
/// mark.
fn at_mark(case: &Case, front: &[(f64, f64)], mark: FocusDistance) -> Focused {
    let front = front
        .iter()
        .map(|(dioptres, at)| close_up(&format!("+{dioptres}@{at}mm")).unwrap())
        .collect::<Vec<CloseUp>>();
    let fitted = Fitted {
        front,
        ..Fitted::default()
    };
    let whole = fitted.lens(case.lens(), &mut ()).unwrap();
    let setting = whole.setting_at_mark(mark, &mut ()).unwrap();
    whole.set(setting, case.n(), &mut ())
}

fn focus(set: &Focused) -> f64 {
    mm(set.focus().reach())
}

fn limits(case: &Case) -> (f64, f64) {
    let front = [(case.figure("dioptres"), case.figure("at"))];
    let set = at_mark(case, &front, distance(case.figure("focus")));
    let limits = set.limits(case.circle(), &mut ());
    (mm(limits.near.reach()), mm(limits.far.reach()))
}

/// Where two close-up lenses in one place focus the infinity mark, from there.
fn contact(case: &Case) -> f64 {
    let power = |key: &str| 1000.0 / case.figure(key);
    let front = [(power("focal1"), 80.0), (power("focal2"), 80.0)];
    let case = case.with(&[("focal", "50")]);
    focus(&at_mark(&case, &front, FocusDistance::INFINITY)) - 80.0
}

fn gate(width: f64) -> Gate {
    Gate::new(Length::mm(width), Length::mm(width)).unwrap()
}

fn squeeze(case: &Case) -> Squeeze {
    Squeeze {
        ratio: Ratio::new(case.figure("squeeze")).unwrap(),
        part: match case.has("part").then(|| case.text("part")) {
            Some("rear") => Anamorph::Rear,
            _ => Anamorph::Front,
        },
    }
}

/// Depth side to side over depth up and down.
fn side_to_side(case: &Case) -> f64 {
    let (vertical, squeeze) = (case.with(&[("from", "image_plane")]).set(), squeeze(case));
    let circle: Circle = match case.text("circle_on") {
        "screen" => circle_on_screen(case.circle(), squeeze, &mut ()),
        _ => case.circle(),
    };
    let horizontal = squeeze.horizontal(&vertical, &mut ());
    let total = |set: &Focused, circle| mm(set.depth(circle, &mut ()).total);
    total(&horizontal, circle) / total(&vertical, case.circle())
}
