//! The ring: positions, how far it may be off, image-plane errors, tapes.

use core::f64::consts::PI;
use markwright::optics::{Branch, Focused};
use markwright::scale::{RingDepth, RingGiven, RingLaw, RingPosition, real_focus};
use markwright::units::{Angle, FocusDistance, Gain, Length};

use super::Said::{self, Is, RatherThan};
use super::case::Case;
use crate::depth::{distance, mm};

pub fn say(quantity: &str, case: &Case) -> Option<Said> {
    places(quantity, case)
        .or_else(|| image_plane_error(quantity, case))
        .or_else(|| (quantity == "tape_length").then(|| Is(tape_length(case))))
}

fn places(quantity: &str, case: &Case) -> Option<Said> {
    let far_away = || depth(case, FocusDistance::INFINITY);
    Some(Is(match quantity {
        "ring_position" => turn_at(case, case.figure("focus")),
        "ring_near_offset" => turn(depth(case, case.focus()).near_offset),
        "ring_far_offset" => turn(depth(case, case.focus()).far_offset),
        "ring_tolerance" => turn(depth(case, case.focus()).tolerance),
        "ring_tolerance_first_order" => {
            let working_n = case.set().working_f_number(&mut ()).value();
            gain(case) * working_n * case.circle().diameter().to_mm()
        }
        // At infinity focus the first-order rule has nothing to leave out.
        "ring_depth_far_away" => turn(far_away().tolerance),
        "ring_arc_far_away" => far_away().tolerance.arc(&mut ()).unwrap().to_mm(),
        "ring_speed" => degrees_per_mm(case) * case.figure("speed_mm_per_s"),
        "ring_error_of_tape" => degrees_per_mm(case) * case.figure("taped_sd"),
        _ => return None,
    }))
}

fn law(case: &Case) -> RingLaw {
    let around = |across: f64| Length::mm(PI * across);
    let ring = RingGiven {
        circumference: case
            .has("ring_diameter")
            .then(|| around(case.figure("ring_diameter"))),
        close_focus: None,
    };
    if case.has("gain") {
        return RingLaw::helicoid(case.lens(), Gain::new(case.figure("gain")).unwrap(), ring);
    }
    let travel = Angle::deg(case.figure("travel"));
    RingLaw::of_travel(
        case.lens(),
        distance(case.figure("close_focus")),
        travel,
        ring,
    )
    .unwrap()
}

fn turn(place: RingPosition) -> f64 {
    place.turn().unwrap().to_deg()
}

fn turn_at(case: &Case, mm: f64) -> f64 {
    turn(law(case).position(distance(mm)).unwrap())
}

fn depth(case: &Case, at: FocusDistance) -> RingDepth {
    law(case).depth(at, case.n(), case.circle()).unwrap()
}

/// Degrees of ring for each mm of extension.
fn gain(case: &Case) -> f64 {
    let extension = case.figure("focal") * case.set().magnification().value();
    turn_at(case, case.figure("focus")) / extension
}

/// Degrees of ring for each mm the subject comes nearer, over the next and the
/// last mm.
fn degrees_per_mm(case: &Case) -> f64 {
    let d = case.figure("focus");
    (turn_at(case, d - 1.0) - turn_at(case, d + 1.0)) / 2.0
}

fn image_plane_error(quantity: &str, case: &Case) -> Option<Said> {
    let delta = || Length::mm(case.figure("image_plane_error"));
    let real = |mark: FocusDistance| real_focus(case.lens(), mark, delta(), &mut ()).unwrap();
    let set_to = |focus: FocusDistance| {
        case.lens()
            .at(focus, Branch::Far, case.n(), &mut ())
            .unwrap()
    };
    let at_infinity_mark = || set_to(real(FocusDistance::INFINITY));
    let from_focal_point = |set: &Focused| {
        let from = case.with(&[("from", "front_focal_point")]);
        mm(set.focus().reach()) - from.plane(set)
    };
    let from_pupil = |focus: FocusDistance| {
        let pupil = set_to(focus).from_pupil(focus, &mut ()).unwrap();
        mm(pupil.reach())
    };
    Some(match quantity {
        "real_focus" => Is(mm(real(case.focus()).reach())),
        "infinity_setting_focus" => Is(from_focal_point(&at_infinity_mark())),
        "dioptre_error" => Is(1000.0 / from_focal_point(&at_infinity_mark())),
        // Seen from a lens that has not moved.
        "focus_shift" => Is(from_pupil(case.focus()) - from_pupil(real(case.focus()))),
        "focus_shift_linear" => {
            RatherThan(from_pupil(case.focus()) - from_pupil(real(case.focus())))
        }
        "image_blur_of_error" => {
            let case = case.with(&[("focal", "50")]);
            Is(blur_of_infinity(&case))
        }
        // Half the depth of focus is an error whose blur is just the circle.
        "share_of_half_depth_percent" => {
            let case = case.with(&[("focal", "50")]);
            Is(100.0 * blur_of_infinity(&case) / case.circle().diameter().to_mm())
        }
        _ => return None,
    })
}

/// Blur of the far world on an image plane that is off, at the infinity mark.
fn blur_of_infinity(case: &Case) -> f64 {
    let delta = Length::mm(case.figure("image_plane_error"));
    let real = real_focus(case.lens(), FocusDistance::INFINITY, delta, &mut ()).unwrap();
    let set = case.lens().at(real, Branch::Far, case.n(), &mut ());
    let blur = set.unwrap().blur(FocusDistance::INFINITY, &mut ());
    blur.unwrap().to_mm()
}

/// Along a tape over what is stuck on already, at mid-thickness.
fn tape_length(case: &Case) -> f64 {
    let across = case.figure("diameter") + 2.0 * case.figure_or("under", 0.0);
    let ring = RingGiven {
        circumference: Some(Length::mm(PI * across)),
        close_focus: None,
    };
    let any = Case::of("focal=50").lens();
    let law = RingLaw::helicoid(any, Gain::new(30.0).unwrap(), ring);
    let thickness = Length::mm(case.figure("thickness"));
    let length = law.turn_along_tape(Angle::deg(case.figure("angle")), thickness);
    length.unwrap().to_mm()
}
