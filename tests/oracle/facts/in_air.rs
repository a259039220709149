//! Conjugates, depth, hyperfocal, exposure and fields of view.

use markwright::numerics::math::{log2, tan};
use markwright::optics::Branch;
use markwright::units::Length;

use super::Said::{self, Is, RatherThan};
use super::case::Case;
use crate::depth::mm;

pub fn say(quantity: &str, case: &Case) -> Option<Said> {
    conjugates(quantity, case)
        .or_else(|| depth(quantity, case))
        .or_else(|| simple_formulas(quantity, case))
        .or_else(|| view(quantity, case))
}

fn conjugates(quantity: &str, case: &Case) -> Option<Said> {
    let f = || case.figure("focal");
    let m = || case.set().magnification().value();
    let working_n = || case.set().working_f_number(&mut ()).value();
    Some(Is(match quantity {
        "magnification" => m(),
        "extension" => f() * m(),
        // From H' to the image plane: H stands there too but for the hiatus.
        "image_distance" => {
            let from_h = case.with(&[("from", "lens")]).plane(&case.set());
            from_h - case.lens().hiatus().to_mm()
        }
        "lens_to_object" => {
            let from_h = case.with(&[("from", "lens")]).plane(&case.set());
            case.figure("focus") - from_h
        }
        "entrance_pupil" => case.set().pupil_station().to_mm(),
        "closest" => case.lens().closest().to_mm(),
        "aperture" => {
            let anywhere = case.with(&[("from", "image_plane"), ("focus", "infinity")]);
            anywhere.set().pupil().to_mm()
        }
        "working_n" => working_n(),
        "exposure_loss" => 2.0 * log2(working_n() / case.n().value()),
        "singlet_image_from_principal" => image_of_singlet(case).0,
        "singlet_image_from_vertex" => image_of_singlet(case).1,
        _ => return None,
    }))
}

/// Image distance of a thick single lens, from H' and from the back vertex, by
/// the library's own lens; power and principal planes of the glass are the
/// textbook's (Hecht, Optics, ch. 6).
fn image_of_singlet(case: &Case) -> (f64, f64) {
    let [r1, r2, d, n] = ["r1", "r2", "thickness", "index"].map(|key| case.figure(key));
    let (front, back) = ((n - 1.0) / r1, (1.0 - n) / r2);
    let power = front + back - d / n * front * back;
    let (h, h2) = (d / n * back / power, -d / n * front / power);
    let (f, hiatus) = (1.0 / power, d - h + h2);
    let u = case.figure("object") + h;
    let inputs = format!("from=lens;focal={f};hiatus={hiatus};focus={u}");
    let from_principal = conjugates("image_distance", &Case::of(&inputs));
    let Some(Is(v)) = from_principal else {
        panic!("image_distance is answered");
    };
    (v, v + h2)
}

fn depth(quantity: &str, case: &Case) -> Option<Said> {
    let limits = || case.limits();
    let other = || {
        let mut changed = Vec::new();
        for (key, value) in [("n", "n2"), ("circle", "circle2"), ("focal", "focal2")] {
            if case.has(value) {
                changed.push((key, case.text(value)));
            }
        }
        assert!(!changed.is_empty(), "nothing to compare with");
        case.with(&changed)
    };
    Some(Is(match quantity {
        "near" => limits().0,
        "far" => limits().1,
        "total" => case.total(),
        "behind_over_front" => {
            let depth = case.set().depth(case.circle(), &mut ());
            mm(depth.behind) / mm(depth.in_front)
        }
        "harmonic_mean_of_limits" => {
            let (near, far) = limits();
            2.0 * near * far / (near + far)
        }
        "total_percent_of_stop" => 100.0 * (other().total() / case.total() - 1.0),
        "total_ratio_pupil" => case.total() / case.with(&[("pupil", "1")]).total(),
        "near_change_sign" => sign(other().limits().0 - limits().0),
        "far_change_sign" => sign(other().limits().1 - limits().1),
        "near_difference" => other().limits().0 - limits().0,
        "far_difference" => other().limits().1 - limits().1,
        "hyperfocal" => {
            let from = case.hyperfocal();
            match case.text("from") {
                "image_plane" => from.from_image_plane,
                "entrance_pupil" => from.from_entrance_pupil,
                "lens" | "front_principal" => from.from_front_principal_plane,
                "front_focal_point" => from.from_front_focal_point,
                other => panic!("from {other}?"),
            }
            .to_mm()
        }
        "hyperfocal_near" => case.limits_at(&case.at_hyperfocal()).0,
        "near_approximate" => consecutive(case).0,
        "far_approximate" => consecutive(case).1,
        "near_by_angle" => by_angle(case).0,
        "far_by_angle" => by_angle(case).1,
        _ => return None,
    }))
}

fn sign(difference: f64) -> f64 {
    if difference == 0.0 {
        0.0
    } else {
        difference.signum()
    }
}

/// Near and far of the rule "focus at H/k: H/(k+1) to H/(k-1)".
///
/// The rule is exact in one way of measuring: from the entrance pupil, in units
/// of the camera constant, at a magnification k times the hyperfocal one.
fn consecutive(case: &Case) -> (f64, f64) {
    let (h, k) = (case.figure("hyperfocal"), case.figure("divisor"));
    let (f, n) = (50.0, 2.8);
    let circle = f * f / (h * n);
    let m = k * circle * n / f;
    let inputs = format!("from=entrance_pupil;focal={f};n={n};circle={circle};magnification={m}");
    let case = Case::of(&inputs);
    let (near, far) = case.limits();
    let unit = f / case.set().camera_constant().to_mm();
    (near * unit, far * unit)
}

/// Limits for a blur of a given angle behind the pupil: c = q tan(angle).
fn by_angle(case: &Case) -> (f64, f64) {
    let (aperture, u) = (case.figure("aperture"), case.text("focus"));
    let inputs = format!("from=lens;focal=50;n={};focus={u}", 50.0 / aperture);
    let plain = Case::of(&inputs);
    let q = plain.set().camera_constant().to_mm();
    let circle = q * tan(case.figure("angle_deg").to_radians());
    plain.with(&[("circle", &circle.to_string())]).limits()
}

/// Formulas that are printed and not exact. Each is built from the library's
/// own lens where it can be, and the error is the printed one.
fn simple_formulas(quantity: &str, case: &Case) -> Option<Said> {
    let thin = || case.with(&[("hiatus", "0"), ("pupil", "1")]);
    let percent = |wrong: f64| 100.0 * (wrong / case.total() - 1.0);
    let stop = || format!("{}", case.figure("focal") / case.figure("aperture"));
    Some(match quantity {
        "percent_thin" => Is(percent(thin().total())),
        "percent_ring_as_lens_distance" => Is(percent(thin().with(&[("from", "lens")]).total())),
        "percent_shortcut" => {
            let (h, d) = (
                case.hyperfocal().from_front_focal_point.to_mm(),
                case.figure("focus"),
            );
            Is(percent(h * d / (h - d) - h * d / (h + d)))
        }
        "near_first_order" => RatherThan(case.with(&[("n", &stop())]).limits().0),
        "far_first_order" => RatherThan(case.with(&[("n", &stop())]).limits().1),
        "width_by_ring_distance" | "width_by_ring_distance_less_focal" => {
            RatherThan(field_width(&case.with(&[("from", "image_plane")])))
        }
        _ => return None,
    })
}

fn view(quantity: &str, case: &Case) -> Option<Said> {
    let angle = |case: &Case| {
        let set = case
            .lens()
            .framing(case.focus(), Branch::Far, &mut ())
            .unwrap();
        let field = set.field(case.gate(), case.focus(), &mut ()).unwrap();
        field.angles.horizontal.to_deg()
    };
    Some(Is(match quantity {
        "angle" => angle(case),
        // From H an angle is what it would be if the pupil stood there.
        "angle_from_principal" => angle(&case.with(&[("pupil", "1")])),
        "field_width" => field_width(case),
        _ => return None,
    }))
}

fn field_width(case: &Case) -> f64 {
    let set = case
        .lens()
        .framing(case.focus(), Branch::Far, &mut ())
        .unwrap();
    let field = set.field(case.gate(), case.focus(), &mut ()).unwrap();
    assert!(field.size.width.finite().is_some_and(Length::is_positive));
    mm(field.size.width)
}
