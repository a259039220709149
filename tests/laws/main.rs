//! Laws that hold for every lens: order, monotony, scale, inverses.
//!
//! A law is no oracle: two wrong halves can agree. Values stand in tests/oracle.

mod any;
mod mutation;
mod pairs;

mod conjugates;
mod contrast;
mod depth;
mod fields;
mod fixes;
mod hold;
mod kinds;
mod limits;
mod ring;
mod steps;
mod stops;
mod taped;
mod waves;
