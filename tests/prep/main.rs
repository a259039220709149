//! Prep day: simulated days whose truth is known, outside values, and the
//! command.

mod bench;
mod marks;
mod random;
mod sets;
mod simulated;
