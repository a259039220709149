//! f-numbers and T-numbers.

use approx::assert_relative_eq;
use markwright::answers;
use markwright::gear::Wanted;
use markwright::numerics::math::sqrt;
use markwright::optics::f_number_of;
use markwright::units::{FNumber, Stop, TNumber, Transmittance, parse};

use super::wanted;
use crate::depth::{distance, mm};

fn total_of(wanted: &Wanted) -> f64 {
    let setup = wanted.depth_setup(&mut ()).unwrap();
    let answer = answers::depth(&setup, &[distance(3000.0)], &[], &mut ()).unwrap();
    mm(answer.rows[0].total)
}

#[test]
fn a_t_number_used_as_an_f_number_overstates_depth() {
    // T3.1 of a lens that is f/2.8: 534 mm in place of 482 (facts D.total).
    let f = |n| wanted(50.0, Stop::F(FNumber::new(n).unwrap()));
    assert_relative_eq!(total_of(&f(3.1)) / total_of(&f(2.8)), 1.109, epsilon = 5e-4);
    let mut t = wanted(50.0, Stop::T(TNumber::new(3.1).unwrap()));
    let tau = (2.8 / 3.1) * (2.8 / 3.1);
    t.lens.transmittance = Some(Transmittance::new(tau).unwrap());
    assert_relative_eq!(total_of(&t), total_of(&f(2.8)), max_relative = 1e-12);
    // With the transmittance unknown, depth is still less than T as f would make it.
    t.lens.transmittance = None;
    assert!(total_of(&t) < total_of(&f(3.1)) * 0.95);
    let said = t.depth_setup(&mut ()).unwrap().setup.assumptions;
    assert!(said.iter().any(|note| note.kind == "transmittance_assumed"));
}

#[test]
fn unknown_transmittance_is_0_80() {
    let t = TNumber::new(2.0).unwrap();
    let n = f_number_of(t, Transmittance::ASSUMED, &mut ());
    assert_relative_eq!(n.value(), 2.0 * sqrt(0.8));
}

#[test]
fn nominal_stops_are_meant_as_engraved_and_thirds_are_exact() {
    let stop = |text| parse::stop(text, None).unwrap().number();
    assert_eq!(stop("f/5.6"), 5.6);
    assert_eq!(stop("f/11"), 11.0);
    // A third over 4 is 4 · 2^(1/6) = 4.490, not a third of the way to 5.6 or 4.33.
    assert_relative_eq!(stop("f/4 1/3"), 4.490, epsilon = 5e-4);
}
