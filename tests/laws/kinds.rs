//! Lenses with something attached, lenses that breathe and lenses that squeeze.

use markwright::gear::Fitted;
use markwright::optics::{
    Anamorph, AnyLens, Behind, Branch, BreathingRow, CloseUp, Focus, Focused, Magnification,
    Squeeze, desqueezed,
};
use markwright::units::{Length, Ratio};
use proptest::prelude::*;

use crate::any::{Shot, at, close, gate_of, mm};
use crate::mutation::Mutation::{
    FromTheLens, FrontForRear, LengthOfHabit, OrderReversed, PowerOfHabit, SwapNearAndFar,
    UpsideDown,
};
use crate::mutation::{config, laws, made};

/// A lens with what is on it, its ring somewhere.
#[derive(Clone, Debug)]
struct Worn {
    shot: Shot,
    behind: Vec<Behind>,
    front: Vec<CloseUp>,
    /// The magnification of the lens itself.
    setting: f64,
}

fn extender(factor: f64, length: f64) -> Behind {
    let length = Length::mm(length);
    Behind::Extender { factor, length }
}

fn tube(mm: f64) -> Behind {
    let length = Length::mm(mm);
    Behind::Tube { length }
}

/// A lens as sets have them, at a setting up to half life size.
fn bare() -> impl Strategy<Value = Worn> {
    let lens = (12.0..300.0, -0.3..0.8, 0.5..2.0);
    let setting = (1.0..16.0, 0.004..0.06, 0.0..0.5);
    (lens, setting).prop_map(|((f, hiatus, p), (n, c, setting))| {
        let e = hiatus * f;
        let m = f64::max(setting, 1e-4);
        let d = e + f * (2.0 + m + 1.0 / m);
        Worn {
            shot: Shot { f, e, p, n, c, d },
            behind: Vec::new(),
            front: Vec::new(),
            setting,
        }
    })
}

fn part() -> impl Strategy<Value = Behind> {
    prop_oneof![
        // Thin: as much longer as its place before the image makes it.
        (1.1..2.2, 20.0..60.0).prop_map(|(e, a)| extender(e, (e - 1.0) * a)),
        (0.6..0.9, 20.0..60.0).prop_map(|(e, a)| extender(e, (e - 1.0) * a)),
        (1.0..30.0).prop_map(tube),
        (0.1..5.0, 1.4..1.8).prop_map(|(thickness, index)| Behind::Filter {
            thickness: Length::mm(thickness),
            index
        }),
    ]
}

/// The same with up to three parts behind it and up to two before it, where
/// that is a lens with a real focus at that setting.
fn worn() -> impl Strategy<Value = Worn> {
    let behind = prop::collection::vec(part(), 0..=3);
    let front = prop::collection::vec((0.2..3.0, 10.0..40.0), 0..=2);
    (bare(), behind, front)
        .prop_map(|(bare, behind, front)| {
            let mut worn = Worn { behind, ..bare };
            let mut z = worn.set_bare_front().pupil_station().to_mm().max(1.0);
            for (dioptres, gap) in front {
                z += gap;
                let at = Length::mm(z);
                worn.front.push(CloseUp { dioptres, at });
            }
            worn
        })
        .prop_filter("a lens with a real focus", |worn| {
            let whole = worn.fitted().lens(worn.shot.lens(), &mut ());
            whole.is_ok_and(|whole| {
                let set = whole.set(worn.at_setting(), worn.shot.n(), &mut ());
                let reached = worn.setting < whole.last_setting().value() * 0.98;
                reached && set.magnification().value() > 1e-3 && set.pupil().to_mm() < 1e3
            })
        })
}

impl Worn {
    fn at_setting(&self) -> Magnification {
        let any = self.shot.lens();
        // A magnification comes from a lens: that of the distance it belongs to.
        let d = self.shot.e + self.shot.f * (2.0 + self.setting + 1.0 / self.setting);
        if self.setting <= 0.0 {
            return Magnification::INFINITY_FOCUS;
        }
        any.magnification(at(d), Branch::Far, &mut ()).unwrap()
    }

    fn fitted(&self) -> Fitted {
        Fitted {
            behind: self.behind.clone(),
            front: self.front.clone(),
            ..Fitted::default()
        }
    }

    fn set_bare_front(&self) -> Focused {
        let fitted = Fitted {
            front: Vec::new(),
            ..self.fitted()
        };
        let whole = fitted.lens(self.shot.lens(), &mut ());
        let whole = whole.unwrap_or(AnyLens::Unit(self.shot.lens()));
        whole.set(self.at_setting(), self.shot.n(), &mut ())
    }

    /// The whole lens, or what somebody who makes a mistake takes for it.
    fn whole(&self) -> AnyLens {
        let mut fitted = self.fitted();
        for part in &mut fitted.behind {
            match part {
                Behind::Extender { length, .. } | Behind::Tube { length }
                    if made(LengthOfHabit) =>
                {
                    *length = Length::mm(10.0);
                }
                Behind::Extender { factor, .. } if made(UpsideDown) => *factor = 1.0 / *factor,
                _ => {}
            }
        }
        if made(OrderReversed) {
            fitted.behind.reverse();
        }
        for lens in &mut fitted.front {
            if made(PowerOfHabit) {
                lens.dioptres = 1.0;
            }
            if made(FromTheLens) {
                lens.at = lens.at + Length::mm(self.shot.f);
            }
        }
        let lens = fitted.lens(self.shot.lens(), &mut ());
        lens.unwrap_or(AnyLens::Unit(self.shot.lens()))
    }

    fn set(&self) -> Focused {
        self.whole().set(self.at_setting(), self.shot.n(), &mut ())
    }

    /// Focus, near and far from the image plane.
    fn seen(&self) -> (f64, f64, f64) {
        figures(&self.set(), &self.shot)
    }
}

fn figures(set: &Focused, shot: &Shot) -> (f64, f64, f64) {
    let limits = set.limits(shot.circle(), &mut ());
    let (near, far) = (mm(limits.near.reach()), mm(limits.far.reach()));
    let (near, far) = if made(SwapNearAndFar) {
        (far, near)
    } else {
        (near, far)
    };
    (mm(set.focus().reach()), near, far)
}

/// The same three to a tolerance; at the hyperfocal the far limit magnifies it.
fn same(one: (f64, f64, f64), other: (f64, f64, f64), tolerance: f64) -> bool {
    let far = if one.2.is_finite() && other.2.is_finite() {
        let room = (1.0 + one.2 / one.0.min(one.1)).min(1e6);
        close(one.2, other.2, tolerance * room * room)
    } else {
        // One of them infinite: the other as good as that.
        one.2.min(other.2) > 1e3 * one.1
    };
    close(one.0, other.0, tolerance) && close(one.1, other.1, tolerance) && far
}

type Matrix = [f64; 4];

fn after(second: Matrix, first: Matrix) -> Matrix {
    let ([a, b, c, d], [e, f, g, h]) = (second, first);
    [a * e + b * g, a * f + b * h, c * e + d * g, c * f + d * h]
}

/// Height on the image plane of the ray from a point on the axis at `object`
/// from the image plane that meets the entrance pupil at height 1, by matrices
/// alone: the lens between its pupils, thin extenders, gaps, plates.
fn traced(worn: &Worn, object: f64) -> f64 {
    let Shot { f, e, p, .. } = worn.shot;
    let gap = |x: f64| [1.0, x, 0.0, 1.0];
    let mut whole = [p, 0.0, -1.0 / f, 1.0 / p];
    // What is left before the image plane would be where nothing more came.
    let mut left = f * (worn.setting + p);
    let pupils = f * (1.0 - 1.0 / p) + e + f * (1.0 - p);
    let mut station = pupils + left;
    for part in &worn.behind {
        match *part {
            Behind::Tube { length } => {
                left += length.to_mm();
                station += length.to_mm();
            }
            Behind::Filter { thickness, index } => {
                left += thickness.to_mm() * (1.0 / index - 1.0);
            }
            Behind::Extender { factor, length } => {
                let a = length.to_mm() / (factor - 1.0);
                let power = (1.0 - factor) / (factor * a);
                whole = after([1.0, 0.0, -power, 1.0], after(gap(left - a), whole));
                left = factor * a;
                station += length.to_mm();
            }
        }
    }
    whole = after(gap(left), whole);
    let mut front = [1.0, 0.0, 0.0, 1.0];
    let mut here: Option<f64> = None;
    let mut lenses = worn.front.clone();
    lenses.sort_by(|a, b| b.at.to_mm().total_cmp(&a.at.to_mm()));
    for lens in &lenses {
        let z = lens.at.to_mm();
        if let Some(before) = here {
            front = after(gap(before - z), front);
        }
        front = after([1.0, 0.0, -lens.dioptres / 1000.0, 1.0], front);
        here = Some(z);
    }
    let first = lenses.first().map_or(station, |lens| lens.at.to_mm());
    if let Some(last) = here {
        front = after(gap(last - station), front);
    }
    let slope = 1.0 / (object - first);
    let [a, b, ..] = after(whole, front);
    let [to_pupil, per_slope, ..] = front;
    (a + b * slope) / (to_pupil + per_slope * slope)
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn rays_through_every_part_meet_in_focus_and_blur_to_the_circle_at_the_limits(worn in worn()) {
        let (focus, near, far) = worn.seen();
        let c_over_a = worn.shot.c * worn.shot.n / worn.shot.f;
        prop_assert!(traced(&worn, focus).abs() < 1e-9, "{}", traced(&worn, focus));
        prop_assert!(close(traced(&worn, near), c_over_a, 1e-9));
        if far.is_finite() {
            prop_assert!(close(traced(&worn, far), -c_over_a, 1e-9));
        } else {
            prop_assert!(traced(&worn, 1e12) >= -c_over_a * (1.0 + 1e-9));
        }
    }

    #[test]
    fn a_close_up_lens_of_hardly_any_power_changes_nothing(bare in bare(), gap in 10.0..60.0) {
        let z = bare.set().pupil_station().to_mm().max(1.0) + gap;
        let weak = CloseUp { dioptres: 1e-13, at: Length::mm(z) };
        let plain = bare.seen();
        // Beyond 100 m a ten-billionth of a dioptre already counts.
        prop_assume!(bare.setting > 1e-3);
        let weakly = Worn { front: vec![weak], ..bare };
        prop_assert!(same(weakly.seen(), plain, 1e-9));
    }

    #[test]
    fn extenders_and_tubes_of_nothing_change_nothing(bare in bare(), place in 0..3_usize) {
        prop_assume!(bare.setting > 1e-3);
        let plain = bare.seen();
        let mut behind = vec![extender(1.0, 0.0), tube(1e-10)];
        behind.insert(place, extender(1.0, 1e-10));
        let worn = Worn { behind, ..bare };
        prop_assert!(same(worn.seen(), plain, 1e-8));
    }

    #[test]
    fn a_tube_before_an_extender_is_not_one_behind_it(bare in bare(), y in 5.0..40.0, e in 1.2..2.2) {
        let parts = [tube(y), extender(e, (e - 1.0) * 40.0)];
        let [before, behind] = [[0, 1], [1, 0]].map(|order: [usize; 2]| Worn {
            behind: order.map(|i| parts[i]).to_vec(),
            ..bare.clone()
        });
        let m = |worn: &Worn| worn.set().magnification().value();
        prop_assert!(!close(m(&before), m(&behind), 1e-7));
        prop_assert!(close(m(&before), e * (bare.setting + y / bare.shot.f), 1e-12));
    }

    #[test]
    fn a_reducer_in_its_image_undoes_an_extender(bare in bare(), e in 1.1..2.2, a in 20.0..60.0, y in 1.0..20.0) {
        prop_assume!(bare.setting < 0.9 - y / bare.shot.f);
        let l = (e - 1.0) * a;
        let both = vec![extender(e, l), extender(1.0 / e, -l), tube(y)];
        let both = Worn { behind: both, ..bare.clone() };
        // A reducer alone may have no image so far back; then it is refused.
        prop_assume!(both.fitted().lens(bare.shot.lens(), &mut ()).is_ok());
        // As with the tube alone: m is y/f more.
        let m = bare.setting + y / bare.shot.f;
        let Shot { f, e, p, n, .. } = bare.shot;
        prop_assert!(close(both.seen().0, e + f * (2.0 + m + 1.0 / m), 1e-9));
        prop_assert!(close(both.set().magnification().value(), m, 1e-9));
        let working = both.set().working_f_number(&mut ()).value();
        prop_assert!(close(working, n * (1.0 + m / p), 1e-9));
    }

    #[test]
    fn extended_the_same_things_are_sharp_at_a_smaller_circle(bare in bare(), e in 1.1..2.2, l in 5.0..60.0) {
        prop_assume!(bare.setting > 1e-3);
        // The lens does not learn of it: c on the image plane is c/E before the extender.
        let alone = Worn { shot: Shot { c: bare.shot.c / e, ..bare.shot }, ..bare.clone() };
        let (focus, near, far) = Worn { behind: vec![extender(e, l)], ..bare }.seen();
        let ours = (focus - l, near - l, far - l);
        prop_assert!(same(ours, alone.seen(), 1e-9), "{ours:?} {:?}", alone.seen());
    }

    #[test]
    fn on_infinity_a_close_up_lens_focuses_at_its_own_focal_length(bare in bare(), p in 0.3..3.0, gap in 5.0..60.0) {
        let on_infinity = Worn { setting: 0.0, ..bare };
        let z = on_infinity.set().pupil_station().to_mm().max(1.0) + gap;
        let front = vec![CloseUp { dioptres: p, at: Length::mm(z) }];
        let worn = Worn { front, ..on_infinity };
        prop_assume!(worn.fitted().lens(worn.shot.lens(), &mut ()).is_ok());
        prop_assert!(close(worn.seen().0 - z, 1000.0 / p, 1e-9));
        // f P, whatever the pupils.
        prop_assert!(close(worn.set().magnification().value(), worn.shot.f * p / 1000.0, 1e-12));
    }

    #[test]
    fn close_up_lenses_in_one_place_add_their_powers(bare in bare(), p in 0.2..2.0, q in 0.2..2.0) {
        let z = Length::mm(bare.set().pupil_station().to_mm().max(1.0) + 20.0);
        let front = |powers: &[f64]| {
            let lens = |&dioptres: &f64| CloseUp { dioptres, at: z };
            Worn { front: powers.iter().map(lens).collect(), ..bare.clone() }
        };
        let (two, one) = (front(&[p, q]), front(&[p + q]));
        prop_assume!(one.fitted().lens(one.shot.lens(), &mut ()).is_ok());
        prop_assert!(same(two.seen(), one.seen(), 1e-9));
    }

    #[test]
    fn with_a_close_up_lens_more_is_sharp_than_what_the_bare_lens_shows_of_infinity(bare in bare(), p in 0.3..2.0) {
        // Where the bare lens sees to infinity it sees converging light as well.
        let on_infinity = Worn { setting: 0.0, ..bare };
        let z = on_infinity.set().pupil_station().to_mm().max(1.0) + 20.0;
        let front = vec![CloseUp { dioptres: p, at: Length::mm(z) }];
        let worn = Worn { front, ..on_infinity };
        prop_assume!(worn.fitted().lens(worn.shot.lens(), &mut ()).is_ok());
        let (focus, near, far) = worn.seen();
        prop_assert!(near < focus && focus < far);
        // The focus is the harmonic mean, as everywhere from the pupil.
        prop_assume!(far.is_finite());
        let t = worn.set().pupil_station().to_mm();
        let vergence = |d: f64| 1.0 / (d - t);
        prop_assert!(close(vergence(near) + vergence(far), 2.0 * vergence(focus), 1e-9));
    }

    #[test]
    fn a_distance_leads_back_to_its_setting(worn in worn()) {
        let whole = worn.whole();
        let focus = at(worn.seen().0);
        // The other side by the lens as it is, whatever was taken for it.
        let asked = worn.fitted().lens(worn.shot.lens(), &mut ()).unwrap();
        let there = asked.at(focus, Branch::Far, worn.shot.n(), &mut ());
        prop_assume!(mm(focus.reach()) < 1e6);
        let there = there.map(|set| set.magnification().value());
        let m = whole.set(worn.at_setting(), worn.shot.n(), &mut ()).magnification().value();
        prop_assert!(there.is_ok_and(|there| close(there, m, 1e-7)), "{there:?} {m}");
    }

    #[test]
    fn farther_up_the_ring_is_nearer_and_larger(worn in worn(), by in 0.5..0.99) {
        // The other side by the lens as it is.
        let lens = worn.fitted().lens(worn.shot.lens(), &mut ()).unwrap();
        let farther = Worn { setting: worn.setting * by, ..worn.clone() };
        let before = lens.set(farther.at_setting(), worn.shot.n(), &mut ());
        let now = worn.set();
        prop_assert!(now.magnification() > before.magnification());
        prop_assert!(mm(now.focus().reach()) < mm(before.focus().reach()));
    }

    #[test]
    fn scaling_every_length_scales_every_answer_of_what_is_attached(
        worn in worn(),
        by in prop::sample::select(vec![0.5, 2.0, 4.0]),
    ) {
        let Shot { f, e, c, d, .. } = worn.shot;
        let scaled = Worn {
            shot: Shot { f: f * by, e: e * by, c: c * by, d: d * by, ..worn.shot },
            behind: worn.behind.iter().map(|part| match *part {
                Behind::Extender { factor, length } => extender(factor, length.to_mm() * by),
                Behind::Tube { length } => tube(length.to_mm() * by),
                Behind::Filter { thickness, index } => Behind::Filter { thickness: thickness * by, index },
            }).collect(),
            front: worn.front.iter().map(|lens| CloseUp { dioptres: lens.dioptres / by, at: lens.at * by }).collect(),
            setting: worn.setting,
        };
        prop_assume!(!worn.front.is_empty());
        let (focus, near, far) = worn.seen();
        prop_assert!(same(scaled.seen(), (focus * by, near * by, far * by), 1e-9));
    }

    #[test]
    fn rows_of_a_lens_that_only_moves_give_that_lens(
        bare in bare(),
        shares in prop::collection::btree_set(1..40_u8, 1..5),
        told: bool,
    ) {
        prop_assume!(bare.setting > 1e-3);
        let Shot { f, e, p, .. } = bare.shot;
        // The last row at the setting or beyond, the others before it.
        let last = f64::from(*shares.last().unwrap());
        let rows: Vec<BreathingRow> = shares.iter().map(|&share| {
            let m = 0.6 * f64::from(share) / last;
            let lengthened = if made(UpsideDown) { 1.0 / m - m + 2.0 } else { 2.0 + m + 1.0 / m };
            BreathingRow {
                magnification: m,
                rounding: 0.0,
                distance: Length::mm(e + f * lengthened),
                pupil_station: told.then(|| Length::mm(e + f * (2.0 + m - 1.0 / p))),
            }
        }).collect();
        let fitted = Fitted { breathing: rows, ..Fitted::default() };
        let breathing = fitted.lens(bare.shot.lens(), &mut ());
        let set = breathing.map(|lens| lens.at(bare.shot.focus(), Branch::Far, bare.shot.n(), &mut ()));
        let Ok(Ok(set)) = set else { return Err(TestCaseError::fail("no such lens")) };
        prop_assert!(same(figures(&set, &bare.shot), bare.seen(), 1e-8));
    }

    #[test]
    fn side_to_side_a_front_blurs_by_the_square_of_the_squeeze_and_a_rear_by_the_squeeze(
        bare in bare(), s in 1.1..2.5, front: bool, object in 1.01..50.0,
    ) {
        let set = bare.set();
        let part = |front: bool| if front { Anamorph::Front } else { Anamorph::Rear };
        let squeeze = Squeeze { ratio: Ratio::new(s).unwrap(), part: part(front != made(FrontForRear)) };
        let side = squeeze.horizontal(&set, &mut ());
        let object = at(set.pupil_station().to_mm().max(1.0) + object * bare.shot.f);
        let blur = |set: &Focused| set.blur(object, &mut ()).unwrap().to_mm();
        let times = if front { s * s } else { s };
        let dust = 1e-12 * set.pupil().to_mm();
        prop_assert!((blur(&side) * times - blur(&set)).abs() <= dust * times);
        prop_assert!(side.focus() == set.focus());
    }

    #[test]
    fn a_squeeze_widens_the_field_that_many_times(bare in bare(), s in 1.1..2.5) {
        prop_assume!(bare.setting > 1e-3);
        let (set, gate) = (bare.set(), gate_of(22.0, 18.0));
        let ratio = if made(UpsideDown) { 1.0 / s } else { s };
        let squeeze = Squeeze { ratio: Ratio::new(ratio).unwrap(), part: Anamorph::Front };
        let screen = desqueezed(gate, Some(squeeze), &mut ());
        let size = |gate| set.field(gate, set.focus(), &mut ()).unwrap().size;
        let (wide, plain) = (size(screen), size(gate));
        prop_assert!(close(mm(wide.width), s * mm(plain.width), 1e-12));
        prop_assert_eq!(wide.height, plain.height);
        // As the squeezed meridian sees the gate's own width.
        let side = squeeze.horizontal(&set, &mut ()).magnification().value();
        prop_assert!(close(mm(wide.width), 22.0 / side, 1e-12));
    }
}

laws! {
    rays_through_every_part_meet_in_focus_and_blur_to_the_circle_at_the_limits:
        SwapNearAndFar LengthOfHabit OrderReversed UpsideDown PowerOfHabit FromTheLens;
    a_close_up_lens_of_hardly_any_power_changes_nothing: PowerOfHabit;
    extenders_and_tubes_of_nothing_change_nothing: LengthOfHabit;
    a_tube_before_an_extender_is_not_one_behind_it: OrderReversed LengthOfHabit UpsideDown;
    a_reducer_in_its_image_undoes_an_extender: LengthOfHabit;
    extended_the_same_things_are_sharp_at_a_smaller_circle: UpsideDown LengthOfHabit;
    on_infinity_a_close_up_lens_focuses_at_its_own_focal_length: PowerOfHabit FromTheLens;
    close_up_lenses_in_one_place_add_their_powers: PowerOfHabit;
    with_a_close_up_lens_more_is_sharp_than_what_the_bare_lens_shows_of_infinity: SwapNearAndFar;
    a_distance_leads_back_to_its_setting:
        LengthOfHabit OrderReversed UpsideDown PowerOfHabit FromTheLens;
    farther_up_the_ring_is_nearer_and_larger: LengthOfHabit PowerOfHabit;
    scaling_every_length_scales_every_answer_of_what_is_attached: PowerOfHabit;
    rows_of_a_lens_that_only_moves_give_that_lens: UpsideDown;
    side_to_side_a_front_blurs_by_the_square_of_the_squeeze_and_a_rear_by_the_squeeze: FrontForRear;
    a_squeeze_widens_the_field_that_many_times: UpsideDown;
}
