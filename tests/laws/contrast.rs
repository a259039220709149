//! Depth by contrast, and what the stop does to it. Each law names a mistake that
//! would break it.

use markwright::optics::{Circle, Detail, Limiting, hyperfocal_at_contrast};
use markwright::units::{FNumber, FocusDistance, Length, SpatialFrequency};
use proptest::prelude::*;

use crate::any::{Shot, close, detail, light, mm, n, one_colour, shot, wanted};

fn blur_at(detail: &Detail, contrast: f64, n_w: f64) -> Option<f64> {
    let circle = detail.circle_at(wanted(contrast), n(n_w), &mut ());
    Some(circle.ok()?.diameter().to_mm())
}

proptest! {
    /// Broken by a later crossing taken for the first.
    #[test]
    fn at_the_circle_contrast_is_what_was_wanted_and_nearer_it_is_more(
        detail in detail(),
        contrast in 0.01..0.95,
        n_w in 1.0..32.0,
    ) {
        let best = detail.in_focus(n(n_w), &mut ()).value();
        let Some(b) = blur_at(&detail, contrast, n_w) else {
            prop_assert!(best <= contrast);
            return Ok(());
        };
        prop_assert!(best > contrast);
        let at = |b: f64| detail.contrast(Length::mm(b), n(n_w)).value();
        prop_assert!((at(b) - contrast).abs() < 1e-13);
        for i in 0..200 {
            prop_assert!(at(b * f64::from(i) / 201.0) > contrast);
        }
    }

    /// Broken by a bracket the wrong way round.
    #[test]
    fn more_contrast_allows_less_blur(
        detail in detail(),
        contrast in 0.01..0.9,
        more in 1.01..1.1,
        n_w in 1.0..32.0,
    ) {
        if let Some(tighter) = blur_at(&detail, contrast * more, n_w) {
            prop_assert!(tighter < blur_at(&detail, contrast, n_w).unwrap());
        }
    }

    /// Broken by a best contrast that is not the focus's, or by figures that
    /// would not do either.
    #[test]
    fn what_is_out_of_reach_says_what_is_not(
        detail in detail(),
        contrast in 0.02..0.99,
        n_w in 8.0..64.0,
    ) {
        let Err(why) = detail.circle_at(wanted(contrast), n(n_w), &mut ()) else {
            return Ok(());
        };
        prop_assert!(why.best.value() <= contrast);
        prop_assert_eq!(why.best, detail.contrast(Length::ZERO, n(n_w)));
        prop_assert!(why.largest_frequency.value() <= detail.frequency.value());
        if let Ok(frequency) = SpatialFrequency::new(why.largest_frequency.value() * 0.999) {
            let coarser = Detail { frequency, ..detail.clone() };
            prop_assert!(blur_at(&coarser, contrast, n_w).is_some());
        }
        if let Some(darkest) = why.darkest {
            let [reached, not] = [0.999, 1.001].map(|by| {
                let n = FNumber::new(darkest.value() * by).ok()?;
                Some(detail.in_focus(n, &mut ()).value() > contrast)
            });
            prop_assert!(reached != Some(false) && not != Some(true));
        }
    }

    /// Broken by a slope of the wrong sign, or by judging at N in place of the
    /// working f-number: closing the stop deepens depth exactly where defocus
    /// limits.
    #[test]
    fn a_darker_stop_deepens_depth_where_defocus_limits_and_only_there(
        shot in shot(),
        nu in 5.0..80.0,
        nm in 400.0..700.0,
        contrast in 0.02..0.95,
    ) {
        let detail = one_colour(nu, nm);
        let share = |shot: Shot| {
            let set = shot.set();
            let circle = set.circle_at(wanted(contrast), &detail, &mut ()).ok()?;
            Some((circle.diameter().to_mm() / set.pupil().to_mm(), circle))
        };
        let (Some((here, circle)), Some((darker, _))) =
            (share(shot), share(Shot { n: shot.n * 1.0001, ..shot }))
        else {
            return Ok(());
        };
        prop_assume!((darker / here - 1.0).abs() > 1e-7);
        let expected = if darker > here { Limiting::Defocus } else { Limiting::Diffraction };
        prop_assert_eq!(shot.set().limiting(circle.diameter(), &detail), expected);
    }

    /// Broken by a stop that is only nearly the best, by one that depends on the
    /// stop one starts from, or by forgetting that the working f-number goes with it.
    #[test]
    fn no_stop_is_sharper_than_the_sharpest(
        shot in shot(),
        nu in 5.0..60.0,
        nm in 400.0..700.0,
        (before, behind) in (0.7..0.98, 1.02..3.0),
        from in 1.0..22.0,
    ) {
        let detail = one_colour(nu, nm);
        let at = |mm: f64| FocusDistance::at(Length::mm(mm)).unwrap();
        let ends = (at(shot.d * before), at(shot.d * behind));
        let best = shot.set().sharpest_stop(shot.n(), ends, &detail, &mut ());
        prop_assume!(best.is_ok());
        let best = best.unwrap();
        let other = Shot { n: from, ..shot };
        let again = other.set().sharpest_stop(other.n(), ends, &detail, &mut ()).unwrap();
        prop_assert!(close(again.f_number.value(), best.f_number.value(), 1e-11));
        for by in [1.0, 0.7, 0.95, 1.05, 1.3] {
            let Ok(n) = FNumber::new(best.f_number.value() * by) else {
                continue;
            };
            let set = Shot { n: n.value(), ..shot }.set();
            let worse = |d| set.contrast(d, &detail).unwrap().value();
            let contrast = worse(ends.0).min(worse(ends.1));
            if by == 1.0 {
                prop_assert!((contrast - best.contrast.value()).abs() < 1e-12);
            } else {
                // Far too wide a stop may have a lobe of its own; from the best
                // only the first lobe counts.
                prop_assert!(contrast < best.contrast.value() + 1e-14);
            }
        }
    }

    /// Broken by a rule that balances other blurs than it says.
    #[test]
    fn at_the_stop_of_equal_blurs_they_are_equal(shot in shot(), behind in 1.02..5.0) {
        let at = |mm: f64| FocusDistance::at(Length::mm(mm)).unwrap();
        let ends = (shot.focus(), at(shot.d * behind));
        let light = light(&[(550.0, 1.0)]);
        let stop = shot.set().stop_of_equal_blurs(shot.n(), ends, &light, &mut ()).unwrap();
        prop_assume!(FNumber::new(stop.value()).is_ok());
        let set = Shot { n: stop.value(), ..shot }.set();
        let (blur, airy) = (set.blur(ends.1, &mut ()).unwrap(), set.airy(&light, &mut ()));
        prop_assert!(close(blur.to_mm(), airy.to_mm(), 1e-9));
    }

    /// Broken by taking the circle at infinity focus for the one at the
    /// hyperfocal distance.
    #[test]
    fn at_the_hyperfocal_of_a_contrast_infinity_just_has_it(
        shot in shot(),
        nu in 5.0..60.0,
        nm in 400.0..700.0,
        contrast in 0.05..0.9,
    ) {
        let detail = one_colour(nu, nm);
        let lens = shot.lens();
        let found = hyperfocal_at_contrast(&lens, shot.n(), wanted(contrast), &detail, &mut ());
        let Ok((focused, circle)) = found else { return Ok(()) };
        let d = mm(focused.focus().reach());
        prop_assume!(d > 1.2 * lens.closest().to_mm() && d < 1e9);
        let there = Shot { d, ..shot };
        let at_infinity = there.set().contrast(FocusDistance::INFINITY, &detail).unwrap();
        prop_assert!((at_infinity.value() - contrast).abs() < 1e-9);
        let own = there.set().circle_at(wanted(contrast), &detail, &mut ()).unwrap();
        prop_assert!(close(own.diameter().to_mm(), circle.diameter().to_mm(), 1e-9));
    }

    /// Broken by a side left out, a wrong sign of the blur, or points out of order.
    #[test]
    fn a_curve_runs_from_near_to_far_with_its_top_in_focus(
        shot in shot(),
        detail in detail(),
        each_side in 1_usize..40,
    ) {
        let set = shot.set();
        let curve = set.through_focus(&detail, each_side);
        prop_assert!(curve.len() > each_side && curve.len() <= 2 * each_side + 1);
        let top = curve[each_side];
        prop_assert_eq!((top.distance, top.blur), (shot.focus(), Length::ZERO));
        for pair in curve.windows(2) {
            prop_assert!(pair[0].distance.is_nearer_than(pair[1].distance));
        }
        for point in &curve {
            let blur = set.blur(point.distance, &mut ()).unwrap();
            let size = set.pupil().to_mm();
            prop_assert!((blur.to_mm() - point.blur.to_mm()).abs() < 1e-11 * size);
            prop_assert!(point.contrast.value().abs() <= top.contrast.value().abs());
        }
        let end = curve[curve.len() - 1];
        prop_assert!(end.distance.is_infinite() || curve.len() == 2 * each_side + 1);
    }
}

#[test]
fn a_circle_of_contrast_gives_limits_with_that_contrast() {
    let shot = Shot {
        f: 50.0,
        e: -10.0,
        p: 1.2,
        n: 4.0,
        c: 0.025,
        d: 3000.0,
    };
    let detail = one_colour(40.0, 550.0);
    let set = shot.set();
    let circle = set.circle_at(wanted(0.3), &detail, &mut ()).unwrap();
    let limits = set.limits(circle, &mut ());
    for limit in [limits.near, limits.far] {
        let contrast = set.contrast(limit, &detail).unwrap().value();
        assert!(
            (contrast - 0.3).abs() < 1e-12,
            "{contrast} at {}",
            mm(limit.reach())
        );
    }
    // The same as a circle chosen by hand.
    assert_eq!(Circle::new(circle.diameter()), Ok(circle));
}
