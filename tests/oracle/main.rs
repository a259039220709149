//! The core against values from outside: an independent high-precision script
//! (`tables.py`) and printed figures (`facts.csv`). See README.md beside this.

mod table;

mod backwards;
mod crosscheck;
mod depth;
mod facts;
mod field;
mod hold;
mod kinds;
mod prep;
mod pull;
mod raytrace;
mod ring;
mod traps;
mod waves;
