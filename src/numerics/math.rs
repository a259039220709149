//! The one door to `libm`.
//!
//! The standard library's transcendental functions give other last digits on
//! other machines; libm's are the same code everywhere (see `.clippy.toml`).

/// Sine of an angle in radians.
#[must_use]
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// Cosine of an angle in radians.
#[must_use]
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}

/// Tangent of an angle in radians.
#[must_use]
pub fn tan(x: f64) -> f64 {
    libm::tan(x)
}

/// Arc tangent, in radians.
#[must_use]
pub fn atan(x: f64) -> f64 {
    libm::atan(x)
}

/// Arc cosine, in radians.
#[must_use]
pub fn acos(x: f64) -> f64 {
    libm::acos(x)
}

/// 2 to the power `x`.
#[must_use]
pub fn exp2(x: f64) -> f64 {
    libm::exp2(x)
}

/// Logarithm to base 2.
#[must_use]
pub fn log2(x: f64) -> f64 {
    libm::log2(x)
}

/// Square root, correctly rounded (the same on every machine by IEEE 754).
#[must_use]
pub fn sqrt(x: f64) -> f64 {
    libm::sqrt(x)
}
