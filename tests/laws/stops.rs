//! f, T and the working f-number.

use markwright::optics::{f_number_of, t_number_of, transmittance_of};
use markwright::units::{FNumber, TNumber, Transmittance, parse};
use proptest::prelude::*;

use crate::any::{Shot, close, shot};
use crate::mutation::Mutation::{LinearThirds, TForN};
use crate::mutation::{config, laws, made};

proptest! {
    #![proptest_config(config())]

    #[test]
    fn f_to_t_and_back(n in 0.7..64.0, tau in 0.05..1.0) {
        let n = FNumber::new(n).unwrap();
        let tau = Transmittance::new(tau).unwrap();
        let t = if made(TForN) {
            TNumber::new(n.value()).unwrap()
        } else {
            t_number_of(n, tau, &mut ())
        };
        prop_assert!(t.value() >= n.value());
        prop_assert!(close(f_number_of(t, tau, &mut ()).value(), n.value(), 1e-15));
        let back = transmittance_of(n, t, &mut ()).unwrap();
        prop_assert!(close(back.value(), tau.value(), 1e-14));
    }

    #[test]
    fn the_working_f_number_is_darker_than_the_engraved_and_in_step_with_it(
        shot in shot(), by in 1.1..4.0,
    ) {
        let working = |shot: &Shot| shot.set().working_f_number(&mut ()).value();
        prop_assert!(working(&shot) > shot.n);
        let m_over_p = shot.set().magnification().value() / shot.p;
        prop_assert!(close(working(&shot), shot.n * (1.0 + m_over_p), 1e-14));
        let darker = Shot { n: shot.n * by, ..shot };
        prop_assert!(close(working(&darker), working(&shot) * by, 1e-14));
    }

    #[test]
    fn three_thirds_are_a_stop_and_midway_is_a_half(n in 1.0..32.0) {
        let stop = |text: String| parse::stop(&text, None).unwrap().number();
        let third = if made(LinearThirds) {
            n * (1.0 + (f64::sqrt(2.0) - 1.0) / 3.0)
        } else {
            stop(format!("f/{n} 1/3"))
        };
        let three = third / n * third / n * third / n;
        prop_assert!(close(three * three, 2.0, 1e-14));
        let half = stop(format!("f/{n} 1/2"));
        prop_assert!(close(half * half * half * half, 2.0 * n * n * n * n, 1e-14));
        let midway = stop(format!("f/{n}/{}", 2.0 * n));
        prop_assert!(close(midway * midway, 2.0 * n * n, 1e-14));
    }
}

laws! {
    f_to_t_and_back: TForN;
    the_working_f_number_is_darker_than_the_engraved_and_in_step_with_it: TForN DropThePupils;
    three_thirds_are_a_stop_and_midway_is_a_half: LinearThirds;
}
