//! Tape readings turned to the axis.

use markwright::optics::{axial_distance, slant_distance};
use markwright::units::Length;
use proptest::prelude::*;

use crate::any::close;
use crate::mutation::Mutation::TapeForAxis;
use crate::mutation::{config, laws, made};

fn axial(taped: f64, across: f64) -> Option<f64> {
    if made(TapeForAxis) {
        return Some(taped);
    }
    axial_distance(Length::mm(taped), Length::mm(across), &mut ()).map(Length::to_mm)
}

fn slant(floor: f64, camera: f64, eye: f64) -> f64 {
    if made(TapeForAxis) {
        return floor;
    }
    let [floor, camera, eye] = [floor, camera, eye].map(Length::mm);
    slant_distance(floor, camera, eye, &mut ()).to_mm()
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn axis_and_way_across_make_the_tape(taped in 100.0..1e5_f64, share in 0.001..0.999_f64) {
        let across = taped * share;
        let along = axial(taped, across).unwrap();
        prop_assert!(along < taped);
        prop_assert!(close(along * along + across * across, taped * taped, 1e-14));
    }

    #[test]
    fn no_subject_stands_farther_beside_than_the_tape_is_long(
        taped in 100.0..1e5_f64, beyond in 1.0..3.0_f64,
    ) {
        prop_assert_eq!(axial(taped, taped * beyond), None);
    }

    #[test]
    fn it_does_not_matter_which_of_camera_and_eyes_is_higher(
        floor in 100.0..1e5_f64, camera in 0.0..3000.0_f64, eye in 0.0..3000.0_f64,
    ) {
        let found = slant(floor, camera, eye);
        prop_assert_eq!(found, slant(floor, eye, camera));
        prop_assert!(found >= floor);
        prop_assert!(found >= (camera - eye).abs());
        let rise = (camera - eye) / floor;
        prop_assert!(close(found, floor * (1.0 + rise * rise).sqrt(), 1e-14));
    }
}

laws! {
    axis_and_way_across_make_the_tape: TapeForAxis;
    no_subject_stands_farther_beside_than_the_tape_is_long: TapeForAxis;
    it_does_not_matter_which_of_camera_and_eyes_is_higher: TapeForAxis;
}
