//! The highest place of a function that has one top between two points.

use num_traits::Float;

/// Steps of the search: each leaves 0.62 of the bracket, so that these leave less
/// than the last digits tell.
const STEPS: u32 = 80;

/// Where between `a` and `b` the function is highest, by golden section: exact
/// where it has one top there, a top otherwise. A top is flat, so its place comes to
/// about half the digits and its height to all.
///
/// - Source: J. Kiefer, "Sequential minimax search for a maximum", Proc. Amer.
///   Math. Soc. 4 (1953), 502-506 (from memory).
pub fn highest_between<F: Float>(mut f: impl FnMut(F) -> F, a: F, b: F) -> F {
    let two = F::one() + F::one();
    let five = two + two + F::one();
    let part = (five.sqrt() - F::one()) / two;
    let (mut low, mut high) = (a, b);
    let mut left = high - part * (high - low);
    let mut right = low + part * (high - low);
    let (mut at_left, mut at_right) = (f(left), f(right));
    for _ in 0..STEPS {
        if at_left < at_right {
            low = left;
            (left, at_left) = (right, at_right);
            right = low + part * (high - low);
            at_right = f(right);
        } else {
            high = right;
            (right, at_right) = (left, at_left);
            left = high - part * (high - low);
            at_left = f(left);
        }
    }
    // The ends are no places the search looks at, and may be the highest.
    let inner = (low + high) / two;
    let ends = [(a, f(a)), (b, f(b))];
    let best = ends.into_iter().fold(
        (inner, f(inner)),
        |best, next| {
            if next.1 > best.1 { next } else { best }
        },
    );
    best.0
}

#[cfg(test)]
mod tests {
    use super::highest_between;

    #[test]
    fn the_top_of_a_parabola_is_its_middle_or_the_end_next_to_it() {
        let parabola = |x: f64| 2.0 - (x - 1.5) * (x - 1.5);
        assert!((highest_between(parabola, 0.0, 4.0) - 1.5).abs() < 1e-7);
        assert_eq!(highest_between(parabola, 2.0, 4.0), 2.0);
        assert_eq!(highest_between(parabola, -3.0, 1.0), 1.0);
    }
}
