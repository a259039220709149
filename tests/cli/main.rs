//! The command as a program calls it: keys, exit codes, where words go.

mod faults;
mod run;

mod arithmetic;
mod cameras;
mod contract;
mod hold;
mod kinds;
mod kit;
mod lenses;
mod plots;
mod prep;
mod rack;
mod report;
mod ring;
mod steps;
mod talk;
mod taped;
mod waves;
