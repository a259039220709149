//! Readings at different stops: does the focus move with the stop?

use super::limits::{ONE_IN_A_THOUSAND, ONE_IN_A_THOUSAND_EITHER_SIDE};
use super::reading::Taken;
use super::suspects::Sorted;
use crate::numerics::math::sqrt;
use crate::scale::fit::{GroupFit, square};
use crate::units::Stop;

/// Stops that differ by less than this share are one.
const SAME_STOP: f64 = 0.01;

/// Readings of one lens by their stops, from the widest: each part holds the
/// places of at least two readings, or of one set several times, for less tells
/// a moved focus from a misreading by nothing. What is fewer goes with the next
/// wider stop.
pub(super) fn by_stop(taken: &[Taken]) -> Vec<Vec<usize>> {
    let number = |at: usize| taken[at].stop.number();
    let mut order: Vec<usize> = (0..taken.len()).collect();
    // Stops of a lens are all f or all T as a rule; a mixture goes by number.
    order.sort_by(|&a, &b| number(a).total_cmp(&number(b)).then(a.cmp(&b)));
    let mut parts: Vec<Vec<usize>> = Vec::new();
    for at in order {
        match parts.last_mut() {
            Some(part) if number(at) <= number(part[0]) * (1.0 + SAME_STOP) => part.push(at),
            _ => parts.push(vec![at]),
        }
    }
    let tells = |part: &[usize]| part.len() >= 2 || taken[part[0]].settings >= 2;
    let mut out: Vec<Vec<usize>> = Vec::new();
    for part in parts {
        match out.last_mut() {
            Some(wider) if !tells(&part) || !tells(wider) => wider.extend(part),
            _ => out.push(part),
        }
    }
    out
}

/// The widest stop of a part.
pub(super) fn widest(taken: &[Taken], part: &[usize]) -> Option<Stop> {
    let stops = part.iter().map(|&at| taken[at].stop);
    stops.min_by(|a, b| a.number().total_cmp(&b.number()))
}

/// Whether the image-plane errors of a lens's stops disagree, each stop's own
/// readings agreeing with one another.
pub(super) fn disagree(sorted: &Sorted, groups: &[usize]) -> bool {
    let fits: Vec<&GroupFit> = groups
        .iter()
        .filter_map(|&group| sorted.fit.groups[group].as_ref())
        .collect();
    let Some((first, rest)) = fits.split_first() else {
        return false;
    };
    let in_itself =
        |fit: &&&GroupFit| is_likely(fit.chi_square.value(), fit.used.saturating_sub(1));
    let zero = sorted.fit.tape_zero_sd.to_mm();
    rest.iter().filter(in_itself).any(|other| {
        let lever = (other.zero_share.value() - first.zero_share.value()) * zero;
        let own = square(first.own_sd.to_mm()) + square(other.own_sd.to_mm());
        let sd = sqrt(own + square(lever));
        (other.error - first.error).abs().to_mm() > ONE_IN_A_THOUSAND_EITHER_SIDE * sd
    }) && in_itself(&first)
}

/// Whether a chi-square of so many degrees of freedom comes about by chance more
/// often than once in a thousand times.
///
/// - Source: E. B. Wilson and M. M. Hilferty, "The distribution of chi-square",
///   Proc. Nat. Acad. Sci. 17 (1931), 684-688: the cube root is all but normal
///   (from memory; 10.8 for one degree and 29.6 for ten, by tables, come out as
///   11.2 and 29.8).
pub(super) fn is_likely(chi_square: f64, freedom: usize) -> bool {
    if freedom == 0 {
        return true;
    }
    let ninth = 2.0 / (9.0 * freedom as f64);
    let root = 1.0 - ninth + ONE_IN_A_THOUSAND * sqrt(ninth);
    chi_square <= freedom as f64 * root * root * root
}

#[cfg(test)]
mod tests {
    use super::is_likely;

    #[test]
    fn chance_is_told_as_the_tables_tell_it() {
        // Upper 0.1 % points of chi-square, printed in any table: 10.83, 16.27,
        // 29.59, 59.70 for 1, 3, 10, 30 degrees of freedom.
        for (freedom, point, slack) in [
            (1, 10.83, 0.04),
            (3, 16.27, 0.02),
            (10, 29.59, 0.008),
            (30, 59.70, 0.003),
        ] {
            assert!(is_likely(point * (1.0 - slack), freedom));
            assert!(!is_likely(point * (1.0 + slack), freedom));
        }
        assert!(is_likely(0.0, 0));
    }
}
