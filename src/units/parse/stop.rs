//! Stops as they are called out.

use super::text::{decimal, leading_number, no_number, plain};
use super::{StopKind, Unreadable};
use crate::numerics::math::sqrt;
use crate::units::{Stop, closed_by};

/// Reads a stop: `f/2.8`, `T2.9`, `T2.8 1/3` (a third of a stop closed from
/// T2.8), `T2.8/4` (midway between the two). The number typed is the number
/// meant: f/2.8 is 2.8.
///
/// `kind` is what a number without `f/` or `T` means, if that is known.
///
/// # Errors
/// [`Unreadable`]: not a stop, of no kind, or out of range.
///
/// # Example
/// ```
/// use markwright::units::parse;
/// // A third of a stop over 4 is 4 × 2^(1/6) = 4.490, not 4.33.
/// let third = parse::stop("f/4 1/3", None).unwrap();
/// assert!((third.number() - 4.4898).abs() < 1e-4);
/// ```
pub fn stop(text: &str, kind: Option<StopKind>) -> Result<Stop, Unreadable> {
    let clean = plain(text);
    let (named, body) = match clean.chars().next() {
        Some('f') => (Some(StopKind::F), clean[1..].trim_start()),
        Some('t') => (Some(StopKind::T), clean[1..].trim_start()),
        _ => (None, clean.as_str()),
    };
    let body = if named.is_some() {
        body.strip_prefix('/').unwrap_or(body)
    } else {
        body
    };
    let number = figure(body.trim())
        .ok_or_else(|| no_number(body, "stop", "a stop", "f/2.8, T2.9, T2.8 1/3 or T2.8/4"))?;
    match named.or(kind) {
        Some(kind) => Stop::new(kind, number),
        // What cannot be a stop of either kind is told before the kind is asked for.
        None => match Stop::new(StopKind::F, number) {
            Ok(_) => Err(Unreadable::AmbiguousStop {
                number: body.to_owned(),
            }),
            Err(error) => Err(error),
        },
    }
}

fn figure(body: &str) -> Option<f64> {
    let (digits, rest) = leading_number(body);
    let number = decimal(digits, 0)?;
    if rest.is_empty() {
        return Some(number);
    }
    if let Some(other) = rest.strip_prefix('/') {
        let (digits, rest) = leading_number(other);
        let other = decimal(digits, 0).filter(|&other| rest.is_empty() && other > number)?;
        return (number > 0.0).then(|| sqrt(number * other));
    }
    let (over, under) = rest.split_once('/')?;
    let over: u8 = over.trim().parse().ok()?;
    let under: u8 = under.trim().parse().ok()?;
    (over > 0 && over < under && under <= 10)
        .then(|| closed_by(number, f64::from(over) / f64::from(under)))
}
