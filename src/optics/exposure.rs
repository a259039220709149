//! f-number and T-number: depth goes by the first, exposure by the second.

use crate::formula::{Record, formula};
use crate::units::{FNumber, TNumber, Transmittance, Unreadable};

formula! {
    /// The f-number behind a T-number.
    f_from_t(t_stop: t_number, tau: ratio) -> N: f_number = t_stop * sqrt(tau);
    source "T = N / sqrt(tau): definition of the T-number"
}

formula! {
    /// The T-number of an f-number.
    t_from_f(N: f_number, tau: ratio) -> t_stop: t_number = N / sqrt(tau);
    source "T = N / sqrt(tau): definition of the T-number"
}

formula! {
    /// The transmittance of a lens that carries both numbers.
    tau_from_both(N: f_number, t_stop: t_number) -> tau: ratio = (N / t_stop) * (N / t_stop);
    source "T = N / sqrt(tau), solved for tau"
}

/// The f-number behind a T-number: depth, blur and diffraction go by it.
#[must_use]
pub fn f_number_of(t: TNumber, tau: Transmittance, rec: &mut impl Record) -> FNumber {
    FNumber::computed(f_from_t(t.value(), tau.value(), rec))
}

/// The T-number of an f-number: exposure goes by it.
#[must_use]
pub fn t_number_of(n: FNumber, tau: Transmittance, rec: &mut impl Record) -> TNumber {
    TNumber::computed(t_from_f(n.value(), tau.value(), rec))
}

/// The transmittance of a lens of which both numbers are known.
///
/// # Errors
/// [`Unreadable::OutOfRange`] when the T-number is below the f-number, which
/// would be more light than comes in.
pub fn transmittance_of(
    n: FNumber,
    t: TNumber,
    rec: &mut impl Record,
) -> Result<Transmittance, Unreadable> {
    Transmittance::new(tau_from_both(n.value(), t.value(), rec))
}
