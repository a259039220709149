//! Laws that hold for every lens: order, monotony, scale, inverses.
//!
//! A law is no oracle: two wrong halves can agree. Values stand in tests/oracle.

mod any;

mod conjugates;
mod contrast;
mod depth;
mod fields;
mod ring;
mod stops;
mod waves;
