//! Distance, magnification and back.

use markwright::optics::{Branch, OutOfReach, Pupil, UnitFocus};
use markwright::units::{FocusDistance, Length, PupilMagnification};
use proptest::prelude::*;

use crate::any::{Shot, at, close, gate_of, mm, shot};
use crate::mutation::{config, laws};

proptest! {
    #![proptest_config(config())]

    #[test]
    fn a_magnification_leads_back_to_its_distance(shot in shot()) {
        let lens = shot.lens();
        for branch in [Branch::Far, Branch::Macro] {
            let back = mm(lens.distance_at(shot.magnified(branch), &mut ()).reach());
            prop_assert!((back - shot.d).abs() <= 1e-13 * (shot.d + shot.e.abs()), "{back}");
        }
    }

    #[test]
    fn the_two_settings_for_a_distance_are_each_others_inverse(shot in shot()) {
        let (far, close_in) = (shot.magnification(Branch::Far), shot.magnification(Branch::Macro));
        prop_assert!(far < 1.0 && close_in > 1.0);
        prop_assert!(close(far * close_in, 1.0, 1e-12));
    }

    #[test]
    fn a_width_framed_for_a_magnification_gives_it(shot in shot(), m in 1e-6..0.95) {
        let lens = shot.lens();
        let (distance, said) =
            lens.distance_for_width(gate_of(24.0, 18.0), Length::mm(24.0 / m), &mut ());
        let back = Shot { d: mm(distance.reach()), ..shot }.magnification(Branch::Far);
        prop_assert!(close(said.value(), m, 1e-14));
        // At 1:1 the magnification is infinitely soft in the distance.
        let size = (mm(distance.reach()) + shot.e.abs()) / (shot.f * (1.0 / m - m));
        prop_assert!(close(back, m, 1e-14 * (1.0 + size)), "{back}");
    }

    #[test]
    fn nearer_is_larger(shot in shot(), by in 1.001..10.0) {
        let m = |d| Shot { d, ..shot }.magnification(Branch::Far);
        prop_assert!(m(shot.d * by) < m(shot.d));
    }

    #[test]
    fn nothing_nearer_than_the_closest_can_be_focused(shot in shot(), by in 0.3..0.999) {
        let closest = shot.seen().lens().closest();
        prop_assert!(close(closest.to_mm(), shot.e + 4.0 * shot.f, 1e-15));
        for branch in [Branch::Far, Branch::Macro] {
            let refused = shot.lens().magnification(at(closest.to_mm() * by), branch, &mut ());
            prop_assert_eq!(refused, Err(OutOfReach::Inside4f { nearest: closest }));
            let m = shot.lens().magnification(at(closest.to_mm()), branch, &mut ()).unwrap();
            prop_assert!(close(m.value(), 1.0, 1e-6));
        }
    }

    #[test]
    fn bridges_lead_there_and_back(shot in shot(), away in 0.01..100.0) {
        let set = shot.set();
        let object = set.pupil_station().to_mm() + shot.f * away;
        prop_assume!(object >= 1.0);
        let from_pupil = set.from_pupil(at(object), &mut ()).unwrap();
        let back = mm(set.from_image_plane(from_pupil).reach());
        prop_assert!((back - object).abs() <= 1e-14 * (object + set.pupil_station().abs().to_mm()));
        prop_assert!(close(shot.object_from_pupil(&set, at(object)), shot.f * away, 1e-9));
    }

    #[test]
    fn the_focus_is_the_camera_constant_over_the_magnification_from_the_pupil(shot in shot()) {
        let set = shot.set();
        let s = shot.object_from_pupil(&set, shot.focus());
        let q_over_m = set.camera_constant().to_mm() / set.magnification().value();
        let dust = 1e-12 * (shot.d + shot.e.abs() + 4.0 * shot.f);
        prop_assert!((s - q_over_m).abs() <= dust, "{s} {q_over_m}");
    }

    #[test]
    fn a_hiatus_and_the_pupil_it_puts_there_describe_the_same_lens(shot in shot()) {
        let lens = shot.lens();
        let far = lens.framing(FocusDistance::INFINITY, Branch::Far, &mut ());
        let station = far.unwrap().pupil_station();
        let p = PupilMagnification::new(shot.seen().p).unwrap();
        let same = UnitFocus::new(Length::mm(shot.f), Pupil::Station(station), p, &mut ());
        let size = shot.e.abs() + shot.f * (2.0 + 1.0 / shot.p);
        prop_assert!((same.hiatus() - lens.hiatus()).abs().to_mm() <= 1e-14 * size);
    }
}

laws! {
    a_magnification_leads_back_to_its_distance: DropTheHiatus FromTheLens;
    the_two_settings_for_a_distance_are_each_others_inverse: DropTheHiatus FromTheLens UpsideDown;
    a_width_framed_for_a_magnification_gives_it: DropTheHiatus FromTheLens UpsideDown;
    nearer_is_larger: UpsideDown;
    nothing_nearer_than_the_closest_can_be_focused: DropTheHiatus;
    bridges_lead_there_and_back: FromTheLens;
    the_focus_is_the_camera_constant_over_the_magnification_from_the_pupil: FromTheLens;
    a_hiatus_and_the_pupil_it_puts_there_describe_the_same_lens: DropThePupils;
}
