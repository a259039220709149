//! The command as a program calls it: keys, exit codes, where words go.

mod faults;
mod run;

mod arithmetic;
mod cameras;
mod contract;
mod kit;
mod lenses;
mod plots;
mod ring;
mod talk;
