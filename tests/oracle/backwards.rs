//! The questions asked backwards, against `backwards.py`: rays and roots of the
//! traced blur.

mod fixes;
mod limits;
mod steps;
mod taped;

/// How closely figures that were searched for agree, relative; 1.6e-13 was the
/// worst measured.
const SOLVED: f64 = 1e-11;
