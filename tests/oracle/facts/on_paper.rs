//! Units, stops, circles and gates: what needs no lens.

use markwright::gear::circle_rule;
use markwright::numerics::math::log2;
use markwright::optics::{CircleRule, Gate, t_number_of};
use markwright::units::{
    AspectRatio, BareUnit, FNumber, Length, NOMINAL_STOPS, Transmittance, Unreadable, parse,
};

use super::Said::{self, Either, Is};
use super::case::Case;
use crate::depth::mm;

const NO_HABIT: BareUnit = BareUnit::Refused(None);

pub fn say(quantity: &str, case: &Case) -> Option<Said> {
    let g = |key: &str| case.figure(key);
    Some(match quantity {
        "length" => return Some(length(case.text("text"))),
        "points" => Is(Length::points(1.0).to_mm()),
        "aspect" => {
            let gate = gate(g("width"), g("height"));
            let plain = gate.width().ratio_to(gate.height()).unwrap();
            Is(plain.value() * g("squeeze"))
        }
        "extraction_height" => {
            let ratio = AspectRatio::new(g("aspect")).unwrap();
            let picture = gate(g("width"), g("height")).extract(ratio, &mut ());
            Is(picture.height().to_mm())
        }
        "crop_diagonal" => {
            let gate = gate(36.0 / g("crop"), 24.0 / g("crop"));
            Is(gate.diagonal(&mut ()).to_mm())
        }
        "t_number" => {
            let n = FNumber::new(g("n")).unwrap();
            let tau = Transmittance::new(g("transmittance")).unwrap();
            Is(t_number_of(n, tau, &mut ()).value())
        }
        "stop_plus" => Is(stop(&format!("f/{} {}/3", g("n"), g("thirds")))),
        "nominal_error_stops" => {
            // The exact odd stop lies midway between two exact even ones.
            let below = 2_u32.pow((g("step") as u32 - 1) / 2);
            let exact = stop(&format!("f/{below}/{}", 2 * below));
            let nominal = stop(&format!("f/{}", g("n")));
            assert!(NOMINAL_STOPS.contains(&nominal), "f/{nominal} is engraved");
            Is((2.0 * log2(exact / nominal)).abs())
        }
        "circle_diagonal" => {
            let gate = gate(g("width"), g("height"));
            Is(circle(&format!("diagonal/{}", g("divisor")), gate))
        }
        "circle_of_diagonal" => {
            let gate = gate(0.8 * g("diagonal"), 0.6 * g("diagonal"));
            Is(circle(&format!("diagonal/{}", g("divisor")), gate))
        }
        "circle_inch" => Is(circle(
            &format!("{}in", 1.0 / g("per_inch")),
            gate(36.0, 24.0),
        )),
        "circle_viewing" => Is(circle_viewing(case, g("arcmin"))),
        // The tangent of a few minutes of arc is the angle itself.
        "arcmin_of_circle" => Is(g("circle") / circle_viewing(case, 1.0)),
        _ => return None,
    })
}

fn gate(width: f64, height: f64) -> Gate {
    Gate::new(Length::mm(width), Length::mm(height)).unwrap()
}

fn stop(text: &str) -> f64 {
    parse::stop(text, None).unwrap().number()
}

fn circle(rule: &str, gate: Gate) -> f64 {
    let rule = circle_rule(rule).unwrap();
    let circle = rule.circle(gate, gate, &mut ()).unwrap();
    circle.diameter().to_mm()
}

/// The circle for an acuity at so many picture heights from a screen.
fn circle_viewing(case: &Case, arcmin: f64) -> f64 {
    let height = case.figure("height");
    let picture = gate(1.85 * height, height);
    let screen_height = Length::m(5.0);
    let rule = CircleRule::Viewing {
        screen: screen_height * 1.85,
        distance: screen_height * case.figure("picture_heights"),
        arcmin,
    };
    let circle = rule.circle(picture, picture, &mut ()).unwrap();
    circle.diameter().to_mm()
}

/// A distance as it is typed; decimal feet are refused with both readings.
fn length(text: &str) -> Said {
    match parse::distance(text, NO_HABIT) {
        Ok(distance) => Is(mm(distance.reach())),
        Err(Unreadable::AmbiguousFeet { as_decimal, .. }) => {
            let reading = parse::distance(&as_decimal, NO_HABIT).unwrap();
            Either(mm(reading.reach()))
        }
        Err(error) => panic!("{text}: {error}"),
    }
}
