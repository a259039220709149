//! What a frame takes in, and extractions.

use markwright::answers::{self, focal_length_for_width, focus_for_width};
use markwright::gear::{CircleOn, Fitted, LensFigures, Setup, Wanted};
use markwright::numerics::math::cos;
use markwright::optics::{Branch, FrameEdge, Gate, Pupil};
use markwright::units::{AspectRatio, Length, PupilMagnification};
use proptest::prelude::*;

use crate::any::{Shot, at, close, gate, gate_of, mm, shot};
use crate::mutation::Mutation::{OverTheFocalLength, TapeForAxis, WidthForHeight};
use crate::mutation::{config, laws, made};

fn setup(shot: &Shot) -> Setup {
    let shot = shot.seen();
    let wanted = Wanted {
        lens: LensFigures {
            focal_length: Length::mm(shot.f),
            pupil: Some(Pupil::Hiatus(Length::mm(shot.e))),
            pupil_magnification: Some(PupilMagnification::new(shot.p).unwrap()),
            transmittance: None,
        },
        stop: None,
        frame: None,
        circle: None,
        branch: Branch::Far,
        circle_on: CircleOn::Sensor,
        fitted: Fitted::default(),
        waves: None,
        notes: Vec::new(),
    };
    wanted.setup(&mut ()).unwrap()
}

/// The gate as somebody holds it who takes its width for its height.
fn held(gate: Gate) -> Gate {
    if made(WidthForHeight) {
        gate_of(gate.height().to_mm(), gate.width().to_mm())
    } else {
        gate
    }
}

fn width(shot: &Shot, gate: Gate) -> f64 {
    if made(OverTheFocalLength) {
        return gate.width().to_mm() * shot.d / shot.f;
    }
    let answer = answers::field(&setup(shot), gate, &[shot.focus()], None, &mut ());
    mm(answer.unwrap().rows[0].width)
}

fn along_axis(edge: &FrameEdge, taped: Length) -> Length {
    if made(TapeForAxis) {
        return taped;
    }
    edge.along_axis(taped, &mut ()).unwrap()
}

/// A width of 24.892 mm takes in 27.9560° with 50 mm at infinity focus (computed
/// with a general-purpose vision library); from a thin lens's own place a tape to
/// the frame's edge is longer than the axis by the cosine of half of it.
#[test]
fn a_tape_to_the_edge_is_longer_by_the_cosine_of_half_the_angle() {
    let (f, e, p) = (50.0, 0.0, 1.0);
    let shot = Shot {
        f,
        e,
        p,
        n: 2.8,
        c: 0.025,
        d: 1e9,
    };
    let edge = shot.set().frame_edge(Length::mm(24.892), &mut ());
    let cosine = cos(27.9560_f64.to_radians() / 2.0);
    let along = along_axis(&edge, Length::m(1000.0));
    // The lens stands 50 mm in front of the image plane.
    assert!(close(along.to_mm(), 1e6 * cosine, 1e-5), "{along}");
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn somebody_taped_at_the_edge_is_imaged_at_the_edge(
        shot in shot(), gate in gate(), taped in 1.001..50.0_f64,
    ) {
        let (set, width) = (shot.set(), gate.width());
        let edge = set.frame_edge(width, &mut ());
        let t = set.pupil_station().to_mm();
        let taped = Length::mm(t.abs() * taped + 1.0);
        let along = along_axis(&edge, taped);
        prop_assume!(along.to_mm() > 0.0);
        // There the frame is as wide as twice the distance off the axis.
        let at = at(along.to_mm());
        let framed = mm(set.field(gate, at, &mut ()).unwrap().size.width);
        let square = |length: Length| length.to_mm() * length.to_mm();
        let off_axis = (square(taped) - square(along)).sqrt();
        let dust = 1e-13 * square(taped) / off_axis;
        prop_assert!((framed / 2.0 - off_axis).abs() <= 1e-9 * off_axis + dust);
        prop_assert!(close(edge.on_slant(along, &mut ()).to_mm(), taped.to_mm(), 1e-12));
    }

    #[test]
    fn the_focus_for_a_width_frames_that_width(shot in shot(), gate in gate(), m in 1e-5..0.9) {
        let wanted = gate.width() / m;
        let found = focus_for_width(&setup(&shot), gate, wanted, &mut ()).unwrap();
        let there = Shot { d: mm(found.focus.reach()), ..shot };
        let dust = 1e-13 * (there.d + shot.e.abs()) / (shot.f * (1.0 / m - m));
        prop_assert!(close(width(&there, gate), wanted.to_mm(), 1e-12 + dust));
        prop_assert_eq!(found.focal_length, Length::mm(shot.f));
    }

    #[test]
    fn the_focal_length_for_a_width_frames_that_width(
        shot in shot(), gate in gate(), m in 1e-4..0.9,
    ) {
        let wanted = gate.width() / m;
        // Where this lens frames the width, it must be found again.
        let d = mm(shot.lens().distance_for_width(gate, wanted, &mut ()).0.reach());
        let (d, hiatus) = (Length::mm(d), Length::mm(shot.e));
        let far = Branch::Far;
        let found = focal_length_for_width(gate, wanted, d, Some(hiatus), far, &mut ()).unwrap();
        let dust = 1e-14 * (d.to_mm() + 2.0 * shot.e.abs()) / (d.to_mm() - shot.e);
        prop_assert!(close(found.focal_length.to_mm(), shot.f, dust));
        prop_assert!(close(found.magnification.value(), m, 1e-14));
        let there = Shot { f: found.focal_length.to_mm(), d: d.to_mm(), ..shot };
        let dust = 1e-13 * (there.d + shot.e.abs()) / (shot.f * (1.0 / m - m));
        prop_assert!(close(width(&there, gate), wanted.to_mm(), 1e-12 + dust));
    }

    #[test]
    fn both_ways_to_frame_a_width_keep_to_the_range_asked_for(
        shot in shot(), gate in gate(), m in prop_oneof![0.05..0.9, 1.1..20.0],
    ) {
        let wanted = gate.width() / m;
        let d = Length::mm(mm(shot.lens().distance_for_width(gate, wanted, &mut ()).0.reach()));
        for branch in [Branch::Far, Branch::Macro] {
            let setup = Setup { branch, ..setup(&shot) };
            let focus = focus_for_width(&setup, gate, wanted, &mut ());
            let hiatus = Some(Length::mm(shot.e));
            let focal = focal_length_for_width(gate, wanted, d, hiatus, branch, &mut ());
            prop_assert_eq!(focus.is_ok(), (m > 1.0) == (branch == Branch::Macro));
            match (focus, focal) {
                (Ok(focus), Ok(focal)) => {
                    prop_assert!(close(mm(focus.focus.reach()), d.to_mm(), 1e-12));
                    let dust = 1e-13 * (d.to_mm() + 2.0 * shot.e.abs()) / (d.to_mm() - shot.e);
                    prop_assert!(close(focal.focal_length.to_mm(), shot.f, dust));
                }
                (Err(focus), Err(focal)) => {
                    let (focus, focal) = (focus.nearest().unwrap(), focal.nearest().unwrap());
                    let size = focus.abs() + 2.0 * shot.e.abs();
                    prop_assert!((focus - focal).abs() <= 1e-12 * size, "{focus} {focal}");
                }
                (focus, focal) => prop_assert!(false, "{focus:?} but {focal:?}"),
            }
        }
    }

    #[test]
    fn in_focus_the_framed_width_is_the_gate_over_the_magnification(
        shot in shot(), gate in gate(),
    ) {
        let by_m = gate.width().to_mm() / shot.set().magnification().value();
        let dust = 1e-12 * (shot.d + shot.e.abs() + 4.0 * shot.f) / shot.d;
        prop_assert!(close(width(&shot, gate), by_m, dust.max(1e-12) * 10.0));
    }

    #[test]
    fn angles_keep_their_order_and_narrow_with_a_longer_lens(shot in shot(), gate in gate()) {
        let angles = |shot: &Shot| {
            let set = shot.lens().framing(at(shot.d), Branch::Far, &mut ()).unwrap();
            set.field(held(gate), at(shot.d), &mut ()).unwrap().angles
        };
        let here = angles(&shot);
        prop_assert!(here.vertical <= here.horizontal && here.horizontal < here.diagonal);
        prop_assert!(here.diagonal < here.horizontal + here.vertical);
        // Focusing closer moves the image out and the angle in.
        let far = shot.lens().angles_at_infinity(gate, &mut ());
        prop_assert!(here.horizontal < far.horizontal);
        let longer = Shot { f: shot.f * 1.1, e: 0.0, d: shot.d * 4.0, ..shot };
        prop_assert!(angles(&longer).horizontal < far.horizontal);
    }

    #[test]
    fn an_extraction_never_exceeds_the_gate_and_has_its_ratio(
        gate in gate(), ratio in 0.3..4.0,
    ) {
        let cut = held(gate).extract(AspectRatio::new(ratio).unwrap(), &mut ());
        prop_assert!(cut.width() <= gate.width());
        prop_assert!(cut.height() <= gate.height());
        prop_assert!(cut.width() == gate.width() || cut.height() == gate.height());
        prop_assert!(close(cut.width().to_mm() / cut.height().to_mm(), ratio, 1e-14));
        prop_assert!(cut.diagonal(&mut ()) <= gate.diagonal(&mut ()));
    }
}

laws! {
    a_tape_to_the_edge_is_longer_by_the_cosine_of_half_the_angle: TapeForAxis;
    somebody_taped_at_the_edge_is_imaged_at_the_edge: TapeForAxis;
    the_focus_for_a_width_frames_that_width: OverTheFocalLength;
    the_focal_length_for_a_width_frames_that_width: OverTheFocalLength;
    both_ways_to_frame_a_width_keep_to_the_range_asked_for: DropTheHiatus;
    in_focus_the_framed_width_is_the_gate_over_the_magnification: OverTheFocalLength FromTheLens;
    angles_keep_their_order_and_narrow_with_a_longer_lens: WidthForHeight;
    an_extraction_never_exceeds_the_gate_and_has_its_ratio: WidthForHeight;
}
